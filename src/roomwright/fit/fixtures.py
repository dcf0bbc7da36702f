"""Built-in things with a front (a shower, a closet), and plumbing fixtures side by side.

What a fixture needs before it and beside it stands in `kinds.toml`, section bath, and is checked
with the sides of pieces. Here is what that leaves: the open front of a built-in thing, and the
distance from center to center of fixtures that stand along one wall. A code governs most of it,
so the answer never is a plain *fits*.
"""

import math
from itertools import combinations, pairwise

import numpy as np
import shapely

from roomwright.fit.ground import Ground
from roomwright.fit.kinds import Need
from roomwright.fit.model import Body, Finding, Needs, Piece, Word
from roomwright.fit.verdicts import EVEN, PRACTICE, judge, length
from roomwright.lengths import tape
from roomwright.shape import TOUCH, Point, Segment, distance_to, middle, unit, walls

CENTERS = "bath.fixture_centers"
ONE_WALL = 6.0
"""Fixtures whose backs lie this near to one line stand along one wall [in], our choice."""


def fronts(ground: Ground, needs: Needs) -> tuple[Finding, ...]:
    """The room before each built-in thing that has a front, against what its use needs.

    The front is the longest side that lies on no wall. Where a code governs, a figure that is
    met is told as well; else only what is tight or short.
    """
    found = []
    for number, (body, kind) in enumerate(zip(ground.bodies, ground.kinds, strict=True)):
        if body.what != "fixed":
            continue
        for need in kind.needs:
            if "open" in need.sides:
                found += _front(ground, body, number + len(ground.rings), need, needs)
    return tuple(found)


def open_side(ground: Ground, body: Body) -> Segment | None:
    """The longest side of a built-in thing that lies on no wall; None if all do.

    Where another fixed thing or one of the kitchen that stands on a wall too touches it from end to
    end, as a dishwasher the side of a counter, it is not open either, unless all sides are so.
    """
    sides = [side for side in walls(body.outline) if not _on_wall(ground, side)]
    sides.sort(key=lambda side: -math.dist(*side))
    free = (side for side in sides if not _against(ground, body, side))
    return next(free, sides[0] if sides else None)


def _against(ground: Ground, body: Body, side: Segment) -> bool:
    """Whether one other thing touches a side at its ends and its middle."""
    shapes, spots = np.array(ground.shapes, dtype=object), shapely.points([*side, middle(side)])
    touching = np.flatnonzero((shapely.distance(shapes[:, None], spots) <= TOUCH).all(axis=1))
    return any(
        other.id != body.id
        and (other.what == "fixed" or (other.what == "piece" and kind.aisle))
        and any(_on_wall(ground, each) for each in walls(other.outline))
        for other, kind in ((ground.bodies[k], ground.kinds[k]) for k in touching)
    )


def _on_wall(ground: Ground, side: Segment) -> bool:
    spots = (*side, middle(side))
    return any(
        all(distance_to(spot, wall) <= TOUCH for spot in spots)
        for ring in ground.rings
        for wall in walls(ring)
    )


def _front(ground: Ground, body: Body, owner: int, need: Need, needs: Needs) -> list[Finding]:
    wanted = needs.get(need.figure)
    side = open_side(ground, body)
    if wanted is None or side is None:
        return []
    ahead = ground.ahead(side, (owner,))
    if ahead is None:
        return []
    verdict = judge(ahead.clear, wanted, needs.spare, need.purpose, governed=need.governed)
    if verdict.word is Word.FITS:
        return []
    text = (
        f"{tape(ahead.clear)} before the {body.name} {body.id}, to the {ground.name_of(ahead)[0]}: "
        f"{verdict.text}{'; ' + PRACTICE if need.governed else ''}."
    )
    return [
        Finding(
            "front",
            verdict.word,
            text,
            body.room,
            (body.id,),
            by=verdict.by,
            figure=need.figure,
            at=(ahead.p, ahead.q),
            clear=ahead.clear,
            needs=wanted,
        )
    ]


def bowls(piece: Piece) -> tuple[Point, ...]:
    """Centers of a piece's fixtures in plan: the middle, or the quarter points of a double one.

    >>> bowls(Piece("M1", "vanity double", "vanity", 72, 21, 34, 294, 124, 270))
    ((294.0, 142.0), (294.0, 106.0))
    """
    count = piece.sort.bowls
    left, right = walls(piece.box)[0]
    mx, my = middle(walls(piece.box)[0])
    x, y, _, _ = piece.where
    found = []
    for i in range(count):
        s = (2 * i + 1) / (2 * count)
        along = left[0] + s * (right[0] - left[0]), left[1] + s * (right[1] - left[1])
        found.append((along[0] + x - mx, along[1] + y - my))
    return tuple(found)


def centers(ground: Ground, needs: Needs) -> tuple[Finding, ...]:
    """Fixtures side by side along one wall that stand too near, center to center."""
    wanted = needs.get(CENTERS)
    if wanted is None:
        return ()
    found = []
    plumbed = [piece for piece in ground.pieces if piece.sort.bowls]
    for first, second in combinations(plumbed, 2):
        if _along_one_wall(first, second):
            spots = ((a, _abreast(first, a, b)) for a in bowls(first) for b in bowls(second))
            nearest = min(spots, key=lambda pair: math.dist(*pair))
            found += _near(first, f"{first.name} {first.id}", second, nearest, wanted)
    for piece in plumbed:
        for pair in pairwise(bowls(piece)):
            found += _near(piece, f"one bowl of the {piece.name} {piece.id}", piece, pair, wanted)
    return tuple(found)


def _along_one_wall(first: Piece, second: Piece) -> bool:
    """Whether two pieces turn their backs to the same line and stand side by side."""
    if (first.turn - second.turn) % 360:
        return False
    back, other = walls(first.box)[0], walls(second.box)[0]
    (ax, ay), (bx, by) = back
    span = math.dist(*back)
    mx, my = middle(other)
    off = abs((mx - ax) * (by - ay) - (my - ay) * (bx - ax)) / span
    return off <= ONE_WALL


def _abreast(piece: Piece, a: Point, b: Point) -> Point:
    """The point on b's centerline level with a: centers are measured along the wall."""
    cos, sin = unit(piece.turn)
    along = (b[0] - a[0]) * cos + (b[1] - a[1]) * sin
    return a[0] + along * cos, a[1] + along * sin


def _near(
    first: Piece, told: str, second: Piece, spots: tuple[Point, Point], wanted: float
) -> list[Finding]:
    apart = math.dist(*spots)
    if apart >= wanted - EVEN:
        return []
    other = "the other" if first is second else f"{second.name} {second.id}"
    text = (
        f"{tape(apart)} from the center of {told} to the center of {other}, {tape(wanted)} wanted: "
        f"short {length(wanted - apart)}; the inspector decides; {PRACTICE}."
    )
    ids = tuple(dict.fromkeys((first.id, second.id)))
    return [
        Finding(
            "fixture centers",
            Word.SHORT,
            text,
            first.room,
            ids,
            by=wanted - apart,
            figure=CENTERS,
            at=spots,
            clear=apart,
            needs=wanted,
        )
    ]
