"""Order, checks, steps, sticks and poles; and what is refused."""

import math
from itertools import pairwise, permutations

import numpy as np
import pytest
from tests.markout.floors import DINING, floor, random_floor, targets

from roomwright.lengths import tape as printed
from roomwright.markout.baseline import by_baseline
from roomwright.markout.checks import LIMIT, checks
from roomwright.markout.error import Covariance, crossing
from roomwright.markout.model import Figure, Floor, Habits, MarkoutError, Tape, Target
from roomwright.markout.order import stands, walk
from roomwright.markout.pole import FLAP, STRIP, Mark, pages, pole, strips
from roomwright.markout.reach import Reach
from roomwright.markout.spoken import spoken
from roomwright.markout.steps import baseline_steps, check_steps, drawing_steps, tie_steps
from roomwright.markout.ties import by_ties

TAPE = Tape()
TABLE = targets((39, 63), (123, 63), (123, 105), (39, 105))


# --- order ---------------------------------------------------------------------------------------


@pytest.mark.parametrize("seed", range(30))
def test_every_point_has_two_arcs_and_each_fixed_point_is_visited_once(seed):
    room, spots = random_floor(seed)
    fixes, _ = by_ties(spots, Reach(room), TAPE)
    order = stands(fixes)
    assert len({s.hook.id for s in order}) == len(order)
    struck = [(a.target.id, s.hook.id, a.crosses) for s in order for a in s.arcs]
    for fix in fixes:
        mine = [(hook, crosses) for id_, hook, crosses in struck if id_ == fix.target.id]
        assert {hook for hook, _ in mine} == {t.hook.id for t in fix.ties}
        assert [crosses for _, crosses in mine] == [False, True]


def test_the_walk_is_the_shortest_for_few_and_near_it_for_many():
    rng = np.random.default_rng(1)
    for count in (1, 3, 6):
        points = [tuple(p) for p in rng.uniform(0, 100, (count, 2))]
        best = min(
            sum(math.dist(a, b) for a, b in pairwise([(0, 0), *(points[i] for i in o)]))
            for o in permutations(range(count))
        )
        assert math.isclose(walk(points, (0, 0))[1], best)
    ring = [(50 + 40 * math.cos(t), 50 + 40 * math.sin(t)) for t in np.linspace(0, 6, 12)]
    order, far, _ = walk(ring, ring[0])
    assert sorted(order) == list(range(12))
    assert far <= 1.05 * sum(math.dist(a, b) for a, b in pairwise(ring))
    assert walk([], (3, 4)) == ([], 0.0, (3, 4))


# --- checks --------------------------------------------------------------------------------------


def test_sides_and_diagonals_of_a_table():
    fixes, _ = by_ties(TABLE, Reach(floor(DINING)), TAPE)
    errors = {f.target.id: f.covariance for f in fixes}
    known = {t.id: t for t in TABLE}
    found = checks(Figure("T1", "table", ("1", "2", "3", "4")), known, errors, TAPE)
    assert [(c.kind, c.first.id + c.second.id) for c in found] == [
        ("side", "12"), ("side", "23"), ("side", "34"), ("side", "41"),
        ("diagonal", "13"), ("diagonal", "24"),
    ]  # fmt: skip
    assert [c.read for c in found] == [84, 42, 84, 42, 93.9375, 93.9375]  # 93.915 by Pythagoras
    assert all(c.within * 16 == int(c.within * 16) for c in found)


def test_a_check_stays_within_its_limit_95_times_of_100():
    """20,000 mark-outs of one side, each end from fixed points of its own."""
    room = floor(DINING)
    a, b = TABLE[0], TABLE[2]
    fixes, _ = by_ties([a, b], Reach(room), TAPE, Habits(tie_worse=0.0))
    rng = np.random.default_rng(9)

    def marked(fix):
        one, two = fix.ties
        return [
            crossing(one.hook.at, one.distance + TAPE.sd(one.distance) * x, two.hook.at,
                     two.distance + TAPE.sd(two.distance) * y, fix.target.at)
            for x, y in rng.standard_normal((20_000, 2))
        ]  # fmt: skip

    first, second = (np.array(marked(f)) for f in fixes)
    d = math.dist(a.at, b.at)
    taped = np.hypot(*(first - second).T) + TAPE.sd(d) * rng.standard_normal(20_000)
    errors = {f.target.id: f.covariance for f in fixes}
    (check,) = checks(Figure("x", "x", ("1", "3"), closed=False), {"1": a, "3": b}, errors, TAPE)
    u = np.subtract(b.at, a.at) / d
    sd = math.sqrt(sum(errors[i].along(tuple(u)) for i in "13") + TAPE.sd(d) ** 2)
    assert abs((np.abs(taped - d) <= LIMIT * sd).mean() - 0.95) < 0.006
    assert LIMIT * sd <= check.within <= LIMIT * sd + 1 / 16


