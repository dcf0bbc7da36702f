"""Tightest place of a walking route: by hand, against halving, and what must not change it."""

import math
from itertools import pairwise

import numpy as np
import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st
from shapely import Polygon, box
from tests.fit.zoo import BY_NAME, ROOMS, SQUARE, TURNED, WEST, Room, moved, random_room

from roomwright.fit.bounds import OpeningError
from roomwright.fit.reach import tightest_to
from roomwright.fit.ways import Touch, tightest

WITHIN = 0.02  # of the halving: its tolerance of 1/64 in. and its chords


def names(room: Room) -> str:
    return room.name


def width(room: Room) -> float:
    return tightest(room.space, room.obstacles, room.a, room.b).width


@pytest.mark.parametrize("room", [r for r in ROOMS + TURNED if r.width is not None], ids=names)
def test_worked_by_hand(room: Room):
    slack = 0.06 if "round" in room.name else 1e-5  # the round table is a polygon of chords
    assert width(room) == pytest.approx(room.width, abs=slack)


@pytest.mark.parametrize("room", ROOMS + TURNED, ids=names)
def test_zoo_agrees_with_halving(room: Room):
    found = tightest_to(room.space, room.obstacles, room.a, room.b)
    assert width(room) == pytest.approx(found.width, abs=WITHIN)


@pytest.mark.parametrize("seed", range(200))
def test_random_rooms_agree_with_halving(seed: int):
    room = random_room(seed)
    found = tightest_to(room.space, room.obstacles, room.a, room.b)
    assert width(room) == pytest.approx(found.width, abs=WITHIN)


@pytest.mark.parametrize("room", ROOMS + [random_room(s) for s in range(60)], ids=names)
def test_ends_are_where_they_say(room: Room):
    gap = tightest(room.space, room.obstacles, room.a, room.b)
    assert math.dist(gap.p, gap.q) == pytest.approx(gap.width, abs=1e-5)
    assert gap.blocked == (gap.width == 0)
    for end, on in ((gap.p, gap.p_on), (gap.q, gap.q_on)):
        spot = shapely.Point(end)
        if on.kind == "obstacle":
            assert room.obstacles[on.index].distance(spot) < 1e-5
        else:
            assert room.space.boundary.distance(spot) < 1e-5
    line = shapely.LineString([gap.p, gap.q])
    assert room.space.buffer(1e-5).covers(line)
    solid = shapely.union_all([*room.obstacles, room.space.boundary])
    if gap.p_on.kind != "jamb" or gap.q_on.kind != "jamb":
        middle = shapely.Point(gap.middle)
        for opening in (room.a, room.b):
            solid = solid.difference(shapely.LineString(opening).buffer(1e-6))
        assert solid.distance(middle) >= gap.width / 2 - 1e-4


@pytest.mark.parametrize("room", ROOMS + [random_room(s) for s in range(40)], ids=names)
def test_same_both_ways_and_with_openings_given_backwards(room: Room):
    there = width(room)
    assert tightest(room.space, room.obstacles, room.b, room.a).width == pytest.approx(there)
    back = tightest(room.space, room.obstacles[::-1], room.a[::-1], room.b[::-1])
    assert back.width == pytest.approx(there)


@settings(deadline=None, max_examples=60)
@given(
    seed=st.integers(0, 10_000),
    turn=st.floats(0, 360),
    dx=st.floats(-1e3, 1e3),
    dy=st.floats(-1e3, 1e3),
)
def test_turning_and_moving_the_house_changes_nothing(seed, turn, dx, dy):
    room = random_room(seed)
    assert width(moved(room, turn, dx, dy)) == pytest.approx(width(room), abs=1e-5)


@settings(deadline=None, max_examples=60)
@given(seed=st.integers(0, 10_000))
def test_one_more_thing_never_widens_a_way(seed):
    room = random_room(seed)
    widths = [
        tightest(room.space, room.obstacles[:n], room.a, room.b).width
        for n in range(len(room.obstacles) + 1)
    ]
    assert all(later <= earlier + 1e-6 for earlier, later in pairwise(widths))
    assert widths[0] <= min(math.dist(*room.a), math.dist(*room.b)) + 1e-9


@settings(deadline=None, max_examples=40)
@given(seed=st.integers(0, 10_000), factor=st.floats(0.3, 3))
def test_a_house_twice_the_size_has_ways_twice_as_wide(seed, factor):
    room = random_room(seed)
    grow = np.array([factor, factor])

    def big(shape: Polygon) -> Polygon:
        return shapely.transform(shape, lambda xy: xy * grow)

    a, b = (tuple((x * factor, y * factor) for x, y in s) for s in (room.a, room.b))
    found = tightest(big(room.space), list(map(big, room.obstacles)), a, b)
    assert found.width == pytest.approx(width(room) * factor, abs=1e-5)


