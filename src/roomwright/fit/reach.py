"""The widest body that gets from an opening to a goal, by halving widths over eroded free space.

For a goal in the room (before a range, beside a bed) this is the method itself. For two openings
it is the independent check of `roomwright.fit.ways`: it shares no code with it but the reading of
the openings.
"""

import math
from collections.abc import Sequence

import shapely
from shapely.ops import nearest_points

from roomwright.fit.bounds import on_walls, outline
from roomwright.fit.ways import Gap, Touch
from roomwright.shape import Point, Segment, distance_to, middle

TOLERANCE = 1 / 64
"""A width found by halving is at most this much too small [in]."""

_NEAR = 1e-6
_QUARTER = 32
"""Chords to a quarter circle: a body of radius 30 is drawn at most 0.01 in. too small."""

Goal = Point | Segment | shapely.Geometry


def tightest_to(
    space: shapely.Polygon,
    obstacles: Sequence[shapely.Polygon],
    a: Segment,
    goal: Goal,
    tolerance: float = TOLERANCE,
) -> Gap:
    """The tightest place on the widest route from opening `a` to a goal.

    Parameters
    ----------
    space, obstacles, a
        As for `roomwright.fit.ways.tightest`.
    goal
        A point or a shape in the space, or a second opening by its ends. The body must get its
        centre to the point, or to any point of the shape or of the opening.
    tolerance
        How exact the width is to be [in].

    Returns
    -------
    Gap
        Width found from below, within `tolerance`. `p` and `q` mark where the route parts when
        the body is one tolerance wider.

    Raises
    ------
    OpeningError
        If an opening is not on the walls of the space.
    ValueError
        If the space is not a valid polygon.

    Examples
    --------
    >>> room, island = shapely.box(0, 0, 144, 120), shapely.box(40, 30, 144, 80)
    >>> gap = tightest_to(room, [island], ((0, 90), (0, 118)), (120, 15))
    >>> round(gap.width, 1)
    28.0
    """
    free = FreeFloor(space, obstacles, a, goal)
    low, high = 0.0, free.widest
    if free.joined(high):
        return free.gap(high, high + 2 * tolerance)
    if not free.joined(low):
        return free.shut()
    while high - low > tolerance:
        width = (low + high) / 2
        if free.joined(width):
            low = width
        else:
            high = width
    return free.gap(low, high)


