"""What a reader asks of a drawing, and what is handed back."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Self

from roomwright.answers.plan_model import DimKind
from roomwright.drawing.places import Rect

EVERY_DIM: frozenset[DimKind] = frozenset({"wall", "clear", "way", "box", "opening", "center"})

PAGE_DIMS: frozenset[DimKind] = frozenset({"wall", "clear", "way", "center"})
"""What a page shows: the room, what is clear, where people pass, and what is off center."""

NARROW = 560.0
"""A drawing narrower than this is a phone's [px]: small things go without their names."""

ARCHITECT_SCALES = (
    (1.0, '1" = 1\'-0"'),
    (3 / 4, '3/4" = 1\'-0"'),
    (1 / 2, '1/2" = 1\'-0"'),
    (3 / 8, '3/8" = 1\'-0"'),
    (1 / 4, '1/4" = 1\'-0"'),
    (3 / 16, '3/16" = 1\'-0"'),
    (1 / 8, '1/8" = 1\'-0"'),
    (3 / 32, '3/32" = 1\'-0"'),
    (1 / 16, '1/16" = 1\'-0"'),
)
"""Scales of a triangular architect's rule: inches of paper to a foot of house, largest first."""

POINTS_PER_INCH = 72.0


@dataclass(frozen=True, slots=True)
class PlanOptions:
    """How a plan is drawn.

    Attributes
    ----------
    width, height
        The room there is [px on a screen, pt on paper]; the drawing keeps within both where
        `scale` is not given. It grows taller only for a text that has no other place.
    paper
        True for black on white: hatching and line weight say what color says on a screen.
    scale
        Units per inch of house; None takes the largest that goes into `width` and `height`.
    text
        Size of the lettering [px, pt].
    dims
        Which kinds of dimensions are drawn.
    letters, ways, furniture_names, bar
        Whether walls are lettered, walk paths and names of things drawn, and the scale bar and
        the north arrow put under the plan.
    interactive
        True where the page lets people take hold of pieces: each becomes a thing that a
        keyboard can reach.
    base
        Begins each id in the drawing, so that several may stand on one page.
    """

    width: float = 760.0
    height: float = 900.0
    paper: bool = False
    scale: float | None = None
    text: float = 17.0
    dims: frozenset[DimKind] = PAGE_DIMS
    letters: bool = True
    ways: bool = True
    furniture_names: bool = True
    bar: bool = True
    interactive: bool = False
    base: str = "plan"

    def __post_init__(self) -> None:
        if self.width < 120 or self.height < 120 or not 4 <= self.text <= 72:
            raise ValueError("a drawing is at least 120 by 120, its lettering from 4 to 72")
        if self.scale is not None and self.scale <= 0:
            raise ValueError("the scale of a drawing is more than 0 units per inch")

    @classmethod
    def on_paper(cls, width: float, height: float, *, text: float = 10.0) -> Self:
        """Options for black on white; units are points."""
        return cls(width=width, height=height, paper=True, text=text)


@dataclass(frozen=True, slots=True)
class Drawing:
    """A finished drawing.

    `scale` is in units per inch of house, and the point (x, y) of the house stands at
    ``((x - left) * scale, (top - y) * scale)``. `boxes` are the places of all texts, by what
    they say; no two overlap. `unplaced` names texts that were left out for want of room.
    """

    svg: str
    width: float
    height: float
    scale: float
    left: float
    top: float
    boxes: tuple[tuple[str, Rect], ...]
    unplaced: tuple[str, ...] = ()
