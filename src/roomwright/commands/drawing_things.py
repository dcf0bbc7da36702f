"""Commands that place things by words: pieces, fixed things and lights, measured from walls."""

from __future__ import annotations

import re
from collections.abc import Mapping
from fractions import Fraction
from typing import ClassVar, Literal

from pydantic import Field

from roomwright import shape
from roomwright.answers.sketch import chain
from roomwright.answers.sketch_place import Located, PlaceError, located, parse_place
from roomwright.answers.sketch_run import RunError, parse_run
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
from roomwright.commands.pieces import middle_of, next_id
from roomwright.commands.said import Said
from roomwright.job.entities import (
    Fact,
    Fixed,
    Id,
    Length,
    Light,
    Number,
    Outline,
    Piece,
    Point,
    Room,
    Text,
)
from roomwright.job.facts import Change, Facts
from roomwright.job.words import named
from roomwright.lengths import tape

GRID = 64
Sizes = tuple[float, float]


class Put(Command):
    """Put a new piece into a room: ``36 from the north wall, 12 from the east wall``."""

    command_name: ClassVar[str] = "put"

    room: Id
    kind: Text = Field(min_length=1)
    width: Said
    depth: Said
    height: Said | None = None
    place: Text = ""
    """Where, in words; its middle if empty."""
    turn: Number = Fraction(0)
    piece: Id | None = None

    def work(self, facts: Facts, past: Past) -> Work:
        """Return the new piece."""
        room = need(facts, Room, self.room, "room")
        positive(self, "width", "depth", "height")
        id = self.piece or next_id(facts, self.kind)
        if facts.find(Piece, id) is not None:
            raise BadCommandError(("piece", f"there is a piece {id} already; give another id."))
        size = float(self.width), float(self.depth)
        there = place_in(room, self.place, size, float(self.turn))
        x, y = _mark(there.at)
        made = Piece(
            id=id, room=room.id, kind=self.kind, width=self.width, depth=self.depth,
            height=self.height, x=x, y=y, turn=_turn(there.turn),
        )  # fmt: skip
        return Work([add(made)], f"{capital(named(made, 'piece', id))} put into {_name(room)}.")


class Place(Command):
    """Move a piece, a fixed thing or a light to where the words say."""

    command_name: ClassVar[str] = "place"

    thing: Literal["piece", "fixed", "light"]
    id: Id
    place: Text = ""
    x: Length | None = None
    y: Length | None = None
    """Instead of words: where its middle goes."""

    def work(self, facts: Facts, past: Past) -> Work:
        """Return the thing at its new place."""
        if bool(self.place) == (self.x is not None or self.y is not None):
            raise BadCommandError(("place", "say where, in words, or give both x and y."))
        if (self.x is None) != (self.y is None):
            raise BadCommandError(("y" if self.y is None else "x", "give both x and y."))
        model: Mapping[str, type[Piece | Fixed | Light]] = {
            "piece": Piece, "fixed": Fixed, "light": Light,
        }  # fmt: skip
        fact = need(facts, model[self.thing], self.id, "id")
        room = need(facts, Room, fact.room, "id")
        change = self._piece(fact, room) if isinstance(fact, Piece) else self._other(fact, room)
        what = capital(_called(fact))
        if change.after == change.before:
            return Work([], f"{what} is there already.")
        said = f": {self.place}" if self.place else ""
        return Work([change], f"{what} moved{said}{_from_to(fact, change.after)}.")

    def _piece(self, fact: Piece, room: Room) -> Change:
        if self.x is not None:
            return edit(fact, x=self.x, y=self.y)
        now = None if fact.x is None or fact.y is None else (float(fact.x), float(fact.y))
        size = float(fact.width or 0), float(fact.depth or 0)
        there = place_in(room, self.place, size, float(fact.turn), now)
        x, y = _mark(there.at)
        return edit(fact, x=x, y=y, turn=_turn(there.turn))

    def _other(self, fact: Fixed | Light, room: Room) -> Change:
        if isinstance(fact, Light):
            if self.x is not None:
                return edit(fact, x=self.x, y=self.y)
            now = None if fact.x is None or fact.y is None else (float(fact.x), float(fact.y))
            x, y = _mark(place_in(room, self.place, (0.0, 0.0), 0.0, now).at)
            return edit(fact, x=x, y=y)
        west, south, east, north = extent(fact.outline)
        middle = (west + east) / 2, (south + north) / 2
        if self.x is not None and self.y is not None:
            to: Point = (self.x, self.y)
        else:
            size = float(east - west), float(north - south)
            now = float(middle[0]), float(middle[1])
            there = place_in(room, self.place, size, 0.0, now)
            if there.turn % 90:
                raise BadCommandError(("place", "measure it from two walls: it keeps its turn."))
            if parse_place(self.place).wall and there.turn % 180:
                there = place_in(room, self.place, (size[1], size[0]), 0.0, now)
            to = _mark(there.at)
        by = to[0] - middle[0], to[1] - middle[1]
        return edit(fact, outline=tuple((x + by[0], y + by[1]) for x, y in fact.outline))


