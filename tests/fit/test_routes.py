"""The line of a walking route: keeps its distance, is the shortest, passes its tightest gap."""

import math
from itertools import combinations

import networkx as nx
import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st
from shapely import box
from tests.fit.zoo import BY_NAME, ROOMS, TURNED, Room, moved, random_room

from roomwright.fit.bounds import on_walls
from roomwright.fit.floor import FLAT, HAIR
from roomwright.fit.routes import alternatives, route
from roomwright.fit.ways import tightest

RANDOM = [random_room(seed) for seed in range(80)]


def names(room: Room) -> str:
    return room.name


def solid_of(room: Room) -> shapely.Geometry:
    """Walls but for the two openings, their jambs, and what stands in the room."""
    openings = [on_walls(room.space, opening) for opening in (room.a, room.b)]
    spans = [shapely.LineString(o).buffer(1e-7, cap_style="flat") for o in openings]
    jambs = shapely.MultiPoint([jamb for o in openings for jamb in o])
    line = room.space.boundary.difference(shapely.union_all(spans))
    inside = shapely.intersection(room.space, shapely.union_all(list(room.obstacles)))
    return shapely.union_all([line, jambs, inside])


def is_jambs(gap) -> bool:
    return gap.p_on.kind == gap.q_on.kind == "jamb"


@pytest.mark.parametrize("room", ROOMS + TURNED + RANDOM, ids=names)
def test_the_line_keeps_its_distance_and_passes_its_gap(room: Room):
    found = route(room.space, room.obstacles, room.a, room.b)
    gap = tightest(room.space, room.obstacles, room.a, room.b)
    assert found.gap.width == pytest.approx(gap.width, abs=1e-5)
    if gap.blocked:
        assert found.points == ()
        assert found.length == math.inf
        return
    line = shapely.LineString(found.points)
    assert room.space.buffer(1e-5).covers(line)
    assert solid_of(room).distance(line) >= gap.width / 2 - FLAT - HAIR - 2e-3
    assert found.length == pytest.approx(sum(map(math.dist, found.points, found.points[1:])))
    for end, opening in zip((found.points[0], found.points[-1]), (room.a, room.b), strict=True):
        assert shapely.LineString(on_walls(room.space, opening)).distance(shapely.Point(end)) < 1e-5
    across = shapely.LineString([found.gap.p, found.gap.q])
    assert across.distance(line) < 1e-5


def shortest_by_every_corner(room: Room, width: float, a: tuple, b: tuple) -> float:
    """Length by brute force: a graph of all corners of the floor that see each other."""
    grown = shapely.buffer(solid_of(room), width / 2 - HAIR, quad_segs=5)
    floor = shapely.difference(room.space, grown)
    spots = {tuple(c) for c in shapely.get_coordinates(shapely.segmentize(floor, 1e9)).tolist()}
    spots |= {a, b}
    within = floor.buffer(1e-6)
    shapely.prepare(within)
    graph = nx.Graph()
    pairs = list(combinations(sorted(spots), 2))
    lines = shapely.linestrings([[p, q] for p, q in pairs])
    for (p, q), seen in zip(pairs, shapely.covers(within, lines), strict=True):
        if seen:
            graph.add_edge(p, q, weight=math.dist(p, q))
    for end in (a, b):  # on coarser chords the line may start a hair off this floor
        spot = shapely.Point(end)
        on = shapely.get_coordinates(shapely.shortest_line(floor, spot))[0]
        if spot.distance(floor) > 0:
            assert spot.distance(floor) < 2 * FLAT
            for p in spots:
                if within.covers(shapely.LineString([p, on])):
                    graph.add_edge(p, end, weight=math.dist(p, on))
    return nx.dijkstra_path_length(graph, a, b)


@pytest.mark.parametrize("seed", range(24))
def test_no_line_is_shorter(seed: int):
    room = random_room(seed, pieces=4)
    found = route(room.space, room.obstacles, room.a, room.b)
    if not found.points:
        assert tightest(room.space, room.obstacles, room.a, room.b).blocked
        return
    ends = found.points[0], found.points[-1]
    best = shortest_by_every_corner(room, found.gap.width, *ends)
    assert found.length == pytest.approx(best, rel=0.01)


def test_room_101():
    room, side = box(0, 0, 162, 150), box(51, 0, 111, 18)
    o1, o4 = ((162, 20), (162, 80)), ((51, 150), (111, 150))
    table = box(39, 63, 123, 105)
    east, west = alternatives(room, [table, side], o1, o4)
    assert east.gap.width == west.gap.width == 39
    assert (east.gap.p, east.gap.q) == ((123, 92.5), (162, 92.5))
    assert (west.gap.p, west.gap.q) == ((39, 84), (0, 84))
    assert east.length == pytest.approx(142, abs=2)
    assert west.length == pytest.approx(276, abs=3)
    five_west = route(room, [box(34, 63, 118, 105), side], o1, o4)
    assert five_west.gap.width == 44
    assert {five_west.gap.p, five_west.gap.q} == {(118, 92.5), (162, 92.5)}


def test_of_two_equal_ways_the_shorter_is_taken_and_its_gap_named():
    """The direct line points at the one gap, but what stands there makes the other shorter."""
    room = box(0, 0, 300, 240)
    pieces = [box(140, 40, 160, 200), box(70, 0, 90, 194)]
    a, b = ((0, 4), (0, 64)), ((300, 4), (300, 64))
    found = route(room, pieces, a, b)
    assert tightest(room, pieces, a, b).middle[1] == pytest.approx(20)
    assert found.gap.width == pytest.approx(40)
    assert found.gap.middle[1] == pytest.approx(220)
    assert shapely.LineString(found.points).distance(
        shapely.LineString([found.gap.p, found.gap.q])
    ) == pytest.approx(0, abs=1e-6)


def test_a_line_starts_where_a_body_can_stand():
    room = BY_NAME["half across the opening"]
    found = route(room.space, room.obstacles, room.a, room.b)
    assert found.points[0][0] == 0
    assert found.points[0][1] == pytest.approx(139, abs=0.1)  # 128 to 150 is left of the opening


def test_alternatives_end_at_an_opening_and_keep_their_order():
    room = BY_NAME["empty square"]
    assert len(alternatives(room.space, room.obstacles, room.a, room.b)) == 1
    room = BY_NAME["row of three"]
    widths = [w.gap.width for w in alternatives(room.space, room.obstacles, room.a, room.b, 4)]
    assert widths == pytest.approx([34, 24, 22, 20])
    room = BY_NAME["shut off"]
    (shut,) = alternatives(room.space, room.obstacles, room.a, room.b)
    assert shut.gap.blocked


@settings(deadline=None, max_examples=40)
@given(seed=st.integers(0, 10_000), turn=st.floats(0, 360))
def test_turning_the_house_keeps_the_length(seed, turn):
    room = random_room(seed)
    there = route(room.space, room.obstacles, room.a, room.b)
    turned = moved(room, turn, 50, -30)
    again = route(turned.space, turned.obstacles, turned.a, turned.b)
    if there.points:
        assert again.length == pytest.approx(there.length, rel=0.01)


@settings(deadline=None, max_examples=40)
@given(seed=st.integers(0, 10_000))
def test_there_and_back_are_equally_long(seed):
    room = random_room(seed)
    there = route(room.space, room.obstacles, room.a, room.b)
    back = route(room.space, room.obstacles, room.b, room.a)
    if there.points:
        assert back.length == pytest.approx(there.length, abs=1e-3)
