"""Story poles of a mark-out: along a baseline, off it, and one of heights."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence

from roomwright.answers.engine import Ask
from roomwright.fit.model import RoomFit
from roomwright.job.entities import Fixed, Opening, Window
from roomwright.markout.baseline import Baseline, by_baseline
from roomwright.markout.model import Habits, Tape, Target
from roomwright.markout.pole import LONGEST, Mark, Pole, pole
from roomwright.markout.reach import Reach


def along_and_off(
    free: Sequence[Target],
    lines: Sequence[Baseline],
    reach: Reach,
    tape: Tape,
    habits: Habits,
) -> Iterator[Pole]:
    """Two poles a baseline: the marks along it, and how far each point is off it."""
    every = lines if lines else by_baseline(free, reach, tape, habits)[0]
    for number, line in enumerate(every, 1):
        tail = "" if number == 1 else f"-{number}"
        wall = f"{line.faces} wall ({line.wall})"
        start = f"corner {line.start_name}"
        alongs = [Mark(o.along, f"point {o.target.id}") for o in line.offsets]
        offs = [Mark(o.off, f"point {o.target.id}") for o in line.offsets]
        made = (
            (f"along{tail}", f"along the {wall}", start, alongs),
            (f"off{tail}", f"off the {wall}", f"the face of the {wall}", offs),
        )
        for id_, name, from_, marks in made:
            if marks and all(m.at < LONGEST - 1 for m in marks):
                yield pole(id_, name, from_, marks)


def heights(ask: Ask, room: str, fit: RoomFit) -> Iterator[Pole]:
    """The pole of heights over the finished floor: sills, heads, counters, pieces."""
    marks = [Mark(at, label) for at, label in _heights(ask, room, fit) if 0 < at < 240]
    if marks:
        yield pole("heights", "heights", "the finished floor", marks, upright=True)


def _heights(ask: Ask, room: str, fit: RoomFit) -> Iterator[tuple[float, str]]:
    for window in ask.where(Window, "room", room):
        if window.sill is not None:
            yield float(window.sill), f"sill {window.id}"
            if window.height is not None:
                yield float(window.sill + window.height), f"head {window.id}"
    seen = set()
    for side in ("from_room", "to_room"):
        for each in ask.where(Opening, side, room):
            if each.height is not None and each.id not in seen:
                seen.add(each.id)
                yield float(each.height), f"head {each.id}"
    for thing in ask.where(Fixed, "room", room):
        for at, word in ((thing.low, "under"), (thing.high, "top of")):
            if at:
                yield float(at), f"{word} {thing.name or thing.id}"
    yield from _pieces(fit)


def _pieces(fit: RoomFit) -> Iterable[tuple[float, str]]:
    for each in fit.pieces:
        if each.piece.height:
            yield each.piece.height, f"{each.piece.name or each.piece.kind} {each.piece.id}"
