"""Seats by the 24 in. rule [CP], spare length, and chairs for the drawing."""

import math

import pytest
import shapely
from hypothesis import given
from hypothesis import strategies as st
from tests.fit.demo_rooms import NEEDS

from roomwright.fit.chairs import chairs
from roomwright.fit.model import Piece
from roomwright.fit.seats import seats


@pytest.mark.parametrize(
    ("width", "depth", "along", "end", "total"),
    [
        (84, 42, 3, 1, 8),  # [CP] 84 in. seats 3 a side, 8 in all
        (72, 36, 2, 1, 6),  # [CP] 72 in. with ends seats 6
        (108, 42, 4, 1, 10),  # [CP] 108 in. with ends seats 10
        (84, 35, 3, 0, 6),  # [CP] ends count from 36 in. of width
        (42, 84, 3, 1, 8),  # the other way round
        (48, 48, 1, 1, 4),
        (60, 60, 2, 2, 8),
        (23, 20, 0, 0, 0),
    ],
)
def test_rectangular_tables(width, depth, along, end, total):
    found = seats(width, depth, NEEDS)
    assert (found.along, found.end, found.total) == (along, end, total)


def test_seven_feet_seats_three_a_side_with_twelve_to_spare():
    found = seats(84, 42, NEEDS)  # [CP]
    assert (found.along, found.spare) == (3, 12)


@pytest.mark.parametrize(("diameter", "total"), [(48, 6), (54, 7), (60, 7), (72, 9)])
def test_round_tables_by_circumference(diameter, total):
    assert seats(diameter, diameter, NEEDS, round_top=True).total == total
    assert total == math.floor(math.pi * diameter / 24)  # [CP]


@given(st.floats(24, 160), st.floats(24, 60), st.floats(0, 360))
def test_as_many_chairs_as_seats_none_in_the_table_none_in_each_other(width, depth, turn):
    table = Piece("T1", "dining table", "table", width, depth, 30, 50, 60, turn)
    drawn = [shapely.Polygon(chair) for chair in chairs(table, NEEDS)]
    assert len(drawn) == seats(width, depth, NEEDS).total
    top = shapely.Polygon(table.outline)
    assert all(shapely.intersection(top, chair).area < 1e-6 for chair in drawn)
    for i, chair in enumerate(drawn):
        assert all(shapely.intersection(chair, other).area < 1e-6 for other in drawn[i + 1 :])


@given(st.floats(24, 160), st.floats(24, 60), st.floats(0, 30))
def test_a_longer_table_never_seats_fewer(width, depth, more):
    assert seats(width + more, depth, NEEDS).total >= seats(width, depth, NEEDS).total or (
        min(width, depth) < 36 <= min(width + more, depth)
    )


def test_round_chairs_stand_round():
    table = Piece("T1", "round dining table", "table", 48, 48, 30, 0, 0)
    assert len(chairs(table, NEEDS)) == 6
