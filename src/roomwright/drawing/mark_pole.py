"""Pages of a story pole at true size: strips side by side, with ticks, marks, cut lines and flaps.

A page is letter paper in points, 72 to the inch, so that an inch of the pole is 72 units and
nothing may scale it. A strip runs up the page: its low end is at the bottom.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence

from roomwright.drawing import ink, typeface
from roomwright.drawing.options import POINTS_PER_INCH
from roomwright.lengths import tape
from roomwright.markout.pole import ABREAST, FLAP, STRIP, Mark, Pole, Strip

WIDTH, HEIGHT = 8.5 * POINTS_PER_INCH, 11 * POINTS_PER_INCH
"""Letter paper [pt]."""

LEFT = 0.5 * POINTS_PER_INCH
BOTTOM = 10.5 * POINTS_PER_INCH
"""Where the low ends of the strips are, from the top of the page [pt]."""

WIDE = (WIDTH - 2 * LEFT) / ABREAST
"""Width of a strip [pt]."""

TICKS = 34.0
"""Width of the part of a strip that carries ticks and inches [pt]."""

SIZE = 8.5
LEADING = 10.0


def page(whole: Pole, strips: Sequence[Strip], number: int, count: int) -> str:
    """One page of strips as an SVG of letter size in points; `number` counts from 1 to `count`."""
    top = BOTTOM - (STRIP + FLAP) * POINTS_PER_INCH - 14
    head = (
        f"{whole.name}, strips {strips[0].number} to {strips[-1].number}. "
        f"Page {number} of {count}. "
        "Print at 100 %, then check the squares of page 1."
    )
    content = [ink.text((LEFT, top), head, font_size=9.0, font_weight="700", fill="#000")]
    for place, strip in enumerate(strips):
        content += _strip(whole, strip, LEFT + place * WIDE)
    body = ink.group(content, font_family=ink.FACE, stroke_linecap="butt")
    return ink.document(
        WIDTH, HEIGHT, [body], title=f"Story pole {whole.name}, page {number}", said=head,
        id=f"pole-{number}",
    )  # fmt: skip


def _strip(whole: Pole, strip: Strip, left: float) -> Iterator[str]:
    def y(at: float) -> float:
        return BOTTOM - (at - strip.low) * POINTS_PER_INCH

    right, flap = left + WIDE, y(strip.flap_to)
    for x in (left, right):
        yield ink.line((x, BOTTOM), (x, flap), stroke="#000", stroke_width=0.5)
    yield ink.line((left, BOTTOM), (right, BOTTOM), stroke="#000", stroke_width=0.5)
    yield ink.line((left, flap), (right, flap), stroke="#000", stroke_width=0.5)
    if strip.flap_to > strip.high:
        line = (left, y(strip.high)), (right, y(strip.high))
        yield ink.line(*line, stroke="#000", stroke_width=0.7, stroke_dasharray="4 3")
        at = (left + TICKS + 4, y(strip.high) - 14)
        yield ink.text(at, f"lay strip {strip.number + 1} to this line", font_size=6.5, fill="#000")
    name = f"{strip.number}" if strip.number > 1 else f"1: hold on {whole.start}"
    yield from (
        ink.text((left + TICKS + 4, BOTTOM - 5 - LEADING * k), words, font_size=7.5, fill="#000")
        for k, words in enumerate(reversed(_wrapped(f"strip {name}", 7.5, WIDE - TICKS - 8)))
    )
    yield from _ticks(strip, left, y)
    yield from _marks(strip, left, right, y)


def _ticks(strip: Strip, left: float, y: Callable[[float], float]) -> Iterator[str]:
    half = round(strip.low * 2)
    while half / 2 <= strip.flap_to + 1e-9:
        at, whole = half / 2, half % 2 == 0
        long = 12.0 if whole and (half // 2) % 12 == 0 else 8.0 if whole else 4.0
        yield ink.line((left, y(at)), (left + long, y(at)), stroke="#000", stroke_width=0.5)
        inch = half // 2
        marked = any(abs(m.at - at) < 0.08 for m in strip.marks)
        if whole and strip.low < at <= strip.high and not marked:
            foot, rest = divmod(inch, 12)
            words = f"{foot}'" if rest == 0 else f"{rest}"
            yield ink.text(
                (left + 14, y(at) + 2.6),
                words,
                font_size=10.0 if rest == 0 else 7.0,
                font_weight="700" if rest == 0 else None,
                fill="#000",
            )
        half += 1


def _marks(strip: Strip, left: float, right: float, y: Callable[[float], float]) -> Iterator[str]:
    """Each mark as a heavy line, with its words above it; crowded words move up, with a leader."""
    free = BOTTOM + 2.0 - 2.4 * LEADING if strip.number == 1 else BOTTOM - 1.3 * LEADING
    for mark in strip.marks:
        at = y(mark.at)
        yield ink.line((left, at), (right, at), stroke="#000", stroke_width=1.4, class_="pole-mark")
        lines = _words(mark)
        base = min(at - 3.5, free)
        for k, (words, bold) in enumerate(reversed(lines)):
            spot = (left + TICKS + 4, base - k * LEADING)
            weight = "700" if bold else None
            yield ink.text(spot, words, font_size=SIZE, font_weight=weight, fill="#000")
        if base < at - 4:
            yield ink.line(
                (left + TICKS, at), (left + TICKS + 3, base - 3), stroke="#000", stroke_width=0.5
            )
        free = base - len(lines) * LEADING - 2


def _words(mark: Mark) -> list[tuple[str, bool]]:
    lines = [(words, True) for words in _wrapped(mark.label, SIZE, WIDE - TICKS - 8)]
    return [*lines, (tape(mark.at), False)]


def _wrapped(words: str, size: float, wide: float) -> list[str]:
    lines: list[str] = []
    for word in words.split():
        longer = f"{lines[-1]} {word}" if lines else word
        if lines and typeface.width(longer, size, bold=True) <= wide:
            lines[-1] = longer
        else:
            lines.append(word)
    return lines[:4] or [""]
