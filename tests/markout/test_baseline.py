"""Points off a baseline, and the 3-4-5 that squares them."""

import math

import pytest
import shapely
from tests.markout.floors import DINING, ELL, box, floor, random_floor, targets

from roomwright.markout.baseline import UNITS, by_baseline
from roomwright.markout.model import Tape
from roomwright.markout.reach import Reach

TAPE = Tape()
TABLE = ((39, 63), (123, 63), (123, 105), (39, 105))


def lines_of(room, spots):
    return by_baseline(spots, Reach(room), TAPE)


def at(line, along, off):
    (ux, uy), (nx, ny) = line.direction, line.inward
    return line.start[0] + along * ux + off * nx, line.start[1] + along * uy + off * ny


def test_one_point_by_hand():
    (line,), missed = lines_of(floor(DINING), targets((39, 63)))
    (one,) = line.offsets
    assert missed == ()
    assert sorted((one.along, one.off)) == [39, 63]
    assert (line.faces, line.start_name) in {("south", "A"), ("west", "A")}
    assert one.rounding == 0


def test_a_table_near_the_north_wall_is_measured_off_it():
    (line,), _ = lines_of(floor(DINING), targets(*TABLE))
    assert (line.faces, line.wall, line.start_name) == ("north", "C", "C")
    assert {(o.along, o.off) for o in line.offsets} == {(39, 45), (39, 87), (123, 45), (123, 87)}


@pytest.mark.parametrize("seed", range(40))
def test_every_offset_leads_back_to_its_point_over_free_floor(seed):
    room, spots = random_floor(seed)
    lines, missed = lines_of(room, spots)
    solids = shapely.union_all([shapely.Polygon(o.outline) for o in room.obstacles])
    free = shapely.Polygon(room.outline).difference(solids).buffer(0.02, join_style="mitre")
    done = [o.target.id for line in lines for o in line.offsets]
    assert sorted(done + [t.id for t in missed]) == sorted(t.id for t in spots)
    for line in lines:
        for o in line.offsets:
            foot = at(line, o.along, 0)
            assert math.dist(at(line, o.along, o.off), o.target.at) < 1e-6
            assert free.covers(shapely.LineString([line.start, foot]))
            assert free.covers(shapely.LineString([foot, o.target.at]))
            rounded = at(line, o.read_along, o.read_off)
            assert math.isclose(math.dist(rounded, o.target.at), o.rounding, abs_tol=1e-9)


@pytest.mark.parametrize("seed", range(40))
def test_the_square_is_a_3_4_5_on_the_floor_and_no_larger_one_fits_at_its_heel(seed):
    room, spots = random_floor(seed)
    solids = shapely.union_all([shapely.Polygon(o.outline) for o in room.obstacles])
    bare = shapely.Polygon(room.outline).difference(solids)
    free, inner = bare.buffer(0.02, join_style="mitre"), bare.buffer(-0.05)
    for line in lines_of(room, spots)[0]:
        s = line.square
        assert s is not None
        assert sorted([s.along, s.off, s.across]) == pytest.approx(
            [3 * s.across / 5, 4 * s.across / 5, s.across]
        )
        assert s.across / 5 in UNITS
        assert abs(s.toe - s.heel) == pytest.approx(s.along)
        heel, toe, top = at(line, s.heel, 0), at(line, s.toe, 0), at(line, s.heel, s.off)
        assert math.dist(toe, top) == pytest.approx(s.across)
        ring = shapely.LinearRing([heel, toe, top])
        assert free.covers(ring)
        for unit in (u for u in UNITS if u > s.across / 5):
            for a, b in ((3, 4), (4, 3)):
                for way in (1, -1):
                    far = s.heel + way * a * unit
                    if 0 <= far <= math.dist(line.start, line.end):
                        larger = [heel, at(line, far, 0), at(line, s.heel, b * unit)]
                        assert not inner.covers(shapely.LinearRing(larger))


def test_nine_twelve_fifteen_feet_go_on_a_large_floor():
    big = ((0.0, 0.0), (240.0, 0.0), (240.0, 200.0), (0.0, 200.0))
    (line,), _ = lines_of(floor(big), targets((120, 20)))
    assert (line.square.across, {line.square.along, line.square.off}) == (180, {108, 144})


def test_a_closet_has_a_small_one():
    closet = ((0.0, 0.0), (40.0, 0.0), (40.0, 26.0), (0.0, 26.0))
    (line,), _ = lines_of(floor(closet), targets((20, 10)))
    assert ({line.square.along, line.square.off}, line.square.across) == ({18, 24}, 30)


def test_no_baseline_behind_what_stands_at_the_wall():
    row = [box("S", 81, 9, 60, 18), box("N", 81, 141, 60, 18)]
    lines, missed = lines_of(floor(DINING, obstacles=row), targets((100, 75)))
    assert missed == ()
    assert {line.faces for line in lines} <= {"east", "west"}


def test_a_point_far_from_one_wall_is_measured_from_another():
    long = ((0.0, 0.0), (290.0, 0.0), (290.0, 290.0), (0.0, 290.0))
    lines, _ = lines_of(floor(long), targets((140, 12), (150, 280)))
    assert {line.faces for line in lines} == {"south", "north"}


def test_letters_of_a_clockwise_outline_stay_its_own():
    turned = tuple(reversed(DINING))  # A is the north-west corner, then clockwise
    (line,), _ = lines_of(floor(turned), targets((39, 20)))
    corner = {"A": (0, 150), "B": (162, 150), "C": (162, 0), "D": (0, 0)}
    assert line.start == corner[line.start_name]
    assert line.wall == "C"  # from C to D, the south wall


def test_a_point_in_a_pocket_is_missed():
    ring = [box("N", 81, 95, 60, 4), box("S", 81, 65, 60, 4), box("W", 52, 80, 4, 34),
            box("E", 110, 80, 4, 34)]  # fmt: skip
    lines, missed = lines_of(floor(DINING, obstacles=ring), targets((81, 80)))
    assert lines == ()
    assert len(missed) == 1


def test_the_bite_of_an_ell_has_its_own_walls():
    lines, missed = lines_of(floor(ELL), targets((150, 80), (60, 180)))
    assert missed == ()
    assert sum(len(line.offsets) for line in lines) == 2
