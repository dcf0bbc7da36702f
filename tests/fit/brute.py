"""Brute force over every place at 1 in., for what the search for any kind answers.

It shares with the search the judgement of one place, and nothing of its bounds: what it leaves
unjudged, it leaves by polygons alone.
"""

import math
from collections.abc import Iterator
from dataclasses import replace

import numpy as np
import shapely
from tests.fit.dining_rooms import opening, piece, random_space, room

from roomwright.figures import load
from roomwright.fit.given import Needs, Piece, Space
from roomwright.fit.lay import directions
from roomwright.fit.search_judge import Judge
from roomwright.fit.search_rules import runs, symmetrical
from roomwright.fit.search_wanted import Place, Size, Wanted
from roomwright.fit.seats import seats_of
from roomwright.shape import anticlockwise, outward, unit, walls

NEEDS = Needs(
    {figure.key: float(figure.value) for figure in load().choose("kitchen and bath guidelines")}
)

KINDS = [
    ("bed", [(76, 80), (60, 80), (54, 75), (38, 75)], "against"),
    ("dresser", [(66, 18), (48, 20), (36, 18)], "against"),
    ("island", [(60, 36), (48, 30), (36, 24)], "anywhere"),
    ("desk", [(60, 30), (48, 24)], "anywhere"),
    ("round dining table", [(48, 48), (36, 36), (30, 30)], "anywhere"),
    ("dining table", [(60, 36), (48, 30), (36, 24)], "anywhere"),
    ("sofa", [(84, 36), (72, 34)], "against"),
    ("bookcase", [(72, 14), (48.5, 12)], "anywhere"),
    ("desk", [(60.5, 30), (48, 24.25)], "against"),
    ("dining table", [(66, 42), (48, 30)], "against"),
]


SIDES = {"back": 0, "left": 1, "front": 2, "right": 3}


def every_place(space: Space, wanted: Wanted, one: Piece) -> Iterator[tuple[float, float, float]]:
    """Center and turn of every place that the rule allows, without any bound."""
    outline = anticlockwise(space.rooms[0].outline)
    if wanted.place.rule == "against":
        for wall in runs(outline):
            (px, py), (qx, qy) = wall.side
            if wall.length < max(18, one.width):
                continue
            ux, uy = (qx - px) / wall.length, (qy - py) / wall.length
            turn = math.degrees(math.atan2(uy, ux))
            for s in [*np.arange(0, wall.length - one.width + 1e-9), wall.length - one.width]:
                along, in_ = s + one.width / 2, one.depth / 2
                yield px + ux * along - uy * in_, py + uy * along + ux * in_, turn
        return
    for angle in directions(outline):
        cos, sin = unit(angle)
        frame = [(x * cos + y * sin, y * cos - x * sin) for x, y in outline]
        west, south = min(u for u, _ in frame), min(v for _, v in frame)
        east, north = max(u for u, _ in frame), max(v for _, v in frame)
        count = 1 if one.round else 2 if symmetrical(one) else 4
        for quarter in range(count):
            w, d = (one.width, one.depth) if quarter % 2 == 0 else (one.depth, one.width)
            for u in np.arange(west, east - w + 0.5):
                for v in np.arange(south, north - d + 0.5):
                    a, b = u + w / 2, v + d / 2
                    yield a * cos - b * sin, a * sin + b * cos, (angle + 90 * quarter) % 360


