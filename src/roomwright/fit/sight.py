"""What a seated and a standing eye sees: sills, counters, half walls, the cabinets over counters.

People differ: an eye is a range, from that of a small woman to that of a tall man [1]_. A window
is seen out of on the level where the eye is over its sill and under its head, and nothing
as high as the eye stands between. A half wall hides the floor behind it: with the eye e over the
floor, d before a wall h high, it hides d h / (e - h) of floor.

References
----------
.. [1] NUREG-0700, revision 3, table 11.4; see the figures ``eye.*``.
"""

from __future__ import annotations

import math
import re
from collections.abc import Iterator
from dataclasses import dataclass, replace
from typing import Literal

import shapely

from roomwright.fit.ground import Ground
from roomwright.fit.model import Body, Needs, Piece, Room, Window
from roomwright.fit.verdicts import EVEN, length
from roomwright.fit.windows import before
from roomwright.lengths import tape
from roomwright.shape import TOUCH, Point, centre

COUNTER = re.compile(r"^(counter|island|peninsula|base cabinet)", re.IGNORECASE)
LOW_WALL = re.compile(r"half wall|knee wall|low wall|pony wall|raised bar|railing", re.IGNORECASE)

BACK = 60.0
"""How far from a half wall one stands in the example of the floor that it hides [in]."""

Kind = Literal["seated", "standing", "counter", "top", "half wall", "upper"]


@dataclass(frozen=True, slots=True)
class Eye:
    """The range of heights of an eye over the floor [in], and who it is."""

    name: str
    low: float
    high: float
    why: str = ""


@dataclass(frozen=True, slots=True)
class Sight:
    """One thing that heights decide: a sentence, and its numbers.

    `over` says by how much: the eye over the sill or the wall, from the small person to the tall
    one; for a counter or a top, twice how far it stays under the sill (less than 0: over it).
    `hidden` is the share of a window that something taller hides from a seat.
    """

    kind: Kind
    text: str
    ids: tuple[str, ...]
    room: str
    over: tuple[float, float]
    hidden: float = 0.0
    figures: tuple[str, ...] = ()


def standing(needs: Needs) -> Eye | None:
    """A standing person's eye; None without figures."""
    low, high = needs.get("eye.standing_low"), needs.get("eye.standing_high")
    return None if low is None or high is None else Eye("standing", low, high)


def seated(needs: Needs, seat: float | None = None) -> Eye | None:
    """The eye of somebody who sits erect on a seat [in over the floor; a chair's if not given].

    >>> chair = {"eye.chair": 18, "eye.seated_low": 28.5, "eye.seated_high": 34}
    >>> seated(Needs(chair))
    Eye(name='seated', low=46.5, high=52, why='')
    """
    low, high = needs.get("eye.seated_low"), needs.get("eye.seated_high")
    base = needs.get("eye.chair") if seat is None else seat
    if low is None or high is None or base is None:
        return None
    return Eye("seated", base + low, base + high)


def sights(ground: Ground, needs: Needs) -> tuple[Sight, ...]:
    """Everything that heights decide in a space, room by room.

    >>> from roomwright.fit.model import Space
    >>> walls_ = ((0, 0), (120, 0), (120, 120), (0, 120))
    >>> table = Piece("T1", "dining table", "dining table", 72, 36, 30, 60, 60)
    >>> window = Window("W1", (42, 120), (78, 120), 48, 38.5, room="1")
    >>> room = Space((Room("1", "Dining", walls_),), walls_, windows=(window,), pieces=(table,))
    >>> eyes = {"eye.chair": 18, "eye.seated_low": 28.5, "eye.seated_high": 34}
    >>> print(sights(Ground(room), Needs(eyes))[0].text)
    Seated at the dining table T1 the sill of W1 is 8" to 1'-1 1/2" below your eye: you see out.
    """
    found: list[Sight] = []
    for room in ground.space.rooms:
        windows = [w for w in ground.space.windows if w.room == room.id]
        for window in windows:
            found += _from_seats(ground, window, room, needs)
            found += _standing_at(window, needs)
            found += _tops(ground, window, room, needs)
        found += _half_walls(ground, room, needs)
        found += _uppers(ground, room, needs)
    return tuple(found)


def _from_seats(ground: Ground, window: Window, room: Room, needs: Needs) -> Iterator[Sight]:
    for name, id_, at, eye in _seats(ground, room, needs):
        hidden, by = hides(ground, at, window, eye.low, skip=id_)
        over = (eye.low - window.sill, eye.high - window.sill)
        said = f"Seated at the {name} {id_} {_sees(window, eye)}"
        if hidden > 0.01:
            share = "all of it" if hidden > 0.99 else f"{round(100 * hidden)} % of its width"
            verb = "hides" if len(by) == 1 else "hide"
            said += f" The {' and the '.join(by)} {verb} {share} from the middle of it."
        figures = ("eye.seated_low", "eye.seated_high", eye.why)
        yield Sight("seated", said, (id_, window.id), room.id, over, hidden, figures)


