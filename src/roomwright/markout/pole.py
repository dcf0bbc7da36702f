"""A story pole: one stick, or a strip of paper, that carries every distance of a line at true size.

A pole is cut into strips that go on letter pages: each strip carries `STRIP` inches and a flap of
`FLAP` more that repeats the start of the next, so that the two can be laid on each other.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from roomwright.markout.model import MarkoutError

STRIP = 9.0
"""Length of a pole that one strip carries [in]."""

FLAP = 0.5
"""Length that a strip repeats of the next, to lay them on each other [in]."""

ABREAST = 4
"""Strips side by side on a page: 36 inches, three feet a page."""

LONGEST = 600.0
"""A longer pole is not printed [in]."""


@dataclass(frozen=True, slots=True)
class Mark:
    """A mark on a pole: how far `at` from its start [in], and what is written beside it."""

    at: float
    label: str


@dataclass(frozen=True, slots=True)
class Pole:
    """A pole: from where it is held, and its marks in order. `upright` for one of heights."""

    id: str
    name: str
    start: str
    length: float
    marks: tuple[Mark, ...]
    upright: bool = False


@dataclass(frozen=True, slots=True)
class Strip:
    """A part of a pole on paper: from `low` to `high`, with the flap to `flap_to` [in]."""

    number: int
    low: float
    high: float
    flap_to: float
    marks: tuple[Mark, ...]


def pole(id: str, name: str, start: str, marks: Sequence[Mark], upright: bool = False) -> Pole:
    """A pole of marks: those at one place become one mark, and it ends an inch past the last.

    >>> pole("p", "south wall", "corner A", [Mark(39, "1"), Mark(123, "2"), Mark(39, "4")])
    Pole(id='p', name='south wall', start='corner A', length=124.0,
    marks=(Mark(at=39, label='1, 4'), Mark(at=123, label='2')), upright=False)

    Raises
    ------
    MarkoutError
        If a mark lies before the start or past what can be printed.
    """
    at: dict[float, list[str]] = {}
    for mark in sorted(marks, key=lambda m: m.at):
        if not 0 <= mark.at <= LONGEST - 1:
            raise MarkoutError(f"A story pole goes from 0 to {LONGEST - 1:g} in.")
        near = next((a for a in at if abs(a - mark.at) < 1 / 64), mark.at)
        at.setdefault(near, []).append(mark.label)
    kept = tuple(Mark(a, ", ".join(dict.fromkeys(labels))) for a, labels in at.items())
    length = float(math.ceil(max((m.at for m in kept), default=0.0)) + 1)
    return Pole(id, name, start, length, kept, upright)


def strips(whole: Pole) -> tuple[Strip, ...]:
    """The strips of a pole, in order; a mark on a flap stands on both strips.

    >>> [(s.low, s.high, s.flap_to) for s in strips(Pole("p", "wall", "A", 20.0, ()))]
    [(0.0, 9.0, 9.5), (9.0, 18.0, 18.5), (18.0, 20.0, 20.0)]
    """
    found = []
    for number in range(max(1, math.ceil(whole.length / STRIP - 1e-9))):
        low = number * STRIP
        high = min(low + STRIP, whole.length)
        flap = min(high + FLAP, whole.length)
        inside = tuple(m for m in whole.marks if low - 1e-9 <= m.at <= flap + 1e-9)
        found.append(Strip(number + 1, low, high, flap, inside))
    return tuple(found)


def pages(whole: Pole) -> tuple[tuple[Strip, ...], ...]:
    """The strips of a pole by page, `ABREAST` on each."""
    every = strips(whole)
    return tuple(every[i : i + ABREAST] for i in range(0, len(every), ABREAST))
