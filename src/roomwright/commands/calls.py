"""A command: record a call about a visit."""

from __future__ import annotations

from datetime import date
from typing import ClassVar

from roomwright.answers.call_lists import visit_of
from roomwright.commands.base import BadCommandError, Command, Past, Work, add, edit, need
from roomwright.commands.people import next_id
from roomwright.commands.progress import near_the_house
from roomwright.job.entities import Activity, Booking, Call, Id, Text
from roomwright.job.facts import Change, Facts
from roomwright.job.people_facts import Said
from roomwright.job.words import day


class CallMade(Command):
    """Record a call about a visit and what they said; a day they confirm is booked."""

    command_name: ClassVar[str] = "call made"
    happened = ("on",)

    activity: Id
    visit: date
    on: date
    said: Said = "confirmed"
    day: date | None = None
    spoke_to: Text = ""
    note: Text = ""

    def work(self, facts: Facts, past: Past) -> Work:
        """Return the call, and the booking that it makes."""
        work = need(facts, Activity, self.activity, "activity")
        for field in ("visit", "on", "day"):
            near_the_house(facts, field, getattr(self, field))
        if self.day and self.said != "another day":
            raise BadCommandError(("day", "another day goes with “another day”."))
        call = Call(
            id=next_id(facts, Call, "K"), activity=self.activity, visit=self.visit, on=self.on,
            said=self.said, day=self.day, spoke_to=self.spoke_to, note=self.note,
        )  # fmt: skip
        who = visit_of(work)
        match self.said:
            case "confirmed":
                said = f"{who} confirmed {day(self.visit)}"
            case "another day":
                then = f"; {day(self.day)} they can" if self.day else ""
                said = f"{who} can't come on {day(self.visit)}{then}"
            case _:
                said = f"{who} did not answer"
        booked = [] if self.said != "confirmed" else self._booked(facts)
        return Work([add(call), *booked], f"Called {day(self.on)}: {said}.")

    def _booked(self, facts: Facts) -> list[Change]:
        """Return the booking of the visit's first work on the day that was confirmed."""
        said = {"first_day": self.visit, "said_by": self.spoke_to, "on": self.on}
        held = facts.find(Booking, self.activity)
        if held is None:
            return [add(Booking.model_validate({"id": self.activity, **said}))]
        return [] if held.first_day == self.visit else [edit(held, **said)]
