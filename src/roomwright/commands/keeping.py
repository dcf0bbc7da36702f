"""What it costs to have parts early, and the limits of room, cash and receiving."""

from __future__ import annotations

from typing import Any, ClassVar

from pydantic import Field

from roomwright.commands.base import BadCommandError, Command, Past, Work, add, edit, need, take_out
from roomwright.commands.shown import Shown, differences, emptied
from roomwright.job.entities import Keeping, Money, Number, Part, PartClass, Text, owner_id
from roomwright.job.facts import Facts
from roomwright.job.people_facts import dollars
from roomwright.job.words import value

LIMITS = ("room_most", "cash_most", "receipts_most")
FIELDS: dict[str, Any] = {
    **dict.fromkeys(("price", "deposit", "rate", "storage", "damage_chance", "damage", "room")),
    **dict.fromkeys(LIMITS),
    "note": "",
}
"""Each field, and what it holds where nobody has said."""
_NAMES = {
    "rate": "money a year", "storage": "storing it a week",
    "damage_chance": "chance of damage a week",
    "room_most": "room at most", "cash_most": "cash at most", "receipts_most": "deliveries a day",
}  # fmt: skip


class SetKeeping(Command):
    """What keeping costs, of a line, a class or the whole house; only what is given changes.

    With nothing given what was said is taken out.
    """

    command_name: ClassVar[str] = "set keeping"

    part_class: str = Field(default="", max_length=80)
    line: str = Field(default="", max_length=80)
    price: Money | None = None
    deposit: Number | None = None
    rate: Number | None = None
    storage: Money | None = None
    damage_chance: Number | None = None
    damage: Money | None = None
    room: int | None = Field(default=None, ge=0, le=100_000)
    room_most: int | None = Field(default=None, ge=0, le=1_000_000)
    cash_most: Money | None = None
    receipts_most: int | None = Field(default=None, ge=1, le=1000)
    note: Text = ""
    shown: Shown = ()
    """Fields that the form showed: what was left empty there is emptied."""

    def work(self, facts: Facts, past: Past) -> Work:
        """Return what keeping costs."""
        if self.part_class and self.line:
            raise BadCommandError(("line", "name a line or a class, not both."))
        if self.line:
            need(facts, Part, self.line, "line")
        elif self.part_class:
            need(facts, PartClass, self.part_class, "part_class")
        owned = bool(self.line or self.part_class)
        id = owner_id(self.part_class, self.line) if owned else "house"
        given = {f: getattr(self, f) for f in FIELDS if f in self.model_fields_set}
        said = emptied(self.shown, FIELDS) | given
        for field in LIMITS:
            if owned and said.get(field) is not None:
                raise BadCommandError((field, "a limit is the whole house's: leave the line out."))
        for field in ("price", "storage", "damage", "cash_most"):
            if (amount := said.get(field)) is not None and amount < 0:
                raise BadCommandError((field, f"{amount}: give what it costs, 0 or more."))
        for field in ("deposit", "rate", "damage_chance"):
            if (share := said.get(field)) is not None and not 0 <= share <= 100:
                raise BadCommandError((field, f"{float(share):g} %: give 0 to 100."))
        held = facts.find(Keeping, id)
        if not said:
            if held is None:
                raise BadCommandError(("", "say what it costs to have it early."))
            return Work([take_out(held)], f"What it costs to keep {self._what()}: taken out.")
        told = differences(Keeping, held, said, _say, _NAMES)
        if self.shown and not told:
            return Work([], f"What it costs to keep {self._what()}: so already.")
        change = edit(held, **said) if held else add(self._made(id, said))
        if all(getattr(change.after, f) == empty for f, empty in FIELDS.items()):
            gone = [take_out(held)] if held else []
            return Work(gone, f"What it costs to keep {self._what()}: taken out.")
        return Work([change], f"What it costs to keep {self._what()}: {', '.join(told)}.")

    def _made(self, id: str, said: dict[str, Any]) -> Keeping:
        of = {"part_class": self.part_class or None, "line": self.line or None}
        return Keeping.model_validate({"id": id, **of, **said})

    def _what(self) -> str:
        return self.line or self.part_class or "things here"


def _say(field: str, held: Any) -> str:
    if field in ("price", "storage", "damage", "cash_most"):
        return dollars(held)
    share = " %" if field in ("deposit", "rate", "damage_chance") else ""
    return f"{value(Keeping, field, held)}{share}"
