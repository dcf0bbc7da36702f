"""A room's fit as JSON: documented fields, lengths in inches, rounded to 1/1000 in."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from roomwright.answers.wire import inches, margin
from roomwright.fit.model import (
    Chain,
    Finding,
    GoalPath,
    Link,
    PieceFit,
    RoomFit,
    Side,
    Verdict,
    Way,
    Zone,
)
from roomwright.shape import Segment

VERSION = 1
"""Goes up when a field changes its meaning or goes away; new fields may come any time."""


def as_json(fit: RoomFit, cited: Mapping[str, str] | None = None) -> dict[str, Any]:
    """The fit of a room as the command ``fit --json`` prints it.

    Parameters
    ----------
    fit
        The answer of the query ``room``.
    cited
        Figure key to its citation (`Needs.source`); those used are listed under ``figures``.
    """
    used = sorted(_figures(fit))
    return {
        "version": VERSION,
        "room": fit.room,
        "area_sq_in": inches(fit.area),
        "perimeter_in": inches(fit.perimeter),
        "pieces": [_piece(each) for each in fit.pieces],
        "ways": [_way(each) for each in fit.ways],
        "goals": [_goal(each) for each in fit.goals],
        "chains": [_chain(each) for each in fit.chains],
        "findings": [_finding(each) for each in fit.findings],
        "figures": {key: (cited or {}).get(key, "") for key in used},
    }


def _figures(fit: RoomFit) -> set[str]:
    found = {side.figure for piece in fit.pieces for side in piece.sides}
    found |= {way.figure for way in fit.ways} | {goal.figure for goal in fit.goals}
    found |= {each.figure for each in fit.findings}
    return found - {""}


def _segment(at: Segment | None) -> list[list[float | None]] | None:
    return None if at is None else [[inches(x), inches(y)] for x, y in at]


def verdict_said(verdict: Verdict | None) -> dict[str, Any]:
    """A verdict with what it is short by and what would turn it."""
    if verdict is None:
        return dict.fromkeys(
            ("verdict", "says", "short_by_in", "turns_in", "turns_to", "fits_with_in")
        )
    return {
        "verdict": verdict.word.value,
        "says": verdict.text,
        "short_by_in": inches(verdict.by),
        "turns_in": inches(verdict.turn[0]) if verdict.turn else None,
        "turns_to": verdict.turn[1].value if verdict.turn else None,
        "fits_with_in": inches(verdict.more),
    }


def _piece(each: PieceFit) -> dict[str, Any]:
    return {
        "piece": each.piece.id,
        "kind": each.piece.kind,
        **verdict_said(each.verdict),
        "seats": each.seats,
        "seats_rule": each.seats_rule or None,
        "seats_by": [{"rule": rule, "seats": count} for rule, count in each.seats_by],
        "seats_note": each.seats_note or None,
        "zones": [_zone(zone) for zone in each.zones],
        "sides": [_side(side) for side in each.sides],
        "pairs": [
            {
                "sides": list(pair.sides),
                "clear_in": inches(pair.clear),
                "needs_in": inches(pair.needs),
                "margin_in": margin(pair.margin),
            }
            for pair in each.pairs
        ],
        "cure": None
        if each.cure is None
        else {
            "x": inches(each.cure.x),
            "y": inches(each.cure.y),
            "move_in": inches(each.cure.by),
            "toward": each.cure.toward,
        },
    }


def _zone(zone: Zone) -> dict[str, Any]:
    return {
        "use": zone.use,
        "what": zone.what,
        "side": zone.side or None,
        "outline": [[inches(x), inches(y)] for x, y in zone.outline],
    }


def _side(side: Side) -> dict[str, Any]:
    return {
        "side": side.side,
        "clear_in": inches(side.clear),
        "needs_in": inches(side.needs),
        "margin_in": margin(side.margin),
        "use": side.use or None,
        "why": side.why or None,
        "binding": side.binding,
        "figure": side.figure or None,
        "at": _segment(side.at),
        "overridden": side.overridden,
        "door_shut_in": inches(side.shut),
        **verdict_said(side.verdict),
    }


def _way(way: Way) -> dict[str, Any]:
    return {
        "from": way.from_,
        "to": way.to,
        "tightest_in": inches(way.tightest),
        "at": _segment((way.p, way.q)),
        "between": list(way.between),
        "needs_in": inches(way.needs),
        "figure": way.figure or None,
        **verdict_said(way.verdict),
    }


def _goal(goal: GoalPath) -> dict[str, Any]:
    at = None if goal.p is None or goal.q is None else (goal.p, goal.q)
    return {
        "goal": goal.goal,
        "from": goal.from_,
        "does": goal.does,
        "tightest_in": inches(goal.width),
        "or_more": goal.enough,
        "at": _segment(at),
        "between": list(goal.between),
        "needs_in": inches(goal.needs),
        "figure": goal.figure or None,
        **verdict_said(goal.verdict),
    }


def _chain(each: Chain) -> dict[str, Any]:
    return {
        "anchor": each.anchor,
        "off_in": inches(each.off),
        "verdict": each.verdict.word.value,
        "says": each.verdict.text,
        "links": [_link(link) for link in each.links],
        "cure": [
            {"ids": list(shift.ids), "moves": _moves(shift.moves), "how": shift.how}
            for shift in each.cure
        ],
        "held": list(each.held),
    }


def _link(link: Link) -> dict[str, Any]:
    return {
        "ids": list(link.ids),
        "on": link.on,
        "taken": link.taken,
        "off_in": inches(link.off),
        "moves": _moves(link.moves),
        "gaps_in": [inches(gap) for gap in link.gaps],
        "ends_in": [inches(end) for end in link.ends],
        "at": _segment(link.at),
        "verdict": link.verdict.word.value,
        "says": link.verdict.text,
    }


def _moves(way: tuple[tuple[float, str], ...]) -> list[dict[str, Any]]:
    return [{"by_in": inches(by), "toward": word} for by, word in way]


def _finding(each: Finding) -> dict[str, Any]:
    return {
        "kind": each.kind,
        "severity": each.severity.value,
        "says": each.text,
        "ids": list(each.ids),
        "by_in": inches(each.by),
        "clear_in": inches(each.clear),
        "needs_in": inches(each.needs),
        "figure": each.figure or None,
        "at": _segment(each.at),
    }
