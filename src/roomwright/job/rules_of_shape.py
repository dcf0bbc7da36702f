"""Rules of sizes, outlines and openings."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Iterator, Sequence
from fractions import Fraction

from roomwright import lengths, shape
from roomwright.job.entities import (
    Fact,
    Fixed,
    Light,
    Opening,
    Outline,
    Piece,
    Room,
    Slope,
    Stair,
    Window,
)
from roomwright.job.errors import Problem
from roomwright.job.facts import Change, Facts
from roomwright.job.words import named

SIZES: dict[type[Fact], tuple[str, ...]] = {
    Room: ("ceiling",),
    Opening: ("width", "height"),
    Window: ("height",),
    Fixed: ("high",),
    Slope: ("pitch",),
    Piece: ("width", "depth", "height"),
    Stair: ("width", "rise", "run", "tread_thickness", "headroom"),
}
"""Lengths that are more than nothing where they are known."""

WITHIN = Fraction(12 * 5280 * 10)
"""No length of a house reaches ten miles; farther is a slip of the hand [in]."""


def sizes_are_sizes(facts: Facts, changes: Sequence[Change]) -> Iterator[Problem]:
    """Sizes are more than nothing, and nothing is miles long."""
    for c in changes:
        f = c.after
        if f is None:
            continue
        for field in SIZES.get(type(f), ()):
            value = getattr(f, field)
            if value is not None and value <= 0:
                yield Problem(
                    c.kind, c.id, field,
                    f"{named(f, c.kind, c.id)}: its {field.replace('_', ' ')} is "
                    f"{lengths.tape(value)}; a size is more than nothing.",
                )  # fmt: skip
        for field in (*SIZES.get(type(f), ()), "x", "y"):
            value = getattr(f, field, None)
            if value is not None and abs(value) > WITHIN:
                yield Problem(
                    c.kind, c.id, field,
                    f"{named(f, c.kind, c.id)}: its {field.replace('_', ' ')} is miles away.",
                )  # fmt: skip


def places_are_whole(facts: Facts, changes: Sequence[Change]) -> Iterator[Problem]:
    """A place is both x and y, or neither."""
    for c in changes:
        f = c.after
        if isinstance(f, Piece | Light) and (f.x is None) != (f.y is None):
            missing = "x" if f.x is None else "y"
            yield Problem(
                c.kind, c.id, missing,
                f"{named(f, c.kind, c.id)} has no {missing}: give both x and y, or neither.",
            )  # fmt: skip


def outlines_are_simple(facts: Facts, changes: Sequence[Change]) -> Iterator[Problem]:
    """An outline has three corners or more, encloses something, and doesn't cross itself."""
    for c in changes:
        f = c.after
        if isinstance(f, Room | Fixed):
            said = _fault(f.outline)
            if said:
                message = f"{named(f, c.kind, c.id)}: its outline {said}."
                yield Problem(c.kind, c.id, "outline", message)


def _fault(outline: Outline) -> str | None:
    if len(set(outline)) < 3:
        return "needs three corners or more"
    if any(abs(x) > WITHIN for corner in outline for x in corner):
        return "has a corner miles away"
    ring = _floats(outline)
    met = shape.crossing(ring)
    if met is not None:
        first, second = shape.letter(met.first), shape.letter(met.second)
        at = " ".join(lengths.tape(v) for v in met.at)
        return f"meets itself: walls {first} and {second} at {at}. Check the order of its corners"
    if shape.area(ring) < 1:
        return "encloses nothing"
    return None


def rooms_do_not_overlap(facts: Facts, changes: Sequence[Change]) -> Iterator[Problem]:
    """Rooms of a level may touch, not overlap."""
    moved = [c.after for c in changes if isinstance(c.after, Room)]
    seen: set[frozenset[str]] = set()
    for room in moved:
        if _fault(room.outline):
            continue
        mine = _floats(room.outline)
        for other in facts.where(Room, "level", room.level):
            pair = frozenset((room.id, other.id))
            if other.id == room.id or pair in seen or _fault(other.outline):
                continue
            seen.add(pair)
            theirs = _floats(other.outline)
            if _boxes_meet(mine, theirs) and shape.overlaps(mine, theirs):
                yield Problem(
                    "room", room.id, "outline",
                    f"room {room.id} lies over room {other.id} on level {room.level}: rooms may "
                    "touch, not overlap.",
                )  # fmt: skip


