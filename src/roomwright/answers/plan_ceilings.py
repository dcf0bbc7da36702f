"""Where a room's ceiling slopes, as a plan shows it: the lines of a height, and which way it rises.

A line of a height is the edge of the floor over which the ceiling is lower: exact, valleys, hips
and the cheeks of dormers included.
"""

from __future__ import annotations

import shapely

from roomwright import shape
from roomwright.answers.plan_model import Contour, Rise
from roomwright.fit import ceilings
from roomwright.fit.given import HEADROOM, Room, Slope, Space
from roomwright.job import entities
from roomwright.lengths import tape
from roomwright.shape import Outline

SHORTEST = 1.0
"""A line of a height shorter than this is not drawn [in]."""

ARROW = 60.0
"""Length of an arrow up a slope at most [in]; half of the slope where that is shorter."""


def sloped(
    room: entities.Room, outline: Outline, slopes: tuple[entities.Slope, ...]
) -> tuple[tuple[Contour, ...], tuple[Rise, ...]]:
    """The lines of a height and the rises of a room's sloped ceiling; none where it is flat.

    Parameters
    ----------
    outline
        between finished faces, counterclockwise [in]
    """
    high = None if room.ceiling is None else float(room.ceiling)
    this = Room(room.id, room.name, outline, high)
    planes = [
        Slope(each.id, _point(each.a), _point(each.b), float(each.low), float(each.pitch), room.id)
        for each in slopes
    ]
    space = Space((this,), outline, slopes=tuple(planes))
    heights = [HEADROOM] if high is None else [h for h in (HEADROOM, high) if h <= high]
    contours = [line for height in heights for line in _contours(space, height)]
    rises = [rise for each in planes if (rise := _rise(this, each, high)) is not None]
    return tuple(contours), tuple(rises)


def _contours(space: Space, height: float) -> list[Contour]:
    lower = ceilings.under(space, height)
    floor = shapely.Polygon(space.outline)
    edge = shapely.intersection(shapely.boundary(lower), shapely.buffer(floor, -0.05))
    lines = shapely.line_merge(edge) if not edge.is_empty else edge
    return [
        Contour(tuple((float(x), float(y)) for x, y in part.coords), height, tape(height))
        for part in shapely.get_parts(lines)
        if isinstance(part, shapely.LineString) and part.length > SHORTEST
    ]


def _rise(room: Room, slope: Slope, high: float | None) -> Rise | None:
    found = ceilings.planes(room, [slope])
    if not found:
        return None
    plane = found[0]
    floor = shapely.Polygon(room.outline)
    line = shapely.intersection(shapely.LineString([slope.a, slope.b]), shapely.buffer(floor, 0.1))
    at = shape.middle((slope.a, slope.b)) if line.is_empty else shapely.centroid(line).coords[0]
    x, y = float(at[0]), float(at[1])
    far = ARROW
    if high is not None and slope.pitch > 0:
        far = min(far, (high - slope.low) * 12 / slope.pitch / 2)
    ux, uy = plane.up
    start = 0.15 * far
    return Rise(
        slope.id,
        (x + ux * start, y + uy * start),
        (x + ux * far, y + uy * far),
        f"ceiling {tape(slope.low)}, rises {round(slope.pitch, 2):g} in 12",
    )


def _point(p: entities.Point) -> tuple[float, float]:
    return float(p[0]), float(p[1])
