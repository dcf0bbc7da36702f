"""The exact search: OR-Tools CP-SAT over the positions of a timeline.

One variable an activity. A link is a sum where it only adds a number, else a table read at the
variable; a limit is a cumulative constraint over the places of the timeline, or no-overlap where
no two may go together.
"""

from __future__ import annotations

import threading
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import Any, Final

from ortools.sat.python import cp_model

from roomwright.crews.model import Effort
from roomwright.crews.stock import Stock, span
from roomwright.crews.timeline import Timeline

SEED: Final = 20
LOOK: Final = 0.05
"""How often a search is asked whether it should stop [s]."""

Tell = Callable[[float], None]
"""Told the value of each better plan."""
Stopping = Callable[[], bool]


@dataclass(frozen=True, slots=True)
class Answer:
    """The best positions found, their value, and what no plan can be better than."""

    positions: list[int]
    value: int
    bound: int
    stopped: bool


class Search:
    """A model of all plans that end by a limit [half days of the house]."""

    def __init__(
        self,
        line: Timeline,
        stocks: Sequence[Stock],
        earliest: Sequence[int],
        limit: int,
        hint: Sequence[int],
    ) -> None:
        self.line, self.earliest, self.hint = line, earliest, hint
        self.latest = line.latest(earliest, limit)
        self.model = cp_model.CpModel()
        self.step = _step(line, stocks, earliest)
        self.at: dict[int, Any] = {}
        for i in line.open:
            low, high = earliest[i], max(self.latest[i], earliest[i])
            low, high = low // self.step, high // self.step
            variable = self.model.new_int_var(low, high, f"at {i}")
            self.model.add_hint(variable, min(max(hint[i] // self.step, low), high))
            self.at[i] = variable * self.step
        self._limit, self._counts = limit, False
        self._links()
        for stock in stocks:
            self._stock(stock)

    def _range(self, i: int) -> range:
        return range(self.earliest[i], max(self.latest[i], self.earliest[i]) + 1)

    def _mapped(self, i: int, values: Sequence[int], name: str) -> Any:
        """Return the expression that has the values over the range of a position."""
        low = self.earliest[i]
        if all(b - a == 1 for a, b in pairwise(values)):
            return self.at[i] + (values[0] - low)
        found = self.model.new_int_var(values[0], values[-1], name)
        self.model.add_element(self.at[i] - low, list(values), found)
        return found

    def _links(self) -> None:
        line = self.line
        for i in line.open:
            for n, tie in enumerate(line.ties(i)):
                if tie.other in self.at:
                    least = [line.least(i, tie, p) for p in self._range(tie.other)]
                    if least[-1] > self.earliest[i]:
                        held = self._mapped(tie.other, least, f"link {n} of {i}")
                        self.model.add(self.at[i] >= held)

    def _stock(self, stock: Stock) -> None:
        intervals, amounts = [], []
        for n, take in enumerate(stock.takes):
            spans = [span(self.line, take, p) for p in self._range(take.place)]
            first = self._mapped(take.place, [a for a, _ in spans], f"{stock.name} {n} from")
            last = self._mapped(take.place, [b for _, b in spans], f"{stock.name} {n} to")
            sizes = {b - a for a, b in spans}
            if len(sizes) == 1:
                interval = self.model.new_fixed_size_interval_var(first, sizes.pop(), f"{n}")
            else:
                size = self.model.new_int_var(min(sizes), max(sizes), f"{stock.name} {n} size")
                interval = self.model.new_interval_var(first, size, last, f"{n}")
            intervals.append(interval)
            amounts.append(take.amount)
        for a, b, amount in stock.taken:
            intervals.append(self.model.new_fixed_size_interval_var(a, b - a, "taken"))
            amounts.append(amount)
        if stock.one_at_a_time and not stock.taken:
            self.model.add_no_overlap(intervals)
        else:
            self.model.add_cumulative(intervals, amounts, stock.most)

    # What is asked

    def end(self) -> Any:
        """Return the end of all work, in half days of the house."""
        line = self.line
        done = [line.ends(i, 0) for i in range(len(line.network)) if i not in self.at]
        low = max([*done, *(line.ends(i, self.earliest[i]) for i in line.open)])
        step = self.step
        end = self.model.new_int_var(-(-low // step), max(low, self._limit) // step, "end") * step
        for i in line.open:
            ends = [line.ends(i, p) for p in self._range(i)]
            if ends[-1] > low:
                self.model.add(end >= self._mapped(i, ends, f"end {i}"))
        return end

    def kept(self, booked: Mapping[int, tuple[int, int]]) -> dict[int, Any]:
        """Return for each booking whether its activity starts on the day booked.

        `booked` holds the first position on the day, and one past the last.
        """
        found = {}
        self._counts = bool(booked)
        for i, (low, high) in booked.items():
            keeps = self.model.new_bool_var(f"keeps {i}")
            reach = self._range(i)
            low, high = max(low, reach[0]), min(high, reach[-1] + 1)
            if low >= high:
                self.model.add(keeps == 0)
            else:
                self.model.add(self.at[i] >= low).only_enforce_if(keeps)
                self.model.add(self.at[i] < high).only_enforce_if(keeps)
            if low <= self.hint[i] < high:
                self.model.add_hint(keeps, 1)
            found[i] = keeps
        return found

    def away(self, i: int, far: Callable[[int], int]) -> Any:
        """Return how far a position is from what was booked, by a function of it."""
        values = [far(p) for p in self._range(i)]
        found = self.model.new_int_var(min(values), max(values), f"away {i}")
        self.model.add_element(self.at[i] - self.earliest[i], values, found)
        return found

    def least(
        self, goal: Any, effort: Effort, tell: Tell | None = None, stopping: Stopping | None = None
    ) -> Answer | None:
        """Return the plan with the least value of a goal that was found; None where none was."""
        self.model.minimize(goal)
        solver = cp_model.CpSolver()
        solver.parameters.max_deterministic_time = effort.work
        if effort.seconds is not None:
            solver.parameters.max_time_in_seconds = effort.seconds
        solver.parameters.num_workers = effort.workers
        # measured: without relaxations where only the end is asked, with them where bookings are
        solver.parameters.linearization_level = int(self._counts)
        solver.parameters.random_seed = SEED
        watch = _Watch(solver, stopping)
        status = solver.solve(self.model, _Told(tell) if tell else None)
        watch.end()
        if status not in (cp_model.OPTIMAL, cp_model.FEASIBLE):
            return None
        positions = list(self.earliest)
        for i, variable in self.at.items():
            positions[i] = solver.value(variable)
        value = round(solver.objective_value)
        bound = value if status == cp_model.OPTIMAL else round(solver.best_objective_bound)
        return Answer(positions, value, min(bound, value), watch.stopped)


def _step(line: Timeline, stocks: Sequence[Stock], earliest: Sequence[int]) -> int:
    """Return 2 where everything takes whole days of one calendar, so that starts do as well.

    An end in half days is then never sooner: moved to the first place that links and limits
    allow, all of it comes to stand on whole days.
    """
    if not line.network.one_clock:
        return 1
    numbers = [*earliest, *(line.lasts[i] for i in line.open), line.index(line.run.now)]
    numbers += [line.ends(i, 0) for i in range(len(line.network)) if line.states[i] == "done"]
    numbers += [tie.lag for i in line.open for tie in line.ties(i)]
    for stock in stocks:
        if any(take.after for take in stock.takes):
            return 1
        numbers += [edge for a, b, _ in stock.taken for edge in (a, b)]
    return 1 if any(number % 2 for number in numbers) else 2


class _Told(cp_model.CpSolverSolutionCallback):
    def __init__(self, tell: Tell) -> None:
        super().__init__()
        self._tell = tell

    def on_solution_callback(self) -> None:
        self._tell(self.objective_value)


class _Watch:
    """Stops a search from beside it, when somebody says so."""

    def __init__(self, solver: cp_model.CpSolver, stopping: Stopping | None) -> None:
        self.stopped = False
        self._over = threading.Event()
        if stopping is not None:
            threading.Thread(target=self._look, args=(solver, stopping), daemon=True).start()

    def _look(self, solver: cp_model.CpSolver, stopping: Stopping) -> None:
        while not self._over.wait(LOOK):
            if stopping():
                self.stopped = True
                solver.stop_search()

    def end(self) -> None:
        self._over.set()
