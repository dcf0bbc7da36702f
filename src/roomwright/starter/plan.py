"""A plan as the starter draws it: rooms in rows, openings by wall letter, things by their place.

Inches, x east, y north, between finished faces; a room is known by its southwest corner. Rooms are
written by width and depth beside a neighbor, so that a size changed later moves what stands beyond.
"""

from __future__ import annotations

from dataclasses import dataclass, field

from roomwright.lengths import exact

WALL = 4.5  # an inside wall: 2x4 studs with half-inch board on both faces [common practice]
CEILING = 96.0
DOOR_HEIGHT = 80.0
CASED_HEIGHT = 84.0


@dataclass(frozen=True, slots=True)
class Room:
    """A rectangle [in] and where it stands; `kind` says what is counted in it."""

    id: str
    name: str
    kind: str
    level: str
    x: float
    y: float
    width: float
    depth: float
    beside: str

    @property
    def east(self) -> float:
        """Return x of its east face."""
        return self.x + self.width

    @property
    def north(self) -> float:
        """Return y of its north face."""
        return self.y + self.depth


@dataclass(frozen=True, slots=True)
class Way:
    """An opening in a wall of `room`, `off` inches from the west or south corner of that wall."""

    id: str
    room: str
    to: str
    kind: str
    wall: str
    corner: str
    off: float
    width: float
    hand: str = ""
    into: str = ""


@dataclass(frozen=True, slots=True)
class Piece:
    """A piece by its center; at turn 0 its back faces south."""

    room: str
    kind: str
    width: float
    depth: float
    height: float
    x: float
    y: float
    turn: int
    line_of: str = ""


@dataclass(frozen=True, slots=True)
class Fixed:
    """Something built in, as a rectangle."""

    room: str
    name: str
    x: float
    y: float
    width: float
    depth: float
    note: str = ""


_TURNS = {"south": 0, "east": 90, "north": 180, "west": 270}


@dataclass(slots=True)
class Plan:
    """Rooms and what is in them, in the order in which they were placed."""

    rooms: dict[str, Room] = field(default_factory=dict)
    ways: list[Way] = field(default_factory=list)
    pieces: list[Piece] = field(default_factory=list)
    fixed: list[Fixed] = field(default_factory=list)
    stair: tuple[str, str] | None = None

    def first(self, id: str, name: str, kind: str, width: float, depth: float) -> Room:
        """Place the first room of a storey, with its southwest corner at 0 0."""
        return self._keep(Room(id, name, kind, id[0], 0, 0, width, depth, ""))

    def beside(
        self, neighbor: Room, side: str, id: str, name: str, kind: str,
        width: float, depth: float, along: float = 0,
    ) -> Room:  # fmt: skip
        """Place a room east or north of a neighbor, a wall away, shifted along that wall."""
        x, y = neighbor.x, neighbor.y
        if side == "east":
            x, y = neighbor.east + WALL, y + along
        else:
            x, y = x + along, neighbor.north + WALL
        said = f"{neighbor.id} {side}" + (f", along {exact(along)}" if along else "")
        return self._keep(Room(id, name, kind, neighbor.level, x, y, width, depth, said))

    def _keep(self, room: Room) -> Room:
        self.rooms[room.id] = room
        return room

    def door(
        self, room: Room, to: Room, at: float, width: float,
        hinge: str = "low", kind: str = "swing", into: Room | None = None,
    ) -> None:  # fmt: skip
        """Put a door or cased opening in the wall between two rooms.

        `at` is the x or y [in] of its west or south end; `hinge` low or high is the end at which
        it hangs. It swings into `to` unless told otherwise.
        """
        if to.x > room.east:
            wall, corner, off, heading = "B", "B", at - room.y, "east"
        elif room.x > to.east:
            wall, corner, off, heading = "D", "A", at - room.y, "west"
        elif to.y > room.north:
            wall, corner, off, heading = "C", "D", at - room.x, "north"
        else:
            wall, corner, off, heading = "A", "A", at - room.x, "south"
        if kind != "swing":
            self._way(room.id, to.id, kind, wall, corner, off, width)
            return
        inside = into or to
        if inside is room:
            heading = {"east": "west", "west": "east", "north": "south", "south": "north"}[heading]
        # pushing north or west, the low end is at one's left
        left = (hinge == "low") == (heading in ("north", "west"))
        self._way(room.id, to.id, kind, wall, corner, off, width, _hand(left), inside.id)

    def outside(self, room: Room, wall: str, at: float, width: float, hinge: str) -> None:
        """Put a door to the outside in a wall (south or east); it swings into the room."""
        letter, off = ("A", at - room.x) if wall == "south" else ("B", at - room.y)
        # pushing inward is north through the south wall, west through the east wall
        self._way(
            room.id, "out", "swing", letter, letter, off, width, _hand(hinge == "low"), room.id
        )

    def _way(
        self, room: str, to: str, kind: str, wall: str, corner: str, off: float, width: float,
        hand: str = "", into: str = "",
    ) -> None:  # fmt: skip
        cased = sum(w.kind == "cased" for w in self.ways)
        id = f"O{cased + 1}" if kind == "cased" else f"D{len(self.ways) - cased + 1}"
        self.ways.append(Way(id, room, to, kind, wall, corner, off, width, hand, into))

    def put(
        self, room: Room, kind: str, size: tuple[float, float, float], back: str,
        x: float, y: float, line_of: str = "",
    ) -> None:  # fmt: skip
        """Put a piece by its center relative to the room's southwest corner, its back to a wall."""
        width, depth, height = size
        x, y = room.x + x, room.y + y
        turn = _TURNS[back]
        self.pieces.append(Piece(room.id, kind, width, depth, height, x, y, turn, line_of or kind))

    def build_in(
        self, room: Room, name: str, x: float, y: float, width: float, depth: float, note: str = ""
    ) -> None:
        """Build something in, by its southwest corner relative to the room's."""
        self.fixed.append(Fixed(room.id, name, room.x + x, room.y + y, width, depth, note))


def _hand(left: bool) -> str:
    return "left" if left else "right"
