"""The floor of a room as the mark-out takes it: outline, fixed points, what stands on it."""

from __future__ import annotations

import math
import re
from collections.abc import Iterable, Iterator
from itertools import islice

from roomwright import shape
from roomwright.answers.mark_out_points import corner_winds
from roomwright.answers.plan_model import Opening, Plan
from roomwright.job.entities import Fixed
from roomwright.markout.model import Floor, Hook, HookKind, Obstacle
from roomwright.shape import Outline, Point

STRAIGHT = math.radians(8)
"""A corner that turns less than this is none: no tape finds it."""

SAME = 1.0
"""Fixed points closer than this are one [in]."""

MOST = 100
"""More fixed points than this are not weighed."""

HANGS_OVER = re.compile(
    r"\b(countertops?|counters?|islands?|peninsula|cabinets?|vanity|bar|overhang|hood|mantel|"
    r"shelf|shelves|table)\b",
    re.IGNORECASE,
)
"""Things drawn at their outermost reach, over a toe kick or nothing: no corner at the floor."""

BUILT_IN = re.compile(
    r"\b(range|cooktop|oven|dishwasher|refrigerator|fridge|sink|vanity|tub|toilet|shower|bidet|"
    r"washer|dryer|cabinets?|counter|island|peninsula|fireplace|hood|closet system|lavatory)\b",
    re.IGNORECASE,
)
"""Kinds of piece that stay where they are put."""


def built_in(kind: str) -> bool:
    """Whether a kind of piece stays where it is put.

    >>> built_in("alcove tub"), built_in("dining table"), built_in("media cabinet")
    (True, False, False)
    """
    return bool(BUILT_IN.search(kind)) and not re.search(r"\bmedia\b|\bchina\b", kind, re.I)


def floor_of(
    plan: Plan, fixed: Iterable[Fixed], standing: Iterable[Obstacle], under: float
) -> Floor:
    """The floor of a room as drawn, with what is built in and what stands there now.

    A tape on the floor passes under what begins `under` or higher [in]. What is drawn with its
    overhang stands in the way, but its corners are no fixed points: they are not at the floor.
    """
    low = [each for each in fixed if float(each.low or 0) < under]
    over = {each.id for each in low if HANGS_OVER.search(f"{each.name or each.id} {each.note}")}
    things = [body for body in map(_body, low) if len(body.outline) > 2]
    hooks = [*_corners(plan.recorded or plan.outline), *_jambs(plan.openings)]
    for each in things:
        if each.id in over:
            continue
        hooks += _thing_corners(each, plan.outline)
    return Floor(
        plan.recorded or plan.outline, (), tuple(islice(_apart(hooks), MOST)), (*things, *standing)
    )


def _body(each: Fixed) -> Obstacle:
    ring = tuple((float(x), float(y)) for x, y in each.outline)
    return Obstacle(each.id, each.name or each.id, shape.tidy(ring))


def _corners(outline: Outline) -> Iterator[Hook]:
    ring = shape.walls(outline)
    named = [side for _, side in shape.lettered(outline)]
    way = 1 if shape.signed_area(outline) >= 0 else -1
    for i, (corner, after) in enumerate(ring):
        before = ring[i - 1][0]
        turn = way * _turn(before, corner, after)
        if abs(turn) < STRAIGHT:
            continue
        kind = "inside" if turn > 0 else "outside"
        winds = [shape.compass(shape.outward(each)) for each in (named[i - 1], named[i])]
        name = f"{kind} corner {shape.letter(i)}, {' and '.join(sorted(set(winds)))} walls"
        yield Hook(shape.letter(i), name, corner, "corner")


def _turn(a: Point, b: Point, c: Point) -> float:
    first = math.atan2(b[1] - a[1], b[0] - a[0])
    turn = math.atan2(c[1] - b[1], c[0] - b[0]) - first
    return (turn + math.pi) % (2 * math.pi) - math.pi


def _jambs(openings: Iterable[Opening]) -> Iterator[Hook]:
    for each in openings:
        a, b = each.near
        for end, other in ((a, b), (b, a)):
            wind = shape.compass((end[0] - other[0], end[1] - other[1]))
            name = f"{wind} jamb of the opening to {each.to_name} ({each.id})"
            yield Hook(f"{each.id} {wind}", name, end, "jamb")


def _thing_corners(thing: Obstacle, room: Outline) -> Iterator[Hook]:
    for index, (wind, corner) in enumerate(
        zip(corner_winds(thing.outline), thing.outline, strict=True)
    ):
        if not shape.inside(corner, room):
            continue
        kind: HookKind = "built-in"
        yield Hook(f"{thing.id} {index + 1}", f"{wind} corner of the {thing.name}", corner, kind)


def _apart(hooks: Iterable[Hook]) -> Iterator[Hook]:
    """The hooks without those that stand where an earlier one does."""
    taken: list[Point] = []
    for hook in hooks:
        if all(math.dist(hook.at, p) >= SAME for p in taken):
            taken.append(hook.at)
            yield hook
