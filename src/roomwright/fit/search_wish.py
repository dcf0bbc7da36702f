"""A wish made whole for one room: the piece it means, what makes way, the figures it counts by."""

from dataclasses import replace

import shapely

from roomwright.fit.given import Needs, Piece, Room, Space
from roomwright.fit.kinds import Kind, kind_of
from roomwright.fit.search_usual import filled, like_kind, make_way
from roomwright.fit.search_wanted import Wanted, WantedError
from roomwright.fit.seats import LENGTH, handbook_lengths

MOST_CORNERS = 1_500
"""Corners of a room and all that stands in it, in one search, our choice."""


def filled_wish(
    space: Space, needs: Needs, room: str, wanted: Wanted, own: Kind | None = None
) -> tuple[Piece, Wanted]:
    """The piece looked for, and the wish with all that its kind usually is; errors as above."""
    this = space.room(room)
    piece = _template(space, this, wanted, own)
    like = like_kind(piece.sort)
    wish = filled(wanted, piece.sort.name, round_top=piece.round, like=like)
    if wish.without is None:
        gone = make_way(space.pieces, space.fixed, room, piece.sort)
        wish = replace(wish, without=gone)
        piece = _template(space, this, wish, own)
    _check(space, this, wish)
    return replace(piece, height=wish.height), wish


def _template(space: Space, room: Room, wanted: Wanted, own: Kind | None) -> Piece:
    """The piece looked for, without a size or a place."""
    mine = wanted.without or ()
    sort = own.name if own else kind_of(wanted.kind).name
    old = next((p for p in space.pieces if p.id in mine and p.sort.name == sort), None)
    taken = {p.id for p in space.pieces}
    free = (f"new{k or ''}" for k in range(len(taken) + 1))
    id_ = old.id if old else next(name for name in free if name not in taken)
    features = wanted.features or (old.features if old else "")
    return Piece(
        id_, wanted.kind, wanted.kind.split(",")[0].strip(), None, None, wanted.height,
        room=room.id, own=own, features=features,
    )  # fmt: skip


def counting(needs: Needs, wish: Wanted) -> Needs:
    """The figures, with the rule of seats that is asked for."""
    if not wish.seats:
        return needs
    own = {key: value for key, value in needs.figures.items() if not key.startswith(LENGTH)}
    if wish.seats == "handbook":
        own |= handbook_lengths()
    return replace(needs, figures=own)


def _check(space: Space, room: Room, wish: Wanted) -> None:
    corners = len(space.outline) + sum(map(len, space.holes))
    corners += sum(len(body.outline) for body in space.fixed)
    if corners > MOST_CORNERS:
        raise WantedError(
            f"room {room.id} and what stands in it have {corners:,} corners; a search takes up to "
            f"{MOST_CORNERS:,}. Draw curved walls with fewer corners"
        )
    known = {p.id for p in space.pieces}
    for slide in wish.slides:
        if slide.piece not in known:
            raise WantedError(f"no piece {slide.piece} stands in room {room.id}")
    for each in wish.without or ():
        if each not in known and each not in {body.id for body in space.fixed}:
            raise WantedError(f"no piece {each} stands in room {room.id}")
    if not shapely.Polygon(room.outline).is_valid:
        raise WantedError(f"the walls of room {room.id} cross: draw it again first")
