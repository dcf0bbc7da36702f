"""Commands on what people decide and agree: choices and change orders."""

from __future__ import annotations

import re
from datetime import date
from typing import ClassVar

from pydantic import Field

from roomwright.answers.change_orders import carried, taker
from roomwright.commands.base import (
    BadCommandError,
    Command,
    Past,
    Work,
    add,
    edit,
    need,
    take_out,
)
from roomwright.commands.progress import near_the_house
from roomwright.exchange.cells import ids
from roomwright.job.entities import (
    Activity,
    ChangeOrder,
    Choice,
    Fact,
    Id,
    Money,
    Part,
    PartClass,
    Text,
)
from roomwright.job.facts import Change, Facts
from roomwright.job.people_facts import MOST_DAYS, dollars
from roomwright.job.words import day


class AddChoice(Command):
    """Say what is to be chosen, by whom, and what waits for it; without a day it follows."""

    command_name: ClassVar[str] = "add choice"

    what: str = Field(min_length=1, max_length=200)
    who: Text = "owner"
    by: date | None = None
    lines: Text = ""
    """Ids of lines with blanks between."""
    part_class: Id | None = None
    activity: Id | None = None
    options: Text = ""
    note: Text = ""
    choice: Id | None = None
    """Its id; the next free one if not given, or the one that is changed."""

    def work(self, facts: Facts, past: Past) -> Work:
        """Return the choice."""
        near_the_house(facts, "by", self.by)
        lines = _each(facts, Part, self.lines, "lines")
        if self.part_class:
            need(facts, PartClass, self.part_class, "part_class")
        if self.activity:
            need(facts, Activity, self.activity, "activity")
        values = {
            "what": self.what, "who": self.who or "owner", "by": self.by, "lines": lines,
            "part_class": self.part_class, "activity": self.activity,
            "options": self.options, "note": self.note,
        }  # fmt: skip
        held = facts.find(Choice, self.choice)
        if held is not None:
            return Work([edit(held, **values)], f"Choice {held.id}, {self.what}: changed.")
        id = self.choice or next_id(facts, Choice, "C")
        when = f", by {day(self.by)}" if self.by else ""
        return Work(
            [add(Choice.model_validate({"id": id, **values}))],
            f"Choice {id} for the {self.who or 'owner'}: {self.what}{when}.",
        )


class Decide(Command):
    """Record what was decided, and when; an empty decision opens the choice again."""

    command_name: ClassVar[str] = "decide"

    choice: Id
    decision: Text = ""
    on: date | None = None
    note: Text = ""

    def work(self, facts: Facts, past: Past) -> Work:
        """Return the choice with its decision."""
        choice = need(facts, Choice, self.choice, "choice")
        near_the_house(facts, "on", self.on)
        if not self.decision:
            if not choice.decision:
                return Work([], f"{choice.what} is not decided yet.")
            change = edit(choice, decision="", decided=None)
            return Work([change], f"{choice.what}: open again (was {choice.decision}).")
        if self.on is None:
            raise BadCommandError(("on", "give the day on which it was decided."))
        was = f" (was {choice.decision})" if choice.decision else ""
        note = "; ".join(filter(None, [choice.note, self.note]))
        change = edit(choice, decision=self.decision, decided=self.on, note=note)
        return Work([change], f"{choice.what}: {self.decision}, decided {day(self.on)}{was}.")


class RemoveChoice(Command):
    """Take a choice away."""

    command_name: ClassVar[str] = "remove choice"

    choice: Id

    def work(self, facts: Facts, past: Past) -> Work:
        """Return the choice gone."""
        choice = need(facts, Choice, self.choice, "choice")
        return Work([take_out(choice)], f"Choice {choice.id}, {choice.what}: removed.")


