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

from collections.abc import Collection, Mapping
from datetime import date
from functools import lru_cache
from typing import Final, NamedTuple

import numpy as np
import numpy.typing as npt

from roomwright.days import TICKS_A_DAY, Axis, Calendar, Number, ticks
from roomwright.schedule.network import Network, NetworkError, Progress
from roomwright.schedule.run import Run

Ints = npt.NDArray[np.int32]
Longs = npt.NDArray[np.int64]

HOME: Final = 0
"""Work on the house calendar."""
OWN: Final = 1
"""Work on days of its own."""
MILESTONE: Final = 2
"""A milestone among several calendars: it stands at a moment, worked or not."""
GIVEN: Final = 3
"""Finished: nothing moves it."""

TO_DO, STARTED, DONE = range(3)
_STATES: Final = {"to do": TO_DO, "started": STARTED, "done": DONE}


HALF_DAYS_AROUND: Final = 4096
"""How far the tables go on at both ends: farther than a duration or a lag may reach."""

STYLE, LATE_STYLE, BEGUN, AXIS, SOONEST, SOONEST_MOMENT = range(6)
GIVEN_START, GIVEN_END, GIVEN_MOMENT, GIVEN_END_MOMENT, GIVEN_OWN = range(6, 11)
MOMENTS, LATE_MOMENTS, INTO, ONTO, NEXT, COLUMNS = 11, 12, 13, 18, 23, 25
"""Columns of `Graph.nodes`; `INTO` and `ONTO` are five wide: where each class begins and ends."""


SCRATCH: Final = 10
"""Rows that hold nothing from one activity to the next; then come two rows for the end."""
FINISH, LIMIT, FIRST = SCRATCH, SCRATCH + 1, SCRATCH + 2
"""From `FIRST` on lie the rows of the activities: home (2 each), late (2), lasts (1); and where
there are several calendars moment (2), late moment (2), own (1)."""


