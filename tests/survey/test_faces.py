"""From face to face: hand cases, and the whole outline moved against single readings."""

import math

import numpy as np
import pytest
import shapely
from tests.survey.rooms import room

from roomwright.shape import walls
from roomwright.survey import SurveyError
from roomwright.survey.faces import offset_outline, to_face

CORNERS = {"A": (0.0, 0.0), "B": (162.0, 0.0), "C": (162.0, 150.0), "D": (0.0, 150.0)}
RING = tuple(CORNERS.values())
LAYERS = {("B", "C"): (0.625, 0.375), ("A", "D"): (0.625, 0.0), ("C", "D"): (0.5, 0.0)}
L_SHAPE = ((0, 0), (200, 0), (200, 80), (100, 80), (100, 160), (0, 160))


def test_a_wall_by_hand():
    args = ("A", "B", CORNERS, LAYERS)
    assert to_face(162, *args, "stud", "board") == pytest.approx(160.75)
    assert to_face(162, *args, "stud", "finished") == pytest.approx(160.375)
    assert to_face(162, *args, "board", "finished") == pytest.approx(161.625)
    assert to_face(160.375, *args, "finished", "stud") == pytest.approx(162)
    assert to_face(162, *args, "board", "board") == 162


def test_a_diagonal_by_hand():
    """B goes in by 1, C by 1 and 1/2, D by 5/8 and 1/2, A by 5/8."""
    told = to_face(math.hypot(162, 150), "A", "C", CORNERS, LAYERS, "stud", "finished")
    assert told == pytest.approx(math.hypot(162 - 1 - 0.625, 150 - 0.5))


def test_round_an_outside_corner_a_wall_grows():
    """Of two walls at a corner that juts in, the one between the legs gets longer."""
    corners = dict(zip("ABCDEF", L_SHAPE, strict=True))
    layers = dict.fromkeys(zip("ABCDEF", "BCDEFA", strict=True), (0.5, 0.0))
    board = to_face(100, "C", "D", corners, layers, "stud", "board")
    assert board == pytest.approx(100.0)  # in by 1/2 at C, out by 1/2 at D
    assert to_face(200, "A", "B", corners, layers, "stud", "board") == pytest.approx(199)


@pytest.mark.parametrize("seed", range(60))
def test_agrees_with_the_outline_moved(seed):
    built = room(seed)
    n = len(built.names)
    rng = np.random.default_rng(seed)
    depth = rng.choice([0, 0.5, 0.625, 1.25], n)
    ring = tuple(map(tuple, built.true.tolist()))
    corners = dict(zip(built.names, ring, strict=True))
    layers = {(built.names[k], built.names[(k + 1) % n]): (float(depth[k]), 0.0) for k in range(n)}
    moved = offset_outline(ring, depth.tolist())
    assert len(moved) == n
    for i in range(n):
        for j in range(i + 1, n):
            told = to_face(
                math.dist(ring[i], ring[j]), built.names[i], built.names[j], corners, layers,
                "stud", "board",
            )  # fmt: skip
            assert told == pytest.approx(math.dist(moved[i], moved[j]), abs=1e-9)
    for k, (wall, before) in enumerate(zip(walls(moved), walls(ring), strict=True)):
        line = np.array(before[1]) - np.array(before[0])
        for end in wall:
            step = np.array(end) - np.array(before[0])
            gap = (line[0] * step[1] - line[1] * step[0]) / np.hypot(*line)
            assert gap == pytest.approx(depth[k], abs=1e-9)


@pytest.mark.parametrize("seed", range(30))
def test_one_thickness_agrees_with_a_general_library(seed):
    ring = tuple(map(tuple, room(seed).true.tolist()))
    ours = shapely.Polygon(offset_outline(ring, [0.75] * len(ring)))
    theirs = shapely.Polygon(ring).buffer(-0.75, join_style="mitre", mitre_limit=20)
    assert shapely.symmetric_difference(ours, theirs).area < 1e-6


def test_walls_in_line():
    straight = ((0, 0), (80, 0), (160, 0), (160, 120), (0, 120))
    same = offset_outline(straight, (1, 1, 0, 0, 0))
    assert same == pytest.approx(np.array([(0, 1), (80, 1), (160, 1), (160, 120), (0, 120)]))
    step = offset_outline(straight, (1, 0.5, 0, 0, 0))
    assert step[1:3] == ((80, 1), (80, 0.5))
    assert len(step) == 6


def test_a_short_jog_stays_or_is_refused():
    jog = ((0, 0), (80, 0), (80, 0.5), (160, 0.5), (160, 120), (0, 120))
    kept = offset_outline(jog, (0.5, 0.5, 0.5, 0, 0, 0))
    assert kept[1:3] == ((79.5, 0.5), (79.5, 1.0))
    with pytest.raises(SurveyError, match='1/2" long would vanish'):
        offset_outline(jog, (1.5, 0, 0, 0, 0, 0))


@pytest.mark.parametrize("clockwise", [False, True])
def test_either_way_round(clockwise):
    ring = RING[::-1] if clockwise else RING
    assert shapely.Polygon(offset_outline(ring, [1] * 4)).area == pytest.approx(160 * 148)


def test_refusals():
    with pytest.raises(SurveyError, match=r"inside out|vanish"):
        offset_outline(RING, [80] * 4)
    with pytest.raises(SurveyError, match="3 thicknesses"):
        offset_outline(RING, [1] * 3)
    with pytest.raises(SurveyError, match="number of inches"):
        offset_outline(RING, [1, 1, 1, math.nan])
    with pytest.raises(SurveyError, match="no face"):
        to_face(1, "A", "B", CORNERS, LAYERS, "paint", "board")
    with pytest.raises(SurveyError, match="no corner X"):
        to_face(1, "A", "X", CORNERS, LAYERS, "stud", "board")
    with pytest.raises(SurveyError, match="0 or more"):
        to_face(1, "A", "B", CORNERS, {("A", "B"): (-1, 0)}, "stud", "board")
    with pytest.raises(SurveyError, match="one place"):
        offset_outline(((0, 0), (0, 0), (5, 5), (0, 5)), [1] * 4)
