"""Order days of the demo under limits: kept, and free where nothing binds."""

from __future__ import annotations

from collections import Counter

import pytest
from tests.answers.demo_house import WRITTEN, answers, facts

from roomwright.answers import Answers
from roomwright.answers import joint_orders as of
from roomwright.answers.joint_orders import order_plan
from roomwright.commands import parse


@pytest.fixture(autouse=True)
def few(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(of, "FUTURES", 200)
    monkeypatch.setattr(of, "AHEAD", 60)


def given(*said: dict[str, object]) -> Answers:
    state = facts()
    for values in said:
        state = state.changed(parse("set keeping", values).changes(state))
    return Answers(state, as_of=WRITTEN)


def test_without_limits_there_is_no_plan() -> None:
    assert answers().ask(order_plan) is None


def test_wide_limits_leave_each_on_its_own_best_day() -> None:
    found = given({"storage": "20", "room_most": 1000}).ask(order_plan)
    assert found is not None
    assert found.plan.status == "proved"
    assert found.plan.text == "each on its own best day"
    days = {line: day for line, day, _ in found.days}
    assert days["L019"] == days["L020"] == WRITTEN  # too late already: today
    assert max(days.values()) > WRITTEN  # dear to store: not before it is needed


def test_one_delivery_a_day_is_kept() -> None:
    found = given({"storage": "20", "receipts_most": 1}).ask(order_plan)
    assert found is not None
    assert found.plan.binding
    assert found.plan.status in ("proved", "not proved")
    assert found.plan.cost >= found.plan.alone
    landed = Counter(found.landings)
    assert max(landed.values()) == 1
