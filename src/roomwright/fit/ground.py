"""A space made ready for many questions: what stands in it, as shapes and as arrays of edges.

An obstruction is whatever a body meets at its outermost reach: walls, fixed things, pieces, the
swings of doors, and the floor under a sloped ceiling that is too low to stand. Chairs and rugs move
out of the way, and what hangs over head height is walked under; neither obstructs.
"""

import math
from collections.abc import Collection, Sequence
from dataclasses import replace
from functools import cached_property

import shapely

from roomwright.fit.ceilings import low_floor
from roomwright.fit.clear import Ahead, Edges, clear_ahead
from roomwright.fit.coarse import taken
from roomwright.fit.kinds import Kind
from roomwright.fit.model import HEADROOM, Body, Leaf, Piece, Space
from roomwright.fit.profile import clear_from
from roomwright.shape import (
    TOUCH,
    Outline,
    Point,
    Segment,
    anticlockwise,
    compass,
    outward,
    signed_area,
    tidy,
    walls,
)

HAIR = 8e-7
"""Half the thickness of a wall that was drawn without any: as good as none, not nothing [in]."""

_FLAT = 1e-3
"""A ring of less than this is looked at for having no width at all [sq in]."""

SERVED_SIDE = 2
"""Index of a piece's front among the sides of its outline."""


def piece_body(piece: Piece) -> Body:
    """A placed piece as an obstruction."""
    high = piece.height if piece.height is not None else float("inf")
    return Body(
        piece.id,
        piece.name,
        piece.kind,
        "piece",
        piece.outline,
        0.0,
        high,
        piece.id,
        piece.room,
        piece.own,
    )


def leaf_body(leaf: Leaf) -> Body:
    """The swing of a door leaf as an obstruction."""
    name = f"swing of {leaf.opening}"
    return Body(
        leaf.id, name, "swing", "swing", leaf.outline, 0.0, HEADROOM, leaf.opening, leaf.into
    )


def reach(outline: Outline) -> Outline:
    """The ring of an obstruction; what is drawn as a mere line is a wall as thin as can be.

    The line may bend, and its corners may lie off it by as much as floats round.

    >>> reach(((120, 0), (120, 200), (120, 100)))[0] != reach(((120, 0), (120, 200)))[2]
    True
    >>> bent = reach(((0, 0), (90, 0), (90, 60), (90, 0)))
    >>> [round(v) for v in shapely.Polygon(bent).bounds], shapely.Polygon(bent).area < 1e-3
    ([0, 0, 90, 60], True)
    >>> reach(((120, 0),))
    ((120, 0),)
    """
    ring = tidy(outline)
    if len(ring) < 2 or abs(signed_area(ring)) > _FLAT:
        return ring
    end = max(ring, key=lambda p: math.dist(p, ring[0]))
    far = end, max(ring, key=lambda p: math.dist(p, end))  # its two ends, where it is straight
    if max(_off(far, p) for p in ring) <= 2 * HAIR:  # rounding alone keeps it off the line
        return _thin(far)
    parts = [shapely.Polygon(_thin(edge)) for edge in walls(ring) if math.dist(*edge) > HAIR]
    thin = shapely.union_all(parts)
    if not isinstance(thin, shapely.Polygon) or len(thin.interiors):
        return ring  # it has a width, or crosses itself
    return tuple((float(x), float(y)) for x, y in shapely.get_coordinates(thin)[:-1])


def _off(line: Segment, p: Point) -> float:
    """How far a point lies off a line through two others [in]."""
    (ax, ay), (bx, by) = line
    return abs((bx - ax) * (p[1] - ay) - (by - ay) * (p[0] - ax)) / math.dist(*line)


def _thin(line: Segment) -> Outline:
    """A line as a wall as thin as can be, a hair longer at both ends so that bends close."""
    (ax, ay), (bx, by) = line
    tx, ty = HAIR * (bx - ax) / math.dist(*line), HAIR * (by - ay) / math.dist(*line)
    return (
        (ax - tx + ty, ay - ty - tx),
        (bx + tx + ty, by + ty - tx),
        (bx + tx - ty, by + ty + tx),
        (ax - tx - ty, ay - ty + tx),
    )


def _solid(body: Body) -> shapely.Polygon:
    polygon = shapely.Polygon(body.outline)
    if shapely.is_valid(polygon):
        return polygon
    hull = shapely.convex_hull(polygon)
    return hull if isinstance(hull, shapely.Polygon) else shapely.Polygon()


