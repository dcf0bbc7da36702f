"""Limits over a timeline: who takes what of them, and what is taken already."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from itertools import pairwise

import numpy as np
import numpy.typing as npt

from roomwright.crews.model import Limit
from roomwright.crews.timeline import Timeline
from roomwright.days import Number
from roomwright.schedule.network import NetworkError

Profile = npt.NDArray[np.int32]


@dataclass(frozen=True, slots=True)
class Take:
    """An activity's part of a limit: its place in the network, how much, and elapsed days after."""

    place: int
    amount: int
    after: Number


@dataclass(frozen=True, slots=True)
class Stock:
    """A limit that may bind: what work to come takes of it, and what is taken already.

    `taken` holds (first, last + 1, amount) of work that has begun or is drying, no more than the
    limit: what exceeds it has happened. `over` says that it does.
    """

    name: str
    most: int
    takes: tuple[Take, ...]
    taken: tuple[tuple[int, int, int], ...]
    over: bool

    @property
    def one_at_a_time(self) -> bool:
        """Whether no two may go together."""
        amounts = sorted(t.amount for t in self.takes)
        return sum(amounts[:2]) > self.most and len(amounts) > 1


def stocks(limits: Iterable[Limit], line: Timeline, plain: Sequence[int]) -> list[Stock]:
    """Return the limits that may bind; `plain` are the earliest positions."""
    found = []
    for limit in limits:
        unknown = [u.activity for u in limit.uses if u.activity not in line.network.index]
        if unknown:
            raise NetworkError(f"{limit.name}: there is no activity {u!r}" for u in unknown)
        takes, begun = [], []
        for use in limit.uses:
            i = line.network.index[use.activity]
            take = Take(i, use.amount, use.after)
            if line.states[i] == "to do":
                if line.lasts[i]:
                    takes.append(take)
            elif line.states[i] == "started" or use.after:
                begun.append((*span(line, take, plain[i]), use.amount))
        taken = [(first, last, n) for first, last, n in begun if first < last]
        now = line.index(line.run.now)
        profile = np.zeros(max((last for _, last, _ in taken), default=now) - now + 1, np.int32)
        for first, last, n in taken:
            profile[max(first - now, 0) : max(last - now, 0)] += n
        over = bool((profile > limit.most).any())
        if sum(t.amount for t in takes) + int(profile.max()) > limit.most and takes:
            pieces = _pieces(np.minimum(profile, limit.most), now)
            found.append(Stock(limit.name, limit.most, tuple(takes), pieces, over))
        elif over:
            found.append(Stock(limit.name, limit.most, (), (), over))
    return found


def _pieces(profile: Profile, now: int) -> tuple[tuple[int, int, int], ...]:
    edges = [0, *(np.flatnonzero(np.diff(profile)) + 1).tolist(), len(profile)]
    return tuple((now + a, now + b, int(profile[a])) for a, b in pairwise(edges) if profile[a])


def span(line: Timeline, take: Take, position: int) -> tuple[int, int]:
    """Return the places between which an activity takes its part, drying included."""
    i = take.place
    if line.states[i] == "done":
        return line.index(line.run.now), line.after(i, position, take.after)
    first, last = line.span(i, position)
    return first, max(last, line.after(i, position, take.after)) if take.after else last
