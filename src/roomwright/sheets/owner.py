"""One page for the owner, as PDF: the picture, the sizes that were tried, why this one."""

from __future__ import annotations

import json
import threading
from dataclasses import asdict
from functools import cache
from importlib import resources

import typst

from roomwright.answers import Answers
from roomwright.answers.plans import plan
from roomwright.answers.what_fits_owner import told
from roomwright.answers.what_fits_taken import taken
from roomwright.days import show_date
from roomwright.drawing import typeface
from roomwright.drawing.options import POINTS_PER_INCH, PlanOptions
from roomwright.drawing.plan import room_plan
from roomwright.fit.search_found import Found

WIDTH = 7.5 * POINTS_PER_INCH
HIGH = 4.3 * POINTS_PER_INCH
"""The most of the page that the picture takes [pt]."""

_LOCK = threading.Lock()


@cache
def _source() -> bytes:
    return resources.files("roomwright.sheets").joinpath("owner.typ").read_bytes()


@cache
def _compiler() -> typst.Compiler:
    fonts = typst.Fonts(
        include_system_fonts=False, include_embedded_fonts=True, font_paths=[str(typeface.FONTS)]
    )
    return typst.Compiler(_source(), font_paths=fonts, ignore_system_fonts=True)


def pdf(answers: Answers, room: str, found: Found, *, printed: str = "") -> bytes:
    """The owner's page as a PDF; `printed` is the day in words, by default the answers' own."""
    day = printed or f"{show_date(answers.as_of)}, {answers.as_of.year}"
    shown = answers if found.best is None else taken(answers, room, found, found.best)
    drawing = room_plan(
        shown.ask(plan, room),
        PlanOptions(width=WIDTH, height=HIGH, paper=True, text=9.5, base="owner"),
    )
    content = asdict(told(answers, room, found)) | {"printed": day, "width": drawing.width}
    inputs = {"content": json.dumps(content, ensure_ascii=False), "plan": drawing.svg}
    with _LOCK:
        made = _compiler().compile(_source(), format="pdf", sys_inputs=inputs, timestamp=0)
    if not isinstance(made, bytes):
        raise TypeError("the typesetter gave no single file")
    return made
