"""Every place of a table that lies one way in a room, with the most its tightest margin can be.

A *lay* is a direction of the room's walls and whether the table's length runs along it or across.
The bound of a place is never under what an exact judgement can give there, so that a search in the
order of bounds may stop at the first that is reached.

Which sides people walk past is known only when the walk path is. But part of it follows from where
the table stands: a path keeps one wall on its left and the other on its right, and the table is on
one side of it. If the table is on the right, the path runs between the table and the left bank, and
so crosses the zone of every side that looks straight at that bank from near; or the other way
round.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import shapely

from roomwright.fit.banks import banks
from roomwright.fit.bounds import Floats, Ints
from roomwright.fit.floor import FLAT, HAIR
from roomwright.fit.ground import SERVED_SIDE
from roomwright.fit.model import Needs
from roomwright.fit.passing import SLIDE, Boxes, Passing, tightest
from roomwright.fit.sweep import FAR, Four, Grid, Lines, Sweep, Windows, covered, four
from roomwright.fit.trial import Pair, Trials
from roomwright.fit.uses import FACING
from roomwright.shape import TOUCH, Outline, middle, unit, walls

EVEN = 1e-3
"""Margins that differ by less are equal [in]."""

STRAY = 2.0
"""A line that ends within this of the middle of an opening ends at the middle [in]."""

LEAST_WALL = 24.0
"""Walls shorter than this give no direction to lay a table along [in]."""

MOST_FRAMES = 8
"""A room with walls in more directions than this has only its longest walls followed."""

KEPT = 16


def directions(outline: Outline) -> list[float]:
    """Directions of the walls of a room, in degrees from 0 up to 90, longest walls first.

    >>> directions(((0, 0), (162, 0), (162, 150), (0, 150)))
    [0.0]
    """
    weight: dict[float, float] = {}
    for (ax, ay), (bx, by) in walls(outline):
        length = math.hypot(bx - ax, by - ay)
        if length < LEAST_WALL:
            continue
        angle = math.degrees(math.atan2(by - ay, bx - ax)) % 90
        near = (k for k in weight if min(abs(k - angle), 90 - abs(k - angle)) < 0.1)
        key = next(near, 0.0 if min(angle, 90 - angle) < 1e-9 else angle)
        weight[key] = weight.get(key, 0.0) + length
    return sorted(weight, key=lambda k: (-round(weight[k], 6), k))[:MOST_FRAMES] or [0.0]


@dataclass(frozen=True, slots=True, eq=False)
class Places:
    """Places of one size in one lay, best bound first.

    `off` is the distance of the table's middle from that of the room, `clear` the clear
    distances north, south, east and west on the grid, `need` what they need at the least [in].
    """

    bound: Floats
    row: Ints
    column: Ints
    off: Floats
    clear: Floats
    need: Floats

    def __len__(self) -> int:
        return len(self.bound)

    def with_uses(self, walked: Sequence[bool], walk: float) -> Floats:
        """The tightest margin of each place, slid, if just these sides were walked past."""
        need = np.where(np.array(walked)[:, None], walk, self.need)
        return tightest(list(self.clear), list(need))


@dataclass(frozen=True, slots=True)
class _Uses:
    """Needs of a side by its use [in]."""

    rise: float
    edge: float
    walk: float

    @staticmethod
    def of(needs: Needs, bench: bool) -> "_Uses":
        rise = needs.get("dining.rise")
        if rise is None:
            raise ValueError("what fits needs the figure dining.rise")
        if bench and (slide := needs.get("dining.bench")) is not None:
            rise = min(rise, slide)  # which side has it depends on the turn: never too much
        edge, walk = needs.get("dining.edge_past"), needs.get("dining.walk_past")
        return _Uses(rise, rise if edge is None else edge, rise if walk is None else walk)


class Frame:
    """A room on a grid of inches along one direction of its walls."""

    def __init__(
        self,
        trials: Trials,
        room: Outline,
        angle: float,
        *,
        plain: bool = False,
        bench: bool = False,
    ) -> None:
        cos, sin = unit(angle)
        self.angle = angle
        self._turn = np.array([[cos, -sin], [sin, cos]])  # rows of points times this: into frame
        corners = np.array(room) @ self._turn
        self._origin = corners.min(axis=0)
        size = np.ceil(corners.max(axis=0) - self._origin - TOUCH).astype(int).tolist()
        self.columns, self.rows = max(1, size[0]), max(1, size[1])
        centre = shapely.Polygon(room).centroid
        self.centre = self.into(np.array([[centre.x, centre.y]]))[0]
        self.uses = _Uses.of(trials.needs, bench)
        self._depth = trials.needs.get("dining.walk_past") or 0.0
        self._plain = plain
        self._trials = trials
        self._sweeps(trials, room)
        self._kept: dict[bytes, Four] = {}
        self._rooms: dict[tuple[int, int], Grid] = {}
        self._passings: dict[float, list[Passing]] = {}

    def into(self, points: Floats) -> Floats:
        """Points (n, 2) in the coordinates of the grid."""
        return np.asarray(points @ self._turn - self._origin)

    def out(self, point: tuple[float, float]) -> tuple[float, float]:
        """A point of the grid in the room's own coordinates."""
        x, y = ((np.array(point) + self._origin) @ self._turn.T).tolist()
        return x, y

    def back(self, points: Floats) -> Floats:
        """Points (n, 2) of the grid in the room's own coordinates."""
        return np.asarray((points + self._origin) @ self._turn.T)

    def _sweeps(self, trials: Trials, room: Outline) -> None:
        ground = trials.ground
        rings = [self.into(np.array(ring)) for ring in ground.rings]
        bodies = [self.into(np.array(body.outline)) for body in ground.bodies]
        size = self.columns, self.rows
        self.all = Sweep.over(Lines.of([*rings, *bodies]), *size)
        edge = self.into(np.array(room))
        free = covered([edge], *size) == 1
        free &= covered([rings[0]], *size) == 1
        if len(rings) > 1:
            free &= covered(rings[1:], *size) == 0
        if bodies:
            free &= covered(bodies, *size) == 0
        fence = Sweep.over(Lines.of([edge, *rings, *bodies]), *size).north.least(1)
        self._body = Windows(np.where(free, fence, np.float32(0)))
        served, plain = [], []
        for body, kind, ring in zip(ground.bodies, ground.kinds, bodies, strict=True):
            faces = Lines.of([ring]).ends
            at = np.zeros(len(faces), dtype=bool)
            if kind.serves:
                at[slice(None) if body.what == "fixed" else SERVED_SIDE] = True
            served.append(faces[at])
            plain.append(faces[~at])
        self._served: tuple[Sweep, Sweep] | None = None
        if sum(map(len, served)):
            plain.append(Lines.of(rings).ends)
            self._served = (
                Sweep.over(Lines(np.concatenate(served)), *size),
                Sweep.over(Lines(np.concatenate(plain)), *size),
            )

    def _grids(self, edges: Floats) -> Four:
        """Distances to edges (n, 4); kept, for most levels bind the same things to a bank."""
        key = edges.tobytes()
        if key not in self._kept:
            self._kept[key] = four(Lines(edges), self.columns, self.rows)
        return self._kept[key]

    def passings(self, level: float) -> list[Passing]:
        """Every way that has two banks, for tables with no margin under `level`.

        A way that the table narrows is then at least so much wider than it should be; one that it
        does not narrow is as wide as without it. Either way its line keeps that far off.
        """
        if level not in self._passings:
            found = (self._passing(pair, level) for pair in self._trials.pairs)
            self._passings[level] = [passing for passing in found if passing is not None]
        return self._passings[level]

    def _passing(self, pair: Pair, level: float) -> Passing | None:
        wide = min(pair.width, pair.wanted + level)
        keep = wide / 2 - FLAT - HAIR
        if keep <= 0 or pair.line is None:
            return None
        passage = pair.passage
        ends = [
            STRAY + max(0.0, -level) if math.dist(end, middle(opening)) < STRAY else None
            for end, opening in zip(
                (pair.route.points[0], pair.route.points[-1]),
                passage.bounds.openings,
                strict=True,
            )
        ]
        found = banks(passage, wide, keep, (ends[0], ends[1]))
        if found is None:
            return None
        return Passing(
            found,
            self.into,
            self._grids,
            wide=wide,
            keep=keep,
            width=pair.width,
            wanted=pair.wanted,
            depth=self._depth,
            line=self.into(np.array(pair.route.points)),
            clear_of=pair.clear_of,
        )

    def most(self, length: int, depth: int) -> float:
        """A margin that no place of a box `length` along the grid by `depth` across exceeds."""
        return float(self._room(length, depth).max(initial=-FAR)) + SLIDE

    def free(self, length: int, depth: int, row: int, column: int) -> bool:
        """Whether a box stands on free floor at a place of the grid."""
        room = self._room(length, depth)
        if not (0 <= row < room.shape[0] and 0 <= column < room.shape[1]):
            return False
        return bool(room[row, column] > -FAR / 2)

    def places(self, length: int, depth: int, least: float, level: float) -> Places:
        """Places of a box `length` along the grid by `depth` across whose bound is `least` or more.

        In order of bound, then of distance from the middle of the room. The bound holds for
        places whose margin is `level` or more.
        """
        row, column = np.nonzero(self._room(length, depth) >= least - EVEN - SLIDE)
        boxes = Boxes(length, depth, row, column)
        clear = self.all.at(length, depth, row, column)
        need = self._needs(boxes)
        bound = self._bound(boxes, clear, need, least - EVEN, level).round(3)
        middle_x, middle_y = column + length / 2, row + depth / 2
        off = np.hypot(middle_x - self.centre[0], middle_y - self.centre[1]).round(3)
        order = np.lexsort((column, row, off, -bound))
        order = order[: int((bound >= least - EVEN).sum())]
        return Places(
            bound[order],
            row[order],
            column[order],
            off[order],
            np.stack(clear)[:, order],
            np.stack(need)[:, order],
        )

    def _room(self, length: int, depth: int) -> Grid:
        """The least clear distance round a box over the least that any side needs, everywhere."""
        size = (length, depth)
        if length > self.columns or depth > self.rows:
            return np.empty((0, 0), dtype=np.float32)
        if size not in self._rooms:
            north, south, east, west = self.all.clear(length, depth)
            room = np.minimum(np.minimum(north, south), np.minimum(east, west))
            room -= np.float32(min(self.uses.rise, self.uses.edge, self.uses.walk))
            body = self._body.least(length)[: self.rows - depth + 1]
            room[body < depth - TOUCH] = -FAR
            while len(self._rooms) >= KEPT:
                del self._rooms[next(iter(self._rooms))]
            self._rooms[size] = room
        return self._rooms[size]

    def _bound(
        self,
        boxes: Boxes,
        clear: list[Floats],
        need: list[Floats],
        least: float,
        level: float,
    ) -> Floats:
        """The most that tightest margins can be; worked out as far as it reaches `least`."""
        bound = tightest(clear, need)
        if self._plain:
            return bound
        for passing in self.passings(level):
            live = np.flatnonzero(bound >= least)
            most = passing.most(
                boxes.take(live),
                [side[live] for side in clear],
                [side[live] for side in need],
                self.uses.walk,
                least,
            )
            bound[live] = np.minimum(bound[live], most)
        return bound

    def _needs(self, boxes: Boxes) -> list[Floats]:
        """The least that each side needs, whatever paths there are."""
        uses = self.uses
        count = len(boxes.row)
        if self._plain:
            return [np.full(count, min(uses.rise, uses.edge, uses.walk))] * 4
        if self._served is None:
            return [np.full(count, min(uses.rise, uses.walk))] * 4
        near, other = (
            sweep.at(boxes.length, boxes.depth, boxes.row, boxes.column) for sweep in self._served
        )
        needs = []
        for n, o in zip(near, other, strict=True):
            facing = n < FACING + TOUCH
            surely = (n < o - EVEN) & (n < FACING - TOUCH)
            never = ~facing | (n > o + EVEN)
            need = np.full(count, min(uses.rise, uses.edge, uses.walk))
            need[surely] = min(uses.edge, uses.walk)
            need[never] = min(uses.rise, uses.walk)
            needs.append(need)
        return needs
