"""Orders, receipts, progress and sheets: what is written, what is said, what is refused."""

from datetime import date
from fractions import Fraction

import pytest
from tests.job import a_house

from roomwright import commands
from roomwright.commands import BadCommandError
from roomwright.exchange.folder import read_folder
from roomwright.exchange.samples import example_path
from roomwright.job.entities import Order, Posting, Progress, Receipt
from roomwright.job.store import Store


@pytest.fixture
def house(sqlite_store: Store) -> Store:
    a_house.build(sqlite_store)
    return sqlite_store


def run(store, name, **values):
    return commands.run(store, "test-house", commands.parse(name, values), who="Ana")


def say(store, name, **values) -> str:
    return run(store, name, **values).sentence


def fact(store, kind, id):
    return store.facts("test-house").find(kind, id)


def test_an_order_is_placed_received_and_done(house: Store):
    lines = [{"line": "L1", "qty": 4}]
    assert say(house, "place order", order="PO-2", lines=lines, placed="2027-03-01",
               maker="Oak & Ash", promised="2027-04-01") == (
        "Order PO-2 placed with Oak & Ash on Mar 1, 2027: 4 of L1, promised Apr 1, 2027."
    )  # fmt: skip
    order = fact(house, Order, "PO-2/L1")
    assert (order.qty, order.promised) == (4, date(2027, 4, 1))
    assert say(house, "promise", order="PO-2", line="L1", promised="2027-04-20") == (
        "Line L1 on order PO-2: promised Apr 20, 2027 (was Apr 1, 2027), 13 working days later."
    )
    assert say(house, "receive", order="PO-2", line="L1", qty=3, on="2027-04-21") == (
        "Received Apr 21, 2027: 3 of L1 on order PO-2, 1 to come."
    )
    assert say(house, "receive", order="PO-2", line="L1", qty=1, on="2027-04-22").endswith(
        "all of it."
    )
    assert [r.id for r in house.facts("test-house").all(Receipt)] == ["R1", "R2", "R3"]


def test_an_order_without_a_number_takes_what_the_plan_lacks(house: Store):
    run(house, "promise", order="PO-1", line="L1", promised=None)
    with pytest.raises(commands.BadCommandError, match="2 of L1 are ordered already"):
        run(house, "place order", order="PO-2", lines=[{"line": "L1"}], placed="2027-03-01")


START, DONE = "2027-01-20", "2027-01-22"


def test_work_starts_has_days_left_and_finishes(house: Store):
    assert say(house, "start", activity="A20", on=START) == "A20 started Jan 20, 2027."
    assert say(house, "start", activity="A20", on="2027-01-19") == (
        "A20 started Jan 19, 2027 (was Jan 20, 2027)."
    )
    assert say(house, "days left", activity="A20", days="1 1/2") == (
        "A20: 1 1/2 working days left."
    )
    assert fact(house, Progress, "A20").days_left == Fraction(3, 2)
    assert say(house, "finish", activity="A20", on=DONE) == "A20 finished Jan 22, 2027."
    held = fact(house, Progress, "A20")
    assert (held.started, held.finished, held.days_left) == (
        date(2027, 1, 19), date(2027, 1, 22), None,
    )  # fmt: skip


def test_finishing_what_nobody_saw_start_may_say_when_it_did(house: Store):
    run(house, "finish", activity="A30", on=DONE, started=START)
    assert fact(house, Progress, "A30").started == date(2027, 1, 20)


def test_sheets_are_hung_replaced_and_taken_down(house: Store):
    sheet = {"room": "101", "trade": "electrician"}
    assert say(house, "hang sheet", **sheet, posted="2027-03-01", content='{"a": 1}') == (
        "Sheet A hung in 101 for the electrician on Mar 1, 2027."
    )
    assert say(house, "hang sheet", **sheet, posted="2027-03-09") == (
        "Sheet B hung in 101 for the electrician on Mar 9, 2027; A taken down."
    )
    assert say(house, "hang sheet", room="101", posted="2027-03-09") == (
        "Sheet A hung in 101 on Mar 9, 2027."
    )
    first = fact(house, Posting, "101/electrician/A")
    assert (first.taken_down, first.content) == (date(2027, 3, 9), '{"a": 1}')
    assert say(house, "take down sheet", **sheet, on="2027-04-01") == (
        "Sheet B in 101 for the electrician taken down on Apr 1, 2027."
    )
    with pytest.raises(commands.BadCommandError, match="no sheet for the electrician hangs"):
        run(house, "take down sheet", **sheet, on="2027-04-01")
    assert "Sheet C hung" in say(house, "hang sheet", **sheet, posted="2027-04-02")


