"""A round or oval table: one answer all around it, held against what each direction is used for.

People rise all around. Where the line of a walk path passes, what stands beyond it must leave
room to walk behind a chair; before a sideboard, room to edge past. Each need is measured in its
own direction, so a wall behind a chair where nobody walks is not asked to leave a walkway.
"""

import math
from collections.abc import Iterator, Sequence
from dataclasses import replace

import shapely

from roomwright.fit import uses
from roomwright.fit.clear import Ahead
from roomwright.fit.ground import SERVED_SIDE, Ground
from roomwright.fit.model import Body, Needs, Piece, Side
from roomwright.shape import TOUCH, Outline, Segment, outward, walls

FAR = 1e4
"""Farther than anything in a house [in]."""


def asked(
    ground: Ground,
    piece: Piece,
    own: Sequence[int],
    needs: Needs,
    trails: Sequence[uses.Trail],
) -> Iterator[Side]:
    """Each use of the floor around such a table, with the least distance where it happens.

    The first is for rising, all around; then one for each walk path that passes and each thing
    that people serve themselves from.
    """
    top = shapely.Polygon(piece.outline)
    side = _nearest(ground, top, own, None)
    if side is not None:
        yield replace(side, use="rise", why="nobody passes")
    depth = needs.get(uses.FIGURE["walk past"]) or 0.0
    for trail in trails:
        for wedge in _wedges(piece, top, depth, trail, (needs.get("seat.width") or 24.0) / 2):
            side = _nearest(ground, top, own, wedge)
            if side is not None:
                why = f"walk path, {trail.from_} to {trail.to}"
                yield replace(side, use="walk past", why=why)
    for number, body in enumerate(ground.bodies, len(ground.rings)):
        if number not in own and (face := _served(ground, number, body, piece)) is not None:
            side = _towards(ground, top, number, face)
            if side is not None:
                yield replace(side, use="edge past", why=f"to the {side.binding}")


def _wedges(
    piece: Piece, top: shapely.Polygon, depth: float, trail: uses.Trail, seat: float
) -> Iterator[shapely.Polygon]:
    """The directions in which a line passes within `depth`, widened by half a seat either way."""
    if len(trail.points) < 2 or depth <= TOUCH:
        return
    ring = shapely.buffer(top, depth - TOUCH, quad_segs=32)
    x, y, width, depth = piece.where
    narrow = width if piece.round else min(width, depth)
    for part in shapely.get_parts(shapely.intersection(shapely.LineString(trail.points), ring)):
        if part.is_empty:  # a line that stays clear meets the ring in one empty part
            continue
        turns = _turns([(px - x, py - y) for px, py in shapely.get_coordinates(part).tolist()])
        wider = seat / max(narrow / 2, seat)
        low, high = min(turns) - wider, max(turns) + wider
        yield _wedge(x, y, low, min(high, low + 2 * math.pi))


def _turns(spots: Sequence[tuple[float, float]]) -> list[float]:
    """Directions of points one after the other, without jumps [rad]."""
    turns: list[float] = []
    for x, y in spots:
        turn = math.atan2(y, x)
        last = turns[-1] if turns else turn
        turns.append(last + (turn - last + math.pi) % (2 * math.pi) - math.pi)
    return turns


def _wedge(x: float, y: float, low: float, high: float) -> shapely.Polygon:
    count = max(1, math.ceil((high - low) / (math.pi / 6)))
    arc = [low + (high - low) * i / count for i in range(count + 1)]
    far = [(x + FAR * math.cos(a), y + FAR * math.sin(a)) for a in arc]
    if high - low >= 2 * math.pi - 1e-9:
        return shapely.Polygon(far)
    return shapely.Polygon([(x, y), *far])


def _served(ground: Ground, number: int, body: Body, piece: Piece) -> Outline | None:
    """The face that people serve themselves from, if it looks at the table."""
    if not ground.kinds[number - len(ground.rings)].serves:
        return None
    if body.what == "fixed":
        return *body.outline, body.outline[0]
    front: Segment = walls(body.outline)[SERVED_SIDE]
    x, y, _, _ = piece.where
    out = outward(front)
    return front if (x - front[0][0]) * out[0] + (y - front[0][1]) * out[1] > 0 else None


def _towards(ground: Ground, top: shapely.Polygon, number: int, face: Outline) -> Side | None:
    """The way to a face, if it is near enough and nothing stands between."""
    line = shapely.shortest_line(top, shapely.LineString(face))
    if float(shapely.length(line)) > uses.FACING:
        return None
    if not shapely.covers(shapely.buffer(ground.floor, TOUCH), line):
        return None
    own = number - len(ground.rings)
    for i, (body, solid) in enumerate(zip(ground.bodies, ground.shapes, strict=True)):
        if i == own or body.what == "swing" or shapely.intersects(solid, shapely.centroid(top)):
            continue
        if float(shapely.length(shapely.intersection(line, solid))) > TOUCH:
            return None
    return _made(ground, line, number)


def _nearest(
    ground: Ground, top: shapely.Polygon, own: Sequence[int], wedge: shapely.Polygon | None
) -> Side | None:
    """The nearest obstruction, and where; only in the directions of a wedge, if there is one."""
    solid: list[shapely.Geometry] = [*map(shapely.LinearRing, ground.rings), *ground.shapes]
    found: list[tuple[float, int, shapely.Geometry]] = []
    for number, line in enumerate(solid):
        if number in own:
            continue
        part = line if wedge is None else shapely.intersection(line, wedge)
        if not shapely.is_empty(part):
            found.append((float(shapely.distance(top, part)), number, part))
    if not found:
        return None
    _, number, nearest = min(found, key=lambda item: item[:2])
    return _made(ground, shapely.shortest_line(top, nearest), number)


def _made(ground: Ground, line: shapely.Geometry, owner: int) -> Side:
    """A side whose clear distance is a line from the table to something."""
    (px, py), (qx, qy) = shapely.get_coordinates(line).tolist()
    clear, wall = float(shapely.length(line)), 0
    if owner < len(ground.rings):
        sides = walls(ground.rings[owner])
        end = shapely.Point(qx, qy)
        wall = min(
            range(len(sides)), key=lambda i: shapely.distance(shapely.LineString(sides[i]), end)
        )
    at = ((px, py), (qx, qy))
    binding, binding_id = ground.name_of(Ahead(clear, owner, wall, *at))
    return Side(
        side="around",
        local="around",
        clear=clear,
        needs=None,
        margin=None,
        use="",
        binding=binding,
        binding_id=binding_id,
        at=at,
        figure="",
        verdict=None,
    )
