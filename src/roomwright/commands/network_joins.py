"""What keeps the order of work once an activity is out: each before it joined to each after it."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Sequence
from typing import Literal

from roomwright.commands.base import BadCommandError
from roomwright.commands.network_sound import link_id, title
from roomwright.job.entities import Link
from roomwright.job.facts import Change, Facts

End = Literal["start", "finish"]


def joins(facts: Facts, gone: str, links: Sequence[Link]) -> tuple[list[Change], list[str]]:
    """Return the links that keep the order of work once `gone` is out, and the pairs let go.

    Links hold as they would if the work took no time: the outer ends stay the ends that were
    linked, and lags add up. A pair that waits already through other work, for the same ends, gets
    no further link unless it has a lag to keep. Work that only held the *finish* of what goes never
    held what waited only for its *start*: such a pair is let go, as ``A10 → A30``.

    Raises
    ------
    BadCommandError
        where working and elapsed days would have to be added up or compared.
    """
    into = [k for k in links if k.after == gone]
    out = [k for k in links if k.before == gone]
    rest = [k for k in facts.all(Link) if gone not in (k.before, k.after)]
    made: dict[str, Link] = {}
    apart: list[str] = []
    for a in into:
        for b in out:
            if a.before == b.after:
                continue
            if a.kind.endswith("finish") and b.kind.startswith("start"):
                apart.append(f"{a.before} → {b.after}")
                continue
            link = _joined(facts, a, b)
            if link.lag_days <= 0 and held(rest, link):
                continue
            there = made.get(link.id) or facts.find(Link, link.id)
            if there is None or _shorter(facts, gone, there, link):
                made[link.id] = link
    changes = [Change(k.kind_name, k.id, facts.find(Link, k.id), k) for k in made.values()]
    return changes, list(dict.fromkeys(apart))


def held(links: Sequence[Link], like: Link) -> bool:
    """Whether links without overlaps hold two ends of work already, by whatever way round.

    What holds the start of work holds its finish too; what holds its finish says nothing of its
    start.

    >>> def link(pair, kind): return Link(id=pair + kind, before=pair[0], after=pair[1], kind=kind)
    >>> wanted = link("AB", "finish to start")
    >>> held([link("AB", "start to start")], wanted)
    False
    >>> held([link("AC", "finish to start"), link("CB", "start to start")], wanted)
    True
    """
    onward: dict[tuple[str, End], list[tuple[str, End]]] = defaultdict(list)
    for k in links:
        if k.lag_days >= 0:
            onward[k.before, _ends(k)[0]].append((k.after, _ends(k)[1]))
    first, last = _ends(like)
    todo: list[tuple[str, End]] = [(like.before, first)]
    seen = set(todo)
    while todo:
        id, end = todo.pop()
        later: list[tuple[str, End]] = [(id, "finish")] if end == "start" else []
        for there in [*onward[id, end], *later]:
            if there not in seen:
                seen.add(there)
                todo.append(there)
    return (like.after, last) in seen


def _ends(link: Link) -> tuple[End, End]:
    first, last = link.kind.split(" to ")
    return ("start" if first == "start" else "finish", "start" if last == "start" else "finish")


def _joined(facts: Facts, a: Link, b: Link) -> Link:
    counted = {k.lag_counts for k in (a, b) if k.lag_days}
    if len(counted) > 1:
        raise BadCommandError(
            ("activity", f"{title(facts, a.before)} → {a.after} has a lag in {a.lag_counts} days, "
             f"{b.before} → {title(facts, b.after)} one in {b.lag_counts} days: no one link waits "
             "for both. Change one of them first, or keep the activity with 0 days.")
        )  # fmt: skip
    kind = f"{_ends(a)[0]} to {_ends(b)[1]}"
    return Link.model_validate({
        "id": link_id(a.before, b.after, kind), "before": a.before, "after": b.after,
        "kind": kind, "lag_days": a.lag_days + b.lag_days,
        "lag_counts": counted.pop() if counted else "working",
        "reason": "; ".join(dict.fromkeys(filter(None, (a.reason, b.reason)))),
    })  # fmt: skip


def _shorter(facts: Facts, gone: str, there: Link, new: Link) -> bool:
    """Whether the link that is there waits less than the new one."""
    if there.lag_counts != new.lag_counts and there.lag_days * new.lag_days > 0:
        raise BadCommandError(
            ("activity", f"{title(facts, there.before)} → {title(facts, there.after)} waits in "
             f"{there.lag_counts} days already, and through {gone} in {new.lag_counts} days: which "
             "is longer depends on the calendar. Change one of them first, or keep the activity "
             "with 0 days.")
        )  # fmt: skip
    return there.lag_days < new.lag_days
