"""What a survey is given and what it answers; inches, plan axes x east and y north."""

from __future__ import annotations

import math
from dataclasses import dataclass, field
from datetime import date

import numpy as np
from numpy.typing import NDArray

from roomwright.shape import Outline

Array = NDArray[np.float64]
Numbers = NDArray[np.intp]
Flags = NDArray[np.bool_]

LIMIT = 3.29
"""A reading whose |w| is over this is suspect: 1 in 1000 by chance, two-sided normal [1]_.

.. [1] W. Baarda, "A testing procedure for use in geodetic networks", Netherlands Geodetic
   Commission 2 (5), 1968 (from memory): alpha 0.001, power 0.80, so delta0 4.13.
"""

DELTA0 = 4.13
"""An error of DELTA0 sigma / sqrt(r) is noticed four times in five (Baarda 1968, from memory)."""

NEAR = 0.9
"""Readings with at least this share of the suspect's |w| are its rivals."""

ELLIPSE_95 = math.sqrt(-2 * math.log(0.05))
"""Semi-axis of a 95 % ellipse over the standard deviation: sqrt of chi-square .95 of 2."""


class SurveyError(ValueError):
    """Readings that cannot make a room; the message names them and says what to do."""


@dataclass(frozen=True, slots=True)
class Tape:
    """How well a tape and a room are trusted.

    Attributes
    ----------
    sigma, scale : float
        Standard deviation of a reading of d inches is sigma + scale d [in, 1] (common practice).
    square : float
        Standard deviation of a corner that is drawn square [deg] (common practice).
    built : float
        Standard deviation of where a corner was built, each way [in] (common practice): on
        a short wall it turns the corner more than `square` does.

    Examples
    --------
    >>> round(Tape().sd(150), 3)
    0.2
    """

    sigma: float = 0.125
    scale: float = 0.0005
    square: float = 0.6
    built: float = 0.25

    def __post_init__(self) -> None:
        over, least = (self.sigma, self.square), (self.scale, self.built)
        if not all(math.isfinite(v) for v in over + least) or min(over) <= 0 or min(least) < 0:
            raise SurveyError("A tape needs sigma and square over 0, scale and built of 0 or more.")

    def sd(self, length: float) -> float:
        """Standard deviation of a reading of `length` [in]."""
        return self.sigma + self.scale * length

    def square_sd(self, one: float, other: float) -> float:
        """Standard deviation of a square corner between walls of two lengths [deg].

        >>> round(Tape().square_sd(150, 150), 2), round(Tape().square_sd(150, 12), 2)
        (0.63, 1.8)
        """
        moved = self.built * math.sqrt(2 * (1 / max(one, 1.0) ** 2 + 1 / max(other, 1.0) ** 2))
        return math.hypot(self.square, math.degrees(moved))


@dataclass(frozen=True, slots=True)
class Observation:
    """One tape reading between two corners [in]; `set_aside` is the builder's own decision."""

    id: str
    from_: str
    to: str
    length: float
    sigma: float | None = None
    face: str = ""
    on: date | None = None
    by: str = ""
    set_aside: bool = False

    def line(self) -> str:
        """The two corners as a builder writes them.

        >>> Observation("r1", "A", "B", 162).line()
        'A-B'
        """
        return f"{self.from_}-{self.to}"


@dataclass(frozen=True, slots=True)
class Ellipse:
    """A 95 % ellipse: semi-axes [in], the longer one's angle anticlockwise from east [deg]."""

    a: float
    b: float
    angle: float


@dataclass(frozen=True, slots=True)
class Corner:
    """A corner as adjusted [in], with standard deviations against the room as a whole."""

    name: str
    x: float
    y: float
    sx: float
    sy: float
    ellipse: Ellipse


@dataclass(frozen=True, slots=True)
class Taken:
    """What the adjustment says of one reading.

    Attributes
    ----------
    residual : float
        Adjusted less observed [in].
    redundancy : float
        Share of an error that shows in the residual, 0 to 1.
    w : float
        Standardized residual (normal, sd 1, if the reading is good).
    detectable : float
        Error that would be noticed four times in five [in]; inf where nobody would notice.
    suspect : bool
        |w| is over 3.29, so it is set aside.
    aside : bool
        Not used for the corners: suspect, or set aside by the builder.
    rivals : tuple[str, ...]
        Ids of readings within 10 % of its |w|: it could be one of these instead.
    error : float
        What the others say it is too long by [in]; 0 unless it is aside.
    """

    observation: Observation
    residual: float
    redundancy: float
    w: float
    detectable: float
    suspect: bool = False
    aside: bool = False
    rivals: tuple[str, ...] = ()
    error: float = 0.0


@dataclass(frozen=True, slots=True)
class Diagonal:
    """The reading to take next, and the largest detectable error before and after it [in]."""

    from_: str
    to: str
    detectable_before: float
    detectable_after: float
    length: float


@dataclass(frozen=True, slots=True)
class Survey:
    """A room from its readings.

    Attributes
    ----------
    variance_factor : float or None
        Sum of (v / sigma)^2 over the sum of redundancy numbers, readings in use only; None where
        there is less than half a spare reading. About 1 if the tape is as good as was said.
    degrees : int
        Spare readings: those in use beyond what the shape needs, corners taken as they come.
    can_name : bool
        Whether an error of 6 in. in any one reading could be told from every other.
    square_trusted : bool
        Whether corners drawn square helped at 0.6 deg; False: the readings say otherwise.
    covariance : ndarray, shape (2 n, 2 n)
        Of x, y of each corner in turn [in2], relative to the room as a whole.
    """

    corners: tuple[Corner, ...]
    readings: tuple[Taken, ...]
    variance_factor: float | None
    degrees: int
    next_diagonal: Diagonal | None
    notes: tuple[str, ...]
    outline: Outline
    can_name: bool
    square_trusted: bool = True
    covariance: Array = field(default_factory=lambda: np.zeros((0, 0)), repr=False, compare=False)

    def suspects(self) -> tuple[Taken, ...]:
        """The readings that the others contradict."""
        return tuple(r for r in self.readings if r.suspect)

    def length_sd(self, from_: str, to: str) -> float:
        """Standard deviation of the adjusted distance between two corners [in]."""
        names = [c.name for c in self.corners]
        i, j = names.index(from_), names.index(to)
        a, b = self.corners[i], self.corners[j]
        d = math.hypot(b.x - a.x, b.y - a.y)
        if d == 0:
            return 0.0
        row = np.zeros(2 * len(names))
        row[[2 * i, 2 * i + 1]] = (a.x - b.x) / d, (a.y - b.y) / d
        row[[2 * j, 2 * j + 1]] = (b.x - a.x) / d, (b.y - a.y) / d
        return math.sqrt(max(0.0, float(row @ self.covariance @ row)))
