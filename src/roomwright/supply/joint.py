"""Joint order days under limits of storage, cash and deliveries a day.

Each line alone has its cheapest day to order (`roomwright.supply.waiting.best_day`). Together they
may not fit: the garage is full, the account is empty, two trucks come on one day. Where a limit
binds, orders are moved at the least cost [1]_: a mixed-integer programme solved by HiGHS. The
answer says whether that is proved or how far from proved it is; it is never silent about a gap.

One yes-or-no a line and day says whether the line is ordered *by* that day. So each day's load of a
line is one of them, and its linear relaxation lies near the whole-number optimum; with "ordered on
that day" as the unknown, proof took ten times as long or was not found.

Days are whole working-day numbers of the house. A line lies in storage from the day it lands until
the day it is needed. Its deposit is out from the order until the need, its balance from landing
until the need: on that day the work is done that pays it back. All amounts are the builder's own.

References
----------
.. [1] Dodin, Elimam (2001), "Integrated project scheduling and material planning", IIE
   Transactions 33 (from memory); Said, El-Rayes (2011), J. Construction Eng. and Management 137
   (from memory).
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import Final, Literal

import numpy as np
from scipy import optimize, sparse  # type: ignore[import-untyped]

CENT: Final = 100
"""Cash is counted in whole cents, so that a full account is full."""
SURE: Final = 1e-6
"""As a share of its cost, how far a proved plan may lie above the cheapest."""

OPTIMAL: Final = 0
INFEASIBLE: Final = 2
"""What scipy's `milp` says in its status."""

Status = Literal["proved", "not proved", "impossible", "nothing found"]


class JointError(ValueError):
    """Lines that cannot be used; the message says what to do."""


@dataclass(frozen=True, slots=True)
class Line:
    """A line to order: when it may be, what each day costs, and what it takes up.

    Attributes
    ----------
    id : str
    first : int
        soonest day to order [days]
    costs : tuple of float
        expected cost of ordering on `first`, `first` + 1, ...; the last is the latest day looked
        at [money]
    lead : int
        planned days from order to landing, at the confidence chosen [days]
    need : int
        day of need [days]
    room : int
        storage it takes [any one unit]
    deposit, balance : float
        paid with the order and at landing [money]
    handling : int
        what of a day's receiving it takes [any one unit]
    """

    id: str
    first: int
    costs: tuple[float, ...]
    lead: int
    need: int
    room: int = 0
    deposit: float = 0
    balance: float = 0
    handling: int = 1

    def __post_init__(self) -> None:
        if not self.costs or not all(math.isfinite(c) for c in self.costs):
            raise JointError(f"{self.id}: give the cost of each day on which it could be ordered")
        if min(self.lead, self.room, self.deposit, self.balance, self.handling) < 0:
            raise JointError(f"{self.id}: lead, room, money and handling cannot be below 0")

    @property
    def alone(self) -> int:
        """The cheapest day to order it if it were the only one."""
        return self.first + min(range(len(self.costs)), key=lambda i: self.costs[i])


@dataclass(frozen=True, slots=True)
class Limits:
    """What there is; None where it does not bind [units as in `Line`]."""

    room: int | None = None
    cash: float | None = None
    handling_a_day: int | None = None


@dataclass(frozen=True, slots=True)
class JointPlan:
    """The day to order each line.

    Attributes
    ----------
    status : str
        *proved*: no plan costs less; *not proved*: the best found, at most `gap` from the least;
        *impossible*: no plan keeps the limits; *nothing found* in the effort allowed
    order : tuple of (line, day)
    cost, at_least : float
        cost of this plan and a proved lower bound [money]
    alone : float
        cost if each line were ordered on its own best day, limits or not [money]
    binding : tuple of str
        limits that the lines' own best days break: "room on day 41: 12 of 8"
    """

    status: Status
    order: tuple[tuple[str, int], ...]
    cost: float
    at_least: float
    alone: float
    binding: tuple[str, ...]

    @property
    def gap(self) -> float:
        """How far above the proved bound the plan may lie, as a share of its cost."""
        return (self.cost - self.at_least) / self.cost if self.cost > 0 else 0.0

    @property
    def text(self) -> str:
        """What is known of the plan, in words."""
        if self.status == "impossible":
            return "no order days keep these limits: raise one, or let something come late"
        if self.status == "nothing found":
            return "no plan was found in the effort allowed, nor is it proved that there is none"
        more = f"the limits cost {self.cost - self.alone:,.0f}"
        if self.status == "proved":
            return f"cheapest, proved; {more}" if self.binding else "each on its own best day"
        return f"best found, not proved: up to {self.gap:.0%} from the cheapest; {more}".replace(
            "%", " %"
        )


