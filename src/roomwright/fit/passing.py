"""On which side of a table a walk path runs, which of its sides it crosses, and how wide it is.

For many places of a table at once, without finding any line: from the distances of the table to the
two banks of the way (see `roomwright.fit.banks`). What is said here is sure; where it is not, the
milder is taken, so that a bound made from it is never too low.
"""

from collections.abc import Callable, Sequence
from dataclasses import dataclass

import numpy as np

from roomwright.fit.banks import Bank
from roomwright.fit.bounds import TOUCHING, Bools, Floats, Ints
from roomwright.fit.sweep import FAR, Four, Sweep
from roomwright.shape import TOUCH

SLIDE = 0.5
"""A place on the grid may be slid by up to this along each of its directions [in]."""

_SLACK = 4 * TOUCH
_AT_ONCE = 4096


@dataclass(frozen=True, slots=True, eq=False)
class Boxes:
    """Boxes of one size on the grid, by the row and column of their southwest corners."""

    length: int
    depth: int
    row: Ints
    column: Ints

    def take(self, which: Ints | slice) -> "Boxes":
        """Some of the boxes."""
        return Boxes(self.length, self.depth, self.row[which], self.column[which])


class Passing:
    """One way on a grid, for tables that leave it at least so wide.

    Parameters
    ----------
    found
        The left and the right bank for a body `wide` [in].
    into
        Takes points (n, 2) to the coordinates of the grid.
    grids
        Distances on the grid to a set of edges (n, 4) in its coordinates.
    wide, keep
        The least width that the way is to have, and how far its line keeps from what is solid.
    width, wanted
        Its width without the table, and the figure it is held against [in].
    depth
        Depth of the zone in which a side is walked past [in].
    line
        Points (n, 2) of its line without the table, on the grid.
    clear_of
        A table this far off the line leaves it as it is [in].
    """

    def __init__(
        self,
        found: tuple[Bank, Bank],
        into: Callable[[Floats], Floats],
        grids: Callable[[Floats], Four],
        *,
        wide: float,
        keep: float,
        width: float,
        wanted: float,
        depth: float,
        line: Floats,
        clear_of: float,
    ) -> None:
        self.clear_of = clear_of
        self._line = np.hstack([line[:-1], line[1:]])
        self.wide, self.width, self.wanted, self.depth = wide, width, wanted, depth

        def lines(edges: Floats) -> Floats:
            return np.hstack([into(edges[:, :2]), into(edges[:, 2:])])

        self._banks = lines(found[0].solid), lines(found[1].solid)
        self._rest = lines(found[0].rest)
        solid = [grids(edges) for edges in (*self._banks, self._rest)]
        self._reach = [
            _reach(solid[k], grids(lines(found[k].shore)), (solid[1 - k], solid[2]), keep)
            for k in (0, 1)
        ]

    def most(
        self,
        boxes: Boxes,
        clear: Sequence[Floats],
        need: Sequence[Floats],
        walk: float,
        least: float,
    ) -> Floats:
        """The most that the tightest margin of each box can be, as far as this way decides it.

        `clear` and `need` are those of its sides (north, south, east, west) where nobody walks
        past, `walk` the need of a side that is walked past. Worked out only as far as it
        reaches `least`.
        """
        past = [_walked(clear, need, walk, sides) for sides in self.crossed(boxes)]
        most = np.full(len(boxes.row), -np.inf)
        maybe = np.flatnonzero(np.maximum(*past) >= least)
        if not len(maybe):
            return most
        some = boxes.take(maybe)
        left, right, margin = self.sides(some)
        either = np.maximum(
            np.where(left, past[0][maybe], -np.inf), np.where(right, past[1][maybe], -np.inf)
        )
        away, crossed = self.unchanged(some)
        as_is = _walked([c[maybe] for c in clear], [n[maybe] for n in need], walk, crossed)
        most[maybe] = np.minimum(either, np.where(away, as_is, margin))
        return most

    def crossed(self, boxes: Boxes) -> tuple[list[Bools], list[Bools]]:
        """Sides north, south, east and west crossed by a line left, or right, of the box."""
        left, right = (
            [seen < self.depth - _SLACK for seen in reach.at(*_args(boxes))]
            for reach in self._reach
        )
        return left, right

    def unchanged(self, boxes: Boxes) -> tuple[Bools, list[Bools]]:
        """Boxes that leave the line where it is, and the sides that it surely crosses there."""
        away = _nearest(boxes, self._line).off >= self.clear_of
        some = boxes.take(np.flatnonzero(away))
        west, south = some.column.astype(float), some.row.astype(float)
        east, north = west + boxes.length, south + boxes.depth
        d, s = self.depth - _SLACK, _SLACK
        zones = (
            (west, south, east, north),
            (west + s, north + s, east - s, north + d),
            (west + s, south - d, east - s, south - s),
            (east + s, south + s, east + d, north - s),
            (west - d, south + s, west - s, north - s),
        )
        through = np.zeros((5, len(away)), dtype=bool)
        for k, zone in enumerate(zones):
            through[k, away] = _through(self._line, *zone)
        return away & ~through[0], list(through[1:])

    def sides(self, boxes: Boxes) -> tuple[Bools, Bools, Floats]:
        """Whether the line may run left of each box, or right; and the most the way's margin is.

        For boxes that leave the way narrower than `wide` it may do neither.
        """
        solid = np.concatenate([*self._banks, self._rest])
        count = len(boxes.row)
        left, right = np.ones(count, dtype=bool), np.ones(count, dtype=bool)
        margin = np.full(count, np.inf)
        for start in range(0, count, _AT_ONCE):
            part = slice(start, start + _AT_ONCE)
            here = boxes.take(part)
            to = [_nearest(here, edges) for edges in self._banks]
            most = [np.where(_blocked(n, solid), np.inf, n.off) for n in to]
            rest = _nearest(here, self._rest).off if len(self._rest) else np.inf
            least = [np.minimum(n.off, rest) for n in to]
            for k, may in ((0, left), (1, right)):
                other = 1 - k
                narrow = most[k] < self.wide - TOUCHING
                beaten = (most[k] < least[other] - TOUCHING) & (most[k] < self.width - TOUCHING)
                may[part] = ~(narrow | beaten)
            widest = np.maximum(*most)
            margin[part] = np.where(widest < self.width - 1e-3, widest - self.wanted, np.inf)
        return left, right, margin


