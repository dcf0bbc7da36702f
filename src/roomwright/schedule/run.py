"""One run of both passes on the absolute tick axis: any calendars, any lags."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date
from typing import Protocol

from roomwright.days import TICKS_A_DAY, Calendar, Number, day_tick, ticks
from roomwright.schedule.network import Network, NetworkError, Progress, Tie
from roomwright.schedule.result import Dates, Driver, Moments, Schedule, State

Holding = tuple[int, list[Tie]]
"""The least slack among the ties into an activity, and the ties that have it."""


class Clock(Protocol):
    """Maps moments of a run onto worked ticks and back; `roomwright.days.Axis` is one."""

    def worked(self, tick: int, /) -> int:
        """Return how many worked ticks lie before a moment."""

    def opens(self, worked: int, /) -> int:
        """Return the moment at which a worked tick begins."""

    def closes(self, worked: int, /) -> int:
        """Return the moment at which so many worked ticks are done."""


class Run:
    """The working state of one run: absolute ticks by the activity's place in the network."""

    def __init__(
        self,
        network: Network,
        calendar: Calendar,
        as_of: date,
        progress: Mapping[str, Progress],
    ) -> None:
        self.network = network
        self.calendar = calendar
        self.as_of = as_of
        self.almanac = calendar.axis()
        self.home, self.axes = self._clocks()
        self.lasts = network.lasts
        self.states: list[State] = ["to do"] * len(self.lasts)
        self.start = [0] * len(self.lasts)
        self.end = [0] * len(self.lasts)
        self.left = list(self.lasts)
        self.told = progress
        self.now = self._at(max(self.almanac.opens(0), day_tick(as_of)))
        self.begins = [self.now] * len(self.lasts)
        """The soonest moment of each: off the site it may lie before the start."""
        if day_tick(as_of) < self.almanac.opens(0):
            for i, activity in enumerate(network):
                if activity.off_site:
                    self.begins[i] = self._at(day_tick(as_of))
        self.resumes = list(self.begins)
        self._record(progress)

    def _clocks(self) -> tuple[Clock, list[Clock]]:
        """Return the clock of the house and that of each activity."""
        own = [a.calendar for a in self.network]
        return self.almanac, [self.almanac if c is None else c.axis() for c in own]

    def _at(self, tick: int) -> int:
        """Return an absolute tick as a moment of this run: the same here."""
        return tick

    def forward(self, not_before: Mapping[str, Number]) -> None:
        """Run the forward pass: `start` and `end` are the early dates from then on."""
        self._forward({self._place(i): ticks(n) for i, n in not_before.items()})

    def ends_at(self) -> float:
        """Return the working-day number at which all is done, after the forward pass."""
        return self._number(max(self.end, default=self.home.opens(0)))

    def schedule(
        self,
        not_before: Mapping[str, Number],
        promised: date | None,
        promises: Mapping[str, date] | None = None,
    ) -> Schedule:
        """Run both passes and return the schedule."""
        self.forward(not_before)
        finish = max(self.end, default=self.home.opens(0))
        late = self._backward(finish)
        holding = [self._holding(i) for i in range(len(self.lasts))]
        critical = self._critical([self._spare(i, late) for i in range(len(late))], holding)
        if promised is not None:
            late = self._backward(self._at(day_tick(promised) + TICKS_A_DAY))
        number, early = self._number, list(zip(self.start, self.end, strict=True))
        spares = self._promise_spares(promises) if promises else [None] * len(late)
        dates = {}
        for i, activity in enumerate(self.network):
            spare = self._spare(i, late)
            free = self._allowed(i, early, finish)[1]
            gap, holders = holding[i]
            dates[activity.id] = Dates(
                id=activity.id,
                early_start=number(self.start[i]),
                early_finish=number(self.end[i]),
                late_start=number(late[i][0]),
                late_finish=number(late[i][1]),
                total_float=spare / TICKS_A_DAY,
                free_float=self.between(i, self.end[i], free) / TICKS_A_DAY,
                critical=critical[i] or spare < 0,
                state=self.states[i],
                drivers=self._drivers(holders) if gap == 0 or self.states[i] != "to do" else (),
                promise_float=spares[i],
            )
        lasting = {a.id: n / TICKS_A_DAY for a, n in zip(self.network, self.lasts, strict=True)}
        moments = {
            a.id: Moments(early[i], late[i])
            for i, a in enumerate(self.network)
            if a.calendar is not None
        }
        return Schedule(
            dates, self.calendar, self.as_of, number(finish), lasting, self.told, moments
        )

    def _drivers(self, holders: list[Tie]) -> tuple[Driver, ...]:
        return tuple(
            Driver(
                self.network.activities[tie.other].id,
                tie.kind,
                tie.lag / TICKS_A_DAY,
                "elapsed" if tie.elapsed else "working",
            )
            for tie in holders
        )

    def _promise_spares(self, promises: Mapping[str, date]) -> list[float | None]:
        """Return the float of each to the nearest promise that waits for it, its own included.

        The pass backward starts from the ends of the promised days; what bounds nothing stands so
        far off that no promise reaches it.
        """
        bounds = {
            self._place(id): self._at(day_tick(day) + TICKS_A_DAY) for id, day in promises.items()
        }
        reached = [i in bounds for i in range(len(self.lasts))]
        for i in reversed(self.network.order):
            reached[i] = reached[i] or any(
                reached[tie.other] and not self._overtaken(i, tie) for tie in self.network.after[i]
            )
        far = self._far(max([*self.end, *bounds.values()]))
        late = self._backward(far, bounds)
        return [
            self._spare(i, late) / TICKS_A_DAY if reached[i] else None for i in range(len(late))
        ]

    def _far(self, moment: int) -> int:
        """Return a moment so long after another that all work fits between them twice."""
        all_work = sum(self.lasts) + sum(max(0, t.lag) for ts in self.network.after for t in ts)
        return self._at(min(self.almanac.last, self._moment(moment) + 8 * all_work))

    def _moment(self, moment: int) -> int:
        """Return a moment of this run as an absolute tick: the same here."""
        return moment

    # What was recorded

    def _record(self, progress: Mapping[str, Progress]) -> None:
        problems: list[str] = []
        for id, told in progress.items():
            i = self._place(id)
            wrong = told.contradiction
            if wrong:
                problems.append(f"{self.network.activities[i].title}: {wrong}")
            elif told.finished is not None:
                self._record_done(i, told.started, told.finished)
            elif told.started is not None and self.lasts[i] == 0:
                self._record_done(i, told.started, told.started)  # a milestone is there at once
            elif told.started is not None:
                self._record_started(i, told.started, told.days_left, told.resumes)
        if problems:
            raise NetworkError(problems)

    def _record_done(self, i: int, started: date | None, finished: date) -> None:
        self.states[i] = "done"
        if self.lasts[i] == 0:
            self.start[i] = self.end[i] = self._at(day_tick(finished))
            return
        axis = self.axes[i]
        last = self._at(day_tick(finished))
        self.end[i] = self._at(day_tick(finished) + TICKS_A_DAY)
        planned = axis.opens(axis.worked(self.end[i]) - self.lasts[i])
        self.start[i] = min(planned, last) if started is None else self._at(day_tick(started))

    def _record_started(
        self, i: int, started: date, days_left: Number | None, resumes: date | None
    ) -> None:
        self.states[i] = "started"
        self.start[i] = self._at(day_tick(started))
        if resumes is not None:
            self.resumes[i] = self._at(day_tick(resumes))
        if days_left is not None:
            self.left[i] = ticks(days_left)
        else:  # nobody has said: what the plan leaves, and at least half a day, as it is not done
            worked = self.between(i, self.start[i], max(self.begins[i], self.start[i]))
            self.left[i] = max(self.lasts[i] - worked, min(1, self.lasts[i]))

    # The two passes

    def _forward(self, not_before: Mapping[int, int]) -> None:
        for i in self.network.order:
            if self.states[i] == "done":
                continue
            axis, lasts, started = self.axes[i], self.left[i], self.states[i] == "started"
            soonest = self.goes_on(i) if started else self.begins[i]
            if i in not_before and not started:
                soonest = max(soonest, self.home.opens(not_before[i]))
            end_by = 0
            for tie in self.network.before[i]:
                if not tie.into_start:
                    end_by = max(end_by, self._reach(tie, tie.other))
                elif not started:
                    soonest = max(soonest, self._reach(tie, tie.other))
            if lasts == 0:
                self.end[i] = max(soonest, end_by)
                if not started:
                    self.start[i] = self.end[i]
                continue
            worked = axis.worked(soonest)
            if end_by:
                worked = max(worked, _worked_to_reach(axis, end_by) - lasts)
            if not started:
                self.start[i] = axis.opens(worked)
            self.end[i] = axis.closes(worked + lasts)

    def goes_on(self, i: int) -> int:
        """Return the moment from which the rest of started work can be done."""
        return max(self.begins[i], self.start[i], self.resumes[i])

    def _backward(
        self, limit: int, bounds: Mapping[int, int] | None = None
    ) -> list[tuple[int, int]]:
        """Return the late (start, end) of each activity against a last moment, or its own."""
        late = [(0, 0)] * len(self.lasts)
        own = bounds or {}
        for i in reversed(self.network.order):
            late[i] = self._allowed(i, late, min(limit, own.get(i, limit)))
        return late

    def _allowed(self, i: int, others: list[tuple[int, int]], limit: int) -> tuple[int, int]:
        """Return the latest (start, end) of one that leaves `others` where they are."""
        milestone = self.lasts[i] == 0 and self.states[i] == "to do"
        if milestone:  # the morning after is the same moment of the house calendar
            limit = self.home.opens(self.home.worked(limit))
        end_by, start_by = limit, None
        for tie in self.network.after[i]:
            if self._overtaken(i, tie):
                continue
            bound = self._latest(others[tie.other][not tie.into_start], tie)
            if not tie.from_start:
                end_by = min(end_by, bound)
            elif start_by is None or bound < start_by:
                start_by = bound
        if milestone:
            moment = end_by if start_by is None else min(end_by, start_by)
            return moment, moment
        axis = self.axes[i]
        worked = axis.worked(end_by)
        if self.states[i] != "to do":  # recorded days count by their number, at weekends too
            span = self.between(i, self.start[i], self.end[i])
            if start_by is not None:
                worked = min(worked, axis.worked(start_by) + span)
        else:
            span = self.lasts[i]
            if start_by is not None:
                worked = min(worked, axis.worked(start_by + 1) - 1 + span)
        return axis.opens(worked - span), axis.closes(worked)

    def _critical(self, spare: list[int], holding: list[Holding]) -> list[bool]:
        """Return who has no float, and who among the finished held them up."""
        undone = [s != "done" for s in self.states]
        critical = [s <= 0 and (u or not any(undone)) for s, u in zip(spare, undone, strict=True)]
        for i in reversed(self.network.order):
            if critical[i]:
                for j in (tie.other for tie in holding[i][1]):
                    critical[j] = critical[j] or self.states[j] == "done"
        return critical

    # Ties

    def _reach(self, tie: Tie, holder: int) -> int:
        """Return the soonest moment of the end that a tie holds, from its holder's early dates."""
        moment = self.start[holder] if tie.from_start else self.end[holder]
        if tie.elapsed or (tie.lag == 0 and tie.into_start):
            return moment + tie.lag
        return self.home.closes(self.home.worked(moment) + tie.lag)

    def _latest(self, bound: int, tie: Tie) -> int:
        """Return the last moment of the end that a tie starts from: the inverse of `_reach`."""
        if tie.elapsed or (tie.lag == 0 and tie.into_start):
            return bound - tie.lag
        return self.home.opens(self.home.worked(bound) - tie.lag)

    def _overtaken(self, i: int, tie: Tie) -> bool:
        """Return whether a tie from i has no say any more, as what it holds has happened."""
        state, other = self.states[i], self.states[tie.other]
        if state == other == "to do":
            return False
        if other != "done" and not (tie.into_start and other == "started"):
            return state == "started" and tie.from_start
        if state != "done":
            return True
        held = self.start[tie.other] if tie.into_start else self.end[tie.other]
        reach = self._reach(tie, i)
        return self.home.worked(reach) > self.home.worked(held)

    def slack(self, i: int, tie: Tie) -> int:
        """Return how many ticks a tie into one leaves between its ends; negative: it was broken."""
        axis, reach = self.axes[i], self._reach(tie, tie.other)
        if tie.into_start:
            return axis.worked(self.start[i]) - axis.worked(reach)
        if self.lasts[i] == 0:
            return axis.worked(self.end[i]) - axis.worked(reach)
        return axis.worked(self.end[i]) - _worked_to_reach(axis, reach)

    def _holding(self, i: int) -> Holding:
        """Return the least slack among the kept ties into one, and the ties that have it."""
        least, holders = -1, list[Tie]()
        started = self.states[i] != "to do"
        for tie in self.network.before[i]:
            slack = self.slack(i, tie)
            if slack < 0 and started:
                continue
            if not holders or slack < least:
                least, holders = slack, []
            if slack == least:
                holders.append(tie)
        return least, holders

    # Numbers

    def _place(self, id: str) -> int:
        if id not in self.network.index:
            raise NetworkError([f"progress or a date is given for {id!r}, which is no activity"])
        return self.network.index[id]

    def between(self, i: int, first: int, last: int) -> int:
        """Return the ticks between two moments by the calendar of one [ticks]."""
        return self.axes[i].worked(last) - self.axes[i].worked(first)

    def _spare(self, i: int, late: list[tuple[int, int]]) -> int:
        return self.between(i, self.end[i], late[i][1])

    def _number(self, moment: int) -> float:
        return self.home.worked(moment) / TICKS_A_DAY


def _worked_to_reach(axis: Clock, moment: int) -> int:
    """Return the fewest worked ticks that end at or after a moment."""
    worked = axis.worked(moment)
    return worked if axis.closes(worked) >= moment else worked + 1
