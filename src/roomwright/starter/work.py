"""The work of the starter.

Activities are pruned to the house, links closed over what was left out, and the day is found on
which the site must start for the boards to start on their day.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Collection
from dataclasses import dataclass
from datetime import date
from fractions import Fraction
from graphlib import TopologicalSorter

from roomwright.days import Calendar, holidays

from .rows import Row, rows

FIRST_BOARD = "B10"
SITE_RESTS = ("usual six", "thanksgiving friday")
"""The sets of holidays that a new house begins with [common practice]."""


@dataclass(frozen=True, slots=True)
class Link:
    """Finish to start, with a lag in working days."""

    before: str
    after: str
    lag: Fraction
    reason: str


def network(flags: Collection[str]) -> tuple[list[Row], list[Link]]:
    """Return the activities of a house with these flags and the links between them."""
    kept = rows("activities", flags)
    all_links = [Link(r["before"], r["after"], Fraction(r["lag"]), r["reason"])
                 for r in rows("links", flags)]  # fmt: skip
    return kept, closed({r["activity"] for r in kept}, all_links)


def closed(kept: Collection[str], links: list[Link]) -> list[Link]:
    """Return the links between kept activities; what waited through one left out still waits.

    >>> [(k.before, k.after) for k in closed(
    ...     {"a", "c"}, [Link("a", "b", Fraction(1), ""), Link("b", "c", Fraction(0), "")])]
    [('a', 'c')]
    """
    found = list(links)
    gone = sorted({end for k in links for end in (k.before, k.after)} - set(kept))
    for one in gone:
        into = [k for k in found if k.after == one]
        out = [k for k in found if k.before == one]
        found = [k for k in found if one not in (k.before, k.after)]
        for a in into:
            for b in out:
                if not _reaches(found, a.before, b.after):
                    found.append(Link(a.before, b.after, Fraction(0), ""))
    return found


def _reaches(links: list[Link], start: str, goal: str) -> bool:
    after: dict[str, list[str]] = defaultdict(list)
    for k in links:
        after[k.before].append(k.after)
    front, seen = [start], {start}
    while front:
        one = front.pop()
        if one == goal:
            return True
        front += [n for n in after[one] if n not in seen]
        seen.update(after[one])
    return False


def early_starts(activities: list[Row], links: list[Link]) -> dict[str, Fraction]:
    """Return the working day, counted from 0, on which each activity can start at the earliest."""
    days = {r["activity"]: Fraction(r["likely"]) for r in activities}
    into: dict[str, list[Link]] = defaultdict(list)
    for k in links:
        into[k.after].append(k)
    order = TopologicalSorter({id: [k.before for k in into[id]] for id in days}).static_order()
    start: dict[str, Fraction] = {}
    for id in order:
        ends = [start[k.before] + days[k.before] + k.lag for k in into[id]]
        start[id] = max(ends, default=Fraction(0))
    return start


@dataclass(frozen=True, slots=True)
class Begun:
    """Work that has begun: its first day, and its last day or the working days it has left."""

    activity: str
    started: date
    finished: date | None
    days_left: Fraction | None


@dataclass(frozen=True, slots=True)
class Start:
    """When the site starts, the day the boards start, the days off in reach, what has begun."""

    site_start: date
    boards: date
    days_off: tuple[date, ...]
    begun: tuple[Begun, ...]


def back_from(board_date: date, activities: list[Row], links: list[Link], today: date) -> Start:
    """Return the site start from which the first board activity starts on its day.

    A board date on which nobody works moves to the next working day. Work before the boards whose
    days lie before today is taken as done, or begun: the builder's word on the boards says so.
    """
    off = sorted(holidays(SITE_RESTS, board_date.year - 1, board_date.year + 2))
    calendar = Calendar(board_date, days_off=frozenset(off))
    boards = calendar.date(calendar.number(board_date))
    starts = early_starts(activities, links)
    site_start = calendar.add(boards, -starts[FIRST_BOARD])
    begun = []
    calendar = Calendar(site_start, days_off=frozenset(off))
    now = Fraction(calendar.number(today))
    for row in activities:
        id, days = row["activity"], Fraction(row["likely"])
        if starts[id] >= now or id == FIRST_BOARD or not _leads(links, id):
            continue
        end = starts[id] + days
        last = calendar.last_worked(end) if days else calendar.date(starts[id])
        done = end <= now
        begun.append(
            Begun(
                id, calendar.date(starts[id]), last if done else None, None if done else end - now
            )
        )
    return Start(site_start, boards, tuple(d for d in off if d >= site_start), tuple(begun))


def _leads(links: list[Link], id: str) -> bool:
    return _reaches(links, id, FIRST_BOARD)
