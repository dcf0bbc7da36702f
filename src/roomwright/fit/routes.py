"""The line of a walking route: of the widest routes between two openings the shortest.

The body is as wide as the tightest gap lets it be; its center keeps half that width from
everything solid. Over the floor that is left the shortest line is a taut string, straight but where
it turns about a corner: found over the graph of the straight pieces that touch the corners at both
ends. See docs/ways.md.
"""

import heapq
import math
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

import shapely

from roomwright.fit.floor import FLAT, HAIR, Sight, grown
from roomwright.fit.gaps import EQUAL
from roomwright.fit.solids import Geometries, Solids
from roomwright.fit.ways import Gap, Passage
from roomwright.shape import Point, Segment, foot, middle

_NEARLY = 2 * (FLAT + HAIR) + 1 / 32
_JUST = 1e-3


@dataclass(frozen=True, slots=True)
class Route:
    """A walking route: its line from opening to opening, its length [in] and its tightest gap.

    Where there is no way `points` is empty and `length` infinite; so too where the space itself
    comes back behind an opening, as no real one does, and something there stands in the line.
    """

    points: tuple[Point, ...]
    length: float
    gap: Gap


def route(
    space: shapely.Polygon,
    obstacles: Sequence[shapely.Polygon],
    a: Segment,
    b: Segment,
    ready: Solids | None = None,
) -> Route:
    """The shortest of the widest routes from the middle of opening `a` to that of `b`.

    Takes the arguments of `roomwright.fit.ways.Passage` and raises the same errors. Where a
    middle is too near something for the body, the line ends at the nearest place that is not.
    `gap` lies on this route: of gaps equally tight one that it passes.

    Examples
    --------
    >>> room = shapely.box(0, 0, 162, 150)
    >>> table, sideboard = shapely.box(39, 63, 123, 105), shapely.box(51, 0, 111, 18)
    >>> east, north = ((162, 20), (162, 80)), ((51, 150), (111, 150))
    >>> found = route(room, [table, sideboard], east, north)
    >>> found.gap.width, round(found.length), found.points[0], found.points[-1]
    (39.0, 142, (162.0, 50.0), (81.0, 150.0))
    """
    return along(Passage(space, obstacles, a, b, ready))


def along(passage: Passage) -> Route:
    """The route through a passage; see `route`.

    The line is sought among the few things that are in its way; what it then meets is in the way
    too, and it is sought again. A line that meets nothing more is the shortest of all, for no
    thing more makes one shorter.
    """
    gap = passage.tightest
    if gap.blocked:
        return Route((), math.inf, gap)
    solid = grown(passage, gap.width)
    ends = passage.bounds.openings
    line = shapely.linestrings([_just_inside(jambs) for jambs in ends])
    met = shapely.intersects(solid, line)
    if not met.any() and shapely.contains_properly(passage.space, line):
        found = _checked(passage, tuple(middle(jambs) for jambs in ends))
        if isinstance(found, Route):
            return found
    floor = _less(passage.space, solid[met])
    while (stands := _taut(floor, passage)) is not None:
        more = shapely.intersects(solid, shapely.linestrings(stands)) & ~met
        if more.any():
            met |= more
            floor = _less(floor, solid[more])
            continue
        found = _checked(passage, _onto_openings(stands, ends))
        if isinstance(found, Route):
            return found
        # the chords let the line through where the body does not fit: shut that and look again
        bars = shapely.union_all([shapely.LineString([g.p, g.q]) for g in found])
        floor = shapely.difference(floor, shapely.buffer(bars, _JUST))
    return Route((), math.inf, gap)  # what stands just behind an opening closes it for the line


def _less(floor: shapely.Geometry, solid: Geometries) -> shapely.Geometry:
    """A floor less what the center of the body keeps out of."""
    return shapely.difference(floor, shapely.union_all(solid)) if len(solid) else floor


def _checked(passage: Passage, points: tuple[Point, ...]) -> Route | list[Gap]:
    """The route along a line; or the gaps it takes that are narrower than the tightest."""
    gap = passage.tightest
    line = shapely.linestrings(points)
    narrower = passage.crossed(line, gap.width - _NEARLY, gap.width - 2 * EQUAL)
    if narrower:
        return narrower
    tied = passage.crossed(line, gap.width - 2 * EQUAL, gap.width + 2 * EQUAL)
    return Route(points, _length(points), tied[0] if tied else gap)


def alternatives(
    space: shapely.Polygon,
    obstacles: Sequence[shapely.Polygon],
    a: Segment,
    b: Segment,
    most: int = 3,
) -> tuple[Route, ...]:
    """The route, then the other ways round, each found with the gaps of those before it shut.

    The widest comes first, and of equally wide ones the shortest. Ends when the tightest place
    is an opening itself, or when there is no other way.

    >>> room, table = shapely.box(0, 0, 162, 150), shapely.box(39, 63, 123, 105)
    >>> east, north = ((162, 20), (162, 80)), ((51, 150), (111, 150))
    >>> [(r.gap.width, round(r.length)) for r in alternatives(room, [table], east, north)]
    [(39.0, 142), (39.0, 276)]
    """
    found: list[Route] = []
    bars: list[shapely.Polygon] = []
    while len(found) < most:
        try:
            way = along(Passage(space, [*obstacles, *bars], a, b))
        except ValueError:
            if not bars:
                raise
            break
        if not way.points:
            return tuple(found) if found else (way,)
        found.append(way)
        if way.gap.p_on.kind == way.gap.q_on.kind == "jamb":
            break
        bar = shapely.LineString([way.gap.p, way.gap.q])
        bars.append(shapely.buffer(bar, 1e-3, cap_style="flat"))
    return tuple(found)


