"""A plan in the making: what is drawn, on what surface, and what has been put down so far."""

from __future__ import annotations

import math
from dataclasses import dataclass, field

import shapely

from roomwright.answers.plan_model import Opening, Plan
from roomwright.drawing import ink
from roomwright.drawing.frame import Frame
from roomwright.drawing.options import PlanOptions
from roomwright.drawing.places import Board
from roomwright.shape import Point, Segment

BAD = ("short", "blocked")
"""Verdicts whose figures are set bold and framed."""


@dataclass(slots=True)
class Work:
    """A drawing in the making."""

    plan: Plan
    options: PlanOptions
    frame: Frame
    board: Board
    lines: list[str] = field(default_factory=list)
    texts: list[str] = field(default_factory=list)
    unplaced: list[str] = field(default_factory=list)
    solid: shapely.Geometry = field(init=False)

    def __post_init__(self) -> None:
        self.solid = shapely.MultiPolygon([(r[0], r[1:]) for r in self.plan.walls])

    @property
    def thin(self) -> float:
        """The line weight that others are multiples of."""
        return 0.6 if self.options.paper else 1.1

    def color(self, word: str = "") -> str:
        """Ink, or on a screen the color of a verdict."""
        if self.options.paper:
            return "#000"
        return ink.COLORS.get(word, ink.INK)


def compass(direction: Point) -> str:
    """Which edge of the sheet a direction of the house points at."""
    if abs(direction[0]) > abs(direction[1]):
        return "right" if direction[0] > 0 else "left"
    return "top" if direction[1] > 0 else "bottom"


def out_of(segment: Segment) -> Point:
    """The unit vector out of the room through a wall of an anticlockwise outline."""
    ux, uy = unit(*segment)
    return uy, -ux


def away(each: Opening) -> Point:
    """The direction from this room out through an opening."""
    (na, nb), (fa, fb) = each.near, each.far
    near = ((na[0] + nb[0]) / 2, (na[1] + nb[1]) / 2)
    far = ((fa[0] + fb[0]) / 2, (fa[1] + fb[1]) / 2)
    if math.dist(near, far) > 1e-6:
        return unit(near, far)
    return out_of((na, nb))


def unit(a: Point, b: Point) -> Point:
    """The direction from a to b; east where they are one."""
    length = math.dist(a, b)
    return ((b[0] - a[0]) / length, (b[1] - a[1]) / length) if length > 1e-9 else (1.0, 0.0)
