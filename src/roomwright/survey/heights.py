"""Ceiling heights from readings at corners and in the middle of a room."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from roomwright.shape import Point

from .model import SurveyError

MIDDLE = "middle"


@dataclass(frozen=True, slots=True)
class Height:
    """One height from floor to ceiling [in], at a corner by name or at the "middle"."""

    at: str
    height: float
    id: str = ""


@dataclass(frozen=True, slots=True)
class Heights:
    """What the heights of a room tell.

    Attributes
    ----------
    low, high, spread : float
        Least and greatest height and their difference [in]; repeats at one place are averaged.
    low_at, high_at : str
        Where.
    sag : float or None
        How much lower the middle is than the plane through the corners [in]: the ceiling hangs or
        the floor is crowned; negative: it rises. None without the middle or three corners.
    slope : float or None
        Steepest fall of that plane [in per foot]; `toward` is the direction of greater height
        [deg from east, anticlockwise], None where it is level.
    twist : float or None
        Root mean square of the corners against the plane [in]; None below four corners.
    """

    low: float
    low_at: str
    high: float
    high_at: str
    spread: float
    sag: float | None
    slope: float | None
    toward: float | None
    twist: float | None
    at: Mapping[str, float]


def heights(readings: Sequence[Height], corners: Mapping[str, Point]) -> Heights:
    """Low, high, sag and slope from heights at corners and middle.

    Parameters
    ----------
    readings : Sequence[Height]
        In any order, repeats included.
    corners : Mapping[str, Point]
        Where the corners are [in]; the middle is the mean of those with a height.

    Raises
    ------
    SurveyError
        No reading, one that is none, or at a place that the room does not have.

    Examples
    --------
    >>> corners = {"A": (0, 0), "B": (120, 0), "C": (120, 120), "D": (0, 120)}
    >>> seen = [Height(c, h) for c, h in [("A", 108), ("B", 109), ("C", 109), ("D", 108)]]
    >>> told = heights([*seen, Height("middle", 107.875)], corners)
    >>> told.low, told.low_at, round(told.sag, 3), round(told.slope, 3), round(told.toward, 6)
    (107.875, 'middle', 0.625, 0.1, 0.0)
    """
    groups: dict[str, list[float]] = {}
    for r in readings:
        if r.at != MIDDLE and r.at not in corners:
            raise SurveyError(f"There is no corner {r.at}: {', '.join(corners)} or the middle.")
        if not math.isfinite(r.height) or r.height <= 0:
            raise SurveyError(f"The height at {r.at} is {r.height:g}: a height is more than 0.")
        groups.setdefault(r.at, []).append(r.height)
    if not groups:
        raise SurveyError("No height yet: take one at each corner and one in the middle.")
    at = {name: sum(v) / len(v) for name, v in groups.items()}
    low, high = min(at, key=at.__getitem__), max(at, key=at.__getitem__)
    plane = _plane([(corners[n], h) for n, h in at.items() if n != MIDDLE])
    sag = slope = toward = twist = None
    if plane is not None:
        base, east, north, twist = plane
        slope = 12 * math.hypot(east, north)
        toward = math.degrees(math.atan2(north, east)) % 360 if slope > 1e-9 else None
        sag = base - at[MIDDLE] if MIDDLE in at else None
    return Heights(at[low], low, at[high], high, at[high] - at[low], sag, slope, toward, twist, at)


def _plane(spots: Sequence[tuple[Point, float]]) -> tuple[float, float, float, float | None] | None:
    """Height at the mean spot, rise per inch east and north, and scatter; None if spots line up."""
    if len(spots) < 3:
        return None
    xy = np.array([p for p, _ in spots], dtype=float)
    h = np.array([v for _, v in spots])
    design = np.column_stack([np.ones(len(spots)), xy - xy.mean(axis=0)])
    if np.linalg.matrix_rank(design, tol=1e-6 * float(np.abs(design).max())) < 3:
        return None
    found, *_ = np.linalg.lstsq(design, h, rcond=None)
    scatter = float(np.sqrt(np.mean((design @ found - h) ** 2))) if len(spots) > 3 else None
    return float(found[0]), float(found[1]), float(found[2]), scatter
