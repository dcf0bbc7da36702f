"""Commands on work: record its start, its finish, and the days that are left."""

from __future__ import annotations

from datetime import date
from fractions import Fraction
from typing import ClassVar

from roomwright.commands.base import BadCommandError, Command, Past, Work, add, edit, need
from roomwright.job.entities import Activity, House, Id, Link, Number, PartClass, Progress
from roomwright.job.facts import Change, Facts
from roomwright.job.words import day, number

YEARS = 10
"""A day farther than this from the start of the site is a slip of the hand [years]."""


class Start(Command):
    """Record that an activity has started."""

    command_name: ClassVar[str] = "start"
    happened = ("on",)

    activity: Id
    on: date

    def work(self, facts: Facts, past: Past) -> Work:
        """Return the activity's progress."""
        activity = need(facts, Activity, self.activity, "activity")
        near_the_house(facts, "on", self.on)
        held = facts.find(Progress, self.activity)
        if held is not None and held.finished and held.finished < self.on:
            raise BadCommandError(
                ("on", f"it was finished on {day(held.finished)}, before {day(self.on)}.")
            )
        if held is not None and held.started == self.on:
            return Work([], f"{_title(activity)} is recorded as started {day(self.on)} already.")
        was = f" (was {day(held.started)})" if held is not None and held.started else ""
        return Work(
            [_record(facts, self.activity, started=self.on)],
            f"{_title(activity)} started {day(self.on)}{was}.",
        )


class Finish(Command):
    """Record that an activity is finished; and when it started, if nobody said."""

    command_name: ClassVar[str] = "finish"
    happened = ("on", "started")

    activity: Id
    on: date
    started: date | None = None

    def work(self, facts: Facts, past: Past) -> Work:
        """Return the activity's progress."""
        activity = need(facts, Activity, self.activity, "activity")
        near_the_house(facts, "on", self.on)
        near_the_house(facts, "started", self.started)
        held = facts.find(Progress, self.activity)
        started = self.started or (held.started if held is not None else None)
        if started and self.on < started:
            raise BadCommandError(("on", f"{day(self.on)} is before it started, {day(started)}."))
        undone = _not_true_yet(facts, activity, self.on)
        if undone:
            raise BadCommandError(
                ("on", f"{_title(activity)} is a measure: what is made by it would not fit, for "
                       f"{' and '.join(undone)}. Record that first, or measure after it.")
            )  # fmt: skip
        change = _record(facts, self.activity, started=started, finished=self.on, days_left=None)
        return Work([change], f"{_title(activity)} finished {day(self.on)}.")


class DaysLeft(Command):
    """Record how many working days an activity still needs; halves are fine."""

    command_name: ClassVar[str] = "days left"

    activity: Id
    days: Number

    def work(self, facts: Facts, past: Past) -> Work:
        """Return the activity's progress."""
        activity = need(facts, Activity, self.activity, "activity")
        held = facts.find(Progress, self.activity)
        if not 0 <= self.days <= 2000:
            raise BadCommandError(("days", f"{number(self.days)} can't be: give 0 to 2000 days."))
        if self.days.denominator > 2:
            raise BadCommandError(
                ("days", f"{number(self.days)} is finer than half a day: use whole or half days.")
            )
        if held is None or held.started is None:
            raise BadCommandError(
                ("activity", f"{_title(activity)} has not started: record its start first.")
            )
        if held.finished is not None:
            raise BadCommandError(
                ("activity", f"{_title(activity)} was finished on {day(held.finished)}.")
            )
        unit = "day" if self.days in (Fraction(1), Fraction(1, 2)) else "days"
        return Work(
            [_record(facts, self.activity, days_left=self.days)],
            f"{_title(activity)}: {number(self.days)} working {unit} left.",
        )


def near_the_house(facts: Facts, field: str, when: date | None) -> None:
    """Refuse a day that is years away from the house: a mistyped year."""
    house = facts.find(House, "house")
    if when is None or house is None:
        return
    if abs(when.year - house.site_start.year) > YEARS:
        raise BadCommandError(
            (field, f"{day(when)} is years away from this house, which starts "
                    f"{day(house.site_start)}: check the year.")
        )  # fmt: skip


def _not_true_yet(facts: Facts, activity: Activity, on: date) -> list[str]:
    """Return what a measure waits for and was not done by its day; nothing for other work."""
    if not facts.where(PartClass, "order_after", activity.id):
        return []
    found = []
    for link in facts.where(Link, "after", activity.id):
        told = facts.find(Progress, link.before)
        finished = None if told is None else told.finished
        if link.kind == "finish to start" and (finished is None or finished > on):
            before = _title(facts.get(Activity, link.before))
            when = "is not done" if finished is None else f"was done {day(finished)}"
            found.append(f"{before} {when}")
    return found


def _record(facts: Facts, id: str, **values: object) -> Change:
    held = facts.find(Progress, id)
    if held is None:
        return add(Progress.model_validate({"id": id, **values}))
    return edit(held, **values)


def _title(activity: Activity) -> str:
    return f"{activity.id} {activity.name}".strip()
