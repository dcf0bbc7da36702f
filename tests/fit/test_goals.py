"""Paths to goals: by hand, against a bisection of its own, in rooms with one door."""

import math
from dataclasses import replace

import numpy as np
import pytest
import shapely
from tests.fit.demo_rooms import NEEDS, demo_space

from roomwright.fit.evaluate import room_fit
from roomwright.fit.goals import goal_paths, table, told
from roomwright.fit.ground import Ground
from roomwright.fit.kinds import table as kinds
from roomwright.fit.model import Body, Needs, Opening, Piece, Room, Space, Word

WALLS = ((0, 0), (144, 0), (144, 120), (0, 120))
DOOR = Opening("D1", (0, 80), (0, 116), "hall", "cased", 36, room="1", name="Hall")
FIGURES = Needs({"walkway.main": 36, "walkway.other": 30, "bedroom.circulation": 24})


def room(*pieces: Piece, fixed=(), openings=(DOOR,)) -> Space:
    return Space((Room("1", "Room", WALLS),), WALLS, openings=openings, pieces=pieces, fixed=fixed)


def of(space: Space, needs: Needs = FIGURES):
    return {path.goal: path for path in goal_paths(Ground(space), needs)}


RANGE = Piece("K1", "range", "range", 30, 26, 36, 120, 13, 0, "1")


def test_wide_enough_is_told_without_measuring_further():
    path = of(room(RANGE))["K1"]
    assert (path.width, path.enough, path.verdict.word) == (36, True, Word.FITS)


def test_past_an_island_by_hand():
    island = Piece("I1", "island", "island", 104, 40, 36, 52, 76, 0, "1")  # 0..104 x 56..96
    door = replace(DOOR, a=(0, 98), b=(0, 118))
    path = of(room(RANGE, island, openings=(door,)))["K1"]
    assert path.width == 20  # the door itself; 24 over the island and 40 beside it
    narrow = replace(island, y=92.0)  # 72..112: 8 over it
    path = of(room(RANGE, narrow, openings=(replace(door, a=(0, 10), b=(0, 46)),)))["K1"]
    assert path.enough  # from the south-west door nothing is in the way
    blocked = of(room(RANGE, narrow, openings=(replace(door, a=(0, 112), b=(0, 119)),)))["K1"]
    assert blocked.verdict.word is Word.BLOCKED


def test_the_aisle_before_it_counts():
    counter = Body("X1", "counter", "counter", "fixed",
                   ((90, 54), (144, 54), (144, 70), (90, 70)), room="1")  # fmt: skip
    path = of(room(RANGE, fixed=(counter,)))["K1"]
    assert path.width == pytest.approx(28, abs=1 / 32)  # 26 to 54
    assert path.verdict.word is Word.SHORT
    assert path.verdict.by == pytest.approx(8, abs=1 / 32)
    assert set(path.between) == {"counter X1", "range K1"}
    (finding,) = [f for f in told(of(room(RANGE, fixed=(counter,))).values()) if f.ids[0] == "K1"]
    assert finding.figure == "walkway.main"


@pytest.mark.parametrize("end", [18, 40])
def test_the_end_of_a_counter_is_worked_at_from_its_front(end):
    """A dishwasher stands against the counter's longer side: that is not where people work."""
    x = 144 - end
    counter = Body("X4", "counter", "counter", "fixed",
                   ((x, 0), (144, 0), (144, 25), (x, 25)), room="1")  # fmt: skip
    washer = Piece("K2", "dishwasher", "dishwasher", 24, 25, 34, x - 12, 12.5, 0, "1")
    path = of(room(washer, fixed=(counter,)))["X4"]
    assert (path.enough, path.verdict.word) == (True, Word.FITS)
    island = Piece(
        "I1", "island", "island", end, 30, 36, x + end / 2, 40, 0, "1"
    )  # flush before it
    path = of(room(washer, island, fixed=(counter,)))["X4"]
    assert path.verdict.word is Word.BLOCKED


def test_one_side_of_a_bed_is_enough():
    bed = Piece("B1", "bed queen", "bed", 60, 80, 24, 30, 40, 0, "1")  # against the west wall
    path = of(room(bed))["B1"]
    assert (path.width, path.enough) == (24, True)
    walled = Piece("C1", "bookcase", "bookcase", 20, 110, 84, 72, 55, 0, "1")  # to y 110
    path = of(room(bed, walled))["B1"]
    assert path.verdict.word is Word.BLOCKED


def test_nobody_comes_out_of_the_closet():
    closet = Opening("D2", (144, 10), (144, 34), "c", "cased", 24, room="1", name="Walk-in closet")
    desk = Piece("G1", "desk", "desk", 48, 24, 30, 100, 12, 0, "1")
    assert of(room(desk, openings=(closet, DOOR)))["G1"].from_ == "D1"
    assert of(room(desk, openings=(closet,)))["G1"].from_ == "D2"
    assert of(room(desk, openings=())) == {}


