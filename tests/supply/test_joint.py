"""Joint order days against every combination of days, and their proofs and gaps."""

from __future__ import annotations

import random
from itertools import product

import pytest

from roomwright.supply.joint import Broken, JointError, JointPlan, Limits, Line, loads, plan_orders


def cheapest(lines: list[Line], limits: Limits) -> float | None:
    """Try every combination of days."""
    best = None
    for days in product(*(range(n.first, n.first + len(n.costs)) for n in lines)):
        order = {n.id: d for n, d in zip(lines, days, strict=True)}
        if keeps(lines, order, limits):
            cost = sum(n.costs[d - n.first] for n, d in zip(lines, days, strict=True))
            best = cost if best is None else min(best, cost)
    return best


def keeps(lines: list[Line], order: dict[str, int], limits: Limits) -> bool:
    most = (limits.room, limits.cash, limits.handling_a_day)
    return all(
        limit is None or load <= limit
        for day in range(-5, 150)
        for load, limit in zip(loads(lines, order, day), most, strict=True)
    )


def random_line(pick: random.Random, id: str, *, convex: bool) -> Line:
    n, lead, first = pick.randint(3, 8), pick.randint(0, 6), pick.randint(0, 3)
    best = pick.randint(0, n - 1)
    early, late = pick.randint(1, 9), pick.randint(20, 90)
    costs = [early * max(0, best - i) + late * max(0, i - best) for i in range(n)]
    if not convex:
        costs = [c + pick.choice((0, 15.5)) for c in costs]
    return Line(
        id, first, tuple(map(float, costs)), lead, first + best + lead + pick.randint(-2, 4),
        pick.randint(0, 3), pick.choice((0, 100.0)), pick.choice((0, 250.5)), pick.randint(0, 2),
    )  # fmt: skip


@pytest.mark.parametrize("seed", range(60))
def test_equal_to_trying_everything(seed: int) -> None:
    pick = random.Random(seed)
    lines = [random_line(pick, f"L{i}", convex=seed % 3 > 0) for i in range(pick.randint(2, 4))]
    limits = Limits(
        pick.choice((None, 1, 2, 4)), pick.choice((None, 300.0, 601.0)), pick.choice((None, 1, 2))
    )
    want, found = cheapest(lines, limits), plan_orders(lines, limits)
    if want is None:
        assert found.status == "impossible"
        return
    assert found.status == "proved"
    assert found.cost == pytest.approx(want, abs=1e-6)
    assert found.cost == found.at_least
    assert found.gap == 0
    assert keeps(lines, dict(found.order), limits)
    assert bool(found.binding) == (not keeps(lines, {n.id: n.alone for n in lines}, limits))


def test_some_of_the_random_cases_bind() -> None:
    bound = 0
    for seed in range(60):
        pick = random.Random(seed)
        lines = [random_line(pick, f"L{i}", convex=True) for i in range(4)]
        bound += bool(plan_orders(lines, Limits(2, 601.0, 1)).binding)
    assert bound > 40


def crowd(count: int, seed: int = 3) -> list[Line]:
    pick = random.Random(seed)
    lines = []
    for i in range(count):
        need, lead = pick.randint(60, 120), pick.randint(10, 50)
        best = need - lead - pick.randint(2, 10)
        early, late = pick.uniform(1, 9), pick.uniform(60, 200)
        costs = tuple(
            early * max(0, best - d) + late * max(0, d - best) for d in range(0, best + 15)
        )
        lines.append(Line(f"L{i}", 0, costs, lead, need, pick.randint(1, 4), 0, 0, 1))
    return lines


@pytest.mark.parametrize(
    ("count", "limits"),
    [(60, Limits(room=18, handling_a_day=3)), (100, Limits(room=30, handling_a_day=4))],
)
def test_a_hundred_lines_are_proved(count: int, limits: Limits) -> None:
    lines = crowd(count, seed=2027)
    found = plan_orders(lines, limits)
    assert found.status == "proved"
    assert found.binding
    assert found.cost > found.alone
    assert keeps(lines, dict(found.order), limits)


def test_a_plan_that_is_not_proved_says_so() -> None:
    lines = crowd(60)
    limits = Limits(room=10, handling_a_day=2)
    found = plan_orders(lines, limits, nodes=0)
    assert found.status == "not proved"
    assert found.alone <= found.at_least <= found.cost
    assert 0 < found.gap <= 1
    assert "not proved: up to" in found.text
    assert keeps(lines, dict(found.order), limits)
    proved = plan_orders(lines, limits)
    assert proved.status == "proved"
    assert found.at_least - 1e-6 <= proved.cost <= found.cost


def test_nothing_found_is_not_called_impossible() -> None:
    found = plan_orders(crowd(60), Limits(room=8, handling_a_day=1), nodes=0, seconds=0)
    assert found.status == "nothing found"
    assert "nor is it proved" in found.text
    assert found.order == ()


