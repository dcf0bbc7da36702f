"""How much nearer than measured each wall may be until what was offered no longer stands.

A wall is moved into the room together with all that stands against it, the piece itself too if it
does; then the place is judged exactly as before. No margin grows when a wall comes nearer, so the
limit is found by halving, to 1/16 in.
"""

import math
from collections.abc import Callable
from dataclasses import replace

import shapely

from roomwright.fit.given import Body, Leaf, Needs, Piece, Room, Space
from roomwright.fit.search_found import EVEN, Option, WallLimit
from roomwright.fit.search_judge import Judge
from roomwright.fit.search_rules import Wall, runs
from roomwright.fit.trial import Bound, without
from roomwright.shape import Outline, Point, anticlockwise, compass, distance_to, moved, outward

REACH = 6.0
"""Walls are moved by up to this [in], our choice."""

AT_WALL = 0.75
"""What stands this near to a wall stands against it [in], our choice."""

MOST_WALLS = 24
"""More walls than this are not tried one by one, our choice."""

STEPS = 16
"""Limits are told in parts of an inch."""


def wall_limits(
    space: Space,
    needs: Needs,
    room: str,
    best: Option,
    gone: tuple[str, ...] = (),
    asked: Callable[[], None] = lambda: None,
) -> tuple[WallLimit, ...]:
    """How far each wall of the room may be nearer, the tightest first."""
    without_it = without(space, gone)
    this = space.room(room)
    walls = [w for w in runs(this.outline) if w.length > 6.0]
    walls.sort(key=lambda w: -w.length)
    found = []
    for wall in walls[:MOST_WALLS]:
        found.append(_limit(without_it, needs, this, wall, best.piece, asked))
    tight = best.margin < needs.spare - EVEN
    found = [replace(each, word="tight") for each in found] if tight else found
    return tuple(sorted(found, key=lambda each: (each.holds, each.wall)))


def _limit(
    space: Space, needs: Needs, room: Room, wall: Wall, piece: Piece, asked: Callable[[], None]
) -> WallLimit:
    name = f"wall {wall.name} ({compass(outward(wall.side))})"
    low, high = 0, math.ceil(REACH * STEPS)
    ok, bound = _holds(space, needs, room, wall, piece, high / STEPS, asked)
    if ok:
        return WallLimit(wall.name, name, REACH, True, "")
    while high - low > 1:
        at = (low + high) // 2
        ok, short = _holds(space, needs, room, wall, piece, at / STEPS, asked)
        if ok:
            low = at
        else:
            high, bound = at, short
    by = "it no longer stands there" if bound is None else bound.where
    return WallLimit(wall.name, name, low / STEPS, False, by)


def _holds(
    space: Space, needs: Needs, room: Room, wall: Wall, piece: Piece, by: float,
    asked: Callable[[], None],
) -> tuple[bool, Bound | None]:  # fmt: skip
    """Whether the piece still stands with a wall so much nearer, and what is tightest then."""
    asked()
    nearer, placed = moved_wall(space, room, wall, by, piece)
    try:
        trial = Judge(nearer, needs, nearer.room(room.id).outline).of(placed)
    except ValueError:  # the room falls apart
        return False, None
    if trial is None:
        return False, None
    return trial.margin >= -EVEN, trial.bounds[0]


def moved_wall(
    space: Space, room: Room, wall: Wall, by: float, piece: Piece
) -> tuple[Space, Piece]:
    """A space with a wall of one of its rooms so much nearer, and what stands against it moved."""
    ox, oy = outward(wall.side)
    dx, dy = -by * ox, -by * oy
    (ax, ay), (bx, by_) = wall.side
    strip = shapely.Polygon(
        [(ax + ox, ay + oy), (bx + ox, by_ + oy), (bx + dx, by_ + dy), (ax + dx, ay + dy)]
    )

    def cut(outline: Outline) -> Outline:
        left = shapely.difference(shapely.Polygon(outline), strip)
        parts = [p for p in shapely.get_parts(left) if isinstance(p, shapely.Polygon)]
        largest = max(parts, key=lambda p: p.area, default=shapely.Polygon())
        ring = shapely.get_coordinates(largest.exterior)[:-1].tolist()
        return anticlockwise([(x, y) for x, y in ring]) if ring else outline

    def at(outline: Outline) -> bool:
        near = [p for p in outline if distance_to(p, wall.side) <= AT_WALL]
        return len(near) > 1 or (
            len(outline) > 12 and bool(near)
        )  # a round top touches with a corner

    def put(p: Point) -> Point:
        return p[0] + dx, p[1] + dy

    def body(each: Body) -> Body:
        return replace(each, outline=moved(each.outline, dx, dy)) if at(each.outline) else each

    def stood(each: Piece) -> Piece:
        if not each.placed or not at(each.outline):
            return each
        x, y, _, _ = each.where
        return replace(each, x=x + dx, y=y + dy)

    def leaf(each: Leaf) -> Leaf:
        if distance_to(each.pivot, wall.side) > 6.0:
            return each
        return replace(each, pivot=put(each.pivot), shut=put(each.shut), open=put(each.open))

    changed = replace(
        space,
        outline=cut(space.outline),
        rooms=tuple(
            replace(r, outline=cut(r.outline)) if r.id == room.id else r for r in space.rooms
        ),
        fixed=tuple(map(body, space.fixed)),
        pieces=tuple(map(stood, space.pieces)),
        leaves=tuple(map(leaf, space.leaves)),
    )
    return changed, stood(piece)
