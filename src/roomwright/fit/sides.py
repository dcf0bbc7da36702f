"""The sides of a piece: clear distance straight out from each, against what its use needs."""

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace

from roomwright.fit import around, uses
from roomwright.fit.clear import Ahead
from roomwright.fit.ground import Ground
from roomwright.fit.kinds import Kind, Need
from roomwright.fit.model import LOCALS, Local, Needs, Pair, Piece, Side, Use, Verdict, Word
from roomwright.fit.verdicts import EVEN, judge, length
from roomwright.lengths import tape
from roomwright.shape import Segment, compass, outward, walls

AGAINST = 6.0
"""A side this near to a wall is pushed against it, where its kind allows it [in], our choice."""


@dataclass(frozen=True, slots=True)
class _Asked:
    """One need of one side, measured: `offset` is from the side in to the centerline [in]."""

    need: Need
    figure: float
    ahead: Ahead | None
    offset: float

    @property
    def clear(self) -> float:
        return float("inf") if self.ahead is None else self.ahead.clear + self.offset

    @property
    def margin(self) -> float:
        return self.clear - self.figure


def sides(
    ground: Ground, piece: Piece, needs: Needs, trails: Sequence[uses.Trail] = ()
) -> tuple[Side, ...]:
    """The sides of a placed piece that stands on the ground.

    `trails` are the lines of the walk paths between the openings, from which the uses of a
    table's sides follow.
    """
    kind = piece.sort
    own = ground.owners(ids=(piece.id,))
    if kind.seats and not piece.straight:
        return _around(ground, piece, own, needs, trails)
    edges = dict(zip(LOCALS, ground.stands_in(piece, walls(piece.box)), strict=True))
    if kind.seats:
        return tuple(
            _seated(ground, piece, local, edge, own, needs, trails) for local, edge in edges.items()
        )
    asked = _asked(ground, piece, kind, edges, own, needs)
    stools = piece.stools
    return tuple(
        _seated(ground, piece, local, edge, own, needs, trails)
        if local in stools
        else _side(ground, piece, local, edge, own, asked.get(local, ()), needs)
        for local, edge in edges.items()
    )


def override(ground: Ground, piece: Piece, local: str, side: str) -> Use | None:
    """What the builder said about a side, by its own name or by its compass word."""
    said = ground.space.overrides
    return said.get((piece.id, side)) or said.get((piece.id, local))


def _seated(
    ground: Ground,
    piece: Piece,
    local: Local,
    edge: Segment,
    own: tuple[int, ...],
    needs: Needs,
    trails: Sequence[uses.Trail],
) -> Side:
    """A side that people sit along."""
    name = compass(outward(edge))
    said = override(ground, piece, local, name)
    depth = needs.get(uses.FIGURE["walk past"]) or 0.0
    use, why = uses.use_of(ground, edge, own, depth, trails)
    if use == "rise" and local in piece.benches:
        use, why = "slide in", "a bench, and nobody passes"
    if said is not None:
        use, why = said, "as the builder says"
    side = replace(
        _plain(ground, local, edge, ground.ahead(edge, own), own),
        use=use,
        why=why,
        overridden=said is not None,
    )
    return judged(side, uses.FIGURE[use], uses.PURPOSE[use], needs)


def judged(side: Side, figure: str, purpose: str, needs: Needs, *, governed: bool = False) -> Side:
    """The side held against a figure; unchanged where this house has no such figure."""
    wanted = needs.get(figure)
    if wanted is None:
        return side
    verdict = judge(side.clear, wanted, needs.spare, purpose, governed=governed)
    if side.shut is not None and verdict.word is Word.SHORT:
        verdict = replace(
            verdict,
            text=f"{verdict.text} ({length(side.shut)} to the {side.shut_binding}, "
            f"but the {side.binding} leaves {length(side.clear or 0.0)})",
        )
    margin = None if side.clear is None else side.clear - wanted
    return replace(side, needs=wanted, margin=margin, figure=figure, verdict=verdict)


def _plain(
    ground: Ground,
    local: Local,
    edge: Segment,
    ahead: Ahead | None,
    skip: Iterable[int],
    offset: float = 0.0,
) -> Side:
    """A side with its clear distance and what ends it, held against nothing."""
    side = Side(
        side=compass(outward(edge)),
        local=local,
        clear=None,
        needs=None,
        margin=None,
        use="",
        binding="",
        binding_id="",
        at=None,
        figure="",
        verdict=None,
    )
    if ahead is None:
        return side
    binding, binding_id = ground.name_of(ahead)
    start = ahead.p
    if offset:
        out = outward(edge)
        start = (start[0] - offset * out[0], start[1] - offset * out[1])
    side = replace(
        side,
        clear=ahead.clear + offset,
        binding=binding,
        binding_id=binding_id,
        at=(start, ahead.q),
    )
    if ahead.owner in ground.swings:
        beyond = ground.ahead(edge, (*skip, *ground.swings))
        if beyond is not None:
            name = ground.name_of(beyond)[0]
            side = replace(side, shut=beyond.clear + offset, shut_binding=name)
    return side


