"""Laying an adjusted room on its plan, and the ellipses of its corners."""

from __future__ import annotations

import math

import numpy as np

from .model import ELLIPSE_95, Array, Ellipse


def onto(xy: Array, target: Array) -> tuple[Array, Array]:
    """Turn and shift that bring `xy` nearest to `target` (least squares, no mirror, no scale).

    Returns the moved coordinates and the 2 x 2 turn. Formula: the plane case of S. Umeyama,
    IEEE PAMI 13 (1991), without scale (from memory).
    """
    a, b = xy - xy.mean(axis=0), target - target.mean(axis=0)
    cos, sin = float(np.sum(a * b)), float(np.sum(a[:, 0] * b[:, 1] - a[:, 1] * b[:, 0]))
    angle = math.atan2(sin, cos)
    turn = _turn(angle)
    return a @ turn.T + target.mean(axis=0), turn


def on_first_wall(xy: Array) -> tuple[Array, Array]:
    """First corner at 0 0 and the second along +x; coordinates and the 2 x 2 turn."""
    step = xy[1] - xy[0]
    turn = _turn(-math.atan2(float(step[1]), float(step[0])))
    return (xy - xy[0]) @ turn.T, turn


def _turn(angle: float) -> Array:
    return np.array(
        [[math.cos(angle), -math.sin(angle)], [math.sin(angle), math.cos(angle)]], dtype=float
    )


def turned(covariance: Array, turn: Array) -> Array:
    """A covariance of many points after a turn of the axes."""
    big = np.kron(np.eye(len(covariance) // 2), turn)
    moved: Array = big @ covariance @ big.T
    return moved


def ellipse(block: Array) -> Ellipse:
    """The 95 % ellipse of a 2 x 2 covariance [in2].

    >>> ellipse(np.array([[4.0, 0.0], [0.0, 1.0]])) == Ellipse(2 * ELLIPSE_95, ELLIPSE_95, 0.0)
    True
    """
    values, vectors = np.linalg.eigh(block)
    small, large = (ELLIPSE_95 * math.sqrt(max(0.0, float(v))) for v in values)
    x, y = float(vectors[0, 1]), float(vectors[1, 1])
    angle = math.degrees(math.atan2(y, x)) % 180
    return Ellipse(large, small, 0.0 if angle >= 180 - 1e-9 else angle)
