"""Order-by, waiting, expediting, chasing, answers to a slip: by brute force and definition."""

from __future__ import annotations

from datetime import date

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from roomwright.days import Calendar
from roomwright.schedule import Activity, Link, Network, passes
from roomwright.supply.chains import Plan, lead_chain, merged
from roomwright.supply.decide import (
    SamplesError,
    each_of,
    order_by_at,
    order_by_calendar,
    order_visit,
    say_together,
)
from roomwright.supply.waiting import (
    Costs,
    Option,
    Promise,
    answer_slip,
    best_day,
    cost,
    days_caused,
    estimate,
    order_or_wait,
    to_chase,
    value_of_expediting,
)

HOUSE = Calendar(date(2027, 3, 1))
futures = st.lists(st.integers(0, 60), min_size=1, max_size=40)


@settings(deadline=None)
@given(futures, futures, st.floats(0.01, 0.99))
def test_order_by_is_the_last_day_that_keeps_the_confidence(
    needs: list[int], leads: list[int], q: float
) -> None:
    n = min(len(needs), len(leads))
    need, lead = np.array(needs[:n]), np.array(leads[:n])
    found = order_by_at(need, lead, q)
    assert np.mean(found.day + lead <= need) >= q - 1e-12
    assert np.mean(found.day + 1 + lead <= need) < q
    assert found.confidence == np.mean(found.day + lead <= need)
    assert found.day_low <= found.day <= found.day_high
    same = order_by_calendar(need, lambda day: day + lead, q, -100, 100)
    assert same is not None
    assert (same.day, same.confidence) == (found.day, found.confidence)


def test_too_late_already() -> None:
    assert order_by_calendar(5, lambda day: [day + 10.0], 0.8, 0, 9) is None


def test_standard_error_covers_the_truth() -> None:
    """[C] The true share at the day found lies within two errors about 95 times of 100."""
    inside = 0
    pick = np.random.default_rng(2)
    truth = np.sort(pick.gamma(9, 5, 400_000))
    for _ in range(300):
        found = order_by_at(200, pick.gamma(9, 5, 1000), 0.9)
        share = np.searchsorted(truth, 200 - found.day, side="right") / len(truth)
        inside += abs(found.confidence - share) < 2 * found.error
    assert 270 <= inside <= 298


def test_days_caused_is_what_the_passes_say() -> None:
    """For one late part, max(0, lateness - float) is the move of the finish."""
    site = Network(
        [Activity("A", 5), Activity("B", 3), Activity("C", 9), Activity("END", 0)],
        [Link("A", "B"), Link("B", "END"), Link("C", "END")],
    )
    chain = lead_chain("L", "B", Plan())
    plain = passes(merged(site, [chain]), HOUSE)
    for lands in range(15):
        late = passes(merged(site, [chain]), HOUSE, not_before={chain.arrive: lands})
        want = days_caused(lands, plain["B"].early_start, plain["B"].total_float)
        assert late.working_days - plain.working_days == want[0]


@settings(deadline=None)
@given(futures, futures, st.integers(0, 50), st.integers(1, 200))
def test_best_day_is_the_cheapest_of_all_days(
    needs: list[int], leads: list[int], early: int, house: int
) -> None:
    n = min(len(needs), len(leads))
    need, lead = np.array(needs[:n]), np.array(leads[:n])
    costs = Costs(house=house, storage=early)
    best = best_day(need, lead, costs)
    bill = [cost(day + lead, need, costs).mean() for day in range(-70, 70)]
    assert cost(best + lead, need, costs).mean() <= min(bill) + 1e-9
    assert best_day(need, lead, costs, first=100) == 100


def test_early_that_costs_nothing_is_never_too_early() -> None:
    assert best_day(50, [10, 20, 30], Costs(house=100)) == 20  # none of the futures late


def test_waiting_uses_the_same_futures() -> None:
    pick = np.random.default_rng(8)
    lead = pick.lognormal(3.6, 0.3, 10_000)
    costs = Costs(house=190, storage=10)
    paired = order_or_wait(lead, lead + 5, 45, costs)
    other = pick.lognormal(3.6, 0.3, 10_000)
    unpaired = order_or_wait(lead, other + 5, 45, costs)
    assert paired.money.error < unpaired.money.error / 3
    assert paired.verdict == "order today"
    assert paired.money.value == pytest.approx(
        cost(lead + 5, 45, costs).mean() - cost(lead, 45, costs).mean()
    )
    early = order_or_wait(lead, lead + 5, 300, costs)
    assert early.verdict == "wait"
    assert early.money.value == pytest.approx(-50)
    assert order_or_wait(lead, lead, 45, costs).verdict == "no clear difference"


