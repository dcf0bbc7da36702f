"""One dimension: where its line and its text may stand, and how both are drawn.

Text reads from the bottom of the sheet, or from the right along an upright line; on a slanted
line it stays level. It breaks the line with a white plate. Where the line is too short for it
the text goes beside or beyond. Ticks are the slanted strokes of an architect's drawing, which
stay clear in a photocopy.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from roomwright.answers.plan_model import Dim
from roomwright.drawing import ink, typeface
from roomwright.drawing.places import Rect, Spot
from roomwright.shape import Point, Segment

LEVEL = math.tan(math.radians(3))
"""Lines up to 3 degrees off count as level, or as upright."""

ALONG = (0.5, 0.36, 0.64, 0.22, 0.78)
SLIDE = 3.0
"""Cost of each step away from a dimension's first place."""

FEW = 3
"""At so many of a dimension's places its text may stand beside the line too."""

TICK = 0.45
"""Least of the line that stays beside the text at each end, as a part of the text size."""

BESIDE = 18.0
"""Cost of standing beside the line instead of in it."""


@dataclass(frozen=True, slots=True)
class Lettering:
    """A line of text with its size and plate."""

    text: str
    size: float
    bold: bool = False
    mark: str = ""
    """A verdict's word, to put its mark before the text."""
    fill: str = ""
    """The color of this line alone; empty for that of the whole."""

    @property
    def pad(self) -> float:
        """Room round the letters on the plate."""
        return 0.22 * self.size

    @property
    def wide(self) -> float:
        """Width of the plate."""
        mark = self.size if self.mark else 0.0
        return typeface.width(self.text, self.size, self.bold) + mark + 2 * self.pad

    @property
    def high(self) -> float:
        """Height of the plate."""
        return (typeface.CAP + 0.12) * self.size + 1.6 * self.pad

    def box(self, c: Point, turned: bool = False) -> Rect:
        """The plate with its middle at `c`."""
        w, h = (self.high, self.wide) if turned else (self.wide, self.high)
        return c[0] - w / 2, c[1] - h / 2, c[0] + w / 2, c[1] + h / 2

    def draw(self, box: Rect, turned: bool = False, *, frame: str = "", **values: object) -> str:
        """The plate and the text on it; `frame` is the color of a line round the plate."""
        x, y = (box[0] + box[2]) / 2, (box[1] + box[3]) / 2
        drop = typeface.CAP * self.size / 2
        plate = ink.rect(
            *box,
            class_="plate",
            fill="#fff",
            stroke=frame or None,
            stroke_width=0.07 * self.size if frame else None,
        )
        put = ink.turned if turned else ink.text
        at = (x + drop, y) if turned else (x, y + drop)
        weight = "700" if self.bold else None
        return plate + put(
            at, self.text, font_size=self.size, font_weight=weight, text_anchor="middle", **values
        )


def spots(lettering: Lettering, places: Sequence[Segment]) -> list[Spot]:
    """Candidates for a dimension that may be drawn at any of `places` [drawing units].

    In the line at each place; beside it and beyond its ends at the first few.
    """
    found: list[Spot] = []
    for number, (p, q) in enumerate(places):
        base = number * SLIDE
        inside = list(_inside(lettering, p, q, base))
        found += inside
        if number < FEW:
            found += _outside(lettering, p, q, base + BESIDE + (8 if inside else 0))
    return found


def _along(p: Point, q: Point) -> tuple[float, float, float]:
    """Direction and length of a line; level where it has no length."""
    length = math.dist(p, q)
    if length < 1e-6:
        return 1.0, 0.0, 1e-6
    return (q[0] - p[0]) / length, (q[1] - p[1]) / length, length