def test_a_figure_of_many_corners_has_a_fan_of_diagonals():
    ids = tuple(map(str, range(10)))
    turn = 2 * math.pi / 10
    ring = {i: Target(i, i, (50 * math.cos(turn * k), 50 * math.sin(turn * k)))
            for k, i in enumerate(ids)}  # fmt: skip
    still = dict.fromkeys(ids, Covariance(0.01, 0.0, 0.01))
    kinds = [c.kind for c in checks(Figure("r", "ring", ids), ring, still, TAPE)]
    assert (kinds.count("side"), kinds.count("diagonal")) == (10, 7)  # 10 + 7 = 2 * 10 - 3: rigid


def test_points_that_are_not_marked_are_not_checked():
    known = {t.id: t for t in TABLE}
    one = {"1": Covariance(0.01, 0, 0.01)}
    assert checks(Figure("T1", "table", ("1", "2", "3", "4")), known, one, TAPE) == ()


# --- steps ---------------------------------------------------------------------------------------


def test_steps_by_ties_say_each_length_and_who_does_what():
    fixes, _ = by_ties(TABLE, Reach(floor(DINING)), TAPE)
    order = stands(fixes)
    steps = tie_steps(order, fixes, TAPE)
    assert [s.who for s in steps].count("holder") == len(order)
    said = " ".join(s.text for s in steps)
    for fix in fixes:
        for tie in fix.ties:
            assert f"At {printed(tie.read)} " in said
    made = [p for s in steps for p in s.points]
    assert sorted(made) == ["1", "2", "3", "4"]
    assert not any('"' in s.aloud or "/" in s.aloud for s in steps)


def test_steps_off_a_wall():
    lines, _ = by_baseline(TABLE, Reach(floor(DINING)), TAPE)
    steps = baseline_steps(lines, TAPE)
    texts = [s.text for s in steps]
    assert texts[0] == "Hold the end of the tape in corner C, along the north wall (C)."
    assert "From corner C along the north wall (C) 3'-3\", mark, for 3 and 2." in texts
    assert any(t.startswith("Square a line: from corner C mark the heel at") for t in texts)
    assert sum(t.startswith("From the mark for") for t in texts) == 4
    aloud = [s.aloud for s in steps]
    assert "From corner C along the north wall (C) 3 feet, 3 inches, mark, for 3 and 2." in aloud


def test_names_of_things_may_hold_braces():
    odd = Target("1", "corner {0} of {name}", (39.0, 63.0), of="{at}")
    lines, _ = by_baseline([odd], Reach(floor(DINING)), TAPE)
    assert "corner {0} of {name} of the {at}" in " ".join(
        s.text for s in baseline_steps(lines, TAPE)
    )


def test_lines_and_circles_are_drawn():
    figures = [
        Figure("T", "table", ("1", "2", "3", "4")),
        Figure("R", "round", ("5",), 24.0),
        Figure("L", "line", ("1", "2"), closed=False),
        Figure("M", "missed", ("9",)),
    ]
    texts = [s.text for s in drawing_steps(figures, {"1", "2", "3", "4", "5"}, TAPE)]
    assert texts == [
        "Snap chalk lines 1 to 2 to 3 to 4 to 1: the table.",
        "Hold a string on 5 and strike the circle of the round, 2'-0\" from 5.",
        "Snap chalk lines 1 to 2: the line.",
    ]


def test_check_steps_say_how_much_is_fine():
    known = {t.id: t for t in TABLE}
    still = dict.fromkeys(known, Covariance(0.03, 0.0, 0.03))
    found = checks(Figure("T1", "table", ("1", "2", "3", "4")), known, still, TAPE)
    step = check_steps(found, TAPE)[0]
    assert step.text == 'Check 1 to 2, a side: 7\'-0", within 5/8".'
    assert step.aloud == "Check 1 to 2, a side: 7 feet even, within five eighths."


def test_spoken_lengths_differ_and_hold_no_teen_alone():
    said = [spoken(n / 16) for n in range(4800)]
    assert len(set(said)) == len(said)
    assert not any("/" in each for each in said)
    teens = [f"{n} {unit}" for n in range(13, 20) for unit in ("feet", "inches")]
    assert not any(f" {each}".count(f" {teen}") for each in said for teen in teens)


# --- poles ---------------------------------------------------------------------------------------


