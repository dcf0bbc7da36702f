"""Obstacles made ready for a walking route: cut to the space, and overlapping ones made one."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np
import shapely
from numpy.typing import NDArray

from roomwright.fit.bounds import Bools, Floats, Ints, Ruler, Sides, label

Geometries = NDArray[Any]

_SLIVER = 1e-9
"""A scrap of an obstacle left by cutting it to the space counts from this area on [in2]."""


@dataclass(frozen=True, slots=True, eq=False)
class Solids:
    """What stands in a space: its shapes; and corners, size and shape number of their rings."""

    shapes: Geometries
    xy: Floats
    sizes: Ints
    component: Ints


def solids(space: shapely.Polygon, obstacles: Sequence[shapely.Polygon]) -> Solids:
    """Cut obstacles to the space, join those that overlap, and take their rings.

    Raises
    ------
    ValueError
        If an obstacle is not a valid polygon; it is named by its place in the list.
    """
    shapes = np.array(list(obstacles), dtype=object)
    if len(shapes):
        _check(shapes)
        shapes = _merged(_clipped(space, shapes))
    if not len(shapes):
        return Solids(shapes, np.empty((0, 2)), np.empty(0, int), np.empty(0, int))
    rings, part = shapely.get_rings(shapes, return_index=True)
    xy, ring = shapely.get_coordinates(rings, return_index=True)
    last = np.append(ring[1:] != ring[:-1], True)  # rings repeat their first corner at the end
    sizes = np.bincount(ring) - 1
    return Solids(shapes, xy[~last], sizes, part)


def _check(shapes: Geometries) -> None:
    areal = np.isin(shapely.get_type_id(shapes), (3, 6)) | shapely.is_empty(shapes)
    for bad in np.flatnonzero(~(areal & shapely.is_valid(shapes))):
        why = shapely.is_valid_reason(shapes[bad])
        raise ValueError(f"obstacle {bad} is not a valid polygon: {why}")


def _clipped(space: shapely.Polygon, shapes: Geometries) -> Geometries:
    """The parts of obstacles in the space that have an area."""
    shapely.prepare(space)
    astray = ~shapely.covers(space, shapes)
    if astray.any():
        shapes = shapes.copy()
        shapes[astray] = shapely.intersection(space, shapes[astray])
    return _polygons(shapes) if astray.any() or _manifold(shapes) else shapes


def _manifold(shapes: Geometries) -> bool:
    return bool(np.any(shapely.get_type_id(shapes) != 3) or np.any(shapely.is_empty(shapes)))


def _polygons(shapes: Geometries) -> Geometries:
    parts = shapely.get_parts(shapely.get_parts(shapes))  # a collection may hold a multipolygon
    keep = (shapely.get_type_id(parts) == 3) & (shapely.area(parts) > _SLIVER)
    return np.asarray(parts[keep])


def _merged(shapes: Geometries) -> Geometries:
    """Union of obstacles whose boxes overlap; those that only touch meet across a gap of 0."""
    west, south, east, north = shapely.bounds(shapes).T
    box = (
        (west[:, None] < east) & (west < east[:, None])
        & (south[:, None] < north) & (south < north[:, None])
    )  # fmt: skip
    crowded = box.sum(axis=1) > 1
    if not crowded.any():
        return shapes
    joined = _polygons(np.array([shapely.union_all(shapes[crowded])], dtype=object))
    return np.concatenate([shapes[~crowded], joined])


def sided(found: Solids, ruler: Ruler, first: int) -> tuple[Sides, int | None]:
    """Sides of the corners of solids; and a corner of one that shuts an opening in, if any.

    Components are numbered from `first` on. A piece that surrounds an opening changes side
    going once round.
    """
    none = np.zeros(len(found.xy), dtype=bool)
    owner = np.repeat(found.component, found.sizes)
    sides = label(found.xy, found.sizes, owner + first, ruler, none, owner)
    starts = np.cumsum(found.sizes) - found.sizes
    ends = starts + found.sizes - 1
    x, y, side = sides.x, sides.y, sides.side
    around = side[ends] ^ ruler.crossed(x[ends], y[ends], x[starts], y[starts])
    shut = int(starts[np.flatnonzero(around)[0]]) if around.any() else None
    if len(starts) > len(found.shapes):
        side = side ^ np.repeat(_across(found, sides, starts, ruler), found.sizes)
        sides = Sides(
            x, y, sides.next, sides.previous, sides.component, side, sides.solid, sides.source
        )
    return sides, shut


def _across(found: Solids, sides: Sides, starts: Ints, ruler: Ruler) -> Bools:
    """For each ring, whether going to it from its piece's outer ring changes side."""
    outer = starts[np.searchsorted(found.component, found.component)]
    x, y = sides.x, sides.y
    return ruler.crossed(x[outer], y[outer], x[starts], y[starts])
