"""Order decisions: the exact sample quantile and joint plans against general ways."""

from __future__ import annotations

import random
from datetime import date

import numpy as np
from scipy import optimize

from roomwright.days import Calendar
from roomwright.schedule import Activity, Link, Network, passes
from roomwright.supply.chains import Plan, lead_chain, merged
from roomwright.supply.decide import order_by_at
from roomwright.supply.joint import Limits, Line, plan_orders
from roomwright.supply.learning import Belief, Delivery, Open, with_open
from roomwright.supply.waiting import Costs, best_day, cost, order_or_wait

SEED = 2027
LINES, FUTURES = 200, 10_000
_pick = np.random.default_rng(SEED)
NEED = 120 + _pick.normal(0, 6, FUTURES)
LEADS = [_pick.lognormal(3.6, 0.25, FUTURES) for _ in range(LINES)]
COSTS = Costs(house=190, cash=6, storage=4)


def _searched() -> float:
    """The cheapest day by a general one-dimensional search on the mean cost."""
    return sum(
        optimize.minimize_scalar(
            lambda day, lead=lead: float(cost(day + lead, NEED, COSTS).mean()),
            bounds=(0, 120), method="bounded",
        ).x
        for lead in LEADS
    )  # fmt: skip


def _exact() -> float:
    return sum(best_day(NEED, lead, COSTS) for lead in LEADS)


def _lines(count: int) -> list[Line]:
    pick = random.Random(SEED)
    made = []
    for i in range(count):
        need, lead = pick.randint(60, 120), pick.randint(10, 50)
        best = need - lead - pick.randint(2, 10)
        early, late = pick.uniform(1, 9), pick.uniform(60, 200)
        costs = tuple(early * max(0, best - d) + late * max(0, d - best) for d in range(best + 15))
        made.append(Line(f"L{i}", 0, costs, lead, need, pick.randint(1, 4)))
    return made


SITE = Network(
    [Activity(f"A{i}", 1 + i % 4) for i in range(100)],
    [Link(f"A{i}", f"A{i + 1}") for i in range(99)],
)
HOUSE = Calendar(date(2027, 1, 18))
PLAN = Plan({"decide": 1, "submit": 3, "approve": 2, "make": 20, "ship": 3, "receive": 1})
CHAINS = [lead_chain(f"L{i}", f"A{i % 100}", PLAN) for i in range(LINES)]
GUESS = Belief.prior(1.05, 0.25, 4).after([Delivery(20, 22), Delivery(30, 41)])
assert abs(_exact() - _searched()) < LINES

_SIZE = f"{LINES} lines x {FUTURES:,} futures, seed {SEED}"
CASES = [
    ("cheapest order day of each line", _SIZE, 250.0, _exact, "scipy, bounded search", _searched),
    (
        "order-by at 80 % of each line",
        _SIZE,
        None,
        lambda: [order_by_at(NEED, lead, 0.8) for lead in LEADS],
        "",
        None,
    ),
    (
        "today or wait, each line",
        _SIZE,
        None,
        lambda: [order_or_wait(lead, lead + 5, NEED, COSTS) for lead in LEADS],
        "",
        None,
    ),
    (
        "lead chains merged, and both passes",
        f"100 activities and {LINES} lines",
        None,
        lambda: passes(merged(SITE, CHAINS), HOUSE),
        "",
        None,
    ),
    (
        "history with two open orders",
        "lattice of 81 x 81",
        None,
        lambda: with_open(GUESS, [Open(20, 30), Open(40, 20)]).ratio(0.8),
        "",
        None,
    ),
    (
        "joint order days, nothing binds",
        "40 lines",
        None,
        lambda: plan_orders(_lines(40), Limits(room=200, handling_a_day=9)),
        "",
        None,
    ),
]
