"""The dimensions of a plan: walls, clear distances, walk paths, ceiling boxes, openings."""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import replace

import shapely

from roomwright import shape
from roomwright.answers.plan_build import path_words, word_of, worst
from roomwright.answers.plan_model import Box, Dim, Opening
from roomwright.fit import model as fit
from roomwright.fit.evaluate import label
from roomwright.lengths import tape
from roomwright.shape import Outline, Point, Segment

SLIDES = (0.28, 0.72, 0.14, 0.86, 0.05, 0.95, 0.4, 0.6)
"""Where else along a side its clear distance is tried, as parts of the side."""

SAME = 1 / 32
"""Two clear distances that differ by less than this are one on a drawing [in]."""

STEP = 10.0
"""A dimension from a wall is tried this far to either side, again and again [in]."""

PARALLEL = 0.05
"""Walls whose directions differ by less are drawn alike [deg]."""

BESIDE = 48.0
"""Equal distances farther apart than this are two on a drawing [in]."""


def wall_dims(outline: Outline) -> tuple[Dim, ...]:
    """The length of each wall; walls that are alike and opposite share one dimension.

    >>> [(d.key, d.what) for d in wall_dims(((0, 0), (162, 0), (162, 150), (0, 150)))]
    [('wall A', 'walls A and C'), ('wall B', 'walls B and D')]
    """
    found: list[Dim] = []
    turns: list[float] = []
    for index, (a, b) in enumerate(shape.walls(outline)):
        letter = shape.letter(index)
        length = math.dist(a, b)
        turn = math.degrees(math.atan2(b[1] - a[1], b[0] - a[0])) % 180
        for i, (dim, other) in enumerate(zip(found, turns, strict=True)):
            if abs(length - math.dist(dim.p, dim.q)) < SAME and abs(turn - other) < PARALLEL:
                letters = f"{dim.letter} {letter}"
                told = " and ".join(letters.split())
                found[i] = replace(dim, what=f"walls {told}", letter=letters)
                break
        else:
            found.append(
                Dim(f"wall {letter}", "wall", a, b, tape(length), f"wall {letter}", letter=letter)
            )
            turns.append(turn)
    return tuple(found)


def side_dims(found: fit.RoomFit, solids: Sequence[Outline], outline: Outline) -> tuple[Dim, ...]:
    """The clear distance of each side that something is asked of, and where else it holds.

    Where two pieces face each other, one dimension says it for both, with the graver verdict.
    """
    dims: list[Dim] = []
    for each in found.pieces:
        for side in each.sides:
            if side.at is None or side.clear is None or side.needs is None:
                continue
            word = word_of(side.verdict)
            facing = _facing(dims, side)
            if facing is not None:
                dims[facing] = replace(dims[facing], word=worst((dims[facing].word, word)))
                continue
            name = each.piece.name or each.piece.kind
            dims.append(
                Dim(
                    key=f"{each.piece.id} {side.side}",
                    kind="clear",
                    p=side.at[0],
                    q=side.at[1],
                    text=tape(side.clear),
                    what=f"{name} {label(each.piece, side)} to {side.binding}",
                    word=word,
                    elsewhere=elsewhere(side.at, each.piece.outline, solids, outline),
                    piece=each.piece.id,
                    side=side.side,
                )
            )
    return tuple(dims)


def _facing(dims: Sequence[Dim], side: fit.Side) -> int | None:
    """Which of the dimensions is the same gap, seen from the piece that this side ends at."""
    for i, dim in enumerate(dims):
        mine = side.at is not None and _one_gap(side.at, (dim.p, dim.q))
        if mine and side.binding_id and dim.piece == side.binding_id:
            return i
    return None


