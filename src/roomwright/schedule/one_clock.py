"""The same run where all goes by the house calendar and no lag is elapsed: most houses.

Moments are then worked ticks of the house, a clock has nothing to map, and both passes are plain
sums: the normal form of `roomwright.schedule.network`. A test holds it equal to the general run.
"""

from __future__ import annotations

from collections.abc import Mapping

from roomwright.days import TICKS_A_DAY
from roomwright.schedule.network import Tie
from roomwright.schedule.run import Clock, Holding, Run


class _Every:
    """A clock on which every tick is worked."""

    def worked(self, tick: int, /) -> int:
        return tick

    def opens(self, worked: int, /) -> int:
        return worked

    def closes(self, worked: int, /) -> int:
        return worked


class OneClockRun(Run):
    """A run in worked ticks of the house calendar."""

    def _clocks(self) -> tuple[Clock, list[Clock]]:
        every = _Every()
        return every, [every] * len(self.network)

    def _at(self, tick: int) -> int:
        return self.almanac.worked(tick)

    def _moment(self, moment: int) -> int:
        return self.almanac.opens(moment)

    def _forward(self, not_before: Mapping[int, int]) -> None:
        start, end, begins = self.start, self.end, self.begins
        for i in self.network.order:
            state, lasts = self.states[i], self.left[i]
            if state == "done":
                continue
            started = state == "started"
            soonest = begins[i]
            begin = self.goes_on(i) if started else max(soonest, not_before.get(i, soonest))
            for other, from_start, into_start, lag, _ in self.network.before[i]:
                soonest = (start if from_start else end)[other] + lag
                if not into_start:
                    soonest -= lasts
                elif started:
                    continue
                begin = max(begin, soonest)
            if not started:
                start[i] = begin
            end[i] = begin + lasts
        if end:
            self.almanac.opens(max(end))  # raises where the end lies beyond the calendar

    def _allowed(self, i: int, others: list[tuple[int, int]], limit: int) -> tuple[int, int]:
        span = self.end[i] - self.start[i]
        begin = limit - span
        for tie in self.network.after[i]:
            if self.told and self._overtaken(i, tie):
                continue
            other, from_start, into_start, lag, _ = tie
            latest = others[other][not into_start] - lag
            if not from_start:
                latest -= span
            if latest < begin:
                begin = latest
        return begin, begin + span

    def slack(self, i: int, tie: Tie) -> int:
        """Return how many ticks a tie leaves, as in the general run."""
        other, from_start, into_start, lag, _ = tie
        held = (self.start if into_start else self.end)[i]
        return held - (self.start if from_start else self.end)[other] - lag

    def _holding(self, i: int) -> Holding:
        least, holders = -1, list[Tie]()
        start, end, begun = self.start, self.end, self.states[i] != "to do"
        for tie in self.network.before[i]:
            other, from_start, into_start, lag, _ = tie
            slack = (start if into_start else end)[i] - (start if from_start else end)[other] - lag
            if slack < 0 and begun:
                continue
            if not holders or slack < least:
                least, holders = slack, []
            if slack == least:
                holders.append(tie)
        return least, holders

    def between(self, i: int, first: int, last: int) -> int:
        """Return the ticks between two moments."""
        return last - first

    def _number(self, moment: int) -> float:
        return moment / TICKS_A_DAY
