"""Lights against what they hang over: the box must sit on the center of the table, not the room.

Several boxes over one thing are taken together: their middle must sit on its center.
"""

import math
from collections.abc import Iterable
from itertools import groupby

from roomwright.fit.model import Finding, Light, Needs, Space, Word
from roomwright.fit.verdicts import length
from roomwright.shape import Point, Segment, centre, compass


def off_centre(space: Space, needs: Needs) -> tuple[Finding, ...]:
    """Every light, or row of lights, that is not over the center of its piece or fixed thing."""
    tolerance = needs.get("light.center_tolerance") or 0.0
    found: list[Finding] = []
    hung = sorted((light for light in space.lights if light.centred_on), key=_over)
    for target, group in groupby(hung, key=_over):
        boxes = tuple(group)
        found += _row(boxes, target, space, tolerance)
    return tuple(found)


def _over(light: Light) -> str:
    return light.centred_on


def moves(at: Point, to: Point) -> tuple[tuple[float, str], ...]:
    """The way from one point to another along the axes, as (inches, compass word).

    >>> moves((81, 75), (76, 84))
    ((5, 'west'), (9, 'north'))
    """
    steps = ((to[0] - at[0], (1.0, 0.0)), (to[1] - at[1], (0.0, 1.0)))
    return tuple(
        (
            abs(by),
            compass(
                (
                    math.copysign(axis[0], by) if axis[0] else 0.0,
                    math.copysign(axis[1], by) if axis[1] else 0.0,
                )
            ),
        )
        for by, axis in steps
        if by
    )


def _target(space: Space, target: str) -> tuple[Point | None, str]:
    """Center and name of what a light hangs over; no center while it has no place."""
    for piece in space.pieces:
        if piece.id == target:
            spot = (piece.x, piece.y) if piece.x is not None and piece.y is not None else None
            return spot, f"{piece.name} {piece.id}"
    for body in space.fixed:
        if body.id == target:
            return centre(body.outline), f"{body.name} {body.id}"
    return None, target


def _row(
    boxes: tuple[Light, ...], target: str, space: Space, tolerance: float
) -> Iterable[Finding]:
    """The finding on the boxes over one thing, if there is one."""
    where, name = _target(space, target)
    ids = (*(box.id for box in boxes), target)
    room = boxes[0].room
    told = f"{boxes[0].kind} {boxes[0].id}" if len(boxes) == 1 else _told(boxes)
    if where is None:
        text = f"The {told} should hang over {name}, which has no place yet: measure."
        return [Finding("light", Word.MEASURE, text, room, ids)]
    at = (sum(b.x for b in boxes) / len(boxes), sum(b.y for b in boxes) / len(boxes))
    off = [(by, word) for by, word in moves(at, where) if by > tolerance]
    if not off:
        return []
    way = " and ".join(f"{length(by)} {word}" for by, word in off)
    them = "it" if len(boxes) == 1 else "them"
    text = f"The {told} should be centered over the {name}: move {them} {way}, or swag the light."
    line: Segment = (at, where)
    return [
        Finding(
            "light",
            Word.SHORT,
            text,
            room,
            ids,
            by=math.dist(at, where),
            figure="light.center_tolerance",
            at=line,
        )
    ]


def _told(boxes: tuple[Light, ...]) -> str:
    kind = boxes[0].kind
    plural = f"{kind}es" if kind.endswith("x") else f"{kind}s"
    return f"{plural} {boxes[0].id} to {boxes[-1].id}"