class AddChangeOrder(Command):
    """Write a change order: what, why, for what price, and by how many days of which work."""

    command_name: ClassVar[str] = "add change order"

    title: str = Field(min_length=1, max_length=200)
    what: Text = ""
    reason: Text = ""
    price: Money | None = None
    days: int = Field(default=0, ge=-MOST_DAYS, le=MOST_DAYS)
    lines: Text = ""
    activities: Text = ""
    """Ids of work with blanks between; the first takes the days."""
    asked_by: Text = ""
    asked_on: date | None = None
    note: Text = ""
    change_order: Id | None = None
    """Its id; the next free one if not given, or the one that is changed while it is unsigned."""

    def work(self, facts: Facts, past: Past) -> Work:
        """Return the change order."""
        near_the_house(facts, "asked_on", self.asked_on)
        values = {
            "title": self.title, "what": self.what, "reason": self.reason, "price": self.price,
            "days": self.days, "lines": _each(facts, Part, self.lines, "lines"),
            "activities": _each(facts, Activity, self.activities, "activities"),
            "asked_by": self.asked_by, "asked_on": self.asked_on, "note": self.note,
        }  # fmt: skip
        if self.days and not values["activities"]:
            raise BadCommandError(("activities", "name the work that takes the days."))
        held = facts.find(ChangeOrder, self.change_order)
        if held is not None:
            if held.agreed_on:
                raise BadCommandError(
                    ("change_order", f"{held.id} was signed by {held.agreed_by} on "
                     f"{day(held.agreed_on)}: a signed paper is not changed; write another.")
                )  # fmt: skip
            return Work([edit(held, **values)], f"Change order {held.id}, {self.title}: changed.")
        id = self.change_order or next_id(facts, ChangeOrder, "CO-")
        return Work(
            [add(ChangeOrder.model_validate({"id": id, **values}))],
            f"Change order {id}: {self.title}{self._adds()}.",
        )

    def _adds(self) -> str:
        parts = [] if self.price is None else [dollars(self.price)]
        if self.days:
            parts.append(f"{self.days:+d} {'day' if abs(self.days) == 1 else 'days'}")
        return f", {', '.join(parts)}" if parts else ""


class AgreeToChangeOrder(Command):
    """Record that the paper was signed: by whom, and on which day. Its days go into the work."""

    command_name: ClassVar[str] = "agree to change order"

    change_order: Id
    by: str = Field(min_length=1, max_length=200)
    on: date

    def work(self, facts: Facts, past: Past) -> Work:
        """Return the change order with its signature, and the work with its days."""
        change = need(facts, ChangeOrder, self.change_order, "change_order")
        near_the_house(facts, "on", self.on)
        if change.agreed_on:
            raise BadCommandError(
                ("change_order", f"{change.id} was signed by {change.agreed_by} on "
                 f"{day(change.agreed_on)} already.")
            )  # fmt: skip
        if change.asked_on and self.on < change.asked_on:
            raise BadCommandError(
                ("on", f"{day(self.on)} is before it was asked for, {day(change.asked_on)}.")
            )
        moved = with_days(facts, change)
        took = taker(facts, change) if moved else None
        taken = took.id if took else None
        signed = edit(change, agreed_by=self.by, agreed_on=self.on, taken_by=taken)
        said = f"Change order {change.id}, {change.title}: signed by {self.by} on {day(self.on)}."
        if taken:
            longer = "longer" if change.days > 0 else "shorter"
            n = abs(change.days)
            said += f" {taken} takes {n} {'day' if n == 1 else 'days'} {longer}."
        return Work([signed, *moved], said)


class RemoveChangeOrder(Command):
    """Take away a change order that nobody signed."""

    command_name: ClassVar[str] = "remove change order"

    change_order: Id

    def work(self, facts: Facts, past: Past) -> Work:
        """Return the change order gone."""
        change = need(facts, ChangeOrder, self.change_order, "change_order")
        if change.agreed_on:
            raise BadCommandError(
                ("change_order", f"{change.id} was signed by {change.agreed_by} on "
                 f"{day(change.agreed_on)}: what was signed stays. Undo the signing if it was a "
                 "slip.")
            )  # fmt: skip
        return Work([take_out(change)], f"Change order {change.id}, {change.title}: removed.")


def with_days(facts: Facts, change: ChangeOrder) -> list[Change]:
    """Return how a change order's days go into its work; nothing where that work is done.

    Raises
    ------
    BadCommandError
        if the work would take less than no time.
    """
    made, wrong = carried(facts, change, change.days)
    if wrong:
        raise BadCommandError(("change_order", wrong))
    return made


def next_id(facts: Facts, kind: type[Fact], head: str) -> str:
    """Return the next free id of a kind, numbered after its head."""
    numbers = [
        int(m[1])
        for id in facts.ids(kind)
        if (m := re.fullmatch(re.escape(head) + r"(\d{1,9})", id))
    ]
    return f"{head}{max(numbers, default=0) + 1}"


def _each(facts: Facts, kind: type[Fact], text: str, field: str) -> tuple[str, ...]:
    found = ids(text)
    for id in found:
        need(facts, kind, id, field)
    return found
