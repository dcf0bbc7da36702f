"""Outlines of rooms and fixed things: simple rings, and rooms of one level apart."""

from __future__ import annotations

import math
from collections import defaultdict
from collections.abc import Iterator

import shapely

from roomwright import lengths, shape
from roomwright.exchange.rules.broken import Broken, Lacks, ring
from roomwright.job.entities import Fixed, Room
from roomwright.job.facts import Facts

Ring = tuple[tuple[float, float], ...]
LEAST_AREA = 1.0  # [sq in]
SMALLEST_ROOM = 100.0  # [sq in]: smaller is in feet where inches are meant


def outlines(facts: Facts, lacks: Lacks) -> Iterator[Broken]:
    """No outline crosses itself, none is empty, and rooms of a level do not overlap."""
    levels: dict[str, list[tuple[str, Ring]]] = defaultdict(list)
    for room in facts.all(Room):
        corners = ring(room.outline)
        wrong = _wrong(corners)
        if wrong is not None:
            yield Broken("room", room.id, "outline", "error", *wrong)
            continue
        levels[room.level].append((room.id, corners))
        if shape.area(corners) < SMALLEST_ROOM:
            yield Broken("room", room.id, "outline", "warning",
                         f"is only {lengths.area(shape.area(corners))} large",
                         "check its units: plain numbers are inches")  # fmt: skip
    for fixed in facts.all(Fixed):
        wrong = _wrong(ring(fixed.outline))
        if wrong is not None:
            yield Broken("fixed", fixed.id, "outline", "error", *wrong)
    for level, rooms in levels.items():
        yield from _overlaps(level, rooms)


def is_simple(corners: Ring) -> bool:
    """Return whether an outline can be reckoned with."""
    return _wrong(corners) is None


def _wrong(corners: Ring) -> tuple[str, str] | None:
    """Return what is wrong with an outline and what to do, or None."""
    for i, (a, b) in enumerate(shape.walls(corners)):
        if math.dist(a, b) < shape.TOUCH:
            name = shape.letter(i)
            return (f"corner {name} is there twice in a row, at {_spot(a)}", "remove one of them")
    if shapely.LinearRing(corners).is_simple and shape.area(corners) >= LEAST_AREA:
        return None  # quick; what follows says where, and takes its time
    crossing = shape.crossing(corners)
    if crossing is not None:
        first, second = shape.letter(crossing.first), shape.letter(crossing.second)
        return (f"walls {first} and {second} cross at {_spot(crossing.at)}",
                "give the corners in order, once round the room")  # fmt: skip
    if shape.area(corners) < LEAST_AREA:
        return "has no area", "give three corners or more that do not lie on one line"
    return None


def _spot(point: tuple[float, float]) -> str:
    return f"{lengths.exact(round(point[0] * 64) / 64)} {lengths.exact(round(point[1] * 64) / 64)}"


def _overlaps(level: str, rooms: list[tuple[str, Ring]]) -> Iterator[Broken]:
    shapes = [shapely.Polygon(corners) for _, corners in rooms]
    tree = shapely.STRtree(shapes)
    for i, (id, corners) in enumerate(rooms):
        for j in sorted(int(n) for n in tree.query(shapes[i])):
            if j >= i:
                continue
            size = shape.overlaps(corners, rooms[j][1])
            if size is not None:
                long, short = (lengths.tape(s) for s in size)
                yield Broken("room", id, "outline", "error",
                             f"overlaps room {rooms[j][0]} on level {level} by {long} x {short}",
                             "move one of them; rooms of a level may touch")  # fmt: skip
