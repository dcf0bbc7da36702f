"""How far a marked point may lie from where it should: propagation of the tape's error.

References
----------
.. [1] Law of propagation of variances, as in P. R. Wolf and C. D. Ghilani, *Adjustment
   Computations*, chapter 6, and the error ellipse, chapter 19 [from memory].
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from roomwright.markout.model import USUAL, Habits, MarkoutError, Tape
from roomwright.shape import Point

Floats = NDArray[np.float64]

NINETY_FIVE = math.sqrt(-2 * math.log(0.05))
"""Semi-axes of the 95 % ellipse in standard deviations: chi-square with 2 degrees, 5.991."""


@dataclass(frozen=True, slots=True)
class Covariance:
    """Variances and covariance of a point [in2]."""

    xx: float
    xy: float
    yy: float

    def along(self, u: Point) -> float:
        """Variance in the direction of a unit vector [in2]."""
        return self.xx * u[0] ** 2 + 2 * self.xy * u[0] * u[1] + self.yy * u[1] ** 2


@dataclass(frozen=True, slots=True)
class Ellipse:
    """The ellipse in which a point lies 95 times of 100.

    `major` and `minor` are its semi-axes [in], `turn` that of the major one [deg, anticlockwise
    from east].
    """

    major: float
    minor: float
    turn: float


def ellipse(c: Covariance) -> Ellipse:
    """The 95 % ellipse of a covariance [1].

    >>> e = ellipse(Covariance(0.04, 0.0, 0.01))
    >>> round(e.major, 4), round(e.minor, 4), e.turn
    (0.4895, 0.2448, 0.0)
    """
    middle, half = (c.xx + c.yy) / 2, math.hypot((c.xx - c.yy) / 2, c.xy)
    turn = math.degrees(0.5 * math.atan2(2 * c.xy, c.xx - c.yy)) if half > 1e-15 else 0.0
    small = max(0.0, middle - half)
    return Ellipse(NINETY_FIVE * math.sqrt(middle + half), NINETY_FIVE * math.sqrt(small), turn)


def of_ties(p: Point, a: Point, b: Point, tape: Tape) -> Covariance:
    """Covariance of a point from tape distances to two fixed points [1].

    Ties at right angles from 8 ft and 6 ft:

    >>> c = of_ties((96, 0), (0, 0), (96, 72), Tape())
    >>> round(c.xx, 6), round(c.yy, 6), abs(c.xy) < 1e-12
    (0.029929, 0.025921, True)

    Raises
    ------
    MarkoutError
        If the ties run in one line: then they fix no point.
    """
    (ux, uy), (vx, vy) = _unit(a, p), _unit(b, p)
    sine = ux * vy - uy * vx
    if abs(sine) < 1e-9:
        raise MarkoutError("Two ties in one line fix no point: take other fixed points.")
    s, t = tape.sd(math.dist(a, p)) ** 2 / sine**2, tape.sd(math.dist(b, p)) ** 2 / sine**2
    return Covariance(
        s * vy * vy + t * uy * uy, -(s * vx * vy + t * ux * uy), s * vx * vx + t * ux * ux
    )


def _unit(a: Point, p: Point) -> Point:
    d = math.dist(a, p)
    if d < 1e-9:
        raise MarkoutError("A tie needs a distance: the point lies on its fixed point.")
    return (p[0] - a[0]) / d, (p[1] - a[1]) / d


def majors(points: Floats, hooks: Floats, tape: Tape, habits: Habits = USUAL) -> Floats:
    """Major semi-axis of the 95 % ellipse [in] for each point (n, 2) by each two hooks (m, 2).

    Shape (n, m, m), symmetric; infinite where the ties cross too flat or have no length.
    """
    d = points[:, None, :] - hooks[None, :, :]
    length = np.hypot(d[..., 0], d[..., 1])
    u = d / np.maximum(length, 1e-9)[..., None]
    sine = u[:, :, None, 0] * u[:, None, :, 1] - u[:, :, None, 1] * u[:, None, :, 0]
    s2 = (tape.sigma + tape.scale * length) ** 2
    first, second = s2[:, :, None], s2[:, None, :]
    trace, product = first + second, first * second
    fine = np.abs(sine) > math.sin(math.radians(habits.tie_angle))
    square = np.where(fine, sine**2, 1.0)
    root = np.sqrt(np.maximum(trace**2 - 4 * product * square, 0.0))
    major = NINETY_FIVE * np.sqrt((trace + root) / 2 / square)
    none = length < 1e-6
    return np.where(fine & ~none[:, :, None] & ~none[:, None, :], major, np.inf)


def of_baseline(along: float, off: float, direction: Point, skew: float, tape: Tape) -> Covariance:
    """Covariance of a point measured along a baseline and square off it [1].

    `direction` is that of the baseline, `skew` the standard deviation of the squared-off line's
    direction [rad]: it carries the far end of `off` to and fro along the baseline.
    """
    (ux, uy), t = direction, tape.sd(off) ** 2
    s = tape.sd(along) ** 2 + (off * skew) ** 2
    return Covariance(s * ux * ux + t * uy * uy, (s - t) * ux * uy, s * uy * uy + t * ux * ux)


def skew_of(a: float, b: float, tape: Tape) -> float:
    """Standard deviation of a right angle built with legs a, b and the taped hypotenuse [rad] [1].

    From c2 = a2 + b2 - 2 a b cos t at a right angle: dt = (c dc - a da - b db) / (a b).

    >>> round(math.degrees(skew_of(72, 96, Tape())), 2)
    0.25
    """
    c = math.hypot(a, b)
    return math.hypot(c * tape.sd(c), a * tape.sd(a), b * tape.sd(b)) / (a * b)


def crossing(a: Point, r: float, b: Point, s: float, near: Point) -> Point | None:
    """Where two arcs cross: radius `r` about `a` and `s` about `b`, the crossing next to `near`.

    >>> crossing((0, 0), 5.0, (6, 0), 5.0, (3, 1))
    (3.0, 4.0)
    """
    d = math.dist(a, b)
    if d < 1e-9:
        return None
    x = (d * d + r * r - s * s) / (2 * d)
    h2 = r * r - x * x
    if h2 < -1e-9 * max(1.0, r * r):
        return None
    h = math.sqrt(max(0.0, h2))
    ux, uy = (b[0] - a[0]) / d, (b[1] - a[1]) / d
    found = [(a[0] + x * ux - side * h * uy, a[1] + x * uy + side * h * ux) for side in (1.0, -1.0)]
    return min(found, key=lambda p: math.dist(p, near))