def elsewhere(
    at: Segment, own: Outline, solids: Sequence[Outline], outline: Outline
) -> tuple[Segment, ...]:
    """Other lines beside `at`, from the same piece, on which the same clear distance is met."""
    (px, py), (qx, qy) = at
    clear = math.dist(*at)
    if clear < 0.5:
        return ()
    ox, oy = (qx - px) / clear, (qy - py) / clear
    across = [(x - px) * -oy + (y - py) * ox for x, y in own]
    low, high = min(across), max(across)
    hits = shapely.union_all(
        [
            shapely.LinearRing(outline),
            *(shapely.LinearRing(ring) for ring in solids if set(ring) != set(own)),
        ]
    )
    found: list[Segment] = []
    for t in SLIDES:
        shift = low + t * (high - low)
        start = (px - shift * oy, py + shift * ox)
        end = (start[0] + (clear + 1) * ox, start[1] + (clear + 1) * oy)
        met = shapely.intersection(shapely.LineString([start, end]), hits)
        if met.is_empty:
            continue
        first = shapely.distance(shapely.Point(start), met)
        if abs(first - clear) <= SAME and shapely.dwithin(
            shapely.Polygon(own), shapely.Point(start), SAME
        ):
            found.append((start, (start[0] + clear * ox, start[1] + clear * oy)))
    return tuple(found)


def finding_dims(
    found: fit.RoomFit, taken: Iterable[Dim], names: Mapping[str, str]
) -> tuple[Dim, ...]:
    """Distances that findings name: an aisle between counters, the floor before a closet.

    `names` says what the things in the room are called, by id.
    """
    made: list[Dim] = []
    seen = [(d.p, d.q) for d in taken]
    for each in found.findings:
        if each.at is None or each.clear is None or math.dist(*each.at) < 0.5:
            continue
        if abs(math.dist(*each.at) - each.clear) > SAME or _drawn(each.at, seen):
            continue
        seen.append(each.at)
        key = " ".join((each.kind, *each.ids))
        made.append(
            Dim(
                key=key,
                kind="clear",
                p=each.at[0],
                q=each.at[1],
                text=tape(each.clear),
                what=f"{each.kind} {' to '.join(_called(id_, names) for id_ in each.ids)}".strip(),
                word=word_of(fit.Verdict(each.severity, "")),
                piece=each.ids[0] if each.ids else "",
            )
        )
    return tuple(made)


def _called(id_: str, names: Mapping[str, str]) -> str:
    name = names.get(id_, "").split(",")[0]
    return f"{name} {id_}".strip()


def _drawn(at: Segment, seen: Iterable[Segment]) -> bool:
    """Whether the same distance is dimensioned already: the same ends, or a line beside it."""
    return any(_one_gap(at, other) for other in seen)


def _one_gap(first: Segment, second: Segment) -> bool:
    """Whether two lines measure one gap: equally long, side by side, and not far apart."""
    length = math.dist(*first)
    if length < 1e-6 or abs(length - math.dist(*second)) > SAME:
        return False
    (ax, ay), (bx, by) = first
    ux, uy = (bx - ax) / length, (by - ay) / length
    for p, q in (second, second[::-1]):
        ends = [((x - cx) * ux + (y - cy) * uy, (x - cx) * -uy + (y - cy) * ux)
                for (x, y), (cx, cy) in ((p, first[0]), (q, first[1]))]  # fmt: skip
        if all(abs(along) <= SAME and abs(off) <= BESIDE for along, off in ends):
            return True
    return False


def with_ways(
    found: fit.RoomFit,
    names: Mapping[str, str],
    openings: Iterable[Opening],
    taken: Sequence[Dim],
    outline: Outline,
) -> tuple[Dim, ...]:
    """The dimensions with the tightest point of each walk path, once where several share it.

    Where a side's clear distance is that point, its dimension says so; a path that is tightest at
    one of its own openings shows that there already.
    """
    dims = list(taken)
    room = shapely.Polygon(outline)
    jambs = [each.near for each in openings] + [each.far for each in openings]
    for way in found.ways:
        at = (way.p, way.q)
        if way.tightest <= 0.5 or _drawn(at, jambs):
            continue
        if not shapely.dwithin(room, shapely.Point(*shape.middle(at)), SAME):
            continue  # it is tight in the next room, which says so itself
        told, word = f"tightest of {path_words(way, names)}", word_of(way.verdict)
        for i, dim in enumerate(dims):
            if _one_gap(at, (dim.p, dim.q)):
                if "tightest of" not in dim.what:
                    dims[i] = replace(dim, what=f"{dim.what}; {told}", word=worst((dim.word, word)))
                break
        else:
            key = f"way {way.from_}-{way.to}"
            dims.append(Dim(key, "way", *at, tape(way.tightest), told, word))
    return tuple(dims)


