"""A lane of the strip of weeks: one thing's name, its marks, and the words beside them."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from datetime import date

from roomwright.answers.plan_model import Word
from roomwright.days import show_date
from roomwright.drawing import ink, typeface
from roomwright.drawing.places import Rect
from roomwright.shape import Point

NAME = 0.9
"""Baseline of a lane's name under its top, as a part of the text size."""

LENS = 0.62
"""Half the thickness of a lens, as a part of the text size."""

GAP = 0.5
"""Between a mark and the words beside it, as a part of the text size."""


PALE = "#DDE9EA"
"""Fill of a lens or a promise that is in time, on a screen."""


@dataclass(frozen=True, slots=True)
class Row:
    """One thing on the strip.

    `earliest, latest` bound the days on which it would come if ordered as told in `said`; where
    it is `likely` they bound its arrival window, in which eight of ten futures have it land.
    `promised` is the promise as it stands, `received` the day it came. `not_before` and
    `last_safe` are the two ends of its need. `word` colors `state`; `cost` says what it costs.
    """

    id: str
    name: str
    said: str
    state: str
    word: Word = ""
    cost: str = ""
    earliest: date | None = None
    latest: date | None = None
    promised: date | None = None
    received: date | None = None
    not_before: date | None = None
    last_safe: date | None = None
    likely: bool = False

    @property
    def days(self) -> tuple[date, ...]:
        """All days that the row marks."""
        found = (
            self.earliest, self.latest, self.promised, self.received, self.not_before,
            self.last_safe,
        )  # fmt: skip
        return tuple(day for day in found if day is not None)


@dataclass(frozen=True, slots=True)
class Heading:
    """Words over the lanes that follow, such as a room or a visit, and what is said beside them."""

    id: str
    name: str
    said: str = ""


@dataclass(slots=True)
class Strip:
    """Where days and lanes are on the drawing."""

    first: date
    last: date
    width: float
    text: float
    paper: bool
    base: str
    boxes: list[tuple[str, Rect]]

    def x(self, day: date) -> float:
        """Where a day stands."""
        pad = self.text
        span = max(1, (self.last - self.first).days)
        return pad + (self.width - 2 * pad) * (day - self.first).days / span

    def color(self, word: str = "") -> str:
        """Ink, or on a screen the color of a verdict."""
        return "#000" if self.paper else ink.COLORS.get(word, ink.INK)


def told(row: Row) -> str:
    """A row in words, for those who do not see it."""
    parts = [row.name, row.said, row.state, row.cost]
    if row.likely and row.earliest and row.latest:
        low, high = show_date(row.earliest), show_date(row.latest)
        parts.append(f"eight times of ten it lands from {low} to {high}")
    if row.not_before and row.last_safe:
        parts.append(
            f"needed from {show_date(row.not_before)}, last safe day {show_date(row.last_safe)}"
        )
    return ", ".join(part for part in parts if part)


def heading(strip: Strip, one: Heading, top: float) -> tuple[str, float]:
    """A rule over the width and words under it, clear of what stands above."""
    size = 1.06 * strip.text
    y = top + 1.55 * size
    name = typeface.fit(one.name, size, strip.width - 2, bold=True)
    bold = typeface.width(name, size, True)
    gap = typeface.width("  ", size)
    said = one.said if bold + gap + typeface.width(one.said, size) <= strip.width - 2 else ""
    wide = bold + (gap + typeface.width(said, size) if said else 0.0)
    strip.boxes.append((one.name, (0.0, y - 0.75 * size, wide, y + 0.25 * size)))
    rule = ink.line((0, top + 0.35 * size), (strip.width, top + 0.35 * size),
                    stroke=strip.color(), stroke_width=0.1 * strip.text)  # fmt: skip
    grey = "#000" if strip.paper else ink.GREY
    drawn = [
        rule,
        _plate(strip, 0.0, y, wide),
        ink.text((0, y), name, font_size=size, font_weight="700"),
        ink.text((bold + gap, y), said, font_size=size, fill=grey) if said else "",
    ]
    return ink.group(drawn, class_="heading", data_group=one.id), 2.2 * size


