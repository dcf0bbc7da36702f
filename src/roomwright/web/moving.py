"""What changes on a plan while a piece moves, without placing every text of it anew.

The page keeps the drawing it has, hides what no longer holds on it, and lays these parts over it:
the floor that is short, the walk paths, and the clear distances of the piece. The whole drawing
follows once the piece rests.
"""

from __future__ import annotations

from dataclasses import dataclass

from roomwright.answers.in_hand import InHand
from roomwright.answers.plan_model import Dim
from roomwright.drawing import dimension, ink, structure
from roomwright.drawing.dimension import Lettering
from roomwright.drawing.frame import Frame

BAD = ("short", "blocked")


@dataclass(frozen=True, slots=True)
class Shown:
    """The drawing that the page shows: its scale [units an inch], place, lettering and id."""

    scale: float
    left: float
    top: float
    base: str
    text: float = 17.0

    def frame(self) -> Frame:
        """Return the map from the house to the drawing."""
        return Frame(self.scale, self.left, self.top, 0.0, 0.0)


def parts(held: InHand, shown: Shown) -> str:
    """Return the parts to lay over the drawing, as SVG without its outer element."""
    frame = shown.frame()
    zones = [
        ink.path(ink.ring(frame.ring(zone.outline)), fill=f"url(#{shown.base}-bad)", class_="zone")
        for zone in held.zones
    ]
    ways = [
        ink.path(
            structure.smooth(frame.ring(way.points), 14.0),
            class_="way",
            fill="none",
            stroke=ink.ACCENT,
            stroke_width=2.86,
            stroke_dasharray="9 6",
        )
        for way in held.ways
    ]
    lines: list[str] = []
    texts: list[str] = []
    for dim in held.dims:
        under, over = _dim(dim, frame, shown.text)
        lines.append(under)
        texts.append(over)
    return "".join((*zones, *ways, *lines, *texts))


def _dim(dim: Dim, frame: Frame, size: float) -> tuple[str, str]:
    bad = dim.word in BAD
    lettering = Lettering(dim.text, size, bad)
    spot = dimension.spots(lettering, [frame.segment((dim.p, dim.q))])[0]
    color = ink.COLORS["short"] if bad else ink.INK
    return dimension.draw(
        dim, lettering, spot, stroke=color, weight=1.65 if bad else 0.99, frame=color if bad else ""
    )