def test_float_swallows_days_but_not_the_cost_of_early() -> None:
    costs = Costs(house=100, cash=1)
    assert cost([10, 15, 25], 12, costs, spare=5).tolist() == [2, 0, 800]
    assert days_caused(20, 12, -3).tolist() == [8]  # behind already: no float, no double count


def test_expediting_never_lands_before_it_can() -> None:
    sooner = value_of_expediting([20.0, 12.0], 10, 15, Costs(house=100), not_before=11)
    assert sooner.days.value == 5
    assert value_of_expediting([20.0], 10, 0, Costs(house=100)).money.value == 0
    assert value_of_expediting([8.0], 10, 3, Costs(house=1, cash=1), not_before=9).money.value == 0


def test_a_promise_within_float_is_not_worth_a_call() -> None:
    wild = [30.0, 40.0, 60.0]
    ranked = to_chase(
        [Promise("easy", "A", wild, 30, 30, spare=40), Promise("hard", "B", wild, 30, 30)]
    )
    assert [c.line for c in ranked] == ["hard", "easy"]
    assert ranked[1].saved.value == 0
    assert ranked[0].saved.value == pytest.approx(40 / 3)


def test_the_cheapest_answer_and_how_sure() -> None:
    pick = np.random.default_rng(4)
    lands = 30 + pick.gamma(4, 3, 5000)
    found = answer_slip(
        [
            Option("nothing", "wait", lands, 30),
            Option("resequence", "paint first", lands, 36, price=200),
            Option("expedite", "air", lands - 8, 30, price=900),
            Option("expedite", "air by another", lands - 8, 30, price=900.5),
        ],
        Costs(house=150, storage=2),
    )
    means = [a.money.value for a in found]
    assert means == sorted(means)
    bills = {"wait": 0.0, "paint first": 200.0, "air": 900.0, "air by another": 900.5}
    for here in map(float, lands):  # future by future: late at 150 a day, early at 2
        for name, lands_at, need in (
            ("wait", here, 30), ("paint first", here, 36), ("air", here - 8, 30),
            ("air by another", here - 8, 30),
        ):  # fmt: skip
            late = lands_at - need
            bills[name] += (150 * late if late > 0 else -2 * late) / len(lands)
    assert [a.option.name for a in found] == sorted(bills, key=lambda n: bills[n])
    assert found[0].close
    for one in found:
        bill = one.option.price + cost(one.option.landing, one.option.need, Costs(150, storage=2))
        assert one.money.value == pytest.approx(bill.mean())
        assert one.over.value == pytest.approx(one.money.value - found[0].money.value)
    with pytest.raises(SamplesError, match="nothing"):
        answer_slip([Option("expedite", "air", 3, 3)], Costs(house=1))


@pytest.mark.parametrize(
    ("wrong", "says"),
    [
        (lambda: order_by_at([1, 2], [1, 2, 3], 0.8), "as many"),
        (lambda: order_by_at([], [], 0.8), "one number"),
        (lambda: order_by_at([float("nan")], 1, 0.8), "no number"),
        (lambda: order_by_at(1, 1, 1.0), "less than 1"),
        (lambda: each_of(0.9, 0), "1 or more"),
        (lambda: Costs(house=-1), "below 0"),
        (lambda: Costs(house=1, damage_chance=2), "0 to 1"),
    ],
)
def test_bad_input(wrong, says: str) -> None:
    with pytest.raises(SamplesError, match=says):
        wrong()


def test_parts_that_share_their_need_do_better_than_independent_ones() -> None:
    pick = np.random.default_rng(1)
    need = 100 + pick.normal(0, 15, 20_000)  # one site, one need
    leads = [pick.normal(40, 2, 20_000) for _ in range(8)]
    visit = order_visit(need, leads, 0.8)
    assert visit.confidence > 0.8 + 4 * visit.error
    assert say_together(0.95, 10) == "95 % sure of each of 10 parts is 60 % sure of all of them"


def test_estimate_of_one_future_has_no_error() -> None:
    assert estimate([3.0]).error == 0
