"""Points by ties: recomputed by shapely's circles, and chosen as brute force would choose."""

import math
from itertools import combinations

import numpy as np
import pytest
import shapely
from tests.markout.floors import DINING, ELL, box, floor, random_floor, targets

from roomwright.markout.error import ellipse, of_ties
from roomwright.markout.model import USUAL, Floor, Habits, Tape
from roomwright.markout.reach import Reach
from roomwright.markout.ties import by_ties, fewest

TAPE = Tape()
SEEDS = range(60)


def circle(center, radius, sides=20_000):
    turn = np.linspace(0, 2 * np.pi, sides, endpoint=False)
    ring = np.stack([center[0] + radius * np.cos(turn), center[1] + radius * np.sin(turn)], axis=1)
    return shapely.LinearRing(ring)


@pytest.mark.parametrize("seed", range(25))
def test_the_printed_ties_put_the_point_where_it_was(seed):
    """By the crossings of two fine polygons: nothing of our own arcs is used."""
    room, spots = random_floor(seed)
    fixes, _ = by_ties(spots, Reach(room), TAPE)
    for fix in fixes:
        met = shapely.intersection(*(circle(t.hook.at, t.read) for t in fix.ties))
        points = [(p.x, p.y) for p in shapely.get_parts(met) if p.geom_type == "Point"]
        assert points
        near = min(points, key=lambda p: math.dist(p, fix.target.at))
        assert abs(math.dist(near, fix.target.at) - fix.rounding) < 2e-3
        assert all(abs(t.read - t.distance) <= 1 / 32 + 1e-9 for t in fix.ties)
        assert all(t.read * 16 == int(t.read * 16) for t in fix.ties)


def brute(target, room, tape=TAPE):
    """The least position error over all pairs, each reach by shapely alone."""
    solids = shapely.union_all([shapely.Polygon(o.outline) for o in room.obstacles])
    free = shapely.Polygon(room.outline).difference(solids).buffer(1e-3, join_style="mitre")
    best = math.inf
    for a, b in combinations(room.hooks, 2):
        lines = [shapely.LineString([h.at, target.at]) for h in (a, b)]
        if any(not USUAL.tie_least <= line.length <= tape.longest for line in lines):
            continue
        if not all(free.covers(line) for line in lines):
            continue
        u, v = (np.subtract(target.at, h.at) / math.dist(h.at, target.at) for h in (a, b))
        if abs(u[0] * v[1] - u[1] * v[0]) > math.sin(math.radians(10)):
            best = min(best, ellipse(of_ties(target.at, a.at, b.at, tape)).major)
    return best


@pytest.mark.parametrize("seed", SEEDS)
def test_the_choice_against_every_pair(seed):
    room, spots = random_floor(seed)
    strict, missed = by_ties(spots, Reach(room), TAPE, Habits(tie_worse=0.0))
    easy, missed_too = by_ties(spots, Reach(room), TAPE)
    assert {f.target.id for f in strict} | {t.id for t in missed} == {t.id for t in spots}
    assert missed == missed_too
    for fix in strict:
        best = brute(fix.target, room)
        assert math.isclose(fix.ellipse.major, best, rel_tol=1e-9)
        assert math.isclose(fix.best, best, rel_tol=1e-9)
    for fix in easy:
        assert fix.ellipse.major <= brute(fix.target, room) + USUAL.tie_worse + 1e-6
    for each in missed:
        assert brute(each, room) == math.inf
    hooks = [{t.hook.id for f in fixes for t in f.ties} for fixes in (strict, easy)]
    assert len(hooks[1]) <= len(hooks[0])


def test_the_random_floors_have_both_kinds_of_point():
    """The test above would mean little if every point could be had, or if none could not."""
    had = missed = 0
    for seed in SEEDS:
        room, spots = random_floor(seed)
        fixes, left = by_ties(spots, Reach(room), TAPE)
        had, missed = had + len(fixes), missed + len(left)
    assert had > 150
    assert missed > 0


