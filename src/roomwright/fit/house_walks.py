"""Routes through the whole house: rooms and openings as a graph, storeys joined by stairs.

An opening is a node, and so are the middle of each room and the two ends of a stair. Within a space
the nodes are joined by the shortest line over its empty floor, so that a route depends on
walls and openings only: what stands in a room narrows a route, it does not move it. No route
leads through the outside, nor through somebody's bedroom. See docs/walk-paths.md.
"""

from __future__ import annotations

import heapq
import math
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, field, replace
from functools import partial
from itertools import pairwise

import shapely

from roomwright.fit.given import Room, Space
from roomwright.fit.habits import OUTSIDE, Habit, enters, private, use_of
from roomwright.fit.routes import shortest_line
from roomwright.fit.spaces import OUT
from roomwright.shape import TOUCH, Point, anticlockwise, middle, outward, tidy

Node = tuple[str, str]
"""("opening", id), ("room", id or "out"), or ("stair", id and room)."""

_IN = 1 / 64


@dataclass(frozen=True, slots=True)
class Stairs:
    """A stair as a way: from one room to another, so long along its steps [in].

    `at` is where it starts on each floor, by room; the middle of the room where that is not known.
    """

    id: str
    from_room: str
    to_room: str
    length: float
    width: float | None = None
    at: dict[str, Point] = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class Leg:
    """One straight-through part of a route: in one space from node to node, or up a stair."""

    from_: Node
    to: Node
    length: float
    space: tuple[str, ...]
    points: tuple[Point, ...] = ()

    @property
    def pair(self) -> frozenset[str] | None:
        """The two openings it joins; None if an end of it is not an opening."""
        if self.from_[0] == self.to[0] == "opening":
            return frozenset((self.from_[1], self.to[1]))
        return None


@dataclass(frozen=True, slots=True)
class HouseRoute:
    """The shortest way from a room to another: its legs, and its length [in]."""

    from_room: str
    to_room: str
    legs: tuple[Leg, ...]
    length: float
    habit: Habit | None = None

    @property
    def openings(self) -> tuple[str, ...]:
        """The openings it leads through, in order."""
        return tuple(leg.to[1] for leg in self.legs if leg.to[0] == "opening")