class AddFixed(Command):
    """Build something in: width and depth with a place in words, or its outline as a run."""

    command_name: ClassVar[str] = "add fixed"

    room: Id
    name: Text = Field(min_length=1)
    width: Said | None = None
    depth: Said | None = None
    place: Text = ""
    outline: Text = ""
    """Instead: a run from the room's corner A, or from ``B, 20 west``: see draw room."""
    start: Text = ""
    low: Said | None = None
    high: Said | None = None
    fixed: Id | None = None

    def work(self, facts: Facts, past: Past) -> Work:
        """Return the house with it."""
        room = need(facts, Room, self.room, "room")
        positive(self, "width", "depth", "high")
        taken = {*facts.ids(Fixed), *facts.ids(Piece)}
        letter = (re.findall(r"[A-Za-z]", self.name) or ["F"])[0].upper()
        id = self.fixed or next(
            i for n in range(1, len(taken) + 2) if (i := f"{letter}{n}") not in taken
        )
        if id in taken:
            raise BadCommandError(("fixed", f"{id} is taken: give another id."))
        ring = self._by_run(room) if self.outline else self._by_size(room)
        made = Fixed(id=id, room=room.id, name=self.name, outline=ring, low=self.low,
                     high=self.high)  # fmt: skip
        return Work([add(made)], f"{capital(self.name)} {id} built into {_name(room)}.")

    def _by_run(self, room: Room) -> Outline:
        at = room.outline[0]
        try:
            if self.start:
                letter, _, rest = self.start.partition(",")
                names = [shape.letter(n) for n in range(len(room.outline))]
                if letter.strip().upper() not in names:
                    raise RunError(f"begin at a corner, A to {names[-1]}.", 1, letter)
                at = room.outline[names.index(letter.strip().upper())]
                at = chain(parse_run(rest, "inches"), at).corners[-1]
        except RunError as no:
            raise BadCommandError(("start", str(no))) from no
        try:
            this = chain(parse_run(self.outline, "inches"), at)
        except RunError as no:
            raise BadCommandError(("outline", str(no))) from no
        ring = this.ring()
        if ring is None:
            raise BadCommandError(("outline", this.said))
        return ring

    def _by_size(self, room: Room) -> Outline:
        for field in ("width", "depth"):
            if getattr(self, field) is None:
                raise BadCommandError((field, "this is needed, or an outline."))
        size = float(self.width or 0), float(self.depth or 0)
        there = place_in(room, self.place, size, 0.0)
        return tuple(_mark(p) for p in shape.rectangle(*there.at, *size, there.turn))