def _asked(
    ground: Ground,
    piece: Piece,
    kind: Kind,
    edges: dict[Local, Segment],
    own: tuple[int, ...],
    needs: Needs,
) -> dict[Local, list[_Asked]]:
    """What each side is asked for, by the needs of the kind."""
    _, _, width, depth = piece.where
    found: dict[Local, list[_Asked]] = {}
    for need in kind.needs:
        figure = needs.get(need.figure)
        if figure is None:
            continue
        skip = (*own, *ground.owners(kinds=need.ignore))
        group: list[tuple[Local, _Asked]] = []
        for local, edge in edges.items():
            if local not in need.sides:
                continue
            across = width if local in ("left", "right") else depth
            offset = across / (2 * max(1, kind.bowls)) if need.centerline else 0.0
            ahead = ground.beyond(piece, edge, skip)
            if need.wall and ahead is not None and ahead.clear <= AGAINST:
                continue
            group.append((local, _Asked(need, figure, ahead, offset)))
        for local, asked in _taken(need, group):
            found.setdefault(local, []).append(asked)
    return found


def _taken(need: Need, group: list[tuple[Local, _Asked]]) -> list[tuple[Local, _Asked]]:
    """The sides of a group that a need falls on: each, the one with most room, or the rest."""
    if need.take == "each" or not group:
        return group
    best = max(group, key=lambda item: item[1].clear)
    return [best] if need.take == "best" else [item for item in group if item is not best]


def _side(
    ground: Ground,
    piece: Piece,
    local: Local,
    edge: Segment,
    own: tuple[int, ...],
    asked: Sequence[_Asked],
    needs: Needs,
) -> Side:
    """A side of a piece that nobody sits along, held against its hardest need."""
    if not asked:
        return _plain(ground, local, edge, ground.beyond(piece, edge, own), own)
    hardest = min(asked, key=lambda each: each.margin)
    need = hardest.need
    skip = (*own, *ground.owners(kinds=need.ignore))
    side = _plain(ground, local, edge, hardest.ahead, skip, hardest.offset)
    return judged(
        replace(side, use=need.use), need.figure, need.purpose, needs, governed=need.governed
    )


def _around(
    ground: Ground,
    piece: Piece,
    own: tuple[int, ...],
    needs: Needs,
    trails: Sequence[uses.Trail],
) -> tuple[Side, ...]:
    """The one side of a table that is no rectangle: of all that is asked, the least to spare."""
    said = override(ground, piece, "around", "around")
    found = list(around.asked(ground, piece, own, needs, trails))
    if said is not None:
        found = [replace(found[0], use=said, why="as the builder says", overridden=True)]
    held = [judged(s, uses.FIGURE[u], uses.PURPOSE[u], needs) for s in found if (u := _use(s))]
    return (min(held, key=lambda s: math.inf if s.margin is None else s.margin),)


def _use(side: Side) -> Use | None:
    return next((use for use in uses.FIGURE if use == side.use), None)


def pairs(found: Sequence[Side]) -> tuple[Pair, ...]:
    """Opposite sides together: what both need against what is left for both.

    Where a pair is short, no place between the two obstructions cures it.
    """
    by_local = {side.local: side for side in found}
    both: list[tuple[Local, Local]] = [("left", "right"), ("back", "front")]
    made = []
    for one, other in both:
        first, second = by_local.get(one), by_local.get(other)
        if first is None or second is None:
            continue
        if first.clear is None or second.clear is None:
            continue
        if first.needs is None or second.needs is None:
            continue
        clear, wanted = first.clear + second.clear, first.needs + second.needs
        margin = clear - wanted
        names = f"{first.side} and {second.side} together"
        if margin < -EVEN:
            text = f"short {length(-margin)}: {tape(clear)} left {names}, {tape(wanted)} wanted"
            verdict = Verdict(Word.SHORT, text, by=-margin, more=-margin / 2)  # at each of both
        else:
            text = f"{tape(clear)} left {names}, {tape(wanted)} wanted"
            verdict = Verdict(Word.FITS, text, steps=((margin, Word.SHORT),))
        made.append(Pair((first.side, second.side), clear, wanted, margin, verdict))
    return tuple(made)
