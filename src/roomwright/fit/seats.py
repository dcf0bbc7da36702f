"""How many people a table seats, by the rule of common practice, and where their chairs stand.

So many inches a person along each long side; from a certain width on there are people at the
ends, who take a corner of each long side. The figures are `seat.width` (24 in.), `seat.corner`
(6 in.) and `seat.end_min_width` (36 in.) [common practice]. The rule is one named set; a handbook
table of lengths is another, and they disagree: an answer names the one it used.
"""

import math
from dataclasses import dataclass

from roomwright.fit.model import Needs, Piece
from roomwright.shape import Outline, Point, outward, rectangle, walls

RULE = "24 in. a person, common practice"
CHAIR_WIDTH = 18.0
CHAIR_DEPTH = 18.0
"""A seated chair as drawn, out from the table's edge [in]; for the picture only, never a check."""


@dataclass(frozen=True, slots=True)
class Seats:
    """People at a table: `along` each long side, at each `end`, in all; `spare` length [in].

    `spare` is what a long side leaves beyond a full width for each person who sits along it;
    people at the ends use their corners out of it.
    """

    along: int
    end: int
    total: int
    spare: float


def seats(width: float, depth: float, needs: Needs, *, round_top: bool = False) -> Seats:
    """How many people sit at a table `width` by `depth` [in].

    >>> practice = Needs({"seat.width": 24, "seat.corner": 6, "seat.end_min_width": 36})
    >>> [seats(length, 42, practice).total for length in (72, 84, 108)]
    [6, 8, 10]
    >>> seats(84, 42, practice)
    Seats(along=3, end=1, total=8, spare=12)
    >>> seats(60, 60, practice, round_top=True).total
    7
    """
    each = needs.get("seat.width") or 24.0  # nobody takes no room: 0 is no figure
    corner, end_from = (
        _figure(needs, "seat.corner", 6.0),
        _figure(needs, "seat.end_min_width", 36.0),
    )
    if round_top:
        total = _count(math.pi * min(width, depth), each)
        return Seats(0, 0, total, math.pi * min(width, depth) - total * each)
    long, short = max(width, depth), min(width, depth)
    end = max(1, _count(short - 2 * corner, each)) if short >= end_from else 0
    along = _count(long - (2 * corner if end else 0.0), each)
    return Seats(along, end, 2 * (along + end), long - along * each)


def _figure(needs: Needs, key: str, practice: float) -> float:
    said = needs.get(key)
    return practice if said is None else said


def _count(length: float, each: float) -> int:
    """How many widths go into a length; a hair of float rounding does not cost a person."""
    return max(0, math.floor(length / each + 1e-9))


def chairs(piece: Piece, needs: Needs) -> tuple[Outline, ...]:
    """Outlines of people's chairs at a table in use, for the drawing.

    >>> table = Piece("T1", "dining table", "table", 84, 42, 30, 81, 84)
    >>> practice = Needs({"seat.width": 24, "seat.corner": 6, "seat.end_min_width": 36})
    >>> len(chairs(table, practice)), chairs(table, practice)[0]
    (8, ((48.0, 45.0), (66.0, 45.0), (66.0, 63.0), (48.0, 63.0)))
    """
    if not piece.placed:
        return ()
    _, _, width, depth = piece.where
    count = seats(width, depth, needs, round_top=piece.round)
    if piece.round:
        return _ring(piece, count.total)
    corner = _figure(needs, "seat.corner", 6.0) if count.end else 0.0
    wide = width >= depth
    found: list[Outline] = []
    for index, side in enumerate(walls(piece.box)):
        along = index % 2 == (0 if wide else 1)
        people, inset = (count.along, corner) if along else (count.end, 0.0)
        found += _row(side, people, inset, piece.turn + 90 * index)
    return tuple(found)


def _row(side: tuple[Point, Point], people: int, inset: float, turn: float) -> list[Outline]:
    """Chairs spread evenly along a side, but for `inset` at both of its ends."""
    (ax, ay), (bx, by) = side
    length = math.dist(*side)
    out = outward(side)
    row = []
    for i in range(people):
        s = (inset + (length - 2 * inset) * (2 * i + 1) / (2 * people)) / length
        x = ax + s * (bx - ax) + out[0] * CHAIR_DEPTH / 2
        y = ay + s * (by - ay) + out[1] * CHAIR_DEPTH / 2
        row.append(rectangle(x, y, CHAIR_WIDTH, CHAIR_DEPTH, turn))
    return row


def _ring(piece: Piece, people: int) -> tuple[Outline, ...]:
    """Chairs spread evenly round a round table, the first at its back."""
    px, py, width, _ = piece.where
    reach = width / 2 + CHAIR_DEPTH / 2
    ring = []
    for i in range(people):
        turn = piece.turn + 360 * i / people
        angle = math.radians(turn - 90)
        x, y = px + reach * math.cos(angle), py + reach * math.sin(angle)
        ring.append(rectangle(x, y, CHAIR_WIDTH, CHAIR_DEPTH, turn))
    return tuple(ring)
