"""What a piece takes from others, at many places at once: their sides' room, and openings it bars.

Only what is sure is said: of pieces whose needs fall on each side alike.
"""

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np

from roomwright.fit.bounds import Floats
from roomwright.fit.given import LOCALS
from roomwright.fit.kinds import Kind
from roomwright.fit.search_judge import Judge
from roomwright.fit.swings import BEFORE
from roomwright.shape import TOUCH, Point, Segment, inside, middle, outward, walls

BARRED = -1e6
"""No place at all."""


@dataclass(frozen=True, slots=True)
class _Strip:
    """The floor before a stretch of side: `start` and `along` it, `out` of it, and its length.

    `wanted` is what must be clear there, `clear` what is, `ignore` the kinds that may stand there.
    """

    start: Point
    along: Point
    out: Point
    length: float
    wanted: float
    clear: float = 0.0
    ignore: frozenset[str] = frozenset()

    @staticmethod
    def over(side: Segment, out: Point, wanted: float) -> "_Strip":
        """The strip before a side."""
        (ax, ay), (bx, by) = side
        length = float(np.hypot(bx - ax, by - ay)) or 1.0
        along = ((bx - ax) / length, (by - ay) / length)
        return _Strip((ax, ay), along, out, length, wanted)

    def into(self, corners: Floats) -> tuple[Floats, Floats]:
        """Points (n, k, 2) along the side and out from it [in]."""
        off = corners - self.start
        return off @ np.array(self.along), off @ np.array(self.out)


class Strips:
    """The sides of the pieces of a space, and its openings."""

    def __init__(self, judge: Judge) -> None:
        self._strips = list(_of_pieces(judge))
        self._doors = list(_of_openings(judge))

    def most(self, corners: Floats, kind: Kind) -> Floats:
        """The most that the tightest margin can be for boxes, by what they take from others.

        `corners` are theirs, in order round each (n, 4, 2).
        """
        most = np.full(len(corners), np.inf)
        for strip in self._strips:
            if kind.name in strip.ignore:
                continue
            off = _off(*strip.into(corners), strip.length)
            ahead = (off > -TOUCH) & (off < strip.clear - TOUCH)
            most = np.where(ahead, np.minimum(most, off.clip(0.0) - strip.wanted), most)
        for door in self._doors:
            low, high = _taken(*door.into(corners))
            low, high = low.clip(0.0, door.length), high.clip(0.0, door.length)
            free = np.maximum(low, door.length - high)
            most[(high - low > 2 * TOUCH) & (free < door.wanted - 1e-3)] = BARRED
        return most


def _off(along: Floats, out: Floats, length: float) -> Floats:
    """How far out from a side each box begins over it; infinite where it is nowhere over it."""
    a0, a1 = along, np.roll(along, -1, axis=1)
    q0, q1 = out, np.roll(out, -1, axis=1)
    low = np.minimum(a0, a1).clip(0.0, length)
    high = np.maximum(a0, a1).clip(0.0, length)
    run = np.where(np.abs(a1 - a0) < 1e-9, 1.0, a1 - a0)
    slope = (q1 - q0) / run
    least = np.minimum(q0 + (low - a0) * slope, q0 + (high - a0) * slope)
    return np.asarray(np.where(high - low > 2 * TOUCH, least, np.inf).min(axis=1))


def _taken(along: Floats, out: Floats) -> tuple[Floats, Floats]:
    """The stretch of an opening that each box stands before, as far as `BEFORE` off it."""
    a0, a1 = along, np.roll(along, -1, axis=1)
    q0, q1 = out, np.roll(out, -1, axis=1)
    low = np.minimum(q0, q1).clip(0.0, BEFORE)
    high = np.maximum(q0, q1).clip(0.0, BEFORE)
    level = np.abs(q1 - q0) < 1e-9
    rise = np.where(level, 1.0, q1 - q0)
    first = np.where(level, a0, a0 + (low - q0) * (a1 - a0) / rise)
    last = np.where(level, a1, a0 + (high - q0) * (a1 - a0) / rise)
    in_it = (q0 > 2 * TOUCH) & (q0 < BEFORE - 2 * TOUCH)  # what only touches it bars nothing
    within = np.where(level, in_it, high - low > 2 * TOUCH)
    left = np.where(within, np.minimum(first, last), np.inf).min(axis=1)
    right = np.where(within, np.maximum(first, last), -np.inf).max(axis=1)
    none = left > right
    return np.where(none, 0.0, left), np.where(none, 0.0, right)


def _of_pieces(judge: Judge) -> Iterator[_Strip]:
    ground = judge.ground
    for piece in ground.pieces:
        kind = piece.sort
        if (
            kind.loose
            or not piece.straight
            or piece.stools
            or any(n.take != "each" for n in kind.needs)
        ):
            continue
        own = ground.owners(ids=(piece.id,))
        for local, side in zip(LOCALS, walls(piece.box), strict=True):
            ahead = ground.ahead(side, own)
            clear = float("inf") if ahead is None else ahead.clear
            for wanted, ignore in _wanted(judge, piece.id, kind, local):
                strip = _Strip.over(side, outward(side), wanted)
                yield _Strip(
                    strip.start, strip.along, strip.out, strip.length, wanted, clear, ignore
                )


def _wanted(
    judge: Judge, piece: str, kind: Kind, local: str
) -> Iterator[tuple[float, frozenset[str]]]:
    """What a side surely needs, and the kinds that may stand there."""
    if kind.seats:
        uses = [judge.needs.get(f"dining.{use}") for use in ("rise", "edge_past", "walk_past")]
        known = [use for use in uses if use is not None]
        if known and piece not in {said for said, _ in judge.space.overrides}:
            yield min(known), frozenset()
        return
    for need in kind.needs:
        wanted = judge.needs.get(need.figure)
        if wanted is not None and local in need.sides and not need.wall and not need.centerline:
            yield wanted, need.ignore


def _of_openings(judge: Judge) -> Iterator[_Strip]:
    least = judge.needs.get("walkway.minimum") or 0.0
    outlines = {room.id: room.outline for room in judge.space.rooms}
    for opening in judge.space.openings:
        outline = outlines.get(opening.room)
        if outline is None or opening.width <= TOUCH:
            continue
        (ax, ay), (bx, by) = opening.segment
        across = ((by - ay) / opening.width, (ax - bx) / opening.width)
        mx, my = middle(opening.segment)
        if not inside((mx + across[0], my + across[1]), outline, 0.0):
            across = -across[0], -across[1]
        yield _Strip.over(opening.segment, across, min(least, opening.width))
