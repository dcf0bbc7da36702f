"""What is counted in the starter's house: classes with their leads, parts by room, companions."""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import dataclass

from roomwright.lengths import area

from .plan import Plan, Room
from .questions import BUYS, Answers
from .rows import Row, rows

FLOOR_CLASS = {"wood plank": "wood", "vinyl plank": "vinyl", "tile": "tile", "carpet": "carpet"}
BASIS = "common practice, a guess until a vendor says"
_OWNERS = {
    BUYS[0]: {"owner"},
    BUYS[1]: {"owner", "appliances"},
    BUYS[2]: {"owner", "appliances", "lights", "fixtures"},
}


@dataclass(frozen=True, slots=True)
class Line:
    """One line of the plan of parts."""

    id: str
    room: str
    part_class: str
    qty: int
    bought_by: str
    note: str


def floor_of(room: Room, a: Answers) -> str:
    """Return the floor finish of a room."""
    if room.kind in ("powder", "bath", "primary-bath", "laundry"):
        return a.bath_floor
    if room.kind in ("bedroom", "primary", "closet"):
        return a.bedroom_floor
    if room.kind == "kitchen" and a.living_floor == "carpet":
        return a.bath_floor
    return a.living_floor


def flags_of(plan: Plan, a: Answers) -> set[str]:
    """Return what the answers turn on in the starter's tables."""
    flags = {a.fuel, "hard"} | {FLOOR_CLASS[floor_of(r, a)] for r in plan.rooms.values()}
    if a.floors == 2:
        flags.add("stairs")
    if any(r.kind == "primary-bath" for r in plan.rooms.values()):
        flags.add("shower")
    if any(w.kind == "pocket" for w in plan.ways):
        flags.add("pocket")
    return flags


def lines(plan: Plan, a: Answers, flags: Collection[str], begun: Collection[str]) -> list[Line]:
    """Return the parts room by room: the room's own, its floor, and the doors hung in it.

    What work that has begun needed is in the house already, and is not counted.
    """
    counted = rows("takeoff", flags)
    there = {r["class"] for r in rows("classes", flags) if r["needed_by"] in begun}
    owners = _OWNERS[a.buys]
    buyer = {r["class"]: r["buyer"] for r in rows("classes", flags)}
    found: list[Line] = []

    def add(room: str, part_class: str, qty: int, note: str) -> None:
        if part_class in there:
            return
        by = "owner" if buyer[part_class] in owners else ""
        found.append(Line(f"L{len(found) + 1:03}", room, part_class, qty, by, note))

    for room in plan.rooms.values():
        kinds = [room.kind] + ["stair"] * bool(plan.stair and plan.stair[0] == room.id)
        tub = any(p.room == room.id and p.line_of == "tub" for p in plan.pieces)
        for row in counted:
            if row["kind"] in kinds and (row["class"] != "tub" or tub):
                add(room.id, row["class"], int(row["qty"]), row["note"])
        sq_in = int(room.width * room.depth)
        add(room.id, FLOOR_CLASS[floor_of(room, a)], 1, f"for {area(sq_in)}, waste not counted")
        doors = [w for w in plan.ways if w.to != "out" and w.kind != "cased"
                 and (w.into or w.to) == room.id]  # fmt: skip
        for way in doors:
            size = f"{way.width:g} x 80 in."
            hand = f", {way.hand} hand" if way.hand else ""
            kind = "door-pocket" if way.kind == "pocket" else "door-inside"
            add(room.id, kind, 1, f"{way.id}: {size}{hand}")
            add(room.id, "hardware", 1, f"for {way.id}")
    return found


def classes(flags: Collection[str], used: Collection[str]) -> list[Row]:
    """Return the classes that some line uses."""
    return [r for r in rows("classes", flags) if r["class"] in used]


def companions(a: Answers, flags: Collection[str], used: Collection[str]) -> list[Row]:
    """Return the companion parts of those classes; the owner brings what the owner buys."""
    owners = _OWNERS[a.buys]
    found = []
    for row in rows("companions", flags):
        if row["class"] in used:
            by = row["brought_by"]
            if by.isupper() and by.lower() in ("fixtures", "lights", "appliances"):
                by = "owner" if by.lower() in owners else "builder"
            found.append({**row, "brought_by": by})
    return found
