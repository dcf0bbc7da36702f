"""What the passes give: the dates of each activity and of the whole."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date
from typing import Literal

from roomwright.days import Calendar, tick_date
from roomwright.schedule.network import LagCounts, LinkKind, Progress

State = Literal["done", "started", "to do"]


@dataclass(frozen=True, slots=True)
class Driver:
    """A link that sets an early date: the activity waited for, how, and its lag [days]."""

    id: str
    kind: LinkKind = "finish to start"
    lag_days: float = 0
    lag_counts: LagCounts = "working"


@dataclass(frozen=True, slots=True)
class Dates:
    """The dates of one activity, in working-day numbers of the house calendar [days].

    `drivers` are the links that set its early start. `total_float`, `free_float` and
    `promise_float` count working days of the activity's own calendar: to the end of all, to what
    waits for it, and to the nearest promise that it can break, its own or one of what follows;
    negative where that is broken, None where nothing was promised.
    """

    id: str
    early_start: float
    early_finish: float
    late_start: float
    late_finish: float
    total_float: float
    free_float: float
    critical: bool
    state: State
    drivers: tuple[Driver, ...] = ()
    promise_float: float | None = None

    @property
    def driven_by(self) -> tuple[str, ...]:
        """The ids of the activities whose links set its early start."""
        return tuple(driver.id for driver in self.drivers)


@dataclass(frozen=True, slots=True)
class Moments:
    """The absolute ticks of an activity with a calendar of its own: its days are not the house's.

    `early` and `late` hold start and end.
    """

    early: tuple[int, int]
    late: tuple[int, int]


@dataclass(frozen=True, slots=True)
class Schedule:
    """The dates of all activities, in the order of the network, and when the work ends.

    `lasting` holds the planned days of each; `recorded` is what has happened: a recorded day
    stands as it was written down, though nobody was meant to work on it. `moments` holds those
    that work by a calendar of their own.
    """

    dates: Mapping[str, Dates]
    calendar: Calendar
    as_of: date
    working_days: float
    lasting: Mapping[str, float]
    recorded: Mapping[str, Progress] = field(default_factory=dict)
    moments: Mapping[str, Moments] = field(default_factory=dict)

    def __getitem__(self, id: str) -> Dates:
        return self.dates[id]

    @property
    def finish(self) -> date:
        """The last day worked, weekends that were worked included."""
        planned = self.calendar.last_worked(self.working_days)
        worked = (p.finished for i, p in self.recorded.items() if p.finished and self._works(i))
        own = (self.last_day(i) for i in self.moments if self._works(i))
        return max([planned, *worked, *own])

    @property
    def promise_float(self) -> float | None:
        """The days by which the tightest promise is kept; negative: broken; None: none was made."""
        return min(
            (d.promise_float for d in self.dates.values() if d.promise_float is not None),
            default=None,
        )

    @property
    def critical(self) -> tuple[str, ...]:
        """The critical activities."""
        return tuple(d.id for d in self.dates.values() if d.critical)

    def start_date(self, id: str) -> date:
        """Return the first day of an activity: as recorded, else the early start."""
        told = self.recorded.get(id, Progress())
        one = self.dates[id]
        if not self._works(id):
            return told.finished or told.started or self.calendar.date(one.early_start)
        if told.started is not None:
            return told.started
        first = self._first(id, one.early_start)
        return first if told.finished is None else min(first, told.finished)

    def last_day(self, id: str) -> date:
        """Return the last day worked, as recorded or planned; of a milestone, the day it is on."""
        told = self.recorded.get(id, Progress())
        if told.finished is not None:
            return told.finished
        one = self.dates[id]
        if one.early_finish == one.early_start and not (id in self.moments and self._works(id)):
            return self.start_date(id)
        if id in self.moments:
            return max(_day_before(self.moments[id].early[1]), self.start_date(id))
        return max(self.calendar.last_worked(one.early_finish), self.start_date(id))

    def last_safe_start(self, id: str) -> date:
        """Return the last day on which it can start, or go on, and the end stays."""
        if id in self.moments:
            return tick_date(self.moments[id].late[0])
        return self.calendar.date(self.dates[id].late_start)

    def last_safe_end(self, id: str) -> date:
        """Return the last day on which it can be worked on and the end stays."""
        one = self.dates[id]
        if one.early_start == one.early_finish and not self._works(id):
            return self.calendar.date(one.late_finish)
        if id in self.moments:
            return _day_before(self.moments[id].late[1])
        return self.calendar.last_worked(one.late_finish)

    def _first(self, id: str, number: float) -> date:
        if id in self.moments:
            return tick_date(self.moments[id].early[0])
        return self.calendar.date(number)

    def _works(self, id: str) -> bool:
        """Return whether an activity takes days: a milestone does not."""
        return self.lasting[id] > 0


def _day_before(tick: int) -> date:
    """Return the day of the last half day before a moment."""
    return tick_date(tick - 1)
