"""What bounds a walking route: the walls of a space cut at two openings, and what stands in it.

A *component* is one thing that cannot be walked through: a ring of wall, or obstacles that
overlap and so are one. Every corner carries a *side*, False or True. A closed line that runs along
components and across gaps parts the two openings if and only if the sides that it changes over
its gaps add up to an odd number: the sides count crossings of one line drawn from opening to
opening, and the line's ends lie just outside the openings, so that any such closed line has to go
round one of them. That one rule covers openings in columns, islands and rings of furniture too.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import lru_cache

import numpy as np
import shapely
from numpy.typing import NDArray

from roomwright.shape import Point, Segment, distance_to, foot

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]
Bools = NDArray[np.bool_]

TOUCHING = 1e-6
"""Things closer than this touch: nothing passes between them [in]."""

OFF_WALL = 6.0
"""An opening may be given this far off the face it opens in, as on a wall's other face [in]."""

_OUT = 0.25
_ALONG = 0.4871  # anywhere on the opening but its middle, so that nothing drawn square lines up


class OpeningError(ValueError):
    """An opening does not lie on the walls of the space, or two of them overlap."""


@dataclass(frozen=True, slots=True)
class Ruler:
    """The line from opening to opening whose crossings are counted."""

    a: Point
    b: Point

    def crossed(self, px: Floats, py: Floats, qx: Floats, qy: Floats) -> Bools:
        """Whether each segment p-q crosses the line; ends exactly on it count as left of it."""
        (ax, ay), (bx, by) = self.a, self.b
        dx, dy = bx - ax, by - ay
        apart = (dx * (py - ay) - dy * (px - ax) >= 0) != (dx * (qy - ay) - dy * (qx - ax) >= 0)
        ex, ey = qx - px, qy - py
        first = ex * (ay - py) - ey * (ax - px) >= 0
        second = ex * (by - py) - ey * (bx - px) >= 0
        return np.asarray(apart & (first != second))


@dataclass(frozen=True, slots=True, eq=False)
class Sides:
    """Corners of rings in order, and the edge that starts at each.

    Edge i runs from corner i to corner `next[i]`. `solid` is False where an edge spans an
    opening. `source` is the wall's number in the space or the ring's obstacle.
    """

    x: Floats
    y: Floats
    next: Ints
    previous: Ints
    component: Ints
    side: Bools
    solid: Bools
    source: Ints


@dataclass(frozen=True, slots=True, eq=False)
class Walls:
    """A space whose rings are cut at the two openings of a route."""

    sides: Sides
    ruler: Ruler
    openings: tuple[Segment, Segment]
    widths: tuple[float, float]
    components: int
    convex: bool


@lru_cache(maxsize=256)
def outline(space: shapely.Polygon) -> tuple[tuple[tuple[Point, ...], ...], Floats, Ints]:
    """Rings of a space with the floor on their left; all edges (n, 4); the ring of each edge."""
    if not isinstance(space, shapely.Polygon) or space.is_empty or not space.is_valid:
        raise ValueError("the space must be one valid polygon: rooms joined where they touch")
    shapely.prepare(space)
    rings = []
    for ring, left in [(space.exterior, True), *((hole, False) for hole in space.interiors)]:
        points = [(float(x), float(y)) for x, y in ring.coords[:-1]]
        points = [p for i, p in enumerate(points) if p != points[i - 1]]
        rings.append(tuple(points if ring.is_ccw == left else points[::-1]))
    edges = [(*p, *q) for ring in rings for p, q in zip(ring, (*ring[1:], ring[0]), strict=True)]
    owner = [k for k, ring in enumerate(rings) for _ in ring]
    return tuple(rings), np.array(edges), np.array(owner)


def on_walls(space: shapely.Polygon, opening: Segment) -> Segment:
    """An opening carried straight onto the walls of a space.

    >>> on_walls(shapely.box(0, 0, 96, 96), ((100.5, 30), (100.5, 66)))
    ((96.0, 30.0), (96.0, 66.0))

    Raises
    ------
    OpeningError
        If it lies too far off the walls, on two separate ones, or has no width.
    """
    return _place(space, opening)[2]


