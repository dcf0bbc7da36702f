"""Joint order days under limits of storage, cash and deliveries a day.

Each line alone has its cheapest day to order (`roomwright.supply.waiting.best_day`). Together they
may not fit: the garage is full, the account is empty, two trucks come on one day. Where a limit
binds, orders are moved at the least cost [1]_: a mixed-integer program solved by HiGHS. The
answer says whether that is proved or how far from proved it is; it is never silent about a gap.

One yes-or-no a line and day says whether the line is ordered *by* that day. So each day's load of a
line is one of them, and its linear relaxation lies near the whole-number optimum; with "ordered on
that day" as the unknown, proof took ten times as long or was not found.

Days are whole working-day numbers of the house. A line lies in storage from the day it lands until
the day it is needed. Its deposit is out from the order until the need, its balance from landing
until the need: on that day the work is done that pays it back. All amounts are the builder's own.

What is on order or here already takes room, cash and receiving too, and can't be moved. Where that
alone breaks a limit, nothing more is added on that day, and the plan says so.

References
----------
.. [1] Dodin, Elimam (2001), "Integrated project scheduling and material planning", IIE
   Transactions 33 (from memory); Said, El-Rayes (2011), J. Construction Eng. and Management 137
   (from memory).
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import replace
from typing import Final

import numpy as np
from scipy import optimize, sparse  # type: ignore[import-untyped]

from roomwright.supply.joint_model import (
    Broken,
    JointError,
    JointPlan,
    Limits,
    Line,
    cents,
    floor_cents,
    loads,
)

__all__ = ["Broken", "JointError", "JointPlan", "Limits", "Line", "loads", "plan_orders"]

SURE: Final = 1e-6
"""As a share of its cost, how far a proved plan may lie above the cheapest."""

NAMES: Final = "room", "cash", "receiving"
"""The limits, in the order in which loads are told."""
CASH: Final = 1
"""Which of them counts in cents."""

OPTIMAL: Final = 0
INFEASIBLE: Final = 2
"""What scipy's `milp` says in its status."""


def plan_orders(
    lines: Iterable[Line], limits: Limits, fixed: Iterable[Line] = (), *,
    nodes: int = 10_000, seconds: float = 60,
) -> JointPlan:  # fmt: skip
    """Return the cheapest order days that keep the limits, with proof or gap.

    Parameters
    ----------
    lines : iterable of Line
    limits : Limits
    fixed : iterable of Line
        what is on order or here: each on its `first` day, whatever it costs
    nodes : int
        how many branches the search may look at: same inputs, same answer
    seconds : float
        after which it gives up whatever the nodes; only then may the answer depend on the machine,
        and then it is not called proved

    Raises
    ------
    JointError
        for two lines of one id

    Examples
    --------
    Room for one pallet: the cheaper of two moves.

    >>> early = lambda day: tuple(5.0 * (8 - i) if i <= 8 else 100.0 * (i - 8) for i in range(12))
    >>> tile = Line("tile", 0, early(0), lead=10, need=20, room=1)
    >>> wood = Line("wood", 0, tuple(c / 2 for c in early(0)), lead=10, need=20, room=1)
    >>> plan_orders([tile, wood], Limits(room=2)).text
    'each on its own best day'
    >>> plan = plan_orders([tile, wood], Limits(room=1))
    >>> plan.status, dict(plan.order), plan.cost
    ('proved', {'tile': 8, 'wood': 10}, 100.0)

    A cabinet that is here takes the room until day 19: both come then.

    >>> here = Line("cabinet", 0, (0.0,), lead=0, need=19, room=1)
    >>> dict(plan_orders([tile, wood], Limits(room=2), [here]).order)
    {'tile': 8, 'wood': 9}
    """
    todo, held = list(lines), list(fixed)
    if len({line.id for line in (*todo, *held)}) < len(todo) + len(held):
        raise JointError("two lines have one id")
    own = {line.id: line.alone for line in todo}
    alone = sum(min(line.costs) for line in todo)
    there = _There(limits, held)
    over = tuple(there.over(todo))
    binding = tuple(there.broken(todo, own))
    if not binding:
        return JointPlan("proved", tuple(own.items()), alone, alone, alone, (), over)
    return replace(_solved(todo, there, alone, binding, nodes, seconds), over=over)


