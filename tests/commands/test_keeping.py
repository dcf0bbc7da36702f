"""What it costs to have parts early: of a line, a class or the house; refused in words."""

from __future__ import annotations

from decimal import Decimal

import pytest
from tests.answers.demo_house import WRITTEN, answers, facts

from roomwright.answers import Answers
from roomwright.answers.keeping import keeping, limits
from roomwright.answers.order_by import decision
from roomwright.commands import parse
from roomwright.commands.base import BadCommandError
from roomwright.job.entities import Keeping
from roomwright.job.facts import Facts


def after(*said: dict[str, object]) -> Facts:
    state = facts()
    for values in said:
        state = state.changed(parse("set keeping", values).changes(state))
    return state


def test_a_line_goes_before_its_class_and_that_before_the_house() -> None:
    state = after(
        {"rate": "8", "storage": "25", "damage_chance": "1"},
        {"part_class": "RANGE", "price": "$2,600", "damage": "400"},
        {"line": "L019", "storage": "0"},
    )
    found = Answers(state, as_of=WRITTEN).ask(keeping, "L019")
    assert found.costs.cash == pytest.approx(2600 * 0.08 / 365 * 7 / 5)
    assert found.costs.storage == 0
    assert found.costs.damage_chance == pytest.approx(0.01 / 5)
    assert found.costs.early == pytest.approx(2600 * 0.08 / 365 * 7 / 5 + 0.01 / 5 * 400)
    assert found.missing == ()
    assert Answers(state, as_of=WRITTEN).ask(keeping, "L020").missing == ("its price",)


def test_nothing_is_assumed() -> None:
    found = answers().ask(keeping, "L019")
    assert found.costs.early == 0
    assert len(found.missing) == 4
    assert answers().ask(limits) is None


def test_early_cost_makes_it_pay_to_wait() -> None:
    """A receptacle that is needed in months: dear to store, it is ordered later."""
    state = after({"line": "L001", "storage": "100"})
    found = Answers(state, as_of=WRITTEN).ask(decision, "L001", 80, 500)
    assert found is not None
    assert found.wait is not None
    assert found.early_costs == pytest.approx(20)
    assert found.wait.verdict == "wait"
    assert found.wait.money.value == pytest.approx(-100, abs=1)


def test_limits_are_the_houses() -> None:
    state = after({"room_most": 8, "cash_most": "40,000", "receipts_most": 2})
    found = Answers(state, as_of=WRITTEN).ask(limits)
    assert found is not None
    assert (found.room, found.cash, found.handling_a_day) == (8, 40000, 2)
    assert state.get(Keeping, "house").cash_most == Decimal("40000.00")


def test_said_again_it_changes_and_with_nothing_it_goes() -> None:
    state = after({"line": "L019", "price": "2600"}, {"line": "L019", "room": 2})
    held = state.get(Keeping, "line L019")
    assert (held.price, held.room) == (Decimal("2600.00"), 2)
    gone = state.changed(parse("set keeping", {"line": "L019"}).changes(state))
    assert gone.find(Keeping, "line L019") is None


@pytest.mark.parametrize(
    ("said", "says"),
    [
        ({"line": "L999", "price": "1"}, "no line L999"),
        ({"line": "L019", "part_class": "RANGE", "price": "1"}, "not both"),
        ({"line": "L019", "price": "-4"}, "0 or more"),
        ({"line": "L019", "rate": "180"}, "0 to 100"),
        ({"line": "L019", "cash_most": "500"}, "whole house"),
        ({"part_class": "RANGE"}, "say what it costs"),
    ],
)
def test_nonsense_is_refused_in_words(said: dict[str, object], says: str) -> None:
    with pytest.raises(BadCommandError, match=says):
        parse("set keeping", said).changes(facts())
