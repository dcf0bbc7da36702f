"""Outlines of plain forms: rectangles, round tops, what a leaf sweeps; and how they are moved."""

import math
from collections.abc import Sequence

from roomwright.shape.outlines import Outline, Point, anticlockwise

CHORD = 1 / 128
"""A curved edge drawn as chords strays less than this from the true curve [in]."""


def rectangle(x: float, y: float, width: float, depth: float, turn: float = 0.0) -> Outline:
    """A rectangle about its centre, turned anticlockwise [deg]; its back is the first side.

    At turn 0 the width runs along x and the back faces south. Quarter turns are exact.

    >>> rectangle(81, 84, 84, 42)
    ((39.0, 63.0), (123.0, 63.0), (123.0, 105.0), (39.0, 105.0))
    """
    cos, sin = unit(turn)
    half_w, half_d = width / 2, depth / 2
    corners = ((-half_w, -half_d), (half_w, -half_d), (half_w, half_d), (-half_w, half_d))
    return tuple((x + u * cos - v * sin, y + u * sin + v * cos) for u, v in corners)


def unit(turn: float) -> Point:
    """Cosine and sine of an angle [deg], exact at quarter turns.

    >>> unit(270)
    (0.0, -1.0)
    """
    quarter, rest = divmod(turn, 90.0)
    if rest == 0:
        return ((1.0, 0.0), (0.0, 1.0), (-1.0, 0.0), (0.0, -1.0))[int(quarter) % 4]
    angle = math.radians(turn)
    return math.cos(angle), math.sin(angle)


def sector(pivot: Point, start: Point, end: Point, chord: float = CHORD) -> Outline:
    """The part of a disc that a leaf sweeps from `start` to `end` about `pivot`.

    `start` is the far end of the leaf when shut and fixes the radius; `end` fixes only the
    direction of the leaf when open; the turn is the shorter way round. The arc is drawn as
    chords whose middles lie `chord` at most inside the true arc, so the shape is never too
    large and at most 1/128 in. too small.

    >>> from roomwright.shape import area
    >>> leaf = sector((0, 0), (30, 0), (0, 30))
    >>> abs(area(leaf) - math.pi * 900 / 4) < 0.5
    True
    """
    radius = math.dist(pivot, start)
    first = math.atan2(start[1] - pivot[1], start[0] - pivot[0])
    turn = math.atan2(end[1] - pivot[1], end[0] - pivot[0]) - first
    turn = (turn + math.pi) % (2 * math.pi) - math.pi
    step = 2 * math.acos(max(0.0, 1 - chord / radius)) if radius > chord else math.pi
    count = max(1, math.ceil(abs(turn) / step))
    arc = [
        (
            pivot[0] + radius * math.cos(first + turn * i / count),
            pivot[1] + radius * math.sin(first + turn * i / count),
        )
        for i in range(1, count)
    ]
    reach = math.dist(pivot, end) or 1.0
    last = (
        pivot[0] + (end[0] - pivot[0]) * radius / reach,
        pivot[1] + (end[1] - pivot[1]) * radius / reach,
    )
    return anticlockwise((pivot, start, *arc, last))


def round_outline(x: float, y: float, diameter: float, chord: float = CHORD) -> Outline:
    """A round top as a polygon that strays at most `chord` inside the true circle [in]."""
    radius = diameter / 2
    step = 2 * math.acos(max(0.0, 1 - chord / radius))
    count = 4 * max(2, math.ceil(math.pi / 2 / step))
    angles = (2 * math.pi * i / count for i in range(count))
    return tuple((x + radius * math.cos(a), y + radius * math.sin(a)) for a in angles)


def turned(outline: Sequence[Point], turn: float) -> Outline:
    """An outline turned anticlockwise about the origin [deg]; quarter turns are exact.

    >>> turned(((1, 0), (0, 2)), 90)
    ((0.0, 1.0), (-2.0, 0.0))
    """
    cos, sin = unit(turn)
    return tuple((x * cos - y * sin, x * sin + y * cos) for x, y in outline)


def moved(outline: Sequence[Point], dx: float, dy: float) -> Outline:
    """An outline moved by `dx, dy` [in].

    >>> moved(((1, 0), (0, 2)), 10, 20)
    ((11, 20), (10, 22))
    """
    return tuple((x + dx, y + dy) for x, y in outline)
