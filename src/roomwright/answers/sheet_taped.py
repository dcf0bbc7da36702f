"""What the tape says of a wall on a sheet, or *measure*.

A dimension shows to which face it was taped and when. Where the wall layers are recorded and the
tape met another face than the finished one, the finished figure stands first: the reading less the
layers at its two ends.
"""

from __future__ import annotations

import math
from datetime import date
from typing import cast

from roomwright import shape
from roomwright.answers import layers
from roomwright.answers.engine import Ask
from roomwright.answers.plan_model import Dim
from roomwright.answers.sheet_model import MEASURE
from roomwright.answers.survey import corners_of, survey_of
from roomwright.days import show_date
from roomwright.job.entities import Face, House, Reading, Room
from roomwright.lengths import tape
from roomwright.survey.faces import to_face

LIMIT = 3.29
"""Standard deviations past which two readings of one length do not belong together [1].

[1] Baarda (1968), A testing procedure for use in geodetic networks: the limit for 1 in 1000.
"""

THIN = 1 / 64
"""Layers that change a length by less than this change nothing [in]."""


def taped(ask: Ask, room: str, dim: Dim) -> str:
    """The last good reading of a wall with its face and date; *measure* where there is none.

    A reading counts when it says on what day, by whom and from which face, and was not set aside.
    Where one dimension stands for two walls, each wall's reading is told unless they are the same.
    """
    told = {letter: _wall(ask, room, letter) for letter in dim.letter.split()}
    if len(set(told.values())) == 1:
        return next(iter(told.values()))
    return "; ".join(f"{letter} {text}" for letter, text in told.items())


def _wall(ask: Ask, room: str, letter: str) -> str:
    """One wall. Two good readings that differ by more than the tape's error are to be repeated."""
    ends = ends_of(ask.fact(Room, room), letter)
    found = [
        each
        for each in ask.where(Reading, "room", room)
        if {each.from_corner.strip().upper(), each.to_corner.strip().upper()} == set(ends)
        and _whole(each)
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
    text = f"{_finished(ask, room, last)}{tape(last.length)} {last.face}, {when}"
    return f"{text}: doubtful, {MEASURE}" if _doubtful(ask, room, last) else text


def ends_of(room: Room, letter: str) -> tuple[str, str]:
    """The two corners of a wall, by the letters of the recorded outline.

    >>> ring = ((0, 0), (0, 90), (120, 90), (120, 0))
    >>> ends_of(Room(id="1", level="1", outline=ring), "D")
    ('D', 'A')
    """
    corners = corners_of(room)
    index = shape.index_of(letter)
    return corners[index], corners[(index + 1) % len(corners)]


def _finished(ask: Ask, room: str, reading: Reading) -> str:
    """The finished figure of a reading to another face: ``12'-5 1/4" finished: ``; else ""."""
    known = ask(layers.layers_of, room)
    if reading.face not in layers.ROUGH or not known:
        return ""
    fact = ask.fact(Room, room)
    ring = ask(survey_of, room).drawn
    corners = dict(zip(corners_of(fact), ring, strict=True))
    thick = {wall: (float(board), float(finish)) for wall, (board, finish) in known.items()}
    ends = reading.from_corner.strip().upper(), reading.to_corner.strip().upper()
    length = float(reading.length)
    there = to_face(length, *ends, corners, thick, cast(Face, reading.face), "finished")
    return f"{tape(there)} finished: " if abs(there - length) >= THIN else ""


def _doubtful(ask: Ask, room: str, reading: Reading) -> bool:
    """Whether the survey doubts a reading, or can't tell it from one that it doubts."""
    return any(
        reading.id == each.fact.id or reading.id in (each.taken.rivals if each.taken else ())
        for each in ask(survey_of, room).suspects
    )


def _whole(reading: Reading) -> bool:
    said = reading.on and reading.by.strip() and reading.face.strip()
    return bool(said and not reading.aside)