def _seats(
    ground: Ground, room: Room, needs: Needs
) -> Iterator[tuple[str, str, Point, Eye]]:  # fmt: skip
    """Where people sit in a room: the thing, its id, its middle, the eye and what it rests on."""
    chair, below = seated(needs), needs.get("eye.stool_below")
    for piece in ground.pieces:
        if piece.room in (room.id, "") and seats_people(piece) and chair is not None:
            x, y, *_ = piece.where
            yield piece.name, piece.id, (x, y), replace(chair, why="eye.chair")
    for body in ground.bodies:
        mine = body.room in (room.id, "") and (
            (body.what == "fixed" and "stools" in body.kind)
            or any(piece.id == body.id and piece.stools for piece in ground.pieces)
        )
        top = _top(body, needs)[0] if mine else None
        stool = None if top is None or below is None else seated(needs, top - below)
        if stool is not None:
            yield body.name, body.id, centre(body.outline), replace(stool, why="eye.stool_below")


def seats_people(piece: Piece) -> bool:
    """Whether people sit at a piece on chairs: a table, a desk."""
    return piece.sort.seats or piece.sort.name == "desk"


def _sees(window: Window, eye: Eye) -> str:
    """How the eye stands to a window's sill and head, in words."""
    low, high = eye.low - window.sill, eye.high - window.sill
    if eye.low >= window.head - EVEN:
        return f"you look over the head of {window.id} ({tape(window.head)}) and must stoop."
    if low > EVEN:
        out = "you see out"
        if eye.high > window.head + EVEN:
            out = "you see out; tall people stoop to see far"
        return f"the sill of {window.id} is {length(low)} to {length(high)} below your eye: {out}."
    if high > EVEN:
        return (
            f"the sill of {window.id} is from {length(-low)} above the eye of a small person to "
            f"{length(high)} below that of a tall one: some see out."
        )
    return (
        f"the sill of {window.id} is {length(-high)} to {length(-low)} above your eye: "
        "you see only sky."
    )


def _standing_at(window: Window, needs: Needs) -> Iterator[Sight]:
    eye = standing(needs)
    if eye is None:
        return
    over = (eye.low - window.sill, eye.high - window.sill)
    figures = ("eye.standing_low", "eye.standing_high")
    text = f"Standing, {_sees(window, eye)}"
    yield Sight("standing", text, (window.id,), window.room, over, 0.0, figures)


def hides(
    ground: Ground, eye: Point, window: Window, height: float, *, skip: str = ""
) -> tuple[float, tuple[str, ...]]:
    """The share of a window's width that things as high as the eye hide from a point, and which.

    Each thing throws a shadow from the eye onto the window's line; the shadows together, over the
    window's width, are hidden.
    """
    (ax, ay), (bx, by) = window.a, window.b
    fan = shapely.Polygon([eye, window.a, window.b])
    if fan.area <= TOUCH or window.width <= TOUCH:
        return 0.0, ()
    shadows: list[tuple[float, float]] = []
    names: list[str] = []
    for body, shape in zip(ground.bodies, ground.shapes, strict=True):
        if body.what not in ("piece", "fixed") or body.id == skip:
            continue
        if body.high < height - EVEN or body.low > height or not shapely.intersects(fan, shape):
            continue
        part = shapely.intersection(fan, shape)
        for each in shapely.get_parts(part).tolist():
            if each.area <= TOUCH:
                continue
            along = [
                _onto(eye, (x, y), (ax, ay), (bx, by))
                for x, y in shapely.get_coordinates(each).tolist()
            ]
            shadows.append((max(0.0, min(along)), min(1.0, max(along))))
            name = f"{body.name} {body.id}"
            names += [] if name in names else [name]
    return _together(shadows), tuple(names)


def _onto(eye: Point, at: Point, a: Point, b: Point) -> float:
    """Where the line from the eye through a point meets the line a-b, as a part of a-b."""
    dx, dy = at[0] - eye[0], at[1] - eye[1]
    ex, ey = b[0] - a[0], b[1] - a[1]
    cross = dx * ey - dy * ex
    if abs(cross) < 1e-12:
        return 0.5
    return ((a[0] - eye[0]) * dy - (a[1] - eye[1]) * dx) / cross


def _together(spans: list[tuple[float, float]]) -> float:
    total, at = 0.0, 0.0
    for start, end in sorted(spans):
        total += max(0.0, end - max(start, at))
        at = max(at, end)
    return min(1.0, total)


