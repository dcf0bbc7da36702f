"""The curve of time and cost of seven activities; shortening against trying every choice."""

from __future__ import annotations

import random
from datetime import date
from itertools import product

import pytest
from tests.schedule.random_networks import network

from roomwright.days import Calendar
from roomwright.schedule import Activity, Link, Network, passes
from roomwright.schedule.shortening import ShorteningError, Shorter, shortened, time_cost

HOUSE = Calendar(date(2027, 3, 1))

SEVEN = {
    "A": (8, 6, 14, 4), "B": (4, 1, 4, 1), "C": (8, 8, 24, 4), "D": (10, 5, 24, 3),
    "E": (10, 9, 18, 5), "F": (20, 12, 36, 6), "G": (10, 3, 18, 2),
}  # fmt: skip
"""Normal cost, normal days, crash cost, crash days.

Hendrickson and Au, Project Management for Construction, chapter 11 [from memory].
"""
AFTER = {"C": "AB", "D": "C", "E": "C", "F": "D", "G": "DE"}
CURVE = {
    31: 70, 30: 72.67, 29: 75.33, 28: 78, 27: 80.67, 26: 83.33, 25: 86.33, 24: 89.33, 23: 93.33,
    22: 97.33, 21: 101.33, 20: 105.33, 19: 110, 18: 119, 17: 128,
}  # fmt: skip
"""Least total cost by days, from a linear program written apart from this code [C]."""


def seven() -> tuple[Network, dict[str, Shorter], float]:
    net = Network(
        [Activity(i, row[1]) for i, row in SEVEN.items()],
        [Link(b, a) for a, befores in AFTER.items() for b in befores],
    )
    options = {
        i: Shorter(least, (dear - cheap) / (days - least) if days > least else 0)
        for i, (cheap, days, dear, least) in SEVEN.items()
    }
    return net, options, sum(row[0] for row in SEVEN.values())


def test_time_cost_curve_of_seven_activities() -> None:
    net, options, normal = seven()
    assert passes(net, HOUSE).working_days == 31
    curve = {plan.working_days: round(plan.cost + normal, 2) for plan in time_cost(net, options)}
    assert curve == CURVE


def test_all_shortened_costs_more_than_is_needed() -> None:
    """Everything at its shortest costs 138; the soonest end needs 128 only [C]."""
    net, options, normal = seven()
    assert sum(row[2] for row in SEVEN.values()) == 138
    best = time_cost(net, options)[-1]
    assert (best.working_days, round(best.cost + normal, 2)) == (17, 128)


def test_every_plan_keeps_its_end_by_the_passes() -> None:
    net, options, _ = seven()
    for plan in time_cost(net, options):
        assert passes(net.lasting(plan.days), HOUSE).working_days == plan.working_days
        assert all(options[i].least <= d < net[i].days for i, d in plan.days.items())


@pytest.mark.parametrize("seed", range(30))
def test_shortening_equals_trying_every_choice(seed: int) -> None:
    """All kinds of link: no choice of whole and half days is cheaper for the same end."""
    net = network(11_000 + seed, size=(3, 8), longest=4)
    pick = random.Random(seed)
    can = [a for a in net if a.days >= 1]
    if not can:
        return
    chosen = pick.sample(can, min(3, len(can)))
    options = {a.id: Shorter(a.days - 1, pick.randint(1, 9)) for a in chosen}
    cheapest: dict[float, float] = {}
    for halves in product(range(3), repeat=len(chosen)):
        days = {a.id: a.days - h / 2 for a, h in zip(chosen, halves, strict=True)}
        cost = sum(options[a.id].price * h / 2 for a, h in zip(chosen, halves, strict=True))
        end = passes(net.lasting(days), HOUSE).working_days
        cheapest[end] = min(cost, cheapest.get(end, cost))
    for within in {*cheapest, *(end + 0.5 for end in cheapest)}:
        want = min(cost for end, cost in cheapest.items() if end <= within)
        found = shortened(net, options, within)
        assert found is not None
        assert found.cost == pytest.approx(want)
        assert found.working_days <= within
    assert shortened(net, options, min(cheapest) - 0.5) is None or min(cheapest) == 0


@pytest.mark.parametrize(
    ("options", "words"),
    [
        ({"X": Shorter(1, 1)}, "no activity 'X'"),
        ({"A": Shorter(7, 1)}, "A: at least 7 of 6 days"),
        ({"A": Shorter(-1, 1)}, "at least -1 of 6"),
        ({"A": Shorter(1, -5)}, "a price of -5 a day"),
        ({"A": Shorter(1, float("nan"))}, "a price of nan a day"),
    ],
)
def test_what_cannot_be_is_refused(options: dict[str, Shorter], words: str) -> None:
    with pytest.raises(ShorteningError, match=words):
        shortened(seven()[0], options, 30)


def test_several_calendars_are_refused() -> None:
    net = Network([Activity("A", 1, calendar=Calendar(date(2027, 3, 1), frozenset(range(6))))], [])
    with pytest.raises(ShorteningError, match="one calendar only"):
        time_cost(net, {})
