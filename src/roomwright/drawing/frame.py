"""From inches of house to units of a drawing: the scale, the margins, and which way is up."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from roomwright.drawing.options import PlanOptions
from roomwright.shape import Outline, Point, Segment

LARGEST = 6.0
"""A closet is not blown up past this many units per inch on a screen."""

SMALLEST = 1e-6


@dataclass(frozen=True, slots=True)
class Margins:
    """White round the house [units]."""

    left: float
    top: float
    right: float
    bottom: float
    edge: float = 0.0
    """What stays white at the very edge."""
    strip: float = 0.0
    """Height of the strip at the bottom for scale bar and north; part of `bottom`."""


@dataclass(frozen=True, slots=True)
class Frame:
    """Maps (x, y) of the house [in] to the drawing [units]."""

    scale: float
    left: float
    top: float
    width: float
    height: float

    def at(self, p: Point) -> Point:
        """A point of the house in the drawing."""
        return (p[0] - self.left) * self.scale, (self.top - p[1]) * self.scale

    def ring(self, outline: Sequence[Point]) -> list[Point]:
        """An outline of the house in the drawing."""
        return [self.at(p) for p in outline]

    def segment(self, each: Segment) -> Segment:
        """A segment of the house in the drawing."""
        return self.at(each[0]), self.at(each[1])


def bounds(rings: Iterable[Outline]) -> tuple[float, float, float, float]:
    """West, south, east and north of some outlines [in].

    Raises
    ------
    ValueError
        If there is no outline.
    """
    points = [p for ring in rings for p in ring]
    if not points:
        raise ValueError("there is nothing to draw: no room has an outline")
    xs, ys = [p[0] for p in points], [p[1] for p in points]
    return min(xs), min(ys), max(xs), max(ys)


Extent = tuple[float, float, float, float]
"""West, south, east and north [in]."""


def framed(box: Extent, reach: Extent, margins: Margins, options: PlanOptions) -> Frame:
    """The frame of a drawing, as large as the options allow.

    `box` is what the margins lie round, `reach` what must be on the drawing too (the swing of a
    door into the next room): it may use the margins.
    """
    scale = options.scale or _scale(box, margins, options)
    for _ in range(4):
        around = _widened(box, reach, margins, scale)
        if options.scale is not None:
            break
        scale = _scale(box, around, options)
    west, south, east, north = box
    across = around.left + around.right
    width = max(options.width, (east - west) * scale + across)
    spare = width - (east - west) * scale - across
    left = west - (around.left + spare / 2) / scale
    top = north + around.top / scale
    return Frame(scale, left, top, width, (north - south) * scale + around.top + around.bottom)


def _scale(box: Extent, margins: Margins, options: PlanOptions) -> float:
    west, south, east, north = box
    across = margins.left + margins.right
    down = margins.top + margins.bottom
    scale = min(
        (options.width - across) / max(east - west, 1e-6),
        (options.height - down) / max(north - south, 1e-6),
    )
    return max(SMALLEST, scale if options.paper else min(scale, LARGEST))


def _widened(box: Extent, reach: Extent, margins: Margins, scale: float) -> Margins:
    """The margins, each at least as wide as what reaches into it."""
    edge = margins.edge
    return Margins(
        max(margins.left, (box[0] - reach[0]) * scale + edge),
        max(margins.top, (reach[3] - box[3]) * scale + edge),
        max(margins.right, (reach[2] - box[2]) * scale + edge),
        max(margins.bottom, (box[1] - reach[1]) * scale + edge + margins.strip),
        edge,
        margins.strip,
    )
