"""Checks of rooms: floors, ways in, what the tape read against what is drawn."""

from __future__ import annotations

import math
from collections import defaultdict
from collections.abc import Iterator

from roomwright.answers.check_finding import Finding, Weight
from roomwright.answers.engine import Ask
from roomwright.answers.survey import Read, RoomSurvey, survey_of
from roomwright.job.entities import Opening, Part, PartClass, Reading, Room, Stair
from roomwright.lengths import tape

AGREE = 1.0
"""A wall measured farther than this from the drawn length is looked at [in]; our own figure."""


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
    """What the survey of each taped room doubts: its readings, then the outline as drawn."""
    for id in dict.fromkeys(each.room for each in ask.all(Reading)):
        if ask.find(Room, id) is None:
            continue
        this = ask(survey_of, id)
        if this.found is None and this.trouble:
            yield from _unsettled(this)
        for bad in this.suspects:
            yield _suspect(this, bad)
        yield from _against_plan(this)


def _unsettled(this: RoomSurvey) -> Iterator[Finding]:
    """Readings that make no room yet: too few is worth knowing, walls that cannot close a doubt."""
    ring = dict(zip(this.corners, this.drawn, strict=True))
    far = []
    for each in this.of("wall", "diagonal"):
        drawn = math.dist(*(ring[end.strip().upper()] for end in _line(each.fact)))
        if abs(each.used - drawn) > AGREE and not each.fact.aside:
            far.append(f"{_name(each.fact)} {tape(each.fact.length)} where {tape(drawn)} is drawn")
    text = f"Room {this.room}: {this.trouble}"
    if far:
        text += f" The tape read {', '.join(far)}."
    weight: Weight = "look" if far else "note"
    do = "Tape the rest; the room's Tape page says which readings are missing or cannot be."
    yield Finding("tape against plan", weight, text, do, this.room, "room", (this.room,))


def _line(reading: Reading) -> tuple[str, str]:
    return reading.from_corner, reading.to_corner


def _name(reading: Reading) -> str:
    return "-".join(_line(reading))


def _suspect(this: RoomSurvey, bad: Read) -> Finding:
    """One reading that the others contradict, its rivals, and what to measure next."""
    taken = bad.taken
    assert taken is not None  # noqa: S101 - a suspect was adjusted
    side = "longer" if taken.error > 0 else "shorter"
    name = _name(bad.fact)
    text = (
        f"Room {this.room}: the tape read {tape(bad.fact.length)} from {name}, about "
        f"{tape(abs(taken.error))} {side} than the other readings say."
    )
    others = [each for each in this.reads if each.fact.id in taken.rivals]
    rest = sorted({
        f"its other reading, {tape(r.fact.length)}," if _ends(r.fact) == _ends(bad.fact)
        else _name(r.fact)
        for r in others
    })  # fmt: skip
    if rest:
        text += f" {_or(rest)} could be the bad one too."
    again = [
        each for each in this.of("wall", "diagonal")
        if each is not bad and _ends(each.fact) == _ends(bad.fact) and not each.suspect
    ]  # fmt: skip
    if again:
        text += f" Another reading of {name} is {tape(again[0].fact.length)}."
    do = f"Set it aside, or tape {name} a third time." if again else f"Tape {name} again"
    following = this.found.next_diagonal if this.found else None
    if not again:
        line = f"{following.from_}-{following.to}" if following else ""
        more = line and line not in (name, name[::-1])
        do += f", then {line}," if more else ""
        do += " before anything is cut to it." if rest else "; if it stands, look at the others."
    return Finding("tape against plan", "look", text, do, this.room, "reading", (bad.fact.id,))


def _against_plan(this: RoomSurvey) -> Iterator[Finding]:
    """Walls and corners that are surely other than drawn, by more than an inch."""
    if this.accepted or this.found is None:
        return
    told = [
        f"wall {w.wall} is {tape(abs(w.difference))} {'longer' if w.difference > 0 else 'shorter'}"
        for w in this.walls
        if w.sure and abs(w.difference) > AGREE
    ]
    turned = [w for w in this.walls if abs(w.turned) > w.turned_error and abs(w.turned_in) > AGREE]
    if turned:
        worst = max(turned, key=lambda w: round(abs(w.turned_in), 3))  # of equals the first
        told.append(f"corner {worst.from_} is out by {tape(abs(worst.turned_in))} over its wall")
    if told:
        text = f"Room {this.room}, as taped against as drawn: {', '.join(told)}."
        doubt = [note for note in this.found.notes if "out of square" in note]
        yield Finding("tape against plan", "look", " ".join([text, *doubt]),
                      "Accept the taped outline on the room's Tape page, or tape it again.",
                      this.room, "room", (this.room,))  # fmt: skip


def _or(names: list[str]) -> str:
    return names[0] if len(names) == 1 else f"{', '.join(names[:-1])} or {names[-1]}"


def _ends(reading: Reading) -> frozenset[str]:
    return frozenset((reading.from_corner.upper(), reading.to_corner.upper()))
