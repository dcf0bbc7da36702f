"""Where the chairs of people at a table stand, for the drawing; a picture and no check."""

import math

from roomwright.fit.model import Needs, Piece
from roomwright.fit.seats import Seats, seats_of
from roomwright.shape import Outline, Point, outward, rectangle, walls

CHAIR_WIDTH = 18.0
CHAIR_DEPTH = 18.0
"""A seated chair as drawn, out from the table's edge [in]; for the picture only, never a check."""


def chairs(piece: Piece, needs: Needs) -> tuple[Outline, ...]:
    """Outlines of people's chairs at a table in use; one long outline for a bench.

    >>> table = Piece("T1", "dining table", "table", 84, 42, 30, 81, 84)
    >>> practice = Needs({"seat.width": 24, "seat.corner": 6, "seat.end_min_width": 36})
    >>> len(chairs(table, practice)), chairs(table, practice)[0]
    (8, ((48.0, 45.0), (66.0, 45.0), (66.0, 63.0), (48.0, 63.0)))
    """
    if not piece.placed:
        return ()
    count = seats_of(piece, needs)
    if count is None:
        return ()
    if piece.round:
        return _ring(piece, count.total)
    if not piece.straight:
        return _along_edge(piece.outline, count.total)
    return _at_sides(piece, count, needs)


def _at_sides(piece: Piece, count: Seats, needs: Needs) -> tuple[Outline, ...]:
    _, _, width, depth = piece.where
    said = needs.get("seat.corner")
    corner = (6.0 if said is None else said) if count.end else 0.0
    wide = width >= depth
    found: list[Outline] = []
    benches = piece.benches
    for index, (local, side) in enumerate(piece.edges.items()):
        along = index % 2 == (0 if wide else 1)
        people, inset = (count.along, corner) if along else (count.end, 0.0)
        if local in benches and people:
            found.append(_row(side, 1, inset, piece.turn + 90 * index, length=True)[0])
        else:
            found += _row(side, people, inset, piece.turn + 90 * index)
    return tuple(found)


def _row(
    side: tuple[Point, Point], people: int, inset: float, turn: float, *, length: bool = False
) -> list[Outline]:
    """Chairs spread evenly along a side, but for `inset` at both of its ends."""
    (ax, ay), (bx, by) = side
    whole = math.dist(*side)
    out = outward(side)
    wide = whole - 2 * inset if length else CHAIR_WIDTH
    row = []
    for i in range(people):
        s = (inset + (whole - 2 * inset) * (2 * i + 1) / (2 * people)) / whole
        x = ax + s * (bx - ax) + out[0] * CHAIR_DEPTH / 2
        y = ay + s * (by - ay) + out[1] * CHAIR_DEPTH / 2
        row.append(rectangle(x, y, wide, CHAIR_DEPTH, turn))
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


def _along_edge(outline: Outline, people: int) -> tuple[Outline, ...]:
    """Chairs at equal steps along the edge of an oval, or of a top as drawn."""
    edges = walls(outline)
    lengths = [math.dist(*edge) for edge in edges]
    step = sum(lengths) / max(1, people)
    found: list[Outline] = []
    passed, wanted = 0.0, step / 2
    for edge, size in zip(edges, lengths, strict=True):
        while len(found) < people and wanted <= passed + size + 1e-9:
            share = (wanted - passed) / size
            (ax, ay), (bx, by) = edge
            ox, oy = outward(edge)
            x = ax + share * (bx - ax) + ox * CHAIR_DEPTH / 2
            y = ay + share * (by - ay) + oy * CHAIR_DEPTH / 2
            turn = math.degrees(math.atan2(by - ay, bx - ax))
            found.append(rectangle(x, y, CHAIR_WIDTH, CHAIR_DEPTH, turn))
            wanted += step
        passed += size
    return tuple(found)
