"""The command on the terms of the house: its name, what a day costs, its usual days and tape."""

from __future__ import annotations

from fractions import Fraction
from typing import Any, ClassVar

from pydantic import Field

from roomwright.commands.base import BadCommandError, Command, Past, Work, edit, need
from roomwright.commands.shown import Shown, differences, emptied
from roomwright.job.entities import House, Money, Text
from roomwright.job.fact import Length
from roomwright.job.facts import Facts
from roomwright.job.people_facts import dollars
from roomwright.job.words import value

USUAL: dict[str, Any] = {
    "name": "", "cost_per_day": None,
    "inspect_days": House.model_fields["inspect_days"].default,
    "tape_sigma": House.model_fields["tape_sigma"].default,
}  # fmt: skip
"""What holds where a field is emptied."""

WORDS = {
    "name": "its name", "cost_per_day": "a day of the house costs",
    "inspect_days": "working days to receive, open and check",
    "tape_sigma": "a tape reading is out by",
}  # fmt: skip


class SetHouse(Command):
    """The house's name, what a day of delay costs, its inspect days and tape; the rest stays."""

    command_name: ClassVar[str] = "set house"

    name: Text | None = Field(default=None, max_length=200)
    cost_per_day: Money | None = None
    """What one day's delay costs: interest, insurance, heat, supervision."""
    inspect_days: int | None = Field(default=None, ge=0, le=60)
    """Working days to receive, open and check what comes."""
    tape_sigma: Length | None = None
    """One standard deviation of a tape reading [in]."""
    shown: Shown = ()
    """Fields that the form showed: what was left empty there is emptied, or as is usual."""

    def work(self, facts: Facts, past: Past) -> Work:
        """Return the house as said."""
        house = need(facts, House, "house", "name")
        said = emptied(self.shown, USUAL)
        for field in USUAL:
            if field in self.model_fields_set:
                given = getattr(self, field)
                said[field] = USUAL[field] if given is None else given
        if said.get("name") == "":
            raise BadCommandError(("name", "a house needs a name."))
        if (cost := said.get("cost_per_day")) is not None:
            if cost < 0:
                raise BadCommandError(("cost_per_day", f"{cost}: give what it costs, 0 or more."))
            said["cost_per_day"] = Fraction(cost)
        sigma = said.get("tape_sigma")
        if sigma is not None and not 0 < sigma <= 2:
            raise BadCommandError(("tape_sigma", "more than 0, at most 2 in.; 1/8 is usual."))
        told = differences(House, house, said, _say, WORDS)
        if not told:
            return Work([], f"{house.name} is so already.")
        return Work([edit(house, **said)], f"The house: {'; '.join(told)}.")


def _say(field: str, held: Any) -> str:
    return dollars(held) if field == "cost_per_day" else value(House, field, held)