def test_the_same_twice() -> None:
    lines = crowd(20)
    limits = Limits(room=6, handling_a_day=1)
    assert plan_orders(lines, limits) == plan_orders(lines, limits)


@pytest.mark.parametrize(
    ("wrong", "says"),
    [
        (lambda: Line("A", 0, (), 1, 5), "cost of each day"),
        (lambda: Line("A", 0, (1.0, float("nan")), 1, 5), "cost of each day"),
        (lambda: Line("A", 0, (1.0,), -1, 5), "below 0"),
        (lambda: plan_orders([Line("A", 0, (1.0,), 1, 5)] * 2, Limits()), "two lines"),
    ],
)
def test_bad_input(wrong, says: str) -> None:
    with pytest.raises(JointError, match=says):
        wrong()


def test_nothing_to_order() -> None:
    assert plan_orders([], Limits(room=0)).status == "proved"


# --- what is on order or here already --------------------------------------------------------


def load_of(line: Line, day: int, of: int) -> tuple[int, int, int]:
    """Return room, cents and receiving that a line ordered on `day` takes on day `of`."""
    landed = day + line.lead
    stands, out = landed <= of < line.need, day <= of < line.need
    paid = round(100 * line.deposit) * out + round(100 * line.balance) * stands
    return line.room * stands, paid, line.handling * (landed == of)


def cheapest_beside(lines: list[Line], fixed: list[Line], limits: Limits) -> float | None:
    """Try every combination; on a day that the fixed alone overfills, nothing may be added."""
    cash = None if limits.cash is None else round(100 * limits.cash)
    best = None
    for days in product(*(range(n.first, n.first + len(n.costs)) for n in lines)):
        good = True
        for of in range(60):
            held = [load_of(n, n.first, of) for n in fixed]
            more = [load_of(n, d, of) for n, d in zip(lines, days, strict=True)]
            for k, most in enumerate((limits.room, cash, limits.handling_a_day)):
                added, there = sum(m[k] for m in more), sum(h[k] for h in held)
                good &= most is None or added <= max(0, most - there)
        if good:
            cost = sum(n.costs[d - n.first] for n, d in zip(lines, days, strict=True))
            best = cost if best is None else min(best, cost)
    return best


@pytest.mark.parametrize("seed", range(100, 140))
def test_what_is_on_order_takes_its_share(seed: int) -> None:
    pick = random.Random(seed)
    lines = [random_line(pick, f"L{i}", convex=True) for i in range(pick.randint(2, 3))]
    fixed = [
        Line(f"F{i}", pick.randint(-5, 5), (0.0,), pick.randint(0, 8), pick.randint(4, 20),
             pick.randint(0, 2), pick.choice((0, 100.25)), pick.choice((0, 99.1)))
        for i in range(3)
    ]  # fmt: skip
    limits = Limits(
        pick.choice((None, 2, 4)), pick.choice((None, 601.0, 900.0)), pick.choice((None, 1, 2))
    )
    want, found = cheapest_beside(lines, fixed, limits), plan_orders(lines, limits, fixed)
    if want is None:
        assert found.status == "impossible"
        return
    assert found.status == "proved"
    assert found.cost == pytest.approx(want, abs=1e-6)
    assert {line for line, _ in found.order} == {n.id for n in lines}


def test_two_trucks_on_the_way_and_receiving_for_one() -> None:
    """They come on day 12 whatever is done: told, and the third comes on the day before."""
    trucks = [Line(f"F{i}", 2, (0.0,), 10, 14) for i in range(2)]
    tile = Line("tile", 0, (6.0, 3.0, 0.0, 50.0), lead=10, need=12)
    found = plan_orders([tile], Limits(handling_a_day=1), trucks)
    assert found.over == (Broken("receiving", 12, 2, 1),)
    assert found.binding == (Broken("receiving", 12, 3, 1),)
    assert (found.status, found.order, found.cost) == ("proved", (("tile", 1),), 3.0)


def test_cash_is_counted_in_cents() -> None:
    """0.1 and 0.2 fill an account of 0.3 and no more, though their sum as floats is above it."""
    lines = [Line("a", 0, (1.0,), 1, 5, deposit=0.1), Line("b", 0, (1.0,), 1, 5, deposit=0.2)]
    found = plan_orders(lines, Limits(cash=0.3))
    assert (found.status, found.text) == ("proved", "each on its own best day")
    assert plan_orders(lines, Limits(cash=0.29)).status == "impossible"


def test_without_a_plan_the_gap_is_not_a_number_of_percent() -> None:
    nothing = JointPlan("nothing found", (), float("inf"), 1.0, 1.0, ())
    assert nothing.gap == float("inf")
