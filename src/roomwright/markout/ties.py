"""Points by two ties: tape distances to two fixed points, chosen by error propagation.

Every two fixed points that a tape reaches from the point are weighed; what counts is the major
semi-axis of the 95 % ellipse (`error.majors`). A whole layout then takes the fewest fixed points
with which no point is worse than its own best pair by more than an allowance.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import combinations

import numpy as np

from roomwright import shape
from roomwright.markout.error import Covariance, Ellipse, Floats, crossing, ellipse, majors, of_ties
from roomwright.markout.model import USUAL, Habits, Hook, Tape, Target
from roomwright.markout.reach import Reach

TRIED = {3: 24, 4: 12}
"""Out of so many fixed points every three, and every four, are tried; of twos, all."""


@dataclass(frozen=True, slots=True)
class Tie:
    """A tape distance to a fixed point: exact, and as read at the tape's fraction [in]."""

    hook: Hook
    distance: float
    read: float


@dataclass(frozen=True, slots=True)
class TieFix:
    """A point by two ties.

    `angle` is that at which they cross [deg, at most 90]; `ellipse` the position error that the
    tape gives, `rounding` how far rounding both distances moves the point [in]; `best` the major
    semi-axis with the best pair of all; `side` the compass side of the line between the two fixed
    points on which the point lies, `twin` whether the other crossing is on the floor too.
    """

    target: Target
    first: Tie
    second: Tie
    angle: float
    covariance: Covariance
    ellipse: Ellipse
    rounding: float
    best: float
    side: str
    twin: bool

    @property
    def ties(self) -> tuple[Tie, Tie]:
        """Both ties."""
        return self.first, self.second


@dataclass(frozen=True, slots=True)
class There:
    """A point that is itself a fixed point: nothing to measure."""

    target: Target
    hook: Hook


def at_hooks(
    targets: Sequence[Target], reach: Reach, tape: Tape
) -> tuple[tuple[There, ...], tuple[Target, ...]]:
    """The targets that lie on a fixed point, to half a mark of the tape, and the others.

    >>> from roomwright.markout.model import Floor
    >>> room = ((0.0, 0.0), (162.0, 0.0), (162.0, 150.0), (0.0, 150.0))
    >>> hooks = (Hook("A", "corner A", (0, 0)),)
    >>> tub = [Target("1", "southwest corner", (0, 0)), Target("2", "southeast corner", (60, 0))]
    >>> there, others = at_hooks(tub, Reach(Floor(room, hooks=hooks)), Tape())
    >>> [(t.target.id, t.hook.id) for t in there], [t.id for t in others]
    ([('1', 'A')], ['2'])
    """
    found, others = [], []
    for each in targets:
        near = min(reach.floor.hooks, key=lambda h: math.dist(h.at, each.at), default=None)
        if near is not None and math.dist(near.at, each.at) <= 1 / (2 * tape.fraction):
            found.append(There(each, near))
        else:
            others.append(each)
    return tuple(found), tuple(others)


def weigh(targets: Sequence[Target], reach: Reach, tape: Tape, habits: Habits = USUAL) -> Floats:
    """Position error [in] of each target by each two hooks of the floor, infinite if not to be had.

    Shape (n, m, m), symmetric: the major semi-axis of the 95 % ellipse.
    """
    hooks = reach.floor.hooks
    points = np.array([t.at for t in targets], dtype=float).reshape(-1, 2)
    ends = np.array([h.at for h in hooks], dtype=float).reshape(-1, 2)
    if not len(points) or not len(ends):
        return np.full((len(points), len(ends), len(ends)), np.inf)
    found = majors(points, ends, tape, habits)
    length = np.hypot(*(points[:, None] - ends[None]).transpose(2, 0, 1))
    seen = reach.table([t.at for t in targets], [h.at for h in hooks])
    seen &= (length >= habits.tie_least) & (length <= tape.longest)
    return np.where(seen[:, :, None] & seen[:, None, :], found, np.inf)


