"""Calendars against numpy's business-day functions, and the tick tables against plain counting."""

from __future__ import annotations

from datetime import date, timedelta
from fractions import Fraction

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from roomwright.days import (
    Calendar,
    HorizonError,
    day_tick,
    show_date,
    show_days,
    tick_date,
    ticks,
    weekday,
)

HOUSE = Calendar.of(
    date(2027, 1, 18),
    ("mon", "tue", "wed", "thu", "fri"),
    (date(2027, 5, 31), date(2027, 7, 5)),
)
starts = st.dates(date(2020, 1, 1), date(2035, 12, 31))
near = st.integers(-700, 1500)


@st.composite
def calendars(draw: st.DrawFn) -> Calendar:
    start = draw(starts)
    week = draw(st.sets(st.integers(0, 6), min_size=1))
    off = draw(st.lists(st.integers(-200, 600), max_size=12))
    return Calendar(start, frozenset(week), frozenset(start + timedelta(o) for o in off))


def mask(calendar: Calendar) -> dict[str, object]:
    return {
        "weekmask": "".join("1" if d in calendar.work_week else "0" for d in range(7)),
        "holidays": sorted(np.datetime64(d) for d in calendar.days_off),
    }


@given(calendars(), near)
def test_number_and_date_match_numpy(calendar: Calendar, n: int) -> None:
    rules = mask(calendar)
    day = calendar.start + timedelta(n)
    if n >= 0:
        counted = int(np.busday_count(calendar.start, day, **rules))
    else:
        counted = -int(np.busday_count(day, calendar.start, **rules))
    assert calendar.number(day) == counted
    assert calendar.is_working(day) == bool(np.is_busday(day, **rules))
    zero = np.busday_offset(calendar.start, 0, roll="forward", **rules)
    small = n // 3
    assert calendar.date(small) == np.busday_offset(zero, small, **rules).astype(date)
    assert calendar.number(calendar.date(small)) == small


@given(calendars(), near, st.integers(-150, 200))
def test_add_matches_numpy(calendar: Calendar, n: int, days: int) -> None:
    day = calendar.start + timedelta(n)
    want = np.busday_offset(day, days, roll="forward", **mask(calendar)).astype(date)
    assert calendar.add(day, days) == want
    assert calendar.between(day, want) == days


@given(calendars(), near)
def test_the_two_tick_tables_are_inverse(calendar: Calendar, n: int) -> None:
    axis = calendar.axis()
    worked = n // 3  # within the horizon even for one working day a week
    tick = axis.opens(worked)
    assert axis.worked(tick) == worked
    assert axis.closes(worked + 1) == tick + 1
    assert axis.worked(tick + 1) == worked + 1
    assert calendar.is_working(tick_date(tick))
    assert tick_date(tick) == calendar.date(Fraction(worked, 2))
    day = calendar.start + timedelta(n)
    assert axis.worked(day_tick(day)) == 2 * calendar.number(day)
    assert axis.worked(day_tick(day) + 1) == 2 * calendar.number(day) + calendar.is_working(day)


def test_numbers_of_the_demo_house() -> None:
    assert HOUSE.number(date(2027, 3, 29)) == 50
    assert HOUSE.number(date(2027, 3, 27)) == 50  # a Saturday counts as the Monday after
    assert HOUSE.date(115) == date(2027, 6, 29)
    assert HOUSE.last_worked(115) == date(2027, 6, 28)
    assert HOUSE.last_worked(114.5) == date(2027, 6, 28)
    assert HOUSE.date(114.5) == date(2027, 6, 28)
    assert HOUSE.number(date(2027, 1, 15)) == -1
    assert HOUSE.between(date(2027, 4, 29), date(2027, 4, 1)) == -20


def test_a_start_on_a_day_off() -> None:
    calendar = Calendar.of(date(2027, 5, 29), ("mon", "tue"), (date(2027, 5, 31),))
    assert calendar.date(0) == date(2027, 6, 1)
    assert calendar.number(date(2027, 5, 29)) == 0
    assert calendar.date(-1) == date(2027, 5, 25)
    assert calendar.axis().opens(0) == day_tick(date(2027, 6, 1))


def test_far_dates_are_named_as_mistakes() -> None:
    with pytest.raises(HorizonError, match=r"2072-03-29 is more than .* check the year"):
        HOUSE.number(date(2072, 3, 29))
    with pytest.raises(HorizonError, match="beyond this calendar"):
        HOUSE.date(10**6)
    with pytest.raises(HorizonError, match="check the durations"):
        HOUSE.axis().opens(10**6)
    with pytest.raises(HorizonError, match="outside 2021-"):
        HOUSE.axis().worked(0)
    assert Calendar(date(9999, 12, 1)).number(date(9999, 12, 6)) == 3
    assert Calendar(date(1, 1, 3)).number(date(1, 1, 1)) == -2


@pytest.mark.parametrize("bad", ["", "mo", "monday!", 7, -1])
def test_unknown_weekday(bad: int | str) -> None:
    with pytest.raises(ValueError, match="use mon, tue"):
        weekday(bad)


def test_no_working_day() -> None:
    with pytest.raises(ValueError, match="at least one working day"):
        Calendar.of(date(2027, 1, 18), ())


def test_half_days() -> None:
    assert [ticks(d) for d in (0, 1, 2.5, Fraction(3, 2))] == [0, 2, 5, 3]
    with pytest.raises(ValueError, match="whole or half"):
        ticks(1.25)
    assert show_days(-1.5) == "-1 1/2 days"
    assert show_days(0) == "0 days"


def test_dates_in_words() -> None:
    assert show_date(date(2027, 12, 5), date(2027, 1, 1)) == "Dec 5"
    assert show_date(date(2028, 1, 3), date(2027, 12, 1)) == "Jan 3, 2028"
