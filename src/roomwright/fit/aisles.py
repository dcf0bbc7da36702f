"""Work aisles of a kitchen: between counters, islands and appliances that face each other."""

from dataclasses import dataclass

import numpy as np
import shapely

from roomwright.fit.clear import Ahead, Edges, clear_ahead
from roomwright.fit.ground import SERVED_SIDE, Ground
from roomwright.fit.model import Body, Finding, Needs
from roomwright.fit.verdicts import judge
from roomwright.lengths import tape
from roomwright.shape import TOUCH, Outline, Segment, outward, walls

FIGURE = "kitchen.aisle_one"
PURPOSE = "for a work aisle for one cook"
WIDEST = 72.0
"""Things farther apart do not make an aisle [in], our choice."""


@dataclass(frozen=True, slots=True)
class _Facing:
    """Two kitchen things that face each other, and the gap between them."""

    first: Body
    second: Body
    ahead: Ahead


def aisles(ground: Ground, needs: Needs) -> tuple[Finding, ...]:
    """Every aisle of the space with its width against the work aisle of one cook.

    An aisle runs between two things that kinds mark with `aisle`, face to face: any side of a
    counter or an island, the front of an appliance. Its width is the least distance straight
    across. What meets the figure is told too.
    """
    wanted = needs.get(FIGURE)
    if wanted is None:
        return ()
    found = []
    for facing in _facing(ground):
        first, second, clear = facing.first, facing.second, facing.ahead.clear
        verdict = judge(clear, wanted, needs.spare, PURPOSE)
        text = (
            f"Aisle from the {first.name} {first.id} to the {second.name} {second.id}: "
            f"{tape(clear)} of {tape(wanted)}, {verdict.text}."
        )
        found.append(
            Finding(
                "aisle",
                verdict.word,
                text,
                first.room,
                (first.id, second.id),
                by=verdict.by,
                figure=FIGURE,
                at=(facing.ahead.p, facing.ahead.q),
                clear=clear,
                needs=wanted,
            )
        )
    return tuple(found)


def _facing(ground: Ground) -> list[_Facing]:
    """Pairs of kitchen things that face each other, each pair once, at its narrowest."""
    things = [
        body
        for body, kind in zip(ground.bodies, ground.kinds, strict=True)
        if kind.aisle and body.what != "swing"
    ]
    best: dict[tuple[str, str], _Facing] = {}
    for number, first in enumerate(things):
        for second in things[number + 1 :]:
            gap = _across(ground, first, second)
            if gap is not None:
                best[first.id, second.id] = _Facing(first, second, gap)
    islands_first = sorted(best.values(), key=lambda each: (each.ahead.clear, each.first.id))
    return [_island_first(each) for each in islands_first]


def _island_first(facing: _Facing) -> _Facing:
    """Name the island first where one of the two is one."""
    if "island" in facing.second.kind and "island" not in facing.first.kind:
        return _Facing(facing.second, facing.first, facing.ahead)
    return facing


def _faces(body: Body) -> list[Segment]:
    """The sides that people work at: an appliance's front, all sides of what is built in."""
    sides = walls(body.outline)
    return [sides[SERVED_SIDE]] if body.what == "piece" and len(sides) == 4 else sides


def _across(ground: Ground, first: Body, second: Body) -> Ahead | None:
    """The narrowest straight way across from a face of one to a face of the other."""
    before = [side for side in _faces(first) if _may_face(side, second.outline)]
    if not before:
        return None
    edges = Edges([second.outline])
    faces = {frozenset(side) for side in _faces(second)}
    sides = walls(second.outline)
    found = [
        ahead
        for side in before
        if (ahead := clear_ahead(side, edges)) is not None
        and TOUCH < ahead.clear <= WIDEST
        and frozenset(sides[ahead.wall]) in faces
    ]
    gap = min(found, key=lambda ahead: ahead.clear, default=None)
    if gap is None or _between(ground, gap, first, second):
        return None
    return gap


def _may_face(side: Segment, outline: Outline) -> bool:
    """Whether any of an outline can lie straight before a side and near; quick, and never no."""
    (ax, ay), (bx, by) = side
    ox, oy = outward(side)
    along = [(x - ax) * -oy + (y - ay) * ox for x, y in outline]
    off = [(x - ax) * ox + (y - ay) * oy for x, y in outline]
    width = (bx - ax) * -oy + (by - ay) * ox
    return max(off) > 0 and min(off) <= WIDEST and max(along) > 0 and min(along) < width


def _between(ground: Ground, gap: Ahead, first: Body, second: Body) -> bool:
    """Whether a third thing or a wall stands in the gap."""
    line = shapely.LineString([gap.p, gap.q])
    if not shapely.covers(ground.roomy, line):
        return True
    met = np.flatnonzero(shapely.intersects(line, np.array(ground.shapes, dtype=object)))
    return any(
        ground.bodies[k].what != "swing"
        and ground.bodies[k].id not in (first.id, second.id)
        and float(shapely.length(shapely.intersection(line, ground.shapes[k]))) > TOUCH
        for k in met
    )
