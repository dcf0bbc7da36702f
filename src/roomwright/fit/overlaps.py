"""Two things in one place: pieces that overlap, or that stick out of the room.

Touching is fine: an overlap counts from 1/64 in. on.
"""

import shapely

from roomwright.fit.ground import Ground
from roomwright.fit.model import HEADROOM, Body, Finding, Piece, Word
from roomwright.fit.verdicts import length
from roomwright.shape import TOUCH, extent


def overlaps(ground: Ground, piece: Piece) -> tuple[Finding, ...]:
    """What a placed piece overlaps, and where it sticks out of the room.

    Two pieces that overlap are told once each, at the piece that is asked about.
    """
    if piece.sort.loose:
        return ()
    mine = shapely.Polygon(piece.outline)
    top = piece.height if piece.height is not None else HEADROOM
    found = []
    for body, shape in zip(ground.bodies, ground.shapes, strict=True):
        if body.what in ("swing", "slope") or body.id == piece.id or body.low >= top:
            continue
        deep = _shared(mine, shape)
        if deep is not None:
            found.append(_overlap(piece, body, deep))
    found += _outside(ground, piece, mine)
    return tuple(found)


def _shared(first: shapely.Polygon, second: shapely.Polygon) -> float | None:
    """How deep two shapes overlap [in]; None if they are apart or touch."""
    if not shapely.intersects(first, second):
        return None
    size = extent(shapely.intersection(first, second), TOUCH)
    return None if size is None else size[1]


def _overlap(piece: Piece, body: Body, deep: float) -> Finding:
    text = (
        f"The {piece.name} {piece.id} and the {body.name} {body.id} stand in the same place: "
        f"they overlap by {length(deep)}. Move or shrink one of them."
    )
    return Finding("overlap", Word.BLOCKED, text, piece.room, (piece.id, body.id), by=deep)


def _outside(ground: Ground, piece: Piece, mine: shapely.Polygon) -> list[Finding]:
    """The finding that a piece sticks out of the room, if it does."""
    if shapely.covers(ground.floor, mine):
        return []
    parts = shapely.get_parts(shapely.difference(mine, ground.floor)).tolist()
    deep = max((_beyond(ground, part) for part in parts), default=0.0)
    if deep <= TOUCH:
        return []
    if shapely.disjoint(ground.floor, mine):
        text = f"The {piece.name} {piece.id} stands outside room {piece.room}."
        return [Finding("outside", Word.BLOCKED, text, piece.room, (piece.id,), by=deep)]
    text = (
        f"The {piece.name} {piece.id} sticks {length(deep)} into the wall of room {piece.room}. "
        "Move or shrink it, or measure the wall again."
    )
    return [Finding("outside", Word.BLOCKED, text, piece.room, (piece.id,), by=deep)]


def _beyond(ground: Ground, part: shapely.Geometry) -> float:
    """How far a part that sticks out reaches beyond the floor [in]."""
    corners = shapely.points(shapely.get_coordinates(part))
    return float(shapely.distance(ground.floor, corners).max(initial=0.0))
