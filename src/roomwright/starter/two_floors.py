"""The starter's house on two floors: living below, sleeping above, one straight stair."""

from __future__ import annotations

from . import furnish
from .plan import Plan
from .questions import Answers

STAIR = (36.0, 140.0)  # width, and 14 treads of 10
STAIR_FOOT = 75.0  # y of the foot of the flight in the hall


def two_floors(a: Answers) -> Plan:
    """Return the plan; the study becomes the fourth bedroom, the pantry the half bath."""
    plan = Plan()
    _below(plan, a)
    _above(plan, a)
    plan.stair = ("102", "205")
    return plan


def _below(plan: Plan, a: Answers) -> None:
    fourth = a.bedrooms == 4
    living = plan.first("101", "Living", "living", 186, 225)
    hall = plan.beside(living, "east", "102", "Entry and stair hall", "entry", 120, 225)
    study = plan.beside(
        hall, "east", "103", "Bedroom 4" if fourth else "Study",
        "bedroom" if fourth else "study", 111, 144,
    )  # fmt: skip
    half = plan.beside(
        study, "north", "104", "Half bath" if a.half_baths else "Pantry",
        "powder" if a.half_baths else "store", 111, 76.5,
    )  # fmt: skip
    dining = plan.beside(living, "north", "105", "Dining", "dining", 150, 139.5)
    kitchen = plan.beside(dining, "east", "106", "Kitchen", "kitchen", 180, 139.5)
    laundry = plan.beside(kitchen, "east", "107", "Laundry and mudroom", "laundry", 87, 139.5)

    plan.outside(hall, "south", hall.x + 66, 36, "high")
    plan.outside(laundry, "east", laundry.y + 8, 36, "low")
    plan.door(hall, study, study.y + 90, 30)
    plan.door(hall, half, half.y + 9, 28)
    plan.door(kitchen, laundry, laundry.y + 20, 32)
    plan.door(hall, living, 6, 60, kind="cased")
    plan.door(living, dining, 45, 60, kind="cased")
    plan.door(dining, kitchen, dining.y + 32, 48, kind="cased")
    plan.door(hall, kitchen, hall.x + 50, 48, kind="cased")

    plan.build_in(hall, "stair", 0, STAIR_FOOT, *STAIR, "straight flight, 36 wide")
    furnish.dining(plan, dining, 60)
    furnish.kitchen(plan, kitchen, a.fuel)
    furnish.laundry(plan, laundry, a.fuel, 69.5)
    if a.half_baths:
        furnish.powder(plan, half)
    if fourth:
        furnish.closet(plan, study, 51, 120, 60, 24)


def _above(plan: Plan, a: Answers) -> None:
    suite = a.full_baths >= 2
    bath = plan.first(
        "201", "Primary bath" if suite else "Dressing room",
        "primary-bath" if suite else "closet", 117, 144,
    )  # fmt: skip
    walk_in = plan.beside(bath, "east", "202", "Walk-in closet", "closet", 64.5, 144)
    primary = plan.beside(bath, "north", "203", "Primary bedroom", "primary", 186, 220.5)
    third = a.full_baths == 3
    linen = plan.beside(
        walk_in, "east", "204", "Bath 3" if third else "Linen and storage",
        "bath" if third else "store", 120, 66,
    )  # fmt: skip
    hall = plan.beside(linen, "north", "205", "Upper hall", "hall", 120, 186)
    hall_bath = plan.beside(hall, "north", "206", "Hall bath", "bath", 120, 108)
    second = plan.beside(linen, "east", "207", "Bedroom 2", "bedroom", 111, 180)
    spare = a.bedrooms == 2
    fourth = plan.beside(
        second, "north", "208", "Spare room" if spare else "Bedroom 3",
        "study" if spare else "bedroom", 111, 184.5,
    )  # fmt: skip

    plan.door(primary, bath, 64, 30, "high")
    plan.door(primary, walk_in, walk_in.x + 18, 28, "high")
    plan.door(hall, primary, hall.y + 149, 32)
    if third:
        plan.door(hall, linen, hall.x + 50, 28, kind="pocket")
    else:
        plan.door(hall, linen, hall.x + 60, 28)
    plan.door(hall, hall_bath, hall.x + 50, 30, "high")
    plan.door(hall, second, second.y + 118, 30)
    plan.door(hall, fourth, fourth.y + 20, 30, "high")

    plan.build_in(hall, "stair well", 0, STAIR_FOOT - hall.y, *STAIR, "open well with a rail")
    if suite:
        furnish.primary_bath(plan, bath)
    if third:
        furnish.third_bath(plan, linen)
    furnish.hall_bath(plan, hall_bath)
    furnish.closet(plan, second, 51, 156, 60, 24)
    if not spare:
        furnish.closet(plan, fourth, 51, 0, 60, 24)
