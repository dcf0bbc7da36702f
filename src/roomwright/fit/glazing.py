"""Glass where people fall or slip against it: questions to ask, never a verdict.

The model code names the places [1]_: beside a door, in a wall by a tub or a shower, beside a
stair and at its foot, and a large low pane beside a way. Each has exceptions that the program
does not know (a rail, a guard, decorative glass, what an edition says), and it cannot see glass.
So it asks, and says why.

References
----------
.. [1] International Residential Code, R308.4.2, .3, .5, .6 and .7; how each was read stands with
   its figures (``glazing.*``).
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass

import shapely

from roomwright.fit.ground import Ground
from roomwright.fit.model import Needs, Opening, Window
from roomwright.fit.verdicts import EVEN, PRACTICE
from roomwright.lengths import tape
from roomwright.shape import Point, Segment, outward

SQUARE_FOOT = 144.0

SAME_PLANE = math.cos(math.radians(10))
"""Walls within 10 degrees of each other are one plane; our choice."""

WET = ("tub", "shower")
"""Words in the name of a thing that one bathes in."""


@dataclass(frozen=True, slots=True)
class Question:
    """A window whose glass is asked about: why, what it stands near, how far off [in].

    `figures` are the keys of what it is held against, `place` a stable word for programs: door,
    wet, stair, foot of stair, large pane.
    """

    window: str
    room: str
    place: str
    text: str
    near: str = ""
    off: float | None = None
    figures: tuple[str, ...] = ()


def questions(ground: Ground, needs: Needs) -> tuple[Question, ...]:
    """Every window whose glass is to be asked about, each place once.

    >>> from roomwright.fit.model import Piece, Room, Space
    >>> walls_ = ((0, 0), (100, 0), (100, 80), (0, 80))
    >>> tub = Piece("V2", "alcove tub", "alcove tub", 60, 32, 20, 70, 64, 180)
    >>> window = Window("W1", (20, 80), (50, 80), 36, 48, "awning")
    >>> bath = Space((Room("1", "Bath", walls_),), walls_, windows=(window,), pieces=(tub,))
    >>> wanted = Needs({"glazing.high": 60, "glazing.wet": 60})
    >>> [(q.window, q.place, q.near, q.off) for q in questions(Ground(bath), wanted)]
    [('W1', 'wet', 'V2', 0.0)]
    """
    found: list[Question] = []
    for window in ground.space.windows:
        found += _by_doors(ground, window, needs)
        found += _by_water(ground, window, needs)
        found += _by_stairs(ground, window, needs)
        found += _low_pane(window, needs)
    return tuple(found)


def _ask(window: Window, why: str) -> str:
    return (
        f"Is the glass of window {window.id} safety glazing? {why} Look for the mark etched in a "
        f"corner of the glass and ask the inspector; {PRACTICE}."
    )


def _by_doors(ground: Ground, window: Window, needs: Needs) -> Iterator[Question]:
    most, high = needs.get("glazing.door"), needs.get("glazing.high")
    if most is None or high is None or window.sill >= high - EVEN:
        return
    for door in ground.space.openings:
        if door.kind in ("cased", "open") or door.room not in (window.room, ""):
            continue
        near = _nearest_jamb(ground, door, window)
        if near is None or near[0] > most + EVEN:
            continue
        off, where = near
        why = (
            f"Its sill is {tape(window.sill)}, under {tape(high)}, and it is {tape(off)} from the "
            f"{where} of door {door.id}, within {tape(most)}."
        )
        keys = ("glazing.door", "glazing.high")
        yield Question(window.id, window.room, "door", _ask(window, why), door.id, off, keys)


def _nearest_jamb(ground: Ground, door: Opening, window: Window) -> tuple[float, str] | None:
    """How far a window is from a door's edge: in its plane, or square to it at the hinge side."""
    ux, uy = _direction(door.segment)
    vx, vy = _direction((window.a, window.b))
    if abs(ux * vx + uy * vy) >= SAME_PLANE:
        nx, ny = outward(door.segment)
        aside = abs((window.a[0] - door.a[0]) * nx + (window.a[1] - door.a[1]) * ny)
        off = min(math.dist(e, j) for e in (window.a, window.b) for j in door.segment)
        return (off, "side") if aside <= 6.0 else None
    leaves = [each for each in ground.space.leaves if each.opening == door.id]
    run = shapely.LineString((window.a, window.b))
    offs = [
        run.distance(shapely.Point(leaf.pivot))
        for leaf in leaves
        if leaf.into in (window.room, "")
    ]  # fmt: skip
    return (min(offs), "hinge side") if offs else None


