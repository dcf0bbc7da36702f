"""Doors that swing: against what stands in the room, against each other, and what bars an opening.

A leaf with its handle sweeps a quarter disc about its hinge. What reaches into that disc stops
the door; the angle at which the leaf first meets it says how far the door still opens.
"""

import math
from collections.abc import Iterable, Sequence

import shapely

from roomwright.fit.ground import Ground
from roomwright.fit.model import HEADROOM, Body, Finding, Leaf, Needs, Opening, Space, Word
from roomwright.fit.verdicts import EVEN
from roomwright.lengths import tape
from roomwright.shape import TOUCH, Outline, extent, inside, middle, sector

BEFORE = 18.0
"""What stands this near before an opening stands in it: a person's depth [in], common practice."""

PLAY = 1 / 8
"""What a leaf is smaller than its opening at each edge: a wall that near does not stop it
[in], common practice of door gaps."""

AS_GOOD_AS_SQUARE = 85.0
"""A leaf that a wall stops only beyond this opens as far as it needs to [deg], our choice."""


def against_things(ground: Ground) -> tuple[Finding, ...]:
    """Every door leaf that something in the room stops, with how far it still opens."""
    found = []
    things = [
        (body, shape)
        for body, shape in zip(ground.bodies, ground.shapes, strict=True)
        if body.what != "swing"
    ]
    for leaf in ground.space.leaves:
        disc = shapely.Polygon(leaf.outline)
        for body, shape in things:
            if body.low >= HEADROOM or not shapely.intersects(disc, shape):
                continue
            shared = shapely.intersection(disc, shape)
            if extent(shared, TOUCH) is not None:
                found.append(_stopped(leaf, body, opens_to(leaf, shared)))
    return tuple(found)


def opens_to(leaf: Leaf, shared: shapely.Geometry) -> float:
    """How far a leaf opens until it meets a shape inside its quarter disc [deg].

    >>> from roomwright.shape import rectangle
    >>> leaf = Leaf("D1", "D1", (0, 0), (30, 0), (0, 30), "101", 30)
    >>> box = shapely.Polygon(rectangle(10, 15, 20, 10))
    >>> round(opens_to(leaf, shapely.intersection(box, shapely.Polygon(leaf.outline))), 1)
    26.6
    """
    px, py = leaf.pivot
    shut = math.atan2(leaf.shut[1] - py, leaf.shut[0] - px)
    open_ = math.atan2(leaf.open[1] - py, leaf.open[0] - px)
    hand = 1.0 if math.sin(open_ - shut) >= 0 else -1.0
    angles = [
        (hand * (math.atan2(y - py, x - px) - shut) + math.pi) % (2 * math.pi) - math.pi
        for x, y in shapely.get_coordinates(shared).tolist()
        if math.hypot(x - px, y - py) > TOUCH
    ]
    return max(0.0, math.degrees(min(angles, default=0.0)))


def _stopped(leaf: Leaf, body: Body, degrees: float) -> Finding:
    turned = f"opens only {round(degrees)} of 90 degrees" if degrees >= 0.5 else "can't open at all"
    text = (
        f"Door {leaf.opening} hits the {body.name} {body.id} and {turned}: move the {body.name}, "
        "hang the door on its other side, or let it swing out."
    )
    return Finding("door swing", Word.BLOCKED, text, leaf.into, (leaf.opening, body.id), by=None)


def against_walls(space: Space, floor: shapely.Polygon) -> tuple[Finding, ...]:
    """Every door leaf that a wall of its room stops before it is as good as square.

    The leaf alone counts, without its handle; what of its turn lies in the thickness of its own
    wall is no obstruction.
    """
    seen = {(opening.id, opening.room): opening for opening in space.openings}
    found: list[Finding] = []
    if not space.leaves:
        return ()
    roomy = shapely.buffer(floor, PLAY)
    shapely.prepare(roomy)
    for leaf in space.leaves:
        opening = seen.get((leaf.opening, leaf.into))
        if opening is None:
            continue
        swept = _beyond_face(leaf, opening)
        if shapely.covers(roomy, swept):
            continue
        beyond = shapely.difference(swept, roomy)
        if extent(beyond, TOUCH) is None:
            continue
        degrees = opens_to(leaf, beyond)
        if degrees < AS_GOOD_AS_SQUARE:
            text = (
                f"Door {leaf.opening} hits a wall and opens only {round(degrees)} of 90 degrees: "
                "hang it on its other side, or let it swing the other way."
            )
            ids = (leaf.opening,)
            found.append(Finding("door swing", Word.BLOCKED, text, leaf.into, ids))
    return tuple(found)


