"""Plane shapes: where an outline crosses itself, openings on faces, rectangles, sectors."""

import math
from itertools import pairwise

import pytest
import shapely
from hypothesis import given
from hypothesis import strategies as st

from roomwright import shape

ROOM = ((0, 0), (162, 0), (162, 150), (0, 150))
TOILET_ROOM = ((432, 72), (468, 72), (468, 132), (432, 132))


def turned(points, degrees, about=(0.0, 0.0)):
    cos, sin = math.cos(math.radians(degrees)), math.sin(math.radians(degrees))
    return tuple(
        (
            about[0] + (x - about[0]) * cos - (y - about[1]) * sin,
            about[1] + (x - about[0]) * sin + (y - about[1]) * cos,
        )
        for x, y in points
    )


@pytest.mark.parametrize(
    ("outline", "walls", "at"),
    [
        ([(0, 0), (10, 10), (10, 0), (0, 10)], (0, 2), (5, 5)),  # a bow tie
        ([(0, 0), (10, 0), (10, 10), (5, 0), (0, 10)], (0, 2), (5, 0)),  # a corner on a wall
        ([(0, 0), (10, 0), (4, 0), (4, 8), (0, 8)], (0, 1), (4, 0)),  # runs back over itself
        ([(0, 0), (10, 0), (10, 10), (0, 0), (-5, 5)], (0, 3), (0, 0)),  # a corner used twice
    ],
)
def test_crossing_says_where(outline, walls, at):
    found = shape.crossing(outline)
    assert found is not None
    assert {found.first, found.second} >= set(walls[:1])
    assert found.at == pytest.approx(at, abs=1e-6)


@given(st.integers(3, 12), st.floats(0, 360), st.randoms(use_true_random=False))
def test_a_star_shaped_outline_is_simple_and_a_swap_of_corners_is_found(count, turn, random):
    angles = [turn + 360 * (i + 0.8 * random.random()) / count for i in range(count)]
    ring = [
        (r * math.cos(math.radians(a)), r * math.sin(math.radians(a)))
        for a in angles
        for r in [random.uniform(60, 240)]
    ]
    assert (shape.crossing(ring) is None) == shapely.is_valid(shapely.Polygon(ring))
    if count > 4:
        ring[1], ring[2] = ring[2], ring[1]
        assert (shape.crossing(ring) is None) == shapely.is_valid(shapely.Polygon(ring))


def test_letters_go_on_past_z():
    names = [shape.letter(i) for i in range(1000)]
    assert names[:3] == ["A", "B", "C"]
    assert len(set(names)) == 1000
    assert [shape.index_of(name) for name in names] == list(range(1000))
    with pytest.raises(ValueError, match="named by letters"):
        shape.index_of("A1")


def test_orientation_keeps_the_first_corner():
    clockwise = tuple(reversed(ROOM))
    assert shape.signed_area(clockwise) == -24300
    assert shape.anticlockwise(clockwise)[0] == clockwise[0]
    assert shape.signed_area(shape.anticlockwise(clockwise)) == 24300


def test_an_opening_is_carried_through_the_wall_to_the_other_face():
    # [C] D15 is given on the bath's face, x = 427.5; the toilet room's face is x = 432
    index, shown = shape.through_wall(((427.5, 106), (427.5, 130)), TOILET_ROOM)
    assert index == 3
    assert shown == ((432, 106), (432, 130))
    assert shape.through_wall(((400, 106), (400, 130)), TOILET_ROOM) is None  # too far off
    assert shape.through_wall(((427.5, 106), (451.5, 106)), TOILET_ROOM) is None  # runs across


def test_wall_under_a_segment():
    assert shape.wall_under(ROOM, ((162, 20), (162, 80))) == 1
    assert shape.wall_under(ROOM, ((161, 20), (161, 80))) is None
    assert shape.nearest_wall(ROOM, ((161, 20), (161, 80))) == (1, 1.0)
    assert shape.wall_under(ROOM, ((162, 120), (162, 180))) is None  # hangs over the corner


@pytest.mark.parametrize("turn", [0, 90, 180, 270, 360, -90])
def test_quarter_turns_are_exact(turn):
    for x, y in shape.rectangle(81, 84, 84, 42, turn):
        assert x == round(x)
        assert y == round(y)


@given(st.floats(0, 360))
def test_the_back_of_a_rectangle_turns_anticlockwise(turn):
    back = shape.walls(shape.rectangle(10, 20, 84, 42, turn))[0]
    out = shape.outward(back)
    expected = math.radians(turn - 90)
    assert out == pytest.approx((math.cos(expected), math.sin(expected)), abs=1e-9)
    assert shape.signed_area(shape.rectangle(10, 20, 84, 42, turn)) == pytest.approx(84 * 42)


@given(st.floats(1, 48), st.floats(0, 360), st.booleans())
def test_a_sector_strays_less_than_a_64th_from_the_true_arc(radius, start, left):
    first, last = math.radians(start), math.radians(start + (90 if left else -90))
    outline = shape.sector(
        (7, 9),
        (7 + radius * math.cos(first), 9 + radius * math.sin(first)),
        (7 + radius * math.cos(last), 9 + radius * math.sin(last)),
    )
    assert shape.signed_area(outline) > 0
    arc = [p for p in outline if math.dist(p, (7, 9)) > radius / 2]
    ordered = sorted(arc, key=lambda p: math.dist(p, arc[0]))
    assert all(math.dist(p, (7, 9)) == pytest.approx(radius) for p in arc)
    for a, b in pairwise(ordered):
        assert radius - math.dist(shape.middle((a, b)), (7, 9)) < 1 / 64
    assert shape.area(outline) == pytest.approx(math.pi * radius**2 / 4, abs=radius / 64 * 2)


def test_touching_is_no_overlap():
    first = shape.rectangle(0, 0, 10, 10)
    assert shape.overlaps(first, shape.rectangle(10, 0, 10, 10)) is None
    assert shape.overlaps(first, shape.rectangle(10 - 1 / 128, 0, 10, 10)) is None
    assert shape.overlaps(first, shape.rectangle(9, 0, 10, 10)) == pytest.approx((10, 1))
    assert shape.overlaps(first, shape.rectangle(30, 0, 10, 10)) is None


@pytest.mark.parametrize(
    ("turn", "word"),
    [
        (0, "east"),
        (20, "east"),
        (45, "northeast"),
        (90, "north"),
        (200, "west"),
        (315, "southeast"),
    ],
)
def test_compass(turn, word):
    assert shape.compass((math.cos(math.radians(turn)), math.sin(math.radians(turn)))) == word


def test_the_extent_of_a_shape_with_a_side_of_float_dust():
    dusty = shapely.Polygon([(0, 0), (0, 1), (3, 1), (3, 0), (1.565e-175, 0)])
    assert shape.extent(dusty) == pytest.approx((3, 1))
    assert shape.extent(shapely.Polygon([(0, 0), (9, 0), (9, 1e-12), (0, 1e-12)])) is None
