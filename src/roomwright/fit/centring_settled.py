"""What is cheaper to move may not be moved where that leaves something short: then the other is."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace

from roomwright.fit.centring_table import cost
from roomwright.fit.ground import Ground
from roomwright.fit.model import Chain, Link, Piece, Word


def settled(
    ground: Ground, chains: Sequence[Chain], spoils: Callable[[Piece], bool]
) -> tuple[Chain, ...]:
    """Chains in which no piece is told to move where it would not be well.

    `spoils` says of a piece at another place whether it, another or a walk path is short there
    that is not short now.
    """
    pieces = {piece.id: piece for piece in ground.pieces}
    known: dict[tuple[str, ...], Link] = {}

    def of(link: Link) -> Link:
        if link.verdict.word is not Word.SHORT or link.at is None or link.cheaper != link.on:
            return link
        piece, ((ax, ay), (bx, by)) = pieces.get(link.on), link.at
        if piece is None or piece.x is None or piece.y is None or piece.sort.loose:
            return link
        if link.ids not in known:
            there = replace(piece, x=piece.x + ax - bx, y=piece.y + ay - by)
            known[link.ids] = _other(link, ground) if spoils(there) else link
        return known[link.ids]

    return tuple(replace(chain, links=tuple(map(of, chain.links))) for chain in chains)


def _other(link: Link, ground: Ground) -> Link:
    """The link with the things to move rather than what they are centered on."""
    space = ground.space
    lit = any(light.id == link.ids[0] for light in space.lights)
    least = cost("light" if lit else "piece", link.name, space.closed)
    return replace(link, cheaper=link.ids[0], cheaper_moves=link.moves, how=least.how, spoils=True)
