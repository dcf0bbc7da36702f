"""Commands on rooms: try a room of one's own, and add a room beside a neighbor.

Walls are named by letters in the order of the outline. A rectangular room begins at its southwest
corner and runs counterclockwise, so wall A is south, B east, C north and D west. A distance is
measured from the wall's first corner, the one with the wall's own letter, unless it names the
other one (``B 24``).
"""

from __future__ import annotations

from datetime import date
from fractions import Fraction
from itertools import combinations
from typing import ClassVar, Literal

from pydantic import BaseModel, ConfigDict, Field

from roomwright.commands.base import BadCommandError, Command, Past, Work, add, capital, need
from roomwright.commands.drawing_joins import met
from roomwright.commands.in_wall import past_end
from roomwright.commands.pieces import middle_of
from roomwright.commands.said import Said, Side
from roomwright.exchange import place
from roomwright.exchange.cells import CellError
from roomwright.job.entities import (
    House,
    Id,
    Length,
    Number,
    Opening,
    OpeningKind,
    Piece,
    Point,
    Room,
    Text,
)
from roomwright.job.facts import Facts
from roomwright.lengths import tape


class OpeningInWall(BaseModel):
    """An opening by its wall's letter, its distance from a corner, width and hand.

    `hand` is told from the side on which you push the door: hinges at your left, left hand.
    """

    model_config = ConfigDict(frozen=True, extra="forbid", str_strip_whitespace=True)

    wall: str = Field(min_length=1, max_length=2)
    from_corner: str = Field(min_length=1, max_length=200)
    width: Said
    hand: str = ""
    swings: Literal["in", "out"] = "in"
    kind: OpeningKind = "swing"
    height: Said | None = None


class TriedTable(BaseModel):
    """The one table of a tried room; in the middle unless a place is given."""

    model_config = ConfigDict(frozen=True, extra="forbid", str_strip_whitespace=True)

    width: Said
    depth: Said
    kind: Text = "dining table"
    x: Length | None = None
    y: Length | None = None
    turn: Number = Fraction(0)


class TryRoom(Command):
    """Begin with one room: width, depth, openings by wall and corner, and one table."""

    command_name: ClassVar[str] = "try a room"

    name: Text = "A room of my own"
    width: Side
    depth: Side
    on: date
    """The day on which it is made; the house calendar of this one room begins then."""
    ceiling: Side | None = None
    openings: tuple[OpeningInWall, ...] = Field(default=(), max_length=40)
    table: TriedTable | None = None
    figures: str = House.model_fields["figures"].default

    def work(self, facts: Facts, past: Past) -> Work:
        """Return a house with this one room."""
        if len(facts):
            raise BadCommandError(("", "this house has rooms already: add a room beside one."))
        _more_than_nothing("width", self.width)
        _more_than_nothing("depth", self.depth)
        outline = place.at((Fraction(0), Fraction(0)), self.width, self.depth)
        room = Room(id="1", name=self.name, level="1", outline=outline, ceiling=self.ceiling)
        openings = openings_of(room, self.openings)
        changes = [
            add(House(name=self.name or "A room", site_start=self.on, figures=self.figures)),
            add(room),
            *map(add, openings),
        ]
        said = f"{self.name}: a room {tape(self.width)} x {tape(self.depth)}"
        if openings:
            said += f" with {len(openings)} opening{'s' * (len(openings) > 1)}"
        if self.table is not None:
            changes.append(add(self._table(room, self.table)))
            said += f" and a {self.table.kind} {tape(self.table.width)} x {tape(self.table.depth)}"
        return Work(changes, f"{said}.")

    @staticmethod
    def _table(room: Room, table: TriedTable) -> Piece:
        _more_than_nothing("table.width", table.width)
        _more_than_nothing("table.depth", table.depth)
        if (table.x is None) != (table.y is None):
            missing = "x" if table.x is None else "y"
            raise BadCommandError((f"table.{missing}", "give both x and y, or neither."))
        x, y = middle_of(room)
        return Piece(
            id="T1", room=room.id, kind=table.kind, width=table.width, depth=table.depth,
            x=x if table.x is None else table.x, y=y if table.y is None else table.y,
            turn=table.turn % 360,
        )  # fmt: skip


