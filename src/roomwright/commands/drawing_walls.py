"""Commands on the walls of a room: a wall's length, a corner moved, added or taken out.

What belongs to a wall goes along with it: its openings and windows keep their distance from its
first corner, and what is built against it stays against it.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from fractions import Fraction
from typing import ClassVar, Literal

from pydantic import Field

from roomwright import shape
from roomwright.answers.sketch import chain
from roomwright.answers.sketch_run import RunError, parse_run
from roomwright.commands import outline_moves
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
from roomwright.commands.drawing_joins import joined, sound
from roomwright.commands.said import Side
from roomwright.exchange import place
from roomwright.exchange.cells import CellError
from roomwright.job.entities import (
    Fixed,
    Id,
    Length,
    Opening,
    Outline,
    Point,
    Reading,
    Room,
    Slope,
    Text,
    Wall,
    Window,
)
from roomwright.job.facts import Change, Facts
from roomwright.lengths import tape

GRID = 64
Letter = str


class WallLength(Command):
    """Give a wall another length: the wall after it (or before it) moves out or in, parallel."""

    command_name: ClassVar[str] = "wall length"

    room: Id
    wall: str = Field(min_length=1, max_length=2)
    length: Side
    moves: Literal["next", "previous"] = "next"
    """Which wall gives way: the one at its second corner, or the one at its first."""

    def work(self, facts: Facts, past: Past) -> Work:
        """Return the room with that wall."""
        room = need(facts, Room, self.room, "room")
        n, i = len(room.outline), index(room, self.wall, "wall")
        if self.length <= 0:
            raise BadCommandError(("length", "a wall is longer than nothing."))
        first, second = (i, (i + 1) % n) if self.moves == "next" else ((i + 1) % n, i)
        beyond = (second + 1) % n if self.moves == "next" else (second - 1) % n
        after = (beyond + 1) % n if self.moves == "next" else (beyond - 1) % n
        p, q = room.outline[first], room.outline[second]
        was = math.dist(_plain(p), _plain(q))
        by = _along(p, q, self.length)
        moved = list(room.outline)
        moved[second] = (p[0] + by[0], p[1] + by[1])
        shift = (moved[second][0] - q[0], moved[second][1] - q[1])
        moved[beyond] = _slid(room.outline[beyond], q, shift, room.outline[after])
        changes, loose = joined(facts, list(carried(facts, room, tuple(moved))), "length")
        return Work(
            changes,
            f"Wall {self.wall.upper()} of {_called(room)} is {tape(self.length, GRID)} "
            f"(was {tape(was, GRID)}).{loose}",
        )


class MoveCorner(Command):
    """Move one corner, by a run: ``2 east, 1 north``; or to x, y."""

    command_name: ClassVar[str] = "move corner"

    room: Id
    corner: str = Field(min_length=1, max_length=2)
    by: Text = ""
    x: Length | None = None
    y: Length | None = None

    def work(self, facts: Facts, past: Past) -> Work:
        """Return the room with that corner elsewhere."""
        room = need(facts, Room, self.room, "room")
        i = index(room, self.corner, "corner")
        at = room.outline[i]
        if (self.by != "") == (self.x is not None or self.y is not None):
            raise BadCommandError(("by", "say by how much, like 2 east, or where to: x and y."))
        if self.by:
            try:
                to = chain(parse_run(self.by, "inches"), at).corners[-1]
            except RunError as no:
                raise BadCommandError(("by", str(no))) from no
        else:
            to = (at[0] if self.x is None else self.x, at[1] if self.y is None else self.y)
        outline = (*room.outline[:i], to, *room.outline[i + 1 :])
        far = tape(math.dist(_plain(at), _plain(to)), GRID)
        changes, loose = joined(facts, list(carried(facts, room, outline)), "corner")
        return Work(
            changes, f"Corner {self.corner.upper()} of {_called(room)} moved by {far}.{loose}"
        )


class AddCorner(Command):
    """Split a wall: a new corner in it, so many inches from one of its own. Letters go on."""

    command_name: ClassVar[str] = "add corner"

    room: Id
    wall: str = Field(min_length=1, max_length=2)
    from_corner: str = Field(min_length=1, max_length=200)

    def work(self, facts: Facts, past: Past) -> Work:
        """Return the room with one more corner."""
        room = need(facts, Room, self.room, "room")
        i = index(room, self.wall, "wall")
        try:
            corner, along = place.read_from_corner(self.from_corner)
            at, _ = place.along_wall(room.outline, self.wall, corner, along, Fraction(0))
        except CellError as no:
            raise BadCommandError(("from_corner", f"{no}: {no.do}.")) from no
        p, q = room.outline[i], room.outline[(i + 1) % len(room.outline)]
        if along <= 0 or float(along) >= math.dist(_plain(p), _plain(q)):
            raise BadCommandError(
                ("from_corner", f"{tape(along)} from the corner is not within that wall.")
            )
        outline = (*room.outline[: i + 1], at, *room.outline[i + 1 :])
        moves = {k: k if k <= i else k + 1 for k in range(len(room.outline))}
        changes = [edit(room, outline=outline), *relettered(facts, room, moves, len(outline))]
        sound(facts, changes, "from_corner")
        return Work(
            changes,
            f"Corner {shape.letter(i + 1)} added in wall {self.wall.upper()} of {_called(room)}; "
            "the corners after it have the next letters.",
        )


class RemoveCorner(Command):
    """Take a corner out: the wall before and the wall after become one."""

    command_name: ClassVar[str] = "remove corner"

    room: Id
    corner: str = Field(min_length=1, max_length=2)

    def work(self, facts: Facts, past: Past) -> Work:
        """Return the room with one corner less."""
        room = need(facts, Room, self.room, "room")
        i = index(room, self.corner, "corner")
        if len(room.outline) < 4:
            raise BadCommandError(("corner", "a room has three corners or more."))
        outline = (*room.outline[:i], *room.outline[i + 1 :])
        moves = {k: k - (k > i) for k in range(len(room.outline)) if k != i}
        changes = [edit(room, outline=outline), *relettered(facts, room, moves, len(outline))]
        changes, loose = joined(facts, changes, "corner")
        lost = sum(c.after is None and c.kind == "reading" for c in changes)
        said = f" {lost} tape readings of it went too." if lost else ""
        return Work(
            changes,
            f"Corner {self.corner.upper()} of {_called(room)} taken out; the corners after it have "
            f"the letters before.{said}{loose}",
        )


def index(room: Room, letter: str, field: str) -> int:
    """Return the number of a corner or wall of a room, or refuse in words."""
    names = [shape.letter(n) for n in range(len(room.outline))]
    if letter.upper() not in names:
        raise BadCommandError((field, f"{_called(room)} has {field}s A to {names[-1]}."))
    return names.index(letter.upper())


def carried(facts: Facts, room: Room, outline: Outline) -> Iterator[Change]:
    """Yield the room with another outline of as many corners, and what its walls carry along."""
    was, now = outline_moves.ring(room.outline), outline_moves.ring(outline)
    if any(math.dist(*wall) < 1 / GRID for wall in shape.walls(now)):
        raise BadCommandError(("room", "two corners would fall together: take one out instead."))
    yield edit(room, outline=outline)
    moves = outline_moves.Moves(was, now)
    for opening in facts.where(Opening, "from_room", room.id):
        yield from _changed(opening, outline_moves.opening(moves, opening, None))
    for window in facts.where(Window, "room", room.id):
        yield from _changed(window, outline_moves.window(moves, window.a, window.b, None))
    for slope in facts.where(Slope, "room", room.id):
        yield from _changed(slope, outline_moves.window(moves, slope.a, slope.b, None))
    for fixed in facts.where(Fixed, "room", room.id):
        ring = moves.thing(outline_moves.ring(fixed.outline))
        if ring is not None:
            yield from _changed(fixed, {"outline": tuple(map(outline_moves.marks, ring))})


def _changed(fact: Opening | Window | Slope | Fixed, values: object) -> Iterator[Change]:
    if values is None:
        return
    change = edit(fact, **dict(values))  # type: ignore[call-overload]
    if change.after != change.before:
        yield change


def relettered(facts: Facts, room: Room, moves: dict[int, int], corners: int) -> Iterator[Change]:
    """Yield what is known of a room by the letters of its corners, under their new letters.

    A reading of a corner that is gone goes; so do the layers of a wall that is no longer one wall.
    """
    letters = {shape.letter(k): shape.letter(to) for k, to in moves.items()}
    for reading in facts.where(Reading, "room", room.id):
        now = {}
        for field in ("from_corner", "to_corner"):
            held = getattr(reading, field)
            if held.upper() in letters:
                now[field] = letters[held.upper()]
            elif len(held) <= 2 and held.isalpha():
                now = {"gone": ""}
                break
        if "gone" in now:
            yield take_out(reading)
        elif any(getattr(reading, field) != letter for field, letter in now.items()):
            yield edit(reading, **now)
    layers = list(facts.where(Wall, "room", room.id))
    made: dict[str, Wall] = {}
    for wall in layers:
        a, b = letters.get(wall.from_corner.upper()), letters.get(wall.to_corner.upper())
        if a is None or b is None:
            continue
        i, end = shape.index_of(a), shape.index_of(b)
        while i != end:
            j = (i + 1) % corners
            ends = shape.letter(i), shape.letter(j)
            id = f"{room.id}/{ends[0]}-{ends[1]}"
            values = {**dict(wall), "id": id, "from_corner": ends[0], "to_corner": ends[1]}
            made[id] = Wall.model_validate(values)
            i = j
    old = {wall.id: wall for wall in layers}
    for id in old.keys() | made.keys():
        if id not in made:
            yield take_out(old[id])
        elif id not in old:
            yield add(made[id])
        elif old[id] != made[id]:
            yield Change("wall", id, old[id], made[id])


def _along(p: Point, q: Point, length: Fraction) -> Point:
    """From p towards q, so long: exact where the wall runs along x or y."""
    dx, dy = q[0] - p[0], q[1] - p[1]
    if dx == 0 or dy == 0:
        return length * ((dx > 0) - (dx < 0)), length * ((dy > 0) - (dy < 0))
    size = math.hypot(dx, dy)
    return _grid(length * Fraction(float(dx) / size)), _grid(length * Fraction(float(dy) / size))


def _slid(far: Point, near: Point, shift: Point, after: Point) -> Point:
    """The far end of a wall that moves parallel by a shift, its end sliding along the next wall.

    Where the two walls run the same way the whole end moves by the shift.
    """
    ux, uy = far[0] - near[0], far[1] - near[1]
    vx, vy = after[0] - far[0], after[1] - far[1]
    under = ux * vy - uy * vx
    if abs(float(under)) < 1e-6 * max(1.0, math.hypot(ux, uy) * math.hypot(vx, vy)):
        return far[0] + shift[0], far[1] + shift[1]
    t = (ux * shift[1] - uy * shift[0]) / under
    x, y = far[0] + t * vx, far[1] + t * vy
    straight = 0 in (ux, uy) and 0 in (vx, vy)
    return (x, y) if straight else (_grid(x), _grid(y))


def _grid(value: Fraction) -> Fraction:
    return Fraction(round(value * GRID), GRID)


def _plain(p: Point) -> tuple[float, float]:
    return float(p[0]), float(p[1])


def _called(room: Room) -> str:
    return room.name or f"room {room.id}"
