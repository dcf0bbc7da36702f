"""When each activity can start and finish, what it can slip, what is critical."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from typing import Any

from roomwright import schedule
from roomwright.answers.calendars import calendar, of_trade
from roomwright.answers.engine import Ask, query
from roomwright.answers.rooms import figures_in_force
from roomwright.days import Number
from roomwright.figures import Figure
from roomwright.job import entities

__all__ = ["ActivityDates", "DatesAnswer", "calendar", "dates", "health", "network", "not_before",
           "out_of_sequence", "passes", "paths", "plain", "progress", "promised"]  # fmt: skip


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
    not_before: date | None = None
    promised_by: date | None = None
    hold: str = ""
    hold_until: date | None = None

    @property
    def over_promise(self) -> float:
        """By how many of its days it breaks a promise, its own or one of what follows."""
        return max(0.0, -(self.dates.promise_float or 0))

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
            "driving_links": [
                {
                    "before": driver.id,
                    "kind": driver.kind,
                    "lag_days": plain(driver.lag_days),
                    "lag_counts": driver.lag_counts,
                }
                for driver in found.drivers
            ],
            "first_day": self.first_day.isoformat(),
            "last_day": self.last_day.isoformat(),
            "last_safe_start": self.last_safe_start.isoformat(),
            "not_before": _iso(self.not_before),
            "promised_by": _iso(self.promised_by),
            "promise_float": None if found.promise_float is None else plain(found.promise_float),
            "hold": self.hold,
            "hold_until": _iso(self.hold_until),
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
    promise_float: float | None = None
    paths: tuple[schedule.Path, ...] = ()
    more_paths: bool = False
    out_of_sequence: tuple[schedule.OutOfSequence, ...] = ()

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
            "promise_float": None if self.promise_float is None else plain(self.promise_float),
            "paths": [
                {"activities": list(path.activities), "slack": plain(path.slack)}
                for path in self.paths
            ],
            "more_paths": self.more_paths,
            "out_of_sequence": [
                {"before": one.before, "after": one.after, "kind": one.kind, "text": one.text}
                for one in self.out_of_sequence
            ],
            "activities": [a.as_json() for a in self.activities],
        }


def plain(number: float) -> float | int:
    """Return a number without a needless ".0".

    >>> plain(115.0), plain(7.5)
    (115, 7.5)
    """
    return int(number) if number == int(number) else number


def _iso(day: date | None) -> str | None:
    return None if day is None else day.isoformat()


@query("network")
def network(ask: Ask) -> schedule.Network:
    """Return the activities at their likely days, and their links."""
    return schedule.Network(
        (
            schedule.Activity(a.id, a.days_likely, a.name, ask(of_trade, a.trade))
            for a in ask.all(entities.Activity)
        ),
        (
            schedule.Link(k.before, k.after, k.kind, k.lag_days, k.lag_counts, k.reason)
            for k in ask.all(entities.Link)
        ),
    )


@query("progress")
def progress(ask: Ask) -> dict[str, schedule.Progress]:
    """Return what has happened, by activity. Days left count only for work that has begun."""
    resumes = {a.id: a.hold_until for a in ask.all(entities.Activity)}
    return {
        told.id: schedule.Progress(told.started, told.finished)
        if told.finished
        else schedule.Progress(told.started, None, told.days_left, resumes.get(told.id))
        for told in ask.all(entities.Progress)
        if told.started or told.finished
    }


@query("not before")
def not_before(ask: Ask) -> dict[str, Number]:
    """Return the working-day numbers before which some activities may not start.

    A hold with a day on which it ends counts like one: work goes on that day.
    """
    days = ask(calendar)
    held = {
        a.id: max(d for d in (a.not_before, a.hold_until) if d is not None)
        for a in ask.all(entities.Activity)
        if a.not_before or a.hold_until
    }
    return {id: max(0, days.number(day)) for id, day in held.items()}


@query("promised")
def promised(ask: Ask) -> dict[str, date]:
    """Return the last day by which each activity was promised to be done."""
    return {a.id: a.promised_by for a in ask.all(entities.Activity) if a.promised_by}


@query("schedule")
def passes(ask: Ask) -> schedule.Schedule:
    """Return the schedule: both passes over the network as of the day."""
    return schedule.passes(
        ask(network),
        ask(calendar),
        ask.as_of,
        ask(progress),
        not_before=ask(not_before),
        promises=ask(promised),
    )


@query("dates")
def dates(ask: Ask) -> DatesAnswer:
    """Return the dates of all activities, the earliest first, and of the end."""
    found = ask(passes)
    rows = []
    for activity in ask.all(entities.Activity):
        one = found[activity.id]
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
                last_safe_start=found.last_safe_start(activity.id),
                last_safe_end=found.last_safe_end(activity.id),
                not_before=activity.not_before,
                promised_by=activity.promised_by,
                hold=activity.hold,
                hold_until=activity.hold_until,
            )
        )
    rows.sort(key=lambda a: (a.dates.early_start, a.dates.early_finish))
    finish = found.finish if rows and found.working_days > 0 else None
    return DatesAnswer(
        found.as_of,
        found.working_days,
        finish,
        tuple(rows),
        found.promise_float,
        *ask(paths),
        ask(out_of_sequence),
    )


@query("paths")
def paths(ask: Ask) -> tuple[tuple[schedule.Path, ...], bool]:
    """Return the critical and near-critical paths, and whether there are more of them."""
    return schedule.paths(
        ask(network),
        ask(calendar),
        ask.as_of,
        ask(progress),
        not_before=ask(not_before),
        within=float(ask(near).value),
    )


@query("near-critical")
def near(ask: Ask) -> Figure:
    """Return the slack up to which a path is near-critical [days]."""
    return ask(figures_in_force, "").get("schedule.near")


@query("out of sequence")
def out_of_sequence(ask: Ask) -> tuple[schedule.OutOfSequence, ...]:
    """Return the links that what has happened did not keep."""
    return schedule.out_of_sequence(ask(network), ask(calendar), ask(progress))


@query("schedule health")
def health(ask: Ask) -> tuple[schedule.Finding, ...]:
    """Return the health findings of the network and its progress."""
    constraints = {
        a.id: schedule.Constraint(a.not_before, a.promised_by, a.hold, a.hold_until, a.note)
        for a in ask.all(entities.Activity)
        if a.not_before or a.promised_by or a.hold or a.hold_until
    }
    return schedule.health(
        ask(network), ask(calendar), ask.as_of, ask(progress), constraints, ask(passes)
    )
