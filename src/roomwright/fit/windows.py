"""Windows that a piece stands before: covered above the sill, or an escape kept shut."""

import math
from collections.abc import Sequence

import shapely

from roomwright.fit.ground import Ground
from roomwright.fit.model import Body, Finding, Needs, Room, Window, Word
from roomwright.fit.verdicts import PRACTICE
from roomwright.lengths import tape
from roomwright.shape import TOUCH, Outline, extent, inside, middle

BEFORE = 12.0
"""What stands this near before a window covers it [in], our choice."""

MUCH = 0.25
"""Outside rooms that are slept in, a cover of less than this share of the window goes untold (our
choice)."""


def covered(ground: Ground, needs: Needs) -> tuple[Finding, ...]:
    """Every window that something higher than its sill stands before.

    In a room that is slept in a window for escape must stay usable: what stands before it is
    climbed over, so it counts as the sill, and what is left above as the window. Whether the
    clear opening itself is large enough is not computed here.
    """
    found = []
    for room in ground.space.rooms:
        windows = [w for w in ground.space.windows if w.room == room.id]
        barred = {w.id: _before(ground, w, room) for w in windows}
        slept = _slept_in(ground, room)
        free = [w.id for w in windows if slept and _escape(w, barred[w.id], needs)]
        for window in windows:
            escape = slept and _escape(window, [], needs)
            for body in barred[window.id]:
                over = body.high - window.sill
                if slept or over >= MUCH * window.height:
                    lost = escape and window.id not in free
                    found.append(_told(window, body, room, over, lost, bool(free)))
    return tuple(found)


def _slept_in(ground: Ground, room: Room) -> bool:
    name = room.name.lower()
    return "closet" not in name and (
        "bedroom" in name
        or "nursery" in name
        or any(p.sort.sleeps for p in ground.pieces if p.room == room.id)
    )


def _escape(window: Window, before: Sequence[Body], needs: Needs) -> bool:
    """Whether a window could serve for escape with what stands before it."""
    highest, height = needs.get("egress.sill_max"), needs.get("egress.window_height")
    sill = max([window.sill, *(body.high for body in before)])
    left = window.sill + window.height - sill
    return (
        window.kind != "fixed"
        and (highest is None or sill <= highest)
        and (height is None or left >= height)
    )


def _before(ground: Ground, window: Window, room: Room) -> list[Body]:
    """What stands before a window and reaches over its sill."""
    area = shapely.Polygon(_area(window, room))
    return [
        body
        for body, shape in zip(ground.bodies, ground.shapes, strict=True)
        if body.what == "piece"
        and math.isfinite(body.high)
        and body.high > window.sill + TOUCH
        and body.low < window.sill + window.height
        and shapely.intersects(area, shape)
        and extent(shapely.intersection(area, shape), TOUCH) is not None
    ]


def _area(window: Window, room: Room) -> Outline:
    """The floor just inside a window."""
    (ax, ay), (bx, by) = window.a, window.b
    length = math.dist(window.a, window.b) or 1.0
    across = ((by - ay) / length, (ax - bx) / length)
    mx, my = middle((window.a, window.b))
    if not inside((mx + across[0], my + across[1]), room.outline, 0.0):
        across = -across[0], -across[1]
    dx, dy = BEFORE * across[0], BEFORE * across[1]
    return (ax, ay), (bx, by), (bx + dx, by + dy), (ax + dx, ay + dy)


def _told(window: Window, body: Body, room: Room, over: float, lost: bool, other: bool) -> Finding:
    """The finding; `lost` for escape by this cover, `other` says that another is still free."""
    text = (
        f"The {body.name} {body.id} stands before window {window.id} and reaches {tape(over)} "
        "over its sill."
    )
    word = Word.TIGHT
    if lost and other:
        text += f" It is no escape any more; another window of this room is free; {PRACTICE}."
    elif lost:
        word = Word.BLOCKED
        text += f" It is no escape any more, and no other window of this room is: {PRACTICE}."
    return Finding("window covered", word, text, room.id, (window.id, body.id), by=over)
