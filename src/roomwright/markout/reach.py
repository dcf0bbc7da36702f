"""Where a tape lies straight on the floor: no wall and nothing that stands there in its line.

Touching an edge is fine. A gap narrower than `shape.TOUCH` lets no tape through.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
import shapely
from numpy.typing import NDArray

from roomwright import shape
from roomwright.markout.error import Floats
from roomwright.markout.model import Floor, Obstacle
from roomwright.shape import Point

SLACK = 1e-3
"""A line this far over an edge still only touches it [in]."""

SHARP = 20.0
"""Corners down to 6 degrees keep their point."""


class Reach:
    """The open floor of a room, asked for straight lines."""

    def __init__(self, floor: Floor) -> None:
        self.floor = floor
        room = shapely.Polygon(shape.tidy(floor.outline))
        solids = [
            shapely.make_valid(shapely.Polygon(ring))
            for ring in (*(o.outline for o in floor.obstacles), *floor.holes)
            if len(shape.tidy(ring)) > 2
        ]
        bare = shapely.difference(room, shapely.union_all(solids)) if solids else room
        self.open = _grown(_grown(bare, -shape.TOUCH / 2), shape.TOUCH / 2)
        """Floor that is free, cracks closed."""
        self._lies = _grown(self.open, SLACK)
        shapely.prepare(self._lies)

    def on_floor(self, point: Point) -> bool:
        """Whether a point is free floor or its edge."""
        return bool(shapely.covers(self._lies, shapely.Point(point)))

    def straight(self, a: Point, b: Point) -> bool:
        """Whether a tape lies straight on the floor from `a` to `b`.

        >>> ell = Floor(((0, 0), (96, 0), (96, 48), (48, 48), (48, 96), (0, 96)))
        >>> Reach(ell).straight((0, 0), (48, 48)), Reach(ell).straight((90, 40), (40, 90))
        (True, False)
        """
        return bool(shapely.covers(self._lies, shapely.LineString([a, b])))

    def table(self, points: Sequence[Point], hooks: Sequence[Point]) -> NDArray[np.bool_]:
        """`straight` for every point (n) and hook (m), shape (n, m)."""
        p, h = _array(points), _array(hooks)
        ends = np.empty((len(p), len(h), 2, 2))
        ends[:, :, 0], ends[:, :, 1] = p[:, None], h[None, :]
        if not ends.size:
            return np.zeros((len(p), len(h)), dtype=bool)
        lines = shapely.linestrings(ends.reshape(-1, 2, 2))
        return np.asarray(shapely.covers(self._lies, lines)).reshape(len(p), len(h))

    def closed(self, rings: Sequence[Sequence[Point]]) -> NDArray[np.bool_]:
        """For each triangle (k, 3, 2), whether a tape lies straight along all its sides."""
        if not rings:
            return np.zeros(0, dtype=bool)
        lines = shapely.linearrings(np.array(rings, dtype=float))
        return np.asarray(shapely.covers(self._lies, lines))

    def in_the_way(self, a: Point, b: Point) -> tuple[str, ...]:
        """Names of what stands in the straight line from `a` to `b`; "a wall" if that does."""
        line = shapely.LineString([a, b])
        found = [
            o.name
            for o in self.floor.obstacles
            if len(o.outline) > 2
            and shapely.relate_pattern(line, shapely.Polygon(o.outline), "T********")
        ]
        room = _grown(shapely.Polygon(self.floor.outline), SLACK)
        walled = not shapely.covers(room, line)
        return (*dict.fromkeys(found), *(("a wall",) if walled else ()))

    def over(self, point: Point) -> tuple[Obstacle, ...]:
        """What stands on a point."""
        spot = shapely.Point(point)
        return tuple(
            o
            for o in self.floor.obstacles
            if len(o.outline) > 2
            and shapely.contains(_grown(shapely.Polygon(o.outline), -SLACK), spot)
        )


def _array(points: Sequence[Point]) -> Floats:
    return np.array(points, dtype=float).reshape(-1, 2)


def _grown(area: shapely.Geometry, by: float) -> shapely.Geometry:
    return shapely.buffer(area, by, join_style="mitre", mitre_limit=SHARP)