def _top(body: Body, needs: Needs) -> tuple[float | None, str]:
    """The height of a thing's top and how it is known; None where it must be measured."""
    if math.isfinite(body.high):
        return body.high, ""
    usual = needs.get("height.counter")
    if body.what == "fixed" and COUNTER.match(body.name) and usual is not None:
        return usual, ", the usual height: measure it"
    return None, ""


def _tops(ground: Ground, window: Window, room: Room, needs: Needs) -> Iterator[Sight]:
    for cover in before(ground, window, room):
        body = cover.body
        top, how = _top(body, needs)
        if top is None or body.low > window.sill:
            continue
        under = window.sill - top
        fixed = COUNTER.match(body.name) is not None
        name = f"The top of the {body.name} {body.id} ({tape(top)}{how})"
        if under > EVEN:
            text = f"{name} stays {length(under)} under the sill of {window.id}."
        elif under >= -EVEN:
            text = f"{name} is level with the sill of {window.id}."
        else:
            text = f"{name} stands {length(-under)} over the sill of {window.id}: it crosses the "
            text += "glass, and it shows from outside."
        yield Sight(
            "counter" if fixed else "top", text, (body.id, window.id), room.id, (under, under),
            figures=("height.counter",) if how else (),
        )  # fmt: skip


def _half_walls(ground: Ground, room: Room, needs: Needs) -> Iterator[Sight]:
    stands, sits = standing(needs), seated(needs)
    if stands is None or sits is None:
        return
    for body in ground.space.fixed:
        low_wall = LOW_WALL.search(body.name) is not None
        if body.room != room.id or not low_wall or not math.isfinite(body.high):
            continue
        parts = []
        for who, eye in (("Seated", sits), ("Standing", stands)):
            low, high = eye.low - body.high, eye.high - body.high
            if low > EVEN:
                parts.append(f"{who}, you see over it, {length(low)} to {length(high)} to spare.")
            elif high > EVEN:
                parts.append(f"{who}, tall people see over it, small ones don't.")
            else:
                parts.append(f"{who}, nobody sees over it ({length(-high)} short at best).")
        if stands.low > body.high + EVEN:
            floor = BACK * body.high / (stands.low - body.high)
            parts.append(
                f"From {tape(BACK)} before it a small person does not see the floor within "
                f"{tape(round(floor))} behind it."
            )
        text = f"The {body.name} {body.id} is {tape(body.high)}. {' '.join(parts)}"
        over = (sits.low - body.high, stands.high - body.high)
        keys = ("eye.chair", "eye.seated_low", "eye.seated_high", "eye.standing_low",
                "eye.standing_high")  # fmt: skip
        yield Sight("half wall", text, (body.id,), room.id, over, figures=keys)


def _uppers(ground: Ground, room: Room, needs: Needs) -> Iterator[Sight]:
    """Cabinets over counters: the gap between them, and the eye against the cabinet's bottom."""
    usual, eye = needs.get("height.upper_gap"), standing(needs)
    if usual is None or eye is None:
        return
    here = [body for body in ground.space.fixed if body.room == room.id]
    for upper in here:
        if upper.low <= TOUCH:
            continue
        cabinet = shapely.Polygon(upper.outline)
        for body in here:
            top, how = _top(body, needs)
            if top is None or body.low > TOUCH or not COUNTER.match(body.name):
                continue
            if shapely.area(shapely.intersection(cabinet, shapely.Polygon(body.outline))) <= TOUCH:
                continue
            gap = upper.low - top
            text = (
                f"The {upper.name} {upper.id} begins {length(gap)} over the {body.name} {body.id} "
                f"({tape(top)}{how}); {tape(usual)} is usual"
            )
            text += f": {length(usual - gap)} less." if gap < usual - EVEN else "."
            text += f" Its bottom, {tape(upper.low)}, is {_beside_eye(upper.low, eye)}."
            over = (eye.low - upper.low, eye.high - upper.low)
            yield Sight(
                "upper", text, (upper.id, body.id), room.id, over,
                figures=("height.upper_gap", "eye.standing_low", "eye.standing_high"),
            )  # fmt: skip


def _beside_eye(height: float, eye: Eye) -> str:
    if height >= eye.high:
        return "over every standing eye"
    if height <= eye.low:
        return "under every standing eye: you see its top, not under it"
    return "at the height of people's eyes: small ones look under it"


def eyes(ground: Ground, needs: Needs) -> tuple[Eye, ...]:
    """The eyes that matter in a space: standing, and seated where people sit on chairs."""
    stands, sits = standing(needs), seated(needs)
    found = [] if stands is None else [stands]
    at = [piece.id for piece in ground.pieces if seats_people(piece)]
    if sits is not None and at:
        found.append(Eye(sits.name, sits.low, sits.high, f"at {', '.join(at)}"))
    return tuple(found)