def lane(
    strip: Strip, row: Row, top: float, link: Callable[[str], str] | None
) -> tuple[str, float]:
    """One thing: its name over the first of its marks, its state beside the last."""
    size = strip.text
    mid = top + NAME * size + 0.75 * size + LENS * size
    marks = [*_window(strip, row, mid), *_posts(strip, row, mid), *_came(strip, row, mid)]
    days = row.days
    start, end = strip.x(min(days)), strip.x(max(days))
    name = _name(strip, row, start, top + NAME * size, link)
    words, rows_ = _words(strip, row, start, end, mid)
    drawn = ink.group([*marks, name, words], class_=f"lane {row.word}".rstrip(), data_line=row.id)
    return drawn, mid - top + LENS * size + (0.65 + 1.25 * rows_) * size


def _name(strip: Strip, row: Row, start: float, y: float, link: Callable[[str], str] | None) -> str:
    size = strip.text
    name = typeface.fit(row.name, size, strip.width - 2, bold=True)
    bold = typeface.width(name, size, True)
    said = f"  {row.said}" if row.said else ""
    said = typeface.fit(said, size, max(0.0, strip.width - bold - 2)) if said else ""
    wide = bold + typeface.width(said, size)
    left = max(0.0, min(start - 0.3 * size, strip.width - wide))
    strip.boxes.append((row.name, (left, y - 0.75 * size, left + wide, y + 0.25 * size)))
    title = ink.text((left, y), name, font_size=size, font_weight="700")
    if link is not None:
        where = ink.attrs({"href": link(row.id), "aria_label": told(row)})
        title = f"<a{where}>{title}</a>"
    grey = "#000" if strip.paper else ink.GREY
    gap = typeface.width("  ", size)
    rest = said.strip()
    return (
        _plate(strip, left, y, wide)
        + title
        + (ink.text((left + bold + gap, y), rest, font_size=size, fill=grey) if rest else "")
    )


def _plate(strip: Strip, left: float, y: float, wide: float) -> str:
    size = strip.text
    return ink.rect(
        left - 0.1 * size, y - 0.78 * size, left + wide + 0.1 * size, y + 0.24 * size,
        class_="plate", fill="#fff",
    )  # fmt: skip


def _words(strip: Strip, row: Row, start: float, end: float, mid: float) -> tuple[str, int]:
    """State and cost: after the marks, before them, or on a line under; how many lines under."""
    size = strip.text
    cost = f", {row.cost}" if row.cost else ""
    wide = typeface.width(row.state, size, True) + typeface.width(cost, size)
    room = (LENS + GAP) * size
    y, under = mid + 0.25 * size, 0
    if end + room + wide <= strip.width:
        left = end + room
    elif start - room - wide >= 0:
        left = start - room - wide
    else:
        left = max(0.0, min(start, strip.width - wide))
        y, under = mid + (LENS + 1.15) * size, 1
    strip.boxes.append(
        (f"{row.name}: state", (left, y - 0.75 * size, left + wide, y + 0.25 * size))
    )
    state = ink.text(
        (left, y), row.state, font_size=size, font_weight="700", fill=strip.color(row.word)
    )
    bold = typeface.width(row.state, size, True)
    rest = ink.text((left + bold, y), cost, font_size=size) if cost else ""
    return _plate(strip, left, y, wide) + state + rest, under


def _window(strip: Strip, row: Row, mid: float) -> list[str]:
    """The lens from the earliest to the latest day, and the promise with the days it is late."""
    drawn = []
    pale = "#fff" if strip.paper else PALE
    stroke, weight = strip.color(), 0.08 * strip.text
    if row.earliest and row.latest:
        ring = _lens(strip, row.earliest, row.latest, mid)
        drawn.append(ink.path(ink.ring(ring), fill=pale))
        drawn += _hatched(strip, row, ring)
        drawn.append(
            ink.path(
                ink.ring(ring), class_="window", fill="none", stroke=stroke, stroke_width=weight
            )
        )
    day = row.promised
    if day is not None and row.received is None:
        half = 0.22 * strip.text
        if row.not_before and day > row.not_before:
            a, b = strip.x(row.not_before), strip.x(day)
            ring = [(a, mid - half), (b, mid - half), (b, mid + half), (a, mid + half)]
            drawn += _hatched(strip, row, ring)
        x, r = strip.x(day), 0.5 * strip.text
        diamond = [(x - r, mid), (x, mid - r), (x + r, mid), (x, mid + r)]
        late = row.not_before is not None and day > row.not_before
        fill = strip.color("short") if late else pale
        drawn.append(
            ink.path(ink.ring(diamond), class_="promise", fill=fill, stroke=stroke,
                     stroke_width=weight)
        )  # fmt: skip
    return drawn