class _There:
    """What there is on each day, with what is fixed in it.

    Where the fixed alone takes more than there is, its own load stands for the limit: nothing more
    may come on that day.
    """

    def __init__(self, limits: Limits, fixed: Sequence[Line]) -> None:
        self.fixed = fixed
        self.most = limits.room, limits.cash, limits.handling_a_day
        self._order = {line.id: line.first for line in fixed}
        self._taken: dict[int, tuple[int, float, int]] = {}

    def taken(self, day: int) -> tuple[int, float, int]:
        """Return what the fixed takes of room, cash and receiving on a day."""
        if day not in self._taken:
            self._taken[day] = loads(self.fixed, self._order, day)
        return self._taken[day]

    def left(self, k: int, day: int) -> float | None:
        """Return what is left on a day of limit number k; of cash whole cents."""
        most, taken = self.most[k], self.taken(day)[k]
        if most is None:
            return None
        left = floor_cents(most) - cents(taken) if k == CASH else most - taken
        return max(0, left)

    def over(self, lines: Sequence[Line]) -> Iterable[Broken]:
        """Yield the first day from now on which the fixed alone breaks each limit."""
        begin = min((n.first for n in lines), default=None)
        for k, most in enumerate(self.most):
            if most is None or begin is None:
                continue
            ends = (max(n.first + n.lead + 1, n.need) for n in self.fixed)
            for day in range(begin, max(ends, default=begin)):
                if self.taken(day)[k] > most:
                    yield Broken(NAMES[k], day, self.taken(day)[k], most)
                    break

    def broken(self, lines: Sequence[Line], order: dict[str, int]) -> Iterable[Broken]:
        """Yield the first day on which lines break each limit, if ordered on some days."""
        if not lines:
            return
        ends = (max(order[n.id] + n.lead + 1, n.need) for n in lines)
        days = range(min(order.values()), max(ends))
        for k, most in enumerate(self.most):
            for day in days if most is not None else ():
                load, left = loads(lines, order, day)[k], self.left(k, day)
                if left is not None and (cents(load) if k == CASH else load) > left:
                    yield Broken(NAMES[k], day, load + self.taken(day)[k], most or 0)
                    break


class _Program:
    """The mixed-integer program: column `start[i] + d` says "line i is ordered by its day d".

    By its last day every line is ordered, so that day has no column.
    """

    def __init__(self, lines: Sequence[Line], there: _There) -> None:
        self.lines = lines
        days = [len(line.costs) - 1 for line in lines]
        self.start = [0, *np.cumsum(days).tolist()]
        self.costs = np.concatenate([-np.diff(line.costs) for line in lines])
        self.latest = sum(line.costs[-1] for line in lines)
        self.impossible = False
        self._entries: list[tuple[int, int, float]] = []
        self.most: list[float] = []
        for i, n in enumerate(days):
            for d in range(n - 1):  # ordered by one day is ordered by the next
                self._row([(self.start[i] + d, 1.0), (self.start[i] + d + 1, -1.0)], 0)
        ends = [max(n.need, n.first + len(n.costs) + n.lead) for n in lines]
        for day in range(min(n.first for n in lines), max(ends) + 1):
            self._limit(day, there)

    def _by(self, i: int, day: int) -> tuple[int | None, float]:
        """Whether line i is ordered by a day: a column, or what is known."""
        d = day - self.lines[i].first
        if d < 0:
            return None, 0
        if d >= len(self.lines[i].costs) - 1:
            return None, 1
        return self.start[i] + d, 0

    def _limit(self, day: int, there: _There) -> None:
        """Each limit on a day, over the lines that may take from it on that day."""
        room: list[tuple[int, int, float]] = []
        cash: list[tuple[int, int, float]] = []
        handling: list[tuple[int, int, float]] = []
        for i, line in enumerate(self.lines):
            landed = day - line.lead
            handling += [(i, landed, line.handling), (i, landed - 1, -line.handling)]
            if day < line.need:
                room.append((i, landed, line.room))
                cash += [(i, day, cents(line.deposit)), (i, landed, cents(line.balance))]
        for k, terms in enumerate((room, cash, handling)):
            most = there.left(k, day)
            if most is not None:
                told = [(*self._by(i, d), amount) for i, d, amount in terms if amount]
                known = sum(known * amount for _, known, amount in told)
                self._row([(c, a) for c, _, a in told if c is not None], most - known)

    def _row(self, terms: list[tuple[int, float]], most: float) -> None:
        """Hold terms to an amount; an amount that they never reach is left out."""
        if not terms:
            self.impossible = self.impossible or most < 0
        elif sum(max(a, 0.0) for _, a in terms) > most:
            self._entries += [(len(self.most), column, amount) for column, amount in terms]
            self.most.append(most)

    def solve(self, nodes: int, seconds: float) -> optimize.OptimizeResult:
        """Run HiGHS on it."""
        rows, columns, amounts = zip(*self._entries, strict=True)
        table = sparse.csr_array(  # a column may be named twice in a row: these add up
            (amounts, (rows, columns)), shape=(len(self.most), self.start[-1])
        )
        return optimize.milp(
            self.costs,
            integrality=np.ones(self.start[-1]),
            bounds=optimize.Bounds(0, 1),
            constraints=optimize.LinearConstraint(table, -np.inf, self.most),
            options={"node_limit": nodes, "time_limit": seconds, "mip_rel_gap": SURE},
        )

    def order(self, chosen: Sequence[float]) -> dict[str, int]:
        """Return the day of each line from the columns of a solution."""
        by = np.asarray(chosen) > 0.5
        return {
            line.id: line.first + int((~by[self.start[i] : self.start[i + 1]]).sum())
            for i, line in enumerate(self.lines)
        }


