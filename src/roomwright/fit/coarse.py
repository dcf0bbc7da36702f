"""Fixed things with thousands of corners, taken as simpler ones that hold them.

What asks a room goes over pairs of sides, so its time grows with the square of the corners.
"""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass, replace

import shapely

from roomwright.fit.found import Finding, Word
from roomwright.fit.given import Body
from roomwright.lengths import tape
from roomwright.shape import Outline

MOST_CORNERS = 400
"""A fixed thing with more corners is taken as a simpler one; as for drawn pieces, our choice."""

FINEST = 1 / 16
"""A simpler outline first strays so far [in], then twice as far each time, our choice."""

COARSEST = 16.0
"""Where so far [in] is not enough, the outline is that of a rubber band round it, our choice."""


@dataclass(frozen=True, slots=True)
class Coarse:
    """A fixed thing that was taken as a simpler one: how many corners it had, how far that strays.

    `stray` is how far the simpler outline reaches beyond the true one at most [in].
    """

    body: Body
    corners: int
    stray: float


def taken(fixed: Iterable[Body]) -> tuple[tuple[Body, ...], tuple[Coarse, ...]]:
    """Fixed things, each with few enough corners, and those of them that had more.

    >>> import math
    >>> turns = [2 * math.pi * k / 3000 for k in range(3000)]
    >>> column = Body("F1", "column", "column", "fixed",
    ...     tuple((9 * math.cos(t), 9 * math.sin(t)) for t in turns))
    >>> (simpler,), (said,) = taken([column])
    >>> len(simpler.outline) < 100, said.corners, said.stray < 1 / 4
    (True, 3000, True)
    """
    bodies: list[Body] = []
    coarse: list[Coarse] = []
    for body in fixed:
        if len(body.outline) <= MOST_CORNERS:
            bodies.append(body)
            continue
        ring, stray = fewer(body.outline)
        bodies.append(replace(body, outline=ring))
        coarse.append(Coarse(bodies[-1], len(body.outline), stray))
    return tuple(bodies), tuple(coarse)


def fewer(outline: Outline) -> tuple[Outline, float]:
    """An outline of few corners that holds another, and how far it reaches beyond it [in]."""
    whole: shapely.Geometry = shapely.Polygon(outline)
    if not shapely.is_valid(whole) or shapely.area(whole) <= 1e-3:
        whole = shapely.convex_hull(whole)  # as crossed outlines are taken elsewhere
    stray = FINEST
    while isinstance(whole, shapely.Polygon) and stray <= COARSEST:
        # Grown by a little more than simplifying may take away again: it still holds the whole.
        grown = shapely.buffer(whole, 1.1 * stray, quad_segs=2)
        simple = shapely.simplify(shapely.Polygon(grown.exterior), stray)
        if isinstance(simple, shapely.Polygon) and len(simple.exterior.coords) <= MOST_CORNERS:
            return _ring(simple), _beyond(simple, whole)
        stray *= 2
    hull = shapely.convex_hull(whole)
    if len(shapely.get_coordinates(hull)) > MOST_CORNERS:
        hull = shapely.oriented_envelope(hull)
    return _ring(hull), _beyond(hull, whole)


def _ring(shape: shapely.Geometry) -> Outline:
    points = [(float(x), float(y)) for x, y in shapely.get_coordinates(shape)]
    return tuple(points[:-1] if len(points) > 1 and points[0] == points[-1] else points)


def _beyond(shape: shapely.Geometry, whole: shapely.Geometry) -> float:
    corners = shapely.points(shapely.get_coordinates(shape))
    return float(shapely.distance(whole, corners).max(initial=0.0))


def told(coarse: Iterable[Coarse]) -> tuple[Finding, ...]:
    """What was taken as simpler than it is drawn, in words."""
    return tuple(
        Finding(
            "corners",
            Word.MEASURE,
            f"The {each.body.name} {each.body.id} has {each.corners:,} corners; it is taken as "
            f"one of {len(each.body.outline)} that reaches up to "
            f"{tape(math.ceil(16 * each.stray) / 16)} beyond it. Draw it with "
            f"{MOST_CORNERS} or fewer.",
            each.body.room,
            (each.body.id,),
        )
        for each in coarse
    )