def box_dims(boxes: Iterable[Box], outline: Outline) -> tuple[Dim, ...]:
    """Each ceiling box from the wall straight west of it and from the wall straight south.

    Boxes in a row, all as far from one wall, share the dimension from it.
    """
    made: dict[tuple[str, str, str], list[tuple[Box, Segment, int]]] = {}
    for box in boxes:
        at = (box.x, box.y)
        for direction, axis in (((-1.0, 0.0), "x"), ((0.0, -1.0), "y")):
            hit = _wall_toward(at, direction, outline)
            if hit is not None:
                index, point = hit
                row = (axis, shape.letter(index), tape(math.dist(point, at)))
                made.setdefault(row, []).append((box, (point, at), index))
    return tuple(_row_dim(row, found, outline) for row, found in made.items())


def _row_dim(
    row: tuple[str, str, str], found: Sequence[tuple[Box, Segment, int]], outline: Outline
) -> Dim:
    axis, letter, text = row
    first, line, index = found[0]
    others = [each for _, each, _ in found[1:]]
    ids = " ".join(box.id for box, _, _ in found)
    return Dim(
        key=f"{first.id} {axis}",
        kind="box",
        p=line[0],
        q=line[1],
        text=text,
        what=f"{first.name} {ids} from wall {letter}",
        elsewhere=(*others, *_shifted(line, shape.walls(outline)[index])),
        letter=letter,
    )


def _shifted(line: Segment, wall: Segment) -> tuple[Segment, ...]:
    """The same line moved along the wall it starts from, as long as it starts from that wall."""
    (px, py), (qx, qy) = line
    length = math.dist(*wall)
    ux, uy = (wall[1][0] - wall[0][0]) / length, (wall[1][1] - wall[0][1]) / length
    if length < 1 or abs(ux * (qx - px) + uy * (qy - py)) > SAME:
        return ()  # a slanted wall is another distance off at each place
    here = (px - wall[0][0]) * ux + (py - wall[0][1]) * uy
    steps = [s * STEP for k in range(1, 13) for s in (k, -k)]
    return tuple(
        ((px + s * ux, py + s * uy), (qx + s * ux, qy + s * uy))
        for s in steps
        if 2 <= here + s <= length - 2
    )


def _wall_toward(at: Point, direction: Point, outline: Outline) -> tuple[int, Point] | None:
    """The wall met first straight out from a point, and where."""
    far = (at[0] + 1e5 * direction[0], at[1] + 1e5 * direction[1])
    ray = shapely.LineString([at, far])
    best: tuple[float, int, Point] | None = None
    for index, wall in enumerate(shape.walls(outline)):
        met = shapely.intersection(ray, shapely.LineString(wall))
        if met.is_empty or not isinstance(met, shapely.Point):
            continue
        clear = math.dist(at, (met.x, met.y))
        if best is None or clear < best[0]:
            best = clear, index, (met.x, met.y)
    return None if best is None else (best[1], best[2])


def opening_dims(openings: Iterable[Opening], outline: Outline) -> tuple[Dim, ...]:
    """Where each opening begins: its distance from the wall's first corner, and its width."""
    made: list[Dim] = []
    sides = shape.walls(outline)
    for each in openings:
        shown = shape.through_wall(each.near, outline, 0.5)
        if shown is None or math.dist(*each.near) < 1:
            continue
        index = shown[0]
        start = sides[index][0]
        a, b = sorted(each.near, key=lambda p: math.dist(p, start))
        letter = shape.letter(index)
        if math.dist(start, a) > 0.5:
            made.append(
                Dim(f"{each.id} from {letter}", "opening", start, a, tape(math.dist(start, a)),
                    f"{each.id}, from corner {letter}", letter=letter)
            )  # fmt: skip
        made.append(
            Dim(f"{each.id} width", "opening", a, b, tape(math.dist(a, b)),
                f"{each.id}, opening to {each.to_name}", letter=letter)
        )  # fmt: skip
    return tuple(made)