def _solved(
    lines: Sequence[Line], there: _There, alone: float, binding: tuple[Broken, ...],
    nodes: int, seconds: float,
) -> JointPlan:  # fmt: skip
    program = _Program(lines, there)
    found = None if program.impossible else program.solve(nodes, seconds)
    if found is None or found.status == INFEASIBLE:
        return JointPlan("impossible", (), math.inf, math.inf, alone, binding)
    plans = [] if found.x is None else [program.order(found.x)]
    begin = None if found.status == OPTIMAL else _one_by_one(lines, there)
    plans += [] if begin is None else [begin]
    if not plans:
        return JointPlan("nothing found", (), math.inf, alone, alone, binding)
    order = min(plans, key=lambda o: _paid(lines, o))
    paid = _paid(lines, order)
    if found.status == OPTIMAL:
        return JointPlan("proved", tuple(order.items()), paid, paid, alone, binding)
    at_least = alone if found.mip_dual_bound is None else program.latest + found.mip_dual_bound
    return JointPlan(
        "not proved", tuple(order.items()), paid, min(paid, max(at_least, alone)), alone, binding
    )


def _paid(lines: Sequence[Line], order: dict[str, int]) -> float:
    return sum(line.costs[order[line.id] - line.first] for line in lines)


def _one_by_one(lines: Sequence[Line], there: _There) -> dict[str, int] | None:
    """Return a plan to begin with: each line on its cheapest day that still keeps the limits.

    Those come first that lose most by moving. None where one finds no day.
    """
    taken: dict[int, tuple[int, float, int]] = {}
    order: dict[str, int] = {}

    def haste(line: Line) -> float:
        return -(sorted(line.costs)[len(line.costs) // 2] - min(line.costs))

    for line in sorted(lines, key=haste):
        for i in sorted(range(len(line.costs)), key=lambda i: line.costs[i]):
            one = {line.id: line.first + i}
            landed = line.first + i + line.lead
            days = range(line.first + i, max(line.need, landed + 1))
            own = {d: loads([line], one, d) for d in days}
            with_it = {
                d: tuple(a + b for a, b in zip(load, taken.get(d, (0, 0.0, 0)), strict=True))
                for d, load in own.items()
            }
            if all(
                left is None or not own[d][k] or (cents(load[k]) if k == CASH else load[k]) <= left
                for d, load in with_it.items()
                for k in range(len(NAMES))
                for left in (there.left(k, d),)
            ):
                taken.update(with_it)  # type: ignore[arg-type]
                order |= one
                break
        else:
            return None
    return order
