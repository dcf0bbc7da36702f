"""What moves when a room's outline is taken from the tape: all that belongs to its walls.

A wall goes from where it was drawn to where it was measured. What belongs to it goes along: its
openings and windows keep their distance from the wall's first corner (unless their own offsets
were taped), and so does what is built against it. A built-in thing that also meets another wall is
scribed to it: its end follows that wall; a fixture or appliance keeps its size and goes with it.
What stands free stays where it is.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction

from roomwright import shape
from roomwright.job import entities
from roomwright.shape import Outline, Point, Segment

MARKS = 64
"""Things on walls are kept to this part of an inch, so that no width is rounded away."""

AGAINST = 0.5
"""A thing this near to a wall stands against it [in]; the same slack as openings have."""


@dataclass(frozen=True, slots=True)
class WallMove:
    """One wall before and after; a point keeps its distance along it from its first corner."""

    before: Segment
    after: Segment

    def carry(self, p: Point) -> Point:
        """Where a point goes that moves with this wall.

        >>> move = WallMove(((0, 0), (100, 0)), ((1, 2), (101, 2)))
        >>> move.carry((30, 5))
        (31.0, 7.0)
        """
        (ux, uy), (vx, vy) = _unit(self.before), _unit(self.after)
        dx, dy = p[0] - self.before[0][0], p[1] - self.before[0][1]
        along, off = dx * ux + dy * uy, dy * ux - dx * uy
        (x, y) = self.after[0]
        return x + vx * along - vy * off, y + vy * along + vx * off

    def off(self, p: Point) -> float:
        """How far a point is to the left of the wall before [in]."""
        ux, uy = _unit(self.before)
        return (p[1] - self.before[0][1]) * ux - (p[0] - self.before[0][0]) * uy

    def slide(self, p: Point, along: Point, off: float) -> Point:
        """A point moved along a direction until it is `off` to the left of the wall after."""
        vx, vy = _unit(self.after)
        rate = along[1] * vx - along[0] * vy
        if abs(rate) < 1e-6:
            return p
        now = (p[1] - self.after[0][1]) * vx - (p[0] - self.after[0][0]) * vy
        t = (off - now) / rate
        return p[0] + along[0] * t, p[1] + along[1] * t


@dataclass(frozen=True, slots=True)
class Moves:
    """All walls of a room, before and after."""

    before: Outline
    after: Outline

    @property
    def walls(self) -> list[WallMove]:
        """Each wall's move, in the order of the outline."""
        pairs = zip(shape.walls(self.before), shape.walls(self.after), strict=True)
        return [WallMove(*pair) for pair in pairs]

    def on_wall(self, wall: WallMove, p: Point) -> Point:
        """Where a point in a wall goes: along with it, and out of the room to its face."""
        left = 1.0 if shape.signed_area(self.after) > 0 else -1.0
        q = wall.carry(p)
        inside = wall.off(p) * left
        if inside <= 0:
            return q
        ux, uy = _unit(wall.after)
        return q[0] + uy * left * inside, q[1] - ux * left * inside

    def wall_of(self, segment: Segment) -> WallMove | None:
        """The move of the wall that a segment lies in, on either face of it or between."""
        shown = shape.through_wall(segment, self.before)
        return None if shown is None else self.walls[shown[0]]

    def thing(self, outline: Outline) -> Outline | None:
        """Where a built-in thing goes; None if it stands against no wall."""
        met = self._against(outline)
        if met is None:
            return None
        main, near, contact = met
        wall = self.walls[main]
        carried = []
        for p, touches in zip(outline, near, strict=True):
            q = wall.carry(p)
            ends = [i for i in touches if i != main and contact[i] > 0]
            carried.append(self._slid(q, p, wall, ends[0]) if ends else q)
        return tuple(carried)

    def block(self, outline: Outline, c: Point) -> Point | None:
        """Where the center of a built-in piece goes that keeps its size; None if it stays."""
        met = self._against(outline)
        if met is None:
            return None
        main, near, contact = met
        wall = self.walls[main]
        to = wall.carry(c)
        for p, touches in zip(outline, near, strict=True):
            ends = [i for i in touches if i != main and contact[i] > 0]
            if ends:
                q = wall.carry(p)
                at = self._slid(q, p, wall, ends[0])
                to = to[0] + at[0] - q[0], to[1] + at[1] - q[1]
                break
        return self._clear([(p[0] - c[0], p[1] - c[1]) for p in outline], to, contact)

    def _clear(self, around: Sequence[Point], c: Point, contact: Mapping[int, float]) -> Point:
        """A block pushed off the walls it stands against, as far as it would reach into them."""
        left = 1.0 if shape.signed_area(self.after) > 0 else -1.0
        for index in sorted(contact, key=contact.__getitem__):
            if contact[index] <= 0:
                continue
            (ax, ay), to = self.walls[index].after
            ux, uy = _unit(((ax, ay), to))
            nx, ny = -uy * left, ux * left
            least = min((c[0] + x - ax) * nx + (c[1] + y - ay) * ny for x, y in around)
            if least < 0:
                c = c[0] - nx * least, c[1] - ny * least
        return c

    def _slid(self, q: Point, p: Point, along: WallMove, index: int) -> Point:
        """A carried point moved along its wall until it meets another as it did before."""
        other = self.walls[index]
        return other.slide(q, _unit(along.after), other.off(p))

    def _against(self, outline: Outline) -> tuple[int, list[list[int]], dict[int, float]] | None:
        """The wall that a thing stands against most; walls near each corner of it; its contacts."""
        walls = self.walls
        near = [
            [i for i, wall in enumerate(walls) if shape.distance_to(p, wall.before) <= AGAINST]
            for p in outline
        ]
        contact = {i: _contact(walls[i], outline, near, i) for i in range(len(walls))}
        main = max(contact, key=contact.__getitem__)
        return (main, near, contact) if contact[main] > 0 else None