def _place(space: shapely.Polygon, opening: Segment) -> tuple[int, tuple[int, int], Segment]:
    """Ring, edges of the ring and the two ends of an opening, carried onto the walls."""
    _, edges, owner = outline(space)
    walls: list[Segment] = [((ax, ay), (bx, by)) for ax, ay, bx, by in edges.tolist()]
    off = np.array([[distance_to(end, wall) for wall in walls] for end in opening])
    apart = off.min(axis=1)
    together = off.max(axis=0)
    k = int(together.argmin())
    ks = (k, k) if together[k] <= apart.max() + TOUCHING else tuple(off.argmin(axis=1).tolist())
    if apart.max() > OFF_WALL:
        raise OpeningError(
            f"the opening from {opening[0]} to {opening[1]} lies {apart.max():.1f} in. off the "
            f"walls of the space; up to {OFF_WALL:g} in. is taken as the thickness of the wall"
        )
    first, second = int(ks[0]), int(ks[1])
    if owner[first] != owner[second]:
        raise OpeningError(f"the ends {opening[0]} and {opening[1]} lie on two separate walls")
    start = int(np.flatnonzero(owner == owner[first])[0])
    ends = (foot(opening[0], walls[first]), foot(opening[1], walls[second]))
    if math.dist(*ends) <= TOUCHING:
        raise OpeningError(f"the opening from {opening[0]} to {opening[1]} has no width")
    return int(owner[first]), (first - start, second - start), ends


@dataclass(frozen=True, slots=True)
class _Cut:
    """One opening on its ring: where it starts and ends going round, and the wall it is in."""

    start: float
    end: float
    jambs: Segment
    wall: int


def _cut(ring: Sequence[Point], edges: tuple[int, int], ends: Segment) -> _Cut:
    """Going round the ring, the opening is the shorter way between its two ends."""
    legs = [math.dist(p, q) for p, q in zip(ring, (*ring[1:], ring[0]), strict=True)]
    first, second = (
        sum(legs[:k]) + math.dist(ring[k], end) for k, end in zip(edges, ends, strict=True)
    )
    total = sum(legs)
    if (second - first) % total <= total / 2:
        return _Cut(first % total, second % total, ends, edges[0])
    return _Cut(second % total, first % total, (ends[1], ends[0]), edges[1])


def _ring(ring: Sequence[Point], cuts: dict[int, _Cut]) -> tuple[list[Point], list[int], list[int]]:
    """Corners of a ring cut at openings; the opening (or -1) and the wall after each corner."""
    stops: list[tuple[float, int, int, Point, int, int]] = []
    along = 0.0
    spans = [(c.start, c.end) for c in cuts.values()]
    for k, p in enumerate(ring):
        if not any(_within(along, start, end) for start, end in spans):
            stops.append((along, 1, 0, p, -1, k))
        along += math.dist(p, ring[(k + 1) % len(ring)])
    for number, c in cuts.items():
        stops.append((c.start, 2, 1, c.jambs[0], number, c.wall))
        stops.append((c.end, 0, 0, c.jambs[1], -1, -1))
    stops.sort(key=lambda stop: stop[:2])
    corners = [stop[3] for stop in stops]
    numbers = [stop[4] for stop in stops]
    walls = [stop[5] for stop in stops]
    for i, wall in enumerate(walls):  # a wall goes on after an opening in it
        if wall < 0:
            walls[i] = _wall_at(ring, stops[i][0])
    return corners, numbers, walls


def _within(along: float, start: float, end: float) -> bool:
    if start <= end:
        return start < along < end
    return along > start or along < end


def _wall_at(ring: Sequence[Point], along: float) -> int:
    for k, p in enumerate(ring):
        along -= math.dist(p, ring[(k + 1) % len(ring)])
        if along < 0:
            return k
    return len(ring) - 1


def _just_outside(jambs: Segment) -> Point:
    (ax, ay), (bx, by) = jambs
    dx, dy = bx - ax, by - ay
    length = math.hypot(dx, dy)
    return (
        ax + _ALONG * dx + _OUT * dy / length,
        ay + _ALONG * dy - _OUT * dx / length,
    )


