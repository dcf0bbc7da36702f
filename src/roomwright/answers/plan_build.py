"""From the facts of a room and what the fit engine found there to what a plan shows."""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping

import shapely

from roomwright import shape
from roomwright.answers import plan_walls
from roomwright.answers.plan_model import (
    WORDS,
    Leaf,
    Opening,
    Piece,
    Thing,
    Way,
    Window,
    Word,
    Zone,
)
from roomwright.fit import model as fit
from roomwright.fit.features import without_features
from roomwright.fit.spaces import OUT, Door, swing
from roomwright.fit.stools import rows_at, spots
from roomwright.lengths import inches, tape
from roomwright.shape import Outline, Point, Segment

MANY_PATHS = 3
"""With more walk paths than this in a room, those that are wide enough are not drawn."""

RUN = 10.0
"""Depth of a tread where the stair does not say [in]; for the look of a drawing only."""


def worst(words: Iterable[str]) -> Word:
    """The gravest of some verdict words.

    >>> worst(["fits", "short", ""])
    'short'
    """
    return max((word for word in WORDS if word in set(words)), key=WORDS.index, default="")


def opening(
    door: Door, room: str, outlines: Mapping[str, Outline], names: Mapping[str, str]
) -> Opening | None:
    """An opening as one room draws it; None if it shows on no wall of that room."""
    seen = plan_walls.faces(door, room, outlines)
    if seen is None:
        return None
    near, far = seen
    to = door.to_room if room == door.from_room else door.from_room
    leaves: tuple[Leaf, ...] = ()
    into = outlines.get(door.swings_into or "")
    if door.kind.startswith("swing") and into is not None:
        hung = swing(door, into, handle=0.0)
        leaves = tuple(Leaf(each.pivot, each.shut, each.open) for each in hung)
    slab = None
    if door.kind == "pocket":
        wide = door.width or math.dist(*near)
        slab = plan_walls.pocket(near, far, wide, outlines[room])
    return Opening(
        id=door.id,
        kind=door.kind,
        near=near,
        far=far,
        to=to,
        to_name="outside" if to == OUT else names.get(to, to),
        width=math.dist(*near),
        leaves=leaves,
        slab=slab,
    )


def window(id: str, a: Point, b: Point, outline: Outline) -> Window:
    """A window through the outside wall."""
    shown = shape.through_wall((a, b), outline)
    near = shown[1] if shown else (a, b)
    return Window(id, near, plan_walls.outward(near, outline))


def thing(id: str, name: str, outline: Outline, run: float | None) -> Thing:
    """A fixed thing; one that is named a stair gets its treads."""
    plain = name.lower()
    if plain.startswith("stair well"):
        return Thing(id, name, outline, "well")
    if not plain.startswith("stair"):
        rows = rows_at(fit.Body(id, name, name, "fixed", outline)) if "stools" in plain else ()
        seats = tuple(spot for row in rows for spot in spots(row))
        return Thing(id, without_features(name), outline, stools=seats)
    west, south = min(p[0] for p in outline), min(p[1] for p in outline)
    east, north = max(p[0] for p in outline), max(p[1] for p in outline)
    step = run or RUN
    treads: list[Segment] = []
    if north - south >= east - west or "first treads" in plain:
        treads = [((west, y), (east, y)) for y in _steps(south, north, step)]
    else:
        treads = [((x, south), (x, north)) for x in _steps(west, east, step)]
    return Thing(id, name, outline, "stair", tuple(treads))


