"""Seats vs. room: each count of seats with the tightest room it leaves, as a picture.

A row a count of seats, most on top; a table stands where its tightest margin is: left of the post
it is short of a figure (hatched), right of it there is room to spare.
"""

from __future__ import annotations

import math
from collections.abc import Sequence

from roomwright.drawing import ink
from roomwright.fit.offers import Offer
from roomwright.lengths import tape

ROW = 66.0
TOP = 34.0
SIZE = 17


def draw(front: Sequence[Offer], picked: Offer | None, spare: float, width: float = 420.0) -> str:
    """Return the picture of a front as an SVG.

    >>> draw((), None, 2.0)
    ''
    """
    if not front:
        return ""
    low = min(-6.0, min(o.margin for o in front))
    high = max(12.0, max(o.margin for o in front))
    edge = 14.0

    def x(margin: float) -> float:
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
    said = "; ".join(_said(offer) for offer in front)
    return ink.document(
        width, bottom + 8, [ink.group(out, font_family=ink.FACE, font_size=SIZE)],
        title="Seats vs. room", said=f"Tightest room for each count of seats: {said}.",
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


def _said(offer: Offer) -> str:
    margin = tape(abs(offer.margin))
    size = f"{tape(offer.length)} by {tape(offer.width)}"
    return f"{offer.seats} seats, {size}, {'short' if offer.margin < 0 else 'spare'} {margin}"


def _row(offer: Offer, top: float, at: float, width: float, picked: bool, spare: float) -> str:
    bad = offer.margin < 0
    color = ink.COLORS["short" if bad else "tight"] if offer.margin < spare else ink.ACCENT
    middle = top + 44
    words = f"{offer.seats} seats, {offer.length:g} × {offer.width:g}"
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