class RemoveFixed(Command):
    """Take a fixed thing out; what was centered on it stays where it is."""

    command_name: ClassVar[str] = "remove fixed"

    fixed: Id

    def work(self, facts: Facts, past: Past) -> Work:
        """Return the house without it."""
        was = need(facts, Fixed, self.fixed, "fixed")
        sentence = f"{capital(_called(was))} taken out of {was.room}."
        return Work([take_out(was), *let_go(facts, was)], sentence)


class AddLight(Command):
    """Put a ceiling box into a room: its place in words is measured to its center."""

    command_name: ClassVar[str] = "add light"

    room: Id
    kind: Text = ""
    place: Text = ""
    centred_on: Id | None = None
    light: Id | None = None

    def work(self, facts: Facts, past: Past) -> Work:
        """Return the house with it."""
        room = need(facts, Room, self.room, "room")
        taken = set(facts.ids(Light))
        id = self.light or next(i for n in range(1, len(taken) + 2) if (i := f"X{n}") not in taken)
        if id in taken:
            raise BadCommandError(("light", f"there is a light {id} already."))
        at = _mark(place_in(room, self.place, (0.0, 0.0), 0.0).at)
        made = Light(id=id, room=room.id, kind=self.kind, x=at[0], y=at[1],
                     centred_on=self.centred_on)  # fmt: skip
        return Work([add(made)], f"{self.kind or 'Light'} {id} put into {_name(room)}.")


class RemoveLight(Command):
    """Take a light out."""

    command_name: ClassVar[str] = "remove light"

    light: Id

    def work(self, facts: Facts, past: Past) -> Work:
        """Return the house without it."""
        was = need(facts, Light, self.light, "light")
        return Work([take_out(was), *let_go(facts, was)], f"Light {was.id} taken out.")


def _from_to(was: Fact, now: Fact | None) -> str:
    """From where to where something went, by its middle; empty where one of them is not known."""
    ends = []
    for fact in (was, now):
        if isinstance(fact, Fixed):
            west, south, east, north = extent(fact.outline)
            ends.append(((west + east) / 2, (south + north) / 2))
        elif isinstance(fact, Piece | Light) and fact.x is not None and fact.y is not None:
            ends.append((fact.x, fact.y))
    if len(ends) < 2:
        return ""
    (x, y), (u, v) = ends
    return f" (center was {tape(x)}, {tape(y)}, is now {tape(u)}, {tape(v)})"


def place_in(
    room: Room, text: str, size: Sizes, turn: float, now: tuple[float, float] | None = None
) -> Located:
    """Return where the words put a thing in a room, or refuse in words; its middle if empty."""
    if not text.strip():
        x, y = middle_of(room)
        return Located((float(x), float(y)), turn)
    ring = [(float(x), float(y)) for x, y in room.outline]
    try:
        return located(parse_place(text), ring, size, turn, now)
    except PlaceError as no:
        raise BadCommandError(("place", str(no))) from no


def positive(command: Command, *fields: str) -> None:
    """Refuse sizes of nothing or less."""
    for field in fields:
        value = getattr(command, field)
        if value is not None and value <= 0:
            raise BadCommandError((field, f"{tape(value)} is no size: it has to be more than 0."))


def extent(outline: Outline) -> tuple[Fraction, Fraction, Fraction, Fraction]:
    """Return west, south, east and north of an outline [in]."""
    xs, ys = [x for x, _ in outline], [y for _, y in outline]
    return min(xs), min(ys), max(xs), max(ys)


def _mark(p: tuple[float, float]) -> Point:
    return Fraction(round(p[0] * GRID), GRID), Fraction(round(p[1] * GRID), GRID)


def _turn(angle: float) -> Fraction:
    return Fraction(round(angle * 1000), 1000) % 360


def _called(fact: Fact) -> str:
    if isinstance(fact, Fixed) and fact.name:
        return f"{fact.name} {fact.id}"
    return named(fact, fact.kind_name, fact.id)


def _name(room: Room) -> str:
    return room.name or room.id
