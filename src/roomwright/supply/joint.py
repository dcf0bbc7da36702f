"""Joint order days under limits of storage, cash and deliveries a day.

Each line alone has its cheapest day to order (`roomwright.supply.waiting.best_day`). Together they
may not fit: the garage is full, the account is empty, two trucks come on one day. Where a limit
binds, OR-Tools CP-SAT moves orders at the least cost [1]_. The answer says whether that is proved
or how far from proved it is; it is never silent about a gap.

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
from typing import Any, Final, Literal

CENT: Final = 100
"""The solver counts whole cents."""
ROUNDING: Final = 1
"""So many cents a line may a proved plan lie above the cheapest: rounding."""

Status = Literal["proved", "not proved", "impossible", "nothing found"]


class JointError(ValueError):
    """Lines or limits that cannot be used, or no solver; the message says what to do."""


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
        *proved*: no plan costs less, to a cent a line; *not proved*: the best found, at most
        `gap` from the least;
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
    lines: Iterable[Line], limits: Limits, *, effort: float = 3.0, workers: int = 1
) -> JointPlan:
    """Return the cheapest order days that keep the limits, with proof or gap.

    Parameters
    ----------
    lines : iterable of Line
    limits : Limits
    effort : float
        most work of the solver, in its own deterministic seconds: same inputs, same answer
    workers : int
        threads; more than one in step with each other, so that the answer stays the same

    Raises
    ------
    JointError
        for two lines of one id, or where limits bind and OR-Tools cannot be loaded

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
    return _solved(todo, limits, alone, binding, effort, workers)


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


def _solver() -> Any:
    try:
        from ortools.sat.python import cp_model  # a large package: loaded where a limit binds
    except ImportError as missing:
        raise JointError(
            "the limits bind, and OR-Tools, which finds order days under limits, cannot be loaded "
            f"({missing}): install it, or lift the limit"
        ) from None
    return cp_model


def _solved(
    lines: Sequence[Line], limits: Limits, alone: float, binding: tuple[str, ...],
    effort: float, workers: int,
) -> JointPlan:  # fmt: skip
    cp = _solver()
    begin = _one_by_one(lines, limits) or {}
    model = cp.CpModel()
    # No line can lose more than the whole plan to begin with loses: other days drop out.
    most_lost = _paid(lines, begin) - alone if begin else math.inf
    chosen: dict[str, dict[int, Any]] = {}
    bills, bounded = [], (limits.room, limits.cash, limits.handling_a_day)
    taken: tuple[dict[int, list[Any]], ...] = ({}, {}, {})
    for line in lines:
        least = min(line.costs)
        days = {
            line.first + i: model.new_bool_var("")
            for i, c in enumerate(line.costs)
            if c - least <= most_lost + 1 / CENT
        }
        chosen[line.id] = days
        model.add_exactly_one(list(days.values()))
        for placed, here in days.items():
            bills.append(round(line.costs[placed - line.first] * CENT) * here)
            model.add_hint(here, placed == begin.get(line.id, line.alone))
            landed = placed + line.lead
            for day in range(placed, max(line.need, landed + 1)):
                load = loads([line], {line.id: placed}, day)
                for into, amount, most in zip(taken, load, bounded, strict=True):
                    if amount and most is not None:
                        into.setdefault(day, []).append(_cents(amount) * here)
    for held, most in zip(taken, bounded, strict=True):
        for terms in held.values():
            model.add(sum(terms) <= _floor_cents(most or 0))
    model.minimize(sum(bills))
    solver = cp.CpSolver()
    solver.parameters.max_deterministic_time = effort
    solver.parameters.num_workers = workers
    solver.parameters.interleave_search = workers > 1
    solver.parameters.random_seed = 1
    status = solver.solve(model)
    bound = (solver.best_objective_bound - ROUNDING * len(lines)) / CENT
    if status == cp.INFEASIBLE:
        return JointPlan("impossible", (), math.inf, math.inf, alone, binding)
    found = status in (cp.OPTIMAL, cp.FEASIBLE)
    if not found and not begin:
        return JointPlan("nothing found", (), math.inf, alone, alone, binding)
    order = begin
    if found:
        order = {
            id: next(d for d, here in days.items() if solver.value(here))
            for id, days in chosen.items()
        }
    if begin and status != cp.OPTIMAL:
        order = min(order, begin, key=lambda o: _paid(lines, o))
    paid = _paid(lines, order)
    if status == cp.OPTIMAL:
        return JointPlan("proved", tuple(order.items()), paid, paid, alone, binding)
    return JointPlan(
        "not proved", tuple(order.items()), paid, min(paid, max(bound, alone)), alone, binding
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
