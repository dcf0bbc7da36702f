"""The two banks of a way: what is bound to the wall on either side of it.

A body that walks from one opening to another keeps one wall on its left and the other on its right.
Whatever is bound to a wall by gaps too narrow for it stays on that side too, and so does the half
of each opening between that wall and where the line ends. A table stands on one side of the line:
so the line crosses every straight stretch of floor from the table to the other side's bank.
"""

import math
from dataclasses import dataclass

import numpy as np
import shapely

from roomwright.fit.bounds import Bools, Floats, Ints
from roomwright.fit.ways import Passage
from roomwright.shape import Segment, middle

_NONE = np.empty((0, 4))


@dataclass(frozen=True, slots=True, eq=False)
class Bank:
    """One bank: edges as rows (ax, ay, bx, by) [in].

    `solid` is what stands on it; `shore` the edge of the floor that the line of a body keeps off,
    and the half openings; `other` all that is solid and not on this bank, `rest` what of it is on
    neither.
    """

    solid: Floats
    shore: Floats
    other: Floats
    rest: Floats


def banks(
    passage: Passage, width: float, keep: float, ends: tuple[float | None, float | None]
) -> tuple[Bank, Bank] | None:
    """The left and the right bank for a body of a width.

    Parameters
    ----------
    passage
        The way, without the table.
    width
        Gaps narrower than this bind things to a bank [in].
    keep
        How far the line keeps from everything solid [in]; at most half the width.
    ends
        For each opening how far from its middle the line may end [in]; None if unknown.

    Returns
    -------
    tuple or None
        None where a body of that width cannot pass at all, or the openings do not lie on one
        ring of wall, so that there are no two sides.

    Examples
    --------
    >>> room, table = shapely.box(0, 0, 200, 120), shapely.box(80, 30, 120, 90)
    >>> way = Passage(room, [table], ((0, 40), (0, 80)), ((200, 40), (200, 80)))
    >>> left, right = banks(way, 28, 13, (2, 2))
    >>> len(left.solid), len(right.solid), len(left.other)
    (3, 3, 7)
    """
    chain = _chains(passage)
    if chain is None:
        return None
    bound = _bound(passage, chain, width)
    if bound is None:
        return None
    edges, left, right = bound
    halves = [_halves(passage, chain, number, off) for number, off in enumerate(ends)]
    rest = edges[~(left | right)]
    first, second = (
        _bank(passage.space, edges, mine, keep, np.concatenate([half[k] for half in halves]), rest)
        for k, mine in enumerate((left, right))
    )
    return first, second


def _bound(passage: Passage, chain: Ints, width: float) -> tuple[Floats, Bools, Bools] | None:
    """All solid edges, and which are bound to the one wall and which to the other."""
    sides, gaps = passage.sides, passage.gaps
    node = np.where(chain >= 0, chain, sides.component + 2)
    above = list(range(int(node.max()) + 1))

    def root(k: int) -> int:
        while above[k] != k:
            k = above[k]
        return k

    narrow = gaps.width < width
    for first, second in zip(
        node[gaps.corner[narrow]].tolist(), node[gaps.edge[narrow]].tolist(), strict=True
    ):
        above[root(first)] = root(second)
    if root(0) == root(1):
        return None
    solid = np.flatnonzero(sides.solid)
    after = sides.next[solid]
    edges = np.stack([sides.x[solid], sides.y[solid], sides.x[after], sides.y[after]], axis=1)
    roots = np.array([root(k) for k in range(len(above))])[node[solid]]
    return edges, roots == root(0), roots == root(1)


def _chains(passage: Passage) -> Ints | None:
    """For each corner 0 or 1, the wall between the openings that it is on; -1 for all else."""
    sides = passage.sides
    openings = np.flatnonzero(~sides.solid)
    if len(openings) != 2 or sides.component[openings[0]] != sides.component[openings[1]]:
        return None
    chain = np.full(len(sides.x), -1)
    for number, opening in enumerate(openings.tolist()):
        corner = int(sides.next[opening])
        while chain[corner] < 0:
            chain[corner] = number
            if not sides.solid[corner]:
                break
            corner = int(sides.next[corner])
    return chain


def _halves(passage: Passage, chain: Ints, number: int, off: float | None) -> tuple[Floats, Floats]:
    """The parts of an opening on either side of where the line ends: chain 0's and chain 1's."""
    jambs = passage.bounds.openings[number]
    width = math.dist(*jambs)
    if off is None or off >= width / 2:
        return _NONE, _NONE
    sides = passage.sides
    start = next(
        k
        for k in np.flatnonzero(~sides.solid).tolist()
        if math.dist((sides.x[k], sides.y[k]), jambs[0]) < 1e-9
        and math.dist((sides.x[sides.next[k]], sides.y[sides.next[k]]), jambs[1]) < 1e-9
    )
    first, second = _part(jambs, off), _part((jambs[1], jambs[0]), off)
    return (first, second) if chain[start] == 0 else (second, first)


def _part(jambs: Segment, off: float) -> Floats:
    """From the first jamb to so far before the middle."""
    (ax, ay), (mx, my) = jambs[0], middle(jambs)
    t = 1 - off / math.dist((ax, ay), (mx, my))
    return np.array([[ax, ay, ax + t * (mx - ax), ay + t * (my - ay)]])


def _bank(
    space: shapely.Polygon,
    edges: Floats,
    mine: Bools,
    keep: float,
    halves: Floats,
    rest: Floats,
) -> Bank:
    """A bank with its shore: the line keeps off it, and no other bank may be as near there."""
    own, other = _lines(edges[mine]), _lines(edges[~mine])
    line: shapely.Geometry = shapely.boundary(shapely.buffer(own, keep, quad_segs=2))
    line = shapely.intersection(line, space)
    shore = shapely.difference(line, shapely.buffer(other, 1.1 * keep + 1, quad_segs=2))
    return Bank(edges[mine], np.concatenate([_rows(shore), halves]), edges[~mine], rest)


def _lines(edges: Floats) -> shapely.Geometry:
    return shapely.MultiLineString(edges.reshape(-1, 2, 2).tolist())


def _rows(shape: shapely.Geometry) -> Floats:
    """Edges of all lines of a shape."""
    parts = shapely.get_parts(shape)
    parts = parts[np.isin(shapely.get_type_id(parts), (1, 2))]
    if not len(parts):
        return _NONE
    xy, line = shapely.get_coordinates(parts, return_index=True)
    same = line[1:] == line[:-1]
    return np.hstack([xy[:-1][same], xy[1:][same]])
