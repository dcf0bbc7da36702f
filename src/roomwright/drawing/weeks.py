"""A strip of weeks: when things may come against the days they are needed.

Every thing has a lane. Its name stands where its story begins on the strip, not in a column
beside it. What is not ordered has a lens from the earliest to the latest day it would come; what
is ordered a diamond on the promised day; what has come a tick. Two posts bound the days it is
needed: not before, and the last safe day. Days past need are hatched, wide while they only use days
to spare, close where they move the end of the job. It reads in black and white.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from datetime import date, timedelta

from roomwright.days import show_date
from roomwright.drawing import ink, typeface
from roomwright.drawing.lanes import PALE, Heading, Row, Strip, heading, lane, tick, told
from roomwright.drawing.options import Drawing

STEPS = (1, 2, 4, 8, 13, 26, 52, 104, 260, 520)
"""Weeks from one dated Monday to the next."""


def strip_of_weeks(
    rows: Sequence[Row | Heading],
    as_of: date,
    *,
    width: float = 1000.0,
    text: float = 17.0,
    paper: bool = False,
    base: str = "weeks",
    link: Callable[[str], str] | None = None,
) -> Drawing:
    """Draw the strip; rows from top to bottom in the order given, headings over their groups.

    `link` gives the address behind a row's name from its id.

    Raises
    ------
    ValueError
        If no row marks a day.
    """
    lines = [row for row in rows if isinstance(row, Row)]
    days = [day for row in lines for day in row.days]
    if not days:
        raise ValueError("there is nothing to put on a strip of weeks: no row has a day")
    first = _monday(min(*days, as_of))
    last = _monday(max(*days, as_of)) + timedelta(days=7)
    strip = Strip(first, last, width, text, paper, base, [])
    top = 1.9 * text
    lanes: list[str] = []
    for row in rows:
        if isinstance(row, Heading):
            drawn, high = heading(strip, row, top)
        else:
            drawn, high = lane(strip, row, top, link)
        lanes.append(drawn)
        top += high
    legend, below = _legend(
        strip, top + 0.6 * text, lenses=[row.likely for row in lines if row.earliest]
    )
    height = below + 0.4 * text
    body = [_defs(strip), _axis(strip, as_of, top), *lanes, legend]
    said = "; ".join(f"{r.name}:" if isinstance(r, Heading) else told(r) for r in rows)
    svg = ink.document(
        width,
        height,
        [
            ink.rect(0, 0, width, height, class_="paper", fill="#fff"),
            ink.group(body, font_family=ink.FACE, fill=strip.color(), color=strip.color()),
        ],
        title="When things arrive and when they are needed",
        said=said,
        role="group" if link else "img",
        id=base,
        class_="weeks on-paper" if paper else "weeks",
        overflow=None if paper else "visible",  # a letter wider than measured is not cut off
    )
    scale = (strip.x(last) - strip.x(first)) / max(1, (last - first).days)
    return Drawing(svg, width, height, scale, 0.0, 0.0, tuple(strip.boxes))


def _monday(day: date) -> date:
    return day - timedelta(days=day.weekday())


def _defs(strip: Strip) -> str:
    stroke = "#000" if strip.paper else ink.COLORS["short"]
    gap = 0.34 * strip.text
    return (
        "<defs>"
        + ink.hatch(f"{strip.base}-late", gap, stroke, 0.09 * strip.text, down=True)
        + ink.hatch(f"{strip.base}-spare", gap * 2, stroke, 0.06 * strip.text, down=True)
        + "</defs>"
    )


def _axis(strip: Strip, as_of: date, bottom: float) -> str:
    """A line each Monday, heavier at a new month; as many of them dated as there is room for."""
    size = 0.94 * strip.text
    weeks = (strip.last - strip.first).days // 7
    each = strip.x(strip.first + timedelta(days=7)) - strip.x(strip.first)
    years = {strip.first.year, strip.last.year, as_of.year}
    widest = typeface.width("May 30, 2027" if len(years) > 1 else "May 30", size)
    widest += 0.8 * strip.text
    step = next((k for k in STEPS if k * each >= widest), weeks + 1)
    top = 1.5 * strip.text
    drawn: list[str] = []
    soft = "#000" if strip.paper else ink.HAIR
    for week in range(weeks + 1):
        day = strip.first + timedelta(days=7 * week)
        x = strip.x(day)
        month = day.day <= 7
        weight = (0.09 if month else 0.045) * strip.text * (0.5 if strip.paper else 1)
        if each >= 4 or week % step == 0:
            drawn.append(ink.line((x, top), (x, bottom), stroke=soft, stroke_width=weight))
        words = show_date(day, as_of)
        wide = typeface.width(words, size)
        if week % step == 0 and x - wide / 2 >= 0 and x + wide / 2 <= strip.width:
            grey = "#000" if strip.paper else ink.GREY
            drawn.append(
                ink.text((x, 1.05 * strip.text), words, font_size=size, text_anchor="middle",
                         fill=grey)
            )  # fmt: skip
            box = (x - wide / 2, 0.3 * strip.text, x + wide / 2, 1.3 * strip.text)
            strip.boxes.append((words, box))
    x = strip.x(as_of)
    now = ink.line(
        (x, top - 0.3 * strip.text),
        (x, bottom),
        class_="now",
        stroke=strip.color() if strip.paper else ink.ACCENT,
        stroke_width=0.12 * strip.text,
        stroke_dasharray=f"{ink.n(0.4 * strip.text)} {ink.n(0.3 * strip.text)}",
    )
    return ink.group([*drawn, now], class_="axis")


def _legend(strip: Strip, top: float, *, lenses: Sequence[bool]) -> tuple[str, float]:
    """What the marks mean, in as many lines as the width asks for."""
    size = 0.94 * strip.text
    if lenses and all(lenses):
        lens = "lands in it 8 times of 10"
    elif any(lenses):
        lens = "8 times of 10, or by its lead"
    else:
        lens = "would come if ordered now"
    entries = (
        ("lens", lens),
        ("diamond", "promised"),
        ("tick", "here"),
        ("open", "not needed before"),
        ("solid", "last safe day"),
        ("spare", "uses days to spare"),
        ("late", "moves the end"),
    )
    left, y = 0.0, top + size
    drawn = []
    for kind, words in entries:
        wide = 2.1 * size + typeface.width(words, size) + 1.2 * size
        if left > 0 and left + wide > strip.width:
            left, y = 0.0, y + 1.6 * size
        drawn.append(_key(strip, kind, left + 0.9 * size, y - 0.3 * size))
        drawn.append(ink.text((left + 2.1 * size, y), words, font_size=size))
        box = (left, y - 0.8 * size, left + wide - 0.6 * size, y + 0.25 * size)
        strip.boxes.append((words, box))
        left += wide
    return ink.group(drawn, class_="legend"), y + 0.4 * size


def _key(strip: Strip, kind: str, x: float, y: float) -> str:
    size = strip.text
    stroke, weight = strip.color(), 0.08 * size
    pale = "#fff" if strip.paper else PALE
    if kind == "lens":
        d = (
            f"M{ink.n(x - 0.9 * size)} {ink.n(y)}Q{ink.n(x)} {ink.n(y - size)} "
            f"{ink.n(x + 0.9 * size)} {ink.n(y)}Q{ink.n(x)} {ink.n(y + size)} "
            f"{ink.n(x - 0.9 * size)} {ink.n(y)}Z"
        )
        return ink.path(d, fill=pale, stroke=stroke, stroke_width=weight)
    if kind == "diamond":
        r = 0.45 * size
        ring = [(x - r, y), (x, y - r), (x + r, y), (x, y + r)]
        return ink.path(ink.ring(ring), fill=pale, stroke=stroke, stroke_width=weight)
    if kind in ("open", "solid"):
        head, high = 0.32 * size, 0.55 * size
        post = ink.line((x, y - high), (x, y + high), stroke=stroke, stroke_width=1.4 * weight)
        ring = [(x - head, y - high), (x + head, y - high), (x, y - high + 1.4 * head)]
        fill = stroke if kind == "solid" else "#fff"
        return post + ink.path(ink.ring(ring), fill=fill, stroke=stroke, stroke_width=weight)
    if kind == "tick":
        return tick(x, y, size, stroke)
    half = 0.42 * size
    fill = f"url(#{strip.base}-{kind})"
    return ink.rect(x - 0.8 * size, y - half, x + 0.8 * size, y + half, fill=fill, stroke=stroke,
                    stroke_width=0.6 * weight)  # fmt: skip