@lru_cache(maxsize=1024)
def walls(space: shapely.Polygon, a: Segment, b: Segment) -> Walls:
    """The walls of a space cut at openings `a` and `b`.

    Raises
    ------
    OpeningError
        If an opening does not lie on the walls, has no width, or overlaps the other one.
    """
    rings, edges, _ = outline(space)
    placed = [_place(space, opening) for opening in (a, b)]
    cuts = [_cut(rings[ring], ks, ends) for ring, ks, ends in placed]
    if placed[0][0] == placed[1][0]:
        _refuse_overlap(*cuts)
        cuts = _share_jambs(cuts)
    ruler = Ruler(_just_outside(cuts[0].jambs), _just_outside(cuts[1].jambs))
    xy: list[Point] = []
    opening: list[int] = []
    wall: list[int] = []
    sizes: list[int] = []
    base = 0
    for number, ring in enumerate(rings):
        here = {k: cuts[k] for k in (0, 1) if placed[k][0] == number}
        corners, numbers, numbered = _ring(ring, here)
        xy += corners
        opening += numbers
        wall += [base + k for k in numbered]
        sizes.append(len(corners))
        base += len(ring)
    component = np.repeat(np.arange(len(rings)), sizes)
    spans = np.array(opening) >= 0
    sides = label(np.array(xy), np.array(sizes), component, ruler, spans, np.array(wall))
    convex = len(rings) == 1 and bool(np.all(_turns(edges) >= -TOUCHING))
    widths = (math.dist(*cuts[0].jambs), math.dist(*cuts[1].jambs))
    return Walls(sides, ruler, (cuts[0].jambs, cuts[1].jambs), widths, len(rings), convex)


def _turns(edges: Floats) -> Floats:
    """Sine of the turn after each edge of one ring; negative at a corner that juts in."""
    d = edges[:, 2:] - edges[:, :2]
    d = d / np.hypot(d[:, 0], d[:, 1])[:, None]
    after = np.roll(d, -1, axis=0)
    return np.asarray(d[:, 0] * after[:, 1] - d[:, 1] * after[:, 0])


def _refuse_overlap(first: _Cut, second: _Cut) -> None:
    """Raise if two openings of one ring share more than a jamb."""
    middle = [(p[0] + q[0], p[1] + q[1]) for p, q in (first.jambs, second.jambs)]
    for cut, other in ((first, second), (second, first)):
        start, end = cut.start + TOUCHING, cut.end - TOUCHING
        if any(_within(along, start, end) for along in (other.start, other.end)):
            raise OpeningError("the two openings of a route overlap")
    if math.dist(*middle) <= TOUCHING:
        raise OpeningError("a route needs two openings; these are one and the same")


def _share_jambs(cuts: list[_Cut]) -> list[_Cut]:
    """Where one opening ends as the other starts, make it one and the same point."""
    first, second = cuts
    if math.dist(first.jambs[1], second.jambs[0]) <= 2 * TOUCHING:
        second = replace(second, start=first.end, jambs=(first.jambs[1], second.jambs[1]))
    if math.dist(second.jambs[1], first.jambs[0]) <= 2 * TOUCHING:
        first = replace(first, start=second.end, jambs=(second.jambs[1], first.jambs[1]))
    return [first, second]


def label(
    xy: Floats,
    sizes: Ints,
    component: Ints,
    ruler: Ruler,
    spans: Bools,
    source: Ints,
) -> Sides:
    """Put a side to each corner by walking round the rings and counting crossings.

    Across an opening the walk goes round outside, past the end of the ruler: one crossing more.
    """
    count = len(xy)
    starts = np.cumsum(sizes) - sizes
    following = np.arange(1, count + 1)
    following[starts + sizes - 1] = starts
    preceding = np.arange(-1, count - 1)
    preceding[starts] = starts + sizes - 1
    x, y = np.ascontiguousarray(xy[:, 0]), np.ascontiguousarray(xy[:, 1])
    flips = ruler.crossed(x, y, x[following], y[following]) ^ spans
    walked: Ints = np.cumsum(flips) - flips
    side = (walked - np.repeat(walked[starts], sizes)) % 2 == 1
    return Sides(x, y, following, preceding, component, side, ~spans, source)