def brute_force(space: Space, wanted: Wanted) -> tuple[Size, float] | None:
    """The largest size that fits and its widest tightest margin, over every place."""
    judge = Judge(space, NEEDS, space.rooms[0].outline)
    floor = shapely.Polygon(space.outline)
    solid = shapely.union_all([shapely.Polygon(p.outline) for p in space.pieces])
    groups: dict[float, list[Size]] = {}
    for size in wanted.sizes:
        groups.setdefault(worth(_top(wanted, size)), []).append(size)
    for value in sorted(groups, reverse=True):
        best: tuple[Size, float] | None = None
        for size in groups[value]:
            top = _top(wanted, size)
            places = np.array(list(every_place(space, wanted, top))).reshape(-1, 3)
            shapes = _outlines(top, places)
            smaller = shapely.buffer(shapes, -1 / 32)
            free = shapely.covers(floor, smaller) & ~shapely.intersects(solid, smaller)
            free &= ~bars(space, shapes)
            places, shapes = places[free], shapes[free]
            most = plain(space, top, places, shapes)
            for k in np.argsort(-most, kind="stable"):
                least = -1e-3 if best is None else best[1]
                if most[k] <= least + 1e-6:
                    break
                x, y, turn = places[k]
                trial = judge.of(replace(top, x=x, y=y, turn=turn), least=least)
                if trial is not None and trial.margin > least:
                    best = size, trial.margin
        if best is not None:
            return best
    return None


def _top(wanted: Wanted, size: Size) -> Piece:
    return Piece("new", wanted.kind, wanted.kind, size.width, size.depth, 30, 0, 0, room="R")


def _outlines(top: Piece, places: np.ndarray) -> np.ndarray:
    """The outline of a top at every place, as polygons."""
    cos, sin = (np.array([unit(t)[k] for t in places[:, 2]]).reshape(-1, 1) for k in (0, 1))
    ring = np.array(replace(top, x=0, y=0, turn=0).outline)
    x = places[:, :1] + ring[:, 0] * cos - ring[:, 1] * sin
    y = places[:, 1:2] + ring[:, 0] * sin + ring[:, 1] * cos
    return shapely.polygons(np.stack([x, y], axis=2))


def bars(space: Space, shapes: np.ndarray) -> np.ndarray:
    """Whether a shape surely stands in the way of who comes in by an opening."""
    found = np.zeros(len(shapes), dtype=bool)
    deep, hair = 18 - 1 / 16, 1 / 16
    for each in space.openings:
        a, b = np.array(each.a), np.array(each.b)
        along = (b - a) / each.width
        out = deep * np.array([along[1], -along[0]])
        lines = [shapely.LineString([p - out, p + out]) for p in (a, b)]
        met = shapely.intersection(shapes, shapely.Polygon([a - out, a + out, b + out, b - out]))
        free = np.fmax(shapely.distance(lines[0], met), shapely.distance(lines[1], met))
        least = min(NEEDS.get("walkway.minimum"), each.width)
        found |= (shapely.area(met) > 1.0) & (free < least - hair)
    return found


def plain(space: Space, top: Piece, places: np.ndarray, shapes: np.ndarray) -> np.ndarray:
    """Margins that are surely not exceeded, by polygons alone.

    Play on either hand; the least that a side needs; what is left before the sides of others.
    """
    assert not space.leaves
    walls_of = shapely.Polygon(space.outline).boundary
    others = [shapely.Polygon(p.outline) for p in space.pieces]
    stops = shapely.union_all([walls_of, *others])
    cos, sin = (np.array([unit(t)[k] for t in places[:, 2]]) for k in (0, 1))
    half = np.array([top.width, top.depth]) / 2
    clear = []
    for side in range(4):  # back, left, front, right: straight out over the side's width
        ox, oy = (sin, -cos, -sin, cos)[side], (-cos, -sin, cos, sin)[side]
        out, along = half[(1, 0)[side % 2]], half[side % 2] - 1 / 32
        cx, cy = places[:, 0] + ox * out, places[:, 1] + oy * out
        ends = [(cx + k * oy * along, cy - k * ox * along) for k in (-1, 1)]
        clear.append(_ahead(ends, ox, oy, stops))
    most = np.minimum(clear[0] + clear[2], clear[1] + clear[3])
    if top.sort.seats:
        least = NEEDS.get("dining.rise") - 0.1
        if top.round:
            most = shapely.distance(shapes, stops) - least
        else:
            most = np.minimum(most, np.minimum.reduce(clear) - least)
    for need in () if top.sort.seats else top.sort.needs:
        if need.take == "each" and not need.centerline and not need.wall and not need.ignore:
            wanted = NEEDS.get(need.figure)
            for side in need.sides:
                if side in SIDES:
                    most = np.minimum(most, clear[SIDES[side]] - wanted)
    for other in space.pieces:
        most = np.minimum(most, _left_before(space, other, top, shapes))
    return most


