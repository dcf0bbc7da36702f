"""The order of work: one tape, held on each fixed point once, and the least walking.

By ties, all arcs from one fixed point are struck before the holder walks to the next; the second
arc through a point makes the mark. Arcs from a point go around it, so that the marker walks least.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import permutations

from roomwright.markout.model import Hook, Target
from roomwright.markout.ties import TieFix
from roomwright.shape import Point

EXACT = 6
"""Up to so many points about one fixed point every order is weighed."""

MOST_HOOKS = 6
"""Up to so many fixed points every order of them is weighed; past that the nearest comes next."""

MOST_WALKS = 20_000
"""Orders times arcs that are weighed at most; past that the nearest fixed point comes next."""

MENDED = 20
"""Rounds of mending a walk at most."""


@dataclass(frozen=True, slots=True)
class Arc:
    """One arc to strike: a point's tie from a hook. `crosses` if it is the point's second."""

    target: Target
    read: float
    distance: float
    crosses: bool


@dataclass(frozen=True, slots=True)
class Stand:
    """All that is done while the tape is held on one hook, in order."""

    hook: Hook
    arcs: tuple[Arc, ...]


def stands(fixes: Sequence[TieFix]) -> tuple[Stand, ...]:
    """The arcs of all points, each fixed point visited once, in the order of least walking."""
    hooks: dict[str, Hook] = {}
    at: dict[str, list[tuple[Target, float, float]]] = {}
    for fix in fixes:
        for tie in fix.ties:
            hooks.setdefault(tie.hook.id, tie.hook)
            at.setdefault(tie.hook.id, []).append((fix.target, tie.read, tie.distance))
    if not hooks:
        return ()
    best: tuple[float, list[str], list[list[int]]] | None = None
    for order in _orders(list(hooks), {k: h.at for k, h in hooks.items()}, 2 * len(fixes)):
        walked, here = 0.0, hooks[order[0]].at
        runs = []
        for number, id_ in enumerate(order):
            if number:
                walked += math.dist(hooks[order[number - 1]].at, hooks[id_].at)
            run, far, here = walk([t.at for t, _, _ in at[id_]], here)
            walked += far
            runs.append(run)
        if best is None or walked < best[0] - 1e-9:
            best = walked, order, runs
    assert best is not None  # noqa: S101 - there is at least one order
    seen: set[str] = set()
    found = []
    for id_, run in zip(best[1], best[2], strict=True):
        arcs = []
        for index in run:
            target, read, distance = at[id_][index]
            arcs.append(Arc(target, read, distance, target.id in seen))
            seen.add(target.id)
        found.append(Stand(hooks[id_], tuple(arcs)))
    return tuple(found)


def _orders(ids: list[str], at: dict[str, Point], arcs: int) -> list[list[str]]:
    if len(ids) <= MOST_HOOKS and math.factorial(len(ids)) * arcs <= MOST_WALKS:
        return [list(each) for each in permutations(ids)]
    order, left = [ids[0]], ids[1:]
    while left:
        left.sort(key=lambda k: math.dist(at[k], at[order[-1]]))
        order.append(left.pop(0))
    return [order]


def walk(points: Sequence[Point], start: Point) -> tuple[list[int], float, Point]:
    """An order in which to visit points from a start, its length [in], and where it ends.

    The shortest of all where there are few points; else the nearest next, mended by turning
    stretches about while that shortens it.

    >>> walk([(10, 0), (2, 0), (6, 0)], (0, 0))
    ([1, 2, 0], 10.0, (10, 0))
    """
    if not points:
        return [], 0.0, start
    count = len(points)
    if count <= EXACT:
        run = min(permutations(range(count)), key=lambda o: _length(points, o, start))
        best = list(run)
    else:
        best = _mended(points, _nearest(points, start), start)
    return best, _length(points, best, start), points[best[-1]]


def _mended(points: Sequence[Point], order: list[int], start: Point) -> list[int]:
    """The order with stretches turned about while that shortens it, a bounded number of times."""
    count = len(order)
    for _ in range(MENDED):
        better = False
        for i in range(count - 1):
            for j in range(i + 1, count):
                before = points[order[i - 1]] if i else start
                first, last = points[order[i]], points[order[j]]
                gain = math.dist(before, first) - math.dist(before, last)
                if j + 1 < count:
                    after = points[order[j + 1]]
                    gain += math.dist(last, after) - math.dist(first, after)
                if gain > 1e-9:
                    order[i : j + 1] = order[i : j + 1][::-1]
                    better = True
        if not better:
            break
    return order


def _length(points: Sequence[Point], order: Sequence[int], start: Point) -> float:
    total, here = 0.0, start
    for index in order:
        total += math.dist(here, points[index])
        here = points[index]
    return total


def _nearest(points: Sequence[Point], start: Point) -> list[int]:
    left, order, here = list(range(len(points))), [], start
    while left:
        index = min(left, key=lambda i: (math.dist(points[i], here), i))
        left.remove(index)
        order.append(index)
        here = points[index]
    return order