def by_ties(
    targets: Sequence[Target], reach: Reach, tape: Tape, habits: Habits = USUAL
) -> tuple[tuple[TieFix, ...], tuple[Target, ...]]:
    """Every target by its two ties, and the targets that no two fixed points reach.

    >>> room = ((0.0, 0.0), (162.0, 0.0), (162.0, 150.0), (0.0, 150.0))
    >>> hooks = tuple(Hook(shape.letter(i), "corner", p) for i, p in enumerate(room))
    >>> from roomwright.markout.model import Floor
    >>> table = [Target("1", "southwest corner", (39, 63))]
    >>> (fix,), missed = by_ties(table, Reach(Floor(room, hooks=hooks)), Tape())
    >>> "".join(t.hook.id for t in fix.ties), round(fix.angle), round(fix.ellipse.major, 2), missed
    ('AB', 85, 0.48, ())
    """
    hooks = reach.floor.hooks
    errors = weigh(targets, reach, tape, habits)
    best = errors.min(axis=(1, 2), initial=np.inf)
    had = np.isfinite(best)
    missed = tuple(t for t, fine in zip(targets, had, strict=True) if not fine)
    if not had.any():
        return (), missed
    chosen = fewest(errors[had], best[had] + habits.tie_worse + 1e-9)
    fixes = []
    for index in np.flatnonzero(had).tolist():
        mine = errors[index][np.ix_(chosen, chosen)]
        i, j = divmod(int(mine.argmin()), len(chosen))
        pair = hooks[chosen[min(i, j)]], hooks[chosen[max(i, j)]]
        fixes.append(_fix(targets[index], pair, float(best[index]), reach, tape))
    return tuple(fixes), missed


def fewest(errors: Floats, limit: Floats) -> list[int]:
    """The fewest hooks among which each point (n) has a pair within its limit (n).

    Of equally many, those with the least sum of errors. By trying all twos, then all threes, of
    the hooks that serve; past that one hook after another is added that serves most points.
    """
    fine = errors <= limit[:, None, None]
    useful = [int(i) for i in np.flatnonzero(fine.any(axis=(0, 2)))]
    served = sorted(useful, key=lambda i: (-int(fine[:, i].any(axis=1).sum()), i))
    for size, among in ((2, useful), *((n, served[:most]) for n, most in TRIED.items())):
        sets = np.array(list(combinations(sorted(among), size)), dtype=int).reshape(-1, size)
        if not len(sets):
            continue
        pairs = np.array(list(combinations(range(size), 2)))
        values = errors[:, sets[:, pairs[:, 0]], sets[:, pairs[:, 1]]].min(axis=2)
        all_fine = (values <= limit[:, None]).all(axis=0)
        if all_fine.any():
            total = np.where(all_fine, values.sum(axis=0), np.inf)
            return [int(i) for i in sets[int(total.argmin())]]
    return _greedy(errors, fine)


def _greedy(errors: Floats, fine: np.typing.NDArray[np.bool_]) -> list[int]:
    open_ = np.ones(len(errors), dtype=bool)
    chosen: set[int] = set()
    while open_.any():
        served = fine[open_].sum(axis=0)
        in_hand = np.array([i in chosen for i in range(len(served))])
        gain = served - 0.5 * (2 - in_hand[:, None] - in_hand[None, :]) * 1e-3
        gain = np.where(served > 0, gain, -1.0)
        i, j = divmod(int(gain.argmax()), len(served))
        chosen |= {i, j}
        hold = sorted(chosen)
        open_ &= ~fine[:, hold][:, :, hold].any(axis=(1, 2))
    for each in sorted(chosen, key=lambda i: int(fine[:, i].any(axis=1).sum())):
        hold = sorted(chosen - {each})
        if fine[:, hold][:, :, hold].any(axis=(1, 2)).all():
            chosen.remove(each)
    return sorted(chosen)


def _fix(target: Target, pair: tuple[Hook, Hook], best: float, reach: Reach, tape: Tape) -> TieFix:
    a, b = pair
    ties = [Tie(h, d := math.dist(h.at, target.at), tape.read(d)) for h in pair]
    cov = of_ties(target.at, a.at, b.at, tape)
    cross = _cross(a.at, b.at, target.at)
    angle = math.degrees(math.asin(min(1.0, abs(cross) / (ties[0].distance * ties[1].distance))))
    read = crossing(a.at, ties[0].read, b.at, ties[1].read, target.at)
    length = math.dist(a.at, b.at)
    ux, uy = (b.at[0] - a.at[0]) / length, (b.at[1] - a.at[1]) / length
    off = cross / length
    other = (target.at[0] + 2 * off * uy, target.at[1] - 2 * off * ux)
    side = shape.compass((-uy, ux) if off > 0 else (uy, -ux))
    return TieFix(
        target, ties[0], ties[1], angle, cov, ellipse(cov),
        math.inf if read is None else math.dist(read, target.at),
        best, side, reach.on_floor(other),
    )  # fmt: skip


def _cross(a: tuple[float, float], b: tuple[float, float], p: tuple[float, float]) -> float:
    """Twice the area of the triangle; positive where `p` lies left of a to b."""
    return (b[0] - a[0]) * (p[1] - a[1]) - (b[1] - a[1]) * (p[0] - a[0])
