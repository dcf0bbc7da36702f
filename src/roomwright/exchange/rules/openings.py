"""Openings and windows lie in the walls of their rooms, and doors are hinged at their ends."""

from __future__ import annotations

import math
from collections import defaultdict
from collections.abc import Iterator
from dataclasses import dataclass
from itertools import pairwise

from roomwright import shape
from roomwright.exchange.rules.broken import Broken, Lacks, plain, ring
from roomwright.exchange.rules.outlines import is_simple
from roomwright.job.entities import Opening, Room, Window
from roomwright.job.facts import Facts
from roomwright.lengths import tape

Ring = tuple[tuple[float, float], ...]
NEAR = 0.5
"""A tape and a hand put an end this near to where it is [in]."""
THICKEST = 16.0
"""No wall of a house is thicker [in]."""
HINGED = frozenset({"swing", "swing pair", "bifold"})


@dataclass(frozen=True, slots=True)
class Lie:
    """How a segment lies to a wall of a room [in].

    `off` is how far outside the face it is (negative: inside the room), `over` how far it runs
    past the wall's ends, `askew` how much farther off one end is than the other.
    """

    wall: int
    off: float
    over: float
    askew: float
    start: float
    end: float
    length: float

    @property
    def name(self) -> str:
        """The wall's letter."""
        return shape.letter(self.wall)


def lie(segment: shape.Segment, room: Ring) -> Lie:
    """Return how a segment lies to the wall of a room that it would have to move least to be on.

    >>> lie(((20, -14), (60, -14)), ((0, 0), (90, 0), (90, 80), (0, 80))).off
    14.0
    """
    out = 1.0 if shape.signed_area(room) > 0 else -1.0
    best: tuple[float, Lie] | None = None
    for index, ((ax, ay), (bx, by)) in enumerate(shape.walls(room)):
        size = math.dist((ax, ay), (bx, by)) or 1.0
        tx, ty = (bx - ax) / size, (by - ay) / size
        off = [out * ((x - ax) * ty - (y - ay) * tx) for x, y in segment]
        along = sorted((x - ax) * tx + (y - ay) * ty for x, y in segment)
        over = max(0.0, -along[0], along[1] - size)
        far = max(off, key=abs)
        found = Lie(index, far, over, abs(off[0] - off[1]), along[0], along[1], size)
        score = abs(far) + over + abs(off[0] - off[1])
        if best is None or score < best[0]:
            best = score, found
    assert best is not None  # noqa: S101 - a room has walls
    return best[1]


def openings(facts: Facts, lacks: Lacks) -> Iterator[Broken]:
    """Openings and windows lie in walls; hinges stand at an end; nothing shares its place."""
    rooms = {r.id: ring(r.outline) for r in facts.all(Room)}
    rooms = {id: corners for id, corners in rooms.items() if is_simple(corners)}
    taken: dict[tuple[str, int], list[_Taken]] = defaultdict(list)
    for opening in facts.all(Opening):
        yield from _plain_faults(facts, opening)
        segment = (plain(opening.a), plain(opening.b))
        if math.dist(*segment) > NEAR:
            yield from _place(opening, segment, rooms)
            for room in {opening.from_room, opening.to_room} & rooms.keys():
                _take(taken, room, opening, segment, rooms[room])
    for window in facts.all(Window):
        segment = (plain(window.a), plain(window.b))
        if math.dist(*segment) <= NEAR:
            yield Broken("window", window.id, "bx", "error", "has no width: its ends are one point",
                         "give its two ends")  # fmt: skip
        elif window.room in rooms:
            lies = lie(segment, rooms[window.room])
            yield from _off("window", window.id, window.room, lies, THICKEST)
            _take(taken, window.room, window, segment, rooms[window.room])
    yield from _shared(taken)


def _plain_faults(facts: Facts, o: Opening) -> Iterator[Broken]:
    """What is wrong with an opening wherever its rooms are."""

    def error(field: str, wrong: str, do: str) -> Broken:
        return Broken("opening", o.id, field, "error", wrong, do)

    wide = math.dist(plain(o.a), plain(o.b))
    if wide <= NEAR:
        yield error("bx", "has no width: both ends are one point", "give its two ends")
    elif o.width is not None and abs(float(o.width) - wide) > NEAR:
        yield error("width", f"its width is {tape(o.width)}, but its ends are {tape(wide)} apart",
                    "correct the width or an end")  # fmt: skip
    if o.from_room == o.to_room:
        yield error("to_room", f"leads from {o.from_room} into itself", "name the room behind it")
    if o.swings_into and o.swings_into not in (o.from_room, o.to_room):
        yield error("swings_into", f"swings into {o.swings_into}, but joins {o.from_room} "
                    f"and {o.to_room}", "name one of its two rooms")  # fmt: skip
    here, there = facts.find(Room, o.from_room), facts.find(Room, o.to_room)
    if here and there and here.level != there.level:
        yield error("to_room", f"{here.id} is on level {here.level}, {there.id} on {there.level}",
                    "join rooms of one level; stairs join levels")  # fmt: skip
    yield from _hinge(o)


