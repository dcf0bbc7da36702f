"""Order days of the demo under limits: kept, and free where nothing binds."""

from __future__ import annotations

import re
from collections import Counter
from datetime import date
from fractions import Fraction

import pytest
from tests.answers.a_glass_house import glass_house
from tests.answers.demo_house import WRITTEN, answers, facts

from roomwright.answers import Answers, dates
from roomwright.answers import joint_orders as of
from roomwright.answers.futures import futures
from roomwright.answers.joint_orders import order_plan
from roomwright.answers.order_by_model import DecisionError
from roomwright.commands import parse
from roomwright.job.entities import House
from roomwright.job.facts import Change


@pytest.fixture(autouse=True)
def few(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(of, "FUTURES", 200)


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
    """The range and the hood are both to be ordered at once: one of them waits a day or more."""
    wide = given({"storage": "20", "receipts_most": 50}).ask(order_plan)
    found = given({"storage": "20", "receipts_most": 1}).ask(order_plan)
    assert found is not None
    assert wide is not None
    assert max(Counter(wide.landings).values()) > 1
    assert found.binding
    assert not re.search(r"day \d", found.binding[0]), "a date, no number of a day"
    assert found.plan.status == "proved"
    assert wide.plan.cost == pytest.approx(found.plan.alone)
    assert found.plan.cost > wide.plan.cost
    assert max(Counter(found.landings).values()) == 1


# --- a small house, worked out by hand or by a plain loop ----------------------------------------

CLASSES = (
    "class,name,needed_by,lead_weeks_low,lead_weeks_high,basis\n"
    "OAK,Oak floor,FLOOR,1,3,a guess\nPANEL,Shower glass,GLASS,2,4,a guess\n"
)
WORK = (
    "activity,name,days_likely,trade,rooms,not_before\nTILE,Tile shower,10,tile,1,\n"
    "GLASS,Set glass,1,glazier,1,\nFLOOR,Lay oak,5,floors,1,{}\nDONE,Move in,0,,1,\n"
)
LINKS = "before,after\nTILE,GLASS\nGLASS,DONE\nFLOOR,DONE\n"


def small(
    *said: dict[str, object], floor: str = "2027-06-01", a_day: int | None = 300, **texts: str
) -> Answers:
    """Three lines of oak for one floor, and what is said of keeping them."""
    given = {
        "activities": WORK.format(floor), "links": LINKS, "classes": CLASSES,
        "parts": "line,room,class,qty\nL1,1,OAK,2\nL2,1,OAK,10\nL3,1,OAK,4\n",
        "steps": "class,line,step\n", "measures": "class,line,after\n", **texts,
    }  # fmt: skip
    state = glass_house(**given).facts
    house = state.get(House, "house")
    told = house.model_copy(update={"cost_per_day": a_day and Fraction(a_day)})
    state = state.changed([Change("house", "house", house, told)])
    for values in said:
        state = state.changed(parse("set keeping", values).changes(state))
    return Answers(state, as_of=WRITTEN)


def best_alone(house: Answers, early: float, late: float) -> tuple[int, float]:
    """Return the cheapest day for all three lines on one truck, one future after the other."""
    ahead = house.ask(futures, 200)
    calendar = house.ask(dates.calendar)
    now = calendar.number(WRITTEN)
    lines = ("L1", "L2", "L3")
    told = {
        n: [list(map(float, side[n])) for side in (ahead.lands, ahead.need, ahead.last)]
        for n in lines
    }
    costs = {}
    for day in range(int(now), int(max(told["L1"][1])) + 1):
        total = 0.0
        for k in range(200):
            latest = 0.0
            for n in lines:
                lands, need, last = (side[k] for side in told[n])
                lands += day - now
                latest = max(latest, lands - max(last, need))
                total += early * max(0.0, need - lands)
            total += late * latest
        costs[day] = total / 200
    day = min(costs, key=lambda d: costs[d])
    return day, costs[day]


def test_the_house_is_late_once_for_a_truck() -> None:
    house = small({"storage": "50", "room_most": 1000})
    found = house.ask(order_plan)
    assert found is not None
    day, cost = best_alone(house, early=10, late=300)
    assert [(n, others) for n, _, others in found.days] == [("L1", ("L2", "L3"))]
    assert house.ask(dates.calendar).number(found.days[0][1]) == day
    assert found.plan.cost == pytest.approx(cost)


def test_what_is_needed_years_from_now_has_its_own_best_day() -> None:
    """Oak of three weeks at most for January 2029: ordered in December, not as far as one looks."""
    house = small({"storage": "50", "room_most": 1000}, floor="2029-01-08")
    found = house.ask(order_plan)
    assert found is not None
    assert date(2028, 12, 11) <= found.days[0][1] <= date(2028, 12, 29)
    assert found.plan.cost == pytest.approx(best_alone(house, early=10, late=300)[1])


PANEL = "line,room,class,qty\nL1,1,OAK,2\nL2,1,OAK,10\nL3,1,OAK,4\nL4,1,PANEL,1\nL5,1,PANEL,1\n"


def test_what_is_on_order_takes_its_room() -> None:
    """Glass lands on Apr 19 and stands into June: then there is room for the oak, not before."""
    texts = {
        "activities": WORK.replace("tile,1,", "tile,1,2027-05-24").format("2027-06-07"),
        "parts": PANEL.replace("L5,1,PANEL,1\n", ""),
        "orders": "PO-1,Quarry,L4,1,2027-03-15,2027-04-19\n",
    }
    oak, glass = {"storage": "5", "room": 1}, {"line": "L4", "room": 3}
    free = small({**oak, "room_most": 6}, glass, **texts).ask(order_plan)
    house = small({**oak, "room_most": 3}, glass, **texts)
    found = house.ask(order_plan)
    assert free is not None
    assert found is not None
    calendar = house.ask(dates.calendar)
    assert calendar.date(free.landings[0]) < date(2027, 6, 7)  # it would lie there by then
    # no room for it before it is needed: it lands on that day and goes straight to the floor
    assert calendar.date(found.landings[0]) >= date(2027, 6, 7)
    assert "room on" in found.binding[0]
    assert found.plan.status == "proved"
    assert found.plan.cost > free.plan.cost


def test_trucks_on_the_way_that_break_a_limit_are_told() -> None:
    orders = "PO-1,Quarry,L4,1,2027-03-15,2027-04-19\nPO-2,Mill,L5,1,2027-03-15,2027-04-19\n"
    found = small(
        {"storage": "50", "room": 2, "room_most": 3}, parts=PANEL, orders=orders,
        activities=WORK.replace("tile,1,", "tile,1,2027-06-01").format("2027-05-03"),
    ).ask(order_plan)  # fmt: skip
    assert found is not None
    (told,) = [n for n in found.notes if "by itself" in n]
    assert told.endswith("4 of 3")


def test_two_lines_of_one_order_are_one_receipt() -> None:
    """L4 and L5 come together, as one truck: one a day is not broken; by two orders it is."""
    one = "PO-1,Quarry,L4,1,2027-03-15,2027-04-19\nPO-1,Quarry,L5,1,2027-03-15,2027-04-19\n"
    two = one.replace("PO-1,Quarry,L5", "PO-2,Mill,L5")
    said = {"storage": "50", "receipts_most": 1}
    notes = []
    for orders in (one, two):
        found = small(said, parts=PANEL, orders=orders).ask(order_plan)
        assert found is not None
        notes.append([n for n in found.notes if "by itself" in n])
    assert notes[0] == []
    assert [n.rpartition(": ")[2] for n in notes[1]] == ["2 of 1"]


def test_cash_is_out_from_the_order_and_the_landing_until_the_need() -> None:
    """Glass for 1,000, a tenth paid when ordered, is on the way: 100 are out, then all of it."""
    orders = "PO-1,Quarry,L4,1,2027-03-15,2027-04-19\n"
    parts = PANEL.replace("L5,1,PANEL,1\n", "")
    said = {"line": "L4", "price": "1000", "deposit": "10"}
    work = WORK.replace("tile,1,", "tile,1,2027-05-24").format("2027-06-07")
    told = {}
    for most in ("99", "100", "999", "1000"):
        house = small({"storage": "50", "cash_most": most}, said, parts=parts, orders=orders,
                      activities=work)  # fmt: skip
        found = house.ask(order_plan)
        assert found is not None
        (told[most],) = [n for n in found.notes if "by itself" in n] or [""]
    assert "cash on Mar 29: 100 of 99" in told["99"]
    assert told["100"].endswith("1,000 of 100")
    assert told["999"].endswith("1,000 of 999")
    assert told["1000"] == ""


def test_without_a_cost_of_a_day_nothing_is_planned() -> None:
    with pytest.raises(DecisionError, match="what a day of the house costs"):
        small({"storage": "50", "room_most": 1000}, a_day=None).ask(order_plan)


def test_what_nobody_has_said_is_told() -> None:
    found = small({"room_most": 1000, "cash_most": "900"}).ask(order_plan)
    assert found is not None
    assert found.days[0][1] == WRITTEN  # early is free
    assert [n.split(" L1, L2, L3")[0] for n in found.notes] == [
        "Nobody has said what it costs to have",
        "Nobody has said the price of",
        "Nobody has said how much room goes to",
    ]
    assert found.as_json()["notes"] == list(found.notes)
