"""How far apart pieces that belong together stand: a sofa and its low table, a screen and seats."""

import shapely

from roomwright.fit.clear import Edges, clear_ahead
from roomwright.fit.ground import Ground
from roomwright.fit.kinds import Near, kind_of
from roomwright.fit.model import LOCALS, Finding, Needs, Piece, Word
from roomwright.fit.profile import clear_from
from roomwright.fit.verdicts import EVEN, length
from roomwright.lengths import tape
from roomwright.shape import Segment, outward, walls

SIDES: tuple[str, ...] = LOCALS

SAME_WAY = 0.7
"""Two sides look the same way if they are less than 45 degrees apart (cosine), our choice."""

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


def by_windows(ground: Ground, piece: Piece, needs: Needs) -> tuple[Finding, ...]:
    """A crib that stands near a window: its cords, and the sill that a child climbs to."""
    least = needs.get(piece.sort.window) if piece.sort.window else None
    if least is None:
        return ()
    found = []
    mine = shapely.Polygon(piece.outline)
    for window in ground.space.windows:
        line = shapely.shortest_line(mine, shapely.LineString([window.a, window.b]))
        clear = float(shapely.length(line))
        if clear >= least - EVEN or not shapely.covers(ground.roomy, line):
            continue
        (ax, ay), (bx, by) = shapely.get_coordinates(line).tolist()
        text = (
            f"Caution: the {piece.name} {piece.id} stands {tape(clear)} from window {window.id}. A "
            "cord within a child's reach can strangle, and a child climbs to the sill: move it "
            f"{tape(least)} or more away and use no cords; follow local code and licensed practice."
        )
        found.append(
            Finding(
                "caution",
                Word.TIGHT,
                text,
                piece.room,
                (piece.id, window.id),
                by=least - clear,
                figure=piece.sort.window,
                at=((ax, ay), (bx, by)),
                clear=clear,
                needs=least,
            )
        )
    return tuple(found)


def _names(near: Near) -> frozenset[str]:
    return frozenset(kind_of(name).name for name in near.to)


def _gap(piece: Piece, other: Piece, near: Near) -> tuple[float, Segment] | None:
    """Distance to another piece and its two ends; straight out where a side is named."""
    if near.side:
        edge = walls(piece.box)[SIDES.index(near.side)]
        edges = Edges([other.outline])
        ahead = (
            clear_ahead(edge, edges)
            if piece.straight or piece.round
            else clear_from(piece.outline, edge, edges)
        )
        if ahead is None or ahead.clear > BELONGS:
            return None
        if near.face and not _looks_back(other, ahead.wall):
            return None
        return ahead.clear, (ahead.p, ahead.q)
    line = shapely.shortest_line(shapely.Polygon(piece.outline), shapely.Polygon(other.outline))
    distance = float(shapely.length(line))
    if distance > BELONGS:
        return None
    (ax, ay), (bx, by) = shapely.get_coordinates(line).tolist()
    return distance, ((ax, ay), (bx, by))


def _looks_back(other: Piece, wall: int) -> bool:
    """Whether the side of a piece that was met is of its front: of an L, either part of it."""
    (ax, ay), (bx, by) = outward(walls(other.outline)[wall]), outward(other.edges["front"])
    return ax * bx + ay * by > SAME_WAY


def _told(
    piece: Piece, other: Piece, near: Near, gap: tuple[float, Segment], needs: Needs
) -> list[Finding]:
    """The finding on a distance that is too small or too great."""
    clear, at = gap
    least, most = needs.get(near.least), needs.get(near.most)
    least_of, most_of = near.least, near.most
    if near.share:  # a screen: its builder's own distance comes first, then its size
        least = piece.told.viewing or least
        share = needs.get(near.share)
        if share is not None and piece.told.screen is not None:
            most, most_of = max(share * piece.told.screen, least or 0.0), near.share
    names = f"{piece.name} {piece.id} and {other.name} {other.id}"
    if least is not None and clear < least - EVEN:
        text = (
            f"{tape(clear)} between {names}, {tape(least)} wanted {near.purpose}: "
            f"short {length(least - clear)}."
        )
        word, figure, wanted, by = Word.SHORT, least_of, least, least - clear
    elif most is not None and clear > most + EVEN:
        text = (
            f"{tape(clear)} between {names}, {tape(most)} at most {near.purpose}: "
            f"{length(clear - most)} too far."
        )
        word, figure, wanted, by = Word.TIGHT, most_of, most, clear - most
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
