"""How a piece may stand, and what bounds each place that it may have so.

A *stance* is one way to turn a piece together with the places it then may have: on a grid of inches
(`search_lattice`) or on a line (`search_line`). For each place there is a bound: a tightest margin
that no exact judgement exceeds, from what can be told for thousands of places at once (clear
distances of its sides against what they need, what it takes from the sides of others, openings
that it bars). The search judges places in the order of their bounds.
"""

import math
from collections.abc import Callable
from dataclasses import dataclass, replace

import numpy as np
import shapely

from roomwright.fit.bounds import Bools, Floats
from roomwright.fit.given import LOCALS, Piece
from roomwright.fit.kinds import Need, table
from roomwright.fit.search_around import Tops
from roomwright.fit.search_judge import Judge
from roomwright.fit.search_wanted import Size
from roomwright.shape import TOUCH, Outline, rectangle

ROUNDING = 2e-3
"""Clear distances on a grid are kept in single precision: bounds are raised by this [in]."""

AGAINST = 6.0
"""As in `sides`: a side this near to a wall asks nothing, where its kind says so [in]."""

Clear = tuple[Floats, Floats, Floats, Floats]
"""Clear distances of the back, left, front and right side, place by place [in]."""

_EVEN = 1e-6

_SLOPES = frozenset({"slope"})


@dataclass(frozen=True, slots=True, eq=False)
class Spots:
    """Places of one size in one stance: centers, and the most the tightest margin can be."""

    stance: "Stance"
    size: Size
    x: Floats
    y: Floats
    bound: Floats

    straight: bool = True
    slack: float = ROUNDING
    """What the bounds are raised by, for all that is rounded in them [in]."""

    def __len__(self) -> int:
        return len(self.x)


@dataclass(frozen=True, slots=True)
class Stance:
    """One way to stand: `turn` [deg], where (in words), and the places of a size.

    `key` tells stances apart that a builder would call different: the wall, or the direction.
    `slides` says that the best place may be slid by up to half an inch off the grid.
    """

    key: str
    where: str
    turn: float
    spots: Callable[[Size], Spots]
    slides: bool = True


def asked_of(
    piece: Piece,
    figure: Callable[[str], float | None],
    size: Size,
    clear: Callable[[frozenset[str]], Clear],
) -> Floats:
    """The most that a piece's own tightest margin can be, from its clear distances.

    `clear` gives the clear distances with some kinds left out of account.
    """
    top = sized(piece, size)
    kind = top.sort
    uses = [figure(f"dining.{use}") for use in ("rise", "edge_past", "walk_past")]
    seat = min((use for use in uses if use is not None), default=None)
    if kind.seats and seat is not None:
        return np.asarray(np.minimum.reduce(clear(frozenset())) - seat)
    play = clear(_SLOPES)  # where nobody stands upright a piece may stand
    margin = np.minimum(play[1] + play[3], play[0] + play[2])
    if kind.seats:
        return margin
    stools = top.stools
    for need in kind.needs:
        wanted = figure(need.figure)
        if wanted is None:
            continue
        group = []
        for local, side in zip(LOCALS, clear(need.ignore), strict=True):
            if local not in need.sides or local in stools:
                continue
            across = size.width if local in ("left", "right") else size.depth
            offset = across / (2 * max(1, kind.bowls)) if need.centerline else 0.0
            left = side + offset - wanted
            group.append(np.where(side <= AGAINST, np.inf, left) if need.wall else left)
        if group:
            margin = np.minimum(margin, _taken(need, group))
    return np.asarray(margin)


def _taken(need: Need, group: list[Floats]) -> Floats:
    """The most that the margins of a group of sides can be, by how the need falls on them."""
    if need.take == "each":
        return np.asarray(np.minimum.reduce(group))
    if need.take == "best":
        return np.asarray(np.maximum.reduce(group))
    if len(group) > 1 and not need.wall:
        return np.asarray(np.sort(group, axis=0)[-2])
    return np.full(len(group[0]), np.inf)


def boxes(x: Floats, y: Floats, size: Size, turn: float) -> Floats:
    """The corners (n, 4, 2) of boxes of a size about some centers."""
    corners = np.array(rectangle(0.0, 0.0, size.width, size.depth, turn))
    return np.asarray(np.stack([x, y], axis=1)[:, None, :] + corners)


def sized(piece: Piece, size: Size, turn: float = 0.0) -> Piece:
    """The piece looked for, of a size, about the origin.

    Where its kind and the name of the size make a kind of their own, it is that: a bed of the
    size Full is a full bed, which asks less than a queen.
    """
    return replace(
        piece, kind=kind_named(piece, size), width=size.width, depth=size.depth, x=0.0, y=0.0,
        turn=turn,
    )  # fmt: skip


def kind_named(piece: Piece, size: Size) -> str:
    """The kind of a piece of a named size."""
    name = f"{piece.kind.split(',')[0]} {size.name}".lower().strip()
    return name if size.name and piece.own is None and name in table() else piece.kind


def inner(piece: Piece, size: Size) -> tuple[int, int]:
    """Whole inches of a box about the center that lies within the piece; 0, 0 for none."""
    top = sized(piece, size)
    length, depth = math.floor(size.width + _EVEN), math.floor(size.depth + _EVEN)
    if top.straight:
        return length, depth
    shape = shapely.buffer(shapely.Polygon(top.outline), _EVEN)
    for share in (0.7, 0.6, 0.5, 0.35, 0.2):
        w = length - 2 * math.ceil(length * (1 - share) / 2)
        d = depth - 2 * math.ceil(depth * (1 - share) / 2)
        if min(w, d) > 0 and shapely.covers(shape, shapely.Polygon(rectangle(0.0, 0.0, w, d))):
            return w, d
    return 0, 0


def outlines(piece: Piece, x: Floats, y: Floats, smaller: float = 0.0) -> Tops:
    """The outline of a placed piece, a little smaller or not, about each center."""
    px, py, _, _ = piece.where
    top = shapely.Polygon(piece.outline)
    small = shapely.buffer(top, -smaller, join_style="mitre")
    if smaller and isinstance(small, shapely.Polygon) and not small.is_empty:
        top = small
    ring = shapely.get_coordinates(top.exterior) - (px, py)
    return np.asarray(shapely.polygons(np.stack([x, y], axis=1)[:, None, :] + ring[None, :, :]))


def stands(judge: Judge, room: Outline, piece: Piece, x: Floats, y: Floats) -> Bools:
    """Whether a piece, a hair smaller, stands in its room and in nothing at each center."""
    every = outlines(piece, x, y, 1.5 * TOUCH)
    own = shapely.Polygon(room)
    shapely.prepare(own)
    keep = shapely.covers(own, every) & shapely.covers(judge.ground.floor, every)
    for number in judge.solid(piece):
        keep &= ~shapely.intersects(judge.ground.shapes[number], every)
    return np.asarray(keep, dtype=bool)
