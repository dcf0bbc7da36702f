"""The weeks ahead as a grid of days: a row a crew or a room, its work as bars with their names.

A name stands under its own bar and may run on where nothing else stands; bars whose names would
meet take lanes of their own. What has begun is filled, what is booked has a post at its first day.
It reads in black and white.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, field
from datetime import date
from typing import Final

from roomwright.answers.look_ahead import Bar, Row
from roomwright.days import show_date
from roomwright.drawing import ink, typeface
from roomwright.drawing.options import Drawing
from roomwright.drawing.places import Rect

HEAD: Final = 2.9
LANE: Final = 2.15
TITLE: Final = 1.75
"""Heights of the days, of a lane and of a row's title, as parts of the text size."""

MORE: Final = 8.0
"""Room that is kept behind a name for where or who, as a part of the text size."""

WEEK: Final = ("Mon", "Tue", "Wed", "Thu", "Fri", "Sat", "Sun")

Link = Callable[[str], str]


@dataclass(slots=True)
class _Grid:
    days: Sequence[date]
    as_of: date
    width: float
    text: float
    paper: bool
    base: str
    by: str
    link: Link | None
    boxes: list[tuple[str, Rect]] = field(default_factory=list)

    @property
    def ink(self) -> str:
        return "#000" if self.paper else ink.INK

    @property
    def soft(self) -> str:
        return "#000" if self.paper else ink.HAIR

    def x(self, index: int) -> float:
        """Where the column of a day begins."""
        return self.width * index / max(1, len(self.days))

    def columns(self, bar: Bar) -> tuple[int, int]:
        """Return the first column of a bar and one past its last."""
        inside = [n for n, d in enumerate(self.days) if bar.first_day <= d <= bar.last_day]
        return (inside[0], inside[-1] + 1) if inside else (0, 0)


def heights(
    rows: Sequence[Row], days: Sequence[date], *, by: str, width: float, text: float
) -> list[float]:
    """Return how high each row is drawn."""
    grid = _Grid(days, days[0], width, text, True, "", by, None)
    return [_row_high(grid, row) for row in rows]


def head_high(text: float) -> float:
    """Return how high the days over the rows are, and the legend under them."""
    return (HEAD + 2.2) * text


def look_ahead_grid(
    rows: Sequence[Row],
    days: Sequence[date],
    as_of: date,
    *,
    by: str,
    width: float = 1000.0,
    text: float = 17.0,
    paper: bool = False,
    base: str = "ahead",
    link: Link | None = None,
) -> Drawing:
    """Draw rows from top to bottom over days from left to right.

    `by` is crew or room: under a crew's bar stands where it works, under a room's who does.

    Raises
    ------
    ValueError
        If there is no day or no row.
    """
    if not days or not rows:
        raise ValueError("there is nothing to put on a grid of days: no day or no row")
    grid = _Grid(days, as_of, width, text, paper, base, by, link)
    top = HEAD * text
    drawn = []
    for row in rows:
        drawn.append(_row(grid, row, top))
        top += _row_high(grid, row)
    legend = _legend(grid, top + 1.2 * text)
    height = top + 2.2 * text
    said = "; ".join(_told(row, by) for row in rows)
    svg = ink.document(
        width,
        height,
        [
            ink.rect(0, 0, width, height, class_="paper", fill="#fff"),
            ink.group(
                [_days(grid, top), *drawn, legend], font_family=ink.FACE, fill=grid.ink,
                color=grid.ink,
            ),
        ],
        title=f"The weeks ahead by {by}",
        said=said,
        role="group" if link else "img",
        id=base,
        class_="ahead on-paper" if paper else "ahead",
        overflow=None if paper else "visible",
    )  # fmt: skip
    return Drawing(svg, width, height, width / len(days), 0.0, 0.0, tuple(grid.boxes))


