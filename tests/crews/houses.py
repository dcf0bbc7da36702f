"""Seeded random networks with crews and rooms, and every plan of small ones tried."""

from __future__ import annotations

import random
from collections.abc import Iterator
from itertools import product

from tests.schedule.random_networks import HOUSE, network

from roomwright.crews import Limit, Use
from roomwright.schedule import Network

__all__ = ["HOUSE", "limits", "network", "shortest_by_trying"]


def limits(seed: int, net: Network, *, most: int = 2) -> list[Limit]:
    """Return some crews and rooms: each activity takes part in one or two, some dry after."""
    pick = random.Random(seed * 7919 + 1)
    ids = [a.id for a in net if a.days]
    found = []
    for k in range(pick.randint(1, 4)):
        part = [i for i in ids if pick.random() < 0.5]
        if len(part) > 1:
            there = pick.randint(1, most)
            uses = tuple(Use(i, pick.randint(1, there), pick.choice((0, 0, 0, 1, 2))) for i in part)
            found.append(Limit(f"limit {k}", there, uses))
    return found


def shortest_by_trying(
    lasts: list[int], after: list[tuple[int, int, int]], most: int, amounts: list[int], limit: int
) -> int:
    """Return the least end of all plans on one calendar, every start from 0 to a limit tried.

    `after` holds (i, j, w): j starts at least w after i starts. Nothing of the program is used.
    """
    best = limit
    for starts in product(range(limit), repeat=len(lasts)):
        end = max(s + d for s, d in zip(starts, lasts, strict=True))
        if end < best and _allowed(starts, lasts, after, most, amounts):
            best = end
    return best


def _allowed(
    starts: tuple[int, ...],
    lasts: list[int],
    after: list[tuple[int, int, int]],
    most: int,
    amounts: list[int],
) -> bool:
    if any(starts[j] < starts[i] + w for i, j, w in after):
        return False
    return all(used <= most for used in _use(starts, lasts, amounts))


def _use(starts: tuple[int, ...], lasts: list[int], amounts: list[int]) -> Iterator[int]:
    for t in range(max(s + d for s, d in zip(starts, lasts, strict=True))):
        yield sum(a for s, d, a in zip(starts, lasts, amounts, strict=True) if s <= t < s + d)