class Graph(NamedTuple):
    """The arrays of both passes, activities in an order in which each follows those it waits for.

    Attributes
    ----------
    nodes : (n, COLUMNS) array
        a row for each activity
    into, onto : (ties, 2) arrays
        row of the other end and lag, of the ties by which one is placed or bounded, by class; a
        row is ``2 i`` for the start of activity i and ``2 i + 1`` for its finish
    nexts : array
        places of those that wait for one, from ``nodes[i, NEXT]`` to ``nodes[i, NEXT + 1]``
    ends : array
        places of those that may be the last to end
    tables : (2, calendars, half days) array
        worked half days before each half day; and half day at which each worked one begins
    fit : array
        shift from half days to steps, cap of home numbers, 1 if several calendars, site start
    """

    nodes: Ints
    into: Ints
    onto: Ints
    nexts: Ints
    ends: Ints
    tables: Ints
    fit: Ints


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
        number = {calendar: 0}
        own = [network.activities[i].calendar or calendar for i in self.order]
        self._axis_of = [number.setdefault(c, len(number)) for c in own]
        self.calendars = tuple(number)
        self.axes: list[Axis] = [c.axis() for c in self.calendars]
        _, self.first, self.lowest = _tables(self.calendars)
        self.lasts = np.array([self.run.left[i] * self.steps for i in self.order], dtype=np.int32)
        self.graph = self._graph()

    def __len__(self) -> int:
        return len(self.order)

    def days(self, home: npt.NDArray[np.int32]) -> npt.NDArray[np.float64]:
        """Return home numbers as working-day numbers [days]."""
        return np.asarray(home / self.per_day + self.zero)

    @property
    def height(self) -> int:
        """How many rows both passes work in."""
        return FIRST + (10 if self.mixed else 5) * len(self)

    @property
    def zero(self) -> float:
        """The working-day number of home number 0 [days]."""
        return (self.lowest - HALF_DAYS_AROUND) / TICKS_A_DAY

    def worked_so_far(self, place: int) -> int:
        """Return the steps that a started activity has behind it by its own calendar."""
        i = self.order[place]
        axis, start = self.run.axes[i], self.run.start[i]
        now = max(self.run.begins[i], start)
        return self.steps * (axis.worked(now) - axis.worked(start))

    def _graph(self) -> Graph:
        run, steps, count = self.run, self.steps, len(self.order)
        tables = _tables(self.calendars)[0]
        state = np.array([_STATES[s] for s in self.states], np.int32)
        style, late_style = self._styles(state)
        into, onto, nexts, ends = self._ties(state, style, late_style)
        nodes = np.zeros((count, COLUMNS), np.int32)
        # who must tell its moment: whoever is at the other end of a tie by the moment
        for (begins, pairs), column in ((into, MOMENTS), (onto, LATE_MOMENTS)):
            classes = np.repeat(np.arange(4 * count) % 2, np.diff(begins))
            nodes[pairs[classes == 1, 0] // 2, column] = 1
        soonest = np.array([run.begins[i] for i in self.order], np.int64)
        recorded = np.full((2, count), run.almanac.opens(0))
        for p, i in enumerate(self.order):
            if state[p]:
                recorded[:, p] = run.start[i], run.end[i] or run.start[i]
                soonest[p] = run.goes_on(i) if state[p] == STARTED else run.begins[i]
            elif p in self._held:
                soonest[p] = max(run.begins[i], run.almanac.opens(self._held[p]))
        at = np.stack([soonest, *recorded]) - self.first + HALF_DAYS_AROUND
        nodes[:, STYLE], nodes[:, LATE_STYLE], nodes[:, AXIS] = style, late_style, self._axis_of
        nodes[:, BEGUN] = state == STARTED
        nodes[:, [SOONEST, GIVEN_START, GIVEN_END]] = tables[0, 0, at].T * steps
        nodes[:, [SOONEST_MOMENT, GIVEN_MOMENT, GIVEN_END_MOMENT]] = at.T * steps
        nodes[:, GIVEN_OWN] = tables[0, self._axis_of, at[1]] * steps
        for column, begins in ((INTO, into[0]), (ONTO, onto[0])):
            nodes[:, column : column + 4] = begins[:-1].reshape(-1, 4)
            nodes[:, column + 4] = begins[4::4]
        nodes[:, NEXT], nodes[:, NEXT + 1] = nexts[0][:-1], nexts[0][1:]
        home = (run.almanac.worked(run.almanac.opens(0)) - self.lowest + HALF_DAYS_AROUND) * steps
        fit = [steps.bit_length() - 1, self._top(tables), self.mixed, home]
        return Graph(nodes, into[1], onto[1], nexts[1], ends, tables, np.array(fit, np.int32))

    def _styles(self, state: Ints) -> tuple[Ints, Ints]:
        """Return how each is placed, and how its late dates are bounded."""
        style = np.full(len(state), HOME, np.int32)
        if self.mixed:
            style[np.array(self._axis_of) > 0] = OWN
        late = style.copy()
        if self.mixed:
            kept = [self.network.activities[i].id in self._works for i in self.order]
            at_once = (self.lasts == 0) & ~np.array(kept, bool)
            style[at_once], late[at_once] = MILESTONE, MILESTONE
            late[at_once & (state == STARTED)] = OWN
        style[state == DONE], late[state == DONE] = GIVEN, GIVEN
        return style, late

    def _ties(
        self, state: Ints, style: Ints, late_style: Ints
    ) -> tuple[_Grouped, _Grouped, _Grouped, Ints]:
        """Return the ties into each by class, onto each by class, who waits, and who may end all.

        A tie binds no more where what it holds has happened; `roomwright.schedule.run` says why.
        Nobody ends last whom another waits for, if it is the house's work. Crews with days of
        their own may: a day that only they work has the home number of the next, but is later.
        """
        count = len(state)
        at = {i: p for p, i in enumerate(self.order)}
        found = [
            (p, at[tie.other], tie.from_start, tie.into_start, tie.lag, tie.elapsed)
            for p, i in enumerate(self.order)
            for tie in self.network.before[i]
        ]
        columns = np.array(found, np.int64).reshape(-1, 6).T
        after, before, lag = columns[0], columns[1], columns[4]
        from_start, into_start, elapsed = columns[[2, 3, 5]] == 1
        binds = (state[after] == TO_DO) | ((state[after] == STARTED) & ~into_start)
        at_once = (lag == 0) & into_start & (style[after] != HOME)
        group = 4 * after + 2 * ~into_start + (elapsed | at_once)
        pairs = np.stack([2 * before + ~from_start, lag * self.steps], 1)
        into = _grouped(group[binds], pairs[binds], 4 * count)
        waits = np.unique(before[binds] * count + after[binds])
        nexts = _grouped(waits // max(count, 1), waits % max(count, 1), count)
        ends = np.ones(count, bool)
        ends[before[binds & (style[before] == HOME) & ~from_start & (lag >= 0)]] = False
        binds &= (state[before] != DONE) & ~((state[before] == STARTED) & from_start)
        far_home = ~from_start | (late_style[after] == HOME)
        at_once = (lag == 0) & into_start & ~((late_style[before] == HOME) & far_home)
        group = 4 * before + 2 * from_start + (elapsed | at_once)
        pairs = np.stack([2 * after + ~into_start, lag * self.steps], 1)
        onto = _grouped(group[binds], pairs[binds], 4 * count)
        return into, onto, nexts, np.flatnonzero(ends).astype(np.int32)

    def _top(self, tables: Ints) -> int:
        """Return the home number at which the shortest calendar ends."""
        home = self.axes[0]
        end = min(a.opening[-1] for a in self.axes)
        end = min(end, home.first + len(home.worked_before) - 1)
        number = tables[0, 0, end - self.first + HALF_DAYS_AROUND]
        return (int(number) - 2) * self.steps


_Grouped = tuple[Ints, Ints]


def _grouped(group: Longs, values: Longs, count: int) -> _Grouped:
    """Return where each group begins, one end more, and the values in the order of the groups."""
    order = np.argsort(group, kind="stable")
    begins = np.zeros(count + 1, np.int32)
    np.cumsum(np.bincount(group, minlength=count), out=begins[1:])
    return begins, np.ascontiguousarray(values[order], np.int32)


@lru_cache(maxsize=16)
def _tables(calendars: tuple[Calendar, ...]) -> tuple[Ints, int, int]:
    """Return the two tables of each calendar side by side, and the ticks they are counted from."""
    axes, around = [c.axis() for c in calendars], HALF_DAYS_AROUND
    first, lowest = min(a.first for a in axes), min(a.lowest for a in axes)
    length = max(a.first - first + len(a.worked_before) for a in axes)
    height = max(a.lowest - lowest + len(a.opening) for a in axes)
    tables = np.empty((2, len(axes), max(length, height) + 2 * around), dtype=np.int32)
    for row, axis in enumerate(axes):
        for table, begin, known, zero in (
            (tables[0, row], axis.first - first, axis.worked_before, lowest),
            (tables[1, row], axis.lowest - lowest, axis.opening, first),
        ):
            numbers = np.asarray(known) - zero + around
            table[: begin + around] = numbers[0]
            table[begin + around : begin + around + len(numbers)] = numbers
            table[begin + around + len(numbers) :] = numbers[-1]
    return tables, first, lowest
