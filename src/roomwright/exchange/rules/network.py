"""Links form no ring, and what must be measured first is measured before it is needed."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator

from roomwright.exchange.rules.broken import Broken, Lacks
from roomwright.job.entities import Link, PartClass
from roomwright.job.facts import Facts
from roomwright.schedule.network import cycles


def network(facts: Facts, lacks: Lacks) -> Iterator[Broken]:
    """No activity waits for itself; a class is not needed before it can be ordered."""
    links = facts.all(Link)
    pairs: dict[tuple[str, str], Link] = {}
    for link in links:
        pairs.setdefault((link.before, link.after), link)
        if link.before == link.after:
            yield Broken("link", link.id, "after", "error", f"{link.after} waits for itself",
                         "name the activity that it waits for, or take the link out")  # fmt: skip
    knot = _knotted([pair for pair in pairs if pair[0] != pair[1]])
    for ring in cycles(knot):
        last = pairs[ring[-1], ring[0]]
        yield Broken("link", last.id, "after", "error",
                     f"activities wait for one another in a ring: {' > '.join([*ring, ring[0]])}",
                     "take out the link that is not really needed")  # fmt: skip
    if not knot:
        yield from _too_late(facts, list(pairs))


def _knotted(pairs: list[tuple[str, str]]) -> list[tuple[str, str]]:
    """Return the pairs that may be part of a ring: what never waits or is never waited for goes."""
    for turn in (0, 1):
        waits: dict[str, int] = defaultdict(int)
        onward: dict[str, list[str]] = defaultdict(list)
        for pair in pairs:
            here, there = pair[turn], pair[1 - turn]
            onward[here].append(there)
            waits[there] += 1
        free = [here for here in onward if not waits[here]]
        gone = set(free)
        while free:
            for there in onward.get(free.pop(), ()):
                waits[there] -= 1
                if not waits[there]:
                    gone.add(there)
                    free.append(there)
        pairs = [pair for pair in pairs if not gone & set(pair)]
    return pairs


def _too_late(facts: Facts, pairs: list[tuple[str, str]]) -> Iterator[Broken]:
    """A class whose measure comes after the work that needs it can never be in time."""
    onward: dict[str, list[str]] = defaultdict(list)
    for before, after in pairs:
        onward[before].append(after)
    reach: dict[str, set[str]] = {}
    for part in facts.all(PartClass):
        if part.order_after is None:
            continue
        if part.needed_by not in reach:
            seen: set[str] = set()
            front = [part.needed_by]
            while front:
                for there in onward.get(front.pop(), ()):
                    if there not in seen:
                        seen.add(there)
                        front.append(there)
            reach[part.needed_by] = seen
        if part.order_after == part.needed_by or part.order_after in reach[part.needed_by]:
            yield Broken("class", part.id, "order_after", "error",
                         f"it cannot be ordered before {part.order_after}, but {part.needed_by}, "
                         "which needs it, is no later", "correct one of the two")  # fmt: skip
