"""The starter's house on one floor: living at the west end, a hall with rooms on both sides."""

from __future__ import annotations

from dataclasses import dataclass

from . import furnish
from .plan import WALL, Plan, Room
from .questions import Answers

SOUTH, HALL, NORTH = 145.5, 42.0, 138.0  # depths of the two rows and the hall between


@dataclass(frozen=True, slots=True)
class _Wish:
    name: str
    kind: str
    width: float


def one_floor(a: Answers) -> Plan:
    """Return the plan; the shorter row is filled with a study and wider bedrooms."""
    plan = Plan()
    south, north = _wishes(a)
    living = plan.first("101", "Living", "living", 204, 192)
    entry = plan.beside(living, "east", "102", south[0].name, south[0].kind, south[0].width, SOUTH)
    row = _row(plan, entry, south[1:], SOUTH)
    east = max(row[-1].east, entry.east)
    hall = plan.beside(entry, "north", f"1{len(plan.rooms) + 1:02}", "Hall", "hall",
                       east - entry.x, HALL)  # fmt: skip
    dining = plan.beside(living, "north", f"1{len(plan.rooms) + 1:02}", "Dining", "dining",
                         204, NORTH)  # fmt: skip
    kitchen = plan.beside(hall, "north", f"1{len(plan.rooms) + 1:02}", north[0].name,
                          north[0].kind, north[0].width, NORTH)  # fmt: skip
    up = _row(plan, kitchen, north[1:], NORTH)

    plan.outside(entry, "south", entry.x + 36, 36, "high")
    plan.door(living, entry, 40, 60, kind="cased")
    plan.door(living, dining, 72, 60, kind="cased")
    plan.door(entry, hall, entry.x + 24, 60, kind="cased")
    plan.door(dining, kitchen, dining.y + 33.5, 48, kind="cased")
    plan.door(kitchen, hall, kitchen.x + 50, 48, kind="cased")
    furnish.dining(plan, dining, 72)
    furnish.kitchen(plan, kitchen, a.fuel)
    for room in row:
        _south(plan, room, hall, a)
    for room in up:
        _north(plan, room, hall)
    _suite(plan, up[-1], a)
    return plan


def _wishes(a: Answers) -> tuple[list[_Wish], list[_Wish]]:
    south = [_Wish("Entry", "entry", 108), _Wish("Laundry and mudroom", "laundry", 84)]
    south += [_Wish(f"Bedroom {n}", "bedroom", 126) for n in range(2, a.bedrooms + 1)]
    north = [_Wish("Kitchen", "kitchen", 162)]
    if a.half_baths:
        north.append(_Wish("Half bath", "powder", 60))
    north.append(_Wish("Hall bath", "bath", 96))
    if a.full_baths == 3:
        north.append(_Wish("Bath 3", "bath", 66))
    north.append(_Wish("Primary bedroom", "primary", 168))
    end = WALL + (96 if a.full_baths >= 2 else 60)  # the closet, or closet and bath, beyond
    spare = _length(north) + end - _length(south)
    for name, kind, width in (("Study", "study", 126), ("Storage", "store", 96)):
        if spare > width + WALL:
            south.append(_Wish(name, kind, width))
            spare -= width + WALL
    wide = [i for i, w in enumerate(south) if w.kind in ("bedroom", "study")]
    if spare > 0:
        each = spare // (len(wide) * 0.5) * 0.5
        for i in wide:
            south[i] = _Wish(south[i].name, south[i].kind, south[i].width + each)
    elif spare < 0:
        north[-1] = _Wish(north[-1].name, north[-1].kind, north[-1].width - spare)
    return south, north


def _length(row: list[_Wish]) -> float:
    return sum(w.width for w in row) + WALL * (len(row) - 1)


def _row(plan: Plan, west: Room, wishes: list[_Wish], depth: float) -> list[Room]:
    rooms: list[Room] = []
    for wish in wishes:
        id = f"1{len(plan.rooms) + 1:02}"
        west = plan.beside(west, "east", id, wish.name, wish.kind, wish.width, depth)
        rooms.append(west)
    return rooms


def _south(plan: Plan, room: Room, hall: Room, a: Answers) -> None:
    if room.kind == "laundry":
        plan.door(hall, room, room.x + 6, 32)
        plan.outside(room, "south", room.x + 4, 36, "low")
        furnish.laundry(plan, room, a.fuel, 40)
        return
    plan.door(hall, room, room.x + 6, 30)
    if room.kind == "bedroom":
        furnish.closet(plan, room, room.width - 24, 60, 24, 60)


def _north(plan: Plan, room: Room, hall: Room) -> None:
    if room.kind == "powder":
        plan.door(hall, room, room.x + 16, 28)
        furnish.powder(plan, room)
    elif room.kind == "bath" and room.width < 90:
        plan.door(hall, room, room.x + 4, 28, kind="pocket")
        furnish.third_bath(plan, room)
    elif room.kind == "bath":
        plan.door(hall, room, room.x + 6, 30)
        furnish.hall_bath(plan, room)
    else:
        plan.door(hall, room, room.x + 6, 32)


def _suite(plan: Plan, primary: Room, a: Answers) -> None:
    id = f"1{len(plan.rooms) + 1:02}"
    if a.full_baths == 1:
        closet = plan.beside(primary, "east", id, "Walk-in closet", "closet", 60, NORTH)
        plan.door(primary, closet, closet.y + 50, 30)
        return
    closet = plan.beside(primary, "east", id, "Walk-in closet", "closet", 96, 48)
    bath = plan.beside(closet, "north", f"1{len(plan.rooms) + 1:02}", "Primary bath",
                       "primary-bath", 96, NORTH - 48 - WALL)  # fmt: skip
    plan.door(primary, closet, closet.y + 9, 30)
    plan.door(primary, bath, bath.y + 7, 30, kind="pocket")
    furnish.primary_bath(plan, bath)
