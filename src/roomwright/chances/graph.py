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

from collections.abc import Collection, Iterable, Mapping, Sequence
from datetime import date
from typing import Any, Final, NamedTuple

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
MILESTONE: Final = 2
"""A milestone among several calendars: it stands at a moment, worked or not."""
GIVEN: Final = 3
"""Finished: nothing moves it."""


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
        return self.steps * (axis.worked(max(self.run.now, start)) - axis.worked(start))

    # Moments and home numbers of what is recorded, counted from the first of all tables

    def _moment(self, tick: int) -> int:
        return (tick - self.first + HALF_DAYS_AROUND) * self.steps

    def _home(self, tick: int, axis: int = 0) -> int:
        worked = self.axes[axis].worked(tick) - self.lowest
        return (worked + HALF_DAYS_AROUND) * self.steps

    def _graph(self) -> Graph:
        run, count = self.run, len(self.order)
        style = [self._style(p, late=False) for p in range(count)]
        late_style = [self._style(p, late=True) for p in range(count)]
        soonest = [self._soonest(p) for p in range(count)]
        given = [t for i in self.order for t in (run.start[i], run.end[i] or run.start[i])]
        known = [s != "to do" for s in self.states]
        into, onto, nexts = self._ties(style, late_style)
        # who must tell its moment: whoever is at the other end of a tie by the moment
        nodes = np.zeros((count, COLUMNS), np.int32)
        for groups, column in ((into, MOMENTS), (onto, LATE_MOMENTS)):
            far = [row // 2 for group in groups[1::4] + groups[3::4] for row, _ in group]
            nodes[far, column] = 1
        recorded = [t if known[k // 2] else run.almanac.opens(0) for k, t in enumerate(given)]
        nodes[:, STYLE], nodes[:, LATE_STYLE] = style, late_style
        nodes[:, BEGUN] = [s == "started" for s in self.states]
        nodes[:, AXIS] = self._axis_of
        nodes[:, SOONEST] = [self._home(t) for t in soonest]
        nodes[:, SOONEST_MOMENT] = [self._moment(t) for t in soonest]
        nodes[:, GIVEN_START] = [self._home(t) for t in recorded[::2]]
        nodes[:, GIVEN_END] = [self._home(t) for t in recorded[1::2]]
        nodes[:, GIVEN_MOMENT] = [self._moment(t) for t in recorded[::2]]
        nodes[:, GIVEN_END_MOMENT] = [self._moment(t) for t in recorded[1::2]]
        nodes[:, GIVEN_OWN] = [
            self._home(t, c) for t, c in zip(recorded[::2], self._axis_of, strict=True)
        ]
        nodes[:, INTO : INTO + 5] = _begins(into)
        nodes[:, ONTO : ONTO + 5] = _begins(onto)
        nodes[:, NEXT : NEXT + 2] = _begins(nexts, 1)
        shift, top = self.steps.bit_length() - 1, self._top()
        return Graph(
            nodes=nodes,
            into=_pairs(into),
            onto=_pairs(onto),
            nexts=_ints([p for group in nexts for p in group]),
            ends=_ints(self._may_be_last(style)),
            tables=self._tables(),
            fit=_ints([shift, top, self.mixed, self._home(run.almanac.opens(0))]),
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
            return OWN if late and state == "started" else MILESTONE
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

    def _tables(self) -> Ints:
        """Return the two tables of each calendar, side by side and counted from one beginning."""
        around = HALF_DAYS_AROUND
        length = max(a.first - self.first + len(a.worked_before) for a in self.axes)
        height = max(a.lowest - self.lowest + len(a.opening) for a in self.axes)
        wide = max(length, height) + 2 * around
        tables = np.empty((2, len(self.axes), wide), dtype=np.int32)
        for row, axis in enumerate(self.axes):
            for table, at, known, zero in (
                (tables[0, row], axis.first - self.first, axis.worked_before, self.lowest),
                (tables[1, row], axis.lowest - self.lowest, axis.opening, self.first),
            ):
                numbers = np.asarray(known) - zero + around
                at += around
                table[:at] = numbers[0]
                table[at : at + len(numbers)] = numbers
                table[at + len(numbers) :] = numbers[-1]
        return tables


def _ints(values: Iterable[int]) -> Ints:
    return np.array(list(values), dtype=np.int32)


def _begins(groups: Sequence[Sequence[Any]], classes: int = 4) -> Ints:
    """Return where each class of each activity begins, and where the last one ends."""
    at = np.cumsum([0, *map(len, groups)])
    places = np.arange(0, len(groups), classes)[:, None] + np.arange(classes + 1)
    return np.asarray(at[places], np.int32)


def _pairs(groups: Iterable[Iterable[tuple[int, int]]]) -> Ints:
    return np.array([pair for group in groups for pair in group], np.int32).reshape(-1, 2)
