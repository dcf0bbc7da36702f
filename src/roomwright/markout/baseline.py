"""Points from a baseline: along a wall from a corner, then square off it.

The square comes from a 3-4-5 triangle, the largest that fits on the floor with its right angle on
the baseline; what its taped sides leave uncertain in the angle goes into the position error.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from roomwright import shape
from roomwright.markout.error import Covariance, Ellipse, Floats, ellipse, of_baseline, skew_of
from roomwright.markout.model import USUAL, Habits, Tape, Target
from roomwright.markout.reach import Reach
from roomwright.shape import Point

UNITS = (36.0, 24.0, 18.0, 12.0, 9.0, 6.0, 3.0)
"""One part of a 3-4-5 triangle, the largest first [in]: 9-12-15 feet down to 9-12-15 inches."""


@dataclass(frozen=True, slots=True)
class Square:
    """A 3-4-5 triangle to square a line off a baseline.

    Its right angle is on the baseline at `heel` [in from the start], one leg runs `along` the
    baseline to `toe`, the other `off` it, `across` closes it. `skew` is the standard deviation of
    the angle so made [rad].
    """

    heel: float
    toe: float
    along: float
    off: float
    across: float
    skew: float


@dataclass(frozen=True, slots=True)
class Offset:
    """A point by its baseline: `along` from the start, then `off` square to it [in].

    `read_along` and `read_off` are what the tape shows; `ellipse` is the position error that the
    tape and the square give, `rounding` how far the tape's fraction moves the point [in].
    """

    target: Target
    along: float
    off: float
    read_along: float
    read_off: float
    covariance: Covariance
    ellipse: Ellipse
    rounding: float


@dataclass(frozen=True, slots=True)
class Baseline:
    """A wall as baseline, measured from the corner `start` toward `end`."""

    wall: str
    start_name: str
    end_name: str
    start: Point
    end: Point
    faces: str
    """Compass word of the wall's own side of the room: "south" for the south wall."""
    square: Square | None
    offsets: tuple[Offset, ...]

    @property
    def direction(self) -> Point:
        """The unit vector from start to end."""
        return _unit(self.start, self.end)

    @property
    def inward(self) -> Point:
        """The unit vector from the wall into the room."""
        return _inward(self.direction, self.faces)


def by_baseline(
    targets: Sequence[Target], reach: Reach, tape: Tape, habits: Habits = USUAL
) -> tuple[tuple[Baseline, ...], tuple[Target, ...]]:
    """Every target from as few baselines as serve, and the targets that none serves.

    A line serves a point if its error is at most `habits.line_worse` more than by the best line.
    The wall and corner that serve most points, then with the least worst error, come first; what
    they leave goes to the next. The tape must lie along the wall to the foot of each point, and
    square out from there.

    >>> from roomwright.markout.model import Floor
    >>> room = ((0.0, 0.0), (162.0, 0.0), (162.0, 150.0), (0.0, 150.0))
    >>> spots = [Target("1", "southwest corner", (39, 63)), Target("2", "southeast", (123, 63))]
    >>> (line,), missed = by_baseline(spots, Reach(Floor(room)), Tape())
    >>> line.faces, line.start_name, [(o.along, o.off) for o in line.offsets]
    ('south', 'A', [(39.0, 63.0), (123.0, 63.0)])
    >>> line.square.along, line.square.off, line.square.across
    (108.0, 144.0, 180.0)
    """
    lines = _lines(reach, habits.line_least)
    tried = [_measured(each, targets, reach, tape) for each in lines]
    errors = np.full((len(lines), len(targets)), np.inf)
    column = {t.id: i for i, t in enumerate(targets)}
    for row, line in enumerate(tried):
        for each in line.offsets:
            errors[row, column[each.target.id]] = each.ellipse.major
    had = np.isfinite(errors).any(axis=0) if lines else np.zeros(len(targets), dtype=bool)
    missed = tuple(t for t, fine in zip(targets, had, strict=True) if not fine)
    if not had.any():
        return (), missed
    chosen = _served(errors, had, habits.line_worse)
    best = [chosen[i] for i in errors[chosen].argmin(axis=0)]
    found = [
        _measured(
            lines[row], [t for t, b in zip(targets, best, strict=True) if b == row], reach, tape
        )
        for row in chosen
    ]
    return tuple(line for line in found if line.offsets), missed


def _served(errors: Floats, had: NDArray[np.bool_], allowance: float) -> list[int]:
    """Lines that serve every point within the allowance of its best: most points first."""
    limit = errors.min(axis=0) + allowance
    chosen: list[int] = []
    open_ = had.copy()
    while open_.any():
        serves = (errors <= limit) & open_
        worst = np.where(serves, errors, 0.0).max(axis=1)
        total = np.where(serves, errors, 0.0).sum(axis=1)
        order = np.lexsort((total.round(6), worst.round(6), -serves.sum(axis=1)))
        chosen.append(int(order[0]))
        open_ &= ~serves[order[0]]
    return chosen