def _reach(solid: Four, shore: Four, others: tuple[Four, Four], keep: float) -> Sweep:
    """Straight distance to where a line that keeps off a bank cannot run beyond.

    Where something else is met first, nothing is known.
    """
    grids = []
    for s, h, a, b in zip(solid, shore, *others, strict=True):
        other = np.minimum(a, b)
        known = np.minimum(
            np.where(other < s, FAR, s - np.float32(keep)), np.where(other < h, FAR, h)
        )
        grids.append(known)
    return Sweep(*grids)


def _args(boxes: Boxes) -> tuple[int, int, Ints, Ints]:
    return boxes.length, boxes.depth, boxes.row, boxes.column


@dataclass(frozen=True, slots=True, eq=False)
class _Near:
    """Nearest points of boxes and edges: p on the box, q on an edge, and how far off."""

    off: Floats
    px: Floats
    py: Floats
    qx: Floats
    qy: Floats


def _nearest(boxes: Boxes, edges: Floats) -> _Near:
    """From a corner of the box to an edge, or from an end of an edge to the box."""
    west, south = boxes.column.astype(float), boxes.row.astype(float)
    east, north = west + boxes.length, south + boxes.depth
    ax, ay, bx, by = edges.T
    dx, dy = bx - ax, by - ay
    square = dx * dx + dy * dy
    square[square == 0] = 1.0
    cx = np.stack([west, east, east, west], axis=1)
    cy = np.stack([south, south, north, north], axis=1)
    ux, uy = cx[:, :, None] - ax, cy[:, :, None] - ay
    t = ux * dx
    t += uy * dy
    t /= square
    np.clip(t, 0.0, 1.0, out=t)
    ux -= t * dx
    uy -= t * dy
    off = (ux * ux + uy * uy).reshape(len(west), -1)
    every = np.arange(len(west))
    best = off.argmin(axis=1)
    corner, edge = best // len(ax), best % len(ax)
    px, py = cx[every, corner], cy[every, corner]
    along = t[every, corner, edge]
    qx, qy = ax[edge] + along * dx[edge], ay[edge] + along * dy[edge]
    over = np.maximum(west[:, None] - ax, ax - east[:, None])
    up = np.maximum(south[:, None] - ay, ay - north[:, None])
    np.maximum(over, 0.0, out=over)
    np.maximum(up, 0.0, out=up)
    ends = over * over + up * up
    end = ends.argmin(axis=1)
    nearer = ends[every, end] < off[every, best]
    qx, qy = np.where(nearer, ax[end], qx), np.where(nearer, ay[end], qy)
    px = np.where(nearer, np.clip(qx, west, east), px)
    py = np.where(nearer, np.clip(qy, south, north), py)
    return _Near(np.hypot(qx - px, qy - py), px, py, qx, qy)


