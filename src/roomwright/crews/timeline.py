"""Each piece of work as one whole number, its position; links as tables from one to another.

A position counts the worked half days of the activity's own calendar before it begins, so that
any position is one where it can be worked. A milestone's position is its moment itself. Since a
later position never makes an end earlier, a link says: the position of this is at least f(the
position of that), and f never falls. Where both go by one calendar f only adds a number.

The rules are those of `roomwright.schedule.passes`; a test holds the earliest positions equal
to the early dates of the passes.
"""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Mapping, Sequence
from datetime import date
from typing import Final

import numpy as np

from roomwright.days import TICKS_A_DAY, Calendar, HorizonError, Number, tick_date, ticks
from roomwright.schedule.network import Network, NetworkError, Progress, Tie
from roomwright.schedule.one_clock import OneClockRun
from roomwright.schedule.run import Clock, Run

YEARS: Final = 8
"""How far ahead the shared axis reaches [years]: farther is a mistake."""


class _Moments:
    """The clock of milestones: every moment is one."""

    def worked(self, tick: int, /) -> int:
        return tick

    def opens(self, worked: int, /) -> int:
        return worked

    def closes(self, worked: int, /) -> int:
        return worked


class Timeline:
    """A network as of a day, in positions.

    Attributes
    ----------
    open : tuple of int
        places of the activities that are not done, each after those it waits for
    lasts : list of int
        half days that each still takes
    soonest : list of int
        least position of each by the day, its start and what it must not start before
    """

    def __init__(
        self,
        network: Network,
        calendar: Calendar,
        as_of: date | None = None,
        progress: Mapping[str, Progress] | None = None,
        not_before: Mapping[str, Number] | None = None,
    ) -> None:
        day = calendar.start if as_of is None else as_of
        self.run = (OneClockRun if network.one_clock else Run)(
            network, calendar, day, progress or {}
        )
        self.network, self.calendar, self.as_of = network, calendar, day
        self.states, self.lasts, self.home = self.run.states, self.run.left, self.run.home
        self.open = tuple(i for i in network.order if self.states[i] != "done")
        moments = _Moments()
        self.clocks: list[Clock] = [
            axis if lasts else moments
            for axis, lasts in zip(self.run.axes, self.lasts, strict=True)
        ]
        self.soonest = [0] * len(network)
        for i in self.open:
            started = self.states[i] == "started"
            self.soonest[i] = self.clocks[i].worked(
                self.run.goes_on(i) if started else self.run.begins[i]
            )
        for id, number in (not_before or {}).items():
            if id not in network.index:
                raise NetworkError([f"a soonest day is given for {id!r}, which is no activity"])
            i = network.index[id]
            if self.states[i] == "to do":
                soonest = self.clocks[i].worked(self.home.opens(ticks(number)))
                self.soonest[i] = max(self.soonest[i], soonest)
        self._shared = None if network.one_clock else self._together()

    def _together(self) -> list[int]:
        """Return the moments on which anybody works, from now on."""
        first = min([self.run.now, *self.run.begins])
        reach = self.run.now + YEARS * 366 * TICKS_A_DAY
        calendars = {a.calendar or self.calendar for a in self.network} | {self.calendar}
        every = np.unique(np.concatenate([np.asarray(c.axis().opening) for c in calendars]))
        return every[(every >= first) & (every < reach)].tolist()  # type: ignore[no-any-return]

    # Moments

    def start(self, i: int, position: int) -> int:
        """Return the moment at which an activity starts."""
        return self.clocks[i].opens(position) if self.states[i] == "to do" else self.run.start[i]

    def end(self, i: int, position: int) -> int:
        """Return the moment at which an activity ends."""
        if self.states[i] == "done":
            return self.run.end[i]
        return self.clocks[i].closes(position + self.lasts[i])

    def index(self, moment: int) -> int:
        """Return a moment as its place among those on which anybody works."""
        return moment if self._shared is None else bisect_left(self._shared, moment)

    def span(self, i: int, position: int) -> tuple[int, int]:
        """Return the places between which an activity is worked on; both ends equal for none."""
        clock = self.clocks[i]
        first = self.index(clock.opens(position))
        if not self.lasts[i]:
            return first, first
        return first, self.index(clock.closes(position + self.lasts[i]) - 1) + 1

    def after(self, i: int, position: int, days: Number) -> int:
        """Return the place at which so many elapsed days after its end are over."""
        end = self.end(i, position)
        if self._shared is not None:
            return self.index(end + ticks(days))
        almanac = self.run.almanac  # moments are worked half days here
        return almanac.worked(almanac.closes(end) + ticks(days))

    def ends(self, i: int, position: int) -> int:
        """Return the end as half days of the house: what the whole is measured by."""
        return self.home.worked(self.end(i, position))

    def number(self, moment: int) -> float:
        """Return a moment as a working-day number of the house."""
        return self.home.worked(moment) / TICKS_A_DAY

    def tick(self, moment: int) -> int:
        """Return a moment as a half day of the almanac."""
        return moment if self._shared is not None else self.run.almanac.opens(moment)

    def tick_end(self, i: int, position: int) -> int:
        """Return the half day of the almanac at which an activity ends."""
        end = self.end(i, position)
        if self._shared is not None:
            return end
        almanac = self.run.almanac
        return almanac.closes(end) if self.lasts[i] else almanac.opens(end)

    def days(self, i: int, position: int) -> tuple[date, date]:
        """Return the first and the last day of an activity in a plan."""
        told = self.run.told.get(self.network.activities[i].id, Progress())
        if self.states[i] == "done":
            last = told.finished or told.started or self.as_of
            first = told.started or self._day(self.run.start[i])
            return min(first, last), last
        first = self._day(self.start(i, position))
        if not self.lasts[i]:
            return first, first
        return first, max(self._day(self.end(i, position) - 1), first)

    def position_of(self, i: int, day: date) -> tuple[int, int]:
        """Return the first position on a day and one past the last: the same if it can't be."""
        first = day.toordinal() * TICKS_A_DAY
        low, high = (self._worked(i, first), self._worked(i, first + TICKS_A_DAY))
        return low, high

    def _worked(self, i: int, tick: int) -> int:
        return self.clocks[i].worked(self.run._at(tick))

    def _day(self, moment: int) -> date:
        return tick_date(self.tick(moment))

    # Links

    def least(self, i: int, tie: Tie, position: int) -> int:
        """Return the least position of i by a tie whose other end stands at a position."""
        other = tie.other
        if self.states[other] == "done":
            moment = self.run.start[other] if tie.from_start else self.run.end[other]
        elif tie.from_start:
            moment = self.start(other, position)
        else:
            moment = self.end(other, position)
        if tie.elapsed or (tie.lag == 0 and tie.into_start):
            moment += tie.lag
        else:
            moment = self.home.closes(self.home.worked(moment) + tie.lag)
        clock = self.clocks[i]
        if tie.into_start or not self.lasts[i]:
            return clock.worked(moment)
        worked = clock.worked(moment)
        return (worked if clock.closes(worked) >= moment else worked + 1) - self.lasts[i]

    def ties(self, i: int) -> list[Tie]:
        """Return the ties that still hold an activity which is not done."""
        started = self.states[i] == "started"
        return [tie for tie in self.network.before[i] if not (started and tie.into_start)]

    def held(self, i: int, positions: Sequence[int]) -> int:
        """Return the least position of an activity by the day and by its links."""
        return max([self.soonest[i], *(self.least(i, t, positions[t.other]) for t in self.ties(i))])

    def earliest(self) -> list[int]:
        """Return the least positions that links alone allow, by place."""
        positions = [0] * len(self.network)
        for i in self.open:
            positions[i] = self.held(i, positions)
        return positions

    def latest(self, earliest: Sequence[int], limit: int) -> list[int]:
        """Return the last positions from which all ends by a number of half days of the house."""
        last = list(earliest)
        for i in reversed(self.open):
            low, high = earliest[i], earliest[i] + 1
            while self._fits(i, high, last, limit):
                low, high = high, high + 2 * (high - earliest[i])
            while high - low > 1:
                middle = (low + high) // 2
                if self._fits(i, middle, last, limit):
                    low = middle
                else:
                    high = middle
            last[i] = low
        return last

    def _fits(self, i: int, position: int, last: Sequence[int], limit: int) -> bool:
        try:
            if self.ends(i, position) > limit:
                return False
        except HorizonError:  # past the years that the calendar knows
            return False
        for tie in self.network.after[i]:
            j = tie.other
            if self.states[j] == "done" or (self.states[j] == "started" and tie.into_start):
                continue
            if self.least(j, tie._replace(other=i), position) > last[j]:
                return False
        return True
