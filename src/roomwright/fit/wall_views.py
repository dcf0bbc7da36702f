"""Each wall of a room as one sees it from inside: where things stand along it and how high.

Along a wall x runs from its left end to its right one, as seen from the room; y is the height over
the finished floor [in]. Things before the wall are carried straight onto it; the nearest to the
eye is last in the list, so that it is drawn over the others.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass
from itertools import pairwise
from typing import Literal

import shapely

from roomwright.fit.ceilings import Plane, planes
from roomwright.fit.ground import Ground
from roomwright.fit.model import Body, Needs, Room, Space
from roomwright.fit.sight import COUNTER, seats_people
from roomwright.shape import (
    EVEN,
    TOUCH,
    Point,
    Segment,
    compass,
    letter,
    lettered,
    outward,
    signed_area,
)

NEAR = 36.0
"""What stands this near before a wall is drawn on it [in], our choice."""

DOORS = {
    "swing": "door",
    "swing pair": "double door",
    "pocket": "pocket door",
    "slide": "sliding door",
    "bifold": "bifold door",
    "cased": "cased opening",
    "open": "open side",
}
"""What a kind of opening is called on a wall."""

What = Literal["opening", "window", "fixed", "piece"]


@dataclass(frozen=True, slots=True)
class Seen:
    """A thing on or before a wall: from `left` to `right` along it, from `low` to `high` [in].

    `high` is None where it is not known; `usual` says that it is only what is usual. `off` is how
    far its nearest point stands before the wall; `far` marks a table or a desk in the room, drawn
    for its height alone.
    """

    id: str
    name: str
    what: What
    left: float
    right: float
    low: float
    high: float | None
    off: float = 0.0
    usual: bool = False
    far: bool = False


@dataclass(frozen=True, slots=True)
class WallView:
    """One wall from inside: `start` is its left end in plan, `end` its right one.

    `ceiling` is the line of the ceiling along it, as (x, height), empty while unknown.
    """

    letter: str
    side: str
    start: Point
    end: Point
    things: tuple[Seen, ...] = ()
    ceiling: tuple[Point, ...] = ()
    corners: tuple[str, str] = ("", "")

    @property
    def length(self) -> float:
        """From end to end [in]."""
        return math.dist(self.start, self.end)

    def along(self, at: Point) -> float:
        """How far right of the wall's left end a point of the plan is [in]."""
        run = self.length
        ux, uy = (self.end[0] - self.start[0]) / run, (self.end[1] - self.start[1]) / run
        return (at[0] - self.start[0]) * ux + (at[1] - self.start[1]) * uy


def wall_views(ground: Ground, room: Room, needs: Needs) -> tuple[WallView, ...]:
    """Every wall of a room from inside, by the letters of the plan.

    >>> from roomwright.fit.model import Window
    >>> walls_ = ((0, 0), (144, 0), (144, 120), (0, 120))
    >>> room = Room("1", "Den", walls_, 96)
    >>> window = Window("W1", (30, 0), (66, 0), 48, 36, "casement", "1")
    >>> south = wall_views(Ground(Space((room,), walls_, windows=(window,))), room, Needs({}))[0]
    >>> south.side, [(s.id, s.left, s.right, s.low, s.high) for s in south.things]
    ('south', [('W1', 78.0, 114.0, 36, 84)])
    """
    sides, turned = lettered(room.outline), signed_area(room.outline) < 0
    over = planes(room, ground.space.slopes)
    found = []
    for number, (name, (a, b)) in enumerate(sides):
        if math.dist(a, b) <= TOUCH:
            continue
        corners = letter(number), letter((number + 1) % len(sides))
        names = corners if turned else corners[::-1]
        view = WallView(name, compass(outward((a, b))), b, a, corners=names)
        things = [*_before(ground, room, view, needs), *_in_wall(ground.space, room, view)]
        things.sort(key=lambda s: (s.what in ("piece", "fixed"), -s.off, s.id))
        found.append(
            WallView(
                view.letter, view.side, b, a, tuple(things), ceiling_along(room, over, view), names
            )
        )
    return tuple(found)


def _in_wall(space: Space, room: Room, view: WallView) -> Iterator[Seen]:
    for door in space.openings:
        if door.room in (room.id, "") and _lies_on(door.segment, view):
            left, right = sorted(map(view.along, door.segment))
            name = f"{DOORS.get(door.kind, door.kind)} to {door.name or door.to}"
            yield Seen(door.id, name, "opening", left, right, 0.0, door.height)
    for window in space.windows:
        if window.room in (room.id, "") and _lies_on((window.a, window.b), view):
            left, right = sorted(map(view.along, (window.a, window.b)))
            name = f"{window.kind} window".strip()
            yield Seen(window.id, name, "window", left, right, window.sill, window.head)


def _lies_on(segment: Segment, view: WallView) -> bool:
    line = shapely.LineString((view.start, view.end))
    return all(line.distance(shapely.Point(end)) <= 1.0 for end in segment)


