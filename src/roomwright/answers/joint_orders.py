"""The days on which to order all lines together, where the house gives limits.

Each day of ordering costs what it costs over the futures; room, cash and receiving are then kept by
`roomwright.supply.joint`, with proof or gap. Lines that come on one truck are one delivery: they
stand as one under the first of them, and the house is late by the latest of them, once. What is on
order or on hand already takes its share of the limits.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date
from typing import Any, Final

import numpy as np

from roomwright import schedule
from roomwright.answers import dates
from roomwright.answers.chances import together
from roomwright.answers.engine import Ask, query
from roomwright.answers.futures import Samples
from roomwright.answers.keeping import keeping, limits
from roomwright.answers.order_by import CONFIDENCE, LineAhead, line_ahead
from roomwright.answers.order_by_model import DecisionError
from roomwright.answers.orders import orders
from roomwright.answers.whole_network import whole
from roomwright.days import show_date
from roomwright.job.entities import House
from roomwright.supply.joint import Broken, JointPlan, Limits, Line, plan_orders
from roomwright.supply.waiting import days_caused

EARLIER: Final = 60
"""So far before the day that would just do are order days looked at [working days].

Up to the day of need all are looked at; and all that there are, where no plan is found so.
"""
FUTURES: Final = 2000
"""Futures that weigh each day: as many as tell days apart."""


@dataclass(frozen=True, slots=True)
class OrderPlan:
    """The day to order each line, and those that come with it; what is known of the plan.

    `landings` are the days on which they are planned to land [working-day numbers]. `binding` says
    which limits the lines' own best days break, `notes` what the plan does not know.
    """

    plan: JointPlan
    days: tuple[tuple[str, date, tuple[str, ...]], ...]
    landings: tuple[int, ...]
    binding: tuple[str, ...]
    notes: tuple[str, ...]

    def as_json(self) -> dict[str, Any]:
        """Return the documented fields."""
        return {
            "status": self.plan.status,
            "says": self.plan.text,
            "binding": list(self.binding),
            "notes": list(self.notes),
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
    roomwright.answers.order_by_model.DecisionError
        where nobody has said what a day of the house costs: no day to order is then too late
    """
    bound = ask(limits)
    if bound is None:
        return None
    if not ask.fact(House, "house").cost_per_day:
        raise DecisionError(
            "nobody has said what a day of the house costs, so no order could be too late: say it "
            "first (set house, or cost_per_day in house.toml)"
        )
    trucks, fixed, later = _sorted(ask)
    plan = plan_orders([t.line(EARLIER) for t in trucks], bound, fixed)
    if plan.status == "impossible":
        plan = plan_orders([t.line(None) for t in trucks], bound, fixed)
    calendar = ask(dates.calendar)
    of = {t.id: t for t in trucks}

    def say(broken: Broken) -> str:
        return broken.on(show_date(calendar.date(broken.day), ask.as_of))

    return OrderPlan(
        plan,
        tuple((id, calendar.date(day), of[id].others) for id, day in plan.order),
        tuple(day + of[id].lead for id, day in plan.order),
        tuple(say(b) for b in plan.binding),
        (
            *(f"What is on order or here breaks a limit by itself: {say(b)}" for b in plan.over),
            *_unknown(ask, [n for t in trucks for n in t.ids], bound),
            *_later(later),
        ),
    )


def _sorted(ask: Ask) -> tuple[list[Truck], list[Line], list[str]]:
    """Return what is to be ordered, what is on order or here, and what can't be ordered yet."""
    found = ask(whole)
    seen: set[str] = set()
    trucks: list[Truck] = []
    later: list[str] = []
    fixed = list(_here(ask))
    for id, (_, mates) in together(found).items():
        if id in seen:
            continue
        seen |= {id, *mates}
        all_ = [n for i in (id, *mates) if (n := line_ahead(ask, i, FUTURES)) is not None]
        todo = [n for n in all_ if n.to_order]
        told = [(n, found.progress.get(n.way.order, schedule.Progress())) for n in all_]
        coming = [(n, p.finished) for n, p in told if p.finished is not None]
        if todo:
            trucks.append(Truck(ask, todo))
        fixed += [_coming(ask, n, on, first=n is coming[0][0]) for n, on in coming]
        later += [n.way.line for n, p in told if not n.to_order and p.finished is None]
    return trucks, fixed, later


