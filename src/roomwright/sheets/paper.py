"""A wall sheet as a PDF on letter paper, and as a picture.

The tables, the drawing and the code all come from one `Sheet`; the same sheet gives the same
bytes. The typesetter's fonts are loaded once; it reads nothing but what is handed to it.
"""

from __future__ import annotations

import io
import json
import math
import threading
from collections.abc import Sequence
from dataclasses import dataclass
from functools import cache
from importlib import resources
from typing import Any

import segno
import typst

from roomwright.answers.plan_model import Plan
from roomwright.answers.sheet_cautions import ENDING
from roomwright.answers.sheet_model import MEASURE, Sheet
from roomwright.days import show_date
from roomwright.drawing import typeface
from roomwright.drawing.options import (
    ARCHITECT_SCALES,
    EVERY_DIM,
    POINTS_PER_INCH,
    Drawing,
    PlanOptions,
)
from roomwright.drawing.plan import room_plan, size_of
from roomwright.drawing.work import BAD

PAGE_WIDTH = 7.5 * POINTS_PER_INCH
"""Width between the margins [pt]."""

PAGE_HEIGHT = 9.83 * POINTS_PER_INCH
"""Height between the margins [pt]."""

LEAST = 220.0
"""The height that a plan has in any case [pt]."""

LARGE = 3 / 8
"""At this many inches to the foot a plan is large enough to have the tables under it."""

_SCALES = {ratio * POINTS_PER_INCH / 12: name for ratio, name in ARCHITECT_SCALES}
"""Points per inch of house, the largest first, with the scale in words."""

LETTERING = 9.5
"""Size of the plan's lettering [pt]."""

_DAYS = ("Mon", "Tue", "Wed", "Thu", "Fri", "Sat", "Sun")

_LOCK = threading.Lock()  # one typesetter, one sheet at a time


@cache
def _source() -> bytes:
    return resources.files("roomwright.sheets").joinpath("sheet.typ").read_bytes()


@cache
def _compiler() -> typst.Compiler:
    fonts = typst.Fonts(
        include_system_fonts=False, include_embedded_fonts=True, font_paths=[str(typeface.FONTS)]
    )
    return typst.Compiler(_source(), font_paths=fonts, ignore_system_fonts=True)


def pdf(sheet: Sheet, *, page_url: str) -> bytes:
    """The sheet as a PDF on letter paper.

    Parameters
    ----------
    sheet
        From the answer `sheet`.
    page_url
        Address of the room's page, for the QR code.
    """
    return _compiled(sheet, page_url, "pdf")[0]


def png(sheet: Sheet, *, page_url: str, ppi: float = 110) -> list[bytes]:
    """The sheet's pages as pictures, to look at."""
    return _compiled(sheet, page_url, "png", ppi)


def _compiled(sheet: Sheet, page_url: str, form: Any, ppi: float = 110) -> list[bytes]:
    drawing, scale, pages = drawn(sheet)
    inputs = {
        "content": json.dumps(_content(sheet, drawing, scale, pages), ensure_ascii=False),
        "plan": drawing.svg,
        "qr": qr(page_url),
    }
    with _LOCK:
        made = _compiler().compile(_source(), format=form, ppi=ppi, sys_inputs=inputs, timestamp=0)
    return made if isinstance(made, list) else [made or b""]


def qr(page_url: str) -> str:
    """The QR code of an address as an SVG, error correction M, with its quiet zone of 4."""
    out = io.BytesIO()
    segno.make(page_url, error="m", micro=False).save(
        out, kind="svg", border=4, omitsize=True, xmldecl=False, light="#fff", svgclass=None,
        lineclass=None,
    )  # fmt: skip
    return out.getvalue().decode("utf-8")


def drawn(sheet: Sheet) -> tuple[Drawing, str, int]:
    """The sheet's plan, its scale in words, and on how many pages the sheet is laid out.

    The plan gets the largest scale of an architect's rule at which it goes on the first page with
    the cautions. The tables go under it if that makes it no smaller, or leaves it large; else
    on a second page. A room too large for any scale is drawn to fit, and says so.
    """
    heights = _heights(sheet)
    one = _scaled(sheet.plan, PAGE_HEIGHT - heights.one)
    two = _scaled(sheet.plan, max(LEAST, PAGE_HEIGHT - heights.two))
    if two is None:
        high = max(LEAST, PAGE_HEIGHT - heights.two)
        options = PlanOptions(
            width=PAGE_WIDTH, height=high, paper=True, text=LETTERING, dims=EVERY_DIM
        )
        return room_plan(sheet.plan, options), "none: drawn to fit, not to scale", 2
    if one is not None and one[0] >= min(two[0], LARGE * POINTS_PER_INCH / 12):
        return room_plan(sheet.plan, one[1]), _SCALES[one[0]], 1
    return room_plan(sheet.plan, two[1]), _SCALES[two[0]], 2


def _scaled(plan: Plan, high: float) -> tuple[float, PlanOptions] | None:
    """The largest architect's scale at which a plan goes on the page and is at most `high`."""
    for scale in _SCALES:
        options = PlanOptions(width=160, paper=True, scale=scale, text=LETTERING, dims=EVERY_DIM)
        width, height = size_of(plan, options)
        if width <= PAGE_WIDTH and height <= high:
            return scale, options
    return None