class FreeFloor:
    """Where the centre of a round body may stand, for bodies of any width."""

    def __init__(
        self,
        space: shapely.Polygon,
        obstacles: Sequence[shapely.Polygon],
        a: Segment,
        goal: Goal,
    ) -> None:
        openings = [on_walls(space, a)]
        if isinstance(goal, shapely.Geometry):
            self.goal = goal
        elif isinstance(goal[0], tuple):
            openings.append(on_walls(space, goal))
            self.goal = shapely.LineString(openings[1])
        else:
            self.goal = shapely.Point(goal)
        self.space = space
        self.obstacles = list(obstacles)
        self.openings = openings
        self.start = shapely.LineString(openings[0])
        self.widest = min(math.dist(*opening) for opening in openings)
        spans = [shapely.LineString(o).buffer(1e-7, cap_style="flat") for o in openings]
        walls = shapely.difference(space.boundary, shapely.union_all(spans))
        standing = shapely.intersection(space, shapely.union_all(self.obstacles))
        jambs = shapely.MultiPoint([jamb for opening in openings for jamb in opening])
        self.solid = shapely.union_all([walls, standing, jambs])
        self._free: dict[float, list[shapely.Geometry]] = {}

    def free(self, width: float) -> list[shapely.Geometry]:
        """Parts of the floor where the centre of a body of this width may stand."""
        if width not in self._free:
            self._free[width] = self._left(width)
        return self._free[width]

    def _left(self, width: float) -> list[shapely.Geometry]:
        grown = shapely.buffer(self.solid, width / 2, quad_segs=_QUARTER) if width else self.solid
        left = shapely.difference(self.space, grown)
        return [part for part in shapely.get_parts(left).tolist() if part.area > 0]

    def joined(self, width: float) -> bool:
        """Whether one part of the free floor reaches both the opening and the goal."""
        return any(
            shapely.dwithin(part, self.start, _NEAR) and shapely.dwithin(part, self.goal, _NEAR)
            for part in self.free(width)
        )

    def gap(self, width: float, stopped: float) -> Gap:
        """Where the route of a body that gets through parts for one that is `stopped` [in]."""
        spot = self._parting(stopped)
        p = _nearest(self.solid, spot)
        across = (2 * spot[0] - p[0], 2 * spot[1] - p[1])
        q = _nearest(self.solid, across)
        if math.dist(q, across) > 0.5:  # nothing stands across: the goal itself is hemmed in
            return Gap(width, p, across, self._on(p), Touch("goal", 0))
        return Gap(width, p, q, self._on(p), self._on(q))

    def widths_at_the_break(self, width: float) -> tuple[float, ...]:
        """What may be the width of the place where a body of a width that is too wide is stopped.

        The gap that it does not pass, or at the goal, what is left before it and to its sides.
        """
        spot = self._parting(width)
        p = _nearest(self.solid, spot)
        across = (2 * spot[0] - p[0], 2 * spot[1] - p[1])
        q = _nearest(self.solid, across)
        if math.dist(q, across) <= 0.5:
            return (math.dist(p, q),)
        off = math.dist(p, spot)
        return off + width / 2, 2 * off

    def _parting(self, width: float) -> Point:
        """Middle of the break in the free floor of a body that is just too wide."""
        narrow = min(self.openings, key=lambda opening: math.dist(*opening))
        if width >= self.widest:
            return middle(narrow)
        parts = self.free(width)
        near = [part for part in parts if shapely.dwithin(part, self.start, _NEAR)]
        far = [part for part in parts if shapely.dwithin(part, self.goal, _NEAR)]
        if not near:
            return middle(self.openings[0])
        if not far:
            return self._roomiest()
        ends = nearest_points(shapely.union_all(near), shapely.union_all(far))
        return middle(((ends[0].x, ends[0].y), (ends[1].x, ends[1].y)))

    def _roomiest(self) -> Point:
        """The point of the goal with most room around it, its middle rather than its ends."""
        if not isinstance(self.goal, shapely.LineString):
            spot = shapely.point_on_surface(self.goal)
            return float(spot.x), float(spot.y)
        at = sorted((k / 32 for k in range(33)), key=lambda share: abs(share - 0.5))
        spots = shapely.line_interpolate_point(self.goal, at, normalized=True)
        best = spots[int((shapely.distance(self.solid, spots) + 1e-9).round(6).argmax())]
        return float(best.x), float(best.y)

    def shut(self) -> Gap:
        """The answer where there is no way at all."""
        p = _nearest(self.solid, self._roomiest())
        return Gap(0.0, p, p, self._on(p), self._on(p), blocked=True)

    def _on(self, p: Point) -> Touch:
        for number, opening in enumerate(self.openings):
            if min(math.dist(p, jamb) for jamb in opening) <= _NEAR:
                return Touch("jamb", number)
        spot = shapely.Point(p)
        off = [spot.distance(shape) for shape in self.obstacles]
        if off and min(off) <= _NEAR:
            return Touch("obstacle", off.index(min(off)))
        edges = outline(self.space)[1].tolist()
        away = [distance_to(p, ((ax, ay), (bx, by))) for ax, ay, bx, by in edges]
        return Touch("wall", away.index(min(away)))


def _nearest(solid: shapely.Geometry, spot: Point) -> Point:
    at = nearest_points(solid, shapely.Point(spot))[0]
    return float(at.x), float(at.y)