def test_room_101_and_its_table_five_inches_west():
    room = box(0, 0, 162, 150)
    side = box(51, 0, 111, 18)
    o1, o4 = ((166.5, 20), (166.5, 80)), ((51, 150), (111, 150))
    gap = tightest(room, [box(39, 63, 123, 105), side], o1, o4)
    assert gap.width == 39
    assert (gap.p, gap.q) == ((123.0, 92.5), (162.0, 92.5))  # between the jamb and the corner
    assert gap.p_on == Touch("obstacle", 0)
    assert gap.q_on.kind == "wall"
    assert tightest(room, [box(34, 63, 118, 105), side], o1, o4).width == 44


def test_an_opening_that_is_narrowest_gives_its_jambs():
    room = BY_NAME["narrower door"]
    gap = tightest(room.space, room.obstacles, room.a, room.b)
    assert {gap.p, gap.q} == {(0, 100), (0, 130)}
    assert gap.p_on == gap.q_on == Touch("jamb", 0)


def test_wall_numbers_follow_the_outline():
    room = Polygon([(0, 0), (240, 0), (240, 240), (0, 240)])
    gap = tightest(room, [box(60, 32, 180, 220)], WEST, ((240, 90), (240, 150)))
    assert Touch("wall", 0) in (gap.p_on, gap.q_on)
    gap = tightest(room, [box(60, 20, 180, 208)], WEST, ((240, 90), (240, 150)))
    assert Touch("wall", 2) in (gap.p_on, gap.q_on)
    gap = tightest(room, [box(60, 20, 180, 208)], ((90, 0), (150, 0)), ((90, 240), (150, 240)))
    assert {gap.p_on.index, gap.q_on.index} <= {0, 1, 3}


@pytest.mark.parametrize(
    ("a", "b", "says"),
    [
        (((50, 50), (50, 90)), WEST, "off the walls"),
        (((0, 100), (0, 140)), WEST, "overlap"),
        (((0, 80), (0, 160)), WEST, "overlap"),
        (WEST, WEST, "overlap|same"),
        (((240, 20), (240, 20)), WEST, "no width"),
    ],
)
def test_openings_that_cannot_be(a, b, says):
    with pytest.raises(OpeningError, match=says):
        tightest(SQUARE, [], a, b)


def test_bad_shapes_are_named():
    bow = Polygon([(0, 0), (10, 10), (10, 0), (0, 10)])
    east = ((240, 90), (240, 150))
    with pytest.raises(ValueError, match="obstacle 1 is not a valid polygon"):
        tightest(SQUARE, [box(5, 5, 6, 6), bow], WEST, east)
    with pytest.raises(ValueError, match="space must be one valid polygon"):
        tightest(bow, [], WEST, east)
    with pytest.raises(ValueError, match="space must be one valid polygon"):
        tightest(shapely.MultiPolygon([SQUARE, box(300, 0, 340, 40)]), [], WEST, east)


def test_empty_obstacles_and_scraps_do_not_count():
    east = ((240, 90), (240, 150))
    assert tightest(SQUARE, [Polygon(), box(240, 0, 250, 240)], WEST, east).width == 60


def test_goal_in_the_room():
    kitchen = box(0, 0, 144, 120)
    island = box(40, 30, 144, 80)
    door = ((0, 90), (0, 118))
    gap = tightest_to(kitchen, [island], door, (120, 15))
    assert gap.width == pytest.approx(28, abs=WITHIN)
    assert tightest_to(kitchen, [box(40, 24, 144, 80)], door, (120, 12)).width == pytest.approx(
        24, abs=WITHIN
    )


def test_goal_hemmed_in_and_goal_shut_off():
    kitchen = box(0, 0, 144, 120)
    door = ((0, 90), (0, 118))
    gap = tightest_to(kitchen, [], door, (139, 60))
    assert gap.width == pytest.approx(10, abs=WITHIN)
    assert "goal" in (gap.p_on.kind, gap.q_on.kind)
    shut = tightest_to(kitchen, [box(60, 0, 70, 120)], door, (120, 60))
    assert shut.blocked
    assert shut.width == 0


def test_goal_may_be_a_strip_of_floor():
    kitchen = box(0, 0, 144, 120)
    before_range = box(60, 12, 90, 30)
    gap = tightest_to(kitchen, [box(0, 44, 120, 80)], ((0, 90), (0, 118)), before_range)
    assert gap.width == pytest.approx(24, abs=WITHIN)
