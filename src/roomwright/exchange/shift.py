"""All dates of a house moved by whole weeks, so that an example house is always in season.

Only the demo command does this; reading a folder never does.
"""

from __future__ import annotations

from datetime import date, timedelta
from typing import Any

from roomwright.days import Closing
from roomwright.job.entities import Fact, WorkCalendar
from roomwright.job.facts import Facts


def weeks_to_current(written_as_of: date, today: date) -> int:
    """Return by how many weeks to shift so that `written_as_of` falls in the week of `today`.

    A week runs from Monday to Sunday; weekdays stay what they are.

    >>> weeks_to_current(date(2027, 3, 29), date(2027, 4, 11))
    1
    >>> weeks_to_current(date(2027, 3, 29), date(2027, 3, 28))
    -1
    """
    return (_monday(today) - _monday(written_as_of)).days // 7


def _monday(day: date) -> date:
    return day - timedelta(days=day.weekday())


def shift_weeks(facts: Facts, weeks: int) -> Facts:
    """Return the facts with every date moved by whole weeks.

    >>> from roomwright.job.entities import House
    >>> house = House(name="A", site_start=date(2027, 1, 18), days_off=(date(2027, 5, 31),))
    >>> shift_weeks(Facts([house]), 2).get(House, "house").days_off
    (datetime.date(2027, 6, 14),)
    """
    by = timedelta(weeks=weeks)
    return Facts(_shifted(fact, by) for fact in facts)


def _shifted(fact: Fact, by: timedelta) -> Fact:
    moved: dict[str, Any] = {}
    for field in type(fact).model_fields:
        held = getattr(fact, field)
        if isinstance(held, date):
            moved[field] = held + by
        elif isinstance(fact, WorkCalendar) and field in ("closed", "mornings"):
            moved[field] = tuple(_closing(one, by) for one in held)
        elif isinstance(held, tuple) and any(isinstance(one, date) for one in held):
            moved[field] = tuple(one + by if isinstance(one, date) else one for one in held)
    return fact.model_copy(update=moved) if moved else fact


def _closing(said: str, by: timedelta) -> str:
    """Return a closing moved; what comes back each year, or is a weekday, stays."""
    if not said[:1].isdigit():
        return said
    held = Closing.read(said)
    return str(Closing(held.first + by, held.last + by))
