"""When somebody works, as it is said: weekdays, mornings, holiday sets, closings."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date
from typing import Final

from roomwright.days.calendar import YEARS_AFTER, YEARS_BEFORE, Calendar
from roomwright.days.closings import Closing
from roomwright.days.holidays import holidays

FEWEST: Final = 20
"""A year with fewer working days is a slip of the pen."""


@dataclass(frozen=True, slots=True)
class Rota:
    """The working days of a house, a crew or a maker before they are laid out as dates.

    Parameters
    ----------
    work_week : frozenset of int
        weekdays worked, Monday 0
    half_week : frozenset of int
        weekdays worked until noon only
    holidays : tuple of str
        keys of holiday sets
    closed, mornings : tuple of Closing
        days not worked, and days worked until noon only

    Examples
    --------
    >>> from roomwright.days.closings import closings
    >>> shop = Rota(holidays=("usual six", "eves"), closed=closings("every Jul 1 to Jul 15"))
    >>> days = shop.calendar(date(2027, 6, 28))
    >>> days.date(3).isoformat()  # after the shop's two weeks and three days off
    '2027-07-16'
    """

    work_week: frozenset[int] = frozenset(range(5))
    half_week: frozenset[int] = frozenset()
    holidays: tuple[str, ...] = ()
    closed: tuple[Closing, ...] = ()
    mornings: tuple[Closing, ...] = ()

    def within(self, house: Rota) -> Rota:
        """Return this with the days off and mornings of the house as well."""
        return Rota(
            self.work_week,
            self.half_week,
            tuple(dict.fromkeys((*house.holidays, *self.holidays))),
            tuple(dict.fromkeys((*house.closed, *self.closed))),
            tuple(dict.fromkeys((*house.mornings, *self.mornings))),
        )

    def together(self, other: Rota) -> Rota:
        """Return when two work at once; this one's week where they share no weekday."""
        shared = self.work_week & other.work_week
        both = self.within(other)
        return Rota(
            shared or self.work_week,
            (self.half_week | other.half_week) & (shared or self.work_week),
            both.holidays,
            both.closed,
            both.mornings,
        )

    def calendar(self, start: date) -> Calendar:
        """Return the calendar with every date that it reaches from a start.

        Raises
        ------
        KeyError
            for a holiday set that is not there
        """
        first = max(start.year - YEARS_BEFORE, date.min.year)
        last = min(start.year + YEARS_AFTER, date.max.year)
        kept = holidays(self.holidays, first, last)
        off = {d for d, one in kept.items() if not one.morning}
        half = {d for d, one in kept.items() if one.morning}
        return Calendar(
            start,
            self.work_week,
            frozenset(off | _of(self.closed, first, last)),
            frozenset(half | _of(self.mornings, first, last)),
            self.half_week,
        )

    def idle_year(self, start: date) -> int | None:
        """Return a year in which hardly a day is worked, if there is one."""
        calendar = self.calendar(start)
        last = min(start.year + YEARS_AFTER - 1, date.max.year - 1)
        for year in range(max(start.year - YEARS_BEFORE + 1, date.min.year), last):
            if calendar.between(date(year, 1, 1), date(year + 1, 1, 1)) < FEWEST:
                return year
        return None


def _of(runs: Iterable[Closing], first: int, last: int) -> set[date]:
    return {day for run in runs for day in run.days(first, last)}
