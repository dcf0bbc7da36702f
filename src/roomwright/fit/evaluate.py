"""All that holds in a room: the one entry point of the fit engine for given places.

>>> from roomwright.fit.model import Room, Space
>>> table = Piece("T1", "dining table", "dining table", 84, 42, 30, 81, 75, room="101")
>>> walls = ((0, 0), (162, 0), (162, 150), (0, 150))
>>> dining = Space((Room("101", "Dining", walls),), walls, pieces=(table,))
>>> fit = room_fit(dining, Needs({"dining.rise": 32, "dining.walk_past": 44}))
>>> [(side.side, side.clear, side.use, side.margin) for side in fit.pieces[0].sides][1:3]
[('east', 39.0, 'rise', 7.0), ('north', 54.0, 'rise', 22.0)]
"""

import math
from collections.abc import Sequence
from dataclasses import replace

from roomwright import shape
from roomwright.fit import (
    accessible,
    ceilings,
    centring_settled,
    centring_told,
    coarse,
    escape,
    fixtures,
    goals,
    headroom,
    opens,
    stairs,
    stools,
    swings,
    windows,
)
from roomwright.fit.aisles import aisles
from roomwright.fit.chairs import chairs
from roomwright.fit.ground import Ground
from roomwright.fit.leaves import grown
from roomwright.fit.model import (
    Chain,
    Finding,
    Move,
    Needs,
    Piece,
    PieceFit,
    RoomFit,
    Side,
    Space,
    Verdict,
    Way,
    Word,
)
from roomwright.fit.overlaps import overlaps
from roomwright.fit.seats import RULE, by_rules, seats_of
from roomwright.fit.sides import pairs, sides
from roomwright.fit.spacing import by_windows, spacing
from roomwright.fit.uses import Trail
from roomwright.fit.verdicts import EVEN, measure, worst
from roomwright.fit.walks import trails, walks
from roomwright.fit.zones import collisions, zones_of
from roomwright.lengths import tape

WEIGHS = frozenset(
    {
        "overlap",
        "outside",
        "under the slope",
        "too tall",
        "door swing",
        "opening barred",
        "spacing",
        "fixture centers",
        "stopped",
        "standing",
        "behind",
        "stools",
    }
)
"""Findings that weigh on the verdict of a piece they name; others stand beside it."""

STEP = 16
"""A cure moves a piece by whole sixteenths of an inch."""


def room_fit(
    space: Space,
    needs: Needs,
    room: str | None = None,
    walked: tuple[tuple[Way, ...], tuple[Finding, ...]] | None = None,
) -> RoomFit:
    """All that holds in one room of a space (its first, unless `room` names another).

    Walk paths and clear distances see the whole space; pieces and findings are this room's.
    `walked` is what `walks` gave for the space, where it is known already.

    Raises
    ------
    KeyError
        If the room is not one of the space's.
    """
    ground = Ground(space)
    this = space.room(room) if room is not None else space.rooms[0]
    ways, wrong = walked if walked is not None else walks(ground, needs)
    lines = trails(ways)
    common = (*wrong, *findings(ground, needs), *stools.findings(ground, needs, lines))
    chains = _chains(ground, needs)
    common = _retold(common, centring_told.off_centre(space, needs, chains))
    fits = tuple(
        piece_fit(ground, piece, needs, lines, common, cures=True)
        for piece in space.pieces
        if piece.room in (this.id, "")
    )
    own = [f for f in common if f.room in (this.id, "")]
    reached = goals.goal_paths(ground, needs, this.id)
    mine = [w for w in ways if this.id in _rooms_of(space, w.from_, w.to)]
    own += [*goals.told(reached), *accessible.check(ground, needs, this, mine)]
    told = _once([*own, *(f for fit in fits for f in fit.findings)])
    return RoomFit(
        room=this.id,
        area=shape.area(this.outline),
        perimeter=shape.perimeter(this.outline),
        pieces=fits,
        ways=tuple(mine),
        findings=tuple(sorted(told, key=lambda f: (-f.severity.rank, f.kind, f.ids))),
        goals=reached,
        chains=tuple(c for c in chains if c.links[0].room in (this.id, "")),
    )


def _chains(ground: Ground, needs: Needs) -> tuple[Chain, ...]:
    """The chains of a ground; no piece is told to move where it leaves something short."""

    def spoils(moved: Piece) -> bool:
        there = ground.with_piece(moved)
        ways, _ = walks(there, needs)
        return _worsens(ground, there, needs, ways, findings(there, needs))

    return centring_settled.settled(ground, needs, spoils)


def _retold(found: Sequence[Finding], anew: Sequence[Finding]) -> tuple[Finding, ...]:
    """Findings with those of the same kind and things in the words of others."""
    words = {(f.kind, f.ids, f.at): f for f in anew}
    return tuple(words.get((f.kind, f.ids, f.at), f) if f.at else f for f in found)


def _once(found: Sequence[Finding]) -> list[Finding]:
    """Each finding once: two pieces that overlap both say so."""
    kept: dict[object, Finding] = {}
    for each in found:
        both = each.kind == "overlap"
        kept.setdefault((each.kind, frozenset(each.ids)) if both else each, each)
    return list(kept.values())


