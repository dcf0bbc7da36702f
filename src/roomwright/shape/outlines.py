"""Outlines and their walls: area, crossings, what touches, what lies in which wall."""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

import numpy as np
import shapely

Point = tuple[float, float]
Outline = tuple[Point, ...]
Segment = tuple[Point, Point]

TOUCH = 1 / 64
"""Closer than this is touching, and overlapping by less than this is touching [in]."""

EVEN = 1e-6
"""Points closer than this are one point: float rounding, far below any tape [in]."""

WINDS = ["east", "northeast", "north", "northwest", "west", "southwest", "south", "southeast"]


@dataclass(frozen=True, slots=True)
class Crossing:
    """Two walls of one outline that meet where they must not.

    `first` and `second` are wall indices, `at` the point where they meet [in].
    """

    first: int
    second: int
    at: Point


def letter(index: int) -> str:
    """Name of corner or wall number `index`: A, B, ... Z, AA, AB.

    Wall A runs from corner A to corner B, in the order of the outline.

    >>> letter(0), letter(25), letter(26), letter(27)
    ('A', 'Z', 'AA', 'AB')
    """
    name = ""
    index += 1
    while index:
        index, digit = divmod(index - 1, 26)
        name = chr(65 + digit) + name
    return name


def index_of(name: str) -> int:
    """Number of the corner or wall called `name`; the inverse of `letter`.

    >>> index_of("C"), index_of("ab")
    (2, 27)

    Raises
    ------
    ValueError
        If `name` is not made of the letters A to Z.
    """
    name = name.strip().upper()
    if not name or not all("A" <= char <= "Z" for char in name):
        raise ValueError(f"a wall or corner is named by letters, A, B, C ..., not {name!r}")
    number = 0
    for char in name:
        number = number * 26 + ord(char) - 64
    return number - 1


def walls(outline: Sequence[Point]) -> list[Segment]:
    """The sides of an outline in order; wall i runs from corner i to corner i + 1."""
    return list(pairwise([*outline, outline[0]]))


def signed_area(outline: Sequence[Point]) -> float:
    """Area of an outline [in2], positive when its corners run anticlockwise.

    >>> signed_area([(0, 0), (162, 0), (162, 150), (0, 150)])
    24300.0
    """
    (x0, y0) = outline[0]
    return 0.5 * sum(
        (ax - x0) * (by - y0) - (bx - x0) * (ay - y0) for (ax, ay), (bx, by) in walls(outline)
    )


def area(outline: Sequence[Point]) -> float:
    """Area of an outline [in2], whichever way it runs."""
    return abs(signed_area(outline))


def perimeter(outline: Sequence[Point]) -> float:
    """Length all round an outline [in].

    >>> perimeter([(0, 0), (162, 0), (162, 150), (0, 150)])
    624.0
    """
    return sum(math.dist(a, b) for a, b in walls(outline))


def anticlockwise(outline: Sequence[Point]) -> Outline:
    """The same outline, its corners run anticlockwise; the first corner stays first."""
    ring = tuple((float(x), float(y)) for x, y in outline)
    return ring if signed_area(ring) >= 0 else (ring[0], *reversed(ring[1:]))


DUST = 1e-12
"""A coordinate nearer to 0 than this is 0 [in]: its square is lost in double precision."""


def dusted(corner: Point) -> Point:
    """A point whose coordinates are 0 where they are as good as 0.

    >>> dusted((1e-300, 4.0)), dusted((3, -4))
    ((0.0, 4.0), (3, -4))
    """
    x, y = corner
    return x if x == 0 or abs(x) > DUST else 0.0, y if y == 0 or abs(y) > DUST else 0.0


def tidy(outline: Sequence[Point], tolerance: float = EVEN) -> Outline:
    """The same outline without corners that repeat the one before, and without dust.

    >>> tidy([(0, 0), (4, 0), (4, 0), (4, 4), (0, 0)])
    ((0, 0), (4, 0), (4, 4))
    """
    kept: list[Point] = []
    for corner in map(dusted, outline):
        if not kept or math.dist(kept[-1], corner) > tolerance:
            kept.append(corner)
    while len(kept) > 1 and math.dist(kept[0], kept[-1]) <= tolerance:
        kept.pop()
    return tuple(kept)