ORDER = {"order": "PO-2", "lines": [{"line": "L1", "qty": 1}], "placed": "2027-03-01"}
RECEIPT = {"order": "PO-1", "line": "L1", "qty": 1, "on": "2027-02-09"}
SHEET = {"room": "101", "posted": "2027-03-01"}
REFUSED = [
    ("place order", {**ORDER, "lines": []}, "lines", ""),
    ("place order", {**ORDER, "order": ""}, "order", "can't be empty"),
    ("place order", {**ORDER, "order": "PO-1"}, "lines.0.line", "on order PO-1 already"),
    ("place order", {**ORDER, "lines": [{"line": "L9", "qty": 1}]}, "lines.0.line", "no line L9"),
    ("place order", {**ORDER, "lines": [{"line": "L1", "qty": 0}]}, "lines.0.qty", "1 or more"),
    ("place order", {**ORDER, "lines": [{"line": "L1", "qty": 1}] * 2}, "lines.1.line", "already"),
    ("place order", {**ORDER, "promised": "2027-02-28"}, "promised", "is before the order"),
    ("place order", {**ORDER, "placed": "2072-03-01"}, "placed", "check the year"),
    ("place order", {**ORDER, "placed": "3/1"}, "placed", "type a date like 2027-03-29"),
    ("promise", {"order": "PO-1", "line": "L9", "promised": None}, "line", "it has L1"),
    ("promise", {"order": "PO-9", "line": "L1", "promised": None}, "order", "no order PO-9"),
    ("receive", {**RECEIPT, "qty": 2}, "qty", "order PO-1 is for 2 of L1 and 1 came already"),
    ("receive", {**RECEIPT, "qty": "many"}, "qty", "type a whole number"),
    ("receive", {**RECEIPT, "order": "PO-9"}, "order", "no order PO-9"),
    ("receive", {**RECEIPT, "receipt": "R1"}, "receipt", "there is a receipt R1 already"),
    ("receive", {**RECEIPT, "on": "1927-02-09"}, "on", "check the year"),
    ("start", {"activity": "A99", "on": START}, "activity", "there is no activity A99"),
    ("start", {"activity": "A10", "on": "2077-01-01"}, "on", "check the year"),
    ("finish", {"activity": "A10", "on": "2027-01-17"}, "on", "before it started, Jan 18"),
    ("finish", {"activity": "A30", "on": START, "started": DONE}, "on", "before it started"),
    ("days left", {"activity": "A30", "days": 2}, "activity", "record its start first"),
    ("days left", {"activity": "A10", "days": "-1"}, "days", "can't be"),
    ("days left", {"activity": "A10", "days": "soon"}, "days", "“soon” is not a number"),
    ("hang sheet", {**SHEET, "room": "9"}, "room", "there is no room 9"),
    ("take down sheet", {"room": "101", "on": START}, "room", "no sheet hangs in 101"),
]


@pytest.mark.parametrize(
    ("name", "values", "field", "said"), REFUSED, ids=[f"{r[0]}: {r[2]}" for r in REFUSED]
)
def test_refused_with_the_field(house: Store, name, values, field, said):
    with pytest.raises(commands.BadCommandError) as caught:
        run(house, name, **values)
    assert [f for f, _ in caught.value.problems] == [field]
    assert said in str(caught.value)
    assert house.facts("test-house").sequence == 1


def test_what_contradicts_what_is_recorded_is_refused(house: Store):
    run(house, "finish", activity="A10", on="2027-01-19")
    with pytest.raises(commands.BadCommandError, match="it was finished on Jan 19, 2027"):
        run(house, "start", activity="A10", on="2027-01-20")
    with pytest.raises(commands.BadCommandError, match="was finished on Jan 19, 2027"):
        run(house, "days left", activity="A10", days=1)
    run(house, "hang sheet", **SHEET)
    with pytest.raises(commands.BadCommandError, match="was hung on Mar 1, 2027, after"):
        run(house, "hang sheet", **{**SHEET, "posted": "2027-02-01"})
    with pytest.raises(commands.BadCommandError, match="the next is B"):
        run(house, "hang sheet", **SHEET, revision="A")
    with pytest.raises(commands.BadCommandError, match="it was hung on Mar 1, 2027"):
        run(house, "take down sheet", room="101", on="2027-02-01")


def test_a_measure_is_not_done_before_it_is_true(sqlite_store: Store):
    facts = read_folder(example_path("tern-hollow")).facts
    sqlite_store.create("tern-hollow", "Tern Hollow")
    load = commands.Load(facts=tuple(facts))
    commands.run(sqlite_store, "tern-hollow", load, who="Ana")
    finish = commands.parse("finish", {"activity": "A195", "on": "2027-03-29"})
    with pytest.raises(BadCommandError, match="is a measure: what is made by it would not fit"):
        commands.run(sqlite_store, "tern-hollow", finish, who="Ana")
    assert sqlite_store.facts("tern-hollow").find(Progress, "A195") is None
