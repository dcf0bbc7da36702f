"""What a mark-out says beside its numbers: what can't be marked, cautions, what it rests on."""

from __future__ import annotations

import math
import re
from collections.abc import Iterator, Sequence

from roomwright.answers.mark_out_model import Asked, Choice, MarkOut
from roomwright.answers.mark_out_points import Points
from roomwright.answers.plan_model import Plan
from roomwright.answers.sheet_model import Caution
from roomwright.days import show_date
from roomwright.figures import Figures
from roomwright.job.entities import House, Room
from roomwright.lengths import inches, tape
from roomwright.markout.model import Target
from roomwright.markout.reach import Reach
from roomwright.shape import inside


def troubles(
    choices: Sequence[Choice],
    points: Points,
    missed: Sequence[Target],
    reach: Reach,
) -> Iterator[str]:
    """What can't be marked and why, and what to do."""
    chosen = [c for c in choices if c.chosen]
    if not chosen:
        yield "Nothing in this room can be marked out: put a piece on its plan first."
    for choice in chosen:
        if choice.hinder:
            yield f"{choice.id} {choice.name} {choice.hinder}."
        elif choice.standing:
            yield (
                f"The {choice.name} {choice.id} stands where its chalk goes: mark round its feet, "
                "or slide it out first."
            )
    for each in points.targets:
        if reason := _off_floor(each, reach, {c.id for c in choices if c.standing}):
            yield f"Point {each.id}, the {_named(each)}, is not marked: {reason}."
    hooks = len(reach.floor.hooks)
    for each in missed:
        why = "no two fixed points and no wall" if hooks > 1 else "no wall"
        yield (
            f"Point {each.id}, the {_named(each)}, is not marked: {why} can be reached from it by "
            f"a straight tape over the floor{_blocking(each, reach)}."
        )


def _named(target: Target) -> str:
    return f"{target.name} of the {target.of}" if target.of else target.name


def _off_floor(target: Target, reach: Reach, movable: set[str]) -> str:
    if reach.on_floor(target.at):
        return ""
    if not inside(target.at, reach.floor.outline):
        if target.purpose in ("clearance", "chair line"):
            return "it lies beyond the wall, there is not that much room"
        return "it lies outside the room"
    over = reach.over(target.at)
    if over:
        names = " and the ".join(o.name for o in over)
        if all(o.id in movable for o in over):
            return f"the {names} stands on it; move that out, or mark by its edge"
        if target.purpose in ("clearance", "chair line"):
            return f"the {names} is built there, there is not that much room"
        return f"the {names} is built there"
    return "it lies in a corner or a gap that no tape gets into past what stands there"


def _blocking(target: Target, reach: Reach) -> str:
    found = [n for h in reach.floor.hooks for n in reach.in_the_way(h.at, target.at)]
    names = [n for n in dict.fromkeys(found) if n != "a wall"]
    return f" (in the way: {', '.join(names)})" if names else ""


def cautions(drawn: Plan, asked: Asked) -> tuple[Caution, ...]:
    """Where marking out can hurt someone or the floor."""
    found = [
        Caution(
            "chalk",
            "Chalk may never come out of a finished floor: lay masking paper, or try the chalk "
            "where nobody sees it first.",
            "common practice",
        ),
        Caution(
            "tape across a way",
            "A tape or a string across a door trips people: tell everyone in the house first.",
            "common practice",
        ),
    ]
    names = " ".join(t.name for t in drawn.things)
    if re.search(r"\bstairs?\b|\bwell\b|opening", names, re.IGNORECASE):
        found.insert(
            0,
            Caution(
                "open edge",
                "Stair or open edge in this room: guard it before anyone walks backward with a "
                "tape.",
                "29 CFR 1926.501(b), unprotected sides and edges [from memory]",
            ),
        )
    if asked.standing:
        found.append(Caution("heavy", "Two people slide heavy furniture.", "common practice"))
    return tuple(found)


def rests_on(figures: Figures, house: House | None, room: Room) -> tuple[str, ...]:
    """What the numbers lean on: the tape's error, the outline and when it was measured."""
    sigma = house.tape_sigma if house is not None else figures.get("tape.sigma").value
    scale = figures.get("tape.scale")
    source = "set for this house" if house is not None else figures.get("tape.sigma").where()
    told = [
        f"Tape: standard deviation {inches(sigma)} ({source}) and {float(scale.value):g} of the "
        f"distance ({scale.where()}). 95 % of points lie within the error given.",
        "The fixed points are taken as where the room's outline has them, on bare walls: where "
        "baseboard is up, hold the tape over it, against the wall. A jamb is its inside edge at "
        "the face of the wall: with casing up it shows in the reveal.",
    ]
    when = getattr(room, "measured_on", None)
    who = getattr(room, "measured_by", "")
    if when is not None:
        by = f" by {who}" if who else ""
        told.append(f"Outline measured {show_date(when)}{by}.")
    else:
        told.append("The outline is as drawn, not taped: measure the walls before you chalk.")
    return tuple(told)


def lead(found: MarkOut) -> str:
    """What the mark-out comes to, in a sentence or two."""
    names = [f"{c.name} {c.id}" for c in found.choices if c.chosen and not c.hinder]
    marked = len(found.ellipses)
    if not marked:
        return "There is no point to mark."
    what = " and ".join([", ".join(names[:-1]), names[-1]] if len(names) > 1 else names)
    held = len(found.stands) + len(found.baselines)
    moved, per_inch = up(found.rounding, 64), found.tape.fraction
    cost = f"moves a point by up to {tape(moved, 64)}" if moved else "costs nothing here"
    return (
        f"{what[:1].upper()}{what[1:]}: {marked} {'point' if marked == 1 else 'points'}, the tape "
        f"held at {held} {'place' if held == 1 else 'places'}. A point lies within "
        f"{tape(up(found.worst))} of where it should 95 times of 100; rounding to 1/{per_inch} in. "
        f"{cost}."
    )


def up(value: float, per_inch: int = 16) -> float:
    """A length [in] rounded up to a mark, so that an error is never printed too small.

    >>> up(0.501), up(0.5)
    (0.5625, 0.5)
    """
    return math.ceil(value * per_inch - 1e-9) / per_inch
