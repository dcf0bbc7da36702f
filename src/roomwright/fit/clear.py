"""Clear distance straight out from a side of a piece: a directional sweep, exact for polygons.

The strip that a side sweeps is cut against every edge at once; the least distance at which any
edge is met is the clear distance, and the place where it is met is what a drawing dimensions.
"""

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from roomwright.shape import TOUCH, Point, Segment

LEAN = 0.5
"""What runs along beside a strip may lean into it by this much and not count [in]; our own figure.

Walls are never quite square to each other: a vanity in its corner would else have nothing in front.
"""

STEEP = math.tan(math.radians(3))
"""An edge within 3 degrees of straight out runs along beside the strip."""


class Edges:
    """The sides of many outlines in arrays, ready for repeated clear-distance questions.

    Parameters
    ----------
    outlines
        Rings of points; a ring's place in this list is its *owner* number.
    within
        How many rings at the front of the list enclose the free floor (the room and the rings
        of its holes); the others stand on it.
    """

    __slots__ = ("a", "b", "owner", "wall", "within")

    def __init__(self, outlines: Iterable[Sequence[Point]], within: int = 0) -> None:
        starts: list[Point] = []
        ends: list[Point] = []
        owner: list[int] = []
        wall: list[int] = []
        for number, outline in enumerate(outlines):
            starts += outline
            ends += (*outline[1:], outline[0])
            owner += [number] * len(outline)
            wall += range(len(outline))
        self.a: NDArray[np.float64] = np.array(starts, dtype=float).reshape(-1, 2)
        self.b: NDArray[np.float64] = np.array(ends, dtype=float).reshape(-1, 2)
        self.owner: NDArray[np.int64] = np.array(owner, dtype=np.int64)
        self.wall: NDArray[np.int64] = np.array(wall, dtype=np.int64)
        self.within = within


@dataclass(frozen=True, slots=True)
class Ahead:
    """What a side meets first, straight out.

    `clear` is the distance [in], `owner` and `wall` say which ring and which side of it was
    met, `p` (on the side) and `q` (on what was met) are the ends of that distance.
    """

    clear: float
    owner: int
    wall: int
    p: Point
    q: Point


def clear_ahead(
    side: Segment, edges: Edges, skip: Sequence[int] = (), tolerance: float = TOUCH
) -> Ahead | None:
    """The least distance from a side straight out, over its width, to anything in `edges`.

    `side` is a side of an anticlockwise outline, so that straight out is to its right. What
    lies beside the strip that the side sweeps (or reaches into it by less than `tolerance`) does
    not count, nor does what runs along beside it and leans into it by less than `LEAN`. What
    already covers a part of the side is met at 0. Exact for any polygons at any angle. `skip`
    names owners to leave out. None if the strip meets nothing.

    >>> room = Edges([[(0, 0), (162, 0), (162, 150), (0, 150)]], within=1)
    >>> clear_ahead(((123, 63), (123, 105)), room)
    Ahead(clear=39.0, owner=0, wall=1, p=(123.0, 84.0), q=(162.0, 84.0))
    """
    (px, py), (qx, qy) = side
    width = math.dist(*side)
    tx, ty = (qx - px) / width, (qy - py) / width
    frame = np.array([[tx, ty], [ty, -tx]])
    origin = np.array([px, py])
    a, b = (edges.a - origin) @ frame, (edges.b - origin) @ frame
    ua, va, ub, vb = a[:, 0], a[:, 1], b[:, 0], b[:, 1]
    live = np.ones(len(ua), dtype=bool)
    for number in skip:
        live &= edges.owner != number

    def ahead(clear: float, which: int, along: float) -> Ahead:
        start = (px + along * tx, py + along * ty)
        end = (start[0] + clear * ty, start[1] - clear * tx)
        return Ahead(clear, int(edges.owner[which]), int(edges.wall[which]), start, end)

    beside = np.abs(ub - ua) <= STEEP * np.abs(vb - va)
    near = np.where(beside, min(LEAN, width / 4), 0.0)
    covered = _covering(ua, va, ub, vb, live, width, edges, tolerance, near)
    if covered is not None:
        return ahead(0.0, covered, width / 2)

    low = np.minimum(ua, ub).clip(near, width - near)
    high = np.maximum(ua, ub).clip(near, width - near)
    live &= high - low > tolerance
    if not live.any():
        return None
    run = np.where(live, ub - ua, 1.0)
    slope = (vb - va) / run
    v_low, v_high = va + (low - ua) * slope, va + (high - ua) * slope
    live &= np.maximum(v_low, v_high) > tolerance  # the rest lies behind, or touches from behind
    nearest = np.where(live, np.minimum(v_low, v_high).clip(0.0), np.inf)
    which = int(nearest.argmin())
    clear = float(nearest[which])
    if clear == math.inf:
        return None
    first, last = float(v_low[which]), float(v_high[which])
    if abs(first - last) <= 1e-9:
        along = float(low[which] + high[which]) / 2
    else:
        along = float(low[which] if first < last else high[which])
    return ahead(clear, which, along)


def _covering(
    ua: NDArray[np.float64],
    va: NDArray[np.float64],
    ub: NDArray[np.float64],
    vb: NDArray[np.float64],
    live: NDArray[np.bool_],
    width: float,
    edges: Edges,
    tolerance: float,
    near: NDArray[np.float64],
) -> int | None:
    """Index of an edge of something that covers part of the side, or None.

    Either an edge cuts the line just outside the side, or the middle of that line is inside a
    body (or outside the room): then an odd (even) number of its edges lie ahead.
    """
    da, db = va - tolerance, vb - tolerance
    cuts = live & ((da > 0) != (db > 0))
    if cuts.any():
        drop = np.where(cuts, da - db, 1.0)
        at = ua + (ub - ua) * da / drop
        cuts &= (at > near + tolerance) & (at < width - near - tolerance)
        if cuts.any():
            return int(cuts.argmax())
    half = width / 2
    over = live & ((ua > half) != (ub > half))
    if not over.any():
        return None
    run = np.where(over, ub - ua, 1.0)
    level = va + (half - ua) * (vb - va) / run
    lie_ahead = over & (level > tolerance)
    counts = np.bincount(edges.owner[lie_ahead], minlength=int(edges.owner.max()) + 1)
    if edges.within and counts[: edges.within].sum() % 2 == 0:
        wall = over & (edges.owner < edges.within)
        return int(np.where(wall, -np.abs(level), -np.inf).argmax())
    odd = np.flatnonzero(counts[edges.within :] % 2) + edges.within
    if len(odd):
        return int((edges.owner == odd[0]).argmax())
    return None