class HouseGraph:
    """The rooms of a house and the ways between them.

    Parameters
    ----------
    spaces
        Every space of the house: rooms open to each other are one.
    stairs
        The stairs between them.

    Examples
    --------
    >>> from roomwright.fit.given import Opening
    >>> a = ((0, 0), (100, 0), (100, 100), (0, 100))
    >>> b = ((104, 0), (200, 0), (200, 100), (104, 100))
    >>> bed, bath = Room("1", "Bedroom", a), Room("2", "Bath", b)
    >>> door = Opening("D1", (100, 35), (100, 65), "2", "cased", 30, room="1")
    >>> back = Opening("D1", (104, 35), (104, 65), "1", "cased", 30, room="2")
    >>> spaces = Space((bed,), a, openings=(door,)), Space((bath,), b, openings=(back,))
    >>> house = HouseGraph(spaces)
    >>> found = house.route("1", "2")
    >>> found.openings, round(found.length)
    (('D1',), 98)
    """

    def __init__(self, spaces: Sequence[Space], stairs: Iterable[Stairs] = ()) -> None:
        self.rooms: dict[str, Room] = {r.id: r for space in spaces for r in space.rooms}
        self._next: dict[Node, list[Leg]] = {}
        self._outside: dict[str, list[str]] = {}
        stairs = tuple(stairs)
        for space in spaces:
            self._add(space, stairs)
        for stair in stairs:
            foot, head = (("stair", f"{stair.id} {r}") for r in (stair.from_room, stair.to_room))
            self._join(Leg(foot, head, stair.length, ()))

    def __eq__(self, other: object) -> bool:
        return isinstance(other, HouseGraph) and (self.rooms, self._next) == (
            other.rooms,
            other._next,
        )

    __hash__ = None  # type: ignore[assignment]

    def _join(self, leg: Leg) -> None:
        back = Leg(leg.to, leg.from_, leg.length, leg.space, leg.points[::-1])
        self._next.setdefault(leg.from_, []).append(leg)
        self._next.setdefault(leg.to, []).append(back)

    def _add(self, space: Space, stairs: Sequence[Stairs]) -> None:
        rings = [anticlockwise(tidy(ring)) for ring in (space.outline, *space.holes)]
        floor = shapely.Polygon(rings[0], rings[1:])
        group = tuple(sorted(room.id for room in space.rooms))
        spots: list[tuple[Node, Point]] = [
            (("room", room.id), _middle_of(room)) for room in space.rooms
        ]
        for stair in stairs:
            for room in space.rooms:
                if room.id in (stair.from_room, stair.to_room):
                    at = stair.at.get(room.id, _middle_of(room))
                    spots.append((("stair", f"{stair.id} {room.id}"), _onto(floor, at)))
        for each in space.openings:
            at = _inside(floor, each.segment)
            spots.append((("opening", each.id), at))
            if each.to == OUT:
                self._outside.setdefault(each.room, []).append(each.id)
                self._join(Leg(("opening", each.id), ("room", OUT), 0.0, ()))
        for number, (first, p) in enumerate(spots):
            for second, q in spots[number + 1 :]:
                if first[0] == second[0] == "room":
                    line: tuple[Point, ...] | None = (p, q)
                else:
                    line = shortest_line(floor, p, q)
                if line is not None and first != second:
                    length = sum(math.dist(a, b) for a, b in pairwise(line))
                    self._join(Leg(first, second, length, group, line))

    def route(self, from_room: str, to_room: str) -> HouseRoute | None:
        """The shortest route from the middle of one room to that of another, or "out".

        Through a private room only where there is no other way; None if there is none at all.
        """
        start = ("room", from_room)
        found = self._nearest(start, from_room, lambda r: r == to_room)
        return found or self._nearest(start, from_room, lambda r: r == to_room, anywhere=True)

    def nearest(self, from_room: str, use: str) -> HouseRoute | None:
        """The shortest route from the middle of a room to another room of a use."""
        return self._nearest(("room", from_room), from_room, lambda r: self._is(r, use))

    def _is(self, room: str, use: str) -> bool:
        return use == (OUTSIDE if room == OUT else use_of(self.rooms[room]))

    def _starts(self, room: str, use: str) -> tuple[Node, ...]:
        """Where walks from a room begin: at its outside doors, if one enters there; else inside."""
        doors = self._outside.get(room, ()) if enters(use) else ()
        return tuple(("opening", door) for door in doors) or (("room", room),)

    def _passes(self, leg: Leg, start: Node) -> bool:
        """Whether a leg keeps out of private rooms that are neither end of the route."""
        ends = leg.from_ == start or leg.to[0] == "room"
        return ends or len(leg.space) != 1 or not private(use_of(self.rooms[leg.space[0]]))

    def _nearest(
        self, start: Node, room: str, wanted: Callable[[str], bool], *, anywhere: bool = False
    ) -> HouseRoute | None:
        """Dijkstra's method; rooms are ends only, for through a room one goes from door to door.

        Of equally long ways the one through fewer doors.
        """
        best: dict[Node, tuple[float, int]] = {start: (0.0, 0)}
        came: dict[Node, Leg] = {}
        done: set[Node] = set()
        queue: list[tuple[float, int, Node]] = [(0.0, 0, start)]
        while queue:
            length, doors, node = heapq.heappop(queue)
            if node in done:
                continue
            done.add(node)
            if node[0] == "room" and node[1] != room:
                if wanted(node[1]):
                    legs: list[Leg] = []
                    at = node
                    while at != start:
                        legs.append(came[at])
                        at = came[at].from_
                    return HouseRoute(room, node[1], tuple(legs[::-1]), length)
                continue
            if node[0] == "room" and node != start:
                continue
            for leg in self._next.get(node, ()):
                if leg.to in done or not (anywhere or self._passes(leg, start)):
                    continue
                reach = length + leg.length, doors + 1
                if reach < best.get(leg.to, (math.inf, 0)):
                    best[leg.to], came[leg.to] = reach, leg
                    heapq.heappush(queue, (*reach, leg.to))
        return None

    def walked(self, habits: Iterable[Habit]) -> tuple[HouseRoute, ...]:
        """For each habit and each room of its first use the route to the nearest of the other."""
        found = []
        for habit in habits:
            for room in self.rooms.values():
                if use_of(room) != habit.from_use:
                    continue
                goal = partial(self._is, use=habit.to_use)
                for start in self._starts(room.id, habit.from_use):
                    route = self._nearest(start, room.id, goal)
                    if route is not None:
                        found.append(replace(route, habit=habit))
        return tuple(found)


def main_ways(routes: Iterable[HouseRoute]) -> frozenset[frozenset[str]]:
    """The pairs of openings between which a main route runs."""
    return frozenset(
        leg.pair
        for route in routes
        if route.habit is None or route.habit.standing == "main"
        for leg in route.legs
        if leg.pair is not None
    )


def _middle_of(room: Room) -> Point:
    shape = shapely.Polygon(room.outline)
    spot = shapely.centroid(shape)
    if not shapely.contains_properly(shape, spot):
        spot = shapely.point_on_surface(shape)
    return float(spot.x), float(spot.y)


def _onto(floor: shapely.Polygon, at: Point) -> Point:
    """The point of the floor nearest to a place."""
    spot = shapely.Point(at)
    if shapely.contains_properly(floor, spot):
        return at
    inner = shapely.buffer(floor, -_IN)
    near = shapely.line_interpolate_point(shapely.shortest_line(inner, spot), 0.0)
    return float(near.x), float(near.y)


def _inside(floor: shapely.Polygon, segment: tuple[Point, Point]) -> Point:
    """The middle of an opening, a hair inside the floor."""
    mx, my = middle(segment)
    ox, oy = outward(segment) if math.dist(*segment) > TOUCH else (0.0, 0.0)
    for way in (_IN, -_IN):
        spot = mx + way * ox, my + way * oy
        if shapely.contains_xy(floor, *spot):
            return spot
    return _onto(floor, (mx, my))
