"""What fits: the largest rectangular dining table for a room, and what stops a larger one."""

from __future__ import annotations

from typing import Any

from roomwright import lengths
from roomwright.answers import rooms
from roomwright.answers.engine import Ask, query
from roomwright.answers.wire import inches, margin
from roomwright.fit import search
from roomwright.fit.search import Offer, WhatFits
from roomwright.fit.verdicts import EVEN, length, spare_text


@query("what fits")
def what_fits(ask: Ask, room: str) -> WhatFits:
    """Return the best table for a room instead of those that stand in it, and the front.

    Raises
    ------
    MissingFactError
        If there is no such room.
    """
    space = ask(rooms.space_of, ask(rooms.joined, room))
    return search.what_fits(space, ask(rooms.needs, room), room)


def as_json(found: WhatFits) -> dict[str, Any]:
    """Return the documented fields."""
    half = found.if_short()
    return {
        "best": None if found.best is None else _offer(found.best),
        "front": [_offer(offer) for offer in found.front],
        "stops": None if found.stops is None else _offer(found.stops),
        "if_a_wall_is_half_an_inch_short": None if half is None else _offer(half),
        "proved": found.proved,
        "complete": found.complete,
        "weighed": found.weighed,
        "judged": found.judged,
    }


def _offer(offer: Offer) -> dict[str, Any]:
    piece = offer.piece
    return {
        "width_in": inches(piece.width),
        "depth_in": inches(piece.depth),
        "x": inches(piece.x),
        "y": inches(piece.y),
        "turn": inches(piece.turn),
        "seats": offer.seats,
        "tightest_margin_in": margin(offer.margin),
        "binding": {
            "where": offer.bound.where,
            "ends_at": offer.bound.thing,
            "use": offer.bound.use,
            "clear_in": inches(offer.bound.clear),
            "needs_in": inches(offer.bound.needs),
            "figure": offer.bound.figure,
        },
    }


def in_words(offer: Offer) -> str:
    """Return an offer as one line: size, seats, place, margin and what holds it."""
    bound = offer.bound
    short = offer.margin < -EVEN
    spare = f"short {length(-offer.margin)}" if short else spare_text(offer.margin)
    return (
        f"{lengths.inches(offer.length)} x {lengths.inches(offer.width)}, seats {offer.seats}, "
        f"{spare} at the {bound.where} ({lengths.tape(bound.clear)} to {bound.thing}, "
        f"{lengths.tape(bound.needs)} wanted)"
    )
