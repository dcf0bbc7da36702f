"""Where a tape lies straight: against shapely's covers in random rooms, and edges by hand."""

import random

import pytest
import shapely
from tests.markout.floors import DINING, ELL, box, floor, random_floor

from roomwright.markout.model import Floor, Obstacle
from roomwright.markout.reach import Reach


@pytest.mark.parametrize("seed", range(40))
def test_against_covers(seed):
    room, _ = random_floor(seed)
    reach, rng = Reach(room), random.Random(seed)
    solids = shapely.union_all([shapely.Polygon(o.outline) for o in room.obstacles])
    free = shapely.Polygon(room.outline).difference(solids)
    outer, inner = free.buffer(0.1), free.buffer(-0.1)
    west, south, east, north = free.bounds
    ends = [h.at for h in room.hooks]
    ends += [(rng.uniform(west, east), rng.uniform(south, north)) for _ in range(20)]
    table = reach.table(ends, ends)
    sure = 0
    for i, a in enumerate(ends):
        for j, b in enumerate(ends):
            line = shapely.LineString([a, b])
            assert table[i, j] == reach.straight(a, b)
            if not outer.covers(line):
                assert not table[i, j]
            elif inner.covers(line):
                assert table[i, j]
                sure += 1
            elif free.covers(line):
                assert table[i, j]
    assert sure > 10


def test_touching_an_edge_is_fine():
    reach = Reach(floor(DINING, obstacles=[box("I", 81, 75, 40, 40)]))
    assert reach.straight((0, 95), (162, 95))  # along the island's north edge
    assert not reach.straight((0, 94), (162, 94))
    assert reach.straight((0, 0), (162, 0))  # along the wall
    assert reach.straight((61, 0), (61, 150))


def test_no_tape_behind_what_stands_against_the_wall():
    reach = Reach(floor(DINING, obstacles=[box("S", 81, 9, 60, 18)]))
    assert not reach.straight((0, 0), (162, 0))
    assert reach.straight((0, 0), (51, 0))


def test_a_crack_between_two_things_lets_no_tape_through():
    pair = [box("A", 41, 75, 80, 20), box("B", 121.01, 75, 80, 20)]
    assert not Reach(floor(DINING, obstacles=pair)).straight((81.005, 0), (81.005, 150))
    wide = [box("A", 41, 75, 80, 20), box("B", 121.1, 75, 80, 20)]
    assert Reach(floor(DINING, obstacles=wide)).straight((81.05, 0), (81.05, 150))


def test_past_an_outside_corner():
    reach = Reach(floor(ELL))
    assert reach.straight((0, 0), (84, 96))
    assert not reach.straight((170, 90), (80, 190))
    assert reach.in_the_way((170, 90), (80, 190)) == ("a wall",)


def test_what_is_in_the_way_is_named():
    reach = Reach(floor(DINING, obstacles=[box("I", 81, 75, 40, 40), box("J", 20, 20, 10, 10)]))
    assert reach.in_the_way((0, 75), (162, 75)) == ("box I",)
    assert reach.in_the_way((0, 95), (162, 95)) == ()
    assert [o.name for o in reach.over((81, 75))] == ["box I"]
    assert reach.over((101, 75)) == ()


def test_a_thin_partition_is_an_obstacle():
    thin = Obstacle("P", "partition", ((80, 0), (80.25, 0), (80.25, 150), (80, 150)))
    assert not Reach(floor(DINING, obstacles=[thin])).straight((0, 75), (162, 75))


def test_holes_are_no_floor():
    hole = ((60.0, 60.0), (100.0, 60.0), (100.0, 100.0), (60.0, 100.0))
    reach = Reach(Floor(DINING, holes=(hole,)))
    assert not reach.straight((0, 80), (162, 80))
    assert not reach.on_floor((80, 80))


def test_an_obstacle_without_area_or_one_that_crosses_itself_does_no_harm():
    bad = [Obstacle("X", "bow tie", ((10, 10), (50, 50), (50, 10), (10, 50))),
           Obstacle("Y", "line", ((0, 0), (10, 10)))]  # fmt: skip
    reach = Reach(floor(DINING, obstacles=bad))
    assert reach.straight((100, 20), (150, 140))
    assert not reach.straight((0, 30), (162, 30)) or reach.straight((0, 30), (20, 30))


def test_a_sharp_corner_keeps_its_point():
    wedge = ((0.0, 0.0), (200.0, 0.0), (200.0, 40.0))
    assert Reach(floor(wedge)).straight((0, 0), (150, 20))
