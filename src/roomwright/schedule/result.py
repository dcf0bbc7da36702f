"""What the passes give: the dates of each activity and of the whole."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from typing import Literal

from roomwright.days import Calendar

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
    """The dates of all activities, in the order of the network, and when the work ends."""

    dates: Mapping[str, Dates]
    calendar: Calendar
    as_of: date
    working_days: float

    def __getitem__(self, id: str) -> Dates:
        return self.dates[id]

    @property
    def finish(self) -> date:
        """The last day worked."""
        return self.calendar.last_worked(self.working_days)

    @property
    def critical(self) -> tuple[str, ...]:
        """The critical activities."""
        return tuple(d.id for d in self.dates.values() if d.critical)

    def start_date(self, id: str) -> date:
        """Return the first day of an activity (early start)."""
        return self.calendar.date(self.dates[id].early_start)

    def last_day(self, id: str) -> date:
        """Return the last day worked on an activity; for a milestone, the day it falls on."""
        one = self.dates[id]
        if one.early_finish == one.early_start:
            return self.calendar.date(one.early_start)
        return self.calendar.last_worked(one.early_finish)
