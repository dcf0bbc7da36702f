"""Commands on crews: how many there are, drying rooms, bookings."""

from __future__ import annotations

from datetime import date
from typing import ClassVar, Literal

from pydantic import Field

from roomwright.commands.base import (
    BadCommandError,
    Command,
    Past,
    Work,
    add,
    edited,
    need,
    take_out,
)
from roomwright.commands.booked import against
from roomwright.commands.progress import near_the_house
from roomwright.job.entities import Activity, Booking, Crew, Drying, Fact, Id, Number, Text
from roomwright.job.facts import Change, Facts
from roomwright.job.words import day, number
from roomwright.trades import key_of


class SetCrew(Command):
    """How many crews of a trade there are, what they want of a room; what is not given stays."""

    command_name: ClassVar[str] = "set crew"

    trade: str = Field(min_length=1, max_length=80)
    crews: int | None = Field(default=None, ge=1, le=50)
    a_room: int | None = Field(default=None, ge=1, le=50)
    wet: Literal["", "yes"] = ""
    days: str = Field(default="", max_length=80)
    note: Text = ""

    def work(self, facts: Facts, past: Past) -> Work:
        """Return the crew."""
        said = {f: getattr(self, f) for f in self.model_fields_set - {"trade"}}
        known = (c.id for c in facts.all(Crew) if key_of(c.id) == key_of(self.trade))
        change = _set(facts, Crew, next(known, self.trade), said)
        crew = change.after
        told = []
        if isinstance(crew, Crew):
            if crew.crews:
                told.append("one crew" if crew.crews == 1 else f"{crew.crews} crews")
            if crew.a_room:
                alone = crew.a_room == 1
                told.append("alone in a room" if alone else f"{crew.a_room} trades in a room")
            if crew.wet:
                told.append("works wet")
            if crew.days:
                told.append(f"comes {', '.join(crew.days)}")
        return Work([change], f"{self.trade}: {', '.join(told) or 'as many crews as asked for'}.")


class SetDrying(Command):
    """How long the rooms of an activity stay closed after it; without days they do not."""

    command_name: ClassVar[str] = "set drying"

    activity: Id
    days: Number | None = None
    note: Text = ""

    def work(self, facts: Facts, past: Past) -> Work:
        """Return the drying, or that there is none any more."""
        activity = need(facts, Activity, self.activity, "activity")
        title = f"{activity.id} {activity.name}".strip()
        if self.days is None:
            held = facts.find(Drying, self.activity)
            if held is None:
                raise BadCommandError(("days", "type for how many days nobody may go in."))
            return Work([take_out(held)], f"{title}: its rooms are open after it.")
        said: dict[str, object] = {"days": self.days}
        if "note" in self.model_fields_set:
            said["note"] = self.note
        told = f"{title}: its rooms stay closed {number(self.days)} days after it."
        return Work([_set(facts, Drying, self.activity, said)], told)


class Book(Command):
    """Record the day that was agreed with a crew, or another day than before.

    A day off of that trade, or a day before the work can start, is said at once, and kept.
    """

    command_name: ClassVar[str] = "book"

    activity: Id
    first_day: date
    days: Number | None = None
    said_by: Text = ""
    on: date | None = None
    note: Text = ""

    def work(self, facts: Facts, past: Past) -> Work:
        """Return the booking."""
        activity = need(facts, Activity, self.activity, "activity")
        near_the_house(facts, "first_day", self.first_day)
        near_the_house(facts, "on", self.on)
        held = facts.find(Booking, self.activity)
        said = {f: getattr(self, f) for f in self.model_fields_set - {"activity"}}
        moved = held is not None and held.first_day != self.first_day
        was = f" (was {day(held.first_day)})" if held is not None and moved else ""
        who = activity.trade or "its crew"
        agreed = self.on or (held.on if held is not None else None)
        return Work(
            [_set(facts, Booking, self.activity, said)],
            f"{activity.id} {activity.name}: {who} booked for {day(self.first_day)}{was}."
            f"{against(facts, activity, self.first_day, agreed)}",
        )


class CancelBooking(Command):
    """Take a booking away: nobody comes on a day that was agreed."""

    command_name: ClassVar[str] = "cancel booking"

    activity: Id

    def work(self, facts: Facts, past: Past) -> Work:
        """Return that the booking is gone."""
        held = facts.find(Booking, self.activity)
        if held is None:
            raise BadCommandError(("activity", f"nobody is booked for {self.activity}."))
        return Work([take_out(held)], f"{self.activity}: the booking for "
                    f"{day(held.first_day)} is canceled.")  # fmt: skip


def _set(facts: Facts, kind: type[Fact], id: str, said: dict[str, object]) -> Change:
    held = facts.find(kind, id)
    if held is None:
        return add(kind.model_validate({"id": id, **said}))
    return Change(kind.kind_name, id, held, edited(held, **said))
