"""Commands on a room as a whole: its name, level, ceiling and finish; and taking it away."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Callable
from fractions import Fraction
from typing import ClassVar, Literal

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
from roomwright.commands.centring import let_go
from roomwright.commands.drawing_joins import joined
from roomwright.commands.said import Side
from roomwright.job.entities import (
    Fact,
    Fixed,
    Floor,
    Id,
    Length,
    Light,
    Opening,
    Piece,
    Reading,
    Room,
    Slope,
    Stair,
    Text,
    Wall,
    Window,
)
from roomwright.job.facts import Change, Facts, reference_targets
from roomwright.job.words import NOUNS, named
from roomwright.lengths import tape

GOES: tuple[type[Fact], ...] = (Piece, Fixed, Window, Light, Slope, Wall, Reading, Stair, Opening)
"""What goes with a room; anything else that needs it must be moved or removed first."""


class EditRoom(Command):
    """Change what is known of a room; what is left out stays, what is said to be empty goes."""

    command_name: ClassVar[str] = "edit room"

    room: Id
    name: Text | None = None
    level: Id | None = None
    ceiling: Side | None = None
    floor: Text | None = None
    """Its floor finish, by name; an unknown one is added if its build-up is said."""
    build_up: Length | None = None
    use: Text | None = None

    def work(self, facts: Facts, past: Past) -> Work:
        """Return the room as said."""
        room = need(facts, Room, self.room, "room")
        changes: list[Change] = []
        values: dict[str, object] = {}
        said: list[str] = []
        for field in ("name", "level", "ceiling", "use"):
            value = getattr(self, field)
            if value is not None and value != getattr(room, field):
                values[field] = value
                shown = tape(value) if field == "ceiling" else f"“{value}”" if value else "not said"
                said.append(f"{field} {shown} (was {_shown(getattr(room, field))})")
        if self.floor is not None and self.floor != (room.floor or ""):
            values["floor"] = self.floor or None
            said.append(f"floor {self.floor or 'not said'} (was {room.floor or 'not said'})")
            if self.floor and facts.find(Floor, self.floor) is None:
                if self.build_up is None:
                    raise BadCommandError(
                        ("build_up", f"{self.floor} is new here: say how thick it is over the "
                                     "subfloor.")
                    )  # fmt: skip
                changes.append(add(Floor(id=self.floor, build_up=self.build_up)))
        elif self.build_up is not None and room.floor:
            floor = need(facts, Floor, room.floor, "floor")
            if floor.build_up != self.build_up:
                changes.append(edit(floor, build_up=self.build_up))
                said.append(f"{floor.id} is {tape(self.build_up)} thick (was "
                            f"{tape(floor.build_up)}), in every room that has it")  # fmt: skip
        if values:
            changes.append(edit(room, **values))
        what = room.name or f"Room {room.id}"
        if not changes:
            return Work([], f"{what} is so already.")
        changes, loose = joined(facts, changes, "level")
        return Work(changes, f"{what}: {', '.join(said)}.{loose}")


class RemoveRoom(Command):
    """Take a room away with what belongs to it; an opening to a neighbor then leads out.

    What work, parts or papers need keeps it. `agreed` says that the list was looked at.
    """

    command_name: ClassVar[str] = "remove room"

    room: Id
    agreed: Literal["", "yes"] = ""

    def work(self, facts: Facts, past: Past) -> Work:
        """Return the house without it."""
        room = need(facts, Room, self.room, "room")
        goes, turned = depending(facts, room.id)
        held = still_needed(facts, room.id, goes)
        if held:
            raise BadCommandError(("room", f"{counted(held)} still need it: move those first."))
        if (goes or turned) and self.agreed != "yes":
            raise BadCommandError(
                ("agreed", f"with it go {counted(goes)}" * bool(goes)
                 + ("; " if goes and turned else "")
                 + f"{counted(turned)} will lead outdoors" * bool(turned)
                 + ". Say yes to take them away; one undo brings all back.")
            )  # fmt: skip
        freed = let_go(facts, *goes)
        changes = [*map(take_out, goes), *map(_leads_out(room.id), turned), *freed, take_out(room)]
        what = room.name or f"Room {room.id}"
        changes, _ = joined(facts, changes, "room")
        tail = f", and with it {counted(goes)}" if goes else ""
        return Work(changes, f"{what} taken away{tail}.")


def depending(facts: Facts, room: str) -> tuple[list[Fact], list[Opening]]:
    """Return what goes with a room, and the openings that will lead out instead."""
    goes: list[Fact] = []
    turned: list[Opening] = []
    for kind in GOES:
        for fact in facts.all(kind):
            if not any(k == "room" and id == room for _, k, id in reference_targets(fact)):
                continue
            if isinstance(fact, Opening) and {fact.from_room, fact.to_room} - {room, "out"}:
                turned.append(fact)
            else:
                goes.append(fact)
    return goes, turned


def still_needed(facts: Facts, room: str, goes: list[Fact]) -> list[Fact]:
    """Return what else needs a room or something that goes with it."""
    gone = {("room", room), *((f.kind_name, f.id) for f in goes)}
    return [
        fact
        for fact in facts
        if not isinstance(fact, (*GOES, Room))
        and any((kind, id) in gone for _, kind, id in reference_targets(fact))
    ]


def counted(facts: list[Fact] | list[Opening]) -> str:
    """Return facts as a list in words: 2 windows, piece T1."""
    by: dict[str, list[Fact]] = defaultdict(list)
    for fact in facts:
        by[fact.kind_name].append(fact)
    return ", ".join(
        named(held[0], kind, held[0].id)
        if len(held) == 1
        else f"{len(held)} {NOUNS.get(kind, kind)}s"
        for kind, held in by.items()
    )


def _shown(value: object) -> str:
    """A field of a room as a sentence says it."""
    if isinstance(value, Fraction):
        return tape(value)
    return f"“{value}”" if value else "not said"


def _leads_out(room: str) -> Callable[[Opening], Change]:
    def change(opening: Opening) -> Change:
        other = opening.to_room if opening.from_room == room else opening.from_room
        swings = "out" if opening.swings_into == room else opening.swings_into
        return edit(opening, from_room=other, to_room="out", swings_into=swings)

    return change
