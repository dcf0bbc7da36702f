"""The command on calendars: who works on which days."""

from __future__ import annotations

from typing import Any, ClassVar, Literal

from pydantic import ValidationError

from roomwright.commands.base import (
    BadCommandError,
    Command,
    Past,
    Work,
    add,
    edit,
    in_words,
    take_out,
)
from roomwright.job.entities import Activity, Id, Order, Text, Vendor, WorkCalendar
from roomwright.job.facts import Facts
from roomwright.job.rules_of_calendars import HOUSE
from roomwright.job.words import value
from roomwright.trades import named

Words = str | tuple[str, ...] | None
FIELDS = ("work_week", "mornings", "holidays", "closed", "follows_house", "note")


class SetCalendar(Command):
    """Say on which days a trade, a maker or the house works; a field left out stays as it is."""

    command_name: ClassVar[str] = "set calendar"

    calendar: Id
    """The trade, the maker, or ``house``."""
    work_week: Words = None
    mornings: Words = None
    holidays: Words = None
    closed: Words = None
    follows_house: Literal["yes", "no"] | None = None
    note: Text | None = None
    whole: Literal["", "yes"] = ""
    """``yes`` from a form that shows every field: what is left empty there is emptied."""

    def work(self, facts: Facts, past: Past) -> Work:
        """Return the calendar; one that says nothing any more is taken out."""
        name = self._name(facts)
        held = facts.find(WorkCalendar, name)
        empty: dict[str, Any] = dict.fromkeys(FIELDS[:4], ()) | {"follows_house": "yes", "note": ""}
        said: dict[str, Any] = dict(empty) if self.whole else {}
        for field in FIELDS:
            if field in self.model_fields_set:
                given = getattr(self, field)
                said[field] = empty[field] if given is None or given == "" else given
        values = {f: getattr(held, f) for f in FIELDS} if held is not None else empty
        try:
            made = WorkCalendar.model_validate({"id": name, **values, **said})
        except ValidationError as error:
            raise in_words(error) from error
        whose = "The house" if name == HOUSE else name
        if all(getattr(made, f) == empty[f] for f in FIELDS):
            changes = [] if held is None else [take_out(held)]
            return Work(changes, f"{whose} works by {_usual(name)} again.")
        told = "; ".join(
            f"{f.replace('_', ' ')} {value(WorkCalendar, f, getattr(made, f))}"
            for f in FIELDS
            if getattr(made, f) != values[f]
        )
        if held is not None and not told:
            return Work([], f"The calendar of {name} says so already.")
        change = add(made) if held is None else edit(held, **{f: getattr(made, f) for f in FIELDS})
        return Work([change], f"{whose} works by a calendar of its own: {told}.")

    def _name(self, facts: Facts) -> str:
        """Return the id as the house spells it, or refuse a name that is nobody's."""
        wanted = " ".join(self.calendar.split()).lower()
        if wanted == HOUSE:
            return HOUSE
        known: dict[str, str] = {}
        for fact in facts.all(WorkCalendar):
            known.setdefault(fact.id.lower(), fact.id)
        for vendor in facts.all(Vendor):
            for each in (vendor.id, vendor.calendar):
                known.setdefault(each.strip().lower(), each.strip())
        for order in facts.all(Order):
            known.setdefault(order.maker.strip().lower(), order.maker.strip())
        for activity in facts.all(Activity):
            for each in (activity.trade, *named(activity.trade).values()):
                known.setdefault(each.strip().lower(), each.strip())
        if wanted not in known:
            names = ", ".join(sorted(n for n in known.values() if n)[:12]) or "none yet"
            raise BadCommandError(
                ("calendar", f"no trade, maker or vendor is called “{self.calendar}”. "
                             f"There are: {names}; and house.")
            )  # fmt: skip
        return known[wanted]


def _usual(name: str) -> str:
    return "its week and days off" if name == HOUSE else "the calendar of the house"
