"""How the search grows with obstructions and with the room: drawn to docs/images/growth.svg.

Run as ``python -m benchmarks.growth``. Rooms are square with two openings, bookcases of one size on
a jittered grid; seed 8. Each point is the median of three searches in a warm process.
"""

from __future__ import annotations

import math
import os
import statistics
import time
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from pathlib import Path

import numpy as np
from tests.fit.dining_rooms import NEEDS, opening, piece, room

from roomwright.drawing import ink
from roomwright.fit.given import Space
from roomwright.fit.search import what_fits
from roomwright.fit.search_wanted import parse
from roomwright.fit.search_whole import find

OUT = Path(__file__).resolve().parent.parent / "docs" / "images" / "growth.svg"
COUNTS = (0, 2, 4, 8, 12, 16, 24)
FEET = (10, 12, 15, 20, 25, 30)


@dataclass(frozen=True, slots=True)
class Line:
    """One curve: its name, where its points lie, and how it is marked."""

    name: str
    points: tuple[tuple[float, float], ...]
    mark: str


def space(side: float, count: int) -> Space:
    """A square room with so many bookcases along its walls; seed 8."""
    rng = np.random.default_rng(8)
    walls = [opening("A", (side, 12), (side, 48)), opening("B", (12, side), (48, side))]
    pieces = []
    for k in range(count):
        along = (k // 4 + 0.5) * (side - 72) / max(1, math.ceil(count / 4)) + 60
        along = min(along + float(rng.uniform(-4, 4)), side - 8)
        far = side - 4
        x, y, turn = (
            (along, 4.0, 0.0), (far, along, 90.0), (along, far, 180.0), (4.0, along, 270.0),
        )[k % 4]  # fmt: skip
        pieces.append(piece(f"P{k}", "bookcase", 9, 8, x, y, turn))
    return room([(0, 0), (side, 0), (side, side), (0, side)], walls, pieces)


def timed(call: Callable[[], object]) -> float:
    """Median of three warm runs [ms]."""
    call()
    runs = []
    for _ in range(3):
        start = time.perf_counter()
        call()
        runs.append((time.perf_counter() - start) * 1000)
    return statistics.median(runs)


def curves(at: Sequence[float], made: Callable[[float], Space]) -> list[Line]:
    """The three searches over a row of rooms."""
    bed = parse("bed; place: against")
    island = parse("island; width: 36..96 by 6; depth: 24..42 by 6; place: anywhere")
    asked: tuple[tuple[str, str, Callable[[Space], object]], ...] = (
        ("every table", "circle", lambda s: what_fits(s, NEEDS)),
        ("islands by 6 in.", "square", lambda s: find(s, NEEDS, "R", island)),
        ("beds against a wall", "cross", lambda s: find(s, NEEDS, "R", bed)),
    )
    found = []
    for name, mark, call in asked:
        points = []
        for value in at:
            here = made(value)
            points.append((float(value), timed(lambda here=here, call=call: call(here))))
            print(name, value, f"{points[-1][1]:.0f} ms", flush=True)
        found.append(Line(name, tuple(points), mark))
    return found


def panel(lines: Sequence[Line], left: float, title: str, unit: str) -> list[str]:
    """One picture: milliseconds up, the row of rooms along, both from 0."""
    wide, high, top = 400.0, 300.0, 60.0
    most_x = max(x for line in lines for x, _ in line.points)
    most_y = max(y for line in lines for _, y in line.points)
    step = next(s for s in (20, 50, 100, 200, 500, 1000, 2000, 5000, 20000) if most_y / s <= 6)
    limit = step * math.ceil(most_y / step)

    def at(x: float, y: float) -> tuple[float, float]:
        return left + 70 + x / most_x * wide, top + high - y / limit * high

    out = [ink.text((left + 70, 30), title, font_weight="700", fill=ink.INK)]
    for n in range(limit // step + 1):
        x0, y0 = at(0, n * step)
        out.append(ink.line((x0, y0), (x0 + wide, y0), stroke=ink.HAIR, stroke_width=1.0))
        out.append(ink.text((x0 - 8, y0 + 6), f"{n * step}", text_anchor="end", fill=ink.GREY))
    out.append(ink.text((left + 10, top - 12), "ms", fill=ink.GREY))
    for x, _ in lines[0].points:
        out.append(ink.text((at(x, 0)[0], top + high + 24), f"{x:g}", text_anchor="middle",
                            fill=ink.GREY))  # fmt: skip
    out.append(ink.text((left + 70 + wide / 2, top + high + 50), unit, text_anchor="middle",
                        fill=ink.INK))  # fmt: skip
    for number, line in enumerate(lines):
        ring = [at(*point) for point in line.points]
        dash = (None, "9 5", "2 5")[number]
        path = "M" + " L".join(f"{x:.1f} {y:.1f}" for x, y in ring)
        out.append(ink.path(path, fill="none", stroke=ink.INK, stroke_width=2.0,
                            stroke_dasharray=dash))  # fmt: skip
        out += [_mark(line.mark, p) for p in ring]
    return out


def _mark(mark: str, at: tuple[float, float]) -> str:
    x, y = at
    if mark == "circle":
        return ink.circle((x, y), 5, fill=ink.ACCENT)
    if mark == "square":
        return ink.rect(x - 5, y - 5, x + 5, y + 5, fill="#fff", stroke=ink.INK, stroke_width=2.0)
    return ink.line((x - 5, y - 5), (x + 5, y + 5), stroke=ink.INK, stroke_width=2.5) + ink.line(
        (x - 5, y + 5), (x + 5, y - 5), stroke=ink.INK, stroke_width=2.5
    )


def main() -> None:
    """Measure and draw."""
    load = os.getloadavg()[0]
    by_count = curves(COUNTS, lambda count: space(240.0, int(count)))
    by_size = curves(FEET, lambda feet: space(12.0 * feet, 4))
    out = panel(by_count, 0, "A 20 by 20 ft room", "obstructions in it")
    out += panel(by_size, 500, "4 obstructions", "side of the room [ft]")
    for number, line in enumerate(by_count):
        at = (90.0 + 260 * number, 444.0)
        out += [_mark(line.mark, at), ink.text((at[0] + 14, 450), line.name, fill=ink.INK)]
    out.append(ink.text((890, 450), f"load at start {load:.1f}", fill=ink.GREY))
    svg = ink.document(
        1010, 470, [ink.group(out, font_family=ink.FACE, font_size=16)],
        title="How the search grows", said=_said(by_count, by_size), id="growth",
    )  # fmt: skip
    OUT.write_text(svg, encoding="utf-8")
    print(f"wrote {OUT.name}")


def _said(*rows: Sequence[Line]) -> str:
    return "; ".join(
        f"{line.name}: " + ", ".join(f"{x:g}: {y:.0f} ms" for x, y in line.points)
        for lines in rows
        for line in lines
    )


if __name__ == "__main__":
    main()