def lettered(outline: Sequence[Point]) -> tuple[tuple[str, Segment], ...]:
    """Walls of an outline with their letters, A first, each with the room on its left.

    Corner A is the first point that was recorded and wall A runs to corner B, whichever way round
    the outline was recorded.

    >>> lettered([(0, 0), (0, 90), (120, 90), (120, 0)])[0]
    ('A', ((0, 90), (0, 0)))
    """
    turned = signed_area(outline) < 0
    return tuple(
        (letter(k), (b, a) if turned else (a, b)) for k, (a, b) in enumerate(walls(outline))
    )


def middle(segment: Segment) -> Point:
    """The point half way along a segment."""
    (ax, ay), (bx, by) = segment
    return (ax + bx) / 2, (ay + by) / 2


def centre(outline: Sequence[Point]) -> Point:
    """Centre of area of an outline."""
    spot = shapely.Polygon(outline).centroid
    return spot.x, spot.y


def crossing(outline: Sequence[Point], tolerance: float = 1e-6) -> Crossing | None:
    """The first place where an outline meets itself, or None if it is simple.

    Two walls that cross, a wall that runs back over its neighbor, and a corner that lies on
    another wall all count. Walls that follow each other share their corner and may.

    >>> crossing([(0, 0), (10, 0), (10, 10), (0, 10)]) is None
    True
    >>> crossing([(0, 0), (10, 10), (10, 0), (0, 10)])
    Crossing(first=0, second=2, at=(5.0, 5.0))
    """
    sides = walls(outline)
    count = len(sides)
    for i, first in enumerate(sides):
        for j in range(i + 1, count):
            beside = j == i + 1 or (i == 0 and j == count - 1)
            at = _folds_back(first, sides[j], tolerance) if beside else None
            if not beside:
                at = meeting(first, sides[j], tolerance)
            if at is not None:
                return Crossing(i, j, at)
    return None


def _folds_back(first: Segment, second: Segment, tolerance: float) -> Point | None:
    """Where one of two neighbors runs back over the other, if it does."""
    shared = next((p for p in first if p in second), None)
    if shared is None:
        return None
    far_first = first[1] if first[0] == shared else first[0]
    far_second = second[1] if second[0] == shared else second[0]
    ax, ay = far_first[0] - shared[0], far_first[1] - shared[1]
    bx, by = far_second[0] - shared[0], far_second[1] - shared[1]
    if ax * bx + ay * by <= 0:
        return None
    if distance_to(far_first, second) <= tolerance:
        return far_first
    if distance_to(far_second, first) <= tolerance:
        return far_second
    return None


def meeting(first: Segment, second: Segment, tolerance: float = 1e-6) -> Point | None:
    """A point that two segments share, or None.

    >>> meeting(((0, 0), (4, 4)), ((0, 4), (4, 0)))
    (2.0, 2.0)
    """
    (ax, ay), (bx, by) = first
    (cx, cy), (dx, dy) = second
    rx, ry, sx, sy = bx - ax, by - ay, dx - cx, dy - cy
    cross = rx * sy - ry * sx
    if abs(cross) > 1e-12 * (abs(rx) + abs(ry)) * (abs(sx) + abs(sy)):
        t = ((cx - ax) * sy - (cy - ay) * sx) / cross
        u = ((cx - ax) * ry - (cy - ay) * rx) / cross
        if 0 <= t <= 1 and 0 <= u <= 1:
            return ax + t * rx, ay + t * ry
    ends = [(p, second) for p in first] + [(p, first) for p in second]
    return next((p for p, other in ends if distance_to(p, other) <= tolerance), None)


def foot(point: Point, segment: Segment) -> Point:
    """The point of a segment nearest to `point`."""
    (ax, ay), (bx, by) = segment
    dx, dy = bx - ax, by - ay
    length2 = dx * dx + dy * dy
    if length2 == 0:
        return segment[0]
    t = ((point[0] - ax) * dx + (point[1] - ay) * dy) / length2
    t = min(1.0, max(0.0, t))
    return ax + t * dx, ay + t * dy


def distance_to(point: Point, segment: Segment) -> float:
    """Distance from a point to a segment [in]."""
    return math.dist(point, foot(point, segment))


def inside(point: Point, outline: Sequence[Point], tolerance: float = TOUCH) -> bool:
    """Whether a point lies in an outline or within `tolerance` of its edge."""
    return bool(shapely.dwithin(shapely.Polygon(outline), shapely.Point(point), tolerance))


