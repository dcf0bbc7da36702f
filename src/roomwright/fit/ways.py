"""The tightest place on the widest walking route between two openings, exactly.

A round body of a given width passes from one opening to the other unless a chain of gaps, each
narrower than the body, parts them: wall to table, table to sideboard, sideboard to the other wall.
So the width of the widest route is found from its opposite, the chain of narrow gaps: gaps are
joined from narrow to wide (Kruskal's order) until the openings are parted; the gap that does it is
the tightest place of the widest route, and its two ends are what a drawing dimensions. See
docs/ways.md.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import Literal

import numpy as np
import shapely

from roomwright.fit.bounds import TOUCHING, Sides, Walls, walls
from roomwright.fit.gaps import EQUAL, Gaps, gaps_of, joined
from roomwright.fit.solids import Solids, sided, solids
from roomwright.shape import Point, Segment


@dataclass(frozen=True, slots=True)
class Touch:
    """What an end of a gap lies on.

    `index` is the place of the obstacle in the list that was given; of the wall in the rings of
    the space, run with the floor on the left, outer ring first; or of the opening: 0 for `a`, 1
    for `b`. A goal has index 0.
    """

    kind: Literal["wall", "jamb", "obstacle", "goal"]
    index: int


@dataclass(frozen=True, slots=True)
class Gap:
    """The tightest place on a way: its width [in], its two ends and what they lie on.

    Where one end is on an obstacle and the other is not, `p` is the obstacle's.
    `blocked` means that there is no way at all; `p` and `q` are then the one point where it is
    shut.
    """

    width: float
    p: Point
    q: Point
    p_on: Touch
    q_on: Touch
    blocked: bool = False

    @property
    def middle(self) -> Point:
        """The point half way across the gap."""
        return (self.p[0] + self.q[0]) / 2, (self.p[1] + self.q[1]) / 2


def tightest(
    space: shapely.Polygon, obstacles: Sequence[shapely.Polygon], a: Segment, b: Segment
) -> Gap:
    """The tightest place on the widest route from opening `a` to opening `b`.

    Parameters
    ----------
    space
        Floor that can be walked on [in], with holes for columns; rooms joined by an open side
        are one polygon.
    obstacles
        What stands on it, at its outermost reach; parts outside the space do not count.
    a, b
        The two openings, each by its ends; on the walls, or up to 6 in. off on the far face.
        Jambs count: a way is never wider than its openings. Other openings count as wall.

    Returns
    -------
    Gap
        Of equally tight places the one nearest the direct line.

    Raises
    ------
    OpeningError
        If an opening is not on the walls, or the two overlap.
    ValueError
        If the space or an obstacle is not a valid polygon.

    Examples
    --------
    >>> room = shapely.box(0, 0, 162, 150)
    >>> table, sideboard = shapely.box(39, 63, 123, 105), shapely.box(51, 0, 111, 18)
    >>> east, north = ((162, 20), (162, 80)), ((51, 150), (111, 150))
    >>> gap = tightest(room, [table, sideboard], east, north)
    >>> gap.width, gap.p_on, gap.q_on
    (39.0, Touch(kind='obstacle', index=0), Touch(kind='wall', index=0))
    """
    return Passage(space, obstacles, a, b).tightest


class Passage:
    """All that bounds the routes between two openings, with the gaps that may part them.

    Takes the arguments of `tightest` and raises the same errors; `ready` is what `solids` gave
    for the same space and obstacles, where many pairs of openings are asked.
    """

    def __init__(
        self,
        space: shapely.Polygon,
        obstacles: Sequence[shapely.Polygon],
        a: Segment,
        b: Segment,
        ready: Solids | None = None,
    ) -> None:
        self.space = space
        self.obstacles = obstacles
        self.bounds = walls(space, _plain(a), _plain(b))
        self.solids = solids(space, obstacles) if ready is None else ready
        standing, self._shut = sided(self.solids, self.bounds.ruler, self.bounds.components)
        self.sides = joined(self.bounds.sides, standing)
        self.gaps = gaps_of(self.sides, self.bounds, min(self.bounds.widths))

    @cached_property
    def tightest(self) -> Gap:
        """The tightest place; see the function of that name."""
        bounds = self.bounds
        if self._shut is not None:
            corner = len(bounds.sides.x) + self._shut
            at = float(self.sides.x[corner]), float(self.sides.y[corner])
            return Gap(0.0, at, at, self._on(at), self._on(at), blocked=True)
        last = _parting(self.gaps, int(self.sides.component.max()) + 1)
        if last is not None:
            return self._gap(last)
        narrow = 0 if bounds.widths[0] <= bounds.widths[1] else 1
        jamb = Touch("jamb", narrow)
        return Gap(bounds.widths[narrow], *bounds.openings[narrow], jamb, jamb)

    def _gap(self, k: int) -> Gap:
        p, q = _centred(self.gaps, k, self.sides)
        width = float(self.gaps.width[k])
        if width <= TOUCHING:
            return Gap(0.0, p, p, self._on(p), self._on(p), blocked=True)
        p_on, q_on = self._on(p), self._on(q)
        if q_on.kind == "obstacle" and p_on.kind != "obstacle":
            return Gap(width, q, p, q_on, p_on)
        return Gap(width, p, q, p_on, q_on)

    def crossed(self, line: shapely.LineString, low: float, high: float) -> list[Gap]:
        """Gaps that a line crosses whose width is over `low` and not over `high` [in]."""
        first, last = np.searchsorted(self.gaps.width, [low, high], side="right").tolist()
        if first == last:
            return []
        near = slice(first, last)
        gaps = self.gaps
        ends = np.stack([gaps.px[near], gaps.py[near], gaps.qx[near], gaps.qy[near]], axis=1)
        lines = shapely.linestrings(ends.reshape(-1, 2, 2))
        return [self._gap(first + int(k)) for k in np.flatnonzero(shapely.intersects(line, lines))]

    def _on(self, p: Point) -> Touch:
        return _on(p, self.obstacles, self.bounds)


def _plain(opening: Segment) -> Segment:
    (ax, ay), (bx, by) = opening
    return (float(ax), float(ay)), (float(bx), float(by))


def _parting(gaps: Gaps, components: int) -> int | None:
    """The first gap, from narrow to wide, that closes a line round one of the openings."""
    above = list(range(components))
    flipped = [False] * components
    for k, (first, second, odd) in enumerate(
        zip(gaps.first.tolist(), gaps.second.tolist(), gaps.odd.tolist(), strict=True)
    ):
        while above[first] != first:
            odd ^= flipped[first]
            first = above[first]
        while above[second] != second:
            odd ^= flipped[second]
            second = above[second]
        if first != second:
            above[second] = first
            flipped[second] = odd
        elif odd:
            return k
    return None


def _centred(gaps: Gaps, k: int, sides: Sides) -> Segment:
    """Ends of a gap; between parallel edges, at the middle of what they share."""
    p = float(gaps.px[k]), float(gaps.py[k])
    q = float(gaps.qx[k]), float(gaps.qy[k])
    corner, edge = int(gaps.corner[k]), int(gaps.edge[k])
    gx, gy = q[0] - p[0], q[1] - p[1]
    width = math.hypot(gx, gy)
    if width <= TOUCHING:
        return p, q
    tx, ty = -gy / width, gx / width  # along the edge, where the gap is square to it

    def span(start: int) -> tuple[float, float] | None:
        end = int(sides.next[start])
        ends = [(float(sides.x[i]) - p[0], float(sides.y[i]) - p[1]) for i in (start, end)]
        length = math.dist(*ends)
        across = (ends[1][0] - ends[0][0]) * gx + (ends[1][1] - ends[0][1]) * gy
        if abs(across) > 1e-9 * width * max(length, 1.0):
            return None
        low, high = sorted(x * tx + y * ty for x, y in ends)
        return low, high

    other = span(edge)
    for beside in (corner, int(sides.previous[corner])):
        own = span(beside) if sides.solid[beside] else None
        if own is None or other is None:
            continue
        shift = (max(own[0], other[0]) + min(own[1], other[1])) / 2
        x, y = p[0] + shift * tx, p[1] + shift * ty
        if _open(sides, x + gx / 2, y + gy / 2, width):
            return (x, y), (x + gx, y + gy)
    return p, q


def _open(sides: Sides, x: float, y: float, width: float) -> bool:
    """Whether a disc fits here between everything solid."""
    solid = np.flatnonzero(sides.solid)
    ax, ay = sides.x[solid], sides.y[solid]
    dx, dy = sides.x[sides.next[solid]] - ax, sides.y[sides.next[solid]] - ay
    square = dx * dx + dy * dy
    square[square == 0] = 1.0
    t = np.clip(((x - ax) * dx + (y - ay) * dy) / square, 0.0, 1.0)
    return bool(np.hypot(ax + t * dx - x, ay + t * dy - y).min() >= width / 2 - EQUAL)


def _on(p: Point, obstacles: Sequence[shapely.Polygon], bounds: Walls) -> Touch:
    """What a point of a gap lies on; a jamb before an obstacle, an obstacle before a wall."""
    for number, jambs in enumerate(bounds.openings):
        if min(math.dist(p, jamb) for jamb in jambs) <= TOUCHING:
            return Touch("jamb", number)
    if len(obstacles):
        off = shapely.distance(np.array(list(obstacles), dtype=object), shapely.Point(p))
        if off.min() <= TOUCHING:
            return Touch("obstacle", int(off.argmin()))
    wall = bounds.sides
    solid = np.flatnonzero(wall.solid)
    ax, ay = wall.x[solid], wall.y[solid]
    dx, dy = wall.x[wall.next[solid]] - ax, wall.y[wall.next[solid]] - ay
    square = dx * dx + dy * dy
    square[square == 0] = 1.0
    t = np.clip(((p[0] - ax) * dx + (p[1] - ay) * dy) / square, 0.0, 1.0)
    nearest = np.hypot(ax + t * dx - p[0], ay + t * dy - p[1]).argmin()
    return Touch("wall", int(wall.source[solid[nearest]]))
