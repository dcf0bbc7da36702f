"""One place of a table judged exactly, as the rest of the fit engine judges it.

The walk paths are found with the table in place, the uses of its sides follow from them, and each
side is held against its figure. Walk paths that the table leaves as wide as they were do not count:
they bind without it too.
"""

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from itertools import combinations

import numpy as np
import shapely

from roomwright.fit import swings
from roomwright.fit.bounds import Floats, OpeningError
from roomwright.fit.clear import Ahead
from roomwright.fit.evaluate import label
from roomwright.fit.floor import FLAT, HAIR
from roomwright.fit.ground import Ground
from roomwright.fit.model import Needs, Opening, Piece, Side, Space
from roomwright.fit.overlaps import overlaps
from roomwright.fit.routes import Route, along
from roomwright.fit.sides import sides
from roomwright.fit.uses import FIGURE, Trail, crossed, zone
from roomwright.fit.walks import figure_of
from roomwright.fit.ways import Gap, Passage, Touch
from roomwright.shape import Outline, Segment, walls

EVEN = 1e-6

WALKING = "walking through"

NARROWED = 1e-4
"""A walk path that loses less than this to the table is as wide as it was [in]."""


@dataclass(frozen=True, slots=True)
class Bound:
    """What a table is held by: a side of it or a walk path, its clear width against a figure.

    `where` is "east end" or "walk path O1 to O4", `thing` what it ends at, `at` the two ends of
    the clear width, the table's first, `margin` what is left over (negative: short) [in].
    """

    where: str
    thing: str
    use: str
    clear: float
    needs: float
    figure: str
    at: Segment | None

    @property
    def margin(self) -> float:
        """Clear width less need [in]."""
        return self.clear - self.needs


@dataclass(frozen=True, slots=True)
class Trial:
    """A placed table with its sides and what holds it, tightest first."""

    piece: Piece
    sides: tuple[Side, ...]
    bounds: tuple[Bound, ...]

    @property
    def margin(self) -> float:
        """The tightest margin [in]."""
        return self.bounds[0].margin


@dataclass(frozen=True, slots=True)
class Paths:
    """The walk paths round a placed table: their lines, and those that the table narrows."""

    trails: tuple[Trail, ...]
    bounds: tuple[Bound, ...]


@dataclass(frozen=True, slots=True)
class Pair:
    """Two openings, the walk path between them without the table, and what it should be."""

    a: Opening
    b: Opening
    passage: Passage
    route: Route
    wanted: float
    figure: str

    @property
    def width(self) -> float:
        """Tightest width without the table [in]."""
        return self.route.gap.width

    @property
    def clear_of(self) -> float:
        """A table this far off the line leaves the path as it is [in].

        The line is drawn on chords: the true one strays from it by a little.
        """
        return self.width / 2 + FLAT + HAIR

    @property
    def line(self) -> shapely.LineString | None:
        """The line without the table; None where there is no way."""
        return shapely.LineString(self.route.points) if self.route.points else None