def _hinge(o: Opening) -> Iterator[Broken]:
    if o.hinge is None:
        if o.kind == "swing":
            yield Broken("opening", o.id, "hinge", "warning", "a door that swings has no hinge",
                         "say at which end it is hinged, or its hand")  # fmt: skip
    elif o.kind not in HINGED:
        yield Broken("opening", o.id, "hinge", "warning", f"is {o.kind}, so it has no hinge",
                     "clear the hinge, or correct the kind")  # fmt: skip
    else:
        away = min(_hinge_off(plain(o.hinge), plain(end), plain(o.a), plain(o.b))
                   for end in (o.a, o.b))  # fmt: skip
        if away > NEAR:
            yield Broken("opening", o.id, "hinge", "error",
                         f"is hinged {tape(away)} from its nearer end",
                         "give the end at which it is hinged, or its hand")  # fmt: skip
    if o.kind in ("swing", "swing pair") and not o.swings_into:
        yield Broken("opening", o.id, "swings_into", "warning", "a door that swings has no side",
                     "say which room it swings into")  # fmt: skip


def _hinge_off(hinge: shape.Point, end: shape.Point, a: shape.Point, b: shape.Point) -> float:
    """Return how far a hinge is from an end; straight across the wall does not count."""
    size = math.dist(a, b) or 1.0
    tx, ty = (b[0] - a[0]) / size, (b[1] - a[1]) / size
    dx, dy = hinge[0] - end[0], hinge[1] - end[1]
    along, across = abs(dx * tx + dy * ty), abs(dy * tx - dx * ty)
    return math.hypot(along, max(0.0, across - THICKEST))


def _place(o: Opening, segment: shape.Segment, rooms: dict[str, Ring]) -> Iterator[Broken]:
    """Yield what is wrong with where an opening lies; outdoors has no face to measure from."""
    face, back = (o.from_room, o.to_room) if o.from_room != "out" else (o.to_room, "out")
    if face not in rooms:
        return  # named with the references, or with its own outline
    here = lie(segment, rooms[face])
    there = lie(segment, rooms[back]) if back in rooms else None
    outside = THICKEST
    if there is not None:
        wall = here.off + there.off
        between = here.off >= -NEAR and there.off >= -NEAR and wall <= THICKEST + NEAR
        if not between and abs(here.off) <= NEAR:
            yield Broken("opening", o.id, "to_room", "error",
                         f"there is no wall between {face} and {back} here: "
                         f"{back} is {tape(abs(there.off))} away",
                         "name the room behind it, or move its ends")  # fmt: skip
            return
        outside = here.off if between else 0.0
    wrong = list(_off("opening", o.id, face, here, outside))
    yield from wrong
    if there is not None and not wrong:
        yield from _off("opening", o.id, back, there, THICKEST)


def _off(kind: str, id: str, room: str, at: Lie, outside: float) -> Iterator[Broken]:
    """Yield what is wrong with how something lies to its wall; at most `outside` off its face."""

    def error(wrong: str, do: str) -> Broken:
        return Broken(kind, id, "ax", "error", wrong, do)

    if not -NEAR <= at.off <= outside + NEAR:
        side = "inside" if at.off < 0 else "off"
        yield error(f"{id} lies {tape(abs(at.off))} {side} wall {at.name} of {room}",
                    "put its ends on the face of that wall")  # fmt: skip
    elif at.askew > NEAR:
        yield error(f"{id} stands askew to wall {at.name} of {room}: one end is "
                    f"{tape(at.askew)} farther off it", "put both ends on the wall")  # fmt: skip
    elif at.over > NEAR and at.end - at.start > at.length + NEAR:
        yield error(f"{id} is {tape(at.end - at.start)} wide, but wall {at.name} of {room} is "
                    f"{tape(at.length)} long", "correct its ends")  # fmt: skip
    elif at.over > NEAR:
        yield error(f"{id} runs {tape(at.over)} past the end of wall {at.name} of {room}",
                    "correct its ends")  # fmt: skip


@dataclass(frozen=True, slots=True)
class _Taken:
    """A stretch of a wall and of its height that something takes [in]."""

    kind: str
    id: str
    start: float
    end: float
    low: float
    high: float


def _take(
    taken: dict[tuple[str, int], list[_Taken]],
    room: str,
    it: Opening | Window,
    segment: shape.Segment,
    corners: Ring,
) -> None:
    at = lie(segment, corners)
    if abs(at.off) > THICKEST:
        return
    low = float(it.sill or 0) if isinstance(it, Window) else 0.0
    high = low + float(it.height) if it.height is not None else math.inf
    stretch = _Taken(it.kind_name, it.id, at.start, at.end, low, high)
    taken[room, at.wall].append(stretch)


def _shared(taken: dict[tuple[str, int], list[_Taken]]) -> Iterator[Broken]:
    told: set[frozenset[str]] = set()
    for (room, wall), stretches in taken.items():
        stretches.sort(key=lambda s: (s.start, s.id))
        for one, other in pairwise(stretches):
            shared = min(one.end, other.end) - other.start
            stacked = one.low >= other.high or other.low >= one.high
            pair = frozenset((f"{one.kind} {one.id}", f"{other.kind} {other.id}"))
            if shared > NEAR and not stacked and pair not in told:
                told.add(pair)
                yield Broken(other.kind, other.id, "ax", "warning",
                             f"overlaps {one.kind} {one.id} by {tape(shared)} in wall "
                             f"{shape.letter(wall)} of {room}", "move one of them")  # fmt: skip
