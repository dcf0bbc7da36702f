"""The cheapest way to be done sooner: which work to shorten by how much, and what that costs.

Each activity that can be shortened has a least duration and a price for each day it is shortened
by. For a given end the cheapest choice is a linear program: starts and durations are its unknowns,
links its rows. Shortening what looks cheapest on the critical path, day by day, is not the same: it
can pay to shorten two activities on two paths, and lengthen another again [1]_.

References
----------
.. [1] Hendrickson and Au, Project Management for Construction (free online), chapter 11, on the
   trade-off of time and cost.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any, Final

import numpy as np
from scipy.optimize import linprog  # type: ignore[import-untyped]
from scipy.sparse import coo_array  # type: ignore[import-untyped]

from roomwright.days import TICKS_A_DAY, Number, ticks
from roomwright.schedule.network import Network, NetworkError

SLACK: Final = 1e-7


@dataclass(frozen=True, slots=True)
class Shorter:
    """An activity can be done in as few as `least` days, at `price` for each day saved."""

    least: Number
    price: float


@dataclass(frozen=True, slots=True)
class Shortened:
    """A plan: when it is done, what it costs more, and the days of what is shorter."""

    working_days: float
    cost: float
    days: Mapping[str, float]


class ShorteningError(NetworkError):
    """A network or a wish that cannot be shortened so; `problems` say why."""


def shortened(network: Network, options: Mapping[str, Shorter], within: Number) -> Shortened | None:
    """Return the cheapest plan that is done within so many working days, or None: none is.

    Parameters
    ----------
    network : Network
        on one calendar and without elapsed lags
    options : mapping of activity id to Shorter
        what can be shortened; the rest takes its days
    within : int, float or Fraction
        working days from the start to the end of all [days], whole or half

    Raises
    ------
    ShorteningError
        for prices or days that cannot be, unknown activities, several calendars

    Examples
    --------
    >>> from roomwright.schedule.network import Activity, Link
    >>> bath = Network([Activity("tile", 6), Activity("glass", 3)], [Link("tile", "glass")])
    >>> shortened(bath, {"tile": Shorter(4, 200.0)}, 8)
    Shortened(working_days=8.0, cost=200.0, days={'tile': 5.0})
    >>> shortened(bath, {"tile": Shorter(4, 200.0)}, 6) is None
    True
    """
    found = _Program(network, options).solve(ticks(within))
    if found is None:
        return None
    cost, lasts, end = found
    days = {
        a.id: float(lasts[i]) / TICKS_A_DAY
        for i, a in enumerate(network)
        if network.lasts[i] - lasts[i] > SLACK
    }
    return Shortened(end / TICKS_A_DAY, cost, days)


def time_cost(network: Network, options: Mapping[str, Shorter]) -> tuple[Shortened, ...]:
    """Return the cheapest plan for each end, day by day from the planned one to the soonest.

    >>> from roomwright.schedule.network import Activity
    >>> [(p.working_days, p.cost) for p in time_cost(Network([Activity("A", 3)]),
    ...                                              {"A": Shorter(1, 50.0)})]
    [(3.0, 0.0), (2.0, 50.0), (1.0, 100.0)]
    """
    program = _Program(network, options)
    ends = [program.soonest(shortest) for shortest in (False, True)]
    if ends[0] is None or ends[1] is None:
        return ()
    steps = range(ends[0], ends[1] - 1, -TICKS_A_DAY)
    halves = [*steps, ends[1]] if steps and steps[-1] != ends[1] else list(steps)
    plans = (shortened(network, options, half / TICKS_A_DAY) for half in halves)
    return tuple(plan for plan in plans if plan is not None)


class _Program:
    """The linear program of a network: unknowns are starts, durations and the end, in ticks."""

    def __init__(self, network: Network, options: Mapping[str, Shorter]) -> None:
        problems = [f"no activity {id!r} to shorten" for id in options if id not in network.index]
        if not network.one_clock:
            problems.append("crews of their own days or elapsed lags: shorten on one calendar only")
        for id, option in options.items():
            if id in network.index and not 0 <= option.least <= network[id].days:
                problems.append(
                    f"{network[id].title}: at least {option.least} of {network[id].days} days"
                )
            if not 0 <= option.price < 1e12:
                problems.append(f"{id}: a price of {option.price} a day: use 0 or more")
        if problems:
            raise ShorteningError(problems)
        self.network, count = network, len(network)
        self.least = np.array(network.lasts, float)
        price = np.zeros(count)
        for id, option in options.items():
            self.least[network.index[id]] = ticks(option.least)
            price[network.index[id]] = option.price / TICKS_A_DAY
        self.price = price
        self.rows, self.right = self._rows()

    def _rows(self) -> tuple[Any, np.ndarray[tuple[int], np.dtype[np.float64]]]:
        """Return the links and the end as rows of ``A x <= b``; x is starts, durations, end."""
        count = len(self.network)
        cells: list[tuple[int, int, float]] = []
        right: list[float] = []
        for j, ties in enumerate(self.network.before):
            for tie in ties:
                row = len(right)
                cells += [(row, tie.other, 1.0), (row, j, -1.0)]
                if not tie.from_start:
                    cells.append((row, count + tie.other, 1.0))
                if not tie.into_start:
                    cells.append((row, count + j, -1.0))
                right.append(-float(tie.lag))
        for i in range(count):
            row = len(right)
            cells += [(row, i, 1.0), (row, count + i, 1.0), (row, 2 * count, -1.0)]
            right.append(0.0)
        where = np.array([c[:2] for c in cells], int).reshape(-1, 2).T
        values = np.array([c[2] for c in cells], float)
        shape = (len(right), 2 * count + 1)
        return coo_array((values, (where[0], where[1])), shape=shape), np.array(right)

    def solve(
        self, within: int
    ) -> tuple[float, np.ndarray[tuple[int], np.dtype[np.float64]], float] | None:
        """Return the cost, the durations and the end of the cheapest plan within so many ticks.

        Among plans of one cost an early end is taken.
        """
        count = len(self.network)
        full = np.array(self.network.lasts, float)
        aim = np.concatenate([np.zeros(count), -self.price, [1e-6]])
        bounds = [(0.0, None)] * count
        bounds += list(zip(self.least, full, strict=True))
        found = linprog(
            aim, self.rows, self.right, bounds=[*bounds, (0.0, float(within))], method="highs"
        )
        if not found.success:
            return None
        lasts = found.x[count : 2 * count]
        return float(self.price @ (full - lasts)), lasts, float(found.x[-1])

    def soonest(self, shortest: bool) -> int | None:
        """Return the least end with all work as planned, or as short as it may be, in ticks."""
        count = len(self.network)
        full = np.array(self.network.lasts, float)
        aim = np.concatenate([np.zeros(2 * count), [1.0]])
        low = self.least if shortest else full
        bounds = [(0.0, None)] * count + list(zip(low, full, strict=True)) + [(0.0, None)]
        found = linprog(aim, self.rows, self.right, bounds=bounds, method="highs")
        return round(found.x[-1]) if found.success else None