def _days(grid: _Grid, bottom: float) -> str:
    """The days over their columns; a heavy line where a week begins, today's column framed."""
    text = grid.text
    column = grid.x(1) - grid.x(0)
    short = typeface.width("Mon", 0.9 * text, bold=True) + 0.3 * text > column
    months = typeface.width("May 30", 0.9 * text, bold=True) + 0.3 * text > column
    drawn = []
    for n, day in enumerate(grid.days):
        x = grid.x(n)
        monday = n == 0 or day.weekday() < grid.days[n - 1].weekday()
        weight = (0.12 if monday else 0.03) * text
        drawn.append(
            ink.line((x, 0.2 * text), (x, bottom), stroke=grid.ink if monday else grid.soft,
                     stroke_width=weight)
        )  # fmt: skip
        middle = x + column / 2
        name = WEEK[day.weekday()][0] if short else WEEK[day.weekday()]
        first = n == 0 or day.month != grid.days[n - 1].month
        number = show_date(day) if not months and (first or monday) else str(day.day)
        for line, words in enumerate((name, number)):
            y = (1.1 + 1.15 * line) * text
            drawn.append(
                ink.text((middle, y), words, font_size=0.9 * text, text_anchor="middle",
                         font_weight="700" if day == grid.as_of else None)
            )  # fmt: skip
            half = typeface.width(words, 0.9 * text) / 2
            grid.boxes.append((words, (middle - half, y - 0.8 * text, middle + half, y)))
        if day == grid.as_of:
            drawn.append(
                ink.rect(x, 0.2 * text, grid.x(n + 1), HEAD * text - 0.3 * text, fill="none",
                         stroke=grid.ink if grid.paper else ink.ACCENT, stroke_width=0.14 * text)
            )  # fmt: skip
    return ink.group(drawn, class_="days")


def _label(grid: _Grid, bar: Bar) -> float:
    """Return how wide the words of a bar are: its name, and some of what stands behind it."""
    text = grid.text
    name = typeface.width(bar.name, text, bold=True)
    rest = bar.where if grid.by == "crew" else bar.who
    more = 0.45 * text + min(typeface.width(rest, 0.95 * text), MORE * text) if rest else 0.0
    return min(name + more + 0.6 * text, grid.width)


def _lanes(grid: _Grid, row: Row) -> list[tuple[Bar, int, float, float]]:
    """Return each bar with its lane, where its words begin, and how far they may run."""
    ends: list[float] = []
    placed: list[tuple[Bar, int, float]] = []
    for bar in row.bars:
        first, last = grid.columns(bar)
        wide = _label(grid, bar)
        left = max(0.0, min(grid.x(first), grid.width - wide))
        right = max(grid.x(last), left + wide)
        lane = next((n for n, end in enumerate(ends) if end <= left + 0.01), len(ends))
        if lane == len(ends):
            ends.append(0.0)
        ends[lane] = right
        placed.append((bar, lane, left))
    found = []
    for bar, lane, left in placed:
        after = [at for _, other, at in placed if other == lane and at > left]
        found.append((bar, lane, left, min(after, default=grid.width) - left))
    return found


def _row_high(grid: _Grid, row: Row) -> float:
    lanes = max((lane for _, lane, _, _ in _lanes(grid, row)), default=-1) + 1
    return (TITLE + LANE * lanes + 0.3) * grid.text


def _row(grid: _Grid, row: Row, top: float) -> str:
    text = grid.text
    rule = ink.line((0, top), (grid.width, top), stroke=grid.ink, stroke_width=0.09 * text)
    title = typeface.fit(row.title, 1.05 * text, 0.6 * grid.width, bold=True)
    wide = typeface.width(title, 1.05 * text, bold=True)
    y = top + 1.25 * text
    words = ink.text((0.15 * text, y), title, font_size=1.05 * text, font_weight="700")
    drawn = [rule, _over(grid, 0, y, wide, text), words]
    grid.boxes.append((title, (0, y - 0.9 * text, wide, y + 0.2 * text)))
    if row.under:
        under = typeface.fit(row.under, 0.95 * text, grid.width - wide - text)
        left = wide + 0.9 * text
        wide_ = typeface.width(under, 0.95 * text)
        drawn += [_over(grid, left, y, wide_, text),
                  ink.text((left, y), under, font_size=0.95 * text)]  # fmt: skip
    for bar, lane, left, room in _lanes(grid, row):
        drawn.append(_bar(grid, bar, top + (TITLE + LANE * lane) * text, left, room))
    return ink.group(drawn, class_="row")


