"""The day for which answers hold when nobody names one.

Of a folder it is the day its files describe. Of a stored house it is today; only while the house
was written this week and nothing has been recorded since, it is the day it was written for, so
that a house loaded on Monday still reads as it did on Monday.
"""

from __future__ import annotations

from datetime import date, timedelta

from roomwright.job.entities import House, Order, Progress, Receipt
from roomwright.job.facts import Facts


def of_folder(facts: Facts, today: date) -> date:
    """Return the as-of day of a house read from a folder: `written_as_of`, else today.

    >>> house = House(name="A", site_start=date(2027, 1, 18), written_as_of=date(2027, 3, 29))
    >>> of_folder(Facts([house]), date(2030, 1, 1))
    datetime.date(2027, 3, 29)
    """
    house = facts.find(House, "house")
    return today if house is None or house.written_as_of is None else house.written_as_of


def default_as_of(facts: Facts, today: date) -> date:
    """Return the as-of day of a stored house; see the module.

    >>> house = House(name="A", site_start=date(2027, 1, 18), written_as_of=date(2027, 3, 29))
    >>> default_as_of(Facts([house]), date(2027, 3, 31))
    datetime.date(2027, 3, 29)
    >>> default_as_of(Facts([house]), date(2027, 4, 5))
    datetime.date(2027, 4, 5)
    """
    written = of_folder(facts, today)
    monday = today - timedelta(days=today.weekday())
    if not monday <= written <= today or _last_recorded(facts) > written:
        return today
    return written


def _last_recorded(facts: Facts) -> date:
    days = [d for p in facts.all(Progress) for d in (p.started, p.finished)]
    days += [o.placed for o in facts.all(Order)]
    days += [r.on for r in facts.all(Receipt)]
    return max((d for d in days if d is not None), default=date.min)