def openings_lie_in_walls(facts: Facts, changes: Sequence[Change]) -> Iterator[Problem]:
    """An opening lies on its room's face or through the wall; its hinge is at one of its ends."""
    rooms = {c.id for c in changes if c.kind == "room"}
    touched = {c.id: c.after for c in changes if isinstance(c.after, Opening)}
    for id in rooms:
        for field in ("from_room", "to_room"):
            touched |= {o.id: o for o in facts.where(Opening, field, id)}
    for opening in touched.values():
        for field, said in _opening_faults(facts, opening):
            yield Problem("opening", opening.id, field, f"opening {opening.id} {said}.")


def _opening_faults(facts: Facts, o: Opening) -> Iterator[tuple[str, str]]:
    if o.a == o.b:
        yield "b", "has both ends at one point"
        return
    if o.from_room == o.to_room:
        yield "to_room", f"leads from {o.from_room} to itself"
    if o.swings_into and o.swings_into not in (o.from_room, o.to_room):
        yield "swings_into", f"swings into {o.swings_into}, which is on neither side of it"
    if o.hinge is not None and o.kind == "swing":
        far = min(_apart(o.hinge, end) for end in (o.a, o.b))
        if far > THICKEST:
            yield "hinge", f"is hinged {lengths.tape(far)} from its nearer end"
    faces = [
        _floats(room.outline)
        for room in (facts.find(Room, o.from_room), facts.find(Room, o.to_room))
        if room is not None and not _fault(room.outline)
    ]
    ends = ((float(o.a[0]), float(o.a[1])), (float(o.b[0]), float(o.b[1])))
    if faces and all(shape.nearest_wall(face, ends)[1] > THICKEST for face in faces):
        far = min(shape.nearest_wall(face, ends)[1] for face in faces)
        yield (
            "a",
            (
                f"lies {lengths.tape(far)} off the nearest wall of {o.from_room} or {o.to_room}: "
                "check its ends"
            ),
        )


THICKEST = 18.0
"""An opening farther than this from both its rooms' faces lies in no wall of theirs [in]."""


def windows_lie_in_walls(facts: Facts, changes: Sequence[Change]) -> Iterator[Problem]:
    """A window lies in a wall of its room."""
    rooms = {c.id for c in changes if c.kind == "room"}
    touched = {c.id: c.after for c in changes if isinstance(c.after, Window)}
    for id in rooms:
        touched |= {w.id: w for w in facts.where(Window, "room", id)}
    for window in touched.values():
        room = facts.find(Room, window.room)
        if window.a == window.b:
            yield Problem("window", window.id, "b", f"window {window.id} has no width.")
        elif room is not None and not _fault(room.outline):
            ends = _floats((window.a, window.b))
            far = shape.nearest_wall(_floats(room.outline), (ends[0], ends[1]))[1]
            if far > THICKEST:
                yield Problem(
                    "window", window.id, "a",
                    f"window {window.id} lies {lengths.tape(far)} off the walls of room {room.id}.",
                )  # fmt: skip


def _floats(points: Iterable[tuple[Fraction, Fraction]]) -> shape.Outline:
    return tuple((float(x), float(y)) for x, y in points)


def _apart(a: tuple[Fraction, Fraction], b: tuple[Fraction, Fraction]) -> float:
    return math.dist((float(a[0]), float(a[1])), (float(b[0]), float(b[1])))


def _boxes_meet(a: shape.Outline, b: shape.Outline) -> bool:
    return all(
        min(p[i] for p in a) < max(p[i] for p in b) and min(p[i] for p in b) < max(p[i] for p in a)
        for i in (0, 1)
    )


Rule = Callable[[Facts, Sequence[Change]], Iterable[Problem]]
shape_rules: tuple[Rule, ...] = (
    sizes_are_sizes,
    places_are_whole,
    outlines_are_simple,
    rooms_do_not_overlap,
    openings_lie_in_walls,
    windows_lie_in_walls,
)
