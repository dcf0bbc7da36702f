"""A schedule by walking the half days one by one: slow, and as literal as the definitions.

It shares nothing with the engine but the words of a calendar: no tables, no normal form.
"""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date
from functools import cache

from roomwright.days import Calendar, ticks
from roomwright.schedule import Activity, Link, Network


@cache
def works(calendar: Calendar, tick: int) -> bool:
    day = date.fromordinal(tick // 2)
    if day in calendar.days_off or day.weekday() not in calendar.work_week:
        return False
    short = day in calendar.half_days or day.weekday() in calendar.half_week
    return not short or tick % 2 == 0


def worked(calendar: Calendar, first: int, last: int) -> int:
    """Working half days in [first, last), negative when last lies before first."""
    if last < first:
        return -worked(calendar, last, first)
    return sum(works(calendar, t) for t in range(first, last))


def end_of(calendar: Calendar, start: int, lasts: int) -> int:
    tick = start
    while lasts:
        lasts -= works(calendar, tick)
        tick += 1
    return tick


def keeps(link: Link, house: Calendar, a: tuple[int, int], b: tuple[int, int]) -> bool:
    holder = a[0] if link.kind.startswith("start") else a[1]
    held = b[0] if link.kind.endswith("start") else b[1]
    lag = ticks(link.lag_days)
    if link.lag_counts == "elapsed" or (lag == 0 and link.kind.endswith("start")):
        return held - holder >= lag
    return worked(house, holder, held) >= lag


def simulate(
    network: Network, house: Calendar, floor: int, held: Mapping[str, int] | None = None
) -> dict[str, tuple[int, int]]:
    """Early (start, end) ticks; `held` gives some of them a soonest start."""
    done: dict[str, tuple[int, int]] = {}
    waiting = list(network.activities)
    while waiting:
        for activity in waiting:
            into = [k for k in network.links if k.after == activity.id]
            if all(k.before in done for k in into):
                break
        waiting.remove(activity)
        done[activity.id] = place(
            activity, into, done, house, max(floor, (held or {}).get(activity.id, floor))
        )
    return done


def place(
    activity: Activity,
    into: list[Link],
    done: Mapping[str, tuple[int, int]],
    house: Calendar,
    start: int,
) -> tuple[int, int]:
    own = activity.calendar or house
    lasts = ticks(activity.days)
    while True:
        if lasts == 0 or works(own, start):
            here = start, end_of(own, start, lasts)
            if all(keeps(k, house, done[k.before], here) for k in into):
                return here
        start += 1
