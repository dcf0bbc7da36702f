"""The weeks ahead on letter paper, landscape, for the wall: by crew, by room, what is missing.

The same answer gives the same bytes. Names are set at 12 pt and more, titles at 15 and 26: read
from the wall at four feet.
"""

from __future__ import annotations

import json
import threading
from collections.abc import Iterator, Sequence
from functools import cache
from importlib import resources
from typing import Any, Final

import typst

from roomwright.answers.look_ahead import LookAhead, Row
from roomwright.days import show_date
from roomwright.drawing import typeface
from roomwright.drawing.look_ahead import head_high, heights, look_ahead_grid
from roomwright.drawing.options import POINTS_PER_INCH

WIDTH: Final = 10.0 * POINTS_PER_INCH
HEIGHT: Final = 6.55 * POINTS_PER_INCH
"""Room for a grid between the margins, its title taken off [pt]."""

TEXT: Final = 12.0
"""Size of a grid's lettering [pt]."""

_LOCK = threading.Lock()


@cache
def _source() -> bytes:
    return resources.files("roomwright.sheets").joinpath("look-ahead.typ").read_bytes()


@cache
def _compiler() -> typst.Compiler:
    fonts = typst.Fonts(
        include_system_fonts=False, include_embedded_fonts=True, font_paths=[str(typeface.FONTS)]
    )
    return typst.Compiler(_source(), font_paths=fonts, ignore_system_fonts=True)


def pdf(found: LookAhead, *, printed: str) -> bytes:
    """The weeks ahead as a PDF; `printed` is the day in words."""
    return _made(found, printed, "pdf")[0]


def png(found: LookAhead, *, printed: str, ppi: float = 90) -> list[bytes]:
    """The pages as pictures, to look at."""
    return _made(found, printed, "png", ppi)


def _made(found: LookAhead, printed: str, form: Any, ppi: float = 90) -> list[bytes]:
    grids = list(_grids(found))
    content = {
        "title": f"Weeks ahead: {found.span}",
        "house": found.house,
        "printed": printed,
        "says": found.says,
        "ending": found.ending,
        "width": WIDTH,
        "grids": [{"key": key, "title": title} for key, title, _ in grids],
        "lacking": [
            {
                "needed": show_date(one.needed, found.as_of),
                "trade": one.trade,
                "name": one.name,
                "room": one.room,
                "says": one.says,
            }
            for one in found.lacking
        ],
        "closed": list(found.closed),
        "cautions": list(found.cautions),
    }
    inputs = {"content": json.dumps(content, ensure_ascii=False)}
    inputs |= {key: svg for key, _, svg in grids}
    with _LOCK:
        made = _compiler().compile(_source(), format=form, ppi=ppi, sys_inputs=inputs, timestamp=0)
    return made if isinstance(made, list) else [made or b""]


def _grids(found: LookAhead) -> Iterator[tuple[str, str, str]]:
    """Yield the key, title and drawing of each page of rows."""
    for by, rows in (("crew", found.crews), ("room", found.rooms)):
        pages = list(_pages(rows, found, by))
        for n, page in enumerate(pages):
            key = f"{by}{n}"
            title = f"By {by}" + (f", {n + 1} of {len(pages)}" if len(pages) > 1 else "")
            drawing = look_ahead_grid(
                page, found.days, found.as_of, by=by, width=WIDTH, text=TEXT, paper=True, base=key
            )
            yield key, title, drawing.svg


def _pages(rows: Sequence[Row], found: LookAhead, by: str) -> Iterator[list[Row]]:
    """Yield as many rows at a time as go on a page; a row too high for one has it alone."""
    page: list[Row] = []
    used = head_high(TEXT)
    if not rows or not found.days:
        return
    high_ = heights(rows, found.days, by=by, width=WIDTH, text=TEXT)
    for row, high in zip(rows, high_, strict=True):
        if page and used + high > HEIGHT:
            yield page
            page, used = [], head_high(TEXT)
        page.append(row)
        used += high
    yield page
