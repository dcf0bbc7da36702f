"""Checks to tape once the points are marked: sides and diagonals, and what they may be off by."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from itertools import combinations

from roomwright.markout.error import Covariance
from roomwright.markout.model import Figure, Tape, Target

ALL_DIAGONALS = 6
"""A figure with at most so many corners has every diagonal taped; else those of a fan."""

LIMIT = 1.96
"""Standard deviations within which 95 of 100 single distances lie."""


@dataclass(frozen=True, slots=True)
class Check:
    """A distance between two marked points: `distance` exact and as `read` [in].

    A disagreement of up to `within` [in] is what the marks and the tape give 95 times of 100; it
    is rounded up to a mark of the tape. `kind` is side or diagonal.
    """

    first: Target
    second: Target
    kind: str
    distance: float
    read: float
    within: float


def checks(
    figure: Figure,
    targets: Mapping[str, Target],
    errors: Mapping[str, Covariance],
    tape: Tape,
) -> tuple[Check, ...]:
    """Sides, then diagonals, of what was marked; none where fewer than two of its points were.

    The two marks count as independent of each other, which errs on the wide side for points that
    share a fixed point.

    >>> ids = ("1", "2", "3", "4")
    >>> spots = dict(zip(ids, [Target(i, i, p) for i, p in
    ...     zip(ids, [(0, 0), (84, 0), (84, 42), (0, 42)])]))
    >>> still = dict.fromkeys(ids, Covariance(0.0, 0.0, 0.0))
    >>> [(c.kind, round(c.distance, 2), c.within)
    ...     for c in checks(Figure("T1", "table", ids), spots, still, Tape())][3:]
    [('side', 42.0, 0.3125), ('diagonal', 93.91, 0.375), ('diagonal', 93.91, 0.375)]
    """
    ids = figure.corners
    count = len(ids)
    last = count if figure.closed and count > 2 else count - 1
    sides = [(i, (i + 1) % count) for i in range(last)]
    asked = {frozenset(pair) for pair in sides}
    among: Sequence[tuple[int, int]] = list(combinations(range(count), 2))
    if not figure.closed:
        among = []
    elif count > ALL_DIAGONALS:
        among = [(0, i) for i in range(2, count - 1)]
    crossed = [pair for pair in among if frozenset(pair) not in asked]
    found = []
    for kind, pairs in (("side", sides), ("diagonal", crossed)):
        for i, j in pairs:
            if ids[i] in errors and ids[j] in errors and ids[i] != ids[j]:
                found.append(_check(kind, targets[ids[i]], targets[ids[j]], errors, tape))
    return tuple(found)


def _check(kind: str, a: Target, b: Target, errors: Mapping[str, Covariance], tape: Tape) -> Check:
    d = math.dist(a.at, b.at)
    u = ((b.at[0] - a.at[0]) / d, (b.at[1] - a.at[1]) / d) if d > 1e-9 else (1.0, 0.0)
    variance = errors[a.id].along(u) + errors[b.id].along(u) + tape.sd(d) ** 2
    within = math.ceil(LIMIT * math.sqrt(variance) * tape.fraction - 1e-9) / tape.fraction
    return Check(a, b, kind, d, tape.read(d), within)
