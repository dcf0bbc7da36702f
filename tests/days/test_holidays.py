"""Holidays by rule against an independent library and the written dates of an agency."""

from __future__ import annotations

from datetime import date

import holidays as independent
import pytest

from roomwright.days import Calendar, Rota, holiday_sets, holidays

YEARS = range(1990, 2061)


def test_federal_holidays_of_seventy_years_equal_an_independent_library() -> None:
    theirs = set(independent.country_holidays("US", years=[*YEARS, YEARS.stop]))
    # The library gives the own date of a moved day too; a weekend is no working day anyway.
    want = {d for d in theirs if d.weekday() < 5 and d.year in YEARS}
    got = holidays(["federal"], YEARS.start, YEARS.stop - 1)
    assert {d for d in got if d.weekday() < 5} == want
    assert not [d for d in got if d.weekday() > 4]  # each is kept on a day of the work week


def test_federal_holidays_of_two_years_as_published() -> None:
    """Dates as the US Office of Personnel Management lists them [from memory].

    July 4, 2027 is a Sunday; December 25, 2027 and January 1, 2028 are Saturdays.
    """
    listed = """2026-01-01 2026-01-19 2026-02-16 2026-05-25 2026-06-19 2026-07-03 2026-09-07
    2026-10-12 2026-11-11 2026-11-26 2026-12-25 2027-01-01 2027-01-18 2027-02-15 2027-05-31
    2027-06-18 2027-07-05 2027-09-06 2027-10-11 2027-11-11 2027-11-25 2027-12-24 2027-12-31"""
    got = holidays(["federal"], 2026, 2027)
    assert sorted(got) == [date.fromisoformat(d) for d in listed.split()]


def test_common_sets_are_part_of_the_federal_one() -> None:
    six = holidays(["usual six"], 2020, 2040)
    assert set(six) <= set(holidays(["federal"], 2020, 2040))
    assert {h.name for h in six.values()} == {h.name for h in holiday_sets()["usual six"].days}
    friday = holidays(["thanksgiving friday"], 2020, 2040)
    assert all(d.weekday() == 4 and 23 <= d.day <= 29 for d in friday)


def test_each_set_says_where_it_comes_from() -> None:
    for each in holiday_sets().values():
        assert each.standing in ("published", "common practice")
        assert bool(each.source) == (each.standing == "published")


def test_a_day_kept_by_one_set_is_no_morning_of_another() -> None:
    """Christmas 2027 is kept on Friday, December 24, which is an eve as well."""
    both = holidays(["eves", "usual six"], 2027, 2027)
    assert not both[date(2027, 12, 24)].morning
    assert holidays(["eves"], 2027, 2027)[date(2027, 12, 24)].morning
    assert both == holidays(["usual six", "eves"], 2027, 2027)


def test_holidays_of_a_calendar_reach_as_far_as_it_does() -> None:
    start = date(2027, 1, 18)
    calendar = Rota(holidays=("federal",)).calendar(start)
    first, last = min(calendar.days_off), max(calendar.days_off)
    assert (first.year, last.year) == (2021, 2039)
    assert isinstance(calendar, Calendar)
    with pytest.raises(KeyError):
        Rota(holidays=("moon",)).calendar(start)
    assert Rota(holidays=("federal",)).calendar(date(9999, 12, 1)).number(date(9999, 12, 3)) == 2
    assert Rota(holidays=("federal",)).calendar(date(1, 1, 3)).start == date(1, 1, 3)