def shortest_line(floor: shapely.Polygon, start: Point, end: Point) -> tuple[Point, ...] | None:
    """The shortest line over a floor from a point to another, both within; None if there is none.

    >>> room = shapely.Polygon([(0, 0), (90, 0), (90, 30), (30, 30), (30, 90), (0, 90)])
    >>> [(round(x), round(y)) for x, y in shortest_line(room, (80, 10), (10, 80))]
    [(80, 10), (30, 30), (10, 80)]
    """
    if shapely.covers(floor, shapely.LineString([start, end])):
        return start, end
    sight = Sight(floor, (start, end))
    path = _shortest(sight)
    return None if path is None else tuple((float(sight.x[k]), float(sight.y[k])) for k in path)


def _taut(floor: shapely.Geometry, passage: Passage) -> tuple[Point, ...] | None:
    """The shortest line over a floor from just inside one opening to the other; None if none."""
    lines = (_over(part, *passage.bounds.openings) for part in shapely.get_parts(floor))
    return min(filter(None, lines), key=_length, default=None)


def _length(points: Sequence[Point]) -> float:
    return sum(math.dist(p, q) for p, q in pairwise(points))


def _over(floor: shapely.Polygon, a: Segment, b: Segment) -> tuple[Point, ...] | None:
    """The shortest line over one part of the floor, if it reaches both openings."""
    start, end = _stand(floor, a), _stand(floor, b)
    if start is None or end is None:
        return None
    sight = Sight(floor, (start, end))
    path = _shortest(sight)
    if path is None:
        return None
    turns = [(float(sight.x[k]), float(sight.y[k])) for k in path[1:-1]]
    return start, *turns, end


def _onto_openings(stands: Sequence[Point], ends: tuple[Segment, Segment]) -> tuple[Point, ...]:
    """A line from just inside one opening to just inside the other, on to the openings."""
    return _onto(stands[0], ends[0]), *stands[1:-1], _onto(stands[-1], ends[1])


def _just_inside(jambs: Segment) -> Point:
    """The middle of an opening, a hair inside the floor."""
    (ax, ay), (bx, by) = jambs
    width = math.dist(*jambs)
    mx, my = middle(jambs)
    return mx - _JUST * (by - ay) / width, my + _JUST * (bx - ax) / width


def _stand(floor: shapely.Geometry, jambs: Segment) -> Point | None:
    """Where in an opening, just inside it, the line ends: the middle or nearest to it."""
    (ax, ay), (bx, by) = jambs
    width = math.dist(*jambs)
    nx, ny = -_JUST * (by - ay) / width, _JUST * (bx - ax) / width
    mx, my = middle(jambs)
    if shapely.contains_xy(floor, mx + nx, my + ny):
        return mx + nx, my + ny
    spot = shapely.Point(mx + nx, my + ny)
    across = shapely.LineString([(ax + nx, ay + ny), (bx + nx, by + ny)])
    parts = shapely.get_parts(shapely.intersection(floor, across))
    parts = parts[shapely.length(parts) > 0]
    if not len(parts):
        return None
    near = parts[shapely.distance(parts, spot).argmin()]
    at = shapely.line_locate_point(near, spot)
    slack = min(_JUST, near.length / 2)
    stand = shapely.line_interpolate_point(near, min(max(at, slack), near.length - slack))
    return float(stand.x), float(stand.y)


def _onto(end: Point, jambs: Segment) -> Point:
    """An end of the line on the opening itself."""
    x, y = foot(end, jambs)
    mid = middle(jambs)
    return mid if math.dist(mid, (x, y)) < 2 * _JUST else (x, y)


def _shortest(sight: Sight) -> list[int] | None:
    """Nodes of the shortest line from node 0 to node 1 (A*, ahead straight to the end)."""
    seen, ahead = sight.distances(), sight.straight_to_end()
    best = [math.inf] * len(ahead)
    best[0] = 0.0
    came = [0] * len(ahead)
    done: set[int] = set()
    queue = [(ahead[0], 0)]
    while queue:
        _, node = heapq.heappop(queue)
        if node == 1:
            path = [1]
            while path[-1]:
                path.append(came[path[-1]])
            return path[::-1]
        if node in done:
            continue
        done.add(node)
        for other, more in enumerate(seen[node].tolist()):
            reach = best[node] + more
            if reach < best[other] - 1e-9:
                best[other], came[other] = reach, node
                heapq.heappush(queue, (reach + ahead[other], other))
    return None
