"""The command `paths`: walk paths through the house, in words and as JSON."""

from __future__ import annotations

from typing import Any

from rich.table import Table

from roomwright.answers import Answers, rooms, walk_paths_json
from roomwright.answers.walk_paths import Pinch, WalkPath, WalkPaths, walk_path, walk_paths
from roomwright.cli.subject import Subject
from roomwright.fit import spaces
from roomwright.fit.model import Word
from roomwright.job.entities import Room
from roomwright.lengths import tape


def asked(answers: Answers, from_room: str = "", to_room: str = "") -> WalkPaths:
    """Every walk path of the house, those from or to a room, or the one between two rooms.

    Raises
    ------
    MissingFactError, ValueError
        If there is no such room, or no path.
    """
    if from_room and to_room:
        found = answers.ask(walk_paths)
        return WalkPaths((answers.ask(walk_path, from_room, to_room),), found.habits)
    for room in (from_room, to_room):
        if room and room != spaces.OUT:
            answers.facts.get(Room, room)
    found = answers.ask(walk_paths)
    kept = tuple(
        path
        for path in found.paths
        if from_room in ("", path.from_room) and to_room in ("", path.to_room)
    )
    return WalkPaths(kept, found.habits, () if from_room or to_room else found.without)


def _name(answers: Answers, room: str) -> str:
    if room == spaces.OUT:
        return "outside"
    fact = answers.facts.get(Room, room)
    return f"{fact.name} {room}" if fact.name else room


def where(pinch: Pinch) -> str:
    """What a tightest place lies between, in words.

    >>> where(Pinch(39, ("table T1", "east wall"), "101", "1"))
    'between table T1 and east wall in 101'
    >>> where(Pinch(30, ("jamb of D7", "jamb of D7"), "206", "2"))
    'opening D7'
    """
    first, second = pinch.between
    if first == second and first.startswith("jamb of "):
        return f"opening {first.removeprefix('jamb of ')}"
    if first == second:
        return first.removeprefix("side of ")
    return f"between {first} and {second} in {pinch.room}"


def _text(answers: Answers, found: WalkPaths) -> None:
    from roomwright.cli.subjects import OUT  # the table of subjects holds this one

    shown = Table(box=None, pad_edge=False, header_style="bold", show_edge=False)
    for column in ("from", "to", "through", "tightest", "where", "walk", "verdict"):
        shown.add_column(column, overflow="fold")
    for path in found.paths:
        shown.add_row(*_row(answers, path))
    if found.paths:
        OUT.print(shown)
    else:
        OUT.print(
            "No walk paths yet: give rooms a use or a name (bedroom, bath, kitchen ...) and doors."
        )
    for said in found.without:
        OUT.print(f"- {said}")


def _row(answers: Answers, path: WalkPath) -> tuple[str, ...]:
    pinch = path.tightest
    return (
        _name(answers, path.from_room),
        _name(answers, path.to_room),
        ", ".join(path.openings) or "open",
        "" if pinch is None else tape(pinch.width),
        "" if pinch is None else where(pinch),
        path.habit.standing if path.habit else "main",
        path.verdict.text,
    )


def _json(answers: Answers, found: WalkPaths) -> dict[str, Any]:
    return walk_paths_json.as_json(found, answers.ask(rooms.needs, "").source)


SUBJECT = Subject(
    asked,
    _json,
    _text,
    lambda found: any(p.verdict.word in (Word.SHORT, Word.BLOCKED) for p in found.paths),
)