@pytest.mark.parametrize("seed", range(12))
def test_the_fewest_fixed_points_against_every_set(seed):
    rng = np.random.default_rng(seed)
    n, m = 5, 7
    errors = rng.uniform(0.3, 1.0, (n, m, m))
    errors = np.minimum(errors, errors.transpose(0, 2, 1))
    errors[:, range(m), range(m)] = np.inf
    limit = errors.min(axis=(1, 2)) + 0.12
    for size in range(2, m + 1):
        fine = [
            sum(errors[:, s][:, :, s].min(axis=(1, 2)))
            for s in map(list, combinations(range(m), size))
            if (errors[:, s][:, :, s].min(axis=(1, 2)) <= limit).all()
        ]
        if fine:
            break
    chosen = fewest(errors, limit)
    assert (errors[:, chosen][:, :, chosen].min(axis=(1, 2)) <= limit).all()
    if size <= 4:
        assert len(chosen) == size
        assert math.isclose(sum(errors[:, chosen][:, :, chosen].min(axis=(1, 2))), min(fine))


def test_a_table_by_hand():
    """From corners A and B of a 162 in. wall: 39, 63 is 74 3/32 and 138 1/32 by Pythagoras."""
    room = floor(DINING)
    only = Floor(DINING, hooks=room.hooks[:2])
    (fix,), _ = by_ties(targets((39, 63)), Reach(only), TAPE)
    assert [t.hook.id for t in fix.ties] == ["A", "B"]
    assert math.isclose(fix.first.distance, math.hypot(39, 63))
    assert math.isclose(fix.second.distance, math.hypot(123, 63))
    assert fix.first.read == 74.125
    assert fix.second.read == 138.1875
    assert fix.side == "north"
    assert not fix.twin


def test_the_other_crossing_is_told_where_it_is_on_the_floor():
    room = Floor(DINING, hooks=floor(DINING, (0, 75), (162, 75)).hooks[4:])
    (low, high), _ = by_ties(targets((80, 40), (80, 110)), Reach(room), TAPE)
    assert (low.side, low.twin) == ("south", True)
    assert (high.side, high.twin) == ("north", True)


def test_no_tie_across_an_obstacle_or_round_the_corner():
    island = box("I", 81, 40, 60, 30)
    fixes, missed = by_ties(targets((81, 20)), Reach(floor(DINING, obstacles=[island])), TAPE)
    assert {t.hook.id for t in fixes[0].ties} == {"A", "B"}
    fixes, missed = by_ties(targets((40, 190)), Reach(floor(ELL)), TAPE)
    assert not {"C"} & {t.hook.id for f in fixes for t in f.ties}
    assert not missed


def test_a_point_walled_in_is_missed():
    ring = [box("N", 81, 95, 60, 4), box("S", 81, 65, 60, 4), box("W", 52, 80, 4, 34),
            box("E", 110, 80, 4, 34)]  # fmt: skip
    fixes, missed = by_ties(targets((81, 80)), Reach(floor(DINING, obstacles=ring)), TAPE)
    assert fixes == ()
    assert [t.id for t in missed] == ["1"]


def test_nothing_to_mark_and_nothing_to_hold():
    assert by_ties([], Reach(floor(DINING)), TAPE) == ((), ())
    spots = targets((20, 20))
    assert by_ties(spots, Reach(Floor(DINING)), TAPE) == ((), tuple(spots))
    one = Floor(DINING, hooks=floor(DINING).hooks[:1])
    assert by_ties(spots, Reach(one), TAPE) == ((), tuple(spots))


def test_a_tape_that_is_too_short_reaches_nothing():
    spots = targets((80, 75))
    assert by_ties(spots, Reach(floor(DINING)), Tape(longest=60))[1] == tuple(spots)


def test_the_house_may_have_other_habits():
    """A longer shortest tie, a squarer crossing: the choice keeps to them."""
    room = floor(((0, 0), (162, 0), (162, 150), (0, 150)))
    spots = targets((20, 20), (80, 70), (140, 120), (150, 10))
    shy = Habits(tie_least=60.0, tie_angle=60.0)
    fixes, missed = by_ties(spots, Reach(room), TAPE, shy)
    assert len(fixes) + len(missed) == 4
    assert all(t.distance >= 60 for f in fixes for t in f.ties)
    assert all(f.angle >= 60 for f in fixes)
    usual, _ = by_ties(spots, Reach(room), TAPE)
    assert any(f.angle < 60 or min(t.distance for t in f.ties) < 60 for f in usual)
