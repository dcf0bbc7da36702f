"""What a later end spares: for each number of bookings changed, the soonest that all is done."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import date

from roomwright.crews.level import Levelling, Told
from roomwright.crews.model import Effort, Limit, Moved
from roomwright.crews.search import Stopping
from roomwright.crews.serial import end_of
from roomwright.crews.timeline import Timeline
from roomwright.days import TICKS_A_DAY, Calendar, Number
from roomwright.schedule.network import Network, Progress


@dataclass(frozen=True, slots=True)
class Choice:
    """A plan with these bookings changed: its end, and whether none with as few ends sooner.

    `later` is by how many working days it ends after the soonest plan of all.
    """

    moved: tuple[Moved, ...]
    working_days: float
    later: float
    proved: bool


def choices(
    network: Network,
    calendar: Calendar,
    as_of: date | None = None,
    progress: Mapping[str, Progress] | None = None,
    *,
    limits: Iterable[Limit] = (),
    bookings: Mapping[str, date] | None = None,
    not_before: Mapping[str, Number] | None = None,
    effort: Effort | None = None,
    tell: Told | None = None,
    stopping: Stopping | None = None,
) -> tuple[Choice, ...]:
    """Return the ways to answer a slip: first that which ends soonest, then ever fewer calls.

    The last keeps all bookings that can be kept. Each next one changes fewer and ends later.

    Examples
    --------
    >>> from roomwright.crews.model import Use
    >>> from roomwright.schedule.network import Activity
    >>> house = Calendar(date(2027, 3, 1))
    >>> baths = Network([Activity("hall", 2), Activity("primary", 2), Activity("powder", 2)])
    >>> tile = Limit("one tile setter", 1, tuple(Use(a.id) for a in baths))
    >>> booked = {"primary": date(2027, 3, 3), "powder": date(2027, 3, 5)}
    >>> for one in choices(baths, house, limits=[tile], bookings=booked, not_before={"primary": 3}):
    ...     print(one.working_days, [m.activity for m in one.moved])
    6.0 ['powder', 'primary']
    8.0 ['primary']
    """
    line = Timeline(network, calendar, as_of, progress, not_before)
    work = Levelling(line, limits, bookings or {}, effort or Effort(), tell, stopping)
    first = work.run(0)
    ids = [a.id for a in network]
    found = [Choice(first.moved, first.working_days, 0.0, first.proved)]
    if not first.moved or (stopping is not None and stopping()):
        return tuple(found)
    calm, sure = work.calmest([first.positions.get(id, 0) for id in ids])
    least = work.changed(calm)
    while len(found[-1].moved) > least and not (stopping is not None and stopping()):
        positions, bound = work.with_at_most(len(found[-1].moved) - 1, calm)
        end = end_of(line, positions)
        moved = [
            Moved(ids[i], day, now)
            for i, day in work.booked.items()
            if (now := line.days(i, positions[i])[0]) != day
        ]
        moved.sort(key=lambda m: (m.now, m.activity))
        days = end / TICKS_A_DAY
        if len(found) > 1 and found[-1].working_days == days:  # as soon, with fewer calls
            found.pop()
        proved = bound >= end and (sure or len(moved) > least)
        found.append(Choice(tuple(moved), days, days - first.working_days, proved))
    return tuple(found)