def _lines(reach: Reach, least: float) -> list[tuple[str, str, str, Point, Point, str]]:
    ring = shape.anticlockwise(reach.floor.outline)
    same = ring == tuple((float(x), float(y)) for x, y in reach.floor.outline)
    count = len(ring)
    names = [shape.letter(i if same else (-i) % count) for i in range(count)]
    found = []
    for i, (a, b) in enumerate(shape.walls(ring)):
        if math.dist(a, b) < least:
            continue
        j = (i + 1) % count
        faces = shape.compass(shape.outward((a, b)))
        wall = names[i] if same else names[j]
        found.append((wall, names[i], names[j], a, b, faces))
        found.append((wall, names[j], names[i], b, a, faces))
    return found


def _measured(
    line: tuple[str, str, str, Point, Point, str],
    targets: Sequence[Target],
    reach: Reach,
    tape: Tape,
) -> Baseline:
    wall, first, last, a, b, faces = line
    u, length = _unit(a, b), math.dist(a, b)
    n = _inward(u, faces)
    near: list[tuple[Target, float, float]] = []
    for each in targets:
        dx, dy = each.at[0] - a[0], each.at[1] - a[1]
        along, off = dx * u[0] + dy * u[1], dx * n[0] + dy * n[1]
        if not (-shape.EVEN <= along <= length + shape.EVEN and off >= -shape.EVEN):
            continue
        along, off = min(max(along, 0.0), length), max(off, 0.0)
        foot = _at(a, u, n, along, 0.0)
        if max(along, off) <= tape.longest and _runs(reach, a, foot, each.at):
            near.append((each, along, off))
    square = biggest(reach, a, b, faces, [along for _, along, _ in near], tape) if near else None
    if square is None:
        near = [each for each in near if each[2] <= shape.TOUCH]
    skew = square.skew if square else 0.0
    offsets = tuple(_offset(*each, u, skew, tape) for each in sorted(near, key=lambda e: e[1:]))
    return Baseline(wall, first, last, a, b, faces, square, offsets)


def _runs(reach: Reach, a: Point, foot: Point, at: Point) -> bool:
    along = math.dist(a, foot) < shape.TOUCH or reach.straight(a, foot)
    return along and (math.dist(foot, at) < shape.TOUCH or reach.straight(foot, at))


def _offset(target: Target, along: float, off: float, u: Point, skew: float, tape: Tape) -> Offset:
    read = tape.read(along), tape.read(off)
    cov = of_baseline(along, off, u, skew, tape)
    moved = math.hypot(read[0] - along, read[1] - off)
    return Offset(target, along, off, *read, cov, ellipse(cov), moved)


def biggest(
    reach: Reach, a: Point, b: Point, faces: str, feet: Sequence[float], tape: Tape
) -> Square | None:
    """The largest 3-4-5 triangle with its right angle on the wall from `a` to `b`, if one fits.

    The heel is tried at each foot, at the start, and every 6 in.; legs either way about and
    either way along. Of equally large ones the nearest to a foot, then to the start.
    """
    u, length = _unit(a, b), math.dist(a, b)
    n = _inward(u, faces)
    heels = [*sorted(set(feet)), *(6.0 * i for i in range(int(length // 6) + 1))]
    for unit in UNITS:
        if 5 * unit > tape.longest:
            continue
        tried = [
            (heel, heel + way * along, along, off)
            for heel in heels
            for along, off in ((4 * unit, 3 * unit), (3 * unit, 4 * unit))
            for way in (1.0, -1.0)
            if -shape.EVEN <= heel + way * along <= length + shape.EVEN
        ]
        corners = [
            [_at(a, u, n, *p) for p in ((heel, 0.0), (toe, 0.0), (heel, off))]
            for heel, toe, _, off in tried
        ]
        fits = np.flatnonzero(reach.closed(corners))
        if len(fits):
            heel, toe, along, off = tried[int(fits[0])]
            return Square(heel, toe, along, off, 5 * unit, skew_of(along, off, tape))
    return None


def _unit(a: Point, b: Point) -> Point:
    d = math.dist(a, b)
    return (b[0] - a[0]) / d, (b[1] - a[1]) / d


def _inward(u: Point, faces: str) -> Point:
    """Square to a wall, away from the compass side that it stands on."""
    left = (-u[1], u[0])
    turn = math.radians(45 * shape.WINDS.index(faces))
    out = math.cos(turn), math.sin(turn)
    return (-left[0], -left[1]) if left[0] * out[0] + left[1] * out[1] > 0 else left


def _at(a: Point, u: Point, n: Point, along: float, off: float) -> Point:
    return a[0] + along * u[0] + off * n[0], a[1] + along * u[1] + off * n[1]