def _contact(wall: WallMove, outline: Outline, near: Sequence[Sequence[int]], index: int) -> float:
    """How much of a thing lies along a wall [in]."""
    ux, uy = _unit(wall.before)
    on = [p[0] * ux + p[1] * uy for p, touches in zip(outline, near, strict=True)
          if index in touches]  # fmt: skip
    return max(on) - min(on) if len(on) > 1 else 0.0


def _unit(segment: Segment) -> Point:
    (ax, ay), (bx, by) = segment
    length = math.dist(*segment)
    return (bx - ax) / length, (by - ay) / length


def marks(p: Point) -> entities.Point:
    """A point on 1/64 in."""
    return Fraction(round(p[0] * MARKS), MARKS), Fraction(round(p[1] * MARKS), MARKS)


def plain(p: entities.Point) -> Point:
    """A recorded point as numbers."""
    return float(p[0]), float(p[1])


def ring(outline: entities.Outline) -> Outline:
    """A recorded outline as numbers."""
    return tuple(map(plain, outline))


def opening(
    moves: Moves, fact: entities.Opening, taped: Segment | None
) -> Mapping[str, object] | None:
    """Fields of an opening that change; None if it belongs to no wall of the room.

    `taped` are its two ends where the tape puts them.
    """
    ends = plain(fact.a), plain(fact.b)
    wall = moves.wall_of(ends)
    if wall is None:
        return None
    a, b = (moves.on_wall(wall, p) for p in ends)
    if taped:
        a, b = _like(ends, taped, wall)
    changed: dict[str, object] = {"a": marks(a), "b": marks(b)}
    if fact.hinge is not None:
        hinge = plain(fact.hinge)
        at, to = min(((ends[0], a), (ends[1], b)), key=lambda pair: math.dist(pair[0], hinge))
        was, now = moves.on_wall(wall, hinge), moves.on_wall(wall, at)
        changed["hinge"] = marks((to[0] + was[0] - now[0], to[1] + was[1] - now[1]))
    return changed


def window(
    moves: Moves, a: entities.Point, b: entities.Point, taped: Segment | None
) -> Mapping[str, object] | None:
    """Both ends of a window or of a slope's line, moved with its wall."""
    ends = plain(a), plain(b)
    wall = moves.wall_of(ends)
    if wall is None:
        return None
    p, q = (moves.on_wall(wall, p) for p in ends)
    if taped:
        p, q = _like(ends, taped, wall)
    return {"a": marks(p), "b": marks(q)}


def _like(ends: Segment, taped: Segment, wall: WallMove) -> Segment:
    """The taped ends in the order of the recorded ones."""
    ux, uy = _unit(wall.before)
    forward = (ends[1][0] - ends[0][0]) * ux + (ends[1][1] - ends[0][1]) * uy >= 0
    vx, vy = _unit(wall.after)
    ahead = (taped[1][0] - taped[0][0]) * vx + (taped[1][1] - taped[0][1]) * vy >= 0
    return taped if forward == ahead else (taped[1], taped[0])


def piece(moves: Moves, fact: entities.Piece) -> Mapping[str, object] | None:
    """Where a fixture or an appliance goes that stands against a wall; None if it stays."""
    if fact.x is None or fact.y is None or fact.width is None or fact.depth is None:
        return None
    c = plain((fact.x, fact.y))
    box = shape.rectangle(*c, float(fact.width), float(fact.depth), float(fact.turn))
    to = moves.block(box, c)
    if to is None:
        return None
    x, y = marks(to)
    return {"x": x, "y": y}


def onto_face(
    fact: entities.Opening | entities.Window, outline: Outline
) -> Mapping[str, object] | None:
    """Fields of an opening or a window straight across on another face of its wall."""
    ends = plain(fact.a), plain(fact.b)
    shown = shape.through_wall(ends, outline)
    if shown is None:
        return None
    a, b = shown[1]
    changed: dict[str, object] = {"a": marks(a), "b": marks(b)}
    if isinstance(fact, entities.Opening) and fact.hinge is not None:
        hinge = plain(fact.hinge)
        was, now = min(zip(ends, (a, b), strict=True), key=lambda pair: math.dist(pair[0], hinge))
        changed["hinge"] = marks((hinge[0] + now[0] - was[0], hinge[1] + now[1] - was[1]))
    return changed
