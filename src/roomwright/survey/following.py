"""Which diagonal to take next: the one that lowers the largest detectable error most."""

from __future__ import annotations

import math
from collections.abc import Sequence

import numpy as np
import shapely

from .model import DELTA0, Array, Diagonal, Tape
from .network import NO_SPARE, shares

ALONG_WALL = 1.5  # a tape this near a wall runs along it [in]
WORTH = 0.98  # a diagonal that leaves more of the largest error than this is not worth taking
MOST_TRIED = 300  # of more diagonals only so many are tried


def diagonals(xy: Array) -> list[tuple[int, int]]:
    """Pairs of corners between which a tape runs straight over the floor, not along a wall.

    >>> diagonals(np.array([[0, 0], [162, 0], [162, 150], [0, 150]]))
    [(0, 2), (1, 3)]
    """
    count = len(xy)
    room = shapely.Polygon(xy)
    if count < 4 or not room.is_valid:
        return []
    pairs = [(i, j) for i in range(count) for j in range(i + 2, count) if (i, j) != (0, count - 1)]
    lines = np.array([shapely.LineString([xy[i], xy[j]]) for i, j in pairs], dtype=object)
    within = room.buffer(0.25)
    band = room.boundary.buffer(ALONG_WALL)
    shapely.prepare(within)
    clear = shapely.covers(within, lines)
    hugging = np.zeros(len(pairs))
    hugging[clear] = shapely.length(shapely.intersection(lines[clear], band))
    fine = clear & (hugging <= np.maximum(0.25 * shapely.length(lines), 6 * ALONG_WALL))
    return [pair for pair, good in zip(pairs, fine, strict=True) if good]


def next_diagonal(
    names: Sequence[str], xy: Array, cofactor: Array, scaled: Array, sigma: Array, tape: Tape
) -> Diagonal | None:
    """The best next diagonal, or None where none helps.

    `scaled` holds the readings in use over their `sigma`, (m, 2 n); each candidate is tried by
    a rank-one update of the cofactor.
    """
    pairs = diagonals(xy)
    if not pairs or not len(scaled):
        return None
    i, j = np.array(pairs).T
    step = xy[j] - xy[i]
    d = np.hypot(step[:, 0], step[:, 1])
    sd = tape.sigma + tape.scale * d
    across = np.zeros((len(pairs), len(xy), 2))
    each = np.arange(len(pairs))
    across[each, j] = step / (d * sd)[:, None]
    across[each, i] = -across[each, j]
    rows = across.reshape(len(pairs), -1)
    carried = cofactor @ rows.T  # (2 n, c)
    if len(pairs) > MOST_TRIED:  # those of which the readings so far tell least
        told = np.argsort(-np.sum(rows.T * carried, axis=0), kind="stable")[:MOST_TRIED]
        rows, carried, d, sd = rows[told], carried[:, told], d[told], sd[told]
        pairs = [pairs[k] for k in told]
    own = 1 / (1 + np.sum(rows.T * carried, axis=0))  # redundancy of the new reading
    now = shares(scaled, cofactor)
    then = 1 - now[:, None] + (scaled @ carried) ** 2 * own[None, :]
    before = _detectable(1 - now, sigma)
    after = np.vstack([_detectable(then, sigma[:, None]), _detectable(own, sd)[None, :]])
    blind = np.isinf(after).sum(axis=0)
    worst = np.where(np.isfinite(after), after, 0).max(axis=0)
    order = np.lexsort((np.where(np.isfinite(after), after, 0).sum(axis=0), worst, blind))
    best = int(order[0])
    was = float(before.max())
    left = float(after[:, best].max())
    fewer = blind[best] < np.isinf(before).sum()
    if not fewer and left > WORTH * was:
        return None
    a, b = pairs[best]
    return Diagonal(names[a], names[b], was, left, float(d[best]))


def _detectable(redundancy: Array, sigma: Array) -> Array:
    seen = redundancy > NO_SPARE
    found: Array = np.where(
        seen, DELTA0 * sigma / np.sqrt(np.where(seen, redundancy, 1.0)), math.inf
    )
    return found