class Ground:
    """A space with its obstructions, and the pieces that stand on it.

    `rings` bound the free floor (the outline first, then its holes); `bodies` are what obstructs.
    In `edges` the rings come first, so body number i is owner ``len(rings) + i``.
    """

    def __init__(self, space: Space) -> None:
        fixed, self.coarse = taken(space.fixed)
        if self.coarse:
            space = replace(space, fixed=fixed)
        self.space = space
        self.rings: tuple[Outline, ...] = tuple(
            anticlockwise(tidy(ring)) for ring in (space.outline, *space.holes)
        )
        self.floor: shapely.Polygon = shapely.Polygon(self.rings[0], self.rings[1:])
        shapely.prepare(self.floor)
        self.pieces: tuple[Piece, ...] = tuple(piece for piece in space.pieces if piece.placed)
        standing = [piece_body(p) for p in self.pieces if not p.sort.loose]
        bodies = [*space.fixed, *map(leaf_body, space.leaves), *standing, *low_floor(space)]
        self.bodies: tuple[Body, ...] = tuple(
            replace(body, outline=anticlockwise(outline))
            for body in bodies
            if body.low < HEADROOM and len(outline := reach(body.outline)) > 2
        )
        self.kinds: tuple[Kind, ...] = tuple(body.sort for body in self.bodies)
        self.edges = Edges(
            [*self.rings, *(body.outline for body in self.bodies)], within=len(self.rings)
        )

    @cached_property
    def shapes(self) -> tuple[shapely.Polygon, ...]:
        """The bodies as polygons, in order; a crossed outline as its hull, its outermost reach."""
        return tuple(map(_solid, self.bodies))

    @cached_property
    def roomy(self) -> shapely.Polygon:
        """The floor and a little more: what runs along a wall lies in it."""
        grown = shapely.buffer(self.floor, TOUCH, join_style="mitre")
        shapely.prepare(grown)
        return grown

    @cached_property
    def swings(self) -> tuple[int, ...]:
        """Owner numbers of the swings."""
        return self.owners(what="swing")

    def owners(
        self, *, what: str = "", ids: Collection[str] = (), kinds: Collection[str] = ()
    ) -> tuple[int, ...]:
        """Owner numbers of the bodies of one sort, with one of some ids, or of some kinds."""
        first = len(self.rings)
        return tuple(
            first + number
            for number, (body, kind) in enumerate(zip(self.bodies, self.kinds, strict=True))
            if body.what == what or body.owner in ids or body.id in ids or kind.name in kinds
        )

    def body(self, owner: int) -> Body | None:
        """The body with an owner number; None for a wall."""
        return self.bodies[owner - len(self.rings)] if owner >= len(self.rings) else None

    def ahead(self, side: Segment, skip: Collection[int] = ()) -> Ahead | None:
        """What a side meets first, straight out; see `clear_ahead`."""
        return clear_ahead(side, self.edges, tuple(skip))

    def beyond(self, piece: Piece, side: Segment, skip: Collection[int] = ()) -> Ahead | None:
        """What a piece meets first, straight out in the direction of one side of its box.

        From its real outline: the seat front of an L, the edge of an oval.
        """
        if piece.straight or piece.round:
            return self.ahead(side, skip)
        return clear_from(self._in_room(piece), side, self.edges, tuple(skip))

    def stands_in(self, piece: Piece, sides: Sequence[Segment]) -> tuple[Segment, ...]:
        """Sides of a piece, each less what of it sticks into a wall: nothing is clear there.

        A side that lies in the wall from end to end stays as it is.
        """
        whole = shapely.Polygon(piece.outline)
        if shapely.covers(self.floor, whole) or shapely.covers(self.roomy, whole):
            return tuple(sides)
        return tuple(self._inside(side) for side in sides)

    def _inside(self, side: Segment) -> Segment:
        """The longest part of a side that is in the room; all of it if none is."""
        (ax, ay), (bx, by) = side
        parts = shapely.get_parts(shapely.intersection(self.roomy, shapely.linestrings(side)))
        longest = max(parts.tolist(), key=shapely.length, default=shapely.Point(side[0]))
        if shapely.length(longest) <= TOUCH:
            return side
        first, last = shapely.get_coordinates(longest)[[0, -1]].tolist()
        if (last[0] - first[0]) * (bx - ax) + (last[1] - first[1]) * (by - ay) < 0:
            first, last = last, first
        return (first[0], first[1]), (last[0], last[1])

    def _in_room(self, piece: Piece) -> Outline:
        """The outline of a piece, less what of it sticks into a wall."""
        whole = shapely.Polygon(piece.outline)
        if shapely.covers(self.floor, whole) or not shapely.is_valid(whole):
            return piece.outline
        parts = shapely.get_parts(shapely.intersection(self.floor, whole)).tolist()
        most = max(parts, key=shapely.area, default=shapely.Polygon())
        if shapely.area(most) <= TOUCH or not isinstance(most, shapely.Polygon):
            return piece.outline
        ring = tuple((float(x), float(y)) for x, y in shapely.get_coordinates(most.exterior)[:-1])
        return anticlockwise(ring)

    def name_of(self, ahead: Ahead) -> tuple[str, str]:
        """Name and id of what was met: "sideboard S1", "swing of D12", "east wall"."""
        body = self.body(ahead.owner)
        if body is None:
            side = walls(self.rings[ahead.owner])[ahead.wall]
            out = outward(side)
            if ahead.owner:
                out = -out[0], -out[1]
            return f"{compass(out)} wall", ""
        if body.what == "swing":
            return body.name, body.owner
        return f"{body.name} {body.id}", body.id

    def serves(self, ahead: Ahead) -> bool:
        """Whether people serve themselves from the face that was met."""
        body = self.body(ahead.owner)
        if body is None or not self.kinds[ahead.owner - len(self.rings)].serves:
            return False
        return body.what == "fixed" or ahead.wall == SERVED_SIDE

    def with_piece(self, piece: Piece) -> "Ground":
        """The same ground with a piece put in, or put in another place or size."""
        others = tuple(p for p in self.space.pieces if p.id != piece.id)
        return Ground(replace(self.space, pieces=(*others, piece)))
