"""A piece anywhere on the floor: places on a grid of inches along a direction of the walls."""

import math
from collections.abc import Sequence
from typing import Any

import numpy as np
import shapely

from roomwright.fit.bounds import Bools, Floats, Ints
from roomwright.fit.given import Piece
from roomwright.fit.search_around import Around, centers
from roomwright.fit.search_judge import Judge
from roomwright.fit.search_stance import (
    ROUNDING,
    Clear,
    Spots,
    Stance,
    asked_of,
    boxes,
    inner,
    outlines,
    sized,
    stands,
)
from roomwright.fit.search_strips import Strips
from roomwright.fit.search_wanted import Size
from roomwright.fit.sweep import Lines, Sweep, Windows, covered
from roomwright.shape import CHORD, TOUCH, Outline, Point, unit

_EVEN = 1e-6
_BEHIND = 1e-3
"""What lies on the line that a box stands on is behind it: all is moved back by so much [in]."""


class Lattice:
    """A room on a grid of inches along one direction of its walls, from its southwest corner."""

    def __init__(self, judge: Judge, room: Outline, angle: float) -> None:
        cos, sin = unit(angle)
        self.judge, self.room, self.angle = judge, room, angle
        self._turn = np.array([[cos, -sin], [sin, cos]])
        corners = np.array(room) @ self._turn
        self._origin = corners.min(axis=0)
        size = np.ceil(corners.max(axis=0) - self._origin - TOUCH).astype(int).tolist()
        self.columns, self.rows = max(1, size[0]), max(1, size[1])
        self._rings = [self._into(ring) for ring in judge.ground.rings]
        self._bodies = [self._into(body.outline) for body in judge.ground.bodies]
        self._sweeps: dict[frozenset[str], Sweep] = {}
        self._free: dict[tuple[int, ...], Windows] = {}
        self.around = Around(judge)
        self.strips = Strips(judge)

    def _into(self, points: Sequence[Point]) -> Floats:
        return np.asarray(np.array(points, dtype=float).reshape(-1, 2) @ self._turn - self._origin)

    def out(self, u: Any, v: Any) -> tuple[Floats, Floats]:
        """Points of the grid in the room's own coordinates."""
        xy: Floats = (np.stack([u, v], axis=1) + self._origin) @ self._turn.T
        return xy[:, 0], xy[:, 1]

    def sweep(self, ignore: frozenset[str]) -> Sweep:
        """Clear distances to everything but some kinds."""
        if ignore not in self._sweeps:
            bodies = [
                ring
                for ring, kind in zip(self._bodies, self.judge.ground.kinds, strict=True)
                if kind.name not in ignore
            ]
            if ignore and len(bodies) == len(self._bodies):
                return self.sweep(frozenset())
            lines = Lines.of([*self._rings, *bodies])
            self._sweeps[ignore] = Sweep.over(lines, self.columns, self.rows)
        return self._sweeps[ignore]

    def _body(self, solid: tuple[int, ...]) -> Windows:
        """Distance north over free floor, from every line across every column."""
        if solid not in self._free:
            bodies = [self._bodies[number] for number in solid]
            edge = self._into(self.room)
            size = self.columns, self.rows
            free = (covered([edge], *size) == 1) & (covered([self._rings[0]], *size) == 1)
            if len(self._rings) > 1:
                free &= covered(self._rings[1:], *size) == 0
            if bodies:
                free &= covered(bodies, *size) == 0
            rings = [ring - (0.0, _BEHIND) for ring in (edge, *self._rings, *bodies)]
            fence = Sweep.over(Lines.of(rings), *size).north.least(1)
            self._free[solid] = Windows(np.where(free, fence, np.float32(0)))
        return self._free[solid]

    def free(self, length: int, depth: int, piece: Piece) -> Bools:
        """Whether a box stands on free floor, at every place of its southwest corner."""
        if length > self.columns or depth > self.rows:
            return np.empty((0, 0), dtype=bool)
        body = self._body(self.judge.solid(piece)).least(length)[: self.rows - depth + 1]
        return np.asarray(body >= depth - TOUCH)


