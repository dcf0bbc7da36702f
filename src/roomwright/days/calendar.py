"""Working days of a calendar, and half-day ticks on one axis for the schedule.

Three ways to say when, each with its place:

* a **date** at the edges, where people read and write;
* a **working-day number** of one calendar: 0 is the first working day on or after its start. A
  *start* number is the day on which work begins; a *finish* number is the number at the end of
  work, so work on day 0 alone finishes at 1 and its last day worked is that of number 0;
* a **tick**, a whole number of half days, inside the schedule. An *absolute* tick counts every
  half day of the almanac, so that several calendars and lags in elapsed days share one axis; a
  *worked* tick counts the working half days of one calendar. Two tables map one onto the other.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date
from fractions import Fraction
from functools import lru_cache
from typing import Final

import numpy as np

Number = int | float | Fraction
"""A working-day number or a count of days; halves are allowed where the text says so."""

TICKS_A_DAY: Final = 2
YEARS_BEFORE: Final = 6
YEARS_AFTER: Final = 12
"""How far from its start a calendar reaches. Farther dates are a slip of the pen."""

Day = date
"""A calendar day; the second name is for use inside `Calendar`, where `date` is a method."""

_WEEK: Final = ("monday", "tuesday", "wednesday", "thursday", "friday", "saturday", "sunday")
_NAMES: Final = {n: i for i, name in enumerate(_WEEK) for n in (name, name[:3])}
_MONTHS: Final = (
    *("Jan", "Feb", "Mar", "Apr", "May", "Jun"),
    *("Jul", "Aug", "Sep", "Oct", "Nov", "Dec"),
)


class HorizonError(ValueError):
    """A date or number so far from the calendar's start that it must be a mistake."""


def show_date(day: date, reference: date | None = None) -> str:
    """Return a day as a builder reads it; the year shows when it differs from the reference's.

    >>> show_date(date(2027, 3, 29)), show_date(date(2027, 3, 29), date(2026, 12, 1))
    ('Mar 29', 'Mar 29, 2027')
    """
    text = f"{_MONTHS[day.month - 1]} {day.day}"
    return text if reference is None or reference.year == day.year else f"{text}, {day.year}"


def ticks(days: Number) -> int:
    """Return days as whole half-day ticks.

    Raises
    ------
    ValueError
        if the days are not whole or half.

    >>> ticks(7.5), ticks(Fraction(1, 2)), ticks(-1)
    (15, 1, -2)
    """
    doubled = days * TICKS_A_DAY
    whole = int(doubled)
    if whole != doubled:
        raise ValueError(f"{days} days: use whole or half days")
    return whole


def show_days(days: Number) -> str:
    """Return a count of days in words.

    >>> show_days(1), show_days(7.5), show_days(Fraction(1, 2)), show_days(20.0)
    ('1 day', '7 1/2 days', '1/2 day', '20 days')
    """
    half = ticks(days)
    sign = "-" if half < 0 else ""
    whole, rest = divmod(abs(half), TICKS_A_DAY)
    text = f"{whole} 1/2" if whole and rest else "1/2" if rest else str(whole)
    return f"{sign}{text} {'day' if abs(half) <= TICKS_A_DAY and half else 'days'}"


def day_tick(day: date) -> int:
    """Return the absolute tick at which a day begins.

    >>> day_tick(date(2027, 1, 19)) - day_tick(date(2027, 1, 18))
    2
    """
    return day.toordinal() * TICKS_A_DAY


