"""How each side of a table is used: people walk past it, edge past it, or only rise from it.

The use follows from the room, not from a form. A side whose zone, at walk-past depth, is crossed
by the widest walk path between two openings is walked past; a side that faces something people
serve themselves from (a sideboard, drawers, a closet) is edged past; from any other side people
only rise. The builder's own word on a side comes first, and shows.
"""

from collections.abc import Sequence
from dataclasses import dataclass

import shapely

from roomwright.fit.ground import Ground
from roomwright.fit.model import Use
from roomwright.shape import TOUCH, Outline, Point, Segment, outward

FIGURE: dict[Use, str] = {
    "rise": "dining.rise",
    "edge past": "dining.edge_past",
    "walk past": "dining.walk_past",
    "slide in": "dining.bench",
}
"""Key of the figure that each use needs behind a seated person."""

PURPOSE: dict[Use, str] = {
    "rise": "for pushing a chair back and rising",
    "edge past": "for edging past someone seated",
    "walk past": "for walking behind someone seated",
    "slide in": "for a bench that is not pushed back",
}

FACING = 72.0
"""A side faces what people serve themselves from if that stands no farther off than this
[in], our choice."""


@dataclass(frozen=True, slots=True)
class Trail:
    """The line of a walk path between two openings."""

    from_: str
    to: str
    points: tuple[Point, ...]


def zone(side: Segment, depth: float) -> Outline:
    """The floor straight out from a side, so deep [in]."""
    (ax, ay), (bx, by) = side
    ox, oy = outward(side)
    return (
        (ax, ay),
        (ax + depth * ox, ay + depth * oy),
        (bx + depth * ox, by + depth * oy),
        (bx, by),
    )


def use_of(
    ground: Ground, side: Segment, skip: Sequence[int], depth: float, trails: Sequence[Trail]
) -> tuple[Use, str]:
    """The use of a seated side and what it follows from.

    `depth` is the walk-past depth [in]; `skip` names the owners that do not count.
    """
    crossing = crossed(zone(side, depth), trails)
    if crossing is not None:
        return "walk past", f"walk path, {crossing.from_} to {crossing.to}"
    met = served(ground, side, skip)
    if met:
        return "edge past", f"to the {met}"
    return "rise", "nobody passes"


def crossed(area: Outline, trails: Sequence[Trail]) -> Trail | None:
    """The first trail that runs through an area; running along its edge does not count."""
    shape = shapely.buffer(shapely.Polygon(area), -TOUCH, join_style="mitre")
    for trail in trails:
        if len(trail.points) > 1 and shapely.intersects(shape, shapely.LineString(trail.points)):
            return trail
    return None


def served(ground: Ground, side: Segment, skip: Sequence[int]) -> str:
    """What the side faces that people serve themselves from, or "" if nothing."""
    ahead = ground.ahead(side, skip)
    if ahead is not None and ahead.owner in ground.swings:  # the door will be shut again
        ahead = ground.ahead(side, (*skip, *ground.swings))
    if ahead is not None and ahead.clear <= FACING and ground.serves(ahead):
        return ground.name_of(ahead)[0]
    return ""
