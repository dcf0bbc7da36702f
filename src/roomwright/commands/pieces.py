"""Commands on pieces: move, turn, resize, add, remove, and the builder's own word on a side."""

from __future__ import annotations

import re
from fractions import Fraction
from typing import ClassVar, Literal, Self

from pydantic import Field, model_validator

from roomwright import shape
from roomwright.commands.base import (
    BadCommandError,
    Command,
    Past,
    Work,
    add,
    capital,
    edit,
    need,
    take_out,
)
from roomwright.commands.centring import let_go
from roomwright.commands.said import Said
from roomwright.job.entities import Fixed, Id, Length, Number, Part, Piece, Room, Text
from roomwright.job.facts import Facts
from roomwright.job.words import named, number
from roomwright.lengths import tape

Use = Literal["walk past", "edge past", "rise", "slide in"]


class Move(Command):
    """Move a piece: to x, y (its center), or by dx, dy; into another room if one is named."""

    command_name: ClassVar[str] = "move"

    piece: Id
    x: Length | None = None
    y: Length | None = None
    dx: Length | None = None
    dy: Length | None = None
    room: Id | None = None

    @model_validator(mode="after")
    def _one_way(self) -> Self:
        for to, by in (("x", "dx"), ("y", "dy")):
            if getattr(self, to) is not None and getattr(self, by) is not None:
                raise BadCommandError((by, f"say where to ({to}) or how far ({by}), not both."))
        if all(v is None for v in (self.x, self.y, self.dx, self.dy, self.room)):
            raise BadCommandError(("x", "say where to (x, y) or how far (dx, dy)."))
        return self

    def work(self, facts: Facts, past: Past) -> Work:
        """Return the piece at its new place."""
        piece = need(facts, Piece, self.piece, "piece")
        if self.room is not None:
            need(facts, Room, self.room, "room")
        x = self._to("x", piece.x, self.x, self.dx)
        y = self._to("y", piece.y, self.y, self.dy)
        room = piece.room if self.room is None else self.room
        change = edit(piece, x=x, y=y, room=room)
        return Work([change], self._sentence(piece, change.after))  # type: ignore[arg-type]

    @staticmethod
    def _to(
        axis: str, now: Fraction | None, to: Fraction | None, by: Fraction | None
    ) -> Fraction | None:
        if to is not None:
            return to
        if by is not None:
            if now is None:
                raise BadCommandError(
                    (f"d{axis}", "this piece has no place yet: say where it goes (x and y).")
                )
            return now + by
        return now

    @staticmethod
    def _sentence(was: Piece, now: Piece) -> str:
        what = capital(named(was, "piece", was.id))
        there = f" in {now.room}" if now.room != was.room else ""
        if now.x is None or now.y is None:
            return f"{what} is now{there or f' in {now.room}'}, without a place."
        place = f"{tape(now.x)}, {tape(now.y)}"
        if was.x is None or was.y is None or there:
            return f"{what} now stands{there} at {place}."
        way = [
            f"{tape(abs(by))} {word}"
            for by, words in ((now.x - was.x, "east west"), (now.y - was.y, "north south"))
            if by
            for word in [words.split()[by < 0]]
        ]
        if not way:
            return f"{what} stays where it is, at {place}."
        return f"{what} moved {' and '.join(way)}, to {place}."


class Turn(Command):
    """Turn a piece about its center, to an angle or by one, in degrees counterclockwise."""

    command_name: ClassVar[str] = "turn"

    piece: Id
    to: Number | None = None
    by: Number | None = None

    @model_validator(mode="after")
    def _one_way(self) -> Self:
        if (self.to is None) == (self.by is None):
            raise BadCommandError(
                ("to", "say to which angle, or by how many degrees, one of them.")
            )
        return self

    def work(self, facts: Facts, past: Past) -> Work:
        """Return the turned piece."""
        piece = need(facts, Piece, self.piece, "piece")
        angle = (piece.turn + self.by if self.by is not None else self.to or Fraction(0)) % 360
        by = (angle - piece.turn) % 360
        what = capital(named(piece, "piece", piece.id))
        if by == 0:
            return Work([], f"{what} is turned {number(angle)}° already.")
        way = f"{number(by)}° counterclockwise" if by <= 180 else f"{number(360 - by)}° clockwise"
        return Work(
            [edit(piece, turn=angle)],
            f"{what} turned {way}, to {number(angle)}°.",
        )


