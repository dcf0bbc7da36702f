"""Walls with their thickness, from rooms given between finished faces.

The gap between two rooms is the wall between them, to the true thickness. An outside wall has no
other face in the facts: it is drawn `OUTER` thick and nothing is measured from there.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping, Sequence
from itertools import pairwise

import shapely

from roomwright.fit.spaces import OUT, Door, as_seen
from roomwright.shape import Outline, Point, Segment, through_wall

OUTER = 6.5
"""An outside wall as drawn: 2x6 studs with board and sheathing; common practice [in]."""

_SLIVER = 0.5
"""Scraps of wall smaller than this are rounding [in2]."""

_CORNER = 1.05
"""Half of what is cut off as the scrap of another wall at a corner [in]."""

_REACH = 0.02
"""A slot is cut this much past both faces, so that no skin of wall stays [in]."""

Solids = tuple[tuple[Outline, ...], ...]


def solids(rooms: Sequence[Outline], others: Sequence[Outline], slots: Iterable[Outline]) -> Solids:
    """The walls round some rooms, cut at the slots; each solid as its rings, the outer one first.

    >>> room = ((0, 0), (100, 0), (100, 80), (0, 80))
    >>> beyond = ((104.5, 0), (200, 0), (200, 80), (104.5, 80))
    >>> wall, = solids([room], [beyond], [((99, 20), (106, 20), (106, 50), (99, 50))])
    >>> max(x for x, y in wall[0]), min(x for x, y in wall[0])
    (104.5, -6.5)
    """
    mine = [shapely.Polygon(outline) for outline in rooms]
    beyond = [shapely.Polygon(outline) for outline in others]
    taken = shapely.union_all([*mine, *beyond])
    around = shapely.union_all([_grown(each, OUTER) for each in mine])
    solid: shapely.Geometry = shapely.difference(around, taken)
    if beyond:
        solid = _trimmed(solid, shapely.union_all(mine), beyond)
    holes = [shapely.Polygon(each) for each in slots]
    if holes:
        solid = shapely.difference(solid, shapely.union_all(holes))
    parts = [part for part in shapely.get_parts(solid) if part.area > _SLIVER]
    parts = [p for p in parts if isinstance(p, shapely.Polygon)]
    return tuple(
        (_ring(part.exterior), *map(_ring, part.interiors)) for part in sorted(parts, key=_place)
    )


def _grown(shape: shapely.Geometry, by: float) -> shapely.Geometry:
    return shapely.buffer(shape, by, join_style="mitre", mitre_limit=3.0)


def _trimmed(
    solid: shapely.Geometry, mine: shapely.Geometry, others: Sequence[shapely.Polygon]
) -> shapely.Geometry:
    """The walls without what lies behind them: stubs of walls that part two other rooms."""
    for other in others:
        gap = shapely.distance(mine, other)
        if 0 < gap < OUTER:
            stub = shapely.difference(_grown(other, gap), _grown(mine, gap))
            solid = shapely.difference(solid, stub)
    return _grown(_grown(solid, -_CORNER), _CORNER)


def _place(part: shapely.Polygon) -> tuple[float, ...]:
    return tuple(part.bounds)


def _ring(ring: shapely.LinearRing) -> Outline:
    return tuple((float(x), float(y)) for x, y, *_ in ring.coords[:-1])


def faces(door: Door, room: str, outlines: Mapping[str, Outline]) -> tuple[Segment, Segment] | None:
    """An opening on the face of `room` and on the wall's other face; None if on no wall."""
    mine = as_seen(door, room, outlines[room])
    if mine is None:
        return None
    near = (mine.a, mine.b)
    other = door.to_room if room == door.from_room else door.from_room
    if other != OUT and other in outlines:
        beyond = as_seen(door, other, outlines[other])
        if beyond is not None:
            return near, _matched(near, (beyond.a, beyond.b))
    return near, outward(near, outlines[room])


def _matched(near: Segment, far: Segment) -> Segment:
    if math.dist(near[0], far[0]) > math.dist(near[0], far[1]):
        return far[1], far[0]
    return far


def outward(near: Segment, outline: Outline, thick: float = OUTER) -> Segment:
    """A segment of a room's face carried out to the wall's other face."""
    shown = through_wall(near, outline)
    (ax, ay), (bx, by) = near
    length = max(math.dist(*near), 1e-9)
    out = ((by - ay) / length, (ax - bx) / length)
    if shown is not None:
        middle = ((ax + bx) / 2 + out[0], (ay + by) / 2 + out[1])
        if shapely.contains_xy(shapely.Polygon(outline), *middle):
            out = -out[0], -out[1]
    return _moved(near, out, thick)


def _moved(segment: Segment, direction: Point, by: float) -> Segment:
    (ax, ay), (bx, by_) = segment
    dx, dy = direction[0] * by, direction[1] * by
    return (ax + dx, ay + dy), (bx + dx, by_ + dy)


def slot(near: Segment, far: Segment) -> Outline:
    """What an opening or a window takes out of the wall."""
    a, b = near
    c, d = _matched(near, far)
    back, ahead = _stretch(a, c), _stretch(b, d)
    return back[0], ahead[0], ahead[1], back[1]


def _stretch(a: Point, b: Point) -> Segment:
    length = math.dist(a, b)
    if length < 1e-9:
        return a, b
    ux, uy = (b[0] - a[0]) / length * _REACH, (b[1] - a[1]) / length * _REACH
    return (a[0] - ux, a[1] - uy), (b[0] + ux, b[1] + uy)


def pocket(near: Segment, far: Segment, width: float, outline: Outline) -> Segment | None:
    """Where a leaf that slides into the wall stands when open: the side with more wall.

    The facts do not say into which side it slides; the drawing shows the one where it can.
    """
    shown = through_wall(near, outline)
    if shown is None:
        return None
    index = shown[0]
    wall = outline[index], outline[(index + 1) % len(outline)]
    a, b = (
        ((near[0][0] + far[0][0]) / 2, (near[0][1] + far[0][1]) / 2),
        (
            (near[1][0] + far[1][0]) / 2,
            (near[1][1] + far[1][1]) / 2,
        ),
    )
    length = max(math.dist(a, b), 1e-9)
    ux, uy = (b[0] - a[0]) / length, (b[1] - a[1]) / length
    past = max(math.dist(near[1], end) * _sign(near[1], end, (ux, uy)) for end in wall)
    before = max(math.dist(near[0], end) * _sign(near[0], end, (-ux, -uy)) for end in wall)
    if past >= before:
        return b, (b[0] + ux * width, b[1] + uy * width)
    return (a[0] - ux * width, a[1] - uy * width), a


def _sign(at: Point, end: Point, direction: Point) -> float:
    return 1.0 if (end[0] - at[0]) * direction[0] + (end[1] - at[1]) * direction[1] > 0 else -1.0


def unwalled(outlines: Sequence[Outline]) -> tuple[Segment, ...]:
    """Where rooms touch without a wall between them."""
    found: list[Segment] = []
    shapes = [shapely.Polygon(outline) for outline in outlines]
    for i, first in enumerate(shapes):
        for second in shapes[i + 1 :]:
            shared = shapely.intersection(first.exterior, second.exterior)
            for part in shapely.get_parts(shapely.line_merge(shared) if shared.length else shared):
                if isinstance(part, shapely.LineString) and part.length > 1:
                    points = [(float(x), float(y)) for x, y, *_ in part.coords]
                    found += pairwise(points)
    return tuple(found)