def _rooms_of(space: Space, *openings: str) -> set[str]:
    return {opening.room for opening in space.openings if opening.id in openings}


def findings(ground: Ground, needs: Needs) -> tuple[Finding, ...]:
    """What is found on a ground that is not one piece's own affair."""
    space = ground.space
    found = [
        *swings.against_things(ground),
        *swings.against_walls(space, ground.floor),
        *swings.against_swings(space),
        *swings.before_openings(ground, needs),
        *aisles(ground, needs),
        *collisions(ground, needs),
        *fixtures.fronts(ground, needs),
        *fixtures.centers(ground, needs),
        *windows.covered(ground, needs),
        *escape.findings(ground, needs),
        *ceilings.too_tall(space, ground.pieces),
        *ceilings.rooms_too_low(space, needs),
        *headroom.openings(space),
        *coarse.told(ground.coarse),
        *centring_told.off_centre(space, needs),
        *(finding for flight in space.flights for finding in stairs.check(flight, needs)),
    ]
    where = space.rooms[0].id
    if not space.openings and not space.off_wall:
        text = f"Room {where} has no opening: measure its doors, then its walk paths are known."
        found.append(Finding("opening", Word.MEASURE, text, where))
    for id_ in space.off_wall:
        text = f"Opening {id_} lies on no wall of its room: measure where it is."
        found.append(Finding("opening", Word.MEASURE, text, where, (id_,)))
    for id_ in space.unhung:
        text = f"Door {id_}: say which side it hangs on and where it swings, then its swing counts."
        found.append(Finding("opening", Word.MEASURE, text, where, (id_,)))
    return tuple(found)


def piece_fit(
    ground: Ground,
    piece: Piece,
    needs: Needs,
    lines: Sequence[Trail] = (),
    common: Sequence[Finding] = (),
    *,
    cures: bool = False,
) -> PieceFit:
    """One piece of a ground with its sides, seats, own findings and verdict.

    `lines` are those of the walk paths, `common` the findings of the ground; with `cures` a
    table that is short is tried a little to one side.
    """
    kind = piece.sort
    fit = _seated(piece, needs) if kind.seats else PieceFit(piece, measure(""), ())
    if piece.placed and not kind.seats and piece.features:
        rows = stools.rows_of(piece)
        fit = replace(fit, chairs=tuple(spot for row in rows for spot in stools.spots(row)))
    if not piece.placed:
        what = "place" if piece.width is not None and piece.depth is not None else "size"
        return replace(fit, verdict=measure(f"the {what} of {piece.name} {piece.id} is not known"))
    own = [
        *overlaps(ground, piece),
        *spacing(ground, piece, needs),
        *by_windows(ground, piece, needs),
        *opens.stopped(ground, piece, needs),
        *opens.behind(ground, piece),
        *(wrong for row in stools.rows_of(piece) for wrong in stools.checked(row, needs)),
    ]
    if not kind.known:
        text = (
            f"No clearances are known for a {piece.kind}: {piece.id} is checked for overlap only."
        )
        own.append(Finding("kind", Word.MEASURE, text, piece.room, (piece.id,)))
    found = () if kind.loose else sides(ground, piece, needs, lines)
    own += swept(piece, found)
    both = pairs(found)
    weighing = [f for f in (*own, *common) if f.kind in WEIGHS and piece.id in f.ids]
    verdict = worst(
        [
            *(_of_side(piece, side) for side in sorted(found, key=_margin)),
            *(pair.verdict for pair in both),
            *(Verdict(f.severity, f.text, f.by) for f in weighing),
        ]
    )
    if not kind.known and verdict.word is Word.FITS:
        verdict = measure(f"what a {piece.kind} needs round it is not known here")
    fit = replace(
        fit,
        sides=found,
        pairs=both,
        findings=tuple(own),
        verdict=verdict,
        zones=zones_of(piece, needs),
    )
    if cures:
        fit = replace(fit, findings=(*fit.findings, *leaf_in(ground, piece, needs)))
    if cures and kind.seats and verdict.word is Word.SHORT:
        return replace(fit, cure=cure(ground, fit, needs))
    return fit


def leaf_in(ground: Ground, piece: Piece, needs: Needs) -> tuple[Finding, ...]:
    """A table with a leaf judged with its leaf in too, the walk paths round it found anew."""
    longer = grown(piece)
    if longer is None:
        return ()
    there = ground.with_piece(longer)
    ways, _ = walks(there, needs)
    fit = piece_fit(there, longer, needs, trails(ways), findings(there, needs))
    _, _, width, depth = longer.where
    text = (
        f"With its leaf in ({tape(width)} x {tape(depth)}) the {piece.name} {piece.id} seats "
        f"{fit.seats} ({fit.seats_rule}): {fit.verdict.text}."
    )
    return (Finding("leaf in", fit.verdict.word, text, piece.room, (piece.id,), by=fit.verdict.by),)


