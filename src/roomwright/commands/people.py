"""Commands on what people decide and agree: choices and change orders."""

from __future__ import annotations

import re
from collections.abc import Mapping
from datetime import date
from typing import Any, ClassVar, Final

from pydantic import Field

from roomwright.answers.change_orders import carried, taker
from roomwright.commands.base import (
    BadCommandError,
    Command,
    Past,
    Work,
    add,
    edit,
    edited,
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

OF_A_CHOICE: Final[dict[str, Any]] = {
    "what": "", "who": "", "by": None, "lines": "", "part_class": None, "activity": None,
    "options": "", "note": "",
}  # fmt: skip
"""Fields that say what is asked, and what each holds when it is empty."""
OF_A_PAPER: Final[dict[str, Any]] = {
    "title": "", "what": "", "reason": "", "price": None, "days": 0, "lines": "",
    "activities": "", "asked_by": "", "asked_on": None, "note": "",
}  # fmt: skip
"""Fields of a change order before it is signed, and what each holds when it is empty."""


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
    """Its id; the next free one if not given."""

    def work(self, facts: Facts, past: Past) -> Work:
        """Return the choice."""
        held = facts.find(Choice, self.choice)
        if held is not None:
            raise BadCommandError(
                ("choice", f"choice {held.id} is there already, {held.what}: give this one another "
                           "id, or change that one.")
            )  # fmt: skip
        fields = {f: getattr(self, f) for f in OF_A_CHOICE}
        values = {"who": "owner", **_choice_values(facts, fields)}
        id = self.choice or next_id(facts, Choice, "C")
        when = f", by {day(self.by)}" if self.by else ""
        return Work(
            [add(Choice.model_validate({"id": id, **values}))],
            f"Choice {id} for the {values['who']}: {self.what}{when}.",
        )


class EditChoice(Command):
    """Change what is asked; a field left out stays."""

    command_name: ClassVar[str] = "edit choice"

    choice: Id
    what: str | None = Field(default=None, max_length=200)
    who: Text | None = None
    by: date | None = None
    lines: Text | None = None
    part_class: Id | None = None
    activity: Id | None = None
    options: Text | None = None
    note: Text | None = None
    shown: Text = ""
    """Fields that the form showed, with blanks between: what was left empty there is emptied."""

    def work(self, facts: Facts, past: Past) -> Work:
        """Return the choice as said."""
        held = need(facts, Choice, self.choice, "choice")
        values = _choice_values(facts, _said(self, self.shown, OF_A_CHOICE))
        return _edited(held, values, f"Choice {held.id}, {values.get('what', held.what)}")


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
    """Its id; the next free one if not given."""

    def work(self, facts: Facts, past: Past) -> Work:
        """Return the change order."""
        held = facts.find(ChangeOrder, self.change_order)
        if held is not None:
            raise BadCommandError(
                ("change_order", f"change order {held.id} is there already, {held.title}: give "
                                 "this one another id, or change that one.")
            )  # fmt: skip
        values = _paper_values(facts, {f: getattr(self, f) for f in OF_A_PAPER})
        id = self.change_order or next_id(facts, ChangeOrder, "CO-")
        paper = ChangeOrder.model_validate({"id": id, **values})
        _days_have_work(paper)
        return Work([add(paper)], f"Change order {id}: {self.title}{self._adds()}.")

    def _adds(self) -> str:
        parts = [] if self.price is None else [dollars(self.price)]
        if self.days:
            parts.append(f"{self.days:+d} {'day' if abs(self.days) == 1 else 'days'}")
        return f", {', '.join(parts)}" if parts else ""


class EditChangeOrder(Command):
    """Change a change order that nobody signed; a field left out stays."""

    command_name: ClassVar[str] = "edit change order"

    change_order: Id
    title: str | None = Field(default=None, max_length=200)
    what: Text | None = None
    reason: Text | None = None
    price: Money | None = None
    days: int | None = Field(default=None, ge=-MOST_DAYS, le=MOST_DAYS)
    lines: Text | None = None
    activities: Text | None = None
    asked_by: Text | None = None
    asked_on: date | None = None
    note: Text | None = None
    shown: Text = ""
    """Fields that the form showed, with blanks between: what was left empty there is emptied."""

    def work(self, facts: Facts, past: Past) -> Work:
        """Return the change order as said."""
        held = need(facts, ChangeOrder, self.change_order, "change_order")
        if held.agreed_on:
            raise BadCommandError(
                ("change_order", f"{held.id} was signed by {held.agreed_by} on "
                 f"{day(held.agreed_on)}: a signed paper is not changed; write another.")
            )  # fmt: skip
        values = _paper_values(facts, _said(self, self.shown, OF_A_PAPER))
        _days_have_work(edited(held, **values))
        return _edited(held, values, f"Change order {held.id}, {values.get('title', held.title)}")


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


def _said(command: Command, shown: str, fields: Mapping[str, Any]) -> dict[str, Any]:
    """Return the fields that were said, and those that a form showed and that are empty there."""
    names = shown.split()
    for name in names:
        if name not in fields:
            raise BadCommandError(("shown", f"{name[:40]} is none of {', '.join(fields)}."))
    found = {}
    for name, empty in fields.items():
        held = getattr(command, name)
        if name in names or name in command.model_fields_set:
            found[name] = empty if held is None else held
    return found


def _edited(held: Choice | ChangeOrder, values: dict[str, Any], what: str) -> Work:
    if all(getattr(held, field) == value for field, value in values.items()):
        return Work([], f"{what}: it is so already.")
    return Work([edit(held, **values)], f"{what}: changed.")


def _choice_values(facts: Facts, fields: dict[str, Any]) -> dict[str, Any]:
    """Return fields of a choice as facts hold them, once all they name is there."""
    values = dict(fields)
    if values.get("what") == "":
        raise BadCommandError(("what", "say what is to be chosen."))
    if "who" in values:
        values["who"] = values["who"] or "owner"
    near_the_house(facts, "by", values.get("by"))
    if "lines" in values:
        values["lines"] = _each(facts, Part, values["lines"], "lines")
    if values.get("part_class"):
        need(facts, PartClass, values["part_class"], "part_class")
    if values.get("activity"):
        need(facts, Activity, values["activity"], "activity")
    return values


def _paper_values(facts: Facts, fields: dict[str, Any]) -> dict[str, Any]:
    """Return fields of a change order as facts hold them, once all they name is there."""
    values = dict(fields)
    if values.get("title") == "":
        raise BadCommandError(("title", "say the change in a few words."))
    near_the_house(facts, "asked_on", values.get("asked_on"))
    if "lines" in values:
        values["lines"] = _each(facts, Part, values["lines"], "lines")
    if "activities" in values:
        values["activities"] = _each(facts, Activity, values["activities"], "activities")
    return values


def _days_have_work(paper: ChangeOrder) -> None:
    if paper.days and not paper.activities:
        raise BadCommandError(("activities", "name the work that takes the days."))


def _each(facts: Facts, kind: type[Fact], text: str, field: str) -> tuple[str, ...]:
    found = ids(text)
    for id in found:
        need(facts, kind, id, field)
    return found
