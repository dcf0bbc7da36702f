"""The floor on which the center of a round body may stand, and straight lines of sight over it."""

import math
from functools import lru_cache

import numpy as np
import shapely

from roomwright.fit.bounds import Bools, Floats, Ints, walls
from roomwright.fit.solids import Geometries
from roomwright.fit.ways import Passage
from roomwright.shape import Segment

FLAT = 1 / 4
"""A line turns about corners on chords that come nearer by less than this than the arc [in]."""

HAIR = 1 / 128
"""A route is sought for a body this much smaller in radius than the tightest gap [in]."""

_NUDGE = 1e-3


@lru_cache(maxsize=64)
def _circle(quarter: int) -> Floats:
    """Corners (4 * quarter, 2) of the chords of a circle of radius 1, clockwise from east."""
    turn = np.arange(4 * quarter) * (-math.pi / 2 / quarter)
    return np.stack([np.cos(turn), np.sin(turn)], axis=1)


@lru_cache(maxsize=1024)
def _wall(space: shapely.Polygon, a: Segment, b: Segment, radius: float) -> Geometries:
    """What the center of a body of a radius keeps out of along the walls but for two openings.

    A strip along each wall, to the inside only; a circle about each jamb and corner that juts in.
    """
    sides = walls(space, a, b).sides
    solid = np.flatnonzero(sides.solid)
    xy = np.stack([sides.x, sides.y], axis=1)
    came, left = xy - xy[sides.previous], xy[sides.next] - xy
    juts = came[:, 0] * left[:, 1] - came[:, 1] * left[:, 0] < 0
    juts |= ~sides.solid | ~sides.solid[sides.previous]
    round_about = shapely.polygons(xy[juts][:, None] + radius * _circle(_quarter(radius)))
    start, end = xy[solid], xy[sides.next[solid]]
    run = end - start
    length = np.hypot(run[:, 0], run[:, 1])
    long = length > 0
    start, end, run = start[long], end[long], run[long] / length[long, None]
    inward = radius * np.stack([-run[:, 1], run[:, 0]], axis=1)
    strips = shapely.polygons(np.stack([start, end, end + inward, start + inward], axis=1))
    return np.concatenate([round_about, strips])


def _quarter(radius: float) -> int:
    """Chords to a quarter of a circle that stray from the arc by less than `FLAT`."""
    turn = math.acos(max(0.0, 1 - FLAT / radius)) if radius > FLAT else math.pi / 4
    return max(2, math.ceil(math.pi / 4 / turn))


def grown(passage: Passage, width: float) -> Geometries:
    """What the center of a body of a width keeps out of between two openings, shape by shape.

    Walls are grown to the inside only: what is behind a wall is not in the way in an opening.
    """
    radius = max(0.0, width / 2 - HAIR)
    if radius == 0:
        return passage.solids.shapes
    standing = shapely.buffer(passage.solids.shapes, radius, quad_segs=_quarter(radius))
    return np.concatenate([standing, _wall(passage.space, *passage.bounds.openings, radius)])


class Sight:
    """Corners round which a taut line over a floor may turn, and what is seen from where.

    Parameters
    ----------
    floor
        One polygon, or several that do not meet.
    ends
        The two ends of the line, in the polygon or on its edge.
    """

    def __init__(self, floor: shapely.Geometry, ends: Segment) -> None:
        rings = shapely.get_rings(shapely.orient_polygons(shapely.get_parts(floor)))
        xy, ring = shapely.get_coordinates(rings, return_index=True)
        last = np.append(ring[1:] != ring[:-1], True)
        xy, sizes = xy[~last], np.bincount(ring) - 1
        starts = np.cumsum(sizes) - sizes
        after = np.arange(1, len(xy) + 1)
        after[starts + sizes - 1] = starts
        before = np.empty_like(after)
        before[after] = np.arange(len(xy))
        self.ax, self.ay = xy[:, 0], xy[:, 1]
        self.after = after
        leg = xy[after] - xy
        leg /= np.hypot(leg[:, 0], leg[:, 1])[:, None]
        came = leg[before]
        turn = came[:, 0] * leg[:, 1] - came[:, 1] * leg[:, 0]
        reflex = np.flatnonzero(turn < -1e-9)  # the floor is on the left
        out = np.stack([-(came + leg)[:, 1], (came + leg)[:, 0]], axis=1)[reflex]
        scale = _NUDGE / np.maximum(np.hypot(out[:, 0], out[:, 1]), 0.2)
        nodes = xy[reflex] + out * scale[:, None]
        self.x = np.concatenate([[ends[0][0], ends[1][0]], nodes[:, 0]])
        self.y = np.concatenate([[ends[0][1], ends[1][1]], nodes[:, 1]])
        self._came, self._left = came[reflex], leg[reflex]

    def distances(self) -> Floats:
        """Lengths of the straight pieces a taut line may be made of (n, n) [in], else infinite.

        Nodes 0 and 1 are the ends.
        """
        first, second = np.nonzero(self._taut())
        upward = first < second
        first, second = first[upward], second[upward]
        seen = self._visible(first, second)
        first, second = first[seen], second[seen]
        length = np.hypot(self.x[second] - self.x[first], self.y[second] - self.y[first])
        found = np.full((len(self.x), len(self.x)), np.inf)
        found[first, second] = found[second, first] = length
        return found

    def straight_to_end(self) -> list[float]:
        """How far each node is from the line's end, straight through everything [in]."""
        away: list[float] = np.hypot(self.x - self.x[1], self.y - self.y[1]).tolist()
        return away

    def _taut(self) -> Bools:
        """Pairs of nodes where a line between them touches both corners and may turn there."""
        dx, dy = self.x[2:] - self.x[:, None], self.y[2:] - self.y[:, None]
        touches = np.ones((len(self.x), len(self.x)), dtype=bool)
        touches[:, 2:] = _either_side(
            dx * self._came[:, 1] - dy * self._came[:, 0],
            dx * self._left[:, 1] - dy * self._left[:, 0],
        )
        return np.asarray(touches & touches.T)

    def _visible(self, first: Ints, second: Ints) -> Bools:
        """Which pairs of nodes see each other over the floor."""
        x, y = self.x[first][:, None], self.y[first][:, None]
        vx, vy = self.x[second][:, None] - x, self.y[second][:, None] - y
        left = vx * (self.ay - y) - vy * (self.ax - x) > 0
        pair, edge = np.nonzero(left != left[:, self.after])
        cx, cy = self.ax[edge] - x[pair, 0], self.ay[edge] - y[pair, 0]
        ex = self.ax[self.after[edge]] - self.ax[edge]
        ey = self.ay[self.after[edge]] - self.ay[edge]
        own = cx * ey - cy * ex
        other = own + ex * vy[pair, 0] - ey * vx[pair, 0]
        seen = np.ones(len(first), dtype=bool)
        seen[pair[(own > 0) != (other > 0)]] = False
        return seen


def _either_side(first: Floats, second: Floats) -> Bools:
    """Where two offsets lie on either side of a line, or one lies as good as on it."""
    level = np.minimum(np.abs(first), np.abs(second)) < 2 * _NUDGE
    return np.asarray(level | ((first < 0) != (second < 0)))
