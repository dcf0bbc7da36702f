"""Checks of rooms: floors, ways in, what the tape read against what is drawn."""

from __future__ import annotations

import math
from collections import defaultdict
from collections.abc import Iterator
from fractions import Fraction

from roomwright import shape
from roomwright.answers.check_finding import Finding
from roomwright.answers.engine import Ask
from roomwright.job.entities import Opening, Part, PartClass, Reading, Room, Stair
from roomwright.lengths import tape

AGREE = Fraction(1)
"""A tape reading farther than this from the drawn length is looked at [in]; our own figure."""


def findings(ask: Ask) -> Iterator[Finding]:
    """Yield what is doubtful about rooms."""
    rooms = ask.all(Room)
    bare = [r.id for r in rooms if r.floor is None]
    if bare:
        yield Finding("no floor finish", "look", f"{_named(bare)} no floor finish.",
                      "Name one of floors.csv in rooms.csv: risers, doors and cabinets hang on it.",
                      bare[0] if len(bare) == 1 else "", "room", tuple(bare))  # fmt: skip
    low = [r.id for r in rooms if r.ceiling is None]
    if low:
        yield Finding("no ceiling height", "note", f"{_named(low)} no ceiling height.",
                      "Tape it and add it to rooms.csv.", "", "room", tuple(low))  # fmt: skip
    yield from _no_way_in(ask, rooms)
    yield from _floors_bought(ask, rooms)
    yield from _readings(ask)


def _named(ids: list[str]) -> str:
    if len(ids) == 1:
        return f"Room {ids[0]} has"
    return f"Rooms {', '.join(ids[:-1])} and {ids[-1]} have"


def _no_way_in(ask: Ask, rooms: tuple[Room, ...]) -> Iterator[Finding]:
    openings = ask.all(Opening)
    if not openings:
        return
    joined = {r for o in openings for r in (o.from_room, o.to_room)}
    joined |= {r for s in ask.all(Stair) for r in (s.from_room, s.to_room)}
    for room in rooms:
        if room.id not in joined:
            yield Finding("no way in", "look", f"No opening leads into room {room.id}.",
                          "Add its door or cased opening: no walk path can be found without one.",
                          room.id, "room", (room.id,))  # fmt: skip


def _floors_bought(ask: Ask, rooms: tuple[Room, ...]) -> Iterator[Finding]:
    """Where a class is named after a floor finish, each room with that floor has a line of it."""
    classes = ask.all(PartClass)
    bought: dict[str, set[str]] = defaultdict(set)
    for part in ask.all(Part):
        bought[part.room].add(part.part_class)
    for finish in dict.fromkeys(r.floor for r in rooms if r.floor):
        words = set(finish.lower().split())
        named = [c.id for c in classes if words <= set(c.name.lower().replace(",", " ").split())]
        buying = [c for c in named if any(c in have for have in bought.values())]
        if not buying:
            continue
        for room in rooms:
            if room.floor == finish and not bought[room.id] & set(buying):
                yield Finding("floor not bought", "look",
                              f"Room {room.id} gets {finish}, but no line buys it there.",
                              "Add a line for it, or correct the room's floor.",
                              room.id, "room", (room.id,))  # fmt: skip


def _readings(ask: Ask) -> Iterator[Finding]:
    """Tape readings against the outline as drawn."""
    by_room: dict[str, list[Reading]] = defaultdict(list)
    for reading in ask.all(Reading):
        by_room[reading.room].append(reading)
    for id, readings in by_room.items():
        room = ask.find(Room, id)
        if room is None:
            continue
        corners = [(float(x), float(y)) for x, y in room.outline]
        pairs = {_ends(r) for r in readings}
        spare = len(pairs) - (2 * len(corners) - 3)
        for reading in readings:
            yield from _reading(reading, corners, readings, spare)


def _or(names: list[str]) -> str:
    return names[0] if len(names) == 1 else f"{', '.join(names[:-1])} or {names[-1]}"


def _ends(reading: Reading) -> frozenset[str]:
    return frozenset((reading.from_corner.upper(), reading.to_corner.upper()))


def _reading(
    reading: Reading, corners: list[tuple[float, float]], others: list[Reading], spare: int
) -> Iterator[Finding]:
    try:
        a = corners[shape.index_of(reading.from_corner)]
        b = corners[shape.index_of(reading.to_corner)]
    except (ValueError, IndexError):
        return
    drawn = math.dist(a, b)
    off = float(reading.length) - drawn
    if abs(off) <= AGREE:
        return
    ends = {reading.from_corner.upper(), reading.to_corner.upper()}
    again = [
        r
        for r in others
        if r is not reading and {r.from_corner.upper(), r.to_corner.upper()} == ends
    ]
    agrees = [r for r in again if abs(float(r.length) - drawn) <= AGREE]
    name = f"{reading.from_corner}-{reading.to_corner}"
    side = "longer" if off > 0 else "shorter"
    text = (
        f"Room {reading.room}: the tape read {tape(reading.length)} from {name}, {tape(abs(off))} "
        f"{side} than drawn."
    )
    if agrees:
        text += f" Another reading of {name} is {tape(agrees[0].length)}."
        do = f"Leave this reading out, or tape {name} a third time."
    elif again:
        do = "The readings of it agree, so correct the outline."
    elif spare <= 1:
        rest = sorted({f"{r.from_corner}-{r.to_corner}" for r in others} - {name})
        text += (
            f" The room has one spare reading, so {_or(rest)} could be the bad one too."
            if spare == 1
            else " The room has no spare reading, so nothing shows which one is wrong."
        )
        do = f"Tape {name} again first, then the other diagonal, before anything is cut to it."
    else:
        do = f"Tape {name} again; if it stands, correct the outline."
    yield Finding("tape against plan", "look", text, do, reading.room, "reading", (reading.id,))