def halved(space: Space, side, opening) -> float:
    """Its own way: a raster of centers at 1/2 in., flood filled; within an inch."""
    floor = shapely.Polygon(space.outline)
    pieces = [shapely.Polygon(p.outline) for p in space.pieces]
    a, b = opening
    walls = floor.boundary.difference(shapely.LineString([a, b]).buffer(1e-6, cap_style="flat"))
    solid = shapely.union_all([walls, shapely.MultiPoint([a, b]), *pieces])
    step = 1.0
    xs, ys = np.meshgrid(np.arange(0, 145, step), np.arange(0, 121, step))
    spots = shapely.points(xs, ys)
    away = shapely.distance(solid, spots)
    free = shapely.covers(floor.difference(shapely.union_all(pieces)), spots)
    (ax, ay), (bx, by) = side
    run = math.dist(*side)
    ox, oy = (by - ay) / run, (ax - bx) / run
    best = 0.0
    for width in np.arange(1.0, 37.0, 1.0):
        ok = free & (away >= width / 2 - 0.36)
        seen = np.zeros_like(ok)
        near = shapely.distance(shapely.LineString([a, b]), spots) <= 0.5
        stack = list(zip(*np.nonzero(ok & near), strict=True))
        for at in stack:
            seen[at] = True
        while stack:
            i, j = stack.pop()
            for u, v in ((i + 1, j), (i - 1, j), (i, j + 1), (i, j - 1)):
                inside = 0 <= u < ok.shape[0] and 0 <= v < ok.shape[1]
                if inside and ok[u, v] and not seen[u, v]:
                    seen[u, v] = True
                    stack.append((u, v))
        off = width / 2
        goal = shapely.LineString([(ax + off * ox, ay + off * oy), (bx + off * ox, by + off * oy)])
        if not (seen & (shapely.distance(goal, spots) <= 0.75)).any():
            break
        best = float(width)
    return best


@pytest.mark.parametrize("seed", range(16))
def test_against_a_flood_fill(seed):
    rng = np.random.default_rng([304, seed])
    desk = Piece("G1", "desk", "desk", 48, 24, 30, 110, 12, 0, "1")
    others = tuple(
        Piece(f"P{k}", "bookcase", "bookcase", float(rng.uniform(12, 40)),
              float(rng.uniform(8, 24)), 60, float(rng.uniform(15, 130)),
              float(rng.uniform(40, 110)),
              float(rng.choice([0, 90, rng.uniform(0, 180)])), "1")
        for k in range(4)
    )  # fmt: skip
    space = room(desk, *others)
    path = of(space)["G1"]
    # a desk faces north at turn 0: its front is the segment (134, 24) to (86, 24)
    rough = halved(space, ((134, 24), (86, 24)), (DOOR.a, DOOR.b))
    if path.enough:
        assert rough >= path.width - 2
    else:
        assert rough == pytest.approx(path.width, abs=2.0)


def test_every_goal_is_a_kind():
    assert set(table()) <= {kind.name for kind in kinds().values()}


def test_demo_goals():
    fit = room_fit(demo_space("102"), NEEDS, "102")
    assert {g.goal for g in fit.goals} >= {"K1", "K2", "K3"}
    assert all(g.verdict.word is Word.FITS for g in fit.goals)
    laundry = room_fit(demo_space("207"), NEEDS, "207")
    assert {f.ids[0] for f in laundry.findings if f.kind == "goal"} == {"U1", "U2"}  # behind D12
    (washer,) = [g for g in laundry.goals if g.goal == "U1"]
    assert washer.width == pytest.approx(2.5, abs=1 / 32)  # [C] 210.5 - 208


@pytest.mark.parametrize(("stub", "wide"), [(0.0, 30.0), (1.7, 26.0), (10.0, 26.0)])
def test_what_stands_in_the_opening_itself_counts(stub: float, wide: float):
    """A stub through a doorway of 36 leaves 26, however little of it shows in the room."""
    ring = ((0.0, 0.0), (120.0, 0.0), (120.0, 120.0), (0.0, 120.0))
    door = Opening("D1", (0, 40), (0, 76), "2", "cased", 36, room="1")
    desk = Piece("K1", "desk", "desk", 40, 24, 30, 108, 60, 90, "1")
    fixed = ()
    if stub:
        outline = ((-4.0, 40.0), (stub, 40.0), (stub, 50.0), (-4.0, 50.0))
        fixed = (Body("X1", "pipe chase", "wall", "fixed", outline, room="1"),)
    room = Space((Room("1", "Den", ring),), ring, openings=(door,), pieces=(desk,), fixed=fixed)
    (path,) = goal_paths(Ground(room), NEEDS)
    assert path.width == pytest.approx(wide, abs=1 / 32)
