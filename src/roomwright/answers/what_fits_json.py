"""What fits as JSON: documented fields, lengths in inches, rounded to 1/1000 in."""

from __future__ import annotations

import math
from typing import Any

from roomwright.answers import what_fits_words as words
from roomwright.answers.wire import inches, margin
from roomwright.fit.search_found import Found, Option, WallLimit


def as_json(found: Found) -> dict[str, Any]:
    """Return the documented fields."""
    half = found.if_short()
    return {
        "wanted": found.wanted.text,
        "instead_of": list(found.gone),
        "seats_rule": found.seats_rule,
        "best": _option(found.best),
        "others": [_option(each) for each in found.others],
        "front": [_option(each) for each in found.front],
        "stops": _option(found.stops),
        "no_larger": found.no_larger,
        "leaf_in": found.leaf_in,
        "if_a_wall_is_half_an_inch_short": _option(half),
        "walls": [_wall(each) for each in found.walls],
        "proved": found.proved,
        "complete": not found.stopped.startswith("stopped before"),
        "stopped": found.stopped,
        "weighed": found.tried,
        "judged": found.judged,
    }


def _option(option: Option | None) -> dict[str, Any] | None:
    if option is None:
        return None
    piece, bound = option.piece, option.bound
    free = math.isinf(bound.clear)
    return {
        "size": option.size.name,
        "width_in": inches(piece.width),
        "depth_in": inches(piece.depth),
        "x": inches(piece.x),
        "y": inches(piece.y),
        "turn": inches(piece.turn),
        "where": option.where,
        "seats": option.seats,
        "seats_by": dict(option.by_rules),
        "tightest_margin_in": None if free else margin(option.margin),
        "binding": {
            "where": bound.where,
            "ends_at": bound.thing,
            "use": bound.use,
            "clear_in": None if free else inches(bound.clear),
            "needs_in": inches(bound.needs),
            "figure": bound.figure,
            "says": words.held(option),
        },
        "slid": [
            {"piece": each.piece, "east_in": inches(each.dx), "north_in": inches(each.dy)}
            for each in option.slid
        ],
        "fewer_seats": option.fewer,
        "narrower_in": inches(option.narrower),
        "shallower_in": inches(option.shallower),
        "proved": option.proved,
    }


def _wall(wall: WallLimit) -> dict[str, Any]:
    return {
        "wall": wall.wall,
        "name": wall.name,
        "holds_in": inches(wall.holds),
        "or_more": wall.open_ended,
        "then": wall.by,
        "says": words.limit(wall),
    }
