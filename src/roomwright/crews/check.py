"""A plan held against its links, calendars and limits, by counting half days one after another.

Nothing here knows how the plan was made: it reads the days on which work stands and looks at
each. So it checks the search, and it also finds where the passes alone send one crew to two rooms.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from datetime import date
from itertools import pairwise
from typing import Literal

from roomwright.crews.model import Levelled, Limit, Placed
from roomwright.days import Calendar, Number, day_tick, tick_date, ticks
from roomwright.schedule.network import Link, Network, Progress


@dataclass(frozen=True, slots=True)
class Fault:
    """Something that a plan breaks, and who it is about."""

    kind: Literal["days", "day", "link", "limit"]
    activities: tuple[str, ...]
    text: str


@dataclass(frozen=True, slots=True)
class Clash:
    """From one day to another more is in use than there is: by whom, how much, of how much."""

    limit: str
    activities: tuple[str, ...]
    first_day: date
    last_day: date
    in_use: int
    most: int


def faults(
    plan: Levelled,
    network: Network,
    calendar: Calendar,
    progress: Mapping[str, Progress] | None = None,
    *,
    limits: Iterable[Limit] = (),
    not_before: Mapping[str, Number] | None = None,
) -> list[Fault]:
    """Return everything that a plan breaks; none if it is sound."""
    told = progress or {}
    found: list[Fault] = []
    for activity in network:
        placed = plan[activity.id]
        if placed.state == "done":
            continue
        days = activity.days
        left = told.get(activity.id, Progress()).days_left
        if placed.state == "started" and left is None:
            continue  # how much is left is the passes' own guess
        found += _stands(placed, activity.calendar or calendar, days if left is None else left)
        first = day_tick(plan.as_of)
        soonest = (not_before or {}).get(activity.id)
        if soonest is not None:
            first = max(first, day_tick(calendar.date(soonest)))
        if placed.state == "to do" and placed.from_tick < first:
            text = f"{activity.title} starts before {tick_date(first).isoformat()}"
            found.append(Fault("day", (activity.id,), text))
    for link in network.links:
        if not _kept(link, plan, calendar):
            text = f"{link.after} does not wait for {link.before} ({link.kind})"
            found.append(Fault("link", (link.before, link.after), text))
    for clash in clashes(plan, limits):
        begun = [a for a in clash.activities if plan[a].state != "to do"]
        if len(begun) < len(clash.activities) and clash.limit not in plan.over:
            text = f"{clash.limit}: {clash.in_use} of {clash.most} from {clash.first_day}"
            found.append(Fault("limit", clash.activities, text))
    return found


def _stands(placed: Placed, calendar: Calendar, days: Number) -> Iterator[Fault]:
    """Yield where work stands on more or fewer half days than it takes, or on days off."""
    wanted = ticks(days)
    begins = placed.from_tick if placed.state == "to do" else placed.goes_on
    worked = [t for t in range(begins, placed.to_tick) if _works(calendar, t)]
    whole = not wanted or (worked and (worked[0], worked[-1]) == (begins, placed.to_tick - 1))
    if len(worked) != wanted or not whole:
        text = f"{placed.id} takes {len(worked) / 2:g} days, not {float(days):g}, or a day off"
        yield Fault("days", (placed.id,), text)


def _works(calendar: Calendar, tick: int) -> bool:
    axis = calendar.axis()
    return axis.worked(tick + 1) > axis.worked(tick)


def _kept(link: Link, plan: Levelled, calendar: Calendar) -> bool:
    before, after = plan[link.before], plan[link.after]
    from_start, into_start = link.kind.startswith("start"), link.kind.endswith("start")
    if after.state == "done" or (after.state == "started" and into_start):
        return True
    one = before.from_tick if from_start else before.to_tick
    two = after.from_tick if into_start else after.to_tick
    lag, axis = ticks(link.lag_days), calendar.axis()
    if link.lag_counts == "elapsed":
        return two >= one + lag
    if not lag and into_start:
        return two >= one
    return axis.worked(two) >= axis.worked(one) + lag


def clashes(plan: Levelled, limits: Iterable[Limit]) -> list[Clash]:
    """Return where a plan uses more of a limit than there is, the soonest first.

    >>> from roomwright.crews.level import level
    >>> from roomwright.crews.model import Use
    >>> from roomwright.schedule.network import Activity
    >>> plain = level(Network([Activity("hall", 3), Activity("primary", 4)]),
    ...               Calendar(date(2027, 3, 1)))
    >>> one = clashes(plain, [Limit("one tile setter", 1, (Use("hall"), Use("primary")))])[0]
    >>> one.activities, one.first_day.isoformat(), one.last_day.isoformat()
    (('hall', 'primary'), '2027-03-01', '2027-03-03')
    """
    found: list[Clash] = []
    today = day_tick(plan.as_of)
    for limit in limits:
        spans = []
        for use in limit.uses:
            placed = plan[use.activity]
            first = placed.from_tick if placed.state == "to do" else placed.goes_on
            last = placed.to_tick + ticks(use.after) if placed.to_tick > first else first
            if placed.state == "done" and not use.after:
                continue
            if last > max(first, today):
                spans.append((max(first, today), last, use))
        edges = sorted({t for a, b, _ in spans for t in (a, b)})
        for a, b in pairwise(edges):
            here = [u for first, last, u in spans if first <= a and b <= last]
            used = sum(u.amount for u in here)
            if used > limit.most:
                ids = tuple(sorted(u.activity for u in here))
                ends = tick_date(a), tick_date(b - 1)
                found.append(Clash(limit.name, ids, *ends, used, limit.most))
    return sorted(_joined(found), key=lambda c: (c.first_day, c.limit))


def _joined(found: list[Clash]) -> Iterator[Clash]:
    """Yield neighbors that are the same clash as one."""
    held: Clash | None = None
    for one in found:
        same = (
            held is not None
            and (one.limit, one.activities) == (held.limit, held.activities)
            and one.first_day.toordinal() - held.last_day.toordinal() <= 1
        )
        if same and held is not None:
            held = Clash(held.limit, held.activities, held.first_day, one.last_day,
                         max(held.in_use, one.in_use), held.most)  # fmt: skip
            continue
        if held is not None:
            yield held
        held = one
    if held is not None:
        yield held
