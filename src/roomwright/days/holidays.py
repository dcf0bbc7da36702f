"""Sets of holidays, by rule for any year: which days a site, a crew or a maker may rest.

The rules stand as data with their sources in ``holidays.toml``. Public holidays are nobody's days
off until a calendar takes their set: many are days on which trades work.
"""

from __future__ import annotations

import tomllib
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import date, timedelta
from functools import lru_cache
from importlib.resources import files
from typing import Literal

Observed = Literal["nearest", "none"]
_MOVED: Mapping[Observed, Mapping[int, int]] = {"nearest": {5: -1, 6: 1}, "none": {}}


@dataclass(frozen=True, slots=True)
class Holiday:
    """One day of a set, by rule.

    Parameters
    ----------
    name : str
    month : int
    day : int
        day of the month; 0 where a weekday says it
    weekday, which : int
        Monday 0, and which one of the month; -1 is the last
    after : int
        days after the day so found
    since : int
        first year in which it is kept
    morning : bool
        worked until noon, rather than not at all
    """

    name: str
    month: int
    day: int = 0
    weekday: int = 0
    which: int = 0
    after: int = 0
    since: int = 1
    morning: bool = False

    def on(self, year: int) -> date | None:
        """Return its own date in a year, before anybody moves it off a weekend.

        >>> Holiday("Memorial Day", 5, weekday=0, which=-1).on(2027).isoformat()
        '2027-05-31'
        """
        if year < self.since:
            return None
        if self.day:
            return date(year, self.month, self.day)
        first = date(year, self.month, 1)
        if self.which < 0:
            first = (first + timedelta(days=31)).replace(day=1)
        ahead = (self.weekday - first.weekday()) % 7 + 7 * (self.which - (self.which > 0))
        return first + timedelta(days=ahead + self.after)


@dataclass(frozen=True, slots=True)
class HolidaySet:
    """A named set of holidays with its source.

    `standing` is ``published`` or ``common practice``.
    """

    key: str
    title: str
    standing: str
    source: str
    note: str
    observed: Observed
    days: tuple[Holiday, ...]

    def of(self, year: int) -> dict[date, Holiday]:
        """Return the days kept for the holidays of a year; one may lie in the year before.

        >>> {d.isoformat() for d in holiday_sets()["usual six"].of(2028)} >= {"2027-12-31"}
        True
        """
        kept: dict[date, Holiday] = {}
        for one in self.days:
            day = one.on(year)
            if day is not None:
                kept[day + timedelta(days=_MOVED[self.observed].get(day.weekday(), 0))] = one
        return kept


@lru_cache(maxsize=1)
def holiday_sets() -> Mapping[str, HolidaySet]:
    """Return every set by its key.

    >>> sorted(holiday_sets())
    ['eves', 'federal', 'thanksgiving friday', 'usual six']
    """
    text = files("roomwright.days").joinpath("holidays.toml").read_text(encoding="utf-8")
    return {
        key: HolidaySet(
            key,
            told["title"],
            told["standing"],
            told["source"],
            told["note"],
            told["observed"],
            tuple(Holiday(**each) for each in told["days"]),
        )
        for key, told in tomllib.loads(text).items()
    }


def holidays(keys: Iterable[str], first: int, last: int) -> dict[date, Holiday]:
    """Return the holidays of some sets on the days of the years from `first` to `last`, by date.

    A day that one set keeps and another works until noon is kept.

    Raises
    ------
    KeyError
        for a set that is not there

    >>> found = holidays(["usual six"], 2027, 2027)
    >>> [(d.isoformat(), h.name) for d, h in sorted(found.items())][2:]  # July 4 is a Sunday
    [('2027-07-05', 'Independence Day'), ('2027-09-06', 'Labor Day'),
     ('2027-11-25', 'Thanksgiving Day'), ('2027-12-24', 'Christmas Day'),
     ('2027-12-31', "New Year's Day")]
    """
    return dict(_holidays(tuple(dict.fromkeys(keys)), first, last))


@lru_cache(maxsize=64)
def _holidays(keys: tuple[str, ...], first: int, last: int) -> dict[date, Holiday]:
    found: dict[date, Holiday] = {}
    for key in keys:
        for year in range(max(first - 1, 1), min(last + 1, 9998) + 1):
            for day, one in holiday_sets()[key].of(year).items():
                held = found.get(day)
                if first <= day.year <= last and (held is None or held.morning):
                    found[day] = one
    return found
