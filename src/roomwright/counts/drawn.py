"""Which line of the plan buys what is drawn: doors by room, sort and size; pieces by words."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from roomwright.counts.model import Door, Drawn, Line
from roomwright.counts.notes import Size, segments, size_said, words

Sort = str
"""outside, pocket, pair, closet or inside: what kind of door a line or an opening is."""

_GENERIC = frozenset({"cabinet", "table", "unit", "set", "round"})
"""Words that many pieces share: one of these alone says nothing."""
OFF = 0.5
"""Sizes nearer than this are the same size [in]."""


@dataclass(frozen=True, slots=True)
class Match:
    """Lines and what is drawn, brought together. `lines` and `doors` are those left over."""

    bought: Mapping[str, str]
    lines: tuple[Line, ...] = ()
    doors: tuple[Door, ...] = ()


def sort_of_class(name: str) -> Sort | None:
    """Return what sort of door a class is, by its name; None if it is no door.

    >>> sort_of_class("Pocket door"), sort_of_class("French door pair, prehung")
    ('pocket', 'pair')
    >>> sort_of_class("Doorbell + chime"), sort_of_class("Latch set and stop for a door")
    (None, None)
    """
    said = words(name)
    head = re.split(r"[,;:(+]|\b(?:for|of|with|at|in)\b", name.lower(), maxsplit=1)[0]
    nouns = re.findall(r"[a-z]+", head)
    if not nouns or nouns[-1] not in {"door", "doors", "pair"}:
        return None
    if said & {"bifold", "bypass"}:
        return "closet"
    if "pocket" in said:
        return "pocket"
    if said & {"pair", "french", "double"}:
        return "pair"
    if said & {"exterior", "outside", "front", "entry", "outdoor"}:
        return "outside"
    return "inside"


def sort_of_door(door: Door) -> Sort | None:
    """Return what sort of door an opening has; None if it has none."""
    match door.kind:
        case "swing":
            return "outside" if door.outside else "inside"
        case "swing pair":
            return "outside" if door.outside else "pair"
        case "pocket":
            return "pocket"
        case "bifold" | "slide":
            return "closet"
    return None


def match_doors(
    lines: Iterable[Line], doors: Iterable[Door], names: Mapping[str, str] | None = None
) -> Match:
    """Bring lines that buy doors and doors that are drawn together, nearest first.

    A line and a door match if they are of one sort and the line's room is one of the door's. Among
    several, the one that the note calls by its id comes first, then the one of the right width,
    then the one whose other room the note names (`names`: room -> what it is called), then the one
    that swings into the line's room.
    """
    buying = [line for line in lines if sort_of_class(line.name)]
    sorts = {sort_of_class(line.name) for line in buying}
    # a sort of door that no line of the house buys is not counted in this house
    drawn = [door for door in doors if sort_of_door(door) in sorts]
    left = {line.id: line.qty for line in buying}
    by_id = {line.id: line for line in buying}
    pairs = sorted(
        (_far(line, door, names or {}), door.id, line.id)
        for door in drawn
        for line in buying
        if sort_of_class(line.name) == sort_of_door(door) and line.room in door.rooms
    )
    bought: dict[str, str] = {}
    for _, door_id, line_id in pairs:
        if door_id not in bought and left[line_id] > 0:
            bought[door_id] = line_id
            left[line_id] -= 1
    return Match(
        bought,
        tuple(by_id[id] for id, n in left.items()
              if n > 0 and sort_of_class(by_id[id].name) != "closet"),
        tuple(door for door in drawn if door.id not in bought),
    )  # fmt: skip


def _far(line: Line, door: Door, names: Mapping[str, str]) -> tuple[int, float, int, int]:
    said = size_said(line.note, door=True)
    wide = abs(said.width - door.width) if said and said.width else 0.0
    other = next((r for r in door.rooms if r != line.room), "")
    called = bool(words(names.get(other, "")) & words(line.note))
    meant = door.id in re.findall(r"[\w-]+", line.note)
    return 0 if meant else 1, wide, 0 if called else 1, 0 if door.into == line.room else 1


def match_pieces(lines: Iterable[Line], drawn: Iterable[Drawn]) -> dict[str, str]:
    """Return the line that buys each drawn piece: the one it names, else by words in its room."""
    by_room: dict[str, list[Line]] = {}
    known: dict[str, Line] = {}
    for line in lines:
        by_room.setdefault(line.room, []).append(line)
        known[line.id] = line
    bought: dict[str, str] = {}
    for piece in drawn:
        if piece.line in known:
            bought[piece.id] = piece.line
            continue
        scored = [(_likeness(piece, line), line.id) for line in by_room.get(piece.room, ())]
        best = max(scored, default=(None, ""), key=lambda s: s[0] or ())
        if best[0] is not None:
            bought[piece.id] = best[1]
    return bought


def _likeness(piece: Drawn, line: Line) -> tuple[float, float, int] | None:
    """Return how well a line's words fit a piece, or None where they do not."""
    kind = words(piece.kind)
    named, noted = words(line.name), words(line.note)
    hit = kind & (named | noted)
    if not hit - _GENERIC or len(hit) * 2 < len(kind):
        return None
    said = size_of(piece, line)
    fits = 0.0 if said is None else 1.0 if not size_differs(piece, said) else -0.5
    head = words(re.split(r"[,;:(]", line.name, maxsplit=1)[0])
    return len(hit) / len(kind), fits, -len(head - kind)


def size_of(piece: Drawn, line: Line) -> Size | None:
    """Return the size that a line's note gives for a piece: in the part of the note that names it.

    A note in one part, or the first part of one about one item, speaks of the piece too.
    """
    kind = words(piece.kind)
    parts = segments(line.note)
    own = [p for p in parts if words(p) & kind]
    if own:
        return next((s for s in map(size_said, own) if s), None)
    if line.qty == 1 or len(parts) == 1:
        return next((s for s in map(size_said, parts) if s), None)
    return None


def size_differs(piece: Drawn, said: Size) -> bool:
    """Return whether a piece is drawn in another size than said; turned round is the same."""

    def off(a: float | None, b: float | None) -> bool:
        return a is not None and b is not None and abs(a - b) > OFF

    straight = off(piece.width, said.width) or off(piece.depth, said.depth)
    if said.width is None or said.depth is None:
        return straight
    return straight and (off(piece.width, said.depth) or off(piece.depth, said.width))
