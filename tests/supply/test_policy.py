"""The plain order-by policy and the arrival of what is ordered today."""

from __future__ import annotations

from datetime import date
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from roomwright.days import Calendar
from roomwright.supply import arrives, lead_days, order_by, reserve_days

HOUSE = Calendar.of(
    date(2027, 1, 18),
    ("mon", "tue", "wed", "thu", "fri"),
    (date(2027, 5, 31), date(2027, 7, 5)),
)


@pytest.mark.parametrize(
    ("need", "weeks", "want"),
    [
        (date(2027, 5, 27), 14, date(2027, 1, 28)),
        (date(2027, 5, 20), 16, date(2027, 1, 7)),
        (date(2027, 6, 24), 16, date(2027, 2, 10)),
        (date(2027, 5, 24), 1, date(2027, 5, 6)),
        (date(2027, 5, 21), 3, date(2027, 4, 14)),
        (date(2027, 5, 24), 2, date(2027, 4, 26)),
    ],
)
def test_order_by_on_a_calendar(need: date, weeks: int, want: date) -> None:
    """[C] Counted by hand on a calendar with Memorial Day off."""
    assert order_by(need, weeks, 5, HOUSE) == want


def test_each_part_of_the_policy() -> None:
    need = date(2027, 4, 30)  # a Friday
    assert order_by(need, 0, 0, HOUSE) == need
    assert order_by(need, 0, 3, HOUSE) == date(2027, 4, 27)
    assert order_by(need, Fraction(2, 5), 0, HOUSE) == date(2027, 4, 27)  # 2 of lead, 1 in reserve
    assert order_by(need, 1, 0, HOUSE) == date(2027, 4, 21)  # 5 of lead, 2 in reserve


@given(st.integers(0, 40), st.integers(0, 20))
def test_a_longer_lead_never_lets_one_order_later(weeks: int, inspect: int) -> None:
    need = date(2027, 6, 1)
    by = order_by(need, weeks, inspect, HOUSE)
    assert order_by(need, weeks + 1, inspect, HOUSE) < by
    assert order_by(need, weeks, inspect + 1, HOUSE) < by or inspect + 1 == 0
    arrival = arrives(by, weeks, HOUSE)
    assert HOUSE.between(arrival, need) == inspect + reserve_days(lead_days(weeks, HOUSE))


def test_a_six_day_week_has_six_days_of_lead() -> None:
    six = Calendar(date(2027, 1, 18), frozenset(range(6)))
    assert lead_days(4, six) == 24
    assert lead_days(Fraction(1, 2), HOUSE) == 3  # a broken day counts whole


def test_arrival_counts_the_days_off() -> None:
    assert arrives(date(2027, 5, 28), 1, HOUSE) == date(2027, 6, 7)


@pytest.mark.parametrize("days", range(1, 101))
def test_days_said_as_weeks_are_as_many_days_again(days: int) -> None:
    """A lead of so many working days is no day longer for being a broken number of weeks."""
    assert lead_days(days / 5, HOUSE) == days
    assert lead_days(Fraction(days, 5), HOUSE) == days
