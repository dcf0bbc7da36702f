"""Rooms given by width, depth and the neighbor they stand beside; openings given by wall letter.

Both become plain coordinates here, the only form in which they are facts.
"""

from __future__ import annotations

import math
import re
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from fractions import Fraction

from roomwright import shape
from roomwright.counts.hands import lies_left
from roomwright.exchange.cells import CellError, length, near, said
from roomwright.job.entities import Outline, Point

WALL = Fraction(9, 2)
"""An inside wall of 2x4 studs with half-inch board on both faces [in]; common practice."""

SIDES = ("north", "east", "south", "west", "above", "below")


@dataclass(frozen=True, slots=True)
class Beside:
    """Where a room stands: the neighbor, on which side of it, the wall between, and the shift.

    `along` shifts the room along the wall [in]: from the neighbor's west corner to the east, or
    from its south corner to the north.
    """

    room: str
    side: str
    wall: Fraction = WALL
    along: Fraction = Fraction(0)


def read_beside(text: str) -> Beside:
    """Return where a room stands.

    >>> read_beside("103 east")
    Beside(room='103', side='east', wall=Fraction(9, 2), along=Fraction(0, 1))
    >>> read_beside("Great room north, wall 6 1/2, along 2'")
    Beside(room='Great room', side='north', wall=Fraction(13, 2), along=Fraction(24, 1))
    """
    first, *rest = (part.strip() for part in re.split(r"[,;]", text))
    room, _, side = first.rpartition(" ")
    side = side.lower()
    if not room or side not in SIDES:
        wrong = f"{said(text)} does not say which side of which room"
        raise CellError(wrong, near(side, SIDES, "write the neighbor, then the side: 103 east"))
    found: dict[str, Fraction] = {}
    for part in rest:
        word, _, value = part.partition(" ")
        if word.lower() not in ("wall", "along") or word.lower() in found:
            raise CellError(f"{said(part)} is not understood", "write wall 6 1/2 or along 24")
        found[word.lower()] = length(value)
    if found.get("wall", WALL) < 0:
        raise CellError("the wall is negative", "give its thickness, 0 or more")
    return Beside(room.strip(), side, **found)


def at(corner: Point, width: Fraction, depth: Fraction) -> Outline:
    """Return the outline of a rectangle by its southwest corner, anticlockwise from there."""
    x, y = corner
    return ((x, y), (x + width, y), (x + width, y + depth), (x, y + depth))


def extent(outline: Outline) -> tuple[Fraction, Fraction, Fraction, Fraction]:
    """Return west, south, east and north of an outline [in]."""
    xs, ys = [x for x, _ in outline], [y for _, y in outline]
    return min(xs), min(ys), max(xs), max(ys)


def stand(beside: Beside, neighbor: Outline, width: Fraction, depth: Fraction) -> Outline:
    """Return the outline of a room that stands beside its neighbor.

    >>> stand(Beside("1", "east"), at((Fraction(0), Fraction(0)), Fraction(90), Fraction(80)),
    ...       Fraction(50), Fraction(60))[0]
    (Fraction(189, 2), Fraction(0, 1))
    """
    west, south, east, north = extent(neighbor)
    wall, along = beside.wall, beside.along
    corner = {
        "east": (east + wall, south + along),
        "west": (west - wall - width, south + along),
        "north": (west + along, north + wall),
        "south": (west + along, south - wall - depth),
    }.get(beside.side, (west + along, south))
    return at(corner, width, depth)


@dataclass(frozen=True, slots=True)
class Sized:
    """A room by width and depth: `beside` is None where it begins its storey at 0 0."""

    width: Fraction
    depth: Fraction
    beside: Beside | None


def stand_all(
    outlines: Mapping[str, Outline],
    sized: Mapping[str, Sized],
    refuse: Callable[[str, str, str], None],
    unread: frozenset[str] = frozenset(),
) -> dict[str, Outline]:
    """Return the outlines of all rooms by size, each after the neighbor it stands beside.

    `refuse(room, wrong, do)` hears of neighbors that are missing or stand beside one another in a
    ring; rooms in `unread` are there but could not be read, and are not called missing.
    """
    done: dict[str, Outline] = {}
    lost: set[str] = set()
    for room in sized:
        chain: dict[str, None] = {}  # a set that remembers its order
        step: str | None = room
        while (
            step is not None
            and step in sized
            and step not in done
            and step not in lost
            and step not in chain
        ):
            chain[step] = None
            beside = sized[step].beside
            step = beside.room if beside else None
        if step is not None and step in chain:
            names = [*chain]
            ring = names[names.index(step) :]
            told = " > ".join([*ring, step])
            refuse(step, f"rooms stand beside one another in a ring: {told}",
                   "give one of them an outline, or another neighbor")  # fmt: skip
            lost.update(chain)
            continue
        for one in reversed(chain):
            size = sized[one]
            if size.beside is None:
                done[one] = at((Fraction(0), Fraction(0)), size.width, size.depth)
                continue
            name = size.beside.room
            neighbor = outlines.get(name) or done.get(name)
            if neighbor is not None:
                done[one] = stand(size.beside, neighbor, size.width, size.depth)
                continue
            lost.add(one)
            if name not in unread and name not in sized:
                refuse(one, f"there is no room {said(name)} to stand beside",
                       near(name, [*outlines, *sized], "name a room of this house"))  # fmt: skip
    return done


