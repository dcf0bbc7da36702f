"""Plans made one activity after the other: where the search begins, and how its plan is tidied.

Each activity in turn goes to its first position that links and limits allow (serial schedule
generation, [1]_). In the order of a plan's own starts this moves work only to earlier days, and
the plan keeps everything that it kept.

References
----------
.. [1] Kolisch (1996), "Serial and parallel resource-constrained project scheduling methods
   revisited", European Journal of Operational Research 90 (from memory).
"""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterable, Sequence

import numpy as np

from roomwright.crews.stock import Profile, Stock, Take, span
from roomwright.crews.timeline import Timeline

Rank = tuple[int, ...]


class Taken:
    """What is in use of each limit, by the places of the timeline."""

    def __init__(self, line: Timeline, stocks: Sequence[Stock]) -> None:
        self.line = line
        self.now = line.index(line.run.now)
        self.stocks = stocks
        self.profiles: list[Profile] = [np.zeros(256, np.int32) for _ in stocks]
        self.takes: dict[int, list[tuple[int, Take]]] = {}
        for k, stock in enumerate(stocks):
            for first, last, amount in stock.taken:
                self._slice(k, first, last)[:] += amount
            for take in stock.takes:
                self.takes.setdefault(take.place, []).append((k, take))

    def _slice(self, k: int, first: int, last: int) -> Profile:
        if last - self.now > len(self.profiles[k]):
            grown = np.zeros(2 * (last - self.now), np.int32)
            grown[: len(self.profiles[k])] = self.profiles[k]
            self.profiles[k] = grown
        return self.profiles[k][max(first - self.now, 0) : max(last - self.now, 0)]

    def fits(self, i: int, position: int) -> bool:
        """Return whether an activity may stand at a position beside what is in use."""
        return not any(True for _ in self.blocking(i, position))

    def blocking(self, i: int, position: int) -> Iterable[int]:
        """Yield the limits that keep an activity from a position."""
        for k, take in self.takes.get(i, ()):
            used = self._slice(k, *span(self.line, take, position))
            if len(used) and int(used.max()) + take.amount > self.stocks[k].most:
                yield k

    def put(self, i: int, position: int, sign: int = 1) -> None:
        """Take an activity's parts at a position, or with sign -1 give them back."""
        for k, take in self.takes.get(i, ()):
            self._slice(k, *span(self.line, take, position))[:] += sign * take.amount

    def first_fit(self, i: int, position: int) -> int:
        """Return the first position from one on at which an activity may stand."""
        while not self.fits(i, position):
            position += 1
        return position


def in_turn(line: Timeline, stocks: Sequence[Stock], rank: Callable[[int], Rank]) -> list[int]:
    """Return positions made in the order of a rank, the lowest first among those that may go."""
    taken, positions = Taken(line, stocks), [0] * len(line.network)
    waits = {i: sum(line.states[t.other] != "done" for t in line.network.before[i])
             for i in line.open}  # fmt: skip
    ready = [i for i in line.open if not waits[i]]
    while ready:
        i = min(ready, key=rank)
        ready.remove(i)
        positions[i] = taken.first_fit(i, line.held(i, positions))
        taken.put(i, positions[i])
        for tie in line.network.after[i]:
            if tie.other in waits:
                waits[tie.other] -= 1
                if not waits[tie.other]:
                    ready.append(tie.other)
    return positions


def heuristic(
    line: Timeline, stocks: Sequence[Stock], earliest: Sequence[int], limit: int
) -> list[int]:
    """Return the best of some plans by usual ranks: least days to spare, longest way to go."""
    latest = line.latest(earliest, limit)
    followers = _followers(line)
    ranks: tuple[Callable[[int], Rank], ...] = (
        lambda i: (line.end(i, latest[i]), line.start(i, latest[i]), i),
        lambda i: (line.start(i, latest[i]), line.end(i, latest[i]), i),
        lambda i: (latest[i] - earliest[i], line.end(i, latest[i]), i),
        lambda i: (line.start(i, earliest[i]), line.end(i, latest[i]), i),
        lambda i: (-followers[i], line.end(i, latest[i]), i),
    )
    best: list[int] = []
    for rank in ranks:
        plan = in_turn(line, stocks, rank)
        if not best or end_of(line, plan) < end_of(line, best):
            best = plan
        if end_of(line, best) <= limit:  # what the links alone take: none is better
            break
    return tidied(line, stocks, best)


def tidied(
    line: Timeline,
    stocks: Sequence[Stock],
    positions: Sequence[int],
    pinned: Collection[int] = (),
) -> list[int]:
    """Return a plan with all but what is pinned as early as it may be, the soonest first."""
    found, taken = list(positions), Taken(line, stocks)
    for i in line.open:
        taken.put(i, found[i])
    rank = {i: r for r, i in enumerate(line.network.order)}
    for i in sorted(line.open, key=lambda i: (line.start(i, positions[i]), rank[i])):
        if i not in pinned:
            taken.put(i, found[i], -1)
            found[i] = taken.first_fit(i, line.held(i, found))
            taken.put(i, found[i])
    return found


def end_of(line: Timeline, positions: Sequence[int]) -> int:
    """Return the end of all work in half days of the house."""
    return max((line.ends(i, p) for i, p in enumerate(positions)), default=0)


def _followers(line: Timeline) -> list[int]:
    after: list[set[int]] = [set() for _ in line.network]
    for i in reversed(line.network.order):
        for tie in line.network.after[i]:
            after[i] |= {tie.other} | after[tie.other]
    return [len(a) for a in after]
