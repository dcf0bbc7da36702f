"""A network, its calendars and its progress as flat arrays, for passes over many samples at once.

Time is whole steps: `STEPS` of a half day by default, or half days. Each end of an activity has
two numbers, of which most need only the first:

* its **home** number: steps worked by the house before it (`Run` calls it worked);
* its **moment**: steps of the almanac, for crews with days of their own and elapsed lags.

Where everything goes by the house calendar both passes are plain sums of home numbers, and no
table is read. Else a tie is one of four classes: working or by the moment, into a start or into a
finish. The best of a class is found first and then mapped by a table once, which is allowed
because the tables never fall.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable, Mapping
from datetime import date
from typing import Final, NamedTuple

import numpy as np
import numpy.typing as npt

from roomwright.days import TICKS_A_DAY, Axis, Calendar, Number, ticks
from roomwright.schedule.network import Network, NetworkError, Progress, Tie
from roomwright.schedule.run import Run

Ints = npt.NDArray[np.int32]

HOME: Final = 0
"""Work on the house calendar."""
OWN: Final = 1
"""Work on days of its own."""
MOMENT: Final = 2
"""A milestone among several calendars: it stands at a moment, worked or not."""
GIVEN: Final = 3
"""Finished: nothing moves it."""


class Graph(NamedTuple):
    """The arrays of both passes, activities in an order in which each follows those it waits for.

    Ties are grouped by the activity that is being placed (`into`, by class) or bounded (`onto`);
    `*_from[4 i + c]` is where class c of activity i begins. A row is ``2 i`` for the start of
    activity i and ``2 i + 1`` for its finish.
    """

    style: Ints
    late_style: Ints
    begun: Ints
    axis: Ints
    soonest: Ints
    soonest_moment: Ints
    given: Ints
    given_moment: Ints
    given_own: Ints
    moments: Ints
    late_moments: Ints
    into_from: Ints
    into_row: Ints
    into_lag: Ints
    onto_from: Ints
    onto_row: Ints
    onto_lag: Ints
    next_from: Ints
    next_to: Ints
    last: Ints
    before: Ints
    opening: Ints
    shift: int
    mixed: bool
    top: int


class Prepared:
    """A network made ready for passes with any durations.

    Parameters
    ----------
    network, calendar, as_of, progress, not_before
        as `roomwright.schedule.passes` takes them
    works : collection of str
        ids of those that take time in every sample, though planned with 0 days
    per_day : int
        steps of a working day, a power of two from 2 (half days) to 128

    Attributes
    ----------
    lasts : array of int32
        planned steps of each activity from now on, in the order of the graph
    """

    def __init__(
        self,
        network: Network,
        calendar: Calendar,
        as_of: date | None = None,
        progress: Mapping[str, Progress] | None = None,
        *,
        not_before: Mapping[str, Number] | None = None,
        works: Collection[str] = (),
        per_day: int = 2,
    ) -> None:
        if per_day not in (2, 4, 8, 16, 32, 64, 128):
            raise ValueError(f"{per_day} steps a day: use 2, 4, 8, 16, 32, 64 or 128")
        day = calendar.start if as_of is None else as_of
        self.network, self.per_day = network, per_day
        self._works = frozenset(works)
        self.steps = per_day // TICKS_A_DAY
        self.run = Run(network, calendar, day, progress or {})
        self.progress = progress or {}
        self.order = network.order
        self.place = {network.activities[i].id: p for p, i in enumerate(self.order)}
        self.states = [self.run.states[i] for i in self.order]
        for id in not_before or {}:
            if id not in self.place:
                raise NetworkError([f"a date is given for {id!r}, which is no activity"])
        self._held = {self.place[i]: ticks(n) for i, n in (not_before or {}).items()}
        self.mixed = not network.one_clock
        self.axes: list[Axis] = [calendar.axis()]
        self._number = {calendar: 0}
        own = [network.activities[i].calendar or calendar for i in self.order]
        for one in own:
            if one not in self._number:
                self._number[one] = len(self.axes)
                self.axes.append(one.axis())
        self._axis_of = [self._number[c] for c in own]
        self.first = min(a.first for a in self.axes)
        self.lowest = min(a.lowest for a in self.axes)
        self.lasts = np.array([self.run.left[i] * self.steps for i in self.order], dtype=np.int32)
        self.graph = self._graph()

    def __len__(self) -> int:
        return len(self.order)

    def days(self, home: npt.NDArray[np.int32]) -> npt.NDArray[np.float64]:
        """Return home numbers as working-day numbers [days]."""
        return np.asarray(home / self.per_day + self.lowest / TICKS_A_DAY)

    @property
    def home_zero(self) -> int:
        """The home number of the site start."""
        return -self.lowest * self.steps

    def worked_so_far(self, place: int) -> int:
        """Return the steps that a started activity has behind it by its own calendar."""
        i = self.order[place]
        axis, start = self.run.axes[i], self.run.start[i]
        return self.steps * (axis.worked(max(self.run.now, start)) - axis.worked(start))

    # Moments and home numbers of what is recorded, counted from the first of all tables

    def _moment(self, tick: int) -> int:
        return (tick - self.first) * self.steps

    def _home(self, tick: int, axis: int = 0) -> int:
        return (self.axes[axis].worked(tick) - self.lowest) * self.steps

    def _graph(self) -> Graph:
        run, count = self.run, len(self.order)
        style = [self._style(p, late=False) for p in range(count)]
        late_style = [self._style(p, late=True) for p in range(count)]
        soonest = [self._soonest(p) for p in range(count)]
        given = [t for i in self.order for t in (run.start[i], run.end[i] or run.start[i])]
        known = [s != "to do" for s in self.states]
        into, onto, nexts = self._ties(style, late_style)
        # who must tell its moment: whoever is at the other end of a tie by the moment
        moments, late_moments = np.zeros(count, np.int32), np.zeros(count, np.int32)
        for groups, flags in ((into, moments), (onto, late_moments)):
            for group in groups[1::4] + groups[3::4]:
                flags[[row // 2 for row, _ in group]] = 1
        before, opening = self._tables()
        into_from, into_row, into_lag = _flat(into)
        onto_from, onto_row, onto_lag = _flat(onto)
        next_from = np.cumsum([0, *map(len, nexts)])
        recorded = [t if known[k // 2] else run.almanac.opens(0) for k, t in enumerate(given)]
        own = [self._home(t, self._axis_of[k // 2]) for k, t in enumerate(recorded)]
        return Graph(
            style=_ints(style),
            late_style=_ints(late_style),
            begun=_ints([s == "started" for s in self.states]),
            axis=_ints(self._axis_of),
            soonest=_ints([self._home(t) for t in soonest]),
            soonest_moment=_ints([self._moment(t) for t in soonest]),
            given=_ints([self._home(t) for t in recorded]),
            given_moment=_ints([self._moment(t) for t in recorded]),
            given_own=_ints(own),
            moments=moments,
            late_moments=late_moments,
            into_from=into_from,
            into_row=into_row,
            into_lag=into_lag,
            onto_from=onto_from,
            onto_row=onto_row,
            onto_lag=onto_lag,
            next_from=_ints(next_from),
            next_to=_ints([p for group in nexts for p in group]),
            last=_ints(self._may_be_last(style)),
            before=before,
            opening=opening,
            shift=self.steps.bit_length() - 1,
            mixed=self.mixed,
            top=self._top(),
        )

    def _top(self) -> int:
        """Return the home number at which the shortest calendar ends."""
        home = self.axes[0]
        end = min(a.opening[-1] for a in self.axes)
        return self._home(min(end, home.first + len(home.worked_before) - 1)) - 2 * self.steps

    def _style(self, place: int, *, late: bool) -> int:
        state, i = self.states[place], self.order[place]
        if state == "done":
            return GIVEN
        if not self.mixed:
            return HOME
        if self.run.left[i] == 0 and self.network.activities[i].id not in self._works:
            return OWN if late and state == "started" else MOMENT
        return OWN if self._axis_of[place] else HOME

    def _soonest(self, place: int) -> int:
        """Return the tick before which one does not begin, or go on."""
        run, i = self.run, self.order[place]
        if self.states[place] == "done":
            return run.now
        if self.states[place] == "started":
            return max(run.now, run.start[i])
        if place in self._held:
            return max(run.now, run.almanac.opens(self._held[place]))
        return run.now

    def _ties(
        self, style: list[int], late_style: list[int]
    ) -> tuple[list[list[tuple[int, int]]], list[list[tuple[int, int]]], list[list[int]]]:
        count, network = len(self.order), self.network
        at = {i: p for p, i in enumerate(self.order)}
        into: list[list[tuple[int, int]]] = [[] for _ in range(4 * count)]
        onto: list[list[tuple[int, int]]] = [[] for _ in range(4 * count)]
        nexts: list[list[int]] = [[] for _ in range(count)]
        for p, i in enumerate(self.order):
            if self.states[p] == "done":
                continue
            for tie in network.before[i]:
                if tie.into_start and self.states[p] == "started":
                    continue
                q = at[tie.other]
                at_once = tie.lag == 0 and tie.into_start and style[p] != HOME
                place = 2 * (not tie.into_start) + (tie.elapsed or at_once)
                into[4 * p + place].append((2 * q + (not tie.from_start), tie.lag * self.steps))
                if p not in nexts[q]:
                    nexts[q].append(p)
            for tie in network.after[i]:
                q = at[tie.other]
                if self._overtaken(p, tie, q):
                    continue
                both_home = late_style[p] == HOME and (not tie.from_start or late_style[q] == HOME)
                at_once = tie.lag == 0 and tie.into_start and not both_home
                place = 2 * tie.from_start + (tie.elapsed or at_once)
                onto[4 * p + place].append((2 * q + (not tie.into_start), tie.lag * self.steps))
        return into, onto, nexts

    def _overtaken(self, place: int, tie: Tie, other: int) -> bool:
        """Return whether a tie from unfinished work has no say, as what it holds has happened."""
        state, held = self.states[place], self.states[other]
        if held == "done" or (tie.into_start and held == "started"):
            return True
        return state == "started" and tie.from_start

    def _may_be_last(self, style: list[int]) -> list[int]:
        """Return the places of all whose end may be the end of the whole.

        Not so the house's work that another waits for. Crews with days of their own stay: a day
        that only they work has the home number of the next, but is a later moment.
        """
        found = []
        for p, i in enumerate(self.order):
            for tie in self.network.after[i]:
                state = self.run.states[tie.other]
                binds = state == "to do" or (state == "started" and not tie.into_start)
                if binds and style[p] == HOME and not tie.from_start and tie.lag >= 0:
                    break
            else:
                found.append(p)
        return found

    def _tables(self) -> tuple[Ints, Ints]:
        """Return the two tables of each calendar, side by side and counted from one beginning."""
        length = max(a.first - self.first + len(a.worked_before) for a in self.axes)
        height = max(a.lowest - self.lowest + len(a.opening) for a in self.axes)
        before = np.zeros((len(self.axes), length + 1), dtype=np.int32)
        opening = np.zeros((len(self.axes), height), dtype=np.int32)
        for row, axis in enumerate(self.axes):
            at = axis.first - self.first
            known = np.asarray(axis.worked_before) - self.lowest
            before[row, :at] = known[0]
            before[row, at : at + len(known)] = known
            before[row, at + len(known) :] = known[-1]
            at = axis.lowest - self.lowest
            known = np.asarray(axis.opening) - self.first
            opening[row, :at] = known[0]
            opening[row, at : at + len(known)] = known
            opening[row, at + len(known) :] = known[-1]
        return before, opening


def _ints(values: Iterable[int]) -> Ints:
    return np.array(list(values), dtype=np.int32)


def _flat(groups: list[list[tuple[int, int]]]) -> tuple[Ints, Ints, Ints]:
    """Return where each group begins, and the rows and lags of all of them."""
    begins = np.cumsum([0, *map(len, groups)])
    rows = [row for group in groups for row, _ in group]
    lags = [lag for group in groups for _, lag in group]
    return _ints(begins), _ints(rows), _ints(lags)