def _lens(strip: Strip, first: date, last: date, mid: float) -> list[Point]:
    """Pointed at both ends, thickest in the middle; never thinner than can be seen."""
    a, b = strip.x(first), max(strip.x(last), strip.x(first) + 0.5 * strip.text)
    high = LENS * strip.text
    steps = 24
    upper = [
        (a + (b - a) * i / steps, mid - high * math.sin(math.pi * i / steps) ** 0.8)
        for i in range(steps + 1)
    ]
    return upper + [(x, 2 * mid - y) for x, y in reversed(upper[1:-1])]


def _hatched(strip: Strip, row: Row, ring: Sequence[Point]) -> list[str]:
    """The parts of a mark past need: up to the last safe day, and past it."""
    if row.not_before is None:
        return []
    need = strip.x(row.not_before)
    safe = max(need, strip.x(row.last_safe)) if row.last_safe else need
    parts = ((need, safe, "spare"), (safe, strip.width, "late"))
    drawn = []
    for low, high, kind in parts:
        part = between(ring, low, high)
        if len(part) > 2:
            drawn.append(ink.path(ink.ring(part), class_=kind, fill=f"url(#{strip.base}-{kind})"))
    return drawn


def between(ring: Sequence[Point], low: float, high: float) -> list[Point]:
    """A ring cut to low <= x <= high (Sutherland and Hodgman 1974, for two upright edges)."""
    for limit, keep_right in ((low, True), (high, False)):
        cut: list[Point] = []
        for p, q in zip(ring, [*ring[1:], ring[0]], strict=True):
            p_in = p[0] >= limit if keep_right else p[0] <= limit
            q_in = q[0] >= limit if keep_right else q[0] <= limit
            if p_in:
                cut.append(p)
            if p_in != q_in:
                t = (limit - p[0]) / (q[0] - p[0])
                cut.append((limit, p[1] + t * (q[1] - p[1])))
        ring = cut
        if not ring:
            return []
    return list(ring)


def _posts(strip: Strip, row: Row, mid: float) -> list[str]:
    """Not before (an open head) and the last safe day (a solid one); one post if they are one."""
    size = strip.text
    high, drawn = (LENS + 0.25) * size, []
    posts = [(row.last_safe, True)]
    if row.not_before != row.last_safe:
        posts.insert(0, (row.not_before, False))
    for day, solid in posts:
        if day is None:
            continue
        x = strip.x(day)
        head = 0.36 * size
        top = mid - high
        drawn.append(
            ink.line((x, top), (x, mid + high), stroke=strip.color(),
                     stroke_width=(0.17 if solid else 0.09) * size)
        )  # fmt: skip
        drawn.append(
            ink.path(
                ink.ring([(x - head, top), (x + head, top), (x, top + 1.5 * head)]),
                fill=strip.color() if solid else "#fff",
                stroke=strip.color(),
                stroke_width=0.07 * size,
                class_="last-safe" if solid else "not-before",
            )
        )
    return drawn


def _came(strip: Strip, row: Row, mid: float) -> list[str]:
    """A tick on the day it came."""
    if row.received is None:
        return []
    return [tick(strip.x(row.received), mid, 1.1 * strip.text, strip.color())]


def tick(x: float, y: float, size: float, stroke: str) -> str:
    """The mark of what is here."""
    r = 0.5 * size
    data = (
        f"M{ink.n(x - r)} {ink.n(y)}L{ink.n(x - 0.2 * r)} {ink.n(y + 0.75 * r)}"
        f"L{ink.n(x + r)} {ink.n(y - 0.8 * r)}"
    )
    return ink.path(data, class_="came", fill="none", stroke=stroke, stroke_width=0.16 * size)
