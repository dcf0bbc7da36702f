"""A mark-out as the documented JSON fields (docs/json.md)."""

from __future__ import annotations

from typing import Any

from roomwright.answers.mark_out_model import MarkOut
from roomwright.answers.wire import inches
from roomwright.markout.baseline import Baseline, Square
from roomwright.markout.error import Ellipse
from roomwright.markout.ties import TieFix


def as_json(found: MarkOut) -> dict[str, Any]:
    """Return the documented fields."""
    return {
        "room": found.room,
        "method": found.asked.method,
        "marked": [c.id for c in found.choices if c.chosen and not c.hinder],
        "standing": [c.id for c in found.choices if c.standing],
        "points": [
            {"id": t.id, "name": t.name, "of": t.of, "purpose": t.purpose,
             "x": inches(t.at[0]), "y": inches(t.at[1])}
            for t in found.targets
        ],
        "fixed_points": [
            {"id": h.id, "name": h.name, "kind": h.kind, "x": inches(h.at[0]),
             "y": inches(h.at[1])}
            for h in found.hooks
        ],
        "there": [{"point": t.target.id, "fixed_point": t.hook.id, "name": t.hook.name}
                  for t in found.there],
        "ties": [_fix(f) for f in found.fixes],
        "baselines": [_line(b) for b in found.baselines],
        "missed": [t.id for t in found.missed],
        "worst_error_in": inches(found.worst),
        "worst_rounding_in": inches(found.rounding),
        "checks": [
            {"from": c.first.id, "to": c.second.id, "kind": c.kind,
             "distance_in": inches(c.distance), "read_in": inches(c.read),
             "within_in": inches(c.within)}
            for c in found.checks
        ],
        "steps": [
            {"part": head, "who": s.who, "text": s.text, "aloud": s.aloud, "marks": list(s.points)}
            for head, steps in found.steps
            for s in steps
        ],
        "sticks": [
            {"length_in": inches(s.length), "count": s.count, "figure": s.figure,
             "source": s.source, "uses": list(s.uses)}
            for s in found.sticks
        ],
        "poles": [
            {"id": p.id, "name": p.name, "start": p.start, "length_in": inches(p.length),
             "marks": [{"at_in": inches(m.at), "label": m.label} for m in p.marks]}
            for p in found.poles
        ],
        "troubles": list(found.troubles),
        "cautions": [
            {"caution": c.key, "text": c.text, "source": c.source} for c in found.cautions
        ],
        "rests_on": list(found.rests_on),
    }  # fmt: skip


def _ellipse(e: Ellipse) -> dict[str, float | None]:
    return {"major_in": inches(e.major), "minor_in": inches(e.minor), "turn": inches(e.turn)}


def _fix(fix: TieFix) -> dict[str, Any]:
    return {
        "point": fix.target.id,
        "ties": [
            {"fixed_point": t.hook.id, "distance_in": inches(t.distance), "read_in": inches(t.read)}
            for t in fix.ties
        ],
        "crossing": inches(fix.angle),
        "side": fix.side if fix.twin else "",
        "error": _ellipse(fix.ellipse),
        "best_error_in": inches(fix.best),
        "rounding_in": inches(fix.rounding),
    }


def _line(line: Baseline) -> dict[str, Any]:
    return {
        "wall": line.wall,
        "faces": line.faces,
        "from_corner": line.start_name,
        "square": None if line.square is None else _square(line.square),
        "points": [
            {
                "point": o.target.id,
                "along_in": inches(o.along),
                "off_in": inches(o.off),
                "read_along_in": inches(o.read_along),
                "read_off_in": inches(o.read_off),
                "error": _ellipse(o.ellipse),
                "rounding_in": inches(o.rounding),
            }
            for o in line.offsets
        ],
    }


def _square(square: Square) -> dict[str, float | None]:
    return {
        "heel_in": inches(square.heel),
        "toe_in": inches(square.toe),
        "along_in": inches(square.along),
        "off_in": inches(square.off),
        "across_in": inches(square.across),
    }
