r"""A chain of walls: where its corners are, whether it closes, and by how much it fails to.

>>> from roomwright.answers.sketch_run import parse_run
>>> this = chain(parse_run("12 4 1/2 east, 9 0 north, 12 4 west, 9 0 south"))
>>> this.closing, this.misclosure
('nearly', (Fraction(1, 2), Fraction(0, 1)))
>>> print(this.said)
Fails to close by 1/2": it ends 1/2" east of its start, 1 part in 1025 of the way round.

References
----------
1. The compass rule (after Bowditch): the misclosure is spread over the walls by their lengths.
   US Navy, Engineering Aid 1, NAVEDTRA 14071, chapter 7 (adjusting latitudes and departures).
   Its arithmetic is tested on an example of another publisher (tests/published).
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from fractions import Fraction
from itertools import pairwise
from typing import Literal

from roomwright import shape
from roomwright.answers.engine import Ask, query
from roomwright.answers.sketch_run import Run, RunError, parse_run
from roomwright.job.entities import Outline, Point, Sketch
from roomwright.lengths import tape

Closing = Literal["open", "exactly", "nearly", "by a wall", "too short"]

LEAST_TOLERANCE = Fraction(3)
PART = Fraction(1, 100)
"""A chain that ends within 3 in. or a hundredth of its way of its start is taken to be meant to
close there. Ours: a tape errs by far less, a slip of a foot is more."""

GRID = 64
"""Corners of slanted walls are kept to this part of an inch."""

Vector = tuple[Fraction, Fraction]


@dataclass(frozen=True, slots=True)
class Chain:
    """A run of walls laid out from its start.

    `corners` [in] begin with the start and end where the last wall ends, even if that is the
    start again. `misclosure` runs from the start to the end where both are meant to be one.
    """

    corners: Outline
    walked: Fraction
    closing: Closing
    misclosure: Vector
    run: Run

    @property
    def said(self) -> str:
        """How it closes, in words."""
        x, y = self.misclosure
        match self.closing:
            case "exactly":
                return "Closes exactly."
            case "by a wall":
                last = math.dist(*_plain((self.corners[-1], self.corners[0])))
                return f"Closed by a wall of {tape(last, GRID)}, {_direction(self)}."
            case "nearly":
                off = math.hypot(x, y)
                part = round(float(self.walked) / off)
                return (
                    f"Fails to close by {tape(off, GRID)}: it ends {_where(x, y)} of its start, "
                    f"1 part in {part} of the way round."
                )
            case "too short":
                return "Two walls more, and it can close."
        dx, dy = (b - a for a, b in zip(self.corners[0], self.corners[-1], strict=True))
        return f"Open: it ends {_where(dx, dy)} of its start."

    def ring(self, *, spread: bool = False) -> Outline | None:
        """The outline of the room, anticlockwise from the same start; None if it does not close.

        With `spread` a misclosure is spread over the walls by the compass rule [1]_, and every
        corner goes to 1/64 in.; without it a chain that nearly closes gives None.
        """
        if self.closing == "by a wall":
            corners = self.corners
        elif self.closing == "exactly":
            corners = self.corners[:-1]
        elif self.closing == "nearly" and spread:
            corners = spread_over(self.corners, self.misclosure)[:-1]
        else:
            return None
        if len(corners) < 3:
            return None
        turns = shape.signed_area(_plain(corners)) >= 0
        return corners if turns else (corners[0], *reversed(corners[1:]))


def chain(run: Run, start: Point = (Fraction(0), Fraction(0))) -> Chain:
    """Lay a run of walls out from a start [in]."""
    x, y = start
    corners = [start]
    for step in run.steps:
        east, north = _unit(step.heading)
        x, y = x + step.length * east, y + step.length * north
        corners.append((_grid(x), _grid(y)) if _slanted(run) else (x, y))
    walked = sum((step.length for step in run.steps), Fraction(0))
    dx, dy = corners[-1][0] - start[0], corners[-1][1] - start[1]
    near = math.hypot(dx, dy) <= max(LEAST_TOLERANCE, walked * PART)
    closing: Closing
    if len(run.steps) < 2 or (near and len(run.steps) < 3):
        closing = "too short" if run.closed else "open"
    elif dx == dy == 0:
        closing = "exactly"
    elif near:
        closing = "nearly"
    else:
        closing = "by a wall" if run.closed else "open"
    gap = (dx, dy) if closing == "nearly" else (Fraction(0), Fraction(0))
    return Chain(tuple(corners), walked, closing, gap, run)


def spread_over(corners: Outline, misclosure: Vector) -> Outline:
    """Corners with a misclosure spread by the compass rule [1]_, to 1/64 in.

    Each corner moves against the misclosure, by its share of the way walked to it.

    >>> F = Fraction
    >>> square = ((F(0), F(0)), (F(100), F(0)), (F(100), F(100)), (F(0), F(100)), (F(1), F(0)))
    >>> [float(x) for x, _ in spread_over(square, (F(1), F(0)))]
    [0.0, 99.75, 99.5, -0.75, 0.0]
    """
    ways = [math.dist(*_plain((a, b))) for a, b in pairwise(corners)]
    whole, gone = sum(ways), 0.0
    moved = [corners[0]]
    for (x, y), length in zip(corners[1:], ways, strict=True):
        gone += length
        share = Fraction(gone / whole)
        moved.append((_grid(x - share * misclosure[0]), _grid(y - share * misclosure[1])))
    return tuple(moved)


def start_of(text: str, corners: dict[str, Outline]) -> Point:
    """Where a chain begins: a corner of a room and a run from it, or a run from 0, 0.

    Raises
    ------
    RunError
        if it names no corner, or its run can't be read.

    >>> F = Fraction
    >>> square = ((F(0), F(0)), (F(90), F(0)), (F(0), F(80)))
    >>> start_of("101 B, 4 1/2 east", {"101": square})
    (Fraction(189, 2), Fraction(0, 1))
    """
    first, _, rest = text.strip().partition(",")
    room, _, letter = first.strip().rpartition(" ")
    room = room.strip().removesuffix(" corner").removeprefix("room ")
    at: Point = (Fraction(0), Fraction(0))
    if room in corners:
        names = [shape.letter(n) for n in range(len(corners[room]))]
        if letter.upper() not in names:
            last = names[-1]
            raise RunError(f"room {room} has corners A to {last}.", 1, first.strip())
        at = corners[room][names.index(letter.upper())]
        text = rest
    run = parse_run(text)
    return chain(run, at).corners[-1]


@query("sketches")
def sketches(ask: Ask, level: str) -> tuple[tuple[str, Chain], ...]:
    """The chains drawn on a level, by their ids; what cannot be read is an empty chain."""
    found = []
    for each in ask.where(Sketch, "level", level):
        try:
            found.append((each.id, chain(parse_run(each.walls), each.start)))
        except RunError:
            found.append((each.id, chain(Run((), False), each.start)))
    return tuple(found)


def _unit(heading: Fraction) -> Vector:
    if heading % 90 == 0:
        quarter = int(heading // 90) % 4
        return Fraction((1, 0, -1, 0)[quarter]), Fraction((0, 1, 0, -1)[quarter])
    angle = math.radians(float(heading))
    return Fraction(math.cos(angle)), Fraction(math.sin(angle))


def _slanted(run: Run) -> bool:
    return any(step.heading % 90 for step in run.steps)


def _grid(value: Fraction) -> Fraction:
    return Fraction(round(value * GRID), GRID)


def _plain(points: Outline) -> tuple[tuple[float, float], ...]:
    return tuple((float(x), float(y)) for x, y in points)


def _where(dx: Fraction, dy: Fraction) -> str:
    parts = [
        f"{tape(abs(by), GRID)} {words[by < 0]}"
        for by, words in ((dx, ("east", "west")), (dy, ("north", "south")))
        if abs(by) >= Fraction(1, 2 * GRID)
    ]
    return " and ".join(parts) or "a hair off"


def _direction(this: Chain) -> str:
    (ax, ay), (bx, by) = _plain((this.corners[-1], this.corners[0]))
    return shape.compass((bx - ax, by - ay))