def _before(ground: Ground, room: Room, view: WallView, needs: Needs) -> Iterator[Seen]:
    """Pieces and fixed things before a wall, cut to what stands in the room."""
    floor = shapely.Polygon(room.outline)
    if not shapely.is_valid(floor):
        return
    strip = _strip(view, NEAR) & floor
    deep = _strip(view, 1e4) & floor
    wall = shapely.LineString((view.start, view.end))
    sitting = {piece.id for piece in ground.pieces if seats_people(piece)}
    for body, shape in zip(ground.bodies, ground.shapes, strict=True):
        if body.what not in ("piece", "fixed") or body.room not in (room.id, ""):
            continue
        shared = shapely.intersection(strip, shape)
        far = shapely.area(shared) <= TOUCH
        if far:
            shared = shapely.intersection(deep, shape) if body.id in sitting else shared
            if shapely.area(shared) <= TOUCH:
                continue
        else:
            shared = shapely.intersection(deep, shape)
        along = [view.along((x, y)) for x, y in shapely.get_coordinates(shared).tolist()]
        left, right = max(0.0, min(along)), min(view.length, max(along))
        if right - left <= TOUCH:
            continue
        high, usual = _high(body, needs)
        off = float(shapely.distance(wall, shared))
        distant = bool(far)
        yield Seen(
            body.id, body.name, "piece" if body.what == "piece" else "fixed",
            left, right, body.low, high, off, usual, distant,
        )  # fmt: skip


def _high(body: Body, needs: Needs) -> tuple[float | None, bool]:
    if math.isfinite(body.high):
        return body.high, False
    usual = needs.get("height.counter")
    if body.what == "fixed" and COUNTER.match(body.name) and usual is not None:
        return usual, True
    return None, False


def _strip(view: WallView, deep: float) -> shapely.Polygon:
    """The floor straight before a wall, so deep."""
    (ax, ay), (bx, by) = view.end, view.start  # as the outline runs: the room lies to its left
    run = view.length
    nx, ny = -(by - ay) / run * deep, (bx - ax) / run * deep
    return shapely.Polygon([(ax, ay), (bx, by), (bx + nx, by + ny), (ax + nx, ay + ny)])


def ceiling_along(room: Room, over: tuple[Plane, ...], view: WallView) -> tuple[Point, ...]:
    """The ceiling over a wall as a line of (x, height): flat, sloped, or broken; exact.

    Each slope is linear along the wall where it covers it, the lowest counts; so the line bends
    only at the ends of what each covers and where two heights cross. A dormer's cheek is upright.
    """
    flat = math.inf if room.ceiling is None else room.ceiling
    wall = shapely.LineString((view.start, view.end))
    spans: list[tuple[float, float, Plane]] = []
    for plane in over:
        part = shapely.intersection(wall, shapely.buffer(plane.over, TOUCH))
        for each in shapely.get_parts(part).tolist():
            if each.length > 2 * TOUCH:
                low, high = sorted(map(view.along, _ends(each)))
                spans.append((low, high, plane))

    def at(x: float, plane: Plane) -> float:
        (sx, sy), (ex, ey), t = view.start, view.end, x / view.length
        return plane.height((sx + t * (ex - sx), sy + t * (ey - sy)))

    cuts = {0.0, view.length}
    for low, high, plane in spans:
        cuts |= {max(0.0, low), min(view.length, high)}
        cuts |= set(_level(at(0.0, plane), at(view.length, plane), flat, view.length))
        for *_, other in spans:
            first = at(0.0, plane) - at(0.0, other)
            last = at(view.length, plane) - at(view.length, other)
            cuts |= set(_level(first, last, 0.0, view.length))
    places = sorted(cuts)
    line: list[Point] = []
    for x0, x1 in pairwise(places):
        if x1 - x0 <= 2 * TOUCH:
            continue
        mid = (x0 + x1) / 2
        here = [p for low, high, p in spans if low <= mid <= high]
        best = min(here, key=lambda p: at(mid, p), default=None)
        sloped = best is not None and at(mid, best) < flat
        for x in (x0, x1):
            y = at(x, best) if sloped and best is not None else flat
            if math.isfinite(y):
                line.append((x, y))
    return _straightened(line)


def _ends(part: shapely.Geometry) -> tuple[Point, Point]:
    found = shapely.get_coordinates(part).tolist()
    first, last = found[0], found[-1]
    return (first[0], first[1]), (last[0], last[1])


def _level(first: float, last: float, flat: float, run: float) -> tuple[float, ...]:
    """Where a height that runs from `first` to `last` over `run` passes `flat`."""
    if not math.isfinite(flat) or abs(last - first) <= EVEN:
        return ()
    t = (flat - first) / (last - first)
    return (t * run,) if 0 < t < 1 else ()


def _straightened(line: list[Point]) -> tuple[Point, ...]:
    """The same line without points in the middle of a straight part."""
    kept: list[Point] = []
    for point in line:
        if kept and math.dist(kept[-1], point) <= 2 * TOUCH:
            continue
        if len(kept) > 1:
            (ax, ay), (bx, by) = kept[-2], kept[-1]
            turn = (bx - ax) * (point[1] - ay) - (by - ay) * (point[0] - ax)
            if abs(turn) <= TOUCH * max(1.0, math.dist(kept[-2], point)):
                kept.pop()
        kept.append(point)
    return tuple(kept)