def _steps(low: float, high: float, step: float) -> list[float]:
    count = int((high - low - 1e-6) // step)
    return [low + step * (i + 1) for i in range(count)]


def piece(each: fit.PieceFit) -> Piece | None:
    """A piece where it stands; None while it has no size or no place."""
    it = each.piece
    if not it.placed or it.x is None or it.y is None or it.width is None or it.depth is None:
        return None
    size = f"round {tape(it.width)}" if it.round else f"{_plain(it.width)} × {_plain(it.depth)}"
    name = it.kind.removeprefix("round ") if it.round else it.kind
    lines = [f"{name} {size}"]
    if each.seats:
        lines.append(f"seats {each.seats}")
    return Piece(
        id=it.id,
        kind=it.kind,
        name=it.name or it.kind,
        outline=it.outline,
        x=it.x,
        y=it.y,
        turn=it.turn,
        width=it.width,
        depth=it.depth,
        round=it.round,
        chairs=each.chairs,
        lines=tuple(lines),
        word=word_of(each.verdict),
        verdict=each.verdict.text,
        straight=it.straight,
        opens=tuple(zone.outline for zone in each.zones if zone.use == "open"),
    )


def _plain(size: float) -> str:
    """A size as it is said, 84 or 16 1/2, without the inch mark."""
    return inches(size).removesuffix('"')


def word_of(verdict: fit.Verdict | None) -> Word:
    """A verdict's word, empty where nothing was asked."""
    return "" if verdict is None else _WORD[verdict.word]


_WORD: dict[fit.Word, Word] = {each: word for each in fit.Word for word in WORDS if word == each}


def zones(found: fit.RoomFit, outline: Outline) -> tuple[Zone, ...]:
    """The floor of each side that is short or blocked: its clear distance over its width."""
    floor = shapely.Polygon(outline)
    made: list[Zone] = []
    for each in found.pieces:
        for side in each.sides:
            word = word_of(side.verdict)
            if side.at is None or not side.clear or word not in ("short", "blocked"):
                continue
            strip = shapely.Polygon(_strip(side.at, each.piece.outline))
            for part in shapely.get_parts(shapely.intersection(strip, floor)):
                if isinstance(part, shapely.Polygon) and part.area > 1:
                    ring = tuple((float(x), float(y)) for x, y, *_ in part.exterior.coords[:-1])
                    made.append(Zone(ring, word, each.piece.id, side.side))
    return tuple(made)


def _strip(at: Segment, own: Outline) -> Outline:
    """The floor that a clear distance stands for: its line moved along the piece's width."""
    (px, py), (qx, qy) = at
    clear = max(math.dist(*at), 1e-9)
    ox, oy = (qx - px) / clear, (qy - py) / clear
    across = [(x - px) * -oy + (y - py) * ox for x, y in own]
    low, high = min(across), max(across)
    return (
        (px - low * oy, py + low * ox),
        (qx - low * oy, qy + low * ox),
        (qx - high * oy, qy + high * ox),
        (px - high * oy, py + high * ox),
    )


def ways(found: fit.RoomFit, names: Mapping[str, str], outline: Outline) -> tuple[Way, ...]:
    """The walk paths to draw, each as far as it runs in this room.

    A room with many openings has a path between each two of them; then only those are drawn
    that are not wide enough.
    """
    drawn = [w for w in found.ways if len(w.points) > 1]
    if len(drawn) > MANY_PATHS:
        drawn = [w for w in drawn if word_of(w.verdict) in ("tight", "short", "blocked")]
    reach = shapely.buffer(shapely.Polygon(outline), 0.1, join_style="mitre")
    made: list[Way] = []
    for way in drawn:
        inside = shapely.intersection(shapely.LineString(way.points), reach)
        runs = [p for p in shapely.get_parts(inside) if isinstance(p, shapely.LineString)]
        for number, run in enumerate(r for r in runs if r.length > 1):
            points = tuple((float(x), float(y)) for x, y, *_ in run.coords)
            id_ = f"{way.from_}-{way.to}" + (f"/{number + 1}" if number else "")
            made.append(Way(id_, points, word_of(way.verdict), path_words(way, names)))
    return tuple(made)


def path_words(way: fit.Way, names: Mapping[str, str]) -> str:
    """What a walk path is called: where it leads from and to."""
    ends = [names.get(each, each) for each in (way.from_, way.to)]
    return f"walk path {ends[0]} to {ends[1]}"
