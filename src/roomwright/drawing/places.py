"""Finding a place for every text of a drawing, so that no two of them ever overlap.

Each text comes with candidate places. A place is refused where its plate would touch a plate that
is already down, a wall, or the edge, or where the line it belongs to would run under one;
among those left, the one that covers the least of the drawing's lines wins. A text without
any candidate left gets a leader: the nearest free place, with a line to what it names.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field

import numpy as np
import shapely
from numpy.typing import NDArray

from roomwright.shape import Point, Segment

Floats = NDArray[np.float64]

Rect = tuple[float, float, float, float]
"""Left, top, right, bottom in drawing units."""

APART = 1.0
"""Two plates stay this far apart [units]."""

THROUGH_WALL = 3.0
"""Cost of each unit of a line that runs through a wall."""

NEAR = 2.0
"""Lines closer than this run on top of each other [units]."""

ALONG = 0.6
"""Cost of a line on top of another, as a part of the cost of covering it."""

CHUNK = 256
"""Places for a leader's text that are looked at together."""

LEADERS_TRIED = 80


@dataclass(frozen=True, slots=True)
class Spot:
    """A candidate: the plates of a text's lines as one box, the lines drawn with it, its cost.

    `variant` says which wording of the text goes there.
    """

    box: Rect
    lines: tuple[Segment, ...] = ()
    cost: float = 0.0
    turned: bool = False
    leader: Segment | None = None
    variant: int = 0


@dataclass(slots=True)
class Board:
    """A drawing's surface: what stands on it already, and what a new text may not touch."""

    width: float
    height: float
    walls: shapely.Geometry | None = None
    boxes: list[tuple[str, Rect]] = field(default_factory=list)
    _ink: list[tuple[Segment, float]] = field(default_factory=list)
    _arrays: tuple[Floats, Floats] | None = None

    def __post_init__(self) -> None:
        if self.walls is not None:
            shapely.prepare(self.walls)

    def add_ink(self, lines: Iterable[Segment], weight: float) -> None:
        """Lines that are better not covered; `weight` is the cost per unit covered."""
        self._ink += [(each, weight) for each in lines]
        self._arrays = None

    def take(self, name: str, spot: Spot) -> None:
        """Put a text down."""
        self.boxes.append((name, spot.box))
        self.add_ink(spot.lines, 2.0)
        if spot.leader:
            self.add_ink([spot.leader], 1.0)

    def place(self, name: str, spots: Sequence[Spot]) -> Spot | None:
        """Take the cheapest candidate that touches nothing, or None if none is free."""
        free, lines, owner = self._free(spots)
        if not free:
            return None
        boxes = np.array([spot.box for spot in free])
        cost = np.array([spot.cost for spot in free]) + self._covered(boxes)
        if len(lines):
            added = THROUGH_WALL * self._through_walls(lines) + self._along(lines)
            np.add.at(cost, owner, added)
        best = free[int(cost.argmin())]
        self.take(name, best)
        return best

    def lead(
        self,
        name: str,
        at: Point,
        size: tuple[float, float],
        lines: tuple[Segment, ...] = (),
        avoid: shapely.Geometry | None = None,
    ) -> Spot | None:
        """Take the nearest free place for a text of this size, with a leader to `at`.

        `lines` are drawn with it whatever the place; it stays off `avoid`, the leader does not.
        """
        w, h = size
        step = max(4.0, h / 2)
        xs = np.arange(0.0, max(self.width - w, 0.0) + 0.1, step)
        ys = np.arange(0.0, max(self.height - h, 0.0) + 0.1, step)
        if not len(xs) or not len(ys):
            return None
        left, top = (a.ravel() for a in np.meshgrid(xs, ys))
        near = np.hypot(
            np.clip(at[0], left, left + w) - at[0], np.clip(at[1], top, top + h) - at[1]
        )
        covers = (left < at[0]) & (at[0] < left + w) & (top < at[1]) & (at[1] < top + h)
        order = near.argsort(kind="stable")
        order = order[~covers[order]]
        every = np.stack([left, top, left + w, top + h], axis=1)[order]
        if avoid is not None:
            shapely.prepare(avoid)
        found: list[Floats] = []
        for start in range(0, len(every), CHUNK):  # the nearest first, until there are enough
            boxes = every[start : start + CHUNK]
            boxes = boxes[self._clear(boxes)]
            if avoid is not None and len(boxes):
                boxes = boxes[~shapely.intersects(avoid, shapely.box(*boxes.T))]
            found.append(boxes)
            if sum(map(len, found)) >= LEADERS_TRIED:
                break
        boxes = np.concatenate(found) if found else every
        spots = [self._led(tuple(box), at, lines) for box in boxes[:LEADERS_TRIED].tolist()]
        return self.place(name, spots)

    def below(
        self, name: str, at: Point, size: tuple[float, float], lines: tuple[Segment, ...] = ()
    ) -> Spot:
        """Take a place in a new row under the drawing, which grows by it; the last resort."""
        w, h = size
        left = min(max(0.0, at[0] - w / 2), max(0.0, self.width - w))
        spot = self._led((left, self.height + APART, left + w, self.height + APART + h), at, lines)
        self.height += h + 2 * APART
        self.take(name, spot)
        return spot

    def _led(self, box: Rect, at: Point, lines: tuple[Segment, ...] = ()) -> Spot:
        x = min(max(at[0], box[0]), box[2])
        y = min(max(at[1], box[1]), box[3])
        leader = ((x, y), at)
        long = float(np.hypot(x - at[0], y - at[1]))
        return Spot(box, lines, long, leader=leader)

    def _free(self, spots: Sequence[Spot]) -> tuple[list[Spot], Floats, NDArray[np.int64]]:
        """The spots that touch nothing, all their lines, and which spot each line belongs to."""
        none = np.empty((0, 2, 2)), np.empty(0, dtype=np.int64)
        if not spots:
            return [], *none
        clear = self._clear(np.array([spot.box for spot in spots], dtype=float))
        free = [spot for spot, fine in zip(spots, clear, strict=True) if fine]
        lines, owner = _lines_of(free)
        if not self.boxes or not len(lines):
            return free, lines, owner
        plates = np.array([box for _, box in self.boxes])
        under = crossed(lines, plates).any(axis=1)
        barred = np.zeros(len(free), dtype=bool)
        barred[owner[under]] = True
        kept = ~barred[owner]
        renumbered = np.cumsum(~barred) - 1
        left = [spot for spot, bad in zip(free, barred, strict=True) if not bad]
        return left, lines[kept], renumbered[owner[kept]]

    def _along(self, lines: Floats) -> Floats:
        """For each line, the cost of running on top of other lines."""
        total = np.zeros(len(lines))
        level = (np.ptp(lines, axis=1) < NEAR).any(axis=1)
        if self._ink and level.any():
            some = lines[level]
            thin = np.concatenate([some.min(axis=1) - NEAR, some.max(axis=1) + NEAR], axis=1)
            total[level] = ALONG * self._covered(thin)
        return total

    def _through_walls(self, lines: Floats) -> Floats:
        """For each line, the length of it that would run through walls."""
        total = np.zeros(len(lines))
        if self.walls is None:
            return total
        runs: NDArray[np.object_] = np.atleast_1d(np.asarray(shapely.linestrings(lines)))
        met = shapely.intersects(self.walls, runs)
        if met.any():
            total[met] = shapely.length(shapely.intersection(self.walls, runs[met]))
        return total

    def _clear(self, boxes: Floats) -> NDArray[np.bool_]:
        """Which boxes lie on the board and touch no plate and no wall."""
        inside = (
            (boxes[:, 0] >= 0)
            & (boxes[:, 1] >= 0)
            & (boxes[:, 2] <= self.width + 1e-6)
            & (boxes[:, 3] <= self.height + 1e-6)
        )
        if self.boxes:
            plates = np.array([box for _, box in self.boxes])
            inside &= ~overlapping(boxes, plates, APART).any(axis=1)
        if self.walls is not None and inside.any():
            here = np.flatnonzero(inside)
            inside[here] &= ~shapely.intersects(self.walls, shapely.box(*boxes[here].T))
        return inside

    def _covered(self, boxes: Floats) -> Floats:
        """Cost of the lines that each box covers."""
        if not self._ink:
            return np.zeros(len(boxes))
        if self._arrays is None:
            self._arrays = (
                np.array([line for line, _ in self._ink]),
                np.array([weight for _, weight in self._ink]),
            )
        lines, weights = self._arrays
        return np.asarray(crossed(lines, boxes).T @ weights)


