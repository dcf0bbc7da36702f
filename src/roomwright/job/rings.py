"""Ways along links: who waits for whom, however long the way round, and rings found in one pass."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence

Onward = Mapping[str, Sequence[str]]
"""id -> the ids that wait for it."""


def positions(onward: Onward) -> dict[str, int]:
    """Return each id's place in an order in which none comes before what it waits for.

    An id that is in a ring, or waits for one, has no place. Time grows as ids and links do
    (Kahn, Communications of the ACM 5(11), 1962).

    >>> positions({"A": ["B"], "B": ["C"]}), positions({"A": ["B"], "B": ["A", "C"]})
    ({'A': 0, 'B': 1, 'C': 2}, {})
    """
    waits = dict.fromkeys(onward, 0)
    for there in onward.values():
        for one in there:
            waits[one] = waits.get(one, 0) + 1
    found: dict[str, int] = {}
    ready = [one for one, n in waits.items() if not n]
    for one in ready:  # grows while it is read
        found[one] = len(found)
        for there_ in onward.get(one, ()):
            waits[there_] -= 1
            if not waits[there_]:
                ready.append(there_)
    return found


def rings(onward: Onward, links: Iterable[tuple[str, str]]) -> Iterator[list[str]]:
    """Yield the shortest ring that each of the links closes, from its first end back to it.

    >>> list(rings({"A": ["B"], "B": ["A"]}, [("A", "B")]))
    [['A', 'B', 'A']]
    """
    placed = positions(onward)
    for before, after in links:
        if before in placed or after in placed:
            continue
        if found := way(onward, after, before):
            yield [before, *found]


def way(onward: Onward, start: str, goal: str) -> list[str]:
    """Return a shortest way along links from one id to another; empty where there is none.

    >>> way({"A": ["B"], "B": ["C"]}, "A", "C"), way({"A": ["B"]}, "B", "A")
    (['A', 'B', 'C'], [])
    """
    came: dict[str, str | None] = {start: None}
    front = [start]
    while front and goal not in came:
        reached = []
        for one in front:
            for there in onward.get(one, ()):
                if there not in came:
                    came[there] = one
                    reached.append(there)
        front = reached
    found: list[str] = []
    at: str | None = goal if goal in came else None
    while at is not None:
        found.append(at)
        at = came[at]
    return found[::-1]