def _beyond_face(leaf: Leaf, opening: Opening) -> shapely.Geometry:
    """What a leaf sweeps on the room's side of the wall face, without its handle."""
    (px, py), reach = leaf.pivot, math.dist(leaf.pivot, leaf.shut)
    share = leaf.width / reach if reach else 1.0
    shut, open_ = (
        (px + share * (x - px), py + share * (y - py)) for x, y in (leaf.shut, leaf.open)
    )
    disc = shapely.Polygon(sector(leaf.pivot, shut, open_))
    ux, uy = (leaf.open[0] - px) / reach, (leaf.open[1] - py) / reach
    mx, my = middle(opening.segment)
    ax, ay = mx - 2 * reach * uy, my + 2 * reach * ux
    bx, by = mx + 2 * reach * uy, my - 2 * reach * ux
    far = 2 * reach
    room_side = [(ax, ay), (bx, by), (bx + far * ux, by + far * uy), (ax + far * ux, ay + far * uy)]
    return shapely.intersection(disc, shapely.Polygon(room_side))


def against_swings(space: Space) -> tuple[Finding, ...]:
    """Every two doors whose leaves can hit each other when both open."""
    found = []
    leaves = [(leaf, shapely.Polygon(leaf.outline)) for leaf in space.leaves]
    for number, (leaf, disc) in enumerate(leaves):
        for other, other_disc in leaves[number + 1 :]:
            if leaf.opening == other.opening or not shapely.intersects(disc, other_disc):
                continue
            if extent(shapely.intersection(disc, other_disc), TOUCH) is None:
                continue
            text = (
                f"Doors {leaf.opening} and {other.opening} hit each other when both open: "
                "hang one on its other side or let it swing the other way."
            )
            ids = (leaf.opening, other.opening)
            found.append(Finding("two doors", Word.SHORT, text, leaf.into, ids))
    return tuple(found)


def before_openings(ground: Ground, needs: Needs) -> tuple[Finding, ...]:
    """What stands so near before an opening that nobody passes."""
    least = needs.get("walkway.minimum") or 0.0
    things = [
        (body, shape)
        for body, shape in zip(ground.bodies, ground.shapes, strict=True)
        if body.what != "swing" and body.low < HEADROOM
    ]
    found = []
    for opening in ground.space.openings:
        outline = next((r.outline for r in ground.space.rooms if r.id == opening.room), None)
        if outline is None:
            continue
        free, barring = _free(opening, _before(opening, outline), things)
        if barring and free < min(least, opening.width) - EVEN:
            left = f"{tape(free)} of {tape(opening.width)} is left to pass"
            text = f"{_standing(barring)} before opening {opening.id}: {left}."
            ids = (opening.id, *(body.id for body in barring))
            found.append(
                Finding(
                    "opening barred",
                    Word.BLOCKED,
                    text,
                    opening.room,
                    ids,
                    by=least - free,
                    figure="walkway.minimum",
                    clear=free,
                    needs=min(least, opening.width),
                )
            )
    return tuple(found)


def _standing(barring: Sequence[Body]) -> str:
    """What stands before something and what slopes low over it: "The chest P1 stands"."""
    things = [f"the {body.name} {body.id}" for body in barring if body.what != "slope"]
    slopes = dict.fromkeys(f"the slope {body.id}" for body in barring if body.what == "slope")
    said = []
    if things:
        said.append(f"{' and '.join(things)} {'stands' if len(things) == 1 else 'stand'}")
    if slopes:
        verb = "is" if len(slopes) == 1 else "are"
        said.append(f"{' and '.join(slopes)} {verb} lower than {tape(HEADROOM)}")
    text = " and ".join(said)
    return text[0].upper() + text[1:]


def _before(opening: Opening, outline: Outline) -> Outline:
    """The floor just inside an opening."""
    (ax, ay), (bx, by) = opening.segment
    across = ((by - ay) / opening.width, (ax - bx) / opening.width)
    mx, my = middle(opening.segment)
    if not inside((mx + across[0], my + across[1]), outline, 0.0):
        across = -across[0], -across[1]
    dx, dy = BEFORE * across[0], BEFORE * across[1]
    return (ax, ay), (bx, by), (bx + dx, by + dy), (ax + dx, ay + dy)


def _free(
    opening: Opening, area: Outline, things: Iterable[tuple[Body, shapely.Polygon]]
) -> tuple[float, Sequence[Body]]:
    """The widest free stretch of an opening [in], and what stands before the rest."""
    (ax, ay), (bx, by) = opening.segment
    tx, ty = (bx - ax) / opening.width, (by - ay) / opening.width
    shape = shapely.Polygon(area)
    taken: list[tuple[float, float]] = []
    barring: list[Body] = []
    for body, polygon in things:
        if not shapely.intersects(shape, polygon):
            continue
        shared = shapely.intersection(shape, polygon)
        if extent(shared, TOUCH) is None:
            continue
        along = [(x - ax) * tx + (y - ay) * ty for x, y in shapely.get_coordinates(shared).tolist()]
        taken.append((min(along), max(along)))
        barring.append(body)
    free, at = 0.0, 0.0
    for low, high in sorted(taken):
        free, at = max(free, low - at), max(at, high)
    return max(free, opening.width - at), barring
