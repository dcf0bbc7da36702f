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
    edited,
    in_words,
    need,
    take_out,
)
from roomwright.commands.shown import differences
from roomwright.days import weekday
from roomwright.job.entities import Activity, House, Id, Order, Text, Vendor, WorkCalendar
from roomwright.job.facts import Change, Facts
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
    """``yes`` from a form that shows every field: what is left empty there is emptied.

    Of the house such a form shows its week and all its days off, those of ``house.toml`` too.
    """

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
        made = self._made(name, {**values, **said})
        changes: list[Change] = []
        if name == HOUSE and self.whole:
            made, changes = _of_house(facts, made)
        told = differences(WorkCalendar, held, {f: getattr(made, f) for f in FIELDS})
        told += [_days_off(change) for change in changes]
        if not told:
            return Work([], f"The calendar of {name} says so already.")
        silent = all(getattr(made, f) == empty[f] for f in FIELDS)
        if silent and held is not None:
            changes.append(take_out(held))
        elif not silent:
            said = {f: getattr(made, f) for f in FIELDS}
            changes.append(add(made) if held is None else edit(held, **said))
        if name == HOUSE:
            return Work(changes, f"The calendar of the house: {'; '.join(told)}.")
        if silent:
            return Work(changes, f"{name} works by the calendar of the house again.")
        return Work(changes, f"{name} works by a calendar of its own: {'; '.join(told)}.")

    @staticmethod
    def _made(name: str, values: dict[str, Any]) -> WorkCalendar:
        try:
            return WorkCalendar.model_validate({"id": name, **values})
        except ValidationError as error:
            raise in_words(error) from error

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


def _of_house(facts: Facts, made: WorkCalendar) -> tuple[WorkCalendar, list[Change]]:
    """Return what a whole calendar adds to the house's own week and days off, and their change.

    A form shows both as one: a day off that the house itself has stays there, or goes.
    """
    house = need(facts, House, HOUSE, "calendar")
    kept = tuple(d for d in house.days_off if d.isoformat() in made.closed)
    same = set(map(weekday, made.work_week)) == set(map(weekday, house.work_week))
    own = {
        "closed": tuple(c for c in made.closed if c not in {d.isoformat() for d in kept}),
        "work_week": () if same else made.work_week,
    }
    changes = [] if kept == house.days_off else [edit(house, days_off=kept)]
    return edited(made, **own), changes


def _days_off(change: Change) -> str:
    """Return the house's own days off in words, as they are and as they were."""
    was, now = (
        value(House, "days_off", fact.days_off) if isinstance(fact, House) else ""
        for fact in (change.before, change.after)
    )
    return f"days off {now} (was {was})"
