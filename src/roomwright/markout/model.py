"""What the mark-out engine is given: a floor, its fixed points, the tape, the points to mark.

Plane coordinates are inches, x east and y north, as everywhere in the program.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Literal

import shapely

from roomwright import shape
from roomwright.shape import Outline, Point

HookKind = Literal["corner", "jamb", "built-in"]
Purpose = Literal["corner", "center", "chair line", "clearance", "light"]

MOST_POINTS = 400
"""More points to mark than this are refused: no floor is laid out so."""


class MarkoutError(ValueError):
    """A floor or a thing that cannot be marked out; the message says what to do."""


@dataclass(frozen=True, slots=True)
class Hook:
    """A fixed point on which the end of a tape is held: a corner, a jamb's edge."""

    id: str
    name: str
    at: Point
    kind: HookKind = "corner"


@dataclass(frozen=True, slots=True)
class Obstacle:
    """Something that stands on the floor: no tape goes over it, no chalk under it."""

    id: str
    name: str
    outline: Outline


@dataclass(frozen=True, slots=True)
class Floor:
    """A floor to mark on: its `outline` between finished faces, `holes`, and what stands on it."""

    outline: Outline
    holes: tuple[Outline, ...] = ()
    hooks: tuple[Hook, ...] = ()
    obstacles: tuple[Obstacle, ...] = ()

    def __post_init__(self) -> None:
        ring = shape.tidy(self.outline)
        if len(ring) < 3 or not all(math.isfinite(v) for p in ring for v in p):
            raise MarkoutError("The room has no outline to measure from: measure its walls first.")
        if shape.area(ring) <= shape.TOUCH:
            raise MarkoutError("The room's outline has no area: measure its walls first.")
        if not shapely.is_valid(shapely.Polygon(ring)):
            raise MarkoutError("The room's walls cross each other: mend its outline first.")


@dataclass(frozen=True, slots=True)
class Tape:
    """How a tape errs, how it is divided, and how far it goes.

    The standard deviation of a reading d is `sigma` + `scale` d [in] (figures tape.sigma and
    tape.scale). `fraction` is the marks an inch that people lay out to, `longest` its length.

    >>> Tape().sd(100), Tape().read(39.03)
    (0.175, 39.0)
    """

    sigma: float = 1 / 8
    scale: float = 0.0005
    fraction: int = 16
    longest: float = 300.0

    def __post_init__(self) -> None:
        fine = all(map(math.isfinite, (self.sigma, self.scale, self.longest)))
        if not fine or self.sigma <= 0 or self.scale < 0 or self.longest <= 0 or self.fraction < 1:
            raise MarkoutError(
                "A tape has an error of more than 0, a length, and 1 or more marks an inch."
            )

    def sd(self, distance: float) -> float:
        """Standard deviation of a reading of `distance` [in]."""
        return self.sigma + self.scale * abs(distance)

    def read(self, distance: float) -> float:
        """A distance [in] at the nearest mark of the tape."""
        return math.floor(distance * self.fraction + 0.5) / self.fraction


@dataclass(frozen=True, slots=True)
class Habits:
    """What is taken as fit to measure by; the figures markout.* hold the values in force.

    Attributes
    ----------
    tie_least : float
        A shorter tie is not taken: the tape's case is in the way [in].
    tie_angle : float
        Ties that cross flatter are not taken [deg].
    tie_worse, line_worse : float
        To hold the tape at fewer places, a point may be this much worse than by its best ties,
        and than from its best wall [in].
    line_least : float
        A shorter wall is no baseline [in].
    """

    tie_least: float = 6.0
    tie_angle: float = 10.0
    tie_worse: float = 1 / 4
    line_least: float = 24.0
    line_worse: float = 3 / 8


USUAL = Habits()


@dataclass(frozen=True, slots=True)
class Target:
    """A point to mark: its short `id` (what is chalked beside it), `name`, place and thing."""

    id: str
    name: str
    at: Point
    of: str = ""
    purpose: Purpose = "corner"


@dataclass(frozen=True, slots=True)
class Figure:
    """A thing to draw from marked points: a ring of targets, or a string about a center.

    `corners` are ids of targets in order; where `radius` is more than 0 the first is the center.
    `closed` is False for a line.
    """

    id: str
    name: str
    corners: tuple[str, ...]
    radius: float = 0.0
    closed: bool = True