def _lines_of(spots: Sequence[Spot]) -> tuple[Floats, NDArray[np.int64]]:
    """All lines of some spots (n, 2, 2), and which spot each belongs to."""
    lines: list[Segment] = []
    owner: list[int] = []
    for number, spot in enumerate(spots):
        mine = (*spot.lines, spot.leader) if spot.leader else spot.lines
        lines += mine
        owner += [number] * len(mine)
    return np.array(lines, dtype=float).reshape(-1, 2, 2), np.array(owner, dtype=np.int64)


def overlapping(a: Floats, b: Floats, apart: float = 0.0) -> NDArray[np.bool_]:
    """For each rectangle of `a` (n, 4) and of `b` (m, 4), whether they come closer than `apart`."""
    return np.asarray(
        (a[:, None, 0] < b[None, :, 2] + apart)
        & (b[None, :, 0] < a[:, None, 2] + apart)
        & (a[:, None, 1] < b[None, :, 3] + apart)
        & (b[None, :, 1] < a[:, None, 3] + apart)
    )


def crossed(lines: Floats, boxes: Floats) -> Floats:
    """Length of each line (n, 2, 2) inside each box (m, 4), by clipping (Liang and Barsky 1984).

    >>> crossed(np.array([((0., 5.), (20., 5.))]), np.array([(4., 0., 10., 9.)]))
    array([[6.]])
    """
    low, high = lines.min(axis=1), lines.max(axis=1)
    near = overlapping(np.concatenate([low, high], axis=1), boxes)
    which, of = near.nonzero()  # few lines come near a box: only those are clipped
    p, d = lines[which, 0], lines[which, 1] - lines[which, 0]
    still = np.abs(d) < 1e-12  # such a line lies between the box's sides, or it were not near
    safe = np.where(still, 1.0, d)
    first, last = (boxes[of, :2] - p) / safe, (boxes[of, 2:] - p) / safe
    enter = np.where(still, 0.0, np.minimum(first, last)).max(axis=1, initial=0.0)
    leave = np.where(still, 1.0, np.maximum(first, last)).min(axis=1, initial=1.0)
    inside = np.zeros(near.shape)
    inside[which, of] = np.maximum(leave - enter, 0.0) * np.hypot(d[:, 0], d[:, 1])
    return inside
