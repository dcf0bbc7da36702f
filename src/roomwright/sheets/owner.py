"""One page for the owner, as PDF: the picture, the sizes that were tried, why this one."""

from __future__ import annotations

import json
import threading
from collections.abc import Mapping
from dataclasses import asdict
from functools import cache
from importlib import resources
from typing import Literal

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
HIGH = tuple(inches * POINTS_PER_INCH for inches in (4.3, 3.7, 3.1, 2.4))
"""The most of the page that the picture takes [pt]; the largest that leaves it one page."""

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
    shape = shown.ask(plan, room)
    content = asdict(told(answers, room, found)) | {"printed": day}
    with _LOCK:
        for high in HIGH:
            options = PlanOptions(width=WIDTH, height=high, paper=True, text=9.5, base="owner")
            drawing = room_plan(shape, options)
            told_ = json.dumps(content | {"width": drawing.width}, ensure_ascii=False)
            inputs = {"content": told_, "plan": drawing.svg}
            if not isinstance(_typeset(inputs, "svg"), list):  # one page
                break
        made = _typeset(inputs, "pdf")
    if not isinstance(made, bytes):
        raise TypeError("the typesetter gave no single file")
    return made


def _typeset(inputs: Mapping[str, str], form: Literal["pdf", "svg"]) -> object:
    return _compiler().compile(_source(), format=form, sys_inputs=dict(inputs), timestamp=0)
