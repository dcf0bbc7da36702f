"""What else changes: every answer of the house before a change held against it after, in words.

Two states of the answers are compared room by room: the sides of each piece, walk paths, findings,
ceilings; then the sheets that hang. Nothing is computed twice: what a change does not touch is
the same answer.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from roomwright.answers import layers
from roomwright.answers.engine import Answers
from roomwright.answers.rooms import room_fit
from roomwright.answers.sheet_model import SheetRow
from roomwright.answers.sheets import sheets
from roomwright.fit.evaluate import label
from roomwright.fit.model import PieceFit, RoomFit, Side, Verdict, Way, Word
from roomwright.job.entities import Room
from roomwright.lengths import area, tape

SAME = 1 / 64
"""Distances closer than this print alike [in]."""


@dataclass(frozen=True, slots=True)
class Changed:
    """One answer that is another after: where, of what, and both in words.

    `word` is the verdict's word after, `was_word` before; "" where none was asked. `turns` says
    whether the verdict's word itself changes, which matters more than a distance.
    """

    room: str
    about: str
    before: str
    after: str
    was_word: str = ""
    word: str = ""

    @property
    def turns(self) -> bool:
        """Whether the verdict turns, or something comes or goes."""
        return self.was_word != self.word


def what_changes(before: Answers, after: Answers) -> tuple[Changed, ...]:
    """Return every answer that differs, those whose verdict turns first, then room by room."""
    found: list[Changed] = []
    rooms = dict.fromkeys((*before.facts.ids(Room), *after.facts.ids(Room)))
    for room in rooms:
        found += _room(before, after, room)
    found += _sheets(before, after)
    seen = [each for each in found if each.turns or each.before != each.after]
    return tuple(sorted(seen, key=lambda each: not each.turns))


def _room(before: Answers, after: Answers, room: str) -> Iterator[Changed]:
    was, now = _fit(before, room), _fit(after, room)
    if isinstance(was, str) or isinstance(now, str):
        if was != now:
            then, here = (e if isinstance(e, str) else "can be checked" for e in (was, now))
            yield Changed(room, "the room", then, here, "", "measure" if here == now else "")
        return
    if abs(was.area - now.area) >= 1:
        yield Changed(room, "floor", area(was.area), area(now.area))
    high = [each.ask(layers.ceiling, room).height for each in (before, after)]
    if high[0] != high[1]:
        then, here = ("not known" if each is None else tape(each) for each in high)
        yield Changed(room, "ceiling over the finished floor", then, here)
    if was is now or was == now:
        return
    yield from _pieces(room, was, now)
    yield from _ways(room, was, now)
    yield from _findings(room, was, now)


def _fit(answers: Answers, room: str) -> RoomFit | str:
    if answers.facts.find(Room, room) is None:
        return "not there"
    try:
        return answers.ask(room_fit, room)
    except ValueError as error:
        return str(error)


def _pieces(room: str, was: RoomFit, now: RoomFit) -> Iterator[Changed]:
    then = {each.piece.id: each for each in was.pieces}
    for each in now.pieces:
        old = then.get(each.piece.id)
        if old is None:
            continue
        sides = {side.side: side for side in old.sides}
        for side in each.sides:
            before = sides.get(side.side)
            asked = side.verdict or (before and before.verdict)
            if before is not None and asked and not _alike(before, side):
                about = f"{each.piece.name} {label(each.piece, side)}"
                yield _of(room, about, before, side)
        if old.seats != each.seats and old.seats is not None:
            yield Changed(room, f"{each.piece.name} seats", str(old.seats), str(each.seats))
        if _word(old.verdict) != _word(each.verdict):
            yield _verdict(room, each, old)


def _verdict(room: str, now: PieceFit, was: PieceFit) -> Changed:
    texts = (was.verdict.text if was.verdict else "", now.verdict.text if now.verdict else "")
    return Changed(room, now.piece.name, *texts, _word(was.verdict), _word(now.verdict))


def _alike(a: Side, b: Side) -> bool:
    words = _word(a.verdict) == _word(b.verdict)
    known = a.clear is not None and b.clear is not None
    return words and (abs((a.clear or 0) - (b.clear or 0)) < SAME if known else a.clear is b.clear)


def _of(room: str, about: str, was: Side, now: Side) -> Changed:
    return Changed(room, about, _side(was), _side(now), _word(was.verdict), _word(now.verdict))


def _side(side: Side) -> str:
    clear = "not known" if side.clear is None else tape(side.clear)
    return f"{clear}, {side.verdict.text}" if side.verdict else clear


def _ways(room: str, was: RoomFit, now: RoomFit) -> Iterator[Changed]:
    def key(way: Way) -> tuple[str, str]:
        return way.from_, way.to

    then = {key(way): way for way in was.ways}
    for way in now.ways:
        old = then.get(key(way))
        if old is None or (
            abs(old.tightest - way.tightest) < SAME and _word(old.verdict) == _word(way.verdict)
        ):
            continue
        yield Changed(
            room, f"walk path {way.from_} to {way.to}",
            f"{tape(old.tightest)}, {old.verdict.text}",
            f"{tape(way.tightest)}, {way.verdict.text}",
            _word(old.verdict), _word(way.verdict),
        )  # fmt: skip


def _findings(room: str, was: RoomFit, now: RoomFit) -> Iterator[Changed]:
    then = {(each.kind, each.ids): each for each in was.findings}
    here = {(each.kind, each.ids): each for each in now.findings}
    for key, each in here.items():
        old = then.get(key)
        if old is None:
            yield Changed(room, each.kind, "nothing", each.text, "", each.severity.value)
        elif old.text != each.text:
            words = old.severity.value, each.severity.value
            yield Changed(room, each.kind, old.text, each.text, *words)
    for key, old in then.items():
        if key not in here:
            yield Changed(room, old.kind, old.text, "nothing any more", old.severity.value, "")


def _sheets(before: Answers, after: Answers) -> Iterator[Changed]:
    then = {_key(row): row for row in before.ask(sheets)}
    for row in after.ask(sheets):
        old = then.get(_key(row))
        if old is not None and row.posted is not None and old.state != row.state:
            trade = f" for the {row.trade}" if row.trade else ""
            yield Changed(row.room, f"the sheet{trade} that hangs there", old.text, row.text,
                          "fits" if old.state == "current" else "", "short")  # fmt: skip


def _key(row: SheetRow) -> tuple[str, str]:
    return row.room, row.trade


def _word(verdict: Verdict | None) -> str:
    return "" if verdict is None else verdict.word.value


def worse(each: Changed) -> bool:
    """Whether a verdict turns for the worse.

    >>> worse(Changed("1", "a", "b", "c", "fits", "short"))
    True
    """
    ranks = {word.value: word.rank for word in Word}
    return ranks.get(each.word, -1) > ranks.get(each.was_word, -1)