def _inside(lettering: Lettering, p: Point, q: Point, cost: float) -> Iterator[Spot]:
    """Text that breaks the line, where the line is long enough for it."""
    ux, uy, length = _along(p, q)
    upright = abs(ux) <= LEVEL * abs(uy)
    w, h = lettering.wide, lettering.high
    covers = w  # how much of the line the plate hides
    if not upright and abs(uy) > LEVEL * abs(ux):
        covers = min(w / max(abs(ux), 1e-9), h / max(abs(uy), 1e-9))
    tick = TICK * lettering.size
    if length < covers + 2 * tick:
        return
    for step, t in enumerate(ALONG):
        if step == 0 or min(t, 1 - t) * length >= covers / 2 + tick:
            c = (p[0] + t * length * ux, p[1] + t * length * uy)
            yield Spot(lettering.box(c, upright), ((p, q),), cost + 2.0 * step, upright)


def _outside(lettering: Lettering, p: Point, q: Point, cost: float) -> Iterator[Spot]:
    """Level text beside the line, on either side, or beyond an end with the line carried on."""
    ux, uy, length = _along(p, q)
    w, h = lettering.wide, lettering.high
    off = abs(uy) * w / 2 + abs(ux) * h / 2 + 0.12 * lettering.size
    for side in (off, -off):
        for t in (0.5, 0.25, 0.75):
            c = (p[0] + t * length * ux - side * uy, p[1] + t * length * uy + side * ux)
            yield Spot(lettering.box(c), ((p, q),), cost + abs(t - 0.5) * 8)
    tick = TICK * lettering.size
    reach = abs(ux) * w / 2 + abs(uy) * h / 2 + tick
    for end, sign in ((q, 1), (p, -1)):
        c = (end[0] + sign * ux * reach, end[1] + sign * uy * reach)
        tail = (end, (end[0] + sign * ux * tick, end[1] + sign * uy * tick))
        yield Spot(lettering.box(c), ((p, q), tail), cost + 6)


def draw(
    dim: Dim,
    lettering: Lettering,
    spot: Spot,
    *,
    stroke: str,
    weight: float,
    frame: str,
    extend: Sequence[Segment] = (),
) -> tuple[str, str]:
    """The line with its ticks, and the text on its plate, as two strings (lines go under texts)."""
    p, q = spot.lines[0]
    size = lettering.size
    lines = [ink.line(*each, stroke_width=weight * 0.6, class_="extension") for each in extend]
    lines.append(ink.line(p, q, stroke_width=weight))
    lines += [ink.line(a, b, stroke_width=weight) for a, b in spot.lines[1:]]
    lines += [_tick(end, p, q, 0.24 * size, weight * 2.2) for end in (p, q)]
    if spot.leader:
        lines.append(leader(spot.leader, weight, stroke))
    names: dict[str, object] = {"data_dim": dim.key}
    under = ink.group(lines, class_=f"dim dim-{dim.kind}", fill="none", stroke=stroke, **names)
    over = ink.group(
        [lettering.draw(spot.box, spot.turned, frame=frame, class_="dim-text")],
        class_=f"dim dim-{dim.kind} {dim.word}".rstrip(),
        fill=stroke,
        data_dim=dim.key,
        data_piece=dim.piece or None,
        data_side=dim.side or None,
    )
    return under, over


def leader(segment: Segment, weight: float, color: str) -> str:
    """A thin line from a text to what it names, with a dot there."""
    a, b = segment
    return ink.line(a, b, stroke=color, stroke_width=weight * 0.8) + ink.circle(
        b, 1.7 * weight, fill=color, stroke="none"
    )


def _tick(at: Point, p: Point, q: Point, half: float, weight: float) -> str:
    """The slanted stroke at an end, at 45 degrees to the line and always leaning right."""
    angle = math.atan2(q[1] - p[1], q[0] - p[0])
    if not -math.pi / 2 <= angle < math.pi / 2:
        angle += math.pi
    lean = angle - math.pi / 4
    ux, uy = half * math.cos(lean), half * math.sin(lean)
    return ink.line((at[0] - ux, at[1] - uy), (at[0] + ux, at[1] + uy), stroke_width=weight)