def _through(lines: Floats, west: Floats, south: Floats, east: Floats, north: Floats) -> Bools:
    """Whether any of some segments meets each box."""
    ax, ay, bx, by = lines.T
    first, last = np.zeros((len(west), len(ax))), np.ones((len(west), len(ax)))
    for start, run, low, high in ((ax, bx - ax, west, east), (ay, by - ay, south, north)):
        still = np.abs(run) < 1e-9
        run = np.where(still, 1.0, run)
        t0, t1 = (low[:, None] - start) / run, (high[:, None] - start) / run
        outside = (start < low[:, None]) | (start > high[:, None])
        first = np.maximum(first, np.where(still, np.where(outside, 2.0, 0.0), np.minimum(t0, t1)))
        last = np.minimum(last, np.where(still, 1.0, np.maximum(t0, t1)))
    return np.asarray((first <= last).any(axis=1))


def _blocked(near: _Near, edges: Floats) -> Bools:
    """Whether something solid stands between the nearest points."""
    ax, ay, bx, by = edges.T
    px, py = near.px[:, None], near.py[:, None]
    ex, ey = near.qx[:, None] - px, near.qy[:, None] - py
    a = ex * (ay - py) - ey * (ax - px)
    b = ex * (by - py) - ey * (bx - px)
    dx, dy = bx - ax, by - ay
    cross = ex * dy - ey * dx
    level = np.abs(cross) < 1e-12
    t = ((ax - px) * dy - (ay - py) * dx) / np.where(level, 1.0, cross)
    length = np.maximum(near.off[:, None], 1e-9)
    within = (t * length > TOUCHING) & ((1 - t) * length > TOUCHING)
    return np.asarray((~level & within & ((a > 0) != (b > 0))).any(axis=1))


def _walked(
    clear: Sequence[Floats], need: Sequence[Floats], walk: float, sides: Sequence[Bools]
) -> Floats:
    """The tightest margin if these sides are walked past."""
    return tightest(clear, [np.where(s, walk, n) for s, n in zip(sides, need, strict=True)])


def tightest(clear: Sequence[Floats], need: Sequence[Floats]) -> Floats:
    """The tightest of the margins north, south, east and west, place by place.

    Opposite margins may be evened out by sliding the box by up to `SLIDE`.
    """
    north, south, east, west = (c - n for c, n in zip(clear, need, strict=True))
    return np.minimum(_evened(north, south), _evened(east, west))


def _evened(one: Floats, other: Floats) -> Floats:
    return np.minimum(one, other) + np.minimum(np.abs(one - other) / 2, SLIDE)
