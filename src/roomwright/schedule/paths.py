"""The critical paths one by one, and the near-critical ones: chains with little slack to the end.

A near-critical path becomes critical when its work takes a few days longer than planned. How few
is a choice; the guide [1]_ asks that such paths be watched and sets no number.

References
----------
.. [1] GAO-16-89G, Schedule Assessment Guide (2015), best practice 6.
"""

from __future__ import annotations

import heapq
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from datetime import date
from itertools import count
from typing import Final

from roomwright.days import TICKS_A_DAY, Calendar, Number
from roomwright.schedule.network import Network, Progress
from roomwright.schedule.one_clock import OneClockRun
from roomwright.schedule.run import Run

NEAR: Final = 5
"""Slack up to which a path is called near-critical [days; our own choice: a week]."""
MOST: Final = 20
_LOOKS: Final = 20_000


@dataclass(frozen=True, slots=True)
class Path:
    """A chain of activities from what can begin to what ends last.

    `slack` is how much longer its work may take before the end moves [days].
    """

    activities: tuple[str, ...]
    slack: float


def run_of(
    network: Network,
    calendar: Calendar,
    as_of: date | None = None,
    progress: Mapping[str, Progress] | None = None,
) -> Run:
    """Return the run of a network that suits its calendars, before any pass."""
    kind = OneClockRun if network.one_clock else Run
    return kind(network, calendar, calendar.start if as_of is None else as_of, progress or {})


def paths(
    network: Network,
    calendar: Calendar,
    as_of: date | None = None,
    progress: Mapping[str, Progress] | None = None,
    *,
    not_before: Mapping[str, Number] | None = None,
    within: float = 0,
    most: int = MOST,
) -> tuple[tuple[Path, ...], bool]:
    """Return the paths with slack up to `within` days, the tightest first, and if there are more.

    Work that is done is on no path: a path begins where something can be done now.

    Examples
    --------
    >>> from roomwright.schedule.network import Activity, Link
    >>> wall = Network([Activity("A", 5), Activity("B", 4), Activity("C", 2)],
    ...                [Link("A", "C"), Link("B", "C")])
    >>> paths(wall, Calendar(date(2027, 3, 1)), within=2)[0]
    (Path(activities=('A', 'C'), slack=0.0), Path(activities=('B', 'C'), slack=1.0))
    """
    run = run_of(network, calendar, as_of, progress)
    run.forward(not_before or {})
    turn = count()
    limit = within * TICKS_A_DAY
    front: list[tuple[int, int, tuple[int, ...], bool]] = [
        (slack, next(turn), (i,), True) for i, slack in _ends(run) if slack <= limit
    ]
    heapq.heapify(front)
    found: dict[tuple[int, ...], float] = {}
    looks = 0
    while front and len(found) < most and looks < _LOOKS:
        looks += 1
        slack, _, chain, grows = heapq.heappop(front)
        if not grows:
            found.setdefault(chain, slack / TICKS_A_DAY)
            continue
        driven = False
        for other, gap in _behind(run, chain[0]):
            driven = driven or gap == 0
            if slack + gap <= limit:
                heapq.heappush(front, (slack + gap, next(turn), (other, *chain), True))
        if not driven:
            heapq.heappush(front, (slack, next(turn), chain, False))
    ids = [a.id for a in network]
    listed = tuple(Path(tuple(ids[i] for i in chain), slack) for chain, slack in found.items())
    return listed, bool(front)


def _ends(run: Run) -> Iterator[tuple[int, int]]:
    """Yield the activities at which a path ends, with their slack in ticks.

    Nothing waits for their finish, or what does leaves more slack (a lead: it may be done first).
    """
    finish = max(run.end, default=0)
    tail = [0] * len(run.end)
    for i in reversed(run.network.order):
        if run.states[i] == "done":
            continue
        here = tail[i] = run.between(i, run.end[i], finish)
        onward = here + 1
        for tie in run.network.after[i]:
            if run.states[tie.other] == "to do" or not tie.into_start:
                through = max(0, run.slack(tie.other, tie._replace(other=i))) + tail[tie.other]
                tail[i] = min(tail[i], through)
                if not tie.from_start:
                    onward = min(onward, through)
        if onward > here:
            yield i, here


def _behind(run: Run, i: int) -> Iterator[tuple[int, int]]:
    """Yield what is not done and holds one back, with the slack between, in ticks."""
    started = run.states[i] == "started"
    for tie in run.network.before[i]:
        if run.states[tie.other] == "done" or (started and tie.into_start):
            continue
        yield tie.other, max(0, run.slack(i, tie))
