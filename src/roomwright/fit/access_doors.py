"""Doors in the accessible set: clear width (404.2.3) and room to work the door (404.2.4).

How one comes up to a door is not known, so the least demanding of the approaches of the standard's
tables is asked; a door that has that may still be short for the way you come. Without closers.

References
----------
2010 ADA Standards for Accessible Design, 404.2.3, tables 404.2.4.1 and 404.2.4.2.
"""

from __future__ import annotations

import math
from collections.abc import Iterator

import shapely

from roomwright.fit.found import Finding, Word
from roomwright.fit.given import Leaf, Needs, Opening, Room
from roomwright.fit.ground import Ground
from roomwright.fit.spaces import OUT
from roomwright.fit.verdicts import EVEN, PRACTICE, length
from roomwright.lengths import tape
from roomwright.shape import TOUCH, Point, middle

LEAF_LESS = 2.0
"""A hung leaf of 1 3/8 in. leaves so much less than its own width [in]: an allowance, after the
34 in. leaf that the Fair Housing guidelines (1991), requirement 3, take for 32 clear."""

PULL = ((60.0, 18.0), (48.0, 24.0))
"""Depth, and width beyond the latch, on the pull side: from the front; from the latch side. Coming
from the hinge side (54, 42) asks for more than both (table 404.2.4.1)."""

PUSH = ((48.0, 0.0), (42.0, 24.0))
"""The same on the push side; 24 beyond either jamb covers hinge side (22) and latch side."""

PLAIN = ((48.0, 0.0), (42.0, 0.0))
"""Before a doorway without a door: from the front; from the side (table 404.2.4.2)."""

SLIDING = ((48.0, 0.0), (42.0, 24.0))
"""Before a pocket, sliding or folding door (table 404.2.4.2)."""

ADA = "2010 ADA Standards"


def doors(ground: Ground, needs: Needs, room: Room, floor: shapely.Geometry) -> Iterator[Finding]:
    """What the doors of a room lack; `floor` is what nothing stands on."""
    leaves: dict[str, list[Leaf]] = {}
    for leaf in ground.space.leaves:
        leaves.setdefault(leaf.opening, []).append(leaf)
    for opening in ground.space.openings:
        if opening.room != room.id or opening.width <= TOUCH:
            continue
        mine = leaves.get(opening.id, [])
        yield from _clear(opening, mine, needs)
        yield from _work(opening, mine, floor)


def clear_width(opening: Opening) -> float:
    """The clear width of an opening with its door at 90 degrees [in]; of a hung leaf an allowance.

    >>> clear_width(Opening("D1", (0, 0), (34, 0), "out", "swing", 34))
    32.0
    """
    if opening.kind == "swing":
        return opening.width - LEAF_LESS
    return opening.width - 2 * LEAF_LESS if opening.kind == "swing pair" else opening.width


def _clear(opening: Opening, leaves: list[Leaf], needs: Needs) -> Iterator[Finding]:
    """Clear width; told once, in the room the door swings into, else in the first of its two."""
    wanted = needs.get("door.clear")
    here = bool(leaves) if opening.kind.startswith("swing") else (
        opening.to == OUT or opening.room < opening.to
    )  # fmt: skip
    if wanted is None or not here:
        return
    clear = clear_width(opening)
    if clear < wanted - EVEN:
        leaf = " (leaf less 2 in., an allowance: measure it)" if leaves else ""
        text = (
            f"{opening.id} is {tape(clear)} clear{leaf}, {tape(wanted)} wanted: "
            f"short {length(wanted - clear)}"
        )
        yield Finding(
            "access 404.2.3", Word.SHORT, f"{text} ({ADA}, 404.2.3); {PRACTICE}.", opening.room,
            (opening.id,), by=wanted - clear, figure="door.clear", at=opening.segment,
            clear=clear, needs=wanted,
        )  # fmt: skip


def _work(opening: Opening, leaves: list[Leaf], floor: shapely.Geometry) -> Iterator[Finding]:
    if len(leaves) > 1 or opening.kind == "open":
        return
    pulls = bool(leaves)
    if opening.kind == "swing":
        options, side = (PULL, "pull") if pulls else (PUSH, "push")
        section = "404.2.4.1"
    else:
        options = PLAIN if opening.kind == "cased" else SLIDING
        side, section = "near", "404.2.4.2"
    ends = _ends(opening, leaves, either=not pulls)
    lacks = [
        (_lack(floor, hinge, latch, deep, beyond), deep, beyond)
        for deep, beyond in options
        for hinge, latch in ends
    ]
    lack, deep, beyond = min(lacks)
    if lack <= TOUCH:
        return
    past = f" and {tape(beyond)} beyond the {'latch' if pulls else 'jamb'}" if beyond else ""
    text = f"Before {opening.id}, {side} side: {tape(deep)} deep{past} wanted, short {length(lack)}"
    yield Finding(
        f"access {section}", Word.SHORT, f"{text} ({ADA}, {section}); {PRACTICE}.", opening.room,
        (opening.id,), by=lack, at=opening.segment,
    )  # fmt: skip


def _ends(opening: Opening, leaves: list[Leaf], *, either: bool) -> list[tuple[Point, Point]]:
    """Hinge and latch jamb; where the hinge is not known here, both ways round."""
    a, b = opening.a, opening.b
    if either:
        return [(a, b), (b, a)]
    pivot = leaves[0].pivot
    return [(a, b)] if math.dist(a, pivot) < math.dist(b, pivot) else [(b, a)]


def _lack(floor: shapely.Geometry, hinge: Point, latch: Point, deep: float, beyond: float) -> float:
    """What a clearance lacks, in depth or beyond the latch, whichever is less to find [in]."""
    run = math.dist(hinge, latch)
    tx, ty = (latch[0] - hinge[0]) / run, (latch[1] - hinge[1]) / run
    mx, my = middle((hinge, latch))
    nx, ny = -ty, tx
    if not shapely.contains_xy(floor, mx + nx / 4, my + ny / 4):
        nx, ny = -nx, -ny

    def fits(depth: float, past: float) -> bool:
        ends = hinge, (latch[0] + past * tx, latch[1] + past * ty)
        far = [(x + depth * nx, y + depth * ny) for x, y in reversed(ends)]
        inner = shapely.buffer(shapely.Polygon([*ends, *far]), -TOUCH, join_style="mitre")
        return bool(shapely.covers(floor, inner))

    if fits(deep, beyond):
        return 0.0

    def least(full: float, at: float, depth: bool) -> float:
        low, high = 0.0, full
        if not (fits(1.0, at) if depth else fits(at, 0.0)):
            return full
        while high - low > 1 / 32:
            mid = (low + high) / 2
            good = fits(mid, at) if depth else fits(at, mid)
            low, high = (mid, high) if good else (low, mid)
        return full - low

    found = least(deep, beyond, True)
    return min(found, least(beyond, deep, False)) if beyond and fits(deep, 0.0) else found
