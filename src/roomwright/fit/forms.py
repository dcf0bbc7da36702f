"""The form of a piece in plan: rectangle, round, oval, racetrack, an L with wings, or as drawn.

A form is an outline about the piece's own center at turn 0, back to the south. Curves are chords
that stray at most 1/128 in. inside the true curve. What cannot be is said in `Form.wrong`, and
the piece is then its rectangle: the outermost reach, so that nothing is judged too mildly.
"""

import math
import re
from dataclasses import dataclass
from functools import lru_cache
from typing import Literal

import shapely

from roomwright.fit.features import PLAIN, Features, Wing
from roomwright.shape import CHORD, EVEN, TOUCH, Outline, anticlockwise, round_outline, tidy

Name = Literal["rectangle", "round", "oval", "racetrack", "L", "drawn"]

MOST_CORNERS = 400
"""A drawn outline of more corners is not a piece of furniture; it is taken as its rectangle."""

SEAT = 38.0
"""Depth of a sectional's seat where neither a wing nor `seat` tells it [in], common practice."""

_WORD = re.compile(r"\b(round|oval|racetrack)\b", re.IGNORECASE)


@dataclass(frozen=True, slots=True)
class Form:
    """A piece's form: its name, its outline about its center at turn 0, what is wrong with it."""

    name: Name
    outline: Outline
    wrong: str = ""

    @property
    def straight(self) -> bool:
        """Whether it is the plain rectangle."""
        return self.name == "rectangle"


@lru_cache(maxsize=4096)
def form(
    kind: str, width: float, depth: float, drawn: Outline = (), features: Features = PLAIN
) -> Form:
    """The form of a piece of a kind, `width` by `depth` [in].

    What is drawn comes first, then wings, then the shape that features or the kind's name tell.

    >>> form("oval dining table", 72, 42).name, form("sofa", 84, 38).name
    ('oval', 'rectangle')
    >>> from roomwright.fit.features import features_of
    >>> form("sectional", 110, 62, features=features_of("chaise left 36 x 62; seat 38")).outline
    ((-55.0, -31.0), (55.0, -31.0), (55.0, 31.0), (19.0, 31.0), (19.0, 7.0), (-55.0, 7.0))
    """
    plain = _rectangle(width, depth)
    if drawn:
        return _drawn(drawn, width, depth, plain)
    if features.wings:
        return _winged(width, depth, features, plain)
    said = _WORD.search(kind)
    name = features.shape or (said.group(1).lower() if said else "")
    if name == "round":
        return Form("round", round_outline(0.0, 0.0, width))
    if name == "oval":
        return Form("oval", ellipse(width, depth))
    if name == "racetrack":
        return Form("racetrack", racetrack(width, depth))
    return Form("rectangle", plain)


def _rectangle(width: float, depth: float) -> Outline:
    w, d = width / 2, depth / 2
    return (-w, -d), (w, -d), (w, d), (-w, d)


def ellipse(width: float, depth: float, chord: float = CHORD) -> Outline:
    """An ellipse about the origin as a polygon that strays at most `chord` inside it [in].

    Points are even in the ellipse's own parameter t. A chord over a step s lies farthest inside
    the arc at its middle, by at most ``max(a, b) (1 - cos(s / 2))``: an affine image of the
    circle's, stretched by no more than the larger half axis.

    >>> area = shapely.Polygon(ellipse(72, 42)).area
    >>> 0 < math.pi * 36 * 21 - area < 2 / 128 * math.pi * 57
    True
    """
    a, b = width / 2, depth / 2
    step = 2 * math.acos(max(0.0, 1 - chord / max(a, b, chord)))
    count = 4 * max(2, math.ceil(math.pi / 2 / step))
    turns = (2 * math.pi * i / count for i in range(count))
    return tuple((a * math.cos(t), b * math.sin(t)) for t in turns)


