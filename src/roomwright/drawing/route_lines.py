"""Walk paths laid over a drawn storey: their lines, and the tightest place as a dimension."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace

from roomwright.drawing import ink
from roomwright.drawing.options import Drawing
from roomwright.drawing.places import Rect
from roomwright.lengths import tape
from roomwright.shape import Point, Segment


@dataclass(frozen=True, slots=True)
class Line:
    """The line of a walk path on one level [in]; `strong` for the one that is looked at."""

    points: tuple[Point, ...]
    main: bool = True
    strong: bool = False


@dataclass(frozen=True, slots=True)
class Mark:
    """A tightest place: its two ends [in], its width, and its verdict in one word."""

    at: Segment
    width: float
    word: str = "fits"


def with_routes(
    drawing: Drawing,
    lines: Sequence[Line],
    marks: Sequence[Mark] = (),
    *,
    size: float = 17.0,
    color: str = ink.ACCENT,
) -> Drawing:
    """Return a drawing with walk paths on it.

    Main ways are drawn through, others dashed; under the names of rooms that are links. The width
    stands beside its place where it covers no other text, in the verdict's color and with the
    verdict's word for who sees no colors.
    """

    def at(p: Point) -> Point:
        return (p[0] - drawing.left) * drawing.scale, (drawing.top - p[1]) * drawing.scale

    chosen = any(line.strong for line in lines)
    parts = []
    for line in sorted(lines, key=lambda each: each.strong):
        if len(line.points) < 2:
            continue
        data = "M" + "L".join(f"{ink.n(x)} {ink.n(y)}" for x, y in map(at, line.points))
        more = {} if line.main else {"stroke_dasharray": "7 5"}
        parts.append(
            ink.path(
                data,
                fill="none",
                stroke=color if line.strong or not chosen else ink.GREY,
                stroke_width=4.5 if line.strong else 1.0 if chosen else 2.0,
                stroke_linejoin="round",
                stroke_linecap="round",
                **more,
            )
        )
        if line.strong:
            parts.append(ink.circle(at(line.points[0]), 6, fill=color))
            parts.append(ink.circle(at(line.points[-1]), 6, fill="#fff", stroke=color,
                                    stroke_width=3))  # fmt: skip
    under = ink.group(parts, class_="routes", pointer_events="none")
    parts = []
    taken = [box for _, box in drawing.boxes]
    for mark in marks:
        drawn, box = _mark(mark, (at(mark.at[0]), at(mark.at[1])), taken, drawing, size)
        parts.append(drawn)
        taken.append(box)
    over = ink.group(parts, class_="marks", font_family=ink.FACE, pointer_events="none")
    svg = drawing.svg.removesuffix("</svg>")
    names = svg.find("<a ")  # rooms are links, drawn last: their names stay over the lines
    names = len(svg) if names < 0 else names
    return replace(drawing, svg=f"{svg[:names]}{under}{svg[names:]}{over}</svg>")


def _mark(
    mark: Mark, ends: Segment, taken: Sequence[Rect], drawing: Drawing, size: float
) -> tuple[str, Rect]:
    (px, py), (qx, qy) = ends
    color = ink.COLORS.get(mark.word, "") or ink.INK
    run = math.hypot(qx - px, qy - py) or 1.0
    tx, ty = (qx - px) / run, (qy - py) / run
    ticks = [
        ink.line((x - 6 * (tx + ty), y - 6 * (ty - tx)), (x + 6 * (tx + ty), y + 6 * (ty - tx)),
                 stroke=color, stroke_width=2)
        for x, y in ends
    ]  # fmt: skip
    words = tape(mark.width) + ("" if mark.word in ("fits", "tight") else f" {mark.word}")
    wide, high = 0.56 * size * len(words) + 8, 1.35 * size
    mx, my = (px + qx) / 2, (py + qy) / 2
    box = _free(mx, my, wide, high, taken, drawing)
    x0, y0, x1, y1 = box
    label = ink.rect(x0, y0, x1, y1, fill="#fff", stroke=color, stroke_width=1)
    text = ink.text(
        ((x0 + x1) / 2, y1 - 0.36 * size), words, fill=color, font_size=size, font_weight=700,
        text_anchor="middle",
    )  # fmt: skip
    edge = min(max(mx, x0), x1), min(max(my, y0), y1)
    lead = ink.line((mx, my), edge, stroke=color, stroke_width=1)
    across = ink.line(*ends, stroke=color, stroke_width=2.5)
    return across + "".join(ticks) + lead + label + text, box


def _free(
    x: float, y: float, wide: float, high: float, taken: Sequence[Rect], drawing: Drawing
) -> Rect:
    """A place for a label near a point that covers no other text; the nearest one if none."""
    first: Rect | None = None
    for away in (14, 30, 50, 80, 120):
        for k in range(8):
            ux, uy = math.cos(k * math.pi / 4), math.sin(k * math.pi / 4)
            cx = x + ux * (away + wide / 2 * abs(ux))
            cy = y + uy * (away + high / 2 * abs(uy))
            cx = min(max(cx, wide / 2 + 2), drawing.width - wide / 2 - 2)
            cy = min(max(cy, high / 2 + 2), drawing.height - high / 2 - 2)
            box = (cx - wide / 2, cy - high / 2, cx + wide / 2, cy + high / 2)
            first = first or box
            if not any(_meet(box, other) for other in taken):
                return box
    return first or (x, y, x + wide, y + high)


def _meet(a: Rect, b: Rect) -> bool:
    return a[0] < b[2] and b[0] < a[2] and a[1] < b[3] and b[1] < a[3]
