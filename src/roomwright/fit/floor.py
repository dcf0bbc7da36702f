"""The floor on which the center of a round body may stand, and straight lines of sight over it."""

import math
from functools import lru_cache

import numpy as np
import shapely

from roomwright.fit.bounds import Bools, Floats, Ints, walls
from roomwright.fit.ways import Passage
from roomwright.shape import Segment

FLAT = 1 / 4
"""A line turns about corners on chords that come nearer by less than this than the arc [in]."""

HAIR = 1 / 128
"""A route is sought for a body this much smaller in radius than the tightest gap [in]."""

_NUDGE = 1e-3


@lru_cache(maxsize=1024)
def _wall_lines(space: shapely.Polygon, a: Segment, b: Segment) -> tuple[shapely.Geometry, ...]:
    """The walls of a space but for two openings, and the jambs."""
    sides = walls(space, a, b).sides
    solid = np.flatnonzero(sides.solid)
    after = sides.next[solid]
    ends = np.stack([sides.x[solid], sides.y[solid], sides.x[after], sides.y[after]], axis=1)
    lines = shapely.MultiLineString(ends.reshape(-1, 2, 2).tolist())
    return shapely.line_merge(lines), shapely.MultiPoint([*a, *b])


def free(passage: Passage, width: float) -> shapely.Geometry:
    """Where the center of a body of a width may stand between two openings."""
    radius = max(0.0, width / 2 - HAIR)
    lines = _wall_lines(passage.space, *passage.bounds.openings)
    solid = np.array([*passage.solids.shapes, *lines], dtype=object)
    if radius > 0:
        turn = math.acos(max(0.0, 1 - FLAT / radius)) if radius > FLAT else math.pi / 4
        quarter = max(2, math.ceil(math.pi / 4 / turn))
        solid = np.asarray(shapely.buffer(solid, radius, quad_segs=quarter))
    return shapely.difference(passage.space, shapely.union_all(solid))


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

    def seen(self, node: int) -> Ints:
        """Nodes (0 and 1 are the ends) that a taut line may reach straight from `node`."""
        x, y = float(self.x[node]), float(self.y[node])
        return self._visible(x, y, self._taut(x, y, node))

    def _taut(self, x: float, y: float, node: int) -> Ints:
        """Nodes where a line from here may touch a corner and turn round it, or end."""
        dx, dy = self.x[2:] - x, self.y[2:] - y
        came = dx * self._came[:, 1] - dy * self._came[:, 0]
        left = dx * self._left[:, 1] - dy * self._left[:, 0]
        touches = _either_side(came, left)
        if node >= 2:
            cx, cy = self._came[node - 2]
            lx, ly = self._left[node - 2]
            touches &= _either_side(dx * cy - dy * cx, dx * ly - dy * lx)
            touches[node - 2] = False
        chosen = np.flatnonzero(touches) + 2
        ends = [end for end in (0, 1) if end != node]
        return np.concatenate([np.array(ends, dtype=chosen.dtype), chosen])

    def _visible(self, x: float, y: float, nodes: Ints) -> Ints:
        cx, cy = self.ax - x, self.ay - y
        vx, vy = self.x[nodes][:, None] - x, self.y[nodes][:, None] - y
        side = vx * cy - vy * cx > 0
        split = side != side[:, self.after]
        dx, dy = cx[self.after], cy[self.after]
        ex, ey = dx - cx, dy - cy
        own = cx * dy - cy * dx
        other = own + (ex * vy - ey * vx)
        hidden = split & ((own > 0) != (other > 0))
        return np.asarray(nodes[~hidden.any(axis=1)])


def _either_side(first: Floats, second: Floats) -> Bools:
    """Where two offsets lie on either side of a line, or one lies as good as on it."""
    level = np.minimum(np.abs(first), np.abs(second)) < 2 * _NUDGE
    return np.asarray(level | ((first < 0) != (second < 0)))