def racetrack(width: float, depth: float, chord: float = CHORD) -> Outline:
    """A rectangle with round ends about the origin: a round top with its leaf in.

    >>> ring = racetrack(66, 48)
    >>> max(x for x, _ in ring), max(y for _, y in ring)
    (33.0, 24.0)
    """
    if abs(width - depth) <= EVEN:
        return round_outline(0.0, 0.0, width, chord)
    disc = round_outline(0.0, 0.0, min(width, depth), chord)
    half = abs(width - depth) / 2
    east, west = ((half, 0.0), (-half, 0.0)) if width > depth else ((0.0, half), (0.0, -half))
    points = [(x + dx, y + dy) for x, y in disc for dx, dy in (east, west)]
    hull = shapely.convex_hull(shapely.MultiPoint(points))
    ring = [(x, y) for x, y in shapely.get_coordinates(hull).tolist()][:-1]
    return anticlockwise(tidy(ring))


def _drawn(drawn: Outline, width: float, depth: float, plain: Outline) -> Form:
    """An outline of one's own, if it is a simple ring within the piece's size."""
    wrong = drawn_wrong(drawn, width, depth)
    return Form("rectangle", plain, wrong) if wrong else Form("drawn", anticlockwise(tidy(drawn)))


def drawn_wrong(drawn: Outline, width: float | None, depth: float | None) -> str:
    """What is wrong with a drawn outline, or "".

    >>> drawn_wrong(((0, 0), (9, 9), (9, 0), (0, 9)), 20, 20)
    'its outline crosses itself'
    >>> drawn_wrong(((-8, -8), (30, -8), (0, 8)), 20, 20)
    'its outline reaches beyond its width and depth'
    """
    if len(drawn) > MOST_CORNERS:
        return f"its outline has more than {MOST_CORNERS} corners"
    if not all(math.isfinite(n) for point in drawn for n in point):
        return "its outline has a corner that is no place"
    ring = tidy(drawn)
    if len(ring) < 3:
        return "its outline has fewer than three corners"
    if not shapely.is_valid(shapely.Polygon(ring)) or shapely.Polygon(ring).area <= TOUCH:
        return "its outline crosses itself"
    for reach, size in ((0, width), (1, depth)):
        if size is not None and max(abs(point[reach]) for point in ring) > size / 2 + TOUCH:
            return "its outline reaches beyond its width and depth"
    return ""


def _winged(width: float, depth: float, features: Features, plain: Outline) -> Form:
    """An L or a U: the whole is `width` by `depth`, the seat between the wings less deep."""
    seat = seat_depth(depth, features)
    wrong = _wings_wrong(width, depth, seat, features.wings)
    if wrong:
        return Form("rectangle", plain, wrong)
    w, d = width / 2, depth / 2
    # Left and right are as one faces the front, which is north at turn 0: left is east.
    ring = [(-w, -d), (w, -d)]
    wings = {wing.side: wing for wing in features.wings}
    level = -d + seat
    if (left := wings.get("left")) is not None:
        ring += [(w, -d + left.depth), (w - left.width, -d + left.depth), (w - left.width, level)]
    else:
        ring += [(w, level)]
    if (right := wings.get("right")) is not None:
        ring += [(-w + right.width, level), (-w + right.width, -d + right.depth)]
        ring += [(-w, -d + right.depth)]
    else:
        ring += [(-w, level)]
    return Form("L", tidy(ring))


def seat_depth(depth: float, features: Features) -> float:
    """Depth of the seat between the wings: as said, or as deep as an L's return is wide [in]."""
    if features.seat is not None:
        return features.seat
    return min(depth, SEAT)


def _wings_wrong(width: float, depth: float, seat: float, wings: tuple[Wing, ...]) -> str:
    if max(wing.depth for wing in wings) > depth + TOUCH:
        return "its chaise is deeper than the piece: give the depth over all"
    if sum(wing.width for wing in wings) > width + TOUCH:
        return "its chaise is wider than the piece: give the width over all"
    if seat > depth + TOUCH or any(wing.depth < seat - TOUCH for wing in wings):
        return "its seat is deeper than its chaise: give the seat's depth, as in seat 38"
    return ""
