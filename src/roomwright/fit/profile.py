"""Clear distance straight out from a piece that is no rectangle: its profile against the rest.

Seen along one direction an L, an oval or a drawn outline has a *profile*: how far out it reaches at
each place along its width. The clear distance of that side is the least way straight out, from
the profile to whatever stands before it. Both are made of straight edges, so the least lies at a
corner of one of them: every such place is weighed, on both sides of each, and the answer is exact.
"""

import math
from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from roomwright.fit.clear import Ahead, Edges
from roomwright.shape import TOUCH, Outline, Segment

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]
Bools = NDArray[np.bool_]

HAIR = 1e-7
"""So far to either side of a corner its neighborhood is looked at [in]."""


def clear_from(
    outline: Outline, side: Segment, edges: Edges, skip: Sequence[int] = ()
) -> Ahead | None:
    """The least distance straight out from an outline in the direction that a side of it faces.

    Parameters
    ----------
    outline
        The outline, anticlockwise.
    side
        The side of its box whose direction counts; straight out is to its right.
    edges, skip
        What it may meet, and the owners that do not count, as in `clear_ahead`.

    Returns
    -------
    Ahead or None
        The distance and its two ends, the first on the outline; None if it meets nothing. What
        covers a part of the outline is met at 0. What reaches into the strip by less than
        1/64 in. does not count.

    Examples
    --------
    A chaise 24 in. forward of the seat, and a wall 60 in. before the seat: 36 before the chaise.

    >>> sofa = ((0, 0), (100, 0), (100, 62), (64, 62), (64, 38), (0, 38))
    >>> room = Edges([((0, 0), (200, 0), (200, 98), (0, 98))], within=1)
    >>> clear_from(sofa, ((100, 62), (0, 62)), room).clear
    36.0
    """
    (px, py), (qx, qy) = side
    width = math.dist(*side)
    tx, ty = (qx - px) / width, (qy - py) / width
    frame = np.array([[tx, ty], [ty, -tx]])
    origin = np.array([px, py])
    own = (np.array(outline, dtype=float) - origin) @ frame
    low, high = float(own[:, 0].min()), float(own[:, 0].max())
    if high - low <= 2 * TOUCH:
        return None
    keep = ~np.isin(edges.owner, list(skip)) if len(skip) else np.ones(len(edges.owner), bool)
    which = np.flatnonzero(keep)
    a, b = (edges.a[which] - origin) @ frame, (edges.b[which] - origin) @ frame
    into = np.minimum(np.maximum(a[:, 0], b[:, 0]), high) - np.maximum(
        np.minimum(a[:, 0], b[:, 0]), low
    )
    near = (into > TOUCH) & (np.maximum(a[:, 1], b[:, 1]) > own[:, 1].min())
    which, a, b = which[near], a[near], b[near]
    if not len(which):
        return None
    at = _places(own[:, 0], np.concatenate([a[:, 0], b[:, 0]]), low, high)
    # How far out the outline reaches there, and each edge: one row a place, one column an edge.
    reach = _levels(own, np.roll(own, -1, axis=0), at).max(axis=1)
    gap = _levels(a, b, at) - reach[:, None]
    before = gap > TOUCH
    within = (at > low + TOUCH) & (at < high - TOUCH)
    covered = _covered(before & within[:, None], within, edges.owner[which], edges.within)
    if covered is not None:
        place, edge = covered
        clear = 0.0
    else:
        gap = np.where(before, gap, np.inf)
        place, edge = (int(k) for k in np.unravel_index(int(gap.argmin()), gap.shape))
        clear = float(gap[place, edge])
    if not math.isfinite(clear):
        return None
    along, out = float(at[place]), float(reach[place])
    start = (px + along * tx + out * ty, py + along * ty - out * tx)
    end = (start[0] + clear * ty, start[1] - clear * tx)
    number = int(which[edge])
    return Ahead(clear, int(edges.owner[number]), int(edges.wall[number]), start, end)


def _places(own: Floats, others: Floats, low: float, high: float) -> Floats:
    """Places along the width to weigh: beside every corner, and at the ends of the strip."""
    corners = np.concatenate([own, others])
    corners = corners[(corners > low + HAIR) & (corners < high - HAIR)]
    at = np.concatenate([corners - HAIR, corners + HAIR, [low + HAIR, high - HAIR]])
    found: Floats = np.unique(at)
    return found


def _covered(before: Bools, strip: Bools, owner: Ints, within: int) -> tuple[int, int] | None:
    """A place where the outline's reach lies in a body or outside the room, and an edge of that.

    From inside a body an odd number of its edges lie straight ahead; from inside the room, of
    all its rings together.
    """
    starts = np.flatnonzero(np.append(True, owner[1:] != owner[:-1]))
    counts = np.add.reduceat(before.astype(np.int64), starts, axis=1)
    rings = owner[starts] < within
    if within:
        out = np.flatnonzero(strip & (counts[:, rings].sum(axis=1) % 2 == 0))
        if len(out):
            wall = np.flatnonzero(owner < within)
            return int(out[0]), int(wall[0]) if len(wall) else 0
    odd = np.argwhere((counts % 2 == 1) & ~rings)
    return (int(odd[0, 0]), int(starts[odd[0, 1]])) if len(odd) else None


def _levels(a: Floats, b: Floats, at: Floats) -> Floats:
    """How far out each edge lies at each place; minus infinity where it does not reach there."""
    spans = (a[:, 0] > at[:, None]) != (b[:, 0] > at[:, None])
    run = np.where(a[:, 0] == b[:, 0], 1.0, b[:, 0] - a[:, 0])
    level = a[:, 1] + (at[:, None] - a[:, 0]) / run * (b[:, 1] - a[:, 1])
    return np.where(spans, level, -np.inf)