def plan_orders(
    lines: Iterable[Line], limits: Limits, *, nodes: int = 10_000, seconds: float = 60
) -> JointPlan:
    """Return the cheapest order days that keep the limits, with proof or gap.

    Parameters
    ----------
    lines : iterable of Line
    limits : Limits
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
    """
    todo = list(lines)
    if len({line.id for line in todo}) < len(todo):
        raise JointError("two lines have one id")
    own = {line.id: line.alone for line in todo}
    alone = sum(min(line.costs) for line in todo)
    binding = tuple(_broken(todo, own, limits))
    if not binding:
        return JointPlan("proved", tuple(own.items()), alone, alone, alone, ())
    return _solved(todo, limits, alone, binding, nodes, seconds)


def loads(lines: Iterable[Line], order: dict[str, int], day: int) -> tuple[int, float, int]:
    """Return the room taken, the cash out and the handling on a day, for a plan."""
    room, cash, handling = 0, 0.0, 0
    for line in lines:
        placed = order[line.id]
        landed = placed + line.lead
        handling += line.handling * (landed == day)
        room += line.room * (landed <= day < line.need)
        cash += line.deposit * (placed <= day < line.need)
        cash += line.balance * (landed <= day < line.need)
    return room, cash, handling


def _broken(lines: Sequence[Line], order: dict[str, int], limits: Limits) -> Iterable[str]:
    """Return the first day on which each limit is broken, in words."""
    if not lines:
        return
    days = range(
        min(order.values()), max(max(order[n.id] + n.lead + 1, n.need) for n in lines)
    )  # fmt: skip
    told = ("room", limits.room), ("cash", limits.cash), ("receiving", limits.handling_a_day)
    for place, (name, most) in enumerate(told):
        if most is None:
            continue
        for day in days:
            load = loads(lines, order, day)[place]
            if load > most:
                yield f"{name} on day {day}: {load:g} of {most:g}"
                break


class _Programme:
    """The mixed-integer programme: column `start[i] + d` says "line i is ordered by its day d".

    By its last day every line is ordered, so that day has no column.
    """

    def __init__(self, lines: Sequence[Line], limits: Limits) -> None:
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
            self._limit(day, limits)

    def _by(self, i: int, day: int) -> tuple[int | None, float]:
        """Whether line i is ordered by a day: a column, or what is known."""
        d = day - self.lines[i].first
        if d < 0:
            return None, 0
        if d >= len(self.lines[i].costs) - 1:
            return None, 1
        return self.start[i] + d, 0

    def _limit(self, day: int, limits: Limits) -> None:
        """Each limit on a day, over the lines that may take from it on that day."""
        room: list[tuple[int, int, float]] = []
        cash: list[tuple[int, int, float]] = []
        handling: list[tuple[int, int, float]] = []
        for i, line in enumerate(self.lines):
            landed = day - line.lead
            handling += [(i, landed, line.handling), (i, landed - 1, -line.handling)]
            if day < line.need:
                room.append((i, landed, line.room))
                cash += [(i, day, _cents(line.deposit)), (i, landed, _cents(line.balance))]
        for terms, most in (
            (room, limits.room),
            (cash, None if limits.cash is None else _floor_cents(limits.cash)),
            (handling, limits.handling_a_day),
        ):
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
    lines: Sequence[Line], limits: Limits, alone: float, binding: tuple[str, ...],
    nodes: int, seconds: float,
) -> JointPlan:  # fmt: skip
    programme = _Programme(lines, limits)
    found = None if programme.impossible else programme.solve(nodes, seconds)
    if found is None or found.status == INFEASIBLE:
        return JointPlan("impossible", (), math.inf, math.inf, alone, binding)
    plans = [] if found.x is None else [programme.order(found.x)]
    begin = None if found.status == OPTIMAL else _one_by_one(lines, limits)
    plans += [] if begin is None else [begin]
    if not plans:
        return JointPlan("nothing found", (), math.inf, alone, alone, binding)
    order = min(plans, key=lambda o: _paid(lines, o))
    paid = _paid(lines, order)
    if found.status == OPTIMAL:
        return JointPlan("proved", tuple(order.items()), paid, paid, alone, binding)
    at_least = alone if found.mip_dual_bound is None else programme.latest + found.mip_dual_bound
    return JointPlan(
        "not proved", tuple(order.items()), paid, min(paid, max(at_least, alone)), alone, binding
    )


def _paid(lines: Sequence[Line], order: dict[str, int]) -> float:
    return sum(line.costs[order[line.id] - line.first] for line in lines)


def _one_by_one(lines: Sequence[Line], limits: Limits) -> dict[str, int] | None:
    """Return a plan to begin with: each line on its cheapest day that still keeps the limits.

    Those come first that lose most by moving. None where one finds no day.
    """
    most = limits.room, limits.cash, limits.handling_a_day
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
                limit is None or not own[d][k] or load[k] <= limit
                for d, load in with_it.items()
                for k, limit in enumerate(most)
            ):
                taken.update(with_it)  # type: ignore[arg-type]
                order |= one
                break
        else:
            return None
    return order


def _cents(amount: float) -> int:
    return math.ceil(amount * CENT - 1e-6)


def _floor_cents(amount: float) -> int:
    return math.floor(amount * CENT + 1e-6)