class AddRoom(Command):
    """Add a room by width (east-west) and depth (north-south) beside a neighbor.

    `wall` is the thickness between them. `along` shifts it along that wall from the neighbor's
    west corner to the east, or from its south corner to the north.
    """

    command_name: ClassVar[str] = "add room"

    room: Id
    name: Text = ""
    beside: Id
    side: Literal["north", "east", "south", "west"]
    width: Side
    depth: Side
    wall: Length = place.WALL
    along: Length = Fraction(0)
    ceiling: Side | None = None

    def work(self, facts: Facts, past: Past) -> Work:
        """Return the house with the new room."""
        neighbor = need(facts, Room, self.beside, "beside")
        if facts.find(Room, self.room) is not None:
            raise BadCommandError(("room", f"there is a room {self.room} already."))
        bad = next((c for c in ",;:/" if c in self.room), None)
        if bad or self.room.lower() in ("all", "out"):
            raise BadCommandError(
                ("room", f"leave out the {bad}" if bad else "that word means more here")
            )
        _more_than_nothing("width", self.width)
        _more_than_nothing("depth", self.depth)
        if self.wall < 0:
            raise BadCommandError(("wall", "give its thickness, 0 or more."))
        beside = place.Beside(self.beside, self.side, self.wall, self.along)
        outline = place.stand(beside, neighbor.outline, self.width, self.depth)
        room = Room(
            id=self.room, name=self.name, level=neighbor.level, outline=outline,
            ceiling=self.ceiling if self.ceiling is not None else neighbor.ceiling,
        )  # fmt: skip
        title = f"room {self.room}" + (f", {self.name}," if self.name else "")
        changes, joins = met(facts, [add(room)], room.id)
        return Work(
            changes,
            f"{capital(title)} added {self.side} of {self.beside}: {tape(self.width)} x "
            f"{tape(self.depth)}, behind a wall of {tape(self.wall)}.{joins}",
        )


def openings_of(room: Room, wanted: tuple[OpeningInWall, ...]) -> list[Opening]:
    """Return the openings of a room of its own; each leads out.

    Raises
    ------
    BadCommandError
        naming each field that can't be so: no such wall, off its wall, over another opening.
    """
    made: list[Opening] = []
    problems: list[tuple[str, str]] = []
    for i, one in enumerate(wanted):
        try:
            made.append(opening_in(room, one, i + 1, f"openings.{i}."))
        except CellError as no:
            problems.append((f"openings.{i}.from_corner", f"{no}: {no.do}."))
        except BadCommandError as no:
            problems += no.problems
    for first, second in combinations(made, 2):
        if lie_over(first, second):
            i = int(second.id.lstrip("DO")) - 1
            problems.append(
                (f"openings.{i}.from_corner", f"it lies over opening {first.id} in the same wall.")
            )
    if problems:
        raise BadCommandError(*problems)
    return made


def opening_in(room: Room, one: OpeningInWall, number: int, at: str = "") -> Opening:
    """Return an opening of a room; it leads out. `at` is what its fields' names begin with.

    Raises
    ------
    BadCommandError
        naming the field that can't be so.
    CellError
        if the distance from the corner can't be read.
    """
    _more_than_nothing(f"{at}width", one.width)
    corner, distance = place.read_from_corner(one.from_corner)
    a, b = place.along_wall(room.outline, one.wall, corner, distance, one.width)
    if past_end(room, one.wall, a, b):
        raise BadCommandError(
            (f"{at}width", f"{tape(one.width)} at {tape(distance)} from the corner reaches past "
                           f"the end of wall {one.wall.upper()}.")
        )  # fmt: skip
    hinge: Point | None = None
    into: str | None = None
    if one.kind in ("swing", "swing pair"):
        into = room.id if one.swings == "in" else "out"
    if one.kind == "swing":
        hand = place.read_hand(one.hand)
        if hand is None:
            raise BadCommandError(
                (f"{at}hand", "say left or right: where the hinges are, from the side on which "
                              "you push.")
            )  # fmt: skip
        hinge = place.hinge_of(hand, a, b, room.outline, away=one.swings == "out")
    letter = "O" if one.kind in ("cased", "open") else "D"
    return Opening(
        id=f"{letter}{number}", from_room=room.id, to_room="out", kind=one.kind, a=a, b=b,
        width=one.width, height=one.height, hinge=hinge, swings_into=into,
    )  # fmt: skip


def lie_over(first: Opening, second: Opening) -> bool:
    """Return whether two openings of a rectangular room lie over each other in one wall."""
    for axis in (0, 1):
        across = {p[axis] for p in (first.a, first.b, second.a, second.b)}
        if len(across) == 1:
            one, two = (sorted((o.a[1 - axis], o.b[1 - axis])) for o in (first, second))
            return one[0] < two[1] and two[0] < one[1]
    return False


def _more_than_nothing(field: str, value: Fraction) -> None:
    if value <= 0:
        raise BadCommandError((field, f"{tape(value)} is no size: it has to be more than 0."))
