"""Seats vs. room, or size vs. room: each with the tightest room it leaves, as a picture.

A row a count of seats or a size, the largest on top; a piece stands where its tightest margin is:
left of the post it is short of a figure (hatched), right of it there is room to spare.
"""

from __future__ import annotations

import math
from collections.abc import Sequence

from roomwright.drawing import ink
from roomwright.fit.search_found import Option
from roomwright.lengths import tape
from roomwright.web import room_words

MOST = 48.0
"""So much to spare or more stands at the right edge [in]."""

ROW = 66.0
TOP = 34.0
SIZE = 17


def draw(front: Sequence[Option], picked: Option | None, spare: float, width: float = 420.0) -> str:
    """Return the picture of a front as an SVG.

    >>> draw((), None, 2.0)
    ''
    """
    if not front:
        return ""
    low = min(-6.0, min(o.margin for o in front))
    high = min(MOST, max(12.0, max(o.margin for o in front)))
    edge = 14.0

    def x(margin: float) -> float:
        margin = min(margin, high)
        return edge + (margin - low) / (high - low) * (width - 2 * edge)

    bottom = TOP + ROW * len(front)
    out = [
        "<defs>" + ink.hatch("front-short", 8, ink.COLORS["short"], 1.2, down=True) + "</defs>",
        ink.rect(edge, TOP, x(0), bottom, fill="url(#front-short)"),
        *(_mark(x(m), m, bottom) for m in _marks(low, high)),
        ink.line((x(0), TOP - 6), (x(0), bottom), stroke=ink.INK, stroke_width=3.0),
    ]
    out += [
        _row(offer, TOP + ROW * n, x(offer.margin), width, offer is picked, spare)
        for n, offer in enumerate(front)
    ]
    title = "Seats vs. room" if front[0].seats else "Size vs. room"
    said = "; ".join(_said(offer) for offer in front)
    return ink.document(
        width, bottom + 8, [ink.group(out, font_family=ink.FACE, font_size=SIZE)],
        title=title, said=f"Tightest room for each: {said}.",
        id="front", class_="front", overflow="visible",
    )  # fmt: skip


def _marks(low: float, high: float) -> list[float]:
    step = next(s for s in (6, 12, 24, 48, 96, 1000) if (high - low) / s <= 4)
    first = math.ceil(low / step) * step
    return [m for n in range(12) if (m := first + n * step) <= high]


def _mark(at: float, margin: float, bottom: float) -> str:
    words = "0" if margin == 0 else tape(margin)
    return ink.line((at, TOP), (at, bottom), stroke=ink.HAIR, stroke_width=1.0) + ink.text(
        (at, TOP - 12), words, fill=ink.GREY, text_anchor="middle"
    )


def _said(option: Option) -> str:
    margin = tape(abs(option.margin)) if option.margin < MOST else f"over {tape(MOST)}"
    size = f"{tape(option.size.width)} by {tape(option.size.depth)}"
    what = f"{option.seats} seats" if option.seats else option.size.name
    side = "short" if option.margin < 0 else "spare"
    return ", ".join(filter(None, (what, size, f"{side} {margin}")))


def _words(option: Option) -> str:
    width, depth = (room_words.tape_plain(v) for v in (option.size.width, option.size.depth))
    size = f"{width} round" if option.piece.round else f"{width} × {depth}"
    what = f"{option.seats} seats" if option.seats else option.size.name
    return f"{what}, {size}" if what else size


def _row(offer: Option, top: float, at: float, width: float, picked: bool, spare: float) -> str:
    bad = offer.margin < 0
    color = ink.COLORS["short" if bad else "tight"] if offer.margin < spare else ink.ACCENT
    middle = top + 44
    words = _words(offer)
    wide = 9.2 * len(words)
    start = min(max(14.0, at - wide / 2), width - 14 - wide)
    dot = (
        ink.circle((at, middle), 9 if picked else 7, fill=color)
        if not bad
        else ink.rect(at - 7, middle - 7, at + 7, middle + 7, fill="#fff", stroke=color,
                      stroke_width=3.0)
    )  # fmt: skip
    return (
        ink.line((14.0, middle), (width - 14, middle), stroke=ink.HAIR, stroke_width=1.0)
        + ink.rect(start - 4, top + 8, start + wide + 4, top + 30, fill="#fff")
        + dot
        + ink.text((start, top + 26), words, fill=ink.INK,
                   font_weight="700" if picked else None)
    )  # fmt: skip
