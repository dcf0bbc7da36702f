"""Seeded random networks of any kind for the cross-checks."""

from __future__ import annotations

import random
from datetime import date, timedelta
from fractions import Fraction

from roomwright.days import Calendar
from roomwright.schedule import Activity, Link, Network
from roomwright.schedule.network import KINDS

START = date(2027, 1, 18)
HOUSE = Calendar(
    START, frozenset(range(5)), frozenset({date(2027, 2, 3), date(2027, 2, 8), date(2027, 5, 31)})
)
CREWS = (
    None,
    None,
    Calendar(START, frozenset(range(6))),
    Calendar(START, frozenset({0, 1, 2, 3}), frozenset({START + timedelta(8)})),
    Calendar(START, frozenset(range(7))),
)
SHORT = Calendar(
    START,
    frozenset(range(5)),
    frozenset({date(2027, 2, 3)}),
    frozenset({date(2027, 1, 19), date(2027, 2, 2)}),
    frozenset({4}),
)
"""A house that works Friday mornings only, and two other days until noon."""
SHORT_CREWS = (
    *CREWS,
    Calendar(START, frozenset({0, 1, 2, 3, 4}), half_week=frozenset({2, 5})),
    Calendar(START, frozenset({1, 2, 3}), half_days=frozenset({START + timedelta(1)})),
    Calendar(START, half_week=frozenset(range(7))),
)


def network(
    seed: int,
    *,
    size: tuple[int, int] = (3, 40),
    kinds: tuple[str, ...] = KINDS,
    lags: bool = True,
    elapsed: bool = False,
    crews: bool = False,
    halves: bool = False,
    longest: int = 9,
) -> Network:
    pick = random.Random(seed)
    count = pick.randint(*size)
    activities = [
        Activity(
            f"N{i:03}",
            Fraction(pick.randint(0, 2 * longest), 2),
            calendar=pick.choice(SHORT_CREWS if halves else CREWS) if crews else None,
        )
        for i in range(count)
    ]
    order = list(range(count))
    pick.shuffle(order)
    links = []
    for place in range(1, count):
        for before in pick.sample(range(place), min(place, pick.randint(0, 3))):
            lag = Fraction(pick.randint(-4, 8), 2) if lags and pick.random() < 0.5 else Fraction(0)
            links.append(
                Link(
                    activities[order[before]].id,
                    activities[order[place]].id,
                    pick.choice(kinds),
                    lag,
                    "elapsed" if elapsed and pick.random() < 0.5 else "working",
                )
            )
    return Network(activities, links)