def _direction(segment: Segment) -> Point:
    (ax, ay), (bx, by) = segment
    run = math.dist(*segment) or 1.0
    return (bx - ax) / run, (by - ay) / run


def _by_water(ground: Ground, window: Window, needs: Needs) -> Iterator[Question]:
    most, high = needs.get("glazing.wet"), needs.get("glazing.high")
    if most is None or high is None or window.sill >= high - EVEN:
        return
    run = shapely.LineString((window.a, window.b))
    for body, shape in zip(ground.bodies, ground.shapes, strict=True):
        kind = body.sort.name
        if body.what not in ("piece", "fixed") or not any(word in kind for word in WET):
            continue
        off = float(run.distance(shape))
        if off > most + EVEN or not _in_sight(ground, run, shape):
            continue
        why = (
            f"Its sill is {tape(window.sill)}, under {tape(high)}, and it is "
            f"{tape(off) if off > EVEN else 'right'} {'from' if off > EVEN else 'at'} the "
            f"{body.name} {body.id}, within {tape(most)}. A window higher over the tub's or "
            "shower's own floor than that is free: measure it there."
        )
        keys = ("glazing.wet", "glazing.high")
        yield Question(window.id, window.room, "wet", _ask(window, why), body.id, off, keys)


def _in_sight(ground: Ground, run: shapely.LineString, shape: shapely.Polygon) -> bool:
    """Whether the shortest way from a window to a thing stays in the room."""
    way = shapely.shortest_line(run, shape)
    return bool(way.length <= EVEN or shapely.covers(ground.roomy, way))


def _by_stairs(ground: Ground, window: Window, needs: Needs) -> Iterator[Question]:
    high = needs.get("glazing.stair_high")
    beside, foot = needs.get("glazing.stair"), needs.get("glazing.bottom_tread")
    if high is None or beside is None or foot is None or window.sill >= high - EVEN:
        return
    run = shapely.LineString((window.a, window.b))
    for body, shape in zip(ground.bodies, ground.shapes, strict=True):
        if body.what != "fixed" or "stair" not in body.name.lower():
            continue
        off = float(run.distance(shape))
        if off > foot + EVEN or not _in_sight(ground, run, shape):
            continue
        near = off <= beside + EVEN
        most, place = (beside, "stair") if near else (foot, "foot of stair")
        why = (
            f"Its sill is {tape(window.sill)}, under {tape(high)}, and it is {tape(off)} from the "
            f"{body.name} {body.id}, within {tape(most)}"
            f"{'.' if near else ', which counts where that is the bottom tread.'}"
        )
        key = "glazing.stair" if near else "glazing.bottom_tread"
        asked = _ask(window, why)
        yield Question(
            window.id, window.room, place, asked, body.id, off, (key, "glazing.stair_high")
        )


def _low_pane(window: Window, needs: Needs) -> Iterator[Question]:
    area, low, top = (needs.get(f"glazing.{key}") for key in ("pane", "pane_low", "pane_top"))
    if area is None or low is None or top is None:
        return
    has = window.width * window.height / SQUARE_FOOT
    if has > area + EVEN and window.sill < low - EVEN and window.head > top + EVEN:
        why = (
            f"It is {has:.1f} sq ft with its sill at {tape(window.sill)}: one pane over {area:g} "
            f"sq ft that begins under {tape(low)} and ends over {tape(top)} counts where people "
            "walk beside it."
        )
        keys = ("glazing.pane", "glazing.pane_low", "glazing.pane_top")
        yield Question(window.id, window.room, "large pane", _ask(window, why), figures=keys)
