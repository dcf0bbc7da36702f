"""Where the corners are about: the plan, or a walk round the walls with a turn at each corner.

A turn is what a person walking round does at a corner [deg], left (anticlockwise) positive; all
turns of a room add to 360. A square corner turns 90, one that juts into the room -90.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from itertools import combinations
from statistics import median

import numpy as np

from roomwright.shape import Outline, signed_area

from .check import by_wall
from .model import Array, Observation, SurveyError

SQUARE = 1.5  # a corner drawn within this of a multiple of 45 deg is meant to be that [deg]
ROUND_TRIP = 10.0  # turns may miss 360 by this [deg]
MOST_TRIED = 14  # corners of a room whose turns are tried


def turns_of(plan: Outline) -> tuple[float, ...]:
    """The turn at each corner of an outline that runs anticlockwise [deg].

    >>> turns_of(((0, 0), (162, 0), (162, 150), (0, 150)))
    (90.0, 90.0, 90.0, 90.0)
    """
    xy = np.array(plan, dtype=float)
    out, into = np.roll(xy, -1, axis=0) - xy, xy - np.roll(xy, 1, axis=0)
    cross = into[:, 0] * out[:, 1] - into[:, 1] * out[:, 0]
    return tuple(float(v) for v in np.degrees(np.arctan2(cross, np.sum(into * out, axis=1))))


def meant(turn: float) -> float | None:
    """The turn that a drawn one stands for: the multiple of 45 deg near it, or None.

    >>> meant(89.2), meant(-90), meant(71)
    (90.0, -90.0, None)
    """
    near = 45.0 * round(turn / 45)
    return near if abs(turn - near) <= SQUARE and abs(near) < 180 else None


def opening(xy: Array) -> Array:
    """How each corner opens when the room leans, per unit of lean along its main direction.

    A lean moves each point east by its distance north: it turns a wall at angle t by sin(t)^2, so
    square corners open and close in turn, all alike, and corners of 45 deg by half.

    >>> np.round(opening(np.array([[0, 0], [162, 0], [162, 150], [0, 150]])), 6).tolist()
    [1.0, -1.0, 1.0, -1.0]
    """
    out = np.roll(xy, -1, axis=0) - xy
    length, heading = np.hypot(out[:, 0], out[:, 1]), np.arctan2(out[:, 1], out[:, 0])
    main = np.angle(np.sum(length * np.exp(4j * heading))) / 4
    turned = np.sin(heading - main) ** 2
    opened: Array = turned - np.roll(turned, 1)
    return -opened


def check_turns(turns: Sequence[float], count: int) -> tuple[float, ...]:
    """The turns of a room, or SurveyError if they go not once round."""
    if len(turns) != count:
        raise SurveyError(f"{len(turns)} turns for {count} corners: give one for each corner.")
    if not all(math.isfinite(t) and abs(t) < 180 for t in turns):
        raise SurveyError("A turn is between -180 and 180 degrees; left is positive.")
    total = sum(turns)
    if abs(abs(total) - 360) > ROUND_TRIP:
        raise SurveyError(
            f"The turns add to {total:g} degrees; once round a room is 360. "
            "A corner that juts into the room turns the other way: -90."
        )
    return tuple(float(t) for t in turns)


def walk(
    names: Sequence[str], observations: Sequence[Observation], turns: Sequence[float]
) -> Array:
    """Corners from a walk round the walls, first wall along +x; the misclosure is spread evenly.

    Up to two walls that were not taped get the length that closes the walk.
    """
    vectors, missing = _steps(names, observations, np.radians(np.asarray(turns)))
    ends = np.cumsum(vectors, axis=0)
    gap = ends[-1]
    count = len(names)
    xy = np.vstack([[0.0, 0.0], ends[:-1]])
    if missing and float(np.hypot(*gap)) > 0.05 * float(np.abs(vectors).sum()):
        said = ", ".join(missing)
        raise SurveyError(f"Not taped: {said}. The other walls do not say how long; tape {said}.")
    closed: Array = xy - np.arange(count)[:, None] / count * gap
    return closed


def _steps(
    names: Sequence[str], observations: Sequence[Observation], turns: Array
) -> tuple[Array, list[str]]:
    taken = by_wall(names, observations)
    count = len(names)
    heading = np.concatenate([[0.0], np.cumsum(turns[1:])])
    along = np.stack([np.cos(heading), np.sin(heading)], axis=1)
    lengths = np.zeros(count)
    gone = []
    for k in range(count):
        wall = taken.get(frozenset((names[k], names[(k + 1) % count])))
        if wall:
            lengths[k] = median(wall)
        else:
            gone.append(k)
    if len(gone) > 2:
        said = ", ".join(f"{names[k]}-{names[(k + 1) % count]}" for k in gone)
        raise SurveyError(
            f"Not taped: {said}. Without a plan, all walls but two are needed to begin with."
        )
    if gone:
        fill, *_ = np.linalg.lstsq(along[gone].T, -(lengths @ along), rcond=None)
        lengths[gone] = np.maximum(fill, 1.0)
    return along * lengths[:, None], [f"{names[k]}-{names[(k + 1) % count]}" for k in gone]


def tried_turns(
    names: Sequence[str], observations: Sequence[Observation]
) -> tuple[tuple[float, ...], bool]:
    """Square turns that suit the readings best, and whether others suit them nearly as well.

    Every order of left and right quarter turns that goes once round is walked; what counts is the
    misclosure and how far the readings across are off, each cut at 24 in. so that one bad reading
    does not decide, and no corner may land on another or wall cross wall.
    """
    count = len(names)
    if count == 4:
        return (90.0,) * 4, False
    if count % 2 or count > MOST_TRIED:
        raise SurveyError(
            f"A room of {count} corners: give the turn at each corner (90 left, -90 right, "
            "45 for a cut corner) or a plan; square turns alone do not say its shape."
        )
    number = {n: i for i, n in enumerate(names)}
    ends = np.array([(number[o.from_], number[o.to]) for o in observations if not o.set_aside])
    seen = np.array([o.length for o in observations if not o.set_aside])
    scored: list[tuple[float, tuple[float, ...]]] = []
    for right in combinations(range(count), count // 2 - 2):
        turns = tuple(-90.0 if k in right else 90.0 for k in range(count))
        vectors, _ = _steps(names, observations, np.radians(np.array(turns)))
        path = np.cumsum(vectors, axis=0)
        gap = float(np.hypot(*path[-1]))
        xy = np.vstack([[0.0, 0.0], path[:-1]])
        off = np.abs(np.hypot(*(xy[ends[:, 0]] - xy[ends[:, 1]]).T) - seen)
        scored.append((4 * min(gap, 24.0) + float(np.minimum(off, 24.0).sum()), turns))
    scored.sort(key=lambda s: s[0])
    simple = [s for s in scored[:40] if _simple(walk(names, observations, s[1]))]
    if not simple:
        raise SurveyError(
            "No order of square corners makes a room of these walls: give the turn at each corner "
            "(90 left, -90 right, 45 for a cut corner), or check the walls."
        )
    unsure = len(simple) > 1 and simple[1][0] < simple[0][0] + 12
    return simple[0][1], unsure


def _simple(xy: Array) -> bool:
    import shapely

    polygon = shapely.Polygon(xy)
    return bool(polygon.is_valid and signed_area([(float(x), float(y)) for x, y in xy]) > 1)
