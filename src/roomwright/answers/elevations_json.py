"""The walls of a room from inside as JSON: documented fields, lengths in inches."""

from __future__ import annotations

from typing import Any

from roomwright.answers.elevations import RoomWalls
from roomwright.answers.wire import inches
from roomwright.fit.escape import Escape
from roomwright.fit.sight import Sight
from roomwright.fit.wall_views import WallView


def as_json(found: RoomWalls) -> dict[str, Any]:
    """Return the documented fields."""
    return {
        "room": found.room,
        "ceiling_in": inches(found.ceiling),
        "datum_in": inches(found.datum),
        "eyes": [
            {"eye": e.name, "low_in": inches(e.low), "high_in": inches(e.high), "at": e.why or None}
            for e in found.eyes
        ],
        "walls": [_wall(view) for view in found.walls],
        "sights": [_sight(each) for each in found.sights],
        "escapes": [_escape(each) for each in found.escapes],
        "cautions": [
            {"kind": f.kind, "severity": f.severity.value, "says": f.text, "ids": list(f.ids),
             "by_in": inches(f.by)}
            for f in found.cautions
        ],
        "questions": [
            {"window": q.window, "place": q.place, "near": q.near or None, "off_in": inches(q.off),
             "asks": q.text}
            for q in found.questions
        ],
        "unmeasured": list(found.unmeasured),
        "rests_on": list(found.rests_on),
        "figures": dict(found.cited),
        "ending": found.ending,
    }  # fmt: skip


def _wall(view: WallView) -> dict[str, Any]:
    return {
        "wall": view.letter,
        "side": view.side,
        "corners": list(view.corners),
        "length_in": inches(view.length),
        "ceiling": [[inches(x), inches(y)] for x, y in view.ceiling],
        "things": [
            {
                "id": s.id,
                "name": s.name,
                "what": s.what,
                "left_in": inches(s.left),
                "right_in": inches(s.right),
                "low_in": inches(s.low),
                "high_in": inches(s.high),
                "usual": s.usual,
                "off_in": inches(s.off),
                "far": s.far,
            }
            for s in view.things
        ],
    }


def _sight(each: Sight) -> dict[str, Any]:
    return {
        "kind": each.kind,
        "says": each.text,
        "ids": list(each.ids),
        "over_in": [inches(v) for v in each.over],
        "hidden_share": round(each.hidden, 3),
        "figures": list(each.figures),
    }


def _escape(each: Escape) -> dict[str, Any]:
    return {
        "window": each.window,
        "verdict": each.word.value,
        "says": each.text,
        "sill_in": inches(each.sill),
        "clear_width_in": inches(each.clear.width),
        "clear_height_in": inches(each.clear.height),
        "clear_area_sq_ft": None if each.clear.area is None else round(each.clear.area, 2),
        "known": each.clear.how,
        "short": list(each.short),
        "covered_by": list(each.covered),
    }
