"""Commands on the tape: record readings, set one aside or take it back, remove one, wall layers."""

from __future__ import annotations

import math
from datetime import date
from fractions import Fraction
from typing import ClassVar

from pydantic import Field

from roomwright import shape
from roomwright.answers import Answers, layers
from roomwright.answers.layers import CEILING
from roomwright.answers.survey import corners_of, things_of
from roomwright.commands import outline_moves
from roomwright.commands.base import (
    BadCommandError,
    Command,
    Past,
    Work,
    add,
    edit,
    edited,
    need,
    take_out,
)
from roomwright.job.entities import Face, Id, Length, Opening, Reading, Room, Text, Wall, Window
from roomwright.job.facts import Change, Facts
from roomwright.lengths import tape
from roomwright.survey.spoken import Spoken, SpokenError, parse

LONGER = 12.0
"""A wall may be this much longer by the tape than it is drawn [in]; ours."""

THICKEST = Fraction(12)
"""A layer of a wall is not thicker [in]; ours: furring, board, stone and all."""


class RecordReadings(Command):
    """Record tape readings of a room as they were typed or said, all or none of them."""

    command_name: ClassVar[str] = "record readings"

    room: Id
    text: str = Field(min_length=1, max_length=50_000)
    """One reading or many: ``A to B 12 4 3/8``, one a line or with ; between."""
    on: date
    by: Text = ""
    face: Face
    note: Text = ""

    def work(self, facts: Facts, past: Past) -> Work:
        """Return a fact for each reading."""
        room = need(facts, Room, self.room, "room")
        made = readings_of(facts, room, self.text, self)
        told = [f"{echo_of(said)}" for said, _ in made]
        count = f"{len(made)} readings" if len(made) > 1 else "Reading"
        shown = "; ".join(told[:6]) + (f"; and {len(told) - 6} more" if len(told) > 6 else "")
        sentence = f"{count} of {room.name or room.id} recorded ({self.face} face): {shown}."
        if not self.by.strip():
            sentence += " Nobody is named as having taken them, so sheets print measure."
        return Work([add(fact) for _, fact in made], sentence)


def understood(facts: Facts, room: Room, text: str) -> tuple[Spoken, ...]:
    """Return what was typed or said of a room, reading by reading.

    Raises
    ------
    SpokenError
        naming the first reading that can't be understood, and what it could mean.
    """
    openings = [
        each for field in ("from_room", "to_room") for each in facts.where(Opening, field, room.id)
    ]
    windows = facts.where(Window, "room", room.id)
    held: list[Opening | Window] = [*openings, *windows]
    told = parse(text, corners_of(room), things_of(openings, windows))
    drawn = {each.id.upper(): each for each in held}
    for place, said in enumerate(told, 1):
        if said.edge and (thing := drawn.get(said.to.upper())) is not None:
            _along_its_wall(room, thing, said, place)
    return told


def _along_its_wall(room: Room, thing: Opening | Window, said: Spoken, place: int) -> None:
    """Refuse an offset from a corner that is not of the opening's wall, or past its end."""
    ring = outline_moves.ring(room.outline)
    ends = outline_moves.plain(thing.a), outline_moves.plain(thing.b)
    shown = shape.through_wall(ends, ring)
    if shown is None:
        raise SpokenError(f"{thing.id} lies in no wall of this room.", place, said.text)
    wall = shape.walls(ring)[shown[0]]
    names = shape.letter(shown[0]), shape.letter((shown[0] + 1) % len(ring))
    if said.from_.upper() not in names:
        raise SpokenError(
            f"{thing.id} is in the wall from {names[0]} to {names[1]}: tape it from {names[0]} or "
            f"{names[1]}, not from {said.from_}.", place, said.text,
        )  # fmt: skip
    long = math.dist(*wall)
    if float(said.length) > long + LONGER:
        raise SpokenError(
            f"{tape(said.length)} from {said.from_} is off the wall: from {names[0]} to {names[1]} "
            f"it is {tape(long)} as drawn.", place, said.text,
        )  # fmt: skip


def echo_of(said: Spoken) -> str:
    """Return a reading as it was understood: A to B 12'-4 3/8"."""
    return said.echo().replace(":", "", 1)


def readings_of(
    facts: Facts, room: Room, text: str, how: RecordReadings
) -> list[tuple[Spoken, Reading]]:
    """Return the facts that a text makes, each with an id of its own."""
    try:
        told = understood(facts, room, text)
    except SpokenError as no:
        raise BadCommandError(("text", str(no))) from no
    taken = set(facts.ids(Reading))
    made = []
    for said in told:
        to = f"{said.to} {said.edge}" if said.edge else said.to
        if said.to == CEILING:
            to = CEILING
        id = next_reading(taken, f"{room.id}/{said.from_}-{to}")
        taken.add(id)
        fact = Reading(
            id=id, room=room.id, from_corner=said.from_, to_corner=to, length=said.length,
            kind=said.kind, face=how.face, on=how.on, by=how.by, note=how.note,
        )  # fmt: skip
        made.append((said, fact))
    return made


def next_reading(taken: set[str], stem: str) -> str:
    """Return a free id of a reading: its room and ends, and a number.

    >>> next_reading({"101/A-B/1"}, "101/A-B")
    '101/A-B/2'
    """
    return next(id for n in range(1, len(taken) + 2) if (id := f"{stem}/{n}") not in taken)


