"""When each activity can start and finish, what it can slip, what is critical."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from typing import Any

from roomwright import schedule
from roomwright.answers.engine import Ask, query
from roomwright.days import Calendar
from roomwright.job import entities
from roomwright.job.entities import House


@dataclass(frozen=True, slots=True)
class ActivityDates:
    """One activity with its dates, as people read them, and the numbers behind them."""

    id: str
    name: str
    trade: str
    rooms: tuple[str, ...]
    days: float
    dates: schedule.Dates
    first_day: date
    last_day: date
    last_safe_start: date
    last_safe_end: date

    def as_json(self) -> dict[str, Any]:
        """Return the documented fields."""
        found = self.dates
        return {
            "id": self.id,
            "name": self.name,
            "trade": self.trade,
            "days": plain(self.days),
            "state": found.state,
            "early_start": plain(found.early_start),
            "early_finish": plain(found.early_finish),
            "late_start": plain(found.late_start),
            "late_finish": plain(found.late_finish),
            "total_float": plain(found.total_float),
            "free_float": plain(found.free_float),
            "critical": found.critical,
            "driven_by": list(found.driven_by),
            "first_day": self.first_day.isoformat(),
            "last_day": self.last_day.isoformat(),
            "last_safe_start": self.last_safe_start.isoformat(),
        }


@dataclass(frozen=True, slots=True)
class DatesAnswer:
    """The schedule of a house as of a day; `finish` is the last day worked.

    A house without activities has no finish.
    """

    as_of: date
    working_days: float
    finish: date | None
    activities: tuple[ActivityDates, ...]

    @property
    def critical(self) -> tuple[str, ...]:
        """The critical activities, the earliest first."""
        return tuple(a.id for a in self.activities if a.dates.critical)

    def as_json(self) -> dict[str, Any]:
        """Return the documented fields."""
        return {
            "as_of": self.as_of.isoformat(),
            "working_days": plain(self.working_days),
            "finish": None if self.finish is None else self.finish.isoformat(),
            "critical": list(self.critical),
            "activities": [a.as_json() for a in self.activities],
        }


def plain(number: float) -> float | int:
    """Return a number without a needless ".0".

    >>> plain(115.0), plain(7.5)
    (115, 7.5)
    """
    return int(number) if number == int(number) else number


@query("calendar")
def calendar(ask: Ask) -> Calendar:
    """Return the calendar of the house."""
    house = ask.fact(House, "house")
    return Calendar.of(house.site_start, house.work_week, house.days_off)


@query("network")
def network(ask: Ask) -> schedule.Network:
    """Return the activities at their likely days, and their links."""
    return schedule.Network(
        (schedule.Activity(a.id, a.days_likely, a.name) for a in ask.all(entities.Activity)),
        (
            schedule.Link(k.before, k.after, k.kind, k.lag_days, k.lag_counts, k.reason)
            for k in ask.all(entities.Link)
        ),
    )


@query("progress")
def progress(ask: Ask) -> dict[str, schedule.Progress]:
    """Return what has happened, by activity. Days left count only for work that has begun."""
    return {
        told.id: schedule.Progress(
            told.started, told.finished, None if told.finished else told.days_left
        )
        for told in ask.all(entities.Progress)
        if told.started or told.finished
    }


@query("schedule")
def passes(ask: Ask) -> schedule.Schedule:
    """Return the schedule: both passes over the network as of the day."""
    return schedule.passes(ask(network), ask(calendar), ask.as_of, ask(progress))


@query("dates")
def dates(ask: Ask) -> DatesAnswer:
    """Return the dates of all activities, the earliest first, and of the end."""
    found, days = ask(passes), ask(calendar)
    rows = []
    for activity in ask.all(entities.Activity):
        one = found[activity.id]
        milestone = one.early_start == one.early_finish
        rows.append(
            ActivityDates(
                id=activity.id,
                name=activity.name,
                trade=activity.trade,
                rooms=activity.rooms,
                days=float(activity.days_likely),
                dates=one,
                first_day=found.start_date(activity.id),
                last_day=found.last_day(activity.id),
                last_safe_start=days.date(one.late_start),
                last_safe_end=days.date(one.late_finish)
                if milestone
                else days.last_worked(one.late_finish),
            )
        )
    rows.sort(key=lambda a: (a.dates.early_start, a.dates.early_finish))
    finish = found.finish if rows and found.working_days > 0 else None
    return DatesAnswer(found.as_of, found.working_days, finish, tuple(rows))


@query("schedule health")
def health(ask: Ask) -> tuple[schedule.Finding, ...]:
    """Return the health findings of the network and its progress."""
    return schedule.health(ask(network), ask(calendar), ask.as_of, ask(progress))