@dataclass(frozen=True, slots=True)
class _Heights:
    """Height of all but the plan, on the one page or on the first of two [pt]."""

    one: float
    two: float


def _heights(sheet: Sheet) -> _Heights:
    """Estimated from the widths of the texts; a little too high rather than too low."""
    half = (PAGE_WIDTH - 16) / 2
    head = 92 + 13 * _rows([" ".join((replaces(sheet), *sheet.changed))], 350, 11, True)
    plan = 28.0
    walls = [row for row in sheet.dims if row.taped]
    rest = [row for row in sheet.dims if not row.taped]
    left = (18 + sum(6.6 + 11.9 * len(r.taped.split("; ")) for r in walls)) * bool(walls)
    left += (18 + sum(_row_high([r.what], half - 56, r.word in BAD) for r in rest)) * bool(rest)
    right = sum(_row_high([f"{r.name}, {r.note}"], half - 88, True) for r in sheet.parts)
    said = " ".join(["Caution  ", *(c.text for c in sheet.cautions), ENDING])
    notes = 16 * _rows([" ".join(sheet.notes)], PAGE_WIDTH, 9.5) * bool(sheet.notes)
    papers = 12.5 * _rows([", ".join(sheet.documents)], PAGE_WIDTH - 190, 9.5)
    news = 32 + 13.4 * _rows([n.text for n in sheet.news], PAGE_WIDTH - 250, 9.5)
    caution = 22 + 12.4 * _rows([said], PAGE_WIDTH - 18, 10)
    beside = 22 + 12.4 * _rows([said], PAGE_WIDTH - 18 - 125, 10)
    one = head + plan + max(left, 18 + right) + notes + papers + caution + news + 24
    return _Heights(one, head + plan + notes + max(beside, 52.0 * max(1, len(sheet.calls))) + 10)


def _row_high(texts: Sequence[str], wide: float, bold: bool) -> float:
    return 6.6 + 11.9 * _rows(texts, wide, 9.5, bold)


def _rows(texts: Sequence[str], wide: float, size: float, bold: bool = False) -> float:
    """How many lines some paragraphs take in a column, at least one."""
    lines = sum(math.ceil(typeface.width(text, size, bold) * 1.04 / wide) for text in texts if text)
    return float(max(1, lines))


def _content(sheet: Sheet, drawing: Drawing, scale: str, pages: int) -> dict[str, Any]:
    """What the typesetter is told, all of it text as printed."""
    printed = f"{_DAYS[sheet.as_of.weekday()]} {show_date(sheet.as_of)}, {sheet.as_of.year}"
    room = PAGE_WIDTH - 235
    size = next(s for s in (40, 34, 28, 24, 20, 16) if s == 16 or _wide(sheet.title, s) <= room)
    return {
        "title": sheet.title,
        "title_size": size,
        "trade": sheet.for_whom,
        "house": sheet.house,
        "printed": printed,
        "replaces": replaces(sheet),
        "changed": list(sheet.changed),
        "revision": sheet.revision,
        "revision_size": 60 if len(sheet.revision) < 3 else 28,
        "code": sheet.code,
        "scale": scale,
        "pages": pages,
        "plan_width": drawing.width,
        "walls": [
            {
                "what": row.what,
                "drawn": row.drawn,
                "taped": [
                    {"text": line, "measure": MEASURE in line} for line in row.taped.split("; ")
                ],
            }
            for row in sheet.dims
            if row.taped
        ],
        "dims": [
            {"what": row.what, "drawn": row.drawn, "short": row.word in BAD}
            for row in sheet.dims
            if not row.taped
        ],
        "parts": [
            {
                "name": row.name,
                "note": row.note,
                "plan": str(row.plan),
                "ordered": str(row.ordered),
                "received": str(row.received),
            }
            for row in sheet.parts
        ],
        "notes": " ".join(sheet.notes),
        "documents": ", ".join(sheet.documents),
        "cautions": [each.text for each in sheet.cautions],
        "ending": ENDING,
        "check": "Scan, or type the words, to see whether this paper still holds.",
        "calls": [{"who": c.who, "name": c.name, "phone": c.phone} for c in sheet.calls],
        "news": [{"when": n.when, "text": n.text} for n in sheet.news],
        "foot": ", ".join(filter(None, (sheet.title, sheet.trade, sheet.revision)))
        + f" {sheet.code}",
    }


def _wide(text: str, size: float) -> float:
    return typeface.width(text, size, bold=True)


def replaces(sheet: Sheet) -> str:
    """What the head says of the paper that this one takes the place of."""
    hung = sheet.hung
    if hung is None:
        return "first sheet of this room" + (" for this trade" if sheet.trade else "")
    when = f" of {show_date(hung.posted, sheet.as_of)}" if hung.posted else ""
    if hung.content and hung.code == sheet.code:
        return f"the same as {hung.revision}{when}"
    return f"replaces {hung.revision}{when}" + (":" if sheet.changed else "")