class SetAside(Command):
    """Set a reading aside: it stays recorded and counts for nothing."""

    command_name: ClassVar[str] = "set aside"

    reading: Id
    note: Text = ""

    def work(self, facts: Facts, past: Past) -> Work:
        """Return the reading, set aside."""
        fact = need(facts, Reading, self.reading, "reading")
        if fact.aside:
            return Work([], f"{line_of(fact)} is set aside already.")
        more = {"note": self.note} if self.note else {}
        return Work([edit(fact, aside="yes", **more)], f"{line_of(fact)} set aside.")


class UseReading(Command):
    """Take back a reading that was set aside."""

    command_name: ClassVar[str] = "use reading"

    reading: Id

    def work(self, facts: Facts, past: Past) -> Work:
        """Return the reading, in use."""
        fact = need(facts, Reading, self.reading, "reading")
        if not fact.aside:
            return Work([], f"{line_of(fact)} is in use already.")
        return Work([edit(fact, aside="")], f"{line_of(fact)} counts again.")


class RemoveReading(Command):
    """Remove a reading. Setting it aside keeps it and counts the same."""

    command_name: ClassVar[str] = "remove reading"

    reading: Id

    def work(self, facts: Facts, past: Past) -> Work:
        """Return the house without the reading."""
        fact = need(facts, Reading, self.reading, "reading")
        return Work([take_out(fact)], f"{line_of(fact)} removed.")


def line_of(fact: Reading) -> str:
    """Return a reading in a sentence: A to B 13'-6 1/8" of room 101."""
    length = tape(fact.length, 64)
    return f"{fact.from_corner} to {fact.to_corner} {length} of room {fact.room}"


class SetWall(Command):
    """Say what stands on the studs of a wall: board, and the finish on it.

    What is not said stays; with nothing said at all the wall's layers are forgotten.
    """

    command_name: ClassVar[str] = "set wall"

    room: Id
    wall: str = Field(min_length=1, max_length=3)
    """Its letter, that of its first corner."""
    board: Length | None = None
    finish: Length | None = None
    note: Text = ""

    def work(self, facts: Facts, past: Past) -> Work:
        """Return the wall with its layers; as it was where they are the same."""
        room = need(facts, Room, self.room, "room")
        a, b = _ends(room, self.wall)
        for field in ("board", "finish"):
            _layer(field, getattr(self, field))
        held = [w for w in facts.where(Wall, "room", room.id)
                if {w.from_corner.upper(), w.to_corner.upper()} == {a, b}]  # fmt: skip
        name = f"Wall {a} of {room.name or room.id}"
        said = {"board": self.board, "finish": self.finish, "note": self.note}
        given = {k: v for k, v in said.items() if k in self.model_fields_set}
        was = held[0] if held else None
        if was is None:
            if self.board is None and self.finish is None:
                raise BadCommandError(("finish", "say how thick the board or the finish is."))
            made = Wall(id=f"{room.id}/{a}-{b}", room=room.id, from_corner=a, to_corner=b, **said)
            return Work([add(made)], f"{name}: {_said(made)}." + _lies(room))
        if not given:
            return Work([take_out(was)], f"{name}: its layers are not known any more.")
        if all(getattr(was, k) == v for k, v in given.items()):
            return Work([], f"{name} has these layers already.")
        now = edited(was, **given)
        changes = [edit(was, **given)]
        told = f"{name}: {_said(was)} is now {_said(now)}."
        if room.face == "finished" and was.finish is not None and was.finish != now.finish:
            changes += _on_board(facts, room)
            told += " The outline was between finished faces; it is kept at the board now."
            room = edited(room, face="board")
        return Work(changes, told + _lies(room))


def _on_board(facts: Facts, room: Room) -> list[Change]:
    """Return the room with its outline at the board, out by the finishes recorded until now.

    Its windows, and the openings whose ends are on its face, go onto that face with it.
    """
    ring = Answers(facts, as_of=date.min).ask(layers.at_face, room.id, "board")
    if len(ring) != len(room.outline):
        raise BadCommandError((
            "finish",
            "two walls in line have different finishes here, so the outline can't be taken back to "
            "the board: give the room's outline at the board first.",
        ))  # fmt: skip
    changes = [edit(room, outline=tuple(map(outline_moves.marks, ring)), face="board")]
    on_it: list[Opening | Window] = [*facts.where(Window, "room", room.id)]
    for fact in (*on_it, *facts.where(Opening, "from_room", room.id)):
        moved = outline_moves.onto_face(fact, ring)
        if moved is not None:
            changes.append(edit(fact, **moved))
    return [change for change in changes if change.before != change.after]


def _ends(room: Room, wall: str) -> tuple[str, str]:
    corners = corners_of(room)
    try:
        index = shape.index_of(wall)
    except ValueError as no:
        raise BadCommandError(("wall", f"{no}.")) from no
    if index >= len(corners):
        raise BadCommandError(("wall", f"its walls are A to {corners[-1]}."))
    return corners[index], corners[(index + 1) % len(corners)]


def _layer(field: str, value: Fraction | None) -> None:
    if value is not None and not 0 <= value <= THICKEST:
        raise BadCommandError((field, f"{tape(value)} is no layer of a wall: 0 to 12 in."))


def _said(wall: Wall) -> str:
    told = [f"{tape(v, 64)} {name}" for name, v in (("board", wall.board), ("finish", wall.finish))
            if v is not None]  # fmt: skip
    return (" and ".join(told) or "nothing known") + (f" ({wall.note})" if wall.note else "")


def _lies(room: Room) -> str:
    if room.face == "finished":
        return " The outline is between finished faces as drawn, so nothing moves yet."
    return f" The outline lies at the {room.face} face, so the finished room moves with it."