def on_lattice(lattice: Lattice, piece: Piece, quarter: int, key: str, where: str) -> Stance:
    """A piece anywhere on a lattice, turned by so many quarter turns from its direction."""
    turn = (lattice.angle + 90 * quarter) % 360
    kind = piece.sort

    def spots(size: Size) -> Spots:
        top = sized(piece, size, turn)
        if top.round:
            return _round_spots(lattice, stance, top, size)
        length, depth = (size.width, size.depth) if quarter % 2 == 0 else (size.depth, size.width)
        if top.straight:
            cells = math.floor(length + _EVEN), math.floor(depth + _EVEN)
            free = lattice.free(*cells, piece)
        else:
            cells = inner(piece, size) if quarter % 2 == 0 else inner(piece, size)[::-1]
            free = _inner_free(lattice, length, depth, cells, piece)
        row, column = (np.asarray(at, dtype=np.int64) for at in np.nonzero(free))
        x, y = lattice.out(column + length / 2, row + depth / 2)
        if not top.straight:
            keep = stands(lattice.judge, lattice.room, top, x, y)
            x, y = x[keep], y[keep]
            bound = np.full(len(x), np.inf)
            if kind.seats and len(x):
                bound = lattice.around.most(outlines(top, x, y))
        else:
            bound = np.full(len(row), np.inf)
            if len(row) and not kind.loose:
                bound = _swept(lattice, piece, size, quarter, row, column)
                bound = np.minimum(bound, lattice.strips.most(boxes(x, y, size, turn), kind))
        return Spots(stance, size, x, y, bound + ROUNDING, top.straight)

    stance = Stance(key, where, turn, spots)
    return stance


def _inner_free(
    lattice: Lattice, length: float, depth: float, whole: tuple[int, int], piece: Piece
) -> Bools:
    """Places of the corner of a piece whose inner box stands on free floor."""
    columns = max(0, lattice.columns - math.ceil(length - _EVEN) + 1)
    rows = max(0, lattice.rows - math.ceil(depth - _EVEN) + 1)
    if min(whole) < 1:
        return np.ones((rows, columns), dtype=bool)
    du, dv = math.ceil((length - whole[0]) / 2), math.ceil((depth - whole[1]) / 2)
    free = lattice.free(*whole, piece)
    return np.asarray(free[dv : dv + rows, du : du + columns])


def _swept(
    lattice: Lattice, piece: Piece, size: Size, quarter: int, row: Ints, column: Ints
) -> Floats:
    length, depth = (size.depth, size.width) if quarter % 2 else (size.width, size.depth)
    cells = math.floor(length + _EVEN), math.floor(depth + _EVEN)
    over = length - cells[0], depth - cells[1]

    def clear(ignore: frozenset[str]) -> Clear:
        north, south, east, west = lattice.sweep(ignore).at(*cells, row, column)
        compass = south, east - over[0], north - over[1], west
        back, left, front, right = (compass[(k + quarter) % 4] for k in range(4))
        return back, left, front, right

    return asked_of(piece, lattice.judge.needs.get, size, clear)


def _round_spots(lattice: Lattice, stance: Stance, top: Piece, size: Size) -> Spots:
    """Places of a round top: by the distance of its center from everything."""
    half = size.width / 2
    u = np.arange(half, lattice.columns - half + 1 + _EVEN)
    v = np.arange(half, lattice.rows - half + 1 + _EVEN)
    x, y = lattice.out(*(grid.ravel() for grid in np.meshgrid(u, v)))
    ground, room = lattice.judge.ground, shapely.Polygon(lattice.room)
    keep = shapely.contains_xy(room, x, y) & shapely.contains_xy(ground.floor, x, y)
    for number in lattice.judge.solid(top):
        keep &= ~shapely.contains_xy(ground.shapes[number], x, y)
    solid = [ground.shapes[number] for number in lattice.judge.solid(top)]
    for shape in (room.exterior, ground.floor.boundary, *solid):
        near = centers(x[keep], y[keep])
        keep[keep] = shapely.distance(shape, near) >= half - TOUCH
    x, y = x[keep], y[keep]
    bound = np.full(len(x), np.inf)
    if top.sort.seats and len(x):
        bound = lattice.around.most(centers(x, y), half)
    slack = ROUNDING + CHORD  # the judged top is a polygon within the true circle
    return Spots(stance, size, x, y, bound + slack, slack=slack)
