"""The days off of a site [common practice].

Six holidays of the United States, each on the working day that stands for it. The builder strikes
or adds days in house.toml.
"""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date, timedelta


def days_off(years: Iterable[int]) -> list[date]:
    """Return the days off of these years, in order.

    >>> [d.isoformat() for d in days_off([2027])][:3]
    ['2027-01-01', '2027-05-31', '2027-07-05']
    """
    found: set[date] = set()
    for year in years:
        thanks = _nth(year, 11, 3, 4)
        found |= {
            _observed(date(year, 1, 1)),
            _nth(year, 6, 0, 1) - timedelta(days=7),  # Memorial Day, the last Monday of May
            _observed(date(year, 7, 4)),
            _nth(year, 9, 0, 1),  # Labor Day
            thanks,
            thanks + timedelta(days=1),
            _observed(date(year, 12, 25)),
        }
    return sorted(found)


def _nth(year: int, month: int, weekday: int, n: int) -> date:
    first = date(year, month, 1)
    return first + timedelta(days=(weekday - first.weekday()) % 7 + 7 * (n - 1))


def _observed(day: date) -> date:
    return day + timedelta(days={5: -1, 6: 1}.get(day.weekday(), 0))
