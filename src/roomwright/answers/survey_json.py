"""A room's survey as JSON: documented fields, inches rounded to 1/1000 in."""

from __future__ import annotations

import math
from datetime import date
from fractions import Fraction
from typing import Any

from roomwright.answers.engine import Ask, query
from roomwright.answers.survey import Read, RoomSurvey, survey_of
from roomwright.answers.survey_upright import Edge, Upright, edges, upright
from roomwright.answers.wire import inches
from roomwright.survey import Corner, Diagonal, Survey
from roomwright.survey.compare import WallDifference


@query("survey as JSON")
def survey_json(ask: Ask, room: str) -> dict[str, Any]:
    """The survey of a room as the command ``survey --json`` prints it."""
    return as_json(ask(survey_of, room), ask(upright, room), ask(edges, room))


def as_json(this: RoomSurvey, high: Upright, along: tuple[Edge, ...]) -> dict[str, Any]:
    """The documented fields of a survey."""
    found = this.found
    return {
        "room": this.room,
        "face": this.face,
        "on": _day(this.on),
        "by": this.by,
        "accepted": this.accepted,
        "trouble": this.trouble or None,
        "corners": [_corner(each) for each in found.corners] if found else [],
        "readings": [_reading(each) for each in this.reads],
        "variance_factor": _number(found.variance_factor) if found else None,
        "spare_readings": found.degrees if found else 0,
        "can_name": found.can_name if found else False,
        "next_diagonal": _diagonal(found),
        "walls": [_wall(each) for each in this.walls],
        "heights": _heights(high),
        "openings": [_edge(each) for each in along],
        "outline": [[inches(float(x)), inches(float(y))] for x, y in this.outline],
        "rounding_in": inches(this.rounding),
        "notes": [*(found.notes if found else ()), *this.notes],
    }


def _day(value: date | None) -> str | None:
    return None if value is None else value.isoformat()


def _number(value: float | None) -> float | None:
    return None if value is None or not math.isfinite(value) else round(value, 4) + 0.0


def _exact(value: Fraction | None) -> float | None:
    return None if value is None else inches(float(value))


def _corner(each: Corner) -> dict[str, Any]:
    return {
        "corner": each.name,
        "x": inches(each.x),
        "y": inches(each.y),
        "sx": inches(each.sx),
        "sy": inches(each.sy),
        "ellipse": {
            "a_in": inches(each.ellipse.a),
            "b_in": inches(each.ellipse.b),
            "angle": round(each.ellipse.angle, 2),
        },
    }


def _reading(each: Read) -> dict[str, Any]:
    fact, taken = each.fact, each.taken
    seen = taken.detectable if taken and math.isfinite(taken.detectable) else None
    return {
        "id": fact.id,
        "from": fact.from_corner,
        "to": fact.to_corner,
        "kind": each.kind,
        "length_in": inches(float(fact.length)),
        "used_in": inches(each.used),
        "residual_in": inches(taken.residual) if taken else None,
        "w": _number(taken.w) if taken else None,
        "redundancy": _number(taken.redundancy) if taken else None,
        "detectable_in": inches(seen),
        "suspect": each.suspect,
        "error_in": inches(taken.error) if taken else None,
        "rivals": list(taken.rivals) if taken else [],
        "aside": bool(fact.aside),
        "face": fact.face,
        "on": _day(fact.on),
        "by": fact.by,
        "note": fact.note,
    }


def _diagonal(found: Survey | None) -> dict[str, Any] | None:
    each: Diagonal | None = found.next_diagonal if found else None
    if each is None:
        return None
    return {
        "from": each.from_,
        "to": each.to,
        "length_in": inches(each.length),
        "detectable_before_in": inches(_number(each.detectable_before)),
        "detectable_after_in": inches(_number(each.detectable_after)),
    }


def _wall(each: WallDifference) -> dict[str, Any]:
    return {
        "wall": each.wall,
        "from": each.from_,
        "to": each.to,
        "planned_in": inches(each.planned),
        "measured_in": inches(each.measured),
        "difference_in": inches(each.difference),
        "error_in": inches(each.error),
        "sure": each.sure,
        "turned_deg": round(each.turned, 3) + 0.0,
        "turned_in": inches(each.turned_in),
    }


def _heights(high: Upright) -> dict[str, Any]:
    found = high.found
    return {
        "ceiling_in": _exact(high.ceiling.height),
        "ceiling_from": high.ceiling.words,
        "lowest_in": _exact(high.lowest),
        "from": high.words or None,
        "trouble": high.trouble or None,
        "at": {name: inches(value) for name, value in found.at.items()} if found else {},
        "spread_in": inches(found.spread) if found else None,
        "sag_in": inches(found.sag) if found else None,
        "slope_in_per_ft": _number(found.slope) if found else None,
    }


def _edge(each: Edge) -> dict[str, Any]:
    placed = each.placed
    return {
        "opening": each.thing,
        "wall": each.wall,
        "planned_in": [inches(v) for v in each.planned] if each.planned else None,
        "start_in": inches(placed.start) if placed else None,
        "end_in": inches(placed.end) if placed else None,
        "error_in": inches(placed.error) if placed else None,
        "misses_in": inches(placed.misses) if placed else None,
        "doubtful": placed.doubtful if placed else False,
        "trouble": each.trouble or None,
    }
