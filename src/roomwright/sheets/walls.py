"""The walls of a room from inside on letter paper, as PDF; the same answer gives the same bytes."""

from __future__ import annotations

import json
import threading
from functools import cache
from importlib import resources
from typing import Any

import typst

from roomwright.answers.elevations import Height, RoomWalls
from roomwright.answers.elevations_words import against, cautions, heading, parts
from roomwright.drawing import typeface
from roomwright.drawing.elevation import elevation
from roomwright.drawing.options import POINTS_PER_INCH, PlanOptions
from roomwright.lengths import tape

WIDTH = 7.5 * POINTS_PER_INCH
"""Width between the margins [pt]."""

HIGH = 3.9 * POINTS_PER_INCH
"""The most that one wall takes of a page, so that two go on it [pt]."""

_LOCK = threading.Lock()


@cache
def _source() -> bytes:
    return resources.files("roomwright.sheets").joinpath("walls.typ").read_bytes()


@cache
def _compiler() -> typst.Compiler:
    fonts = typst.Fonts(
        include_system_fonts=False, include_embedded_fonts=True, font_paths=[str(typeface.FONTS)]
    )
    return typst.Compiler(_source(), font_paths=fonts, ignore_system_fonts=True)


def pdf(found: RoomWalls, *, printed: str) -> bytes:
    """The walls of a room as a PDF; `printed` is the day in words."""
    options = PlanOptions(width=WIDTH, height=HIGH, paper=True, text=9.5, base="walls")
    pictures = {f"wall{i}": elevation(found, v, options).svg for i, v in enumerate(found.walls)}
    inputs = {"content": json.dumps(_content(found, printed), ensure_ascii=False), **pictures}
    with _LOCK:
        made = _compiler().compile(_source(), format="pdf", sys_inputs=inputs, timestamp=0)
    if not isinstance(made, bytes):
        raise TypeError("the typesetter gave no single file")
    return made


def _content(found: RoomWalls, printed: str) -> dict[str, Any]:
    sizes = (s for s in range(34, 14, -1) if typeface.width(found.title, s, bold=True) <= WIDTH)
    return {
        "title": found.title,
        "title_size": next(sizes, 14),
        "house": found.house,
        "printed": printed,
        "width": WIDTH,
        "walls": [{"title": heading(view)} for view in found.walls],
        "datum_head": "" if found.datum is None else f"Datum {tape(found.datum)}",
        "heights": [_row(found, each) for each in found.heights],
        "parts": [{"title": head, "lines": list(lines)} for head, lines in parts(found)],
        "cautions": list(cautions(found)),
        "ending": found.ending,
        "rests_on": list(found.rests_on),
        "foot": f"{found.title}, walls and heights",
    }


def _row(found: RoomWalls, each: Height) -> dict[str, str]:
    return {
        "what": f"{each.name} {each.id}",
        "walls": each.walls,
        "low": tape(each.low) if each.low else "floor",
        "high": "measure" if each.high is None else tape(each.high),
        "datum": against(found, each),
    }