def overlaps(
    first: Sequence[Point], second: Sequence[Point], tolerance: float = TOUCH
) -> tuple[float, float] | None:
    """By how much two outlines overlap [in], as the wider and the narrower extent.

    None where they are apart, touch, or overlap by less than `tolerance`.
    """
    shared = shapely.intersection(shapely.Polygon(first), shapely.Polygon(second))
    return extent(shared, tolerance)


def extent(shape: shapely.Geometry, tolerance: float = TOUCH) -> tuple[float, float] | None:
    """Length and width of the smallest rectangle round a shape [in]; None if it is a sliver."""
    if float(shapely.area(shape)) <= tolerance * tolerance:
        return None
    box = shapely.oriented_envelope(shapely.transform(shape, lambda xy: np.round(xy, 9)))  # no dust
    if not isinstance(box, shapely.Polygon):
        return None
    a, b, c = box.exterior.coords[:3]
    sizes = sorted((math.dist(a, b), math.dist(b, c)))
    return None if sizes[0] <= tolerance else (sizes[1], sizes[0])


def wall_under(outline: Sequence[Point], segment: Segment, tolerance: float = TOUCH) -> int | None:
    """Index of the wall that a segment lies on, or None if it lies on none.

    >>> wall_under([(0, 0), (162, 0), (162, 150), (0, 150)], ((162, 20), (162, 80)))
    1
    """
    for index, wall in enumerate(walls(outline)):
        if all(distance_to(end, wall) <= tolerance for end in segment):
            return index
    return None


def nearest_wall(outline: Sequence[Point], segment: Segment) -> tuple[int, float]:
    """The wall that a segment would have to move least to lie on, and how far that is [in]."""
    gaps = [max(distance_to(end, wall) for end in segment) for wall in walls(outline)]
    index = min(range(len(gaps)), key=gaps.__getitem__)
    return index, gaps[index]


def project(segment: Segment, face: Segment) -> Segment | None:
    """Carry a segment straight across onto a wall face; None if it misses the face.

    What hangs over an end of the face is cut off.

    >>> project(((162, 304), (162, 336)), ((166.5, 348), (166.5, 288)))
    ((166.5, 304.0), (166.5, 336.0))
    """
    (ax, ay), (bx, by) = face
    length = math.dist(*face)
    if length == 0:
        return None
    tx, ty = (bx - ax) / length, (by - ay) / length
    along = [(x - ax) * tx + (y - ay) * ty for x, y in segment]
    cut = [0.0 if s <= EVEN else length if s >= length - EVEN else s for s in along]
    if abs(cut[1] - cut[0]) <= TOUCH:
        return None
    first, second = ((ax + s * tx, ay + s * ty) for s in cut)
    return first, second


def through_wall(
    segment: Segment, outline: Sequence[Point], thickest: float = 16.0
) -> tuple[int, Segment] | None:
    """Where an opening given on one face of a wall shows on the face of the room behind it.

    Takes the nearest wall of `outline` that runs along `segment` (within 10 degrees), at most
    `thickest` inches away; returns its index and the opening's two ends on it.

    >>> room = [(166.5, 0), (279, 0), (279, 96), (166.5, 96)]
    >>> through_wall(((162, 20), (162, 80)), room)
    (3, ((166.5, 20.0), (166.5, 80.0)))
    """
    best: tuple[float, int, Segment] | None = None
    length = math.dist(*segment)
    sx, sy = segment[1][0] - segment[0][0], segment[1][1] - segment[0][1]
    for index, wall in enumerate(walls(outline)):
        wx, wy = wall[1][0] - wall[0][0], wall[1][1] - wall[0][1]
        if abs(sx * wy - sy * wx) > math.sin(math.radians(10)) * length * math.dist(*wall):
            continue
        shown = project(segment, wall)
        if shown is None:
            continue
        gap = max(distance_to(p, segment) for p in shown)
        if gap <= thickest and (best is None or gap < best[0]):
            best = gap, index, shown
    return None if best is None else best[1:]


def outward(segment: Segment) -> Point:
    """Unit vector straight out of a side of an anticlockwise outline."""
    (ax, ay), (bx, by) = segment
    length = math.dist(*segment)
    return (by - ay) / length, (ax - bx) / length


def compass(direction: Point) -> str:
    """The nearest of eight compass words for a direction; north is +y.

    >>> compass((0, -1)), compass((1, 1))
    ('south', 'northeast')
    """
    turn = math.degrees(math.atan2(direction[1], direction[0]))
    return WINDS[round(turn / 45) % 8]