class Truck:
    """Lines to be ordered that come on one truck."""

    def __init__(self, ask: Ask, lines: Sequence[LineAhead]) -> None:
        self.ask, self.lines = ask, lines
        self.ids = tuple(n.way.line for n in lines)
        self.id, *others = self.ids
        self.others = tuple(others)
        self.first = math.ceil(lines[0].now)
        here = np.maximum.reduce([n.here for n in lines])
        self.lead = max(0, math.ceil(float(np.quantile(here, CONFIDENCE / 100)) - lines[0].now))
        needs = [math.floor(float(np.median(n.need))) for n in lines]
        self.soonest, self.latest = min(needs), max(needs)
        self._costs: dict[int, float] = {}

    def cost(self, day: int) -> float:
        """Return what ordering on a day costs on average: late once, each line early for itself."""
        if day not in self._costs:
            landing: dict[int, Samples] = {}  # lines alike in all land alike: one run for them
            late = early = np.zeros(1)
            for n in self.lines:
                if id(n.here) not in landing:
                    landing[id(n.here)] = n.landing(day)
                lands = landing[id(n.here)]
                spare = np.maximum(0.0, n.last - n.need)
                late = np.maximum(late, days_caused(lands, n.need, spare))
                early = early + np.maximum(0.0, n.need - lands) * n.costs.early
            self._costs[day] = float((late * self.lines[0].costs.house + early).mean())
        return self._costs[day]

    def line(self, earlier: int | None) -> Line:
        """Return it for the plan, with days from so many before the one that would just do.

        All days where `earlier` is None. No cheaper day lies before those looked at.
        """
        last = max(self.first, self.latest)
        first = self.first
        while earlier is not None:
            first = max(self.first, min(last, self.soonest - self.lead - earlier))
            if first == self.first or self.cost(first) > min(map(self.cost, range(first, last))):
                break
            earlier *= 2
        kept = [self.ask(keeping, n) for n in self.ids]
        return Line(
            self.id, first, tuple(self.cost(day) for day in range(first, last + 1)), self.lead,
            self.latest,
            room=sum(k.room for k in kept),
            deposit=sum((k.price or 0.0) * k.deposit for k in kept),
            balance=sum((k.price or 0.0) * (1 - k.deposit) for k in kept),
        )  # fmt: skip


def _coming(ask: Ask, line: LineAhead, placed: date, *, first: bool) -> Line:
    """Return a line that is on order; the first of a truck stands for its receiving."""
    kept = ask(keeping, line.way.line)
    on = math.floor(ask(dates.calendar).number(placed))
    lands = math.ceil(float(np.quantile(line.here, CONFIDENCE / 100)))
    price = kept.price or 0.0
    return Line(
        line.way.line, on, (0.0,), max(0, lands - on), math.floor(float(np.median(line.need))),
        kept.room, price * kept.deposit, price * (1 - kept.deposit), handling=int(first),
    )  # fmt: skip


def _here(ask: Ask) -> Iterable[Line]:
    """Yield what is on hand before it is needed: it was received, and takes room and cash."""
    calendar = ask(dates.calendar)
    now = math.floor(calendar.number(ask.as_of))
    for row in ask(orders).lines:
        if row.state.state == "on hand" and row.need is not None and row.need.state == "to do":
            kept = ask(keeping, row.line)
            need = math.floor(calendar.number(row.need.on))
            yield Line(row.line, now, (0.0,), 0, need, kept.room, 0.0, kept.price or 0.0, 0)


def _unknown(ask: Ask, lines: Sequence[str], bound: Limits) -> Iterable[str]:
    """Yield in words what nobody has said about lines to be ordered, where it counts."""
    kept = {n: ask(keeping, n) for n in lines}
    free = [n for n, k in kept.items() if not k.told]
    if free:
        yield (
            f"Nobody has said what it costs to have {_some(free)} early, so nothing is gained by "
            "waiting: ordered as soon as the limits allow"
        )
    unpriced = [n for n, k in kept.items() if k.price is None]
    if bound.cash is not None and unpriced:
        yield f"Nobody has said the price of {_some(unpriced)}: no cash is kept for that"
    roomless = [n for n, k in kept.items() if not k.room]
    if bound.room is not None and roomless:
        yield f"Nobody has said how much room goes to {_some(roomless)}: none is kept for that"


def _later(lines: Sequence[str]) -> Iterable[str]:
    if lines:
        yield (
            f"{_some(lines)} can't be ordered yet (a measure or other work comes first): not in "
            "this plan, and nothing is kept for that"
        )


def _some(lines: Sequence[str]) -> str:
    """Return lines in words, the first few by name.

    >>> _some(["L1", "L2"]), _some(["L1", "L2", "L3", "L4", "L5"])
    ('L1, L2', 'L1, L2, L3 and 2 more')
    """
    more = len(lines) - 3
    return ", ".join(lines[:3]) + (f" and {more} more" if more > 0 else "")
