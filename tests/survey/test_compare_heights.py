"""Planned against measured, openings along a wall, and ceiling heights."""

import math

import numpy as np
import pytest

from roomwright.survey import Observation, SurveyError, survey
from roomwright.survey.compare import Offset, against_plan, openings
from roomwright.survey.heights import Height, heights

PLAN = ((0, 0), (162, 0), (162, 150), (0, 150))


def measured(true, plan=PLAN):
    pairs = [(0, 1), (1, 2), (2, 3), (3, 0), (0, 2), (1, 3)]
    found = [
        Observation(f"{k}", "ABCD"[i], "ABCD"[j], math.dist(true[i], true[j]))
        for k, (i, j) in enumerate(pairs)
    ]
    return survey("ABCD", found, plan=plan)


def test_each_wall_against_the_plan():
    done = measured(((0, 0), (161, 0), (161, 150.1), (0, 150)))
    told = against_plan(PLAN, done)
    assert [w.wall for w in told] == ["A", "B", "C", "D"]
    assert [round(w.difference, 1) for w in told] == pytest.approx([-1, 0.1, -1, 0], abs=0.06)
    assert [w.sure for w in told] == [True, False, True, False]
    assert all(0.1 < w.error < 0.6 for w in told)


@pytest.mark.parametrize("clockwise", [False, True])
def test_out_of_square_in_degrees_and_inches(clockwise):
    """A leans open by 1 degree: over wall A that is 162 sin 1 deg."""
    tan = math.tan(math.radians(-1))
    true = np.array(PLAN) @ np.array([[1, 0], [tan, 1]])
    plan = PLAN
    if clockwise:
        plan, true = tuple((x, -y) for x, y in PLAN), true * [1, -1]
    corner = against_plan(plan, measured(true.tolist(), plan))[0]
    assert corner.turned == pytest.approx(1, abs=0.12)
    assert corner.turned_in == pytest.approx(162 * math.sin(math.radians(1)), abs=0.3)
    assert 0.02 < corner.turned_error < 0.3


def test_the_error_of_a_wall_by_chance():
    """95 % of repeated surveys have the true wall within the error that is printed."""
    rng = np.random.default_rng(5)
    inside = 0
    for _ in range(300):
        pairs = ["AB", "BC", "CD", "DA", "AC", "BD"]
        spot = dict(zip("ABCD", PLAN, strict=True))
        found = [
            Observation(p, *p, d + rng.normal(0, 0.125 + 0.0005 * d))
            for p in pairs
            for d in [math.dist(spot[p[0]], spot[p[1]])]
        ]
        wall = against_plan(PLAN, survey("ABCD", found, plan=PLAN))[0]
        inside += abs(wall.difference) <= wall.error
    assert 0.92 <= inside / 300 <= 0.98


def test_another_plan_is_refused():
    with pytest.raises(SurveyError, match="plan has 3 corners"):
        against_plan(PLAN[:3], measured(PLAN))


def test_an_opening_from_both_corners():
    done = measured(PLAN)
    [door] = openings(done, [
        Offset("A", "D4", "near", 38.5, "A", "r1"), Offset("A", "D4", "far", 70.5, "A", "r2"),
        Offset("B", "D4", "near", 91.25, "A", "r3"),
    ])  # fmt: skip
    assert (door.start, door.end) == pytest.approx((38.5, 70.6), abs=0.1)
    assert door.misses == pytest.approx(0.25, abs=0.05)
    assert not door.doubtful
    assert door.at[0] == pytest.approx((38.5, 0), abs=0.1)
    assert door.readings == ("r1", "r2", "r3")
    assert 0.2 < door.error < 0.6


def test_an_opening_whose_readings_contradict():
    [door] = openings(measured(PLAN), [
        Offset("A", "W1", "near", 30, "D"), Offset("D", "W1", "far", 150 - 30 - 3, "D"),
    ])  # fmt: skip
    assert (door.start, door.end) != (None, None)
    assert door.doubtful
    assert door.misses == pytest.approx(3, abs=0.1)


def test_one_edge_only():
    [door] = openings(measured(PLAN), [Offset("A", "D4", "near", 38.5, "A")])
    assert door.end is None
    assert door.misses is None
    assert door.at[1] is None


@pytest.mark.parametrize(
    ("offset", "words"),
    [
        (Offset("A", "D4", "near", 200, "A"), "not on wall A-B"),
        (Offset("A", "D4", "near", -1, "A"), "not on wall A-B"),
        (Offset("A", "D4", "near", math.nan, "A"), "not on wall A-B"),
        (Offset("C", "D4", "near", 10, "A"), "not an end of wall A-B"),
        (Offset("A", "D4", "near", 10, "Q"), "no wall Q"),
    ],
)
def test_offsets_that_cannot_be(offset, words):
    with pytest.raises(SurveyError, match=words):
        openings(measured(PLAN), [offset])


def test_an_opening_that_ends_before_it_starts():
    with pytest.raises(SurveyError, match="comes before its near edge"):
        openings(
            measured(PLAN), [Offset("A", "D", "near", 70, "A"), Offset("A", "D", "far", 38, "A")]
        )


CORNERS = dict(zip("ABCD", PLAN, strict=True))


def test_heights_of_a_level_ceiling():
    told = heights([Height(c, 108) for c in "ABCD"] + [Height("middle", 108)], CORNERS)
    assert (told.low, told.high, told.spread, told.sag, told.slope) == (108, 108, 0, 0, 0)
    assert told.toward is None


def test_heights_find_a_tilted_plane():
    """Rises 1/8 in. a foot toward northeast, and the middle hangs 3/8 in."""
    rise = 0.125 / 12

    def at(x, y):
        return 107 + rise * (x + y) / math.sqrt(2)

    seen = [Height(c, at(x, y)) for c, (x, y) in CORNERS.items()]
    told = heights([*seen, Height("middle", at(81, 75) - 0.375)], CORNERS)
    assert told.slope == pytest.approx(0.125)
    assert told.toward == pytest.approx(45)
    assert told.sag == pytest.approx(0.375)
    assert told.twist == pytest.approx(0, abs=1e-9)
    assert (told.low_at, told.high_at) == ("A", "C")


def test_heights_with_little_to_go_on():
    told = heights([Height("A", 108), Height("A", 108.5), Height("middle", 109)], CORNERS)
    assert told.at["A"] == 108.25
    assert told.sag is None
    assert told.slope is None
    three = heights([Height("A", 108), Height("B", 108), Height("C", 109)], CORNERS)
    assert three.slope > 0
    assert three.twist is None


@pytest.mark.parametrize(
    ("seen", "words"),
    [
        ([], "No height yet"),
        ([Height("Z", 5)], "no corner Z"),
        ([Height("A", 0)], "more than 0"),
        ([Height("A", math.nan)], "more than 0"),
    ],
)
def test_heights_refused(seen, words):
    with pytest.raises(SurveyError, match=words):
        heights(seen, CORNERS)
