"""Planned against measured: walls, corners out of square, and where openings really are."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

import numpy as np

from roomwright.lengths import inches
from roomwright.shape import Outline, Point, signed_area

from .model import LIMIT, Array, Survey, SurveyError, Tape
from .start import turns_of

NINETY_FIVE = 1.96
"""A normal error is within this many standard deviations 95 times in 100."""


@dataclass(frozen=True, slots=True)
class WallDifference:
    """One wall, planned and measured [in]; `error` is 95 % of the measured length.

    `turned` is how far the corner at its start opens beyond the plan [deg], and `turned_in` what
    that makes over the length of this wall [in].
    """

    wall: str
    from_: str
    to: str
    planned: float
    measured: float
    difference: float
    error: float
    sure: bool
    turned: float
    turned_error: float
    turned_in: float


def against_plan(planned: Outline, survey: Survey) -> tuple[WallDifference, ...]:
    """Each wall's difference from the plan, and each corner's.

    Parameters
    ----------
    planned : Outline
        A point for each corner of the survey, in the same order [in].

    Raises
    ------
    SurveyError
        If the plan has another number of corners.

    Examples
    --------
    >>> from roomwright.survey import Observation, survey
    >>> plan = ((0, 0), (162, 0), (162, 150), (0, 150))
    >>> rows = [("A", "B", 161.0), ("B", "C", 150), ("C", "D", 161), ("D", "A", 150)]
    >>> rows += [("A", "C", 220.0), ("B", "D", 220.0)]
    >>> room = survey("ABCD", [Observation(f"{k}", *r) for k, r in enumerate(rows)], plan=plan)
    >>> [(w.wall, round(w.measured), w.sure) for w in against_plan(plan, room)]
    [('A', 161, True), ('B', 150, False), ('C', 161, True), ('D', 150, False)]
    """
    count = len(survey.corners)
    if len(planned) != count:
        raise SurveyError(
            f"The plan has {len(planned)} corners and the survey {count}: "
            "give each corner of the plan its letter."
        )
    before, now = np.array(planned, dtype=float), np.array(survey.outline, dtype=float)
    wanted = np.array(turns_of(planned))
    inward = 1.0 if signed_area(planned) > 0 else -1.0
    opened = inward * ((wanted - np.array(turns_of(survey.outline)) + 180) % 360 - 180)
    found = []
    for k in range(count):
        j = (k + 1) % count
        names = survey.corners[k].name, survey.corners[j].name
        plan_length = float(np.hypot(*(before[j] - before[k])))
        length = float(np.hypot(*(now[j] - now[k])))
        error = NINETY_FIVE * survey.length_sd(*names)
        angle_error = NINETY_FIVE * _angle_sd(now, survey.covariance, k)
        found.append(
            WallDifference(
                names[0], *names, plan_length, length, length - plan_length, error,
                abs(length - plan_length) > error, float(opened[k]), angle_error,
                length * math.sin(math.radians(float(opened[k]))),
            )
        )  # fmt: skip
    return tuple(found)


def _angle_sd(xy: Array, covariance: Array, k: int) -> float:
    """Standard deviation of the angle at corner `k` [deg]."""
    n = len(xy)
    before, after = (k - 1) % n, (k + 1) % n
    row = np.zeros((n, 2))
    for end, sign in ((before, -1.0), (after, 1.0)):
        leg = xy[end] - xy[k]
        swing = sign * np.array([-leg[1], leg[0]]) / float(leg @ leg)
        row[end] += swing
        row[k] -= swing
    flat = row.ravel()
    return math.degrees(math.sqrt(max(0.0, float(flat @ covariance @ flat))))


@dataclass(frozen=True, slots=True)
class Offset:
    """A reading along a wall, from a corner to the near or the far edge of an opening [in].

    `wall` is the name of the wall's first corner. `id` is only passed on.
    """

    corner: str
    opening: str
    edge: Literal["near", "far"]
    length: float
    wall: str
    id: str = ""


@dataclass(frozen=True, slots=True)
class Placed:
    """An opening on its wall, `start` and `end` from the wall's first corner [in].

    Either is None if it was not taped. `error` is 95 % of either; `misses` is by how much readings
    of one edge disagree at most (None without a second one), and `doubtful` whether that is more
    than the tape explains.
    """

    opening: str
    wall: str
    start: float | None
    end: float | None
    error: float
    misses: float | None
    doubtful: bool
    at: tuple[Point | None, Point | None]
    readings: tuple[str, ...]


def openings(
    survey: Survey, offsets: Sequence[Offset], *, tape: Tape | None = None
) -> tuple[Placed, ...]:
    """Place openings along the walls as measured; readings from the other corner are checks.

    Raises
    ------
    SurveyError
        An offset longer than its wall, from a corner that is not on it, or an opening that would
        end before it starts.

    Examples
    --------
    >>> from roomwright.survey import Observation, survey
    >>> rows = [("A", "B", 162), ("B", "C", 150), ("C", "D", 162), ("D", "A", 150)]
    >>> room = survey("ABCD", [Observation(f"{k}", *r) for k, r in enumerate(rows)])
    >>> seen = [Offset("A", "D4", "near", 38.5, "A"), Offset("B", "D4", "near", 91.5, "A")]
    >>> [(p.opening, round(p.start, 2), round(p.end, 2)) for p in openings(room, seen)]
    [('D4', 38.5, 70.5)]
    """
    tape = tape or Tape()
    groups: dict[tuple[str, str], list[Offset]] = {}
    for o in offsets:
        groups.setdefault((o.opening, o.wall), []).append(o)
    return tuple(_place(survey, name, wall, rows, tape) for (name, wall), rows in groups.items())


def _place(survey: Survey, name: str, wall: str, rows: Sequence[Offset], tape: Tape) -> Placed:
    names = [c.name for c in survey.corners]
    if wall not in names:
        raise SurveyError(f"{name}: there is no wall {wall}; walls are {', '.join(names)}.")
    k = names.index(wall)
    first, last = names[k], names[(k + 1) % len(names)]
    a, b = (np.array(survey.outline[i], dtype=float) for i in (k, (k + 1) % len(names)))
    length, wall_sd = float(np.hypot(*(b - a))), survey.length_sd(first, last)
    seen: dict[str, list[tuple[float, float]]] = {"start": [], "end": []}
    for o in rows:
        if not math.isfinite(o.length) or not 0 <= o.length <= length + LIMIT * tape.sd(length):
            raise SurveyError(
                f"{name}: {o.length:g} in. from {o.corner} is not on wall {first}-{last}, which is "
                f"{inches(length)} long. Take it again, or name the other wall."
            )
        if o.corner == first:
            seen["start" if o.edge == "near" else "end"].append((o.length, tape.sd(o.length)))
        elif o.corner == last:
            sd = math.hypot(tape.sd(o.length), wall_sd)
            seen["end" if o.edge == "near" else "start"].append((length - o.length, sd))
        else:
            raise SurveyError(f"{name}: corner {o.corner} is not an end of wall {first}-{last}.")
    ends = {side: _mean(values) for side, values in seen.items()}
    start, end = ends["start"], ends["end"]
    if start and end and start[0] >= end[0]:
        raise SurveyError(
            f"{name}: its far edge at {inches(end[0])} from {first} comes before its near edge at "
            f"{inches(start[0])}. Near and far are seen from the corner the tape starts at."
        )
    spread = [e[2] for e in (start, end) if e and e[2] is not None]
    places = tuple(
        None if e is None else _point(a + (b - a) * (e[0] / length)) for e in (start, end)
    )
    return Placed(
        name, wall, start[0] if start else None, end[0] if end else None,
        NINETY_FIVE * max(e[1] for e in (start, end) if e),
        max((s[0] for s in spread), default=None), any(s[1] for s in spread),
        (places[0], places[1]), tuple(o.id for o in rows),
    )  # fmt: skip


def _point(xy: Array) -> Point:
    return float(xy[0]), float(xy[1])


def _mean(
    values: Sequence[tuple[float, float]],
) -> tuple[float, float, tuple[float, bool] | None] | None:
    """Weighted mean, its standard deviation, and how far the readings are apart."""
    if not values:
        return None
    weights = [1 / sd**2 for _, sd in values]
    mean = sum(w * v for w, (v, _) in zip(weights, values, strict=True)) / sum(weights)
    sd = 1 / math.sqrt(sum(weights))
    if len(values) == 1:
        return mean, sd, None
    low, high = min(values), max(values)
    apart = high[0] - low[0]
    return mean, sd, (apart, apart > LIMIT * math.hypot(low[1], high[1]))