class Trials:
    """Judges places of one table in a space.

    Parameters
    ----------
    space
        The space without the table.
    needs
        Figures in force; `dining.rise` must be among them.
    room
        Outline that the table must stay in, where the space is larger than its room.
    judged
        Called before each place that is judged; may raise to stop.
    """

    def __init__(
        self,
        space: Space,
        needs: Needs,
        room: Outline | None = None,
        judged: Callable[[], None] = lambda: None,
    ) -> None:
        self._room = shapely.buffer(shapely.Polygon(room or space.outline), EVEN)
        shapely.prepare(self._room)
        self.space, self.needs, self._ask = space, needs, judged
        self.judged = 0
        self.ground = Ground(space)
        self.standing: list[shapely.Polygon] = [
            shape
            for body, shape in zip(self.ground.bodies, self.ground.shapes, strict=True)
            if body.what != "swing"
        ]
        self.pairs = tuple(self._pairs())

    def _pairs(self) -> list[Pair]:
        found = []
        for a, b in combinations(self.space.openings, 2):
            try:
                passage = Passage(self.ground.floor, self.standing, a.segment, b.segment)
            except OpeningError:
                continue
            figure = figure_of(self.ground.space, a, b)
            narrow = min(a.width, b.width)
            least = self.needs.get("walkway.minimum") or 0.0
            wanted = least if narrow < least else min(self.needs.get(figure) or 0.0, narrow)
            found.append(Pair(a, b, passage, along(passage), wanted, figure))
        return found

    @property
    def effort(self) -> int:
        """What has been done so far, in places: what bounds a search that finds nothing."""
        return self.judged

    def paths(self, piece: Piece, least: float = -math.inf) -> Paths | None:
        """The walk paths with the table in its place; None if one is narrowed to under `least`."""
        self._ask()
        self.judged += 1
        table = shapely.Polygon(piece.outline)
        bounds: list[Bound] = []
        later: list[tuple[Pair, Passage]] = []
        trails: list[Trail] = []
        for pair in self.pairs:
            line = pair.line
            if line is None:
                continue
            if shapely.distance(line, table) >= pair.clear_of:
                trails.append(Trail(pair.a.id, pair.b.id, pair.route.points))
                continue
            passage = Passage(
                self.ground.floor, [*self.standing, table], pair.a.segment, pair.b.segment
            )
            gap = passage.tightest
            if gap.width < pair.width - NARROWED:
                bounds.append(self._narrowed(pair, gap, piece))
                if bounds[-1].margin < least:
                    return None
            later.append((pair, passage))
        for pair, passage in later:
            points = along(passage).points
            if points:
                trails.append(Trail(pair.a.id, pair.b.id, points))
        return Paths(tuple(self._in_order(trails)), tuple(bounds))

    def of(self, piece: Piece, paths: Paths | None = None) -> Trial | None:
        """A place judged, given its walk paths or not; None if the table stands in something."""
        paths = paths or self.paths(piece)
        if paths is None:
            return None
        ground = self.ground.with_piece(piece)
        found = sides(ground, piece, self.needs, paths.trails)
        bounds = [self._side(piece, side) for side in found if side.margin is not None]
        bounds += paths.bounds
        if not bounds or self._bars(ground, piece):
            return None
        return Trial(piece, found, tuple(sorted(bounds, key=lambda bound: bound.margin)))

    def most(self, corners: Floats, piece: Piece) -> Floats:
        """The most that margins can be for boxes (n, 4, 2) beyond what their own sides have."""
        return np.full(len(corners), math.inf)

    def walked(self, piece: Piece, paths: Paths) -> list[bool]:
        """Which sides (back, left, front, right) are walked past."""
        depth = self.needs.get(FIGURE["walk past"]) or 0.0
        return [crossed(zone(edge, depth), paths.trails) is not None for edge in walls(piece.box)]

    def _in_order(self, trails: Sequence[Trail]) -> list[Trail]:
        """As walk paths are listed, so that a side names the same one."""
        order = {(pair.a.id, pair.b.id): k for k, pair in enumerate(self.pairs)}
        return sorted(trails, key=lambda trail: order[trail.from_, trail.to])

    def _narrowed(self, pair: Pair, gap: Gap, piece: Piece) -> Bound:
        """A walk path that the table narrows: between the table and what."""
        table = Touch("obstacle", len(self.standing))
        swapped = gap.p_on != table
        on = gap.p_on if swapped else gap.q_on
        return Bound(
            where=f"walk path {pair.a.id} to {pair.b.id}",
            thing=self._name(on, pair),
            use=WALKING,
            clear=gap.width,
            needs=pair.wanted,
            figure=pair.figure,
            at=(gap.q, gap.p) if swapped else (gap.p, gap.q),
        )

    def _name(self, on: Touch, pair: Pair) -> str:
        """What an end of a gap lies on, as a builder calls it."""
        if on.kind == "jamb":
            return f"jamb of {(pair.a, pair.b)[on.index].id}"
        if on.kind == "obstacle":
            bodies = [body for body in self.ground.bodies if body.what != "swing"]
            if on.index >= len(bodies):  # the path is shut: the table touches something there
                return "what it touches"
            return f"{bodies[on.index].name} {bodies[on.index].id}"
        wall = on.index
        for ring, outline in enumerate(self.ground.rings):
            if wall < len(outline):
                return self.ground.name_of(Ahead(0.0, ring, wall, outline[0], outline[0]))[0]
            wall -= len(outline)
        return "wall"

    def _side(self, piece: Piece, side: Side) -> Bound:
        return Bound(
            where=label(piece, side),
            thing=side.binding,
            use=side.use,
            clear=side.clear if side.clear is not None else float("inf"),
            needs=side.needs or 0.0,
            figure=side.figure,
            at=side.at,
        )

    def _bars(self, ground: Ground, piece: Piece) -> bool:
        """Whether it stands before an opening, in a swing, over something, or out of its room."""
        if not shapely.covers(self._room, shapely.Polygon(piece.outline)):
            return True
        if overlaps(ground, piece):
            return True
        barred = (*swings.before_openings(ground, self.needs), *swings.against_things(ground))
        return any(piece.id in finding.ids for finding in barred)


def without(space: Space, ids: Sequence[str]) -> Space:
    """A space without some pieces or fixed things."""
    return replace(
        space,
        pieces=tuple(p for p in space.pieces if p.id not in ids),
        fixed=tuple(body for body in space.fixed if body.id not in ids),
    )
