"""Windows that something stands or hangs before: covered above the sill, or an escape kept shut."""

import math
from dataclasses import dataclass

import shapely

from roomwright.fit.ground import Ground
from roomwright.fit.model import Body, Finding, Needs, Room, Window, Word
from roomwright.fit.verdicts import PRACTICE, length
from roomwright.lengths import tape
from roomwright.shape import TOUCH, Outline, extent, inside, middle

BEFORE = 12.0
"""What stands this near before a window covers it [in], our choice."""

MUCH = 0.25
"""Outside rooms that are slept in, a cover of less than this share of the window goes untold (our
choice)."""


@dataclass(frozen=True, slots=True)
class Cover:
    """Something before a window, and the part of its width it takes, from its end `a` [in]."""

    body: Body
    span: tuple[float, float]

    @property
    def wide(self) -> float:
        """How much of the window's width it stands before [in]."""
        return self.span[1] - self.span[0]


def covered(ground: Ground, needs: Needs) -> tuple[Finding, ...]:
    """Every window that something higher than its sill stands before.

    In a room that is slept in a window for escape must stay usable: what stands before it is
    climbed over, so it counts as the sill, or passed beside (`escape.left_by`). Whether a bare
    window's clear opening is large enough is told by `escape.findings`.
    """
    from roomwright.fit.escape import could_serve  # it takes covers from here

    found = []
    for room in ground.space.rooms:
        windows = [w for w in ground.space.windows if w.room == room.id]
        barred = {w.id: covers(ground, w, room) for w in windows}
        slept = slept_in(ground, room)
        free = [w.id for w in windows if slept and could_serve(w, barred[w.id], needs)]
        for window in windows:
            escape = slept and could_serve(window, (), needs)
            for cover in barred[window.id]:
                share = _hides(cover, window) * cover.wide / (window.width or 1.0)
                if slept or share >= MUCH * window.height:
                    lost = escape and window.id not in free
                    found.append(_told(window, cover, room, lost, bool(free)))
    return tuple(found)


def slept_in(ground: Ground, room: Room) -> bool:
    """Whether people sleep in a room: by its use, its name, or a bed that stands there."""
    name = f"{room.use} {room.name}".lower()
    return "closet" not in name and (
        "bedroom" in name
        or "nursery" in name
        or any(p.sort.sleeps for p in ground.pieces if p.room == room.id)
    )


def covers(ground: Ground, window: Window, room: Room) -> list[Cover]:
    """What of known height stands or hangs before a window, between its sill and its head."""
    return [
        cover
        for cover in before(ground, window, room)
        if math.isfinite(cover.body.high)
        and cover.body.high > window.sill + TOUCH
        and cover.body.low < window.sill + window.height - TOUCH
    ]


def before(ground: Ground, window: Window, room: Room) -> list[Cover]:
    """Every piece and every fixed thing on the floor just inside a window, at any height."""
    area = shapely.Polygon(_area(window, room))
    found = []
    for body, shape in zip(ground.bodies, ground.shapes, strict=True):
        if body.what not in ("piece", "fixed") or not shapely.intersects(area, shape):
            continue
        shared = shapely.intersection(area, shape)
        if extent(shared, TOUCH) is not None:
            found.append(Cover(body, _span(window, shared)))
    return found


def _span(window: Window, shared: shapely.Geometry) -> tuple[float, float]:
    (ax, ay), (bx, by) = window.a, window.b
    run = window.width or 1.0
    along = [
        ((x - ax) * (bx - ax) + (y - ay) * (by - ay)) / run
        for x, y in shapely.get_coordinates(shared).tolist()
    ]
    return max(0.0, min(along)), min(window.width, max(along))


def _hides(cover: Cover, window: Window) -> float:
    """The height of the window that is hidden [in]."""
    low, high = max(cover.body.low, window.sill), window.sill + window.height
    return min(cover.body.high, high) - low


def _area(window: Window, room: Room) -> Outline:
    """The floor just inside a window."""
    (ax, ay), (bx, by) = window.a, window.b
    run = math.dist(window.a, window.b) or 1.0
    across = ((by - ay) / run, (ax - bx) / run)
    mx, my = middle((window.a, window.b))
    if not inside((mx + across[0], my + across[1]), room.outline, 0.0):
        across = -across[0], -across[1]
    dx, dy = BEFORE * across[0], BEFORE * across[1]
    return (ax, ay), (bx, by), (bx + dx, by + dy), (ax + dx, ay + dy)


def _told(window: Window, cover: Cover, room: Room, lost: bool, other: bool) -> Finding:
    """The finding; `lost` for escape by this cover, `other` says that another is still free."""
    body, over = cover.body, _hides(cover, window)
    stands = "stands" if body.low <= window.sill else "hangs"
    text = f"The {body.name} {body.id} {stands} before window {window.id} and "
    if body.low <= window.sill:
        text += f"reaches {tape(body.high - window.sill)} over its sill"
    else:
        text += f"covers {tape(over)} of its height"
    if cover.wide < window.width - 0.5:
        share = round(100 * cover.wide / window.width)
        text += f", along {length(cover.wide)} of its width ({share} %)"
    text += "."
    word = Word.TIGHT
    if lost and other:
        text += f" It is no escape any more; another window of this room is free; {PRACTICE}."
    elif lost:
        word = Word.BLOCKED
        text += f" It is no escape any more, and no other window of this room is: {PRACTICE}."
    by = body.high - window.sill if body.low <= window.sill else over
    return Finding("window covered", word, text, room.id, (window.id, body.id), by=by)
