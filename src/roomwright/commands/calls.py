"""A command: record a call about a visit."""

from __future__ import annotations

from datetime import date
from typing import ClassVar

from roomwright.answers.call_lists import visit_of
from roomwright.commands.base import BadCommandError, Command, Past, Work, add, need
from roomwright.commands.people import next_id
from roomwright.commands.progress import near_the_house
from roomwright.job.entities import Activity, Call, Id, Text
from roomwright.job.facts import Facts
from roomwright.job.people_facts import Said
from roomwright.job.words import day


class CallMade(Command):
    """Record a call about a visit: for which day, and what they said."""

    command_name: ClassVar[str] = "call made"

    activity: Id
    visit: date
    on: date
    said: Said = "confirmed"
    day: date | None = None
    spoke_to: Text = ""
    note: Text = ""

    def work(self, facts: Facts, past: Past) -> Work:
        """Return the call."""
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
        return Work([add(call)], f"Called {day(self.on)}: {said}.")
