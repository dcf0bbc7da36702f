"""Distributions that the learning of lead times needs: normal, Student's t, beta.

No package is needed at run time for them; tests hold them to scipy.
"""

from __future__ import annotations

import math
from collections.abc import Callable

TINY = 1e-300


def normal_cdf(z: float) -> float:
    """Return P(Z <= z) of the standard normal.

    >>> round(normal_cdf(1.2815515655446004), 6)
    0.9
    """
    return 0.5 * math.erfc(-z / math.sqrt(2))


def beta_cdf(x: float, a: float, b: float) -> float:
    """Return the regularized incomplete beta function I_x(a, b) by its continued fraction [1]_.

    .. [1] NIST Digital Library of Mathematical Functions, 8.17.22; evaluated by Lentz's method.

    >>> round(beta_cdf(0.5, 2, 3), 6)
    0.6875
    """
    if x <= 0 or x >= 1:
        return 0.0 if x <= 0 else 1.0
    if x > (a + 1) / (a + b + 2):  # the fraction converges fast only below its mean
        return 1 - beta_cdf(1 - x, b, a)
    front = math.exp(
        math.lgamma(a + b) - math.lgamma(a) - math.lgamma(b)
        + a * math.log(x) + b * math.log1p(-x)
    ) / a  # fmt: skip
    c, d = 1.0, 1 / (1 - (a + b) * x / (a + 1))
    value = d
    for m in range(1, 500):
        for step in (
            m * (b - m) * x / ((a + 2 * m - 1) * (a + 2 * m)),
            -(a + m) * (a + b + m) * x / ((a + 2 * m) * (a + 2 * m + 1)),
        ):
            d = 1 / _off_zero(1 + step * d)
            c = _off_zero(1 + step / c)
            value *= c * d
        if abs(c * d - 1) < 1e-15:
            break
    return front * value


def t_cdf(t: float, freedom: float) -> float:
    """Return P(T <= t) of Student's t.

    >>> round(t_cdf(2.015, 5), 4)
    0.95
    """
    square = t * t
    if square < freedom:  # near the middle a tail would lose the digits of t
        half = 0.5 * beta_cdf(square / (freedom + square), 0.5, freedom / 2)
        return 0.5 + math.copysign(half, t)
    tail = 0.5 * beta_cdf(freedom / (freedom + square), freedom / 2, 0.5)
    return tail if t < 0 else 1 - tail


def inverse(cdf: Callable[[float], float], share: float, low: float, high: float) -> float:
    """Return where a rising function reaches a share, by halving; bounds are widened as needed.

    >>> round(inverse(normal_cdf, 0.9, -1, 1), 6)
    1.281552
    """
    span = high - low
    while cdf(low) > share and span < 1e6:
        low, span = low - span, 2 * span
    while cdf(high) < share and span < 1e6:
        high, span = high + span, 2 * span
    for _ in range(80):
        middle = (low + high) / 2
        if middle in (low, high):
            break
        low, high = (middle, high) if cdf(middle) < share else (low, middle)
    return (low + high) / 2


def t_quantile(share: float, freedom: float) -> float:
    """Return the quantile of Student's t.

    >>> round(t_quantile(0.95, 5), 3)
    2.015
    """
    return inverse(lambda t: t_cdf(t, freedom), share, -4.0, 4.0)


def binomial_interval(came: int, of: int, sure: float = 0.95) -> tuple[float, float]:
    """Return the exact two-sided interval of a share seen `came` times of `of` [1]_.

    .. [1] Clopper, Pearson (1934), Biometrika 26:404 (from memory).

    >>> [round(edge, 3) for edge in binomial_interval(8, 10)]
    [0.444, 0.975]
    """
    if not 0 <= came <= of or of < 1:
        raise ValueError(f"{came} of {of}: give a count and of how many")
    tail = (1 - sure) / 2
    low = high = 0.0
    if came:
        low = inverse(lambda x: beta_cdf(x, came, of - came + 1), tail, 0.0, 1.0)
    high = 1.0
    if came < of:
        high = inverse(lambda x: beta_cdf(x, came + 1, of - came), 1 - tail, 0.0, 1.0)
    return low, high


def _off_zero(value: float) -> float:
    return value if abs(value) > TINY else TINY