class Resize(Command):
    """Give a piece another width, depth or height; its center stays."""

    command_name: ClassVar[str] = "resize"

    piece: Id
    width: Said | None = None
    depth: Said | None = None
    height: Said | None = None

    @model_validator(mode="after")
    def _something(self) -> Self:
        _sizes(self)
        if not self.model_fields_set & {"width", "depth", "height"}:
            raise BadCommandError(("width", "say the new width, depth or height."))
        return self

    def work(self, facts: Facts, past: Past) -> Work:
        """Return the piece with its new sizes."""
        piece = need(facts, Piece, self.piece, "piece")
        given = {f: v for f in ("width", "depth", "height") if (v := getattr(self, f)) is not None}
        changed = [
            f"{f} {tape(v)}" + (f" (was {tape(was)})" if was is not None else "")
            for f, v in given.items()
            if (was := getattr(piece, f)) != v
        ]
        what = capital(named(piece, "piece", piece.id))
        if not changed:
            return Work([], f"{what} has that size already.")
        return Work([edit(piece, **given)], f"{what} resized: {', '.join(changed)}.")


class AddPiece(Command):
    """Put a piece into a room, in its middle unless a place is given."""

    command_name: ClassVar[str] = "add piece"

    room: Id
    kind: Text = Field(min_length=1)
    piece: Id | None = None
    """Its id; the next free one if not given."""
    width: Said | None = None
    depth: Said | None = None
    height: Said | None = None
    x: Length | None = None
    y: Length | None = None
    turn: Number = Fraction(0)
    line: Id | None = None

    @model_validator(mode="after")
    def _sound(self) -> Self:
        _sizes(self)
        if (self.x is None) != (self.y is None):
            missing = "x" if self.x is None else "y"
            raise BadCommandError((missing, "give both x and y, or neither."))
        return self

    def work(self, facts: Facts, past: Past) -> Work:
        """Return the new piece."""
        room = need(facts, Room, self.room, "room")
        if self.line is not None:
            need(facts, Part, self.line, "line")
        id = self.piece or next_id(facts, self.kind)
        if facts.find(Piece, id) is not None:
            raise BadCommandError(("piece", f"there is a piece {id} already; give another id."))
        x, y = self.x, self.y
        if x is None or y is None:
            x, y = middle_of(room)
        piece = Piece(
            id=id, room=room.id, kind=self.kind, width=self.width, depth=self.depth,
            height=self.height, x=x, y=y, turn=self.turn % 360, line=self.line,
        )  # fmt: skip
        what = capital(named(piece, "piece", id))
        return Work([add(piece)], f"{what} put into {room.id} at {tape(x)}, {tape(y)}.")


class RemovePiece(Command):
    """Take a piece out of the house. What was centered on it stays where it is."""

    command_name: ClassVar[str] = "remove piece"

    piece: Id

    def work(self, facts: Facts, past: Past) -> Work:
        """Return the house without the piece."""
        piece = need(facts, Piece, self.piece, "piece")
        freed = let_go(facts, piece)
        sentence = f"{capital(named(piece, 'piece', piece.id))} taken out of {piece.room}."
        if freed:
            names = " and ".join(named(f.before, f.kind, f.id) for f in freed)
            sentence += f" {capital(names)}: no longer centered on anything."
        return Work([take_out(piece), *freed], sentence)


class SetUse(Command):
    """Say how a side of a piece is used, over what the routes say; no use gives it back to them."""

    command_name: ClassVar[str] = "set use"

    piece: Id
    side: Literal[
        "north", "northeast", "east", "southeast", "south", "southwest", "west", "northwest",
        "around",
    ]  # fmt: skip
    use: Use | None = None

    def work(self, facts: Facts, past: Past) -> Work:
        """Return the piece with its side's use."""
        piece = need(facts, Piece, self.piece, "piece")
        uses = {k: v for k, v in piece.uses.items() if k != self.side}
        what = f"{capital(self.side)} side of {named(piece, 'piece', piece.id)}"
        before = piece.uses.get(self.side)
        was = f" (was {before}, on your word)" if before else ""
        if self.use is None:
            said = f"{what}: its use follows from the routes again{was}."
            return Work([edit(piece, uses=uses)], said)
        uses[self.side] = self.use
        return Work([edit(piece, uses=uses)], f"{what}: people {self.use}, on your word{was}.")


def next_id(facts: Facts, kind: str) -> str:
    """Return a free id for a piece of this kind: the letter of its last word and a number.

    >>> next_id(Facts(), "dining table"), next_id(Facts(), "7 ft")
    ('T1', 'F1')
    """
    words = re.findall(r"[A-Za-z]+", kind)
    letter = words[-1][0].upper() if words else "P"
    taken = set(facts.ids(Piece)) | set(facts.ids(Fixed))
    return next(id for n in range(1, len(taken) + 2) if (id := f"{letter}{n}") not in taken)


def middle_of(room: Room) -> tuple[Fraction, Fraction]:
    """Return the middle of a room, to the half inch."""
    spot = shape.centre([(float(x), float(y)) for x, y in room.outline])
    return Fraction(round(2 * spot[0]), 2), Fraction(round(2 * spot[1]), 2)


def _sizes(command: Resize | AddPiece) -> None:
    for name in ("width", "depth", "height"):
        value = getattr(command, name)
        if value is not None and value <= 0:
            raise BadCommandError((name, f"{tape(value)} is no size: it has to be more than 0."))
