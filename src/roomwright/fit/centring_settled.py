"""What is cheaper to move may not be moved where that leaves something short: then another is."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

from roomwright.fit.centring import chains
from roomwright.fit.ground import Ground
from roomwright.fit.model import Chain, Needs, Piece


def settled(ground: Ground, needs: Needs, spoils: Callable[[Piece], bool]) -> tuple[Chain, ...]:
    """The chains of a ground, in which no piece is told to move where it would not be well.

    `spoils` says of a piece at another place whether it, another or a walk path is short there
    that is not short now.
    """
    pieces = {piece.id: piece for piece in ground.pieces if not piece.sort.loose}
    held: set[str] = set()
    while True:
        made = chains(ground.space, needs, held=held)
        moved = {
            id_: shift.by
            for chain in made
            for shift in chain.cure
            for id_ in shift.ids
            if id_ in pieces and id_ not in held
        }
        fresh = {id_ for id_, by in moved.items() if spoils(_there(pieces[id_], by))}
        if not fresh:
            return made
        held |= fresh


def _there(piece: Piece, by: tuple[float, float]) -> Piece:
    x, y, _, _ = piece.where
    return replace(piece, x=x + by[0], y=y + by[1])
