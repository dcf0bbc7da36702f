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

from roomwright.fit.bounds import TOUCHING, Bools, Floats, Ints, Sides, Walls, walls
from roomwright.fit.solids import sided, solids
from roomwright.shape import Point, Segment

EQUAL = 1e-6
"""Gaps whose widths differ by less are equally wide [in]."""


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

    Takes the arguments of `tightest` and raises the same errors.
    """

    def __init__(
        self,
        space: shapely.Polygon,
        obstacles: Sequence[shapely.Polygon],
        a: Segment,
        b: Segment,
    ) -> None:
        self.space = space
        self.obstacles = obstacles
        self.bounds = walls(space, _plain(a), _plain(b))
        self.solids = solids(space, obstacles)
        standing, self._shut = sided(self.solids, self.bounds.ruler, self.bounds.components)
        self.sides = _joined(self.bounds.sides, standing)
        self.gaps = _gaps(self.sides, self.bounds, min(self.bounds.widths))

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
        return Gap(width, p, q, self._on(p), self._on(q))

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


def _joined(first: Sides, second: Sides) -> Sides:
    if not len(second.x):
        return first
    shift = len(first.x)
    return Sides(
        np.concatenate([first.x, second.x]),
        np.concatenate([first.y, second.y]),
        np.concatenate([first.next, second.next + shift]),
        np.concatenate([first.previous, second.previous + shift]),
        np.concatenate([first.component, second.component]),
        np.concatenate([first.side, second.side]),
        np.concatenate([first.solid, second.solid]),
        np.concatenate([first.source, second.source]),
    )


@dataclass(frozen=True, slots=True, eq=False)
class _Gaps:
    """Gaps that may part the openings, from narrow to wide: from a corner p to an edge at q."""

    width: Floats
    px: Floats
    py: Floats
    qx: Floats
    qy: Floats
    corner: Ints
    edge: Ints
    first: Ints
    second: Ints
    odd: Bools


def _gaps(sides: Sides, bounds: Walls, limit: float) -> _Gaps:
    """All gaps narrower than `limit` between a corner and an edge that run inside the space.

    Two things that do not overlap are nearest at a corner of one of them, so these are enough.
    """
    edge = np.flatnonzero(sides.solid)
    ax, ay = sides.x[edge], sides.y[edge]
    dx, dy = sides.x[sides.next[edge]] - ax, sides.y[sides.next[edge]] - ay
    square = dx * dx + dy * dy
    square[square == 0] = 1.0
    ux, uy = sides.x[:, None] - ax, sides.y[:, None] - ay
    along = ux * dx + uy * dy
    along /= square
    np.clip(along, 0.0, 1.0, out=along)
    ux -= along * dx
    uy -= along * dy
    apart = ux * ux + uy * uy
    number = np.arange(len(edge))
    apart[edge, number] = np.inf  # an edge and its own two ends
    apart[sides.next[edge], number] = np.inf
    corner, at = np.nonzero(apart < limit * limit)
    chosen = along[corner, at]
    edge = edge[at]
    px, py = sides.x[corner], sides.y[corner]
    qx, qy = ax[at] + chosen * dx[at], ay[at] + chosen * dy[at]
    ruler = bounds.ruler
    odd = (
        sides.side[corner]
        ^ sides.side[edge]
        ^ ruler.crossed(ax[at], ay[at], qx, qy)
        ^ ruler.crossed(px, py, qx, qy)
    )
    first, second = sides.component[corner], sides.component[edge]
    keep = (first != second) | odd
    if not bounds.convex:
        keep[keep] = _inside(bounds.sides, px[keep], py[keep], qx[keep], qy[keep])
    width = np.sqrt(apart[corner, at][keep])
    px, py, qx, qy = px[keep], py[keep], qx[keep], qy[keep]
    order = np.lexsort((-_detour(bounds, (px + qx) / 2, (py + qy) / 2), np.round(width / EQUAL)))
    kept = np.flatnonzero(keep)[order]
    return _Gaps(
        width[order], px[order], py[order], qx[order], qy[order],
        corner[kept], edge[kept], first[kept], second[kept], odd[kept],
    )  # fmt: skip


def _detour(bounds: Walls, x: Floats, y: Floats) -> Floats:
    """Length from the middle of one opening by way of a place to the middle of the other."""
    (ax, ay), (bx, by) = (((p[0] + q[0]) / 2, (p[1] + q[1]) / 2) for p, q in bounds.openings)
    there = np.hypot(x - ax, y - ay) + np.hypot(x - bx, y - by)
    return np.round(there, 6)


def _inside(wall: Sides, px: Floats, py: Floats, qx: Floats, qy: Floats) -> Bools:
    """Whether segments p-q, whose ends lie in the space, run in it or along its edge."""
    ux, uy = wall.x, wall.y
    vx, vy = ux[wall.next], uy[wall.next]
    dx, dy = vx - ux, vy - uy
    length = np.hypot(dx, dy)
    length[length == 0] = 1.0
    px, py, qx, qy = px[:, None], py[:, None], qx[:, None], qy[:, None]
    p_left = (dx * (py - uy) - dy * (px - ux)) / length
    q_left = (dx * (qy - uy) - dy * (qx - ux)) / length
    ex, ey = qx - px, qy - py
    u_left = ex * (uy - py) - ey * (ux - px) >= 0
    v_left = ex * (vy - py) - ey * (vx - px) >= 0
    apart = ((p_left > TOUCHING) & (q_left < -TOUCHING)) | (
        (q_left > TOUCHING) & (p_left < -TOUCHING)
    )
    crossed = (apart & (u_left != v_left)).any(axis=1)
    mx, my = (px + qx) / 2, (py + qy) / 2
    level = (uy > my) != (vy > my)
    east = dx * (my - uy) - dy * (mx - ux)
    within = (level & ((east > 0) == (dy > 0))).sum(axis=1) % 2 == 1
    t = np.clip(((mx - ux) * dx + (my - uy) * dy) / (length * length), 0.0, 1.0)
    on_wall = np.hypot(ux + t * dx - mx, uy + t * dy - my).min(axis=1) <= TOUCHING
    return np.asarray(~crossed & (within | on_wall))


def _parting(gaps: _Gaps, components: int) -> int | None:
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


def _centred(gaps: _Gaps, k: int, sides: Sides) -> Segment:
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
