"""The days on which to order all lines together, where the house gives limits.

Each line's days cost what they cost over the futures; room, cash and receiving are then kept by
`roomwright.supply.joint`, with proof or gap. Lines that come on one truck are one delivery and
stand as one, under the first of them.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace
from datetime import date
from typing import Any, Final

from roomwright.answers import dates
from roomwright.answers.chances import together
from roomwright.answers.engine import Ask, query
from roomwright.answers.keeping import limits
from roomwright.answers.order_by import to_plan
from roomwright.answers.whole_network import whole
from roomwright.supply.joint import JointPlan, Line, plan_orders

AHEAD: Final = 120
"""So far ahead order days are looked at [working days]."""
FUTURES: Final = 2000
"""Futures that weigh each day: as many as tell days apart."""


@dataclass(frozen=True, slots=True)
class OrderPlan:
    """The day to order each line, and those that come with it; what is known of the plan.

    `landings` are the days on which they are planned to land [working-day numbers].
    """

    plan: JointPlan
    days: tuple[tuple[str, date, tuple[str, ...]], ...]
    landings: tuple[int, ...]

    def as_json(self) -> dict[str, Any]:
        """Return the documented fields."""
        return {
            "status": self.plan.status,
            "says": self.plan.text,
            "binding": list(self.plan.binding),
            "orders": [
                {"line": line, "day": day.isoformat(), "together": list(others)}
                for line, day, others in self.days
            ],
        }


@query("order days under limits")
def order_plan(ask: Ask) -> OrderPlan | None:
    """Return the cheapest days to order all lines that keep the limits; None without limits.

    Raises
    ------
    roomwright.supply.joint.JointError
        where limits bind and the solver is not installed
    """
    bound = ask(limits)
    if bound is None:
        return None
    trucks = together(ask(whole))
    seen: set[str] = set()
    lines: list[Line] = []
    others: dict[str, tuple[str, ...]] = {}
    for id, (_, mates) in trucks.items():
        if id in seen:
            continue
        seen |= {id, *mates}
        found = [n for i in (id, *mates) if (n := to_plan(ask, i, AHEAD, FUTURES)) is not None]
        if found:
            lines.append(_one(found))
            others[found[0].id] = tuple(n.id for n in found[1:])
    plan = plan_orders(lines, bound)
    calendar = ask(dates.calendar)
    lead = {n.id: n.lead for n in lines}
    return OrderPlan(
        plan,
        tuple((line, calendar.date(day), others[line]) for line, day in plan.order),
        tuple(day + lead[line] for line, day in plan.order),
    )


def _one(lines: Iterable[Line]) -> Line:
    """Return lines that come on one truck as one: the soonest need, all of the rest added up."""
    first, *more = lines
    for line in more:
        days = min(len(first.costs), len(line.costs))
        first = replace(
            first,
            costs=tuple(a + b for a, b in zip(first.costs[:days], line.costs[:days], strict=True)),
            need=min(first.need, line.need), room=first.room + line.room,
            deposit=first.deposit + line.deposit, balance=first.balance + line.balance,
        )  # fmt: skip
    return first