def read_from_corner(text: str) -> tuple[str, Fraction]:
    """Return the corner's letter ("" for the wall's first) and the distance from it [in].

    >>> read_from_corner("24"), read_from_corner("B 2'")
    (('', Fraction(24, 1)), ('B', Fraction(24, 1)))
    """
    found = re.fullmatch(r"([A-Za-z]{1,2})\s+(.+)", text)
    letter, rest = (found[1].upper(), found[2]) if found else ("", text)
    value = length(rest)
    if value < 0:
        raise CellError(f"{said(text)} is negative", "measure from a corner of that wall")
    return letter, value


def along_wall(
    outline: Outline, wall: str, corner: str, distance: Fraction, width: Fraction
) -> tuple[Point, Point]:
    """Return the two ends of an opening by its wall's letter and its distance from a corner.

    Exact where the wall runs along x or y; else to the nearest 1/64 in.
    """
    try:
        index = shape.index_of(wall)
    except ValueError:
        index = len(outline)
    letters = [shape.letter(i) for i in range(len(outline))]
    if index >= len(outline):
        raise CellError(f"{said(wall)} is no wall of this room", f"use one of {letters[0]} to "
                        f"{letters[-1]}")  # fmt: skip
    (ax, ay), (bx, by) = outline[index], outline[(index + 1) % len(outline)]
    ends = (letters[index], letters[(index + 1) % len(outline)])
    if corner not in ("", *ends):
        raise CellError(f"wall {ends[0]} has no corner {corner}",
                        f"measure from {ends[0]} or {ends[1]}")  # fmt: skip
    if corner == ends[1]:
        (ax, ay), (bx, by) = (bx, by), (ax, ay)
    dx, dy = bx - ax, by - ay
    if dx == 0 or dy == 0:
        ux, uy = Fraction((dx > 0) - (dx < 0)), Fraction((dy > 0) - (dy < 0))
    else:
        size = math.hypot(dx, dy)
        ux, uy = Fraction(float(dx) / size), Fraction(float(dy) / size)

    def point(s: Fraction) -> Point:
        x, y = ax + s * ux, ay + s * uy
        return (x, y) if dx == 0 or dy == 0 else (_grid(x), _grid(y))

    first, second = point(distance), point(distance + width)
    return (second, first) if corner == ends[1] else (first, second)


def _grid(value: Fraction) -> Fraction:
    return Fraction(round(value * 64), 64)


_HANDS = {"left": "left", "lh": "left", "right": "right", "rh": "right"}


def read_hand(text: str) -> str | None:
    """Return left or right where the text is a hand, else None.

    >>> read_hand("LH"), read_hand("right hand"), read_hand("204 0")
    ('left', 'right', None)
    """
    return _HANDS.get(re.sub(r"[\s\-]*hand(ed)?$", "", text.strip().lower()))


def hinge_of(hand: str, a: Point, b: Point, into: Outline, away: bool = False) -> Point:
    """Return the end at which a door is hinged, by its hand and the room it swings into.

    Hand is told from the side on which you push: hinges at your left, left hand. (Common practice;
    some door shops tell it from the side on which you pull.) `away`: it swings away from `into`.

    >>> F = Fraction
    >>> entry = ((F(0), F(0)), (F(90), F(0)), (F(90), F(80)), (F(0), F(80)))
    >>> hinge_of("left", (F(20), F(0)), (F(56), F(0)), entry)
    (Fraction(20, 1), Fraction(0, 1))
    """
    # into a room at the left of a -> b one pushes with a at one's left
    (ax, ay), (bx, by) = a, b
    ring = tuple((float(x), float(y)) for x, y in into)
    left = lies_left((float(ax), float(ay)), (float(bx), float(by)), ring)
    return a if (hand == "left") == ((left is not False) != away) else b