def _seated(piece: Piece, needs: Needs) -> PieceFit:
    """A table with its seats, before its sides are known."""
    fit = PieceFit(piece, measure(""), (), seats_rule=RULE)
    count = seats_of(piece, needs)
    if count is None:
        return fit
    return replace(
        fit,
        seats=count.total,
        seats_rule=count.rule,
        seats_by=by_rules(piece, needs),
        seats_note=count.note,
        spare_length=count.spare,
        chairs=chairs(piece, needs),
    )


def label(piece: Piece, side: Side) -> str:
    """What a builder calls a side: "east end" of a table, "front" of a range.

    >>> table = Piece("T1", "dining table", "table", 84, 42, 30, 81, 84)
    >>> label(table, Side("east", "left", 39, 44, -5, "", "", "", None, "", None))
    'east end'
    """
    if side.local == "around":
        return "all around"
    if not piece.sort.seats:
        return side.local if side.local in ("front", "back") else f"{side.local} side"
    width, depth = piece.width or 0.0, piece.depth or 0.0
    short = ("left", "right") if width > depth else ("front", "back")
    return f"{side.side} {'end' if width != depth and side.local in short else 'side'}"


def swept(piece: Piece, found: Sequence[Side]) -> list[Finding]:
    """Where a door that is open takes the room that a side needs and would have, were it shut."""
    return [
        Finding(
            "swing in the way",
            Word.SHORT,
            f"The {side.binding} reaches into the room {_before(piece, side)}: "
            f"{tape(side.shut)} with the door shut, {tape(side.clear)} with it open, "
            f"{tape(side.needs)} wanted. Let it swing the other way, or hang it on its other side.",
            piece.room,
            (side.binding_id, piece.id),
            by=side.needs - side.clear,
            figure=side.figure,
            at=side.at,
            clear=side.clear,
            needs=side.needs,
        )
        for side in found
        if side.shut is not None
        and side.clear is not None
        and side.needs is not None
        and side.clear < side.needs - EVEN <= side.shut
    ]


def _before(piece: Piece, side: Side) -> str:
    where = label(piece, side)
    if where == "front":
        return f"before the {piece.name} {piece.id}"
    return f"at the {where} of the {piece.name} {piece.id}"


def _margin(side: Side) -> float:
    return math.inf if side.margin is None else side.margin


def _of_side(piece: Piece, side: Side) -> Verdict | None:
    """A side's verdict with the side's name before it."""
    if side.verdict is None:
        return None
    return replace(side.verdict, text=f"{label(piece, side)}: {side.verdict.text}")


def _worsens(
    ground: Ground, there: Ground, needs: Needs, ways: Sequence[Way], common: Sequence[Finding]
) -> bool:
    """Whether a path or a piece is short there that is not short, or less so, on the ground."""
    wrong = [way for way in ways if way.verdict.word.rank >= Word.SHORT.rank]
    lines = trails(ways)
    fits = [piece_fit(there, piece, needs, lines, common) for piece in there.pieces]
    short = [fit for fit in fits if fit.verdict.word.rank >= Word.SHORT.rank]
    if not wrong and not short:
        return False
    before, _ = walks(ground, needs)
    was_way = {(way.from_, way.to): _grave(way.verdict) for way in before}
    if any(_grave(way.verdict) > was_way[way.from_, way.to] for way in wrong):
        return True
    old, old_common = trails(before), findings(ground, needs)
    was = {p.id: piece_fit(ground, p, needs, old, old_common) for p in ground.pieces}
    return any(_grave(fit.verdict) > _grave(was[fit.piece.id].verdict) for fit in short)


def _grave(verdict: Verdict) -> tuple[int, float]:
    return verdict.word.rank, round(verdict.by or 0.0, 6)


def cure(ground: Ground, fit: PieceFit, needs: Needs) -> Move | None:
    """How far to move a table along its own sides so that every side passes; None if it can't.

    Each pair of opposite sides gives from the one with room to the one that is short; the room is
    then judged anew, for the walk paths may have changed. A move that makes a path or another
    piece short is no cure.
    """
    piece = fit.piece
    dx = dy = 0.0
    edges = dict(zip(("back", "left", "front", "right"), shape.walls(piece.box), strict=True))
    for side in fit.sides:
        if side.margin is not None and side.margin < 0 and side.local in edges:
            by = math.ceil(-side.margin * STEP - 1e-6) / STEP
            out = shape.outward(edges[side.local])
            dx, dy = dx - by * out[0], dy - by * out[1]
    if math.hypot(dx, dy) == 0 or any(pair.margin < -EVEN for pair in fit.pairs):
        return None
    x, y, _, _ = piece.where
    moved = replace(piece, x=x + dx, y=y + dy)
    there = ground.with_piece(moved)
    ways, _ = walks(there, needs)
    common = findings(there, needs)
    new = piece_fit(there, moved, needs, trails(ways), common)
    if new.verdict.word.rank >= Word.MEASURE.rank or _worsens(ground, there, needs, ways, common):
        return None
    return Move(piece.id, x + dx, y + dy, math.hypot(dx, dy), shape.compass((dx, dy)))
