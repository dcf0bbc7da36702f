"""The hand of a door: told from its geometry, and read out of what people write.

Hand is told from the side on which you push: hinges at your left, left hand [1]_. Standing with
your back against the hinges gives the same: the door swings to your left, left hand. Some door
shops tell it from the side on which you pull, which is the other word for the same door; so the
words of this program always say where the hinges are.

References
----------
.. [1] Common practice of the door trade; no standard was consulted.
"""

from __future__ import annotations

import math
import re
from typing import Literal

from roomwright.shape import Outline, Point, compass, inside

Hand = Literal["left", "right"]

_REACH = (0.25, 1.0, 2.0, 4.0, 6.0, 8.0, 12.0, 18.0)
"""How far across a wall the room behind it is looked for [in]."""


def lies_left(a: Point, b: Point, room: Outline) -> bool | None:
    """Return whether a room lies at the left of a -> b, at most a thick wall away.

    >>> lies_left((0, 0), (30, 0), ((0, 4), (90, 4), (90, 80), (0, 80)))
    True
    """
    size = math.dist(a, b)
    if size == 0:
        return None
    mx, my = (a[0] + b[0]) / 2, (a[1] + b[1]) / 2
    nx, ny = (a[1] - b[1]) / size, (b[0] - a[0]) / size
    for step in _REACH:
        left = inside((mx + step * nx, my + step * ny), room, 1e-9)
        if left != inside((mx - step * nx, my - step * ny), room, 1e-9):
            return left
    return None


def hand_of(a: Point, b: Point, hinge: Point, into: Outline) -> Hand | None:
    """Return the hand of a door from `a` to `b` [in] that is hinged at one of them.

    `into` is the room that it swings into. None where the room is not beside the door.

    >>> kitchen_side = ((166.5, 288), (279, 288), (279, 348), (166.5, 348))
    >>> hand_of((162, 304), (162, 336), (162, 336), kitchen_side)
    'left'
    """
    left = lies_left(a, b, into)
    if left is None:
        return None
    at_a = math.dist(hinge, a) <= math.dist(hinge, b)
    # pushed into a room at the left of a -> b, the door has a at the left of whoever pushes
    return "left" if at_a == left else "right"


def hinged_at(a: Point, b: Point, hinge: Point) -> str:
    """Return the end of the opening at which a door is hinged, as a compass word.

    >>> hinged_at((162, 304), (162, 336), (162, 336))
    'north'
    """
    other = a if math.dist(hinge, b) <= math.dist(hinge, a) else b
    near = b if other is a else a
    return compass((near[0] - other[0], near[1] - other[1]))


_LEFT = r"(?:left[\s-]*hand(?:ed)?|\bLHR?\b)"
_RIGHT = r"(?:right[\s-]*hand(?:ed)?|\bRHR?\b)"


def hand_said(text: str) -> Hand | None:
    """Return the hand that a note names, or None where it names none or both.

    Reverse hands (LHR, RHR) are read for their first letter: hinges at the left of whoever stands
    outside.

    >>> hand_said("ordered right hand"), hand_said("front, in-swing LH"), hand_said("left drain")
    ('right', 'left', None)
    """
    left = re.search(_LEFT, text, re.IGNORECASE if "left" in text.lower() else 0)
    right = re.search(_RIGHT, text, re.IGNORECASE if "right" in text.lower() else 0)
    if bool(left) == bool(right):
        return None
    return "left" if left else "right"
