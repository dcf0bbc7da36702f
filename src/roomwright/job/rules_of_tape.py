"""Rules of tape readings and wall layers: what each runs between is there, layers leave a room."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Sequence
from fractions import Fraction

from roomwright import lengths, shape
from roomwright.job.entities import Fact, Opening, Reading, Room, Wall, Window
from roomwright.job.errors import Problem
from roomwright.job.facts import Change, Facts
from roomwright.survey import SurveyError
from roomwright.survey.faces import offset_outline

CEILING, MIDDLE = "ceiling", "middle"
EDGES = ("near", "far")
THICKEST = Fraction(24)
"""All layers of a wall together are not thicker [in]; ours: furring, board, stone and all."""

Fault = tuple[str, str, str]
"""Field, what is wrong, what to do."""


def faults_of_reading(facts: Facts, fact: Reading) -> Iterator[Fault]:
    """Yield what is wrong with the ends of a reading, given that its room is there."""
    room = facts.find(Room, fact.room)
    if room is None:
        return
    last = shape.letter(len(room.outline) - 1)
    corners = f"its corners are A to {last}, in the order of the outline"
    a, b = fact.from_corner.strip(), fact.to_corner.strip()
    if b.lower() == CEILING:
        if not _corner(a, room) and a.lower() != MIDDLE:
            yield "from_corner", f"room {room.id} has no corner {_said(a)}", f"{corners}; or middle"
        return
    if not _corner(a, room):
        yield "from_corner", f"room {room.id} has no corner {_said(a)}", corners
    thing, _, edge = b.rpartition(" ")
    if edge.lower() in EDGES:
        if thing.strip().upper() not in _things(facts, room.id):
            told = f"room {room.id} has no opening or window {_said(thing)}"
            yield "to_corner", told, "write the id of one, a blank, and near or far"
        return
    if not _corner(b, room):
        told = f"{corners}; ceiling for a height, D4 near for an offset"
        yield "to_corner", f"room {room.id} has no corner {_said(b)}", told
    if a.upper() == b.upper():
        yield "to_corner", f"runs from corner {a} to itself", "name the corner that the tape ran to"


def faults_of_walls(facts: Facts, room: Room) -> Iterator[tuple[Wall, Fault]]:
    """Yield what is wrong with the layers of a room's walls."""
    count = len(room.outline)
    names = [shape.letter(i) for i in range(count)]
    thick = dict.fromkeys(names, Fraction(0))
    seen: dict[str, Wall] = {}
    broken = False
    for wall in facts.where(Wall, "room", room.id):
        first = _first(wall, names)
        total = (wall.board or Fraction(0)) + (wall.finish or Fraction(0))
        if first is None:
            broken = True
            yield (
                wall,
                (
                    "to_corner",
                    f"{wall.from_corner}-{wall.to_corner} is no wall of room {room.id}",
                    f"name two corners that follow each other, A to {names[-1]}",
                ),
            )
        elif first in seen:
            broken = True
            yield wall, ("from_corner", f"wall {first} is there already, as {seen[first].id}",
                         "keep one of them")  # fmt: skip
        elif min(wall.board or 0, wall.finish or 0) < 0 or total > THICKEST:
            broken = True
            field = "finish" if wall.finish else "board"
            yield wall, (field, f"its layers are {lengths.tape(total)} thick in all",
                         "a layer is 0 or more, all together 2 ft at most")  # fmt: skip
        else:
            seen[first] = wall
            thick[first] = total
    if seen and not broken:
        ring = tuple((float(x), float(y)) for x, y in room.outline)
        try:
            offset_outline(ring, [float(thick[name]) for name in names])
        except SurveyError as error:
            thickest = max(seen.values(), key=lambda wall: (wall.board or 0) + (wall.finish or 0))
            told = f"leaves nothing of room {room.id}: {str(error).rstrip('.')}"
            yield thickest, ("finish", told, "check the thicknesses of its walls")


def _first(wall: Wall, names: Sequence[str]) -> str | None:
    """The letter of the wall: its first corner in the order of the outline."""
    ends = wall.from_corner.strip().upper(), wall.to_corner.strip().upper()
    ring = dict(zip(names, [*names[1:], names[0]], strict=True))
    for a, b in (ends, ends[::-1]):
        if ring.get(a) == b:
            return a
    return None


def _corner(name: str, room: Room) -> bool:
    try:
        return shape.index_of(name) < len(room.outline)
    except ValueError:
        return False


def _things(facts: Facts, room: str) -> set[str]:
    found = {w.id.upper() for w in facts.where(Window, "room", room)}
    for field in ("from_room", "to_room"):
        found |= {o.id.upper() for o in facts.where(Opening, field, room)}
    return found


def _said(text: str) -> str:
    return f"“{text[:40]}”"


def readings_run_between_what_is_there(
    facts: Facts, changes: Sequence[Change]
) -> Iterator[Problem]:
    """Corners, openings and windows that a tape ran to are those of the room."""
    found = {c.id: c.after for c in changes if isinstance(c.after, Reading)}
    for room in _rooms(changes):
        found |= {r.id: r for r in facts.where(Reading, "room", room)}
    for reading in found.values():
        for field, wrong, do in faults_of_reading(facts, reading):
            yield Problem(
                "reading", reading.id, field, f"tape reading {reading.id}: {wrong}: {do}."
            )


def layers_leave_a_room(facts: Facts, changes: Sequence[Change]) -> Iterator[Problem]:
    """A wall runs between two corners that follow each other; its layers leave a room."""
    touched = {c.after.room for c in changes if isinstance(c.after, Wall)}
    touched |= {c.id for c in changes if isinstance(c.after, Room)}
    for id in sorted(touched):
        room = facts.find(Room, id)
        if room is not None:
            for wall, (field, wrong, do) in faults_of_walls(facts, room):
                yield Problem("wall", wall.id, field, f"wall {wall.id}: {wrong}: {do}.")


def _rooms(changes: Sequence[Change]) -> set[str]:
    """Rooms whose corners, openings or windows have changed."""
    found: set[str] = set()
    for c in changes:
        for fact in (c.before, c.after):
            found |= _of(fact)
    return found


def _of(fact: Fact | None) -> set[str]:
    if isinstance(fact, Room):
        return {fact.id}
    if isinstance(fact, Window):
        return {fact.room}
    if isinstance(fact, Opening):
        return {fact.from_room, fact.to_room}
    return set()


Rule = Callable[[Facts, Sequence[Change]], Iterable[Problem]]
tape_rules: tuple[Rule, ...] = (readings_run_between_what_is_there, layers_leave_a_room)
