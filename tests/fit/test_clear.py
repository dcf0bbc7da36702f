"""Clear distance straight out: by hand, against a general library, and what must not change it."""

import math

import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st
from tests.test_shape import turned

from roomwright.fit.clear import Edges, clear_ahead
from roomwright.shape import rectangle, walls

ROOM = ((0, 0), (162, 0), (162, 150), (0, 150))
EAST = ((123, 63), (123, 105))


def ahead(side, *things, room=ROOM, skip=()):
    return clear_ahead(side, Edges([room, *things], within=1), skip)


def test_to_the_wall():
    found = ahead(EAST)
    assert (found.clear, found.owner, found.wall) == (39, 0, 1)
    assert found.p == (123, 84)
    assert found.q == (162, 84)


def test_the_nearest_corner_of_a_turned_piece_is_where_the_dimension_goes():
    diamond = rectangle(150, 70, 10, 10, 45)
    found = ahead(EAST, diamond)
    assert found.clear == pytest.approx(27 - math.sqrt(50))
    assert found.q == pytest.approx((150 - math.sqrt(50), 70))


def test_what_stands_beside_the_strip_does_not_count():
    assert ahead(EAST, rectangle(140, 110, 10, 10)).clear == 39  # touches the strip's edge
    assert ahead(EAST, rectangle(140, 109.9, 10, 10)).clear == 12


def test_a_slanted_wall_is_met_at_its_nearest_point_over_the_width():
    room = ((0, 0), (162, 0), (142, 150), (0, 150))
    found = ahead(EAST, room=room)
    assert found.clear == pytest.approx(39 - 20 * 105 / 150)
    assert found.p == pytest.approx((123, 105))


def test_what_covers_the_side_leaves_nothing():
    assert ahead(EAST, rectangle(125, 84, 10, 80)).clear == 0  # over the whole side
    assert ahead(EAST, rectangle(125, 100, 10, 6)).clear == 0  # over a part of it
    assert ahead(EAST, rectangle(125, 84, 10, 80), skip=(1,)).clear == 39
    assert ahead(((160, 63), (160, 105)), room=((0, 0), (150, 0), (150, 150), (0, 150))).clear == 0


def test_a_side_on_the_wall_is_held_by_that_wall():
    found = ahead(((162, 63), (162, 105)))
    assert (found.clear, found.wall) == (0, 1)


def test_touching_ahead_is_nothing_and_touching_behind_is_not_seen():
    assert ahead(EAST, rectangle(128, 84, 10, 42)).clear == 0
    assert ahead(EAST, rectangle(118, 84, 10, 42)).clear == 39


def test_a_hole_in_the_floor_is_a_wall():
    column = ((140, 80), (140, 90), (150, 90), (150, 80))
    edges = Edges([ROOM, column], within=2)
    assert clear_ahead(EAST, edges).clear == 17


pieces = st.builds(
    rectangle,
    st.floats(20, 140),
    st.floats(20, 130),
    st.floats(4, 60),
    st.floats(4, 60),
    st.floats(0, 360),
)


def apart(piece, things):
    """The things that do not overlap or nearly touch the piece."""
    mine = shapely.Polygon(piece)
    return [thing for thing in things if shapely.distance(mine, shapely.Polygon(thing)) > 0.1]


def by_library(side, room, things, inset, reach=1000.0):
    """The same distance from clipped polygons of a general library, by another road."""
    (ax, ay), (bx, by) = side
    width = math.dist(*side)
    tx, ty = (bx - ax) / width, (by - ay) / width
    ox, oy = ty, -tx
    a = (ax + inset * tx, ay + inset * ty)
    b = (bx - inset * tx, by - inset * ty)
    strip = shapely.Polygon(
        [a, b, (b[0] + reach * ox, b[1] + reach * oy), (a[0] + reach * ox, a[1] + reach * oy)]
    )
    solid = shapely.union_all(
        [*map(shapely.Polygon, things), shapely.difference(strip, shapely.Polygon(room))]
    )
    met = shapely.intersection(strip, solid)
    out = [(x - ax) * ox + (y - ay) * oy for x, y in shapely.get_coordinates(met).tolist()]
    return max(0.0, min(out))


@settings(max_examples=300, deadline=None)
@given(pieces, st.lists(pieces, max_size=4), st.integers(0, 3))
def test_agrees_with_clipped_polygons(piece, things, which):
    side = walls(piece)[which]
    things = apart(piece, things)
    clear = ahead(side, *things).clear
    assert by_library(side, ROOM, things, 0) - 1 / 64 <= clear
    assert clear <= by_library(side, ROOM, things, 1 / 64) + 1 / 64


@settings(max_examples=200, deadline=None)
@given(pieces, st.lists(pieces, max_size=4), st.integers(0, 3), st.floats(0, 360))
def test_turning_the_whole_room_changes_nothing(piece, things, which, turn):
    things = apart(piece, things)

    def clear(degrees):
        room = turned(ROOM, degrees, (300, -200))
        others = [turned(thing, degrees, (300, -200)) for thing in things]
        return ahead(walls(turned(piece, degrees, (300, -200)))[which], *others, room=room).clear

    assert clear(turn) == pytest.approx(clear(0), abs=0.05)


@settings(max_examples=200, deadline=None)
@given(
    st.floats(20, 140),
    st.floats(20, 130),
    st.floats(8, 60),
    st.floats(8, 60),
    st.floats(0, 360),
    st.floats(0.2, 0.9),
    st.lists(pieces, max_size=4),
    st.integers(0, 3),
)
def test_shrinking_a_piece_never_lowers_a_clearance(x, y, w, d, turn, share, things, which):
    things = apart(rectangle(x, y, w, d, turn), things)
    big = ahead(walls(rectangle(x, y, w, d, turn))[which], *things).clear
    small = ahead(walls(rectangle(x, y, w * share, d * share, turn))[which], *things).clear
    assert small >= big - 0.05


@settings(max_examples=100, deadline=None)
@given(pieces, pieces, st.lists(pieces, max_size=3), st.integers(0, 3))
def test_one_more_thing_never_raises_a_clearance(piece, thing, things, which):
    side = walls(piece)[which]
    assert ahead(side, thing, *things).clear <= ahead(side, *things).clear


def test_a_wall_that_leans_into_the_strip_from_beside_does_not_count():
    """A vanity in the corner of a room that is out of square has its clearance in front."""
    leaning = Edges([[(0, 0), (100, 0), (99.7, 80), (0, 80)]], within=1)
    front = ((100 - 1e-3, 21), (58, 21))
    found = clear_ahead(front, leaning)
    assert found is not None
    assert found.clear == pytest.approx(59)
    far = Edges([[(0, 0), (100, 0), (98, 80), (0, 80)]], within=1)
    found = clear_ahead(front, far)
    assert found is not None
    assert found.clear == pytest.approx(0, abs=1), "more than half an inch does"
