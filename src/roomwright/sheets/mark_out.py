"""A mark-out on letter paper, and its story poles at true size, as PDF.

As with the wall sheets, the same answer gives the same bytes, and the typesetter reads nothing
but what is handed to it.
"""

from __future__ import annotations

import json
import threading
from collections.abc import Mapping
from functools import cache
from importlib import resources
from typing import Any

import typst

from roomwright.answers.mark_out_model import MarkOut
from roomwright.answers.mark_out_words import lead, up
from roomwright.answers.sheet_cautions import ENDING
from roomwright.drawing import typeface
from roomwright.drawing.mark_plan import mark_plan
from roomwright.drawing.mark_pole import page
from roomwright.drawing.options import POINTS_PER_INCH, PlanOptions
from roomwright.lengths import tape
from roomwright.markout.pole import Pole, pages

WIDTH = 7.5 * POINTS_PER_INCH
"""Width between the margins [pt]."""

HIGH = 4.9 * POINTS_PER_INCH
"""The most of a page that the drawing takes [pt]."""

_LOCK = threading.Lock()


@cache
def _source(name: str) -> bytes:
    return resources.files("roomwright.sheets").joinpath(name).read_bytes()


@cache
def _compiler() -> typst.Compiler:
    fonts = typst.Fonts(
        include_system_fonts=False, include_embedded_fonts=True, font_paths=[str(typeface.FONTS)]
    )
    return typst.Compiler(_source("mark-out.typ"), font_paths=fonts, ignore_system_fonts=True)


def pdf(found: MarkOut, *, printed: str) -> bytes:
    """The mark-out as a PDF; `printed` is the day in words.

    Raises
    ------
    ValueError
        If the room has no outline.
    """
    options = PlanOptions(width=WIDTH, height=HIGH, paper=True, text=9.5, base="mark-out")
    made = mark_plan(found, options)
    content = _content(found, printed, made.times) | {"plan_width": made.drawing.width}
    return _typeset("mark-out.typ", content, {"plan": made.drawing.svg})


def pole_pdf(found: MarkOut, pole: Pole) -> bytes:
    """A story pole as a PDF: check squares and list on page 1, strips at true size behind."""
    sheets = pages(pole)
    count = len(sheets) + 1
    svgs = {f"page{i}": page(pole, strips, i + 2, count) for i, strips in enumerate(sheets)}
    end = "floor" if pole.upright else "start"
    content = {
        "title": f"Story pole, {pole.name}",
        "title_size": _title_size(f"Story pole, {pole.name}", 25),
        "sub": f"{found.title}, {found.house}. Page 1 of {count}.",
        "pages": len(sheets),
        "how": [
            "Print every page at 100 %, never “fit to page”. Tape both squares, across and up: if "
            "they are off, the printer scales. One that is off by 1/32 inch puts a mark at 10 feet "
            "off by almost 1 inch.",
            "Cut the strips apart. Lay the foot of each on the dashed line of the one before, so "
            "that the ticks of the flap lie on each other, and tape or glue them down on a lath.",
            f"Tape the finished pole: it is {tape(pole.length)} from its {end} to its end. Paper "
            "moves with the weather: carry the marks to the lath the day you make it.",
            f"Hold the {end} on {pole.start} and carry the marks over. Each says what it is for.",
        ],
        "marks": [{"at": tape(m.at), "label": m.label} for m in pole.marks],
    }
    return _typeset("pole.typ", content, svgs)


def _typeset(name: str, content: Mapping[str, Any], pictures: Mapping[str, str]) -> bytes:
    inputs = {"content": json.dumps(content, ensure_ascii=False), **pictures}
    with _LOCK:
        made = _compiler().compile(_source(name), format="pdf", sys_inputs=inputs, timestamp=0)
    if not isinstance(made, bytes):
        raise TypeError("the typesetter gave no single file")
    return made


def _content(found: MarkOut, printed: str, times: int) -> dict[str, Any]:
    return {
        "title": found.title,
        "title_size": _title_size(found.title, 34),
        "house": found.house,
        "printed": printed,
        "lead": lead(found),
        "ellipses": ellipses(times),
        "troubles": list(found.troubles),
        "ties": [
            {
                "id": f.target.id,
                "first": tape(f.first.read),
                "first_from": f.first.hook.name,
                "second": tape(f.second.read),
                "second_from": f.second.hook.name,
                "angle": f"{f.angle:.0f}°",
                "error": tape(up(f.ellipse.major)),
            }
            for f in found.fixes
        ],
        "lines": [
            {
                "title": f"From corner {b.start_name} along the {b.faces} wall ({b.wall})",
                "square": _square(b.square.heel, b.square.toe, b.square.off, b.square.across)
                if b.square
                else "",
                "rows": [
                    {
                        "id": o.target.id,
                        "name": o.target.name,
                        "along": tape(o.read_along),
                        "off": tape(o.read_off),
                        "error": tape(up(o.ellipse.major)),
                    }
                    for o in b.offsets
                ],
            }
            for b in found.baselines
        ],
        "parts": [
            {"title": head, "steps": [{"who": s.who, "text": s.text} for s in steps]}
            for head, steps in found.steps
        ],
        "sticks": [
            {
                "count": str(s.count),
                "length": tape(s.length),
                "uses": "; ".join(s.uses),
                "source": s.source,
            }
            for s in found.sticks
        ],
        "cautions": [c.text for c in found.cautions],
        "ending": ENDING,
        "rests_on": list(found.rests_on),
        "foot": f"{found.title}, mark-out",
    }


def _title_size(title: str, most: int) -> int:
    """The largest size at which a title goes on one line, 14 at least [pt]."""
    sizes = range(most, 14, -1)
    return next((s for s in sizes if typeface.width(title, s, bold=True) <= WIDTH), 14)


def _square(heel: float, toe: float, off: float, across: float) -> str:
    return (
        f"3-4-5: heel at {tape(heel)} and toe at {tape(toe)} along the wall, {tape(off)} into the "
        f"room, {tape(across)} across."
    )


def ellipses(times: int) -> str:
    """What stands under a drawing that shows error ellipses."""
    if not times:
        return ""
    return f"Ellipses: where a point lies 95 times of 100, drawn {times} times as large."