def tick_date(tick: int) -> date:
    """Return the day that holds the half day which begins at an absolute tick."""
    return date.fromordinal(tick // TICKS_A_DAY)


def weekday(name: int | str) -> int:
    """Return the number of a weekday, Monday 0.

    >>> weekday("mon"), weekday("Sunday"), weekday(4)
    (0, 6, 4)

    Raises
    ------
    ValueError
        if there is no such day.
    """
    number = name if isinstance(name, int) else _NAMES.get(name.strip().lower())
    if number is None or not 0 <= number <= 6:
        raise ValueError(f"no weekday {name!r}: use mon, tue, wed, thu, fri, sat or sun")
    return number


@dataclass(frozen=True, slots=True)
class Axis:
    """The two tables of a calendar: worked ticks <-> absolute ticks.

    Worked tick 0 begins with the first working half day on or after the calendar's start.

    Attributes
    ----------
    first : int
        absolute tick at which `worked_before` begins
    worked_before : tuple of int
        worked ticks before each absolute tick from `first` on (negative before the start)
    lowest : int
        worked tick at which `opening` begins
    opening : tuple of int
        absolute tick at which each worked tick from `lowest` on begins
    """

    first: int
    worked_before: tuple[int, ...]
    lowest: int
    opening: tuple[int, ...]

    def worked(self, tick: int) -> int:
        """Return how many worked ticks lie before an absolute tick."""
        place = tick - self.first
        if 0 <= place < len(self.worked_before):
            return self.worked_before[place]
        raise self._beyond(tick)

    def opens(self, worked: int) -> int:
        """Return the absolute tick at which a worked tick begins."""
        place = worked - self.lowest
        if 0 <= place < len(self.opening):
            return self.opening[place]
        raise HorizonError(
            f"{worked / TICKS_A_DAY:g} working days from the start is beyond this calendar: "
            "check the durations, lags and dates"
        )

    def closes(self, worked: int) -> int:
        """Return the absolute tick at which so many worked ticks are done."""
        return self.opens(worked - 1) + 1

    @property
    def last(self) -> int:
        """The last absolute tick from which both tables can be read."""
        return min(self.first + len(self.worked_before), self.opening[-1]) - 1

    def _beyond(self, tick: int) -> HorizonError:
        low = tick_date(self.first)
        high = tick_date(self.first + len(self.worked_before) - 1)
        return HorizonError(
            f"a date outside {low.isoformat()} to {high.isoformat()} came up: "
            "check the durations, lags and dates"
        )


@dataclass(frozen=True, slots=True)
class Calendar:
    """The working days of a house, a crew or a vendor.

    A day worked until noon only counts as half a working day: the numbers after it end in a half.

    Parameters
    ----------
    start : date
        day 0, or the day before the first working day that is day 0
    work_week : iterable of int or str
        weekdays worked: names or numbers, Monday 0
    days_off : iterable of date
        holidays and closures
    half_days : iterable of date
        days of the work week that are worked until noon only
    half_week : iterable of int or str
        weekdays worked until noon only, in the work week or beside it

    Examples
    --------
    >>> house = Calendar(date(2027, 1, 18), days_off=frozenset({date(2027, 5, 31)}))
    >>> house.number(date(2027, 3, 29)), house.date(50).isoformat()
    (50, '2027-03-29')
    >>> house.add(date(2027, 5, 28), 1).isoformat()  # over Memorial Day
    '2027-06-01'
    >>> house.last_worked(115).isoformat()
    '2027-06-28'
    >>> short = Calendar(date(2027, 12, 20), half_days=frozenset({date(2027, 12, 24)}))
    >>> short.number(date(2027, 12, 27)), short.date(4.5).isoformat()
    (4.5, '2027-12-27')
    """

    start: date
    work_week: frozenset[int] = frozenset(range(5))
    days_off: frozenset[date] = frozenset()
    half_days: frozenset[date] = frozenset()
    half_week: frozenset[int] = frozenset()

    def __post_init__(self) -> None:
        setting = object.__setattr__  # a frozen dataclass fills itself once, here
        half: Iterable[int | str] = self.half_week
        setting(self, "half_week", frozenset(weekday(d) for d in half))
        week: Iterable[int | str] = self.work_week
        setting(self, "work_week", frozenset(weekday(d) for d in week) | self.half_week)
        setting(self, "days_off", frozenset(self.days_off))
        setting(self, "half_days", frozenset(self.half_days))
        if not self.work_week:
            raise ValueError("a work week needs at least one working day")

    @classmethod
    def of(
        cls, start: Day, work_week: Iterable[int | str], days_off: Iterable[Day] = ()
    ) -> Calendar:
        """Return a calendar from weekday names and any list of days off."""
        return cls(start, frozenset(weekday(d) for d in work_week), frozenset(days_off))

    @property
    def days_a_week(self) -> float:
        """How many days are worked in a week without days off."""
        days = len(self.work_week) - len(self.half_week) / TICKS_A_DAY
        return int(days) if days == int(days) else days

    def is_working(self, day: Day) -> bool:
        """Return whether a day is worked, or its morning."""
        return day.weekday() in self.work_week and day not in self.days_off

    def is_half(self, day: Day) -> bool:
        """Return whether only the morning of a day is worked."""
        return self.is_working(day) and (day.weekday() in self.half_week or day in self.half_days)

    def number(self, day: Day) -> float:
        """Return the working-day number of a day; a day off has that of the next working day."""
        axis = _axis(self)
        place = day_tick(day) - axis.first
        if not 0 <= place < len(axis.worked_before):
            raise HorizonError(
                f"{day.isoformat()} is more than {YEARS_BEFORE} years before or {YEARS_AFTER} "
                f"years after the start {self.start.isoformat()}: check the year"
            )
        return _whole(axis.worked_before[place])

    def date(self, number: Number) -> Day:
        """Return the date of a working-day number; a half stands in the middle of its day."""
        axis = _axis(self)
        place = _floor(number * TICKS_A_DAY) - axis.lowest
        if not 0 <= place < len(axis.opening):
            raise HorizonError(
                f"{float(number):g} working days from {self.start.isoformat()} is beyond this "
                "calendar: check the durations, lead times and dates"
            )
        return tick_date(axis.opening[place])

    def add(self, day: Day, working_days: Number) -> Day:
        """Return the working day so many working days after a day (before it, if negative)."""
        return self.date(self.number(day) + working_days)

    def between(self, first: Day, last: Day) -> int:
        """Return the working days from one day to another, negative when it lies before.

        A half is rounded up: what comes half a day late is late.
        """
        return -_floor(self.number(first) - self.number(last))

    def last_worked(self, finish: Number) -> Day:
        """Return the last day worked for a finish number (the number at the end of work)."""
        halves = -_floor(-finish * TICKS_A_DAY)
        return self.date((halves - 1) / TICKS_A_DAY)

    def axis(self) -> Axis:
        """Return the two tick tables of this calendar."""
        return _axis(self)


def _floor(number: Number) -> int:
    return int(number // 1)


def _whole(halves: int) -> float:
    """Return half days as days, whole where they are: no needless ``.0`` in what people read."""
    days, rest = divmod(halves, TICKS_A_DAY)
    return halves / TICKS_A_DAY if rest else days


@lru_cache(maxsize=128)
def _axis(calendar: Calendar) -> Axis:
    start = calendar.start.toordinal()
    first = max(1, start - round(YEARS_BEFORE * 365.25))
    last = min(date.max.toordinal() - 8, start + round(YEARS_AFTER * 365.25))
    ordinals = np.arange(first, last + 1)
    weekdays = (ordinals + 6) % 7  # ordinal 1 is a Monday
    worked = np.isin(weekdays, sorted(calendar.work_week))
    worked &= ~np.isin(ordinals, _ordinals(calendar.days_off))
    after_noon = worked & ~np.isin(ordinals, _ordinals(calendar.half_days))
    after_noon &= ~np.isin(weekdays, sorted(calendar.half_week))
    halves = np.stack([worked, after_noon], axis=1).ravel()
    before = np.concatenate(([0], np.cumsum(halves)))[:-1]
    before = before - before[TICKS_A_DAY * (start - first)]
    return Axis(
        first=first * TICKS_A_DAY,
        worked_before=tuple(before.tolist()),
        lowest=int(before[0]),
        opening=tuple((np.flatnonzero(halves) + first * TICKS_A_DAY).tolist()),
    )


def _ordinals(days: Iterable[date]) -> np.ndarray[tuple[int], np.dtype[np.int64]]:
    return np.array([d.toordinal() for d in days], dtype=np.int64)