def _ahead(ends: list, ox: np.ndarray, oy: np.ndarray, stops: shapely.Geometry) -> np.ndarray:
    """How far it is straight out from sides, a hair off them, to what stops."""
    (ax, ay), (bx, by) = ends
    hair, far = 1 / 32, 600
    near = np.stack([ax + hair * ox, ay + hair * oy, bx + hair * ox, by + hair * oy], axis=1)
    away = np.stack([bx + far * ox, by + far * oy, ax + far * ox, ay + far * oy], axis=1)
    strips = shapely.polygons(np.concatenate([near, away], axis=1).reshape(-1, 4, 2))
    lines = shapely.linestrings(near.reshape(-1, 2, 2))
    return np.nan_to_num(
        shapely.distance(lines, shapely.intersection(strips, stops)) + hair, nan=1e9
    )


def _left_before(space: Space, other: Piece, top: Piece, shapes: np.ndarray) -> np.ndarray:
    """The most that is to spare before the sides of another piece, where the top is the first."""
    most = np.full(len(shapes), 1e9)
    kind = other.sort
    if kind.loose or other.stools or any(n.take != "each" for n in kind.needs):
        return most
    rest = [shapely.Polygon(p.outline) for p in space.pieces if p.id != other.id]
    stops = shapely.union_all([shapely.Polygon(space.outline).boundary, *rest])
    for local, (a, b) in zip(SIDES, walls(other.box), strict=True):
        wanted = [
            NEEDS.get(need.figure)
            for need in kind.needs
            if local in need.sides and not need.wall and not need.centerline
            if top.sort.name not in need.ignore
        ]
        if not wanted:
            continue
        out = np.array(outward((a, b)))
        along = np.array((-out[1], out[0])) / 32
        near = np.array([a + along, b - along])
        ends = [(x[:1], x[1:]) for x in near]
        now = float(_ahead(ends, out[:1], out[1:], stops)[0])
        strip = shapely.Polygon([*near, *(near[::-1] + now * out)])
        met = shapely.intersection(shapes, strip)
        off = shapely.distance(shapely.LineString(near), met)
        takes = (shapely.area(met) > 1.0) & (off < now - 1 / 16)
        most = np.where(takes, np.minimum(most, off - max(wanted)), most)
    return most


def worth(top: Piece) -> float:
    if not top.sort.seats:
        return top.width * top.depth
    return seats_of(top, NEEDS).total


def small_space(seed: int, share: float) -> Space:
    """One of the random rooms, made smaller, so that every place of it can be judged."""
    big = random_space(seed)

    def at(p):
        return p[0] * share, p[1] * share

    return room(
        [at(p) for p in big.outline],
        [opening(o.id, at(o.a), at(o.b), o.to) for o in big.openings],
        [
            piece(p.id, p.kind, p.width * share, p.depth * share, *at((p.x, p.y)), p.turn)
            for p in big.pieces
        ],
    )


def case(seed: int) -> tuple[Space, Wanted]:
    kind, sizes, place = KINDS[seed % len(KINDS)]
    wish = Wanted(
        kind, sizes=tuple(Size(*s) for s in sizes), height=30, place=Place(place), without=()
    )
    share = 0.7 if "table" in kind else 0.75 if kind == "bed" else 0.56
    return small_space(seed, share), wish


def stands_free(space: Space, top: Piece) -> bool:
    """Whether a piece is in the room and in nothing, by polygons alone."""
    shape = shapely.Polygon(top.outline)
    floor = shapely.Polygon(space.outline).buffer(1 / 64)
    others = [shapely.Polygon(p.outline) for p in space.pieces if p.id != top.id]
    others += [shapely.Polygon(b.outline) for b in space.fixed]
    return floor.covers(shape) and all(
        shape.intersection(other).area <= shape.length / 64 for other in others
    )
