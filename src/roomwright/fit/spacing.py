"""How far apart pieces that belong together stand: a sofa and its low table, a screen and seats."""

import shapely

from roomwright.fit.clear import Edges, clear_ahead
from roomwright.fit.ground import SERVED_SIDE, Ground
from roomwright.fit.kinds import Near, kind_of
from roomwright.fit.model import LOCALS, Finding, Needs, Piece, Word
from roomwright.fit.verdicts import EVEN, length
from roomwright.lengths import tape
from roomwright.shape import Segment, walls

SIDES: tuple[str, ...] = LOCALS

BELONGS = 144.0
"""Pieces farther apart do not belong together [in], our choice."""


def spacing(ground: Ground, piece: Piece, needs: Needs) -> tuple[Finding, ...]:
    """Where a placed piece stands nearer to its companions than it should, or too far off."""
    found = []
    for near in piece.sort.near:
        gaps = [
            (other, gap)
            for other in ground.pieces
            if other.id != piece.id and other.sort.name in _names(near)
            if (gap := _gap(piece, other, near)) is not None
        ]
        if gaps:
            other, gap = min(gaps, key=lambda item: item[1][0])
            found += _told(piece, other, near, gap, needs)
    return tuple(found)


def _names(near: Near) -> frozenset[str]:
    return frozenset(kind_of(name).name for name in near.to)


def _gap(piece: Piece, other: Piece, near: Near) -> tuple[float, Segment] | None:
    """Distance to another piece and its two ends; straight out where a side is named."""
    if near.side:
        edge = walls(piece.box)[SIDES.index(near.side)]
        ahead = clear_ahead(edge, Edges([other.outline]))
        if ahead is None or ahead.clear > BELONGS:
            return None
        if near.face and ahead.wall != SERVED_SIDE:
            return None
        return ahead.clear, (ahead.p, ahead.q)
    line = shapely.shortest_line(shapely.Polygon(piece.outline), shapely.Polygon(other.outline))
    distance = float(shapely.length(line))
    if distance > BELONGS:
        return None
    (ax, ay), (bx, by) = shapely.get_coordinates(line).tolist()
    return distance, ((ax, ay), (bx, by))


def _told(
    piece: Piece, other: Piece, near: Near, gap: tuple[float, Segment], needs: Needs
) -> list[Finding]:
    """The finding on a distance that is too small or too great."""
    clear, at = gap
    least, most = needs.get(near.least), needs.get(near.most)
    names = f"{piece.name} {piece.id} and {other.name} {other.id}"
    if least is not None and clear < least - EVEN:
        text = (
            f"{tape(clear)} between {names}, {tape(least)} wanted {near.purpose}: "
            f"short {length(least - clear)}."
        )
        word, figure, wanted, by = Word.SHORT, near.least, least, least - clear
    elif most is not None and clear > most + EVEN:
        text = (
            f"{tape(clear)} between {names}, {tape(most)} at most {near.purpose}: "
            f"{length(clear - most)} too far."
        )
        word, figure, wanted, by = Word.TIGHT, near.most, most, clear - most
    else:
        return []
    ids = (piece.id, other.id)
    return [
        Finding(
            "spacing",
            word,
            text,
            piece.room,
            ids,
            by=by,
            figure=figure,
            at=at,
            clear=clear,
            needs=wanted,
        )
    ]
