"""What the tape says of a wall on a sheet, or *measure*."""

from __future__ import annotations

import math
from datetime import date

from roomwright import shape
from roomwright.answers.engine import Ask
from roomwright.answers.plan_model import Dim
from roomwright.answers.sheet_model import MEASURE
from roomwright.days import show_date
from roomwright.job.entities import House, Reading, Room
from roomwright.lengths import tape

LIMIT = 3.29
"""Standard deviations past which two readings of one length do not belong together [1].

[1] Baarda (1968), A testing procedure for use in geodetic networks: the limit for 1 in 1000.
"""


def taped(ask: Ask, room: str, dim: Dim) -> str:
    """The last good reading of a wall with its face and date; *measure* where there is none.

    A reading counts when it says on what day, by whom and from which face. Where one dimension
    stands for two walls, each wall's reading is told unless they are the same.
    """
    told = {letter: _wall(ask, room, letter) for letter in dim.letter.split()}
    if len(set(told.values())) == 1:
        return next(iter(told.values()))
    return "; ".join(f"{letter} {text}" for letter, text in told.items())


def _wall(ask: Ask, room: str, letter: str) -> str:
    """One wall. Two good readings that differ by more than the tape's error are to be repeated."""
    corners = len(ask.fact(Room, room).outline)
    index = shape.index_of(letter)
    ends = {letter, shape.letter((index + 1) % corners)}
    found = [
        each
        for each in ask.where(Reading, "room", room)
        if {each.from_corner.upper(), each.to_corner.upper()} == ends and _whole(each)
    ]
    if not found:
        return MEASURE
    last = max(found, key=lambda each: (each.on or date.min, each.id))
    lengths = [each.length for each in found]
    house = ask.find(House, "house")
    sigma = float(house.tape_sigma) if house else 0.125
    if float(max(lengths) - min(lengths)) > LIMIT * math.sqrt(2) * sigma:
        return f"{tape(min(lengths))} or {tape(max(lengths))}: {MEASURE}"
    when = show_date(last.on) if last.on else ""
    return f"{tape(last.length)} {last.face}, {when}"


def _whole(reading: Reading) -> bool:
    return bool(reading.on and reading.by.strip() and reading.face.strip())