def _over(grid: _Grid, x: float, y: float, wide: float, text: float) -> str:
    """Paper under words, so that no line runs through them."""
    return ink.rect(x, y - 0.85 * text, x + wide + 0.25 * text, y + 0.28 * text, fill="#fff",
                    class_="paper")  # fmt: skip


def _bar(grid: _Grid, bar: Bar, top: float, left: float, room: float) -> str:
    text, (first, last) = grid.text, grid.columns(bar)
    x0, x1 = grid.x(first) + 0.08 * text, grid.x(last) - 0.08 * text
    begun = bar.state == "started"
    color = grid.ink if grid.paper else ink.ACCENT
    drawn = [
        ink.rect(x0, top, x1, top + 0.5 * text, fill=color if begun else "#fff", stroke=color,
                 stroke_width=0.1 * text)
    ]  # fmt: skip
    if bar.booked:
        drawn.append(ink.rect(x0, top - 0.18 * text, x0 + 0.3 * text, top + 0.68 * text,
                              fill=color))  # fmt: skip
    y = top + 1.55 * text
    name = typeface.fit(bar.name, text, room - 0.3 * text, bold=True)
    wide = typeface.width(name, text, bold=True)
    rest = bar.where if grid.by == "crew" else bar.who
    more = typeface.fit(rest, 0.95 * text, room - wide - 0.9 * text) if rest else ""
    more = more if len(more) > 3 or more == rest else ""
    full = wide + (0.45 * text + typeface.width(more, 0.95 * text) if more else 0.0)
    words = ink.text((left + 0.1 * text, y), name, font_size=text, font_weight="700")
    if grid.link is not None:
        words = f"<a{ink.attrs({'href': grid.link(bar.activity)})}>{words}</a>"
    drawn += [_over(grid, left, y, full, text), words]
    grid.boxes.append((name, (left, y - 0.85 * text, left + full, y + 0.25 * text)))
    if more:
        drawn.append(ink.text((left + 0.55 * text + wide, y), more, font_size=0.95 * text))
    return ink.group(drawn, class_="bar")


def _legend(grid: _Grid, y: float) -> str:
    text = grid.text
    left = 0.0
    color = grid.ink if grid.paper else ink.ACCENT
    drawn = []
    for kind, words in (("begun", "has begun"), ("to come", "to come"), ("booked", "booked")):
        box = (left, y - 0.5 * text, left + 1.6 * text, y)
        fill = color if kind == "begun" else "#fff"
        drawn.append(ink.rect(*box, fill=fill, stroke=color, stroke_width=0.1 * text))
        if kind == "booked":
            drawn.append(ink.rect(left, y - 0.68 * text, left + 0.3 * text, y + 0.18 * text,
                                  fill=color))  # fmt: skip
        drawn.append(ink.text((left + 2.0 * text, y), words, font_size=0.95 * text))
        left += 2.9 * text + typeface.width(words, 0.95 * text)
    return ink.group(drawn, class_="legend")


def _told(row: Row, by: str) -> str:
    work = ", ".join(
        f"{b.name} {show_date(b.first_day)} to {show_date(b.last_day)}"
        + (
            f" ({b.where if by == 'crew' else b.who})"
            if (b.where if by == "crew" else b.who)
            else ""
        )
        for b in row.bars
    )
    return f"{row.title}: {work}"
