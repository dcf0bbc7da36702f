"""What stands in a room stands inside it."""

from __future__ import annotations

from collections.abc import Iterator

import shapely

from roomwright import shape
from roomwright.exchange.rules.broken import Broken, Lacks, plain, ring
from roomwright.exchange.rules.outlines import is_simple
from roomwright.fit.features import features_of
from roomwright.fit.forms import form
from roomwright.job.entities import Fixed, Light, Piece, Room
from roomwright.job.facts import Facts
from roomwright.lengths import tape

SLACK = 0.25
"""So little outside is a matter of rounding [in]."""


def inside(facts: Facts, lacks: Lacks) -> Iterator[Broken]:
    """Pieces, fixed things and lights are inside their rooms."""
    rooms = {r.id: ring(r.outline) for r in facts.all(Room)}
    floors = {id: shapely.Polygon(c) for id, c in rooms.items() if is_simple(c)}
    for piece in facts.all(Piece):
        yield from _both("piece", piece.id, piece)
        body = _body(piece)
        if body is not None and piece.room in floors:
            yield from _out("piece", piece.id, "x", body, piece.room, floors[piece.room])
    for fixed in facts.all(Fixed):
        corners = ring(fixed.outline)
        if is_simple(corners) and fixed.room in floors:
            body = shapely.Polygon(corners)
            yield from _out("fixed", fixed.id, "outline", body, fixed.room, floors[fixed.room])
    for light in facts.all(Light):
        yield from _both("light", light.id, light)
        if light.x is not None and light.y is not None and light.room in floors:
            away = floors[light.room].distance(shapely.Point(plain((light.x, light.y))))
            if away > SLACK:
                yield Broken("light", light.id, "x", "warning",
                             f"hangs {tape(away)} outside room {light.room}",
                             "check its place, or its room")  # fmt: skip


def _both(kind: str, id: str, it: Piece | Light) -> Iterator[Broken]:
    if (it.x is None) != (it.y is None):
        lacks = "x" if it.x is None else "y"
        yield Broken(kind, id, lacks, "error", f"has a place without its {lacks}",
                     "give both x and y, or neither")  # fmt: skip


def _body(piece: Piece) -> shapely.Polygon | None:
    if piece.width is None or piece.depth is None or piece.x is None or piece.y is None:
        return None
    x, y, wide, deep = (float(v) for v in (piece.x, piece.y, piece.width, piece.depth))
    made = form(piece.kind, wide, deep, ring(piece.outline), features_of(piece.features))
    if made.straight:
        return shapely.Polygon(shape.rectangle(x, y, wide, deep, float(piece.turn)))
    return shapely.Polygon(shape.moved(shape.turned(made.outline, float(piece.turn)), x, y))


def _out(
    kind: str, id: str, field: str, body: shapely.Polygon, room: str, floor: shapely.Polygon
) -> Iterator[Broken]:
    """Yield a warning for what sticks out of its room."""
    if floor.distance(body) > SLACK:
        yield Broken(kind, id, field, "warning",
                     f"lies {tape(floor.distance(body))} outside room {room}",
                     "check its place, or its room")  # fmt: skip
        return
    outside = body.difference(floor)
    if outside.is_empty:
        return
    out = max(floor.distance(shapely.Point(p)) for p in shapely.get_coordinates(outside))
    if out > SLACK:
        yield Broken(kind, id, field, "warning", f"sticks {tape(out)} out of room {room}",
                     "check its place and its size")  # fmt: skip
