"""What stands in baths, kitchen, laundry and dining room when a house begins.

Sizes are usual ones [common practice]; places leave the room that the figures ask for.
"""

from __future__ import annotations

from .plan import Plan, Room

TOILET = (20.0, 28.0, 30.0)
VANITY = (36.0, 21.0, 34.0)
SMALL_VANITY = (30.0, 19.0, 34.0)
POWDER_VANITY = (24.0, 18.0, 34.0)
TUB = (60.0, 32.0, 20.0)
SHORT_TUB = (60.0, 30.0, 20.0)
RANGE = (30.0, 28.0, 36.0)
DISHWASHER = (24.0, 25.0, 34.0)
REFRIGERATOR = (36.0, 30.0, 70.0)
WASHER = (27.0, 32.0, 39.0)
COUNTER = 25.0  # deep, with its overhang


def kitchen(plan: Plan, room: Room, fuel: str) -> None:
    """One run of cabinets along the north wall: refrigerator, range, sink, dishwasher."""
    far = room.depth
    plan.put(room, "refrigerator", REFRIGERATOR, "north", 18, far - 15)
    plan.put(room, "range", RANGE, "north", 85, far - 14, f"range-{fuel}")
    plan.put(room, "dishwasher", DISHWASHER, "north", 150, far - 12.5)
    note = "25 deep with its overhang"
    plan.build_in(room, "counter left of the range", 36, far - COUNTER, 34, COUNTER, note)
    plan.build_in(room, "counter with the sink", 100, far - COUNTER, 38, COUNTER, note)
    if room.width > 165:
        plan.build_in(
            room, "counter at the end", 162, far - COUNTER, room.width - 162, COUNTER, note
        )


def laundry(plan: Plan, room: Room, fuel: str, y: float) -> None:
    """Washer and dryer side by side, backs to the east wall, from y north of the south wall."""
    plan.put(room, "washer", WASHER, "east", room.width - 16, y + 13.5)
    plan.put(room, "dryer", WASHER, "east", room.width - 16, y + 40.5, f"dryer-{fuel}")


def powder(plan: Plan, room: Room) -> None:
    """Toilet and small lavatory: along a long room, or across it."""
    if room.depth > room.width:
        plan.put(room, "toilet", TOILET, "north", room.width / 2, room.depth - 14)
        plan.put(room, "vanity", POWDER_VANITY, "west", 9, 66)
    else:
        plan.put(room, "toilet", TOILET, "east", room.width - 14, room.depth / 2)
        plan.put(room, "vanity", POWDER_VANITY, "north", 50, room.depth - 9)


def hall_bath(plan: Plan, room: Room) -> None:
    """Tub in the northeast corner, toilet and lavatory on the side walls."""
    plan.put(room, "alcove tub", TUB, "north", room.width - 30, room.depth - 16, "tub")
    if room.width >= 110:
        plan.put(room, "toilet", TOILET, "west", 14, room.depth - 29)
        plan.put(room, "vanity", VANITY, "west", 10.5, 23)
    else:
        plan.put(room, "toilet", TOILET, "west", 14, room.depth - 64)
        plan.put(room, "vanity", VANITY, "east", room.width - 10.5, 58)


def third_bath(plan: Plan, room: Room) -> None:
    """A narrow bath: tub across one end, lavatory and toilet on one wall, a pocket door."""
    if room.width > room.depth:  # tub at the east end
        plan.put(room, "alcove tub", SHORT_TUB, "east", room.width - 15, room.depth / 2, "tub")
        plan.put(room, "toilet", TOILET, "south", 56, 14)
        plan.put(room, "vanity", SMALL_VANITY, "south", 21, 9.5)
    else:  # tub at the north end
        plan.put(room, "alcove tub", TUB, "north", room.width / 2, room.depth - 16, "tub")
        plan.put(room, "toilet", TOILET, "east", room.width - 14, 71)
        plan.put(room, "vanity", SMALL_VANITY, "east", room.width - 9.5, 38)


def primary_bath(plan: Plan, room: Room) -> None:
    """A shower, a toilet and a lavatory, clear of one another."""
    if room.depth > room.width:
        plan.build_in(room, "shower", 0, 0, 60, 36, "glass on the north side")
        plan.put(room, "toilet", TOILET, "south", 92, 14)
        plan.put(room, "vanity", VANITY, "west", 10.5, 102)
    else:
        plan.build_in(
            room, "shower", room.width - 36, room.depth - 48, 36, 48, "glass on the west side"
        )
        plan.put(room, "toilet", TOILET, "south", 40, 14)
        plan.put(room, "vanity", SMALL_VANITY, "north", 19, room.depth - 9.5)


def dining(plan: Plan, room: Room, length: float) -> None:
    """A table clear of the way between the openings, which pass south and east of it."""
    x = 36 + length / 2
    plan.put(room, "dining table", (length, 36, 30), "south", x, room.depth - 54, "table")


def closet(plan: Plan, room: Room, x: float, y: float, width: float, depth: float) -> None:
    """A reach-in closet, 24 deep."""
    plan.build_in(room, "reach-in closet", x, y, width, depth, "24 deep")
