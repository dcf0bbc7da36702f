"""How sure a date is: twenty dots, each one chance in twenty, over the weeks.

Full dots are the futures in which the promised date is kept, open ones those in which it is not: so
it reads in black and white, and counts instead of guessing at the height of a curve. One post marks
the plan, another the date to promise.
"""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date, timedelta
from typing import Final

from roomwright.days import show_date
from roomwright.drawing import ink, typeface
from roomwright.drawing.options import Drawing
from roomwright.drawing.places import Rect

DOTS: Final = 20
DOT: Final = 0.78
"""Across a dot, as a part of the text size."""
AFTER: Final = 0.4
"""Between a post and its words, as a part of the text size."""


def dots_of_an_end(
    ends: Sequence[date],
    plan: date,
    promise: date,
    sure: int,
    as_of: date,
    *,
    width: float = 720.0,
    text: float = 17.0,
    paper: bool = False,
    base: str = "sure",
) -> Drawing:
    """Draw the end of the house in as many equally likely futures as there are dates.

    Parameters
    ----------
    ends : sequence of date
        rising; each as likely as the others
    plan : date
        the last day worked by the plan
    promise : date
        the last day worked that is `sure` per cent sure
    as_of : date
        for the year in the words

    Raises
    ------
    ValueError
        without a date
    """
    if not ends:
        raise ValueError("there is nothing to draw: no future has an end")
    return _Picture(ends, plan, promise, sure, as_of, width, text, paper, base).drawn()


class _Picture:
    def __init__(
        self, ends: Sequence[date], plan: date, promise: date, sure: int, as_of: date,
        width: float, text: float, paper: bool, base: str,
    ) -> None:  # fmt: skip
        self.ends, self.plan, self.promise = sorted(ends), plan, promise
        self.sure, self.as_of = sure, as_of
        self.width, self.text, self.paper, self.base = width, text, paper, base
        self.dot = DOT * text
        self.first = min(self.ends[0], plan, promise)
        self.last = max(self.ends[-1], plan, promise)
        self.boxes: list[tuple[str, Rect]] = []
        self.ink = "#000" if paper else ink.INK
        self.soft = "#000" if paper else ink.GREY

    def x(self, day: date) -> float:
        """Return where the middle of a day stands."""
        days = max(1, (self.last - self.first).days)
        return self.dot + (self.width - 2 * self.dot) * (day - self.first).days / days

    def drawn(self) -> Drawing:
        columns: dict[int, list[date]] = {}
        for end in self.ends:
            columns.setdefault(round(self.x(end) / self.dot), []).append(end)
        most = max(map(len, columns.values()))
        top = 2 * 1.35 * self.text
        ground = top + (most + 0.4) * self.dot
        height = ground + 1.9 * self.text
        parts = [*self._months(ground), *self._posts(ground)]
        for column, ends in columns.items():
            for n, end in enumerate(ends):
                at = column * self.dot, ground - (n + 0.62) * self.dot
                parts.append(self._dot(at, kept=end <= self.promise))
        parts.append(ink.line((0, ground), (self.width, ground), stroke=self.ink,
                              stroke_width=0.06 * self.text))  # fmt: skip
        svg = ink.document(
            self.width, height,
            [
                ink.rect(0, 0, self.width, height, class_="paper", fill="#fff"),
                ink.group(parts, font_family=ink.FACE, fill=self.ink, color=self.ink),
            ],
            title="How sure the end is", said=self._said(), id=self.base,
            class_="sure on-paper" if self.paper else "sure",
            overflow=None if self.paper else "visible",
        )  # fmt: skip
        return Drawing(svg, self.width, height, 1.0, 0.0, 0.0, tuple(self.boxes))

    def _dot(self, at: tuple[float, float], *, kept: bool) -> str:
        accent = "#000" if self.paper else ink.ACCENT
        return ink.circle(
            at, 0.4 * self.dot, fill=accent if kept else "#fff", stroke=accent,
            stroke_width=0.09 * self.text,
        )  # fmt: skip

    def _posts(self, ground: float) -> list[str]:
        """Draw the plan and the promise as posts, their words on two lines: they never meet."""
        told = (
            (self.plan, f"plan {self._day(self.plan)}", 1.0, "4 3"),
            (self.promise, f"{self.sure} % sure by {self._day(self.promise)}", 2.35, None),
        )
        parts, over = [], []
        for day, words, line, dashes in told:
            x, base = self.x(day) + self.dot / 2, line * self.text
            post = (x, base - 0.8 * self.text), (x, ground)
            thick = 0.1 * self.text
            parts.append(
                ink.line(*post, stroke=self.ink, stroke_width=thick, stroke_dasharray=dashes)
            )
            wide = typeface.width(words, self.text, bold=True)
            gap = AFTER * self.text
            left = x + gap if x + gap + wide <= self.width else max(0.0, x - gap - wide)
            box = (left, base - 0.8 * self.text, left + wide, base + 0.22 * self.text)
            over.append(ink.rect(*box, fill="#fff"))  # no post runs through words
            over.append(ink.text((left, base), words, font_size=self.text, font_weight="bold"))
            self.boxes.append((words, box))
        return [*parts, *over]

    def _months(self, ground: float) -> list[str]:
        """Draw a tick for each month, or each Monday in a short span, dated where there is room."""
        size, parts, free = 0.88 * self.text, [], 0.0
        for day in self._ticks():
            x = self.x(day) - self.dot / 2
            if x < 0:
                continue
            parts.append(ink.line((x, ground), (x, ground + 0.4 * self.text), stroke=self.soft,
                                  stroke_width=0.06 * self.text))  # fmt: skip
            words = self._day(day)
            wide = typeface.width(words, size)
            left = max(0.0, x - wide / 2)
            if left < free or left + wide > self.width:
                continue
            free = left + wide + 0.8 * self.text
            base = ground + 1.35 * self.text
            parts.append(ink.text((left, base), words, font_size=size, fill=self.soft))
            self.boxes.append((words, (left, base - 0.8 * size, left + wide, base + 0.22 * size)))
        return parts

    def _ticks(self) -> list[date]:
        if (self.last - self.first).days <= 60:
            monday = self.first - timedelta(days=self.first.weekday())
            weeks = (self.last - monday).days // 7 + 1
            return [monday + timedelta(days=7 * n) for n in range(weeks)]
        found, day = [], self.first.replace(day=1)
        while day <= self.last:
            found.append(day)
            day = (day + timedelta(days=32)).replace(day=1)
        return found

    def _day(self, day: date) -> str:
        return show_date(day, self.as_of)

    def _said(self) -> str:
        kept = sum(end <= self.promise for end in self.ends)
        return (
            f"{len(self.ends)} equally likely ends from {self._day(self.ends[0])} to "
            f"{self._day(self.ends[-1])}; the plan says {self._day(self.plan)}; {kept} of "
            f"{len(self.ends)} are over by {self._day(self.promise)}, which is {self.sure} % sure."
        )
