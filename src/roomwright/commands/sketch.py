"""Commands that draw: walls in words saved as a sketch, and a room made of them."""

from __future__ import annotations

from fractions import Fraction
from typing import ClassVar, Literal

from roomwright import shape
from roomwright.answers.sketch import Chain, chain, start_of
from roomwright.answers.sketch_run import RunError, parse_run
from roomwright.commands.base import (
    BadCommandError,
    Command,
    Past,
    Work,
    add,
    capital,
    need,
    take_out,
)
from roomwright.commands.drawing_joins import met
from roomwright.commands.said import Side
from roomwright.exchange import place
from roomwright.job.entities import Id, Outline, Point, Room, Sketch, Text
from roomwright.job.facts import Change, Facts
from roomwright.lengths import area, tape


class SaveSketch(Command):
    """Save walls as far as they are known; they need not close, and no room is made."""

    command_name: ClassVar[str] = "save sketch"

    level: Id
    walls: Text = ""
    start: Text = ""
    """A corner and a run from it, ``101 B, 4 1/2 east``; or a run from 0, 0; empty: 0, 0."""
    name: Text = ""
    sketch: Id | None = None
    """The sketch that this changes; a new one if not given."""

    def work(self, facts: Facts, past: Past) -> Work:
        """Return the sketch."""
        start, this = laid_out(facts, self.start, self.walls)
        id = self.sketch or _free(facts)
        made = Sketch(id=id, level=self.level, start=start, walls=self.walls, name=self.name)
        was = facts.find(Sketch, id)
        what = f"sketch {id}" + (f", {self.name}," if self.name else "")
        return Work([Change("sketch", id, was, made)], f"{capital(what)} saved. {this.said}")


class RemoveSketch(Command):
    """Take a sketch away."""

    command_name: ClassVar[str] = "remove sketch"

    sketch: Id

    def work(self, facts: Facts, past: Past) -> Work:
        """Return the house without it."""
        was = need(facts, Sketch, self.sketch, "sketch")
        return Work([take_out(was)], f"Sketch {was.id} taken away.")


class DrawRoom(Command):
    """Make a room of walls that close: exactly, by a last wall, or with what is left spread.

    A chain that nearly closes makes a room only with ``spread`` yes: by how much it fails to
    close is said first.
    """

    command_name: ClassVar[str] = "draw room"

    level: Id
    room: Id
    walls: Text
    start: Text = ""
    name: Text = ""
    ceiling: Side | None = None
    spread: Literal["", "yes"] = ""
    sketch: Id | None = None
    """The sketch that becomes this room; it is taken away."""

    def work(self, facts: Facts, past: Past) -> Work:
        """Return the house with the room."""
        room_id(facts, self.room)
        _, this = laid_out(facts, self.start, self.walls)
        outline = this.ring(spread=self.spread == "yes")
        if outline is None:
            raise BadCommandError(("walls", _why_open(this)))
        changes = [
            add(Room(id=self.room, name=self.name, level=self.level, outline=outline,
                     ceiling=self.ceiling))
        ]  # fmt: skip
        if self.sketch is not None:
            was = facts.find(Sketch, self.sketch)
            changes += [take_out(was)] if was is not None else []
        size = area(abs(_area(outline)))
        how = this.said if this.closing != "exactly" else ""
        spread = " Spread over its walls by the compass rule." if this.closing == "nearly" else ""
        title = f"room {self.room}" + (f", {self.name}," if self.name else "")
        changes, joins = met(facts, changes, self.room)
        said = f"{capital(title)} drawn: {len(outline)} walls, {size}. {how}{spread}{joins}"
        return Work(changes, said)


class FirstRoom(Command):
    """Begin a level with one room by width (east-west) and depth (north-south)."""

    command_name: ClassVar[str] = "first room"

    level: Id
    room: Id
    width: Side
    depth: Side
    start: Text = ""
    """Where its southwest corner is; as for a sketch."""
    name: Text = ""
    ceiling: Side | None = None

    def work(self, facts: Facts, past: Past) -> Work:
        """Return the house with the room."""
        room_id(facts, self.room)
        for field in ("width", "depth"):
            if getattr(self, field) <= 0:
                raise BadCommandError((field, "a size is more than nothing."))
        start, _ = laid_out(facts, self.start, "")
        made = Room(
            id=self.room, name=self.name, level=self.level, ceiling=self.ceiling,
            outline=place.at(start, self.width, self.depth),
        )  # fmt: skip
        size = f"{tape(self.width)} x {tape(self.depth)}"
        changes, joins = met(facts, [add(made)], self.room)
        return Work(changes, f"Room {self.room} drawn: {size}.{joins}")


def laid_out(facts: Facts, start: str, walls: str) -> tuple[Point, Chain]:
    """Return where a chain begins and the chain.

    Raises
    ------
    BadCommandError
        naming the field that can't be read.
    """
    at: Point = (Fraction(0), Fraction(0))
    try:
        if start.strip():
            at = start_of(start, {room.id: room.outline for room in facts.all(Room)})
    except RunError as no:
        raise BadCommandError(("start", str(no))) from no
    try:
        return at, chain(parse_run(walls), at)
    except RunError as no:
        raise BadCommandError(("walls", str(no))) from no


def room_id(facts: Facts, id: str) -> None:
    """Refuse an id that a room can't have, or that is taken."""
    if facts.find(Room, id) is not None:
        raise BadCommandError(("room", f"there is a room {id} already."))
    bad = next((c for c in ",;:/" if c in id), None)
    if bad:
        raise BadCommandError(("room", f"leave out the {bad}"))
    if id.lower() in ("all", "out"):
        raise BadCommandError(("room", "that word means more here"))


def _why_open(this: Chain) -> str:
    match this.closing:
        case "nearly":
            return (
                f"{this.said} Check the walls, or say that it be spread over them (the compass "
                "rule: each corner moves by its share of the way)."
            )
        case "too short":
            return this.said
    if len(this.corners) < 2:
        return "type the walls: 12 4 1/2 east, 9 south, 12 4 1/2 west, close."
    return f"{this.said} Go on, end with close, or save it as a sketch."


def _area(outline: Outline) -> float:
    return shape.signed_area([(float(x), float(y)) for x, y in outline])


def _free(facts: Facts) -> str:
    taken = set(facts.ids(Sketch))
    return next(id for n in range(1, len(taken) + 2) if (id := f"S{n}") not in taken)


__all__ = ["DrawRoom", "FirstRoom", "RemoveSketch", "SaveSketch", "laid_out", "room_id"]
