"""Room to turn: the largest circle on a free floor, and where a shape of rectangles fits.

The circle is found by halving over the eroded floor and settled by climbing; its diameter is the
true distance at its center, so the circle always fits, and none that is 1/64 in. larger does. Where
a rectangle of a given direction fits is exact: the floor less, for every edge of what is solid, the
convex hull of the places at which the rectangle would meet it.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence

import numpy as np
import shapely

from roomwright.fit.bounds import Floats
from roomwright.shape import Outline, Point, walls

TOLERANCE = 1 / 64
"""The largest circle is at most this much larger than the one found [in]."""

_SLACK = 1e-3
"""Rectangles are tried this much smaller on each side: what fits exactly fits [in]."""

Rect = tuple[float, float, float, float]
"""West, south, east, north of a rectangle about its place, before it is turned [in]."""

T_SHAPE: tuple[Rect, ...] = ((-30, -18, 30, 18), (-18, -42, 18, -18))
"""A T in a square of 60 in.: arms and base 36 wide, 12 clear each way and 24 (304.3.2)."""


def largest_circle(floor: shapely.Geometry, within: shapely.Geometry) -> tuple[float, Point] | None:
    """Diameter [in] and center of the largest circle on a floor whose center lies within an area.

    None where no part of the floor lies there.

    >>> diameter, center = largest_circle(shapely.box(0, 0, 96, 60), shapely.box(0, 0, 96, 60))
    >>> round(diameter, 2), round(center[1], 2)
    (60.0, 30.0)
    """
    edge = shapely.boundary(floor)
    inside = shapely.intersection(floor, within)
    if shapely.area(inside) <= 0:
        return None
    west, south, east, north = shapely.bounds(floor).tolist()
    low, high = 0.0, min(east - west, north - south) / 2
    best = inside
    while high - low > TOLERANCE / 4:
        radius = (low + high) / 2
        left = shapely.intersection(shapely.buffer(floor, -radius, quad_segs=32), within)
        if shapely.is_empty(left):
            high = radius
        else:
            low, best = radius, left
    parts = shapely.get_parts(best)
    spots = np.concatenate(
        [shapely.points(shapely.get_coordinates(best)), shapely.point_on_surface(parts)]
    )
    away = shapely.distance(edge, spots)
    start = spots[int(away.argmax())]
    return _climbed(edge, inside, (float(start.x), float(start.y)))


def _climbed(edge: shapely.Geometry, inside: shapely.Geometry, at: Point) -> tuple[float, Point]:
    """A center moved to where it has most room about it: steps that halve when none helps."""
    turn = np.arange(16) * math.pi / 8
    ways = np.stack([np.cos(turn), np.sin(turn)], axis=1)
    best = float(shapely.distance(edge, shapely.Point(at)))
    step = 0.25
    while step > 1e-6:
        spots = np.array(at) + step * ways
        points = shapely.points(spots)
        away = np.where(shapely.covers(inside, points), shapely.distance(edge, points), -1.0)
        k = int(away.argmax())
        if away[k] > best + 1e-9:
            best, at = float(away[k]), (float(spots[k, 0]), float(spots[k, 1]))
        else:
            step /= 2
    return 2 * best, at


def places(floor: shapely.Geometry, rects: Iterable[Rect], turn: float = 0.0) -> shapely.Geometry:
    """Where the place of a shape may be, so that all its rectangles lie on the floor.

    `turn` turns the shape about its place, degrees counterclockwise.

    >>> room = shapely.box(0, 0, 100, 50)
    >>> [round(v) for v in places(room, [(-15, 0, 15, 48)]).bounds]
    [15, 0, 85, 2]
    """
    cos, sin = math.cos(math.radians(turn)), math.sin(math.radians(turn))
    parts = shapely.get_parts(floor)
    found: shapely.Geometry | None = None
    for west, south, east, north in rects:
        w, s, e, n = west + _SLACK, south + _SLACK, east - _SLACK, north - _SLACK
        corners = np.array([(w, s), (e, s), (e, n), (w, n)]) @ np.array([[cos, sin], [-sin, cos]])
        for_one = shapely.union_all([_eroded(part, corners) for part in parts])
        found = for_one if found is None else shapely.intersection(found, for_one)
    return shapely.Polygon() if found is None else found


def _eroded(part: shapely.Polygon, corners: Floats) -> shapely.Geometry:
    rings = shapely.get_rings(part)
    edges = []
    for ring in rings:
        xy = shapely.get_coordinates(ring)
        edges.append(np.stack([xy[:-1], xy[1:]], axis=1))
    ends = np.concatenate(edges)  # (m, 2 ends, 2)
    spots = (ends[:, :, None, :] - corners[None, None, :, :]).reshape(len(ends), -1, 2)
    meets = shapely.convex_hull(shapely.multipoints(np.asarray(shapely.points(spots))))
    x, y = corners[0]
    shifted = shapely.transform(part, lambda xy: xy - np.array([x, y]))
    return shapely.difference(shifted, shapely.union_all(meets))


def t_turn(
    floor: shapely.Geometry, within: shapely.Geometry, outline: Outline
) -> tuple[Point, float] | None:
    """The place and the turn of a T-shaped turning space along the walls of a room; None if none.

    >>> room = shapely.Polygon([(0, 0), (60, 0), (60, 36), (48, 36), (48, 60), (12, 60), (12, 36),
    ...                         (0, 36)])
    >>> [round(v) for v in t_turn(room, room, tuple(room.exterior.coords)[:-1])[0]]
    [30, 18]
    """
    for direction in _directions(outline):
        for quarter in range(4):
            turn = direction + 90 * quarter
            spot = shapely.intersection(places(floor, T_SHAPE, turn), within)
            if not shapely.is_empty(spot):
                at = shapely.point_on_surface(spot)
                return (float(at.x), float(at.y)), turn % 360
    return None


def _directions(outline: Sequence[Point]) -> list[float]:
    """Directions of the walls from 0 to 90 degrees, those of the longest walls first."""
    lengths: dict[float, float] = {}
    for (ax, ay), (bx, by) in walls(tuple(outline)):
        turn = round(math.degrees(math.atan2(by - ay, bx - ax)) % 90, 6) % 90
        lengths[turn] = lengths.get(turn, 0.0) + math.hypot(bx - ax, by - ay)
    return sorted(lengths, key=lambda turn: -lengths[turn])[:6]
