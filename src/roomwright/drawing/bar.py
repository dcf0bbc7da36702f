"""The strip under a plan: a scale bar to check a print against, and an arrow to north."""

from __future__ import annotations

from roomwright.drawing import ink, typeface
from roomwright.drawing.dimension import Lettering
from roomwright.drawing.places import Board, Spot

FEET = (40, 20, 10, 5, 4, 2, 1)


def high(text: float) -> float:
    """Height of the strip."""
    return 2.9 * text


def draw(board: Board, scale: float, text: float, top: float, left: float, right: float) -> str:
    """Both marks, in the strip that begins at `top`; their places are taken on the board."""
    return _bar(board, scale, text, top, left, right) + _north(board, text, top, right)


def _bar(board: Board, scale: float, text: float, top: float, left: float, right: float) -> str:
    room = (right - left) * 0.6
    feet = next((f for f in FEET if f * 12 * scale <= room), 1)
    length = feet * 12 * scale
    parts = 4 if feet % 4 == 0 else 5 if feet % 5 == 0 else 2 if feet == 2 else 4
    step = length / parts
    thick = 0.34 * text
    y = top + 0.6 * text
    drawn = [
        ink.rect(left + i * step, y, left + (i + 1) * step, y + thick, fill=fill, stroke_width=0.8)
        for i in range(parts)
        for fill in (("currentColor", "none")[i % 2],)
    ]
    under = y + thick + 1.05 * text
    size = 0.9 * text
    for value, x in ((0, left), (feet, left + length)):
        words = "0" if value == 0 else f"{value} ft"
        mark = Lettering(words, size)
        wide = typeface.width(words, size)
        start = left if value == 0 else max(left + 2 * mark.pad + wide, x - wide / 2)
        drawn.append(ink.text((start, under), words, font_size=size, stroke="none"))
    end = left + length + 2.5 * text
    board.take("scale bar", Spot((left, y, min(end, right), under + 0.25 * text)))
    return ink.group(drawn, class_="scale-bar", stroke="currentColor", fill="currentColor")


def _north(board: Board, text: float, top: float, right: float) -> str:
    size = 0.95 * text
    x = right - 0.9 * text
    tip, foot = top + 0.35 * text, top + 2.5 * text
    arrow = ink.path(
        f"M{ink.n(x)} {ink.n(foot)}V{ink.n(tip)}M{ink.n(x - 0.36 * text)} "
        f"{ink.n(tip + 0.75 * text)}L{ink.n(x)} {ink.n(tip)}L{ink.n(x + 0.36 * text)} "
        f"{ink.n(tip + 0.75 * text)}",
        fill="none",
        stroke="currentColor",
        stroke_width=max(1.0, text * 0.09),
    )
    wide = typeface.width("N", size, bold=True)
    letter = ink.text(
        (x - 0.6 * text - wide, tip + 0.9 * text), "N", font_size=size, font_weight="700"
    )
    board.take("north", Spot((x - 0.7 * text - wide, tip, x + 0.5 * text, foot)))
    return ink.group([arrow, letter], class_="north", fill="currentColor")
