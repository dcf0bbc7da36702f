"""What the forms beside a level show of the thing that is chosen on it."""

from __future__ import annotations

import math
from typing import Any

from roomwright import shape
from roomwright.commands.drawing_ceilings import pitch_said, told
from roomwright.commands.drawing_openings import inside_of
from roomwright.commands.drawing_rooms import counted, depending, still_needed
from roomwright.commands.in_wall import in_wall
from roomwright.figures.book import load
from roomwright.fit.kinds import table
from roomwright.job import entities as e
from roomwright.job.facts import Facts
from roomwright.lengths import tape
from roomwright.web.desk import HouseAt
from roomwright.web.survey import wall_rows

MODELS: dict[str, type[e.Fact]] = {
    "room": e.Room, "opening": e.Opening, "window": e.Window, "fixed": e.Fixed,
    "piece": e.Piece, "light": e.Light, "sketch": e.Sketch,
}  # fmt: skip


def picked(at: HouseAt, kind: str, id: str) -> dict[str, Any]:
    """Return what a page shows of the thing that is chosen, and of the house."""
    facts = at.answers.facts
    house = facts.get(e.House, "house")
    book = load()
    said: dict[str, Any] = {
        "fact": None, "walls_of": [], "in_wall": None, "goes": "", "held": "", "room_of": None,
        "kinds": sorted(table()), "sets": book.sets, "figures_now": house.figures,
        "overrides": sorted(house.overrides.items()), "keys": book.keys,
        "floors": facts.ids(e.Floor), "floor": None, "begins": "", "slopes": (), "stairs": (),
    }  # fmt: skip
    if not kind:
        return said
    fact = facts.fact(kind, id)
    said["fact"] = fact
    if isinstance(fact, e.Sketch):
        said["begins"] = start_said(fact.start)
    if isinstance(fact, e.Room):
        said |= _room(at, fact)
    elif fact is not None and not isinstance(fact, e.Sketch):
        room = inside_of(fact) if isinstance(fact, e.Opening) else getattr(fact, "room", "")
        said["room_of"] = facts.find(e.Room, room)
    if isinstance(fact, e.Opening | e.Window) and said["room_of"] is not None:
        said["in_wall"] = in_wall(said["room_of"], fact.a, fact.b)
    if said["room_of"] is not None:
        said["walls_of"] = _walls(said["room_of"])
    return said


def start_said(start: e.Point) -> str:
    r"""Return where a chain begins as it can be typed; empty at 0, 0.

    >>> from fractions import Fraction
    >>> print(start_said((Fraction(189, 2), Fraction(-20))))
    7'-10 1/2" east, 1'-8" south
    """
    parts = zip(start, (("east", "west"), ("north", "south")), strict=True)
    return ", ".join(f"{tape(abs(v), 64)} {words[v < 0]}" for v, words in parts if v)


def _room(at: HouseAt, room: e.Room) -> dict[str, Any]:
    facts = at.answers.facts
    goes, turned = depending(facts, room.id)
    parts = [counted(goes)] if goes else []
    parts += [f"{counted(turned)} will lead outdoors"] if turned else []
    held = still_needed(facts, room.id, goes)
    return {
        "room_of": room, "goes": "; ".join(parts), "held": counted(held[:40]) if held else "",
        "floor": facts.find(e.Floor, room.floor),
        "wall_rows": wall_rows(at.answers, room),
        "slopes": [_slope(room, each) for each in facts.where(e.Slope, "room", room.id)],
        "stairs": [s for s in facts.all(e.Stair) if room.id in (s.from_room, s.to_room)],
        "other_rooms": _at_head(facts, room),
    }  # fmt: skip


def _slope(room: e.Room, slope: e.Slope) -> dict[str, str]:
    """A sloped ceiling as its form shows it."""
    return {
        "id": slope.id,
        "wall": in_wall(room, slope.a, slope.b)[0],
        "low": tape(slope.low),
        "pitch": pitch_said(slope.pitch),
        "said": told(room, slope),
    }


def _at_head(facts: Facts, room: e.Room) -> list[e.Room]:
    """The rooms that a stair from this one may lead up to, other levels first."""
    others = [each for each in facts.all(e.Room) if each.id != room.id]
    return sorted(others, key=lambda each: each.level == room.level)


def _walls(room: e.Room) -> list[tuple[str, str, str, str]]:
    """Each wall's letter, its length, which way it faces, the letter of its second corner."""
    ring = tuple((float(x), float(y)) for x, y in room.outline)
    turned = shape.signed_area(ring) < 0
    found = []
    for k, wall in enumerate(shape.walls(ring)):
        east, north = shape.outward(wall)
        out = (-east, -north) if turned else (east, north)
        found.append(
            (shape.letter(k), tape(math.dist(*wall), 64), shape.compass(out),
             shape.letter((k + 1) % len(ring)))
        )  # fmt: skip
    return found