@pytest.mark.parametrize("last", [0.5, 8.0, 9.0, 39.0, 123.25, 480.0])
def test_strips_cover_the_pole_and_lap(last):
    whole = pole("p", "wall", "corner A", [Mark(last, "x"), Mark(last / 3, "y")])
    found = strips(whole)
    assert found[0].low == 0
    assert found[-1].high == whole.length
    for a, b in pairwise(found):
        assert a.high == b.low
        assert a.high - a.low == STRIP
        assert a.flap_to == min(a.high + FLAP, whole.length)
    for mark in whole.marks:
        assert any(mark in s.marks for s in found)
    assert sum(map(len, pages(whole))) == len(found)
    assert max(map(len, pages(whole))) <= 4


def test_a_mark_on_a_flap_stands_on_both_strips():
    whole = pole("p", "wall", "corner A", [Mark(9.25, "x"), Mark(20, "y")])
    assert [any(m.label == "x" for m in s.marks) for s in strips(whole)] == [True, True, False]


@pytest.mark.parametrize("at", [-1, 600, math.inf])
def test_a_mark_off_the_pole_is_refused(at):
    with pytest.raises(MarkoutError, match="story pole goes"):
        pole("p", "wall", "corner A", [Mark(at, "x")])


# --- what is refused -----------------------------------------------------------------------------


@pytest.mark.parametrize(
    "outline",
    [
        (),
        ((0, 0), (10, 0)),
        ((0, 0), (10, 0), (20, 0)),
        ((0, 0), (10, 10), (10, 0), (0, 10)),
        ((0, 0), (math.nan, 0), (10, 10)),
        ((0, 0), (math.inf, 0), (10, 10)),
        ((5, 5), (5, 5), (5, 5)),
    ],
    ids=["none", "two points", "a line", "crosses itself", "nan", "inf", "one point"],
)
def test_a_floor_that_is_none(outline):
    with pytest.raises(MarkoutError, match="outline"):
        Floor(outline)


@pytest.mark.parametrize("bad", [{"sigma": 0}, {"sigma": math.nan}, {"scale": -1}, {"fraction": 0},
                                 {"longest": 0}])  # fmt: skip
def test_a_tape_that_is_none(bad):
    with pytest.raises(MarkoutError, match="tape"):
        Tape(**bad)


def test_thousands_of_corners_and_hundreds_of_points_come_to_an_end():
    turn = np.linspace(0, 2 * math.pi, 6000, endpoint=False)
    star = tuple((float(x), float(y)) for x, y in zip(
        140 * np.cos(turn) * (1 + 0.02 * np.cos(90 * turn)),
        140 * np.sin(turn) * (1 + 0.02 * np.cos(90 * turn)), strict=True))  # fmt: skip
    rng = np.random.default_rng(4)
    spots = targets(*(tuple(p) for p in rng.uniform(-90, 90, (300, 2)).tolist()))
    hooks = floor(star).hooks[::60]
    reach = Reach(Floor(star, hooks=hooks))
    fixes, missed = by_ties(spots, reach, TAPE)
    assert len(fixes) + len(missed) == 300
    assert len(fixes) > 250
    assert stands(fixes)
    lines, left = by_baseline(spots, reach, TAPE)
    assert lines == ()  # no wall is long enough
    assert len(left) == 300


def test_many_fixed_points_far_apart_are_added_one_after_another():
    """Pockets that no four fixed points serve: past four, not every set is tried."""
    ring, spots = [], []
    for i in range(6):
        ring += [(100.0 * i, 0.0), (100.0 * i + 60, 0.0), (100.0 * i + 60, 200.0),
                 (100.0 * i + 100, 200.0)]  # fmt: skip
        spots.append((100.0 * i + 30, 40.0))
    comb = (*ring, (600.0, 260.0), (0.0, 260.0))
    fixes, missed = by_ties(targets(*spots), Reach(floor(comb)), TAPE, Habits(tie_worse=0.0))
    assert missed == ()
    assert all(math.isclose(f.ellipse.major, f.best) for f in fixes)
    assert len({t.hook.id for f in fixes for t in f.ties}) > 4
    assert len(stands(fixes)) > 6


def test_hundreds_of_points_about_two_fixed_points_come_to_an_order():
    ring = ((0.0, 0.0), (240.0, 0.0), (240.0, 240.0), (0.0, 240.0))
    rng = np.random.default_rng(7)
    spots = targets(*(tuple(p) for p in rng.uniform(30, 210, (400, 2)).tolist()))
    fixes, missed = by_ties(spots, Reach(floor(ring)), TAPE, Habits(tie_worse=9.0))
    assert not missed
    order = stands(fixes)
    assert len(order) == 2
    assert [len(s.arcs) for s in order] == [400, 400]
    here, far, given = order[0].hook.at, 0.0, order[0].hook.at
    for arc in order[0].arcs:
        far, here = far + math.dist(here, arc.target.at), arc.target.at
    typed = 0.0
    for target in spots:
        typed, given = typed + math.dist(given, target.at), target.at
    assert far < typed / 5
