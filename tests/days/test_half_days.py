"""Half days, closings and rotas: the tables against plain counting of half days."""

from __future__ import annotations

import re
from datetime import date, timedelta
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from roomwright.days import (
    Calendar,
    Closing,
    ClosingError,
    Rota,
    closings,
    day_tick,
    tick_date,
)

START = date(2027, 1, 18)
near = st.integers(-300, 700)


@st.composite
def calendars(draw: st.DrawFn) -> Calendar:
    def days() -> frozenset[date]:
        return frozenset(START + timedelta(n) for n in draw(st.lists(near, max_size=9)))

    week = draw(st.sets(st.integers(0, 6), min_size=1))
    half = draw(st.sets(st.integers(0, 6), max_size=2))
    return Calendar(START, frozenset(week), days(), days(), frozenset(half))


def works(calendar: Calendar, tick: int) -> bool:
    """Whether somebody works in a half day, as the calendar's words say it."""
    day = date.fromordinal(tick // 2)
    if day in calendar.days_off:
        return False
    if day.weekday() in calendar.half_week or day in calendar.half_days:
        return day.weekday() in calendar.work_week and tick % 2 == 0
    return day.weekday() in calendar.work_week


@given(calendars(), near)
def test_numbers_are_counted_half_days(calendar: Calendar, n: int) -> None:
    day = START + timedelta(n)
    first, last = sorted((day_tick(START), day_tick(day)))
    halves = sum(works(calendar, t) for t in range(first, last))
    number = calendar.number(day)
    assert number == Fraction(halves if n >= 0 else -halves, 2)
    assert isinstance(number, int) == (halves % 2 == 0)
    assert calendar.is_working(day) == works(calendar, day_tick(day))
    assert calendar.is_half(day) == (
        works(calendar, day_tick(day)) and not works(calendar, day_tick(day) + 1)
    )
    when = calendar.date(number)
    assert calendar.number(when) == number
    assert when == next(
        d for d in (day + timedelta(k) for k in range(400)) if works(calendar, day_tick(d))
    )


@given(calendars(), st.integers(-150, 300))
def test_the_two_tick_tables_are_inverse(calendar: Calendar, worked: int) -> None:
    axis = calendar.axis()
    tick = axis.opens(worked)
    assert works(calendar, tick)
    assert axis.worked(tick) == worked
    assert axis.worked(tick + 1) == worked + 1 == axis.worked(axis.closes(worked + 1))
    assert calendar.date(Fraction(worked, 2)) == tick_date(tick)
    assert calendar.last_worked(Fraction(worked + 1, 2)) == tick_date(tick)


def test_a_half_day_counts_half() -> None:
    eve = date(2027, 12, 24)
    calendar = Calendar(date(2027, 12, 20), half_days=frozenset({eve}))
    assert calendar.is_half(eve)
    assert calendar.number(date(2027, 12, 27)) == 4.5
    assert calendar.last_worked(4.5) == eve
    assert calendar.last_worked(5) == date(2027, 12, 27)
    assert calendar.between(eve, date(2027, 12, 27)) == 1  # a half is rounded up
    assert calendar.between(date(2027, 12, 27), eve) == 0


def test_saturday_mornings() -> None:
    calendar = Calendar.of(date(2027, 1, 18), ("mon", "tue", "wed", "thu", "fri"))
    mornings = Calendar(calendar.start, half_week=frozenset({5}))
    assert mornings.days_a_week == 5.5
    assert mornings.number(date(2027, 1, 25)) == 5.5
    assert calendar.days_a_week == 5


@pytest.mark.parametrize(
    ("text", "want", "length"),
    [
        ("2027-07-05", "2027-07-05", 1),
        (" 2027-7-5 .. 2027-7-9 ", "2027-07-05 to 2027-07-09", 5),
        ("every Jul 4", "every 07-04", 1),
        ("every December 24 to January 1", "every 12-24 to 01-01", 9),
        ("Every 02-29", "every 02-29", 1),
    ],
)
def test_closings_are_read_and_written(text: str, want: str, length: int) -> None:
    found = Closing.read(text)
    assert str(found) == want
    assert Closing.read(want) == found
    assert len(list(found.days(2027, 2027))) == length


def test_a_yearly_closing_comes_back_and_runs_over_new_year() -> None:
    days = set(Closing.read("every Dec 30 to Jan 2").days(2026, 2028))
    assert date(2026, 1, 1) in days
    assert date(2028, 12, 31) in days
    assert len(days) == 12
    leap = list(Closing.read("every 02-29").days(2027, 2028))
    assert leap == [date(2027, 2, 28), date(2028, 2, 29)]


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("July", "no day or run of days"),
        ("2027-02-30", "there is no such day"),
        ("every foo 3", "there is no such day"),
        ("2027-07-09 to 2027-07-05", "ends before it begins"),
        ("2027-01-01 to 2027-12-31", "365 days: use at most 200"),
        ("every 02-01 to 01-31", "366 days: use at most 200"),
        ("٢٠٢٧-٠١-٠١", "no day or run of days"),
        ("2027-07-05 to", "no day or run of days"),
    ],
)
def test_closings_that_cannot_be(text: str, words: str) -> None:
    with pytest.raises(ClosingError, match=words):
        Closing.read(text)


def test_a_crew_keeps_the_days_of_the_house_and_its_own() -> None:
    house = Rota(holidays=("usual six",), closed=closings("2027-03-05"))
    crew = Rota(frozenset({0, 1, 2, 3}), mornings=closings("2027-03-03")).within(house)
    calendar = crew.calendar(date(2027, 3, 1))
    assert calendar.date(0) == date(2027, 3, 1)
    assert calendar.number(date(2027, 3, 4)) == 2.5
    assert not calendar.is_working(date(2027, 5, 31))
    assert crew.idle_year(date(2027, 3, 1)) is None
    shut = Rota(closed=closings("every 01-01 to 06-30; every 07-01 to 12-31"))
    assert shut.idle_year(date(2027, 3, 1)) == 2022


@pytest.mark.parametrize("words", ["marble 4", "decoy 25", "junk 9", "septic 1", "mayor 2"])
def test_a_word_that_only_begins_like_a_month_is_none(words: str) -> None:
    with pytest.raises(ClosingError, match="no such day"):
        Closing.read(f"every {words}")


@pytest.mark.parametrize(("words", "month"), [("jul 4", 7), ("Sept. 4", 9), ("october 4", 10)])
def test_months_are_read_short_and_long(words: str, month: int) -> None:
    assert Closing.read(f"every {words}").first.month == month


def test_spaces_cost_no_time(monkeypatch: pytest.MonkeyPatch) -> None:
    """What is too long to be a closing is never matched; spaces are joined before anything is."""
    long = "2027-01-01" + " " * 5_000 + "x"
    with pytest.raises(ClosingError, match="no day or run of days"):
        Closing.read(long)
    assert Closing.read("2027-01-04 " + " " * 5_000 + "to   2027-01-05").last.day == 5
    seen: list[int] = []
    plain = re.sub

    def counted(pattern: str, by: str, text: str) -> str:
        seen.append(len(text))
        return plain(pattern, by, text)

    monkeypatch.setattr(re, "sub", counted)
    with pytest.raises(ClosingError):
        Closing.read("to " * 2_000)
    with pytest.raises(ClosingError):
        Closing.read(long)
    assert max(seen, default=0) <= 80
