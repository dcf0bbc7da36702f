"""What the passes give: the dates of each activity and of the whole."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date
from typing import Literal

from roomwright.days import Calendar
from roomwright.schedule.network import Progress

State = Literal["done", "started", "to do"]


@dataclass(frozen=True, slots=True)
class Dates:
    """The dates of one activity, in working-day numbers of the house calendar [days].

    `driven_by` holds the ids of those whose links set its early start; `total_float` and
    `free_float` count working days of the activity's own calendar.
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
    driven_by: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Schedule:
    """The dates of all activities, in the order of the network, and when the work ends.

    `lasting` holds the planned days of each; `recorded` is what has happened: a recorded day
    stands as it was written down, though nobody was meant to work on it.
    """

    dates: Mapping[str, Dates]
    calendar: Calendar
    as_of: date
    working_days: float
    lasting: Mapping[str, float]
    recorded: Mapping[str, Progress] = field(default_factory=dict)

    def __getitem__(self, id: str) -> Dates:
        return self.dates[id]

    @property
    def finish(self) -> date:
        """The last day worked, weekends that were worked included."""
        planned = self.calendar.last_worked(self.working_days)
        worked = (p.finished for i, p in self.recorded.items() if p.finished and self._works(i))
        return max([planned, *worked])

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
        first = self.calendar.date(one.early_start)
        return first if told.finished is None else min(first, told.finished)

    def last_day(self, id: str) -> date:
        """Return the last day worked, as recorded or planned; of a milestone, the day it is on."""
        told = self.recorded.get(id, Progress())
        if told.finished is not None:
            return told.finished
        one = self.dates[id]
        if one.early_finish == one.early_start:
            return self.start_date(id)
        return max(self.calendar.last_worked(one.early_finish), self.start_date(id))

    def _works(self, id: str) -> bool:
        """Return whether an activity takes days: a milestone does not."""
        return self.lasting[id] > 0
