"""Orders of the demo house against its answer key, and orders of houses that lack things."""

from __future__ import annotations

import json
from datetime import date
from fractions import Fraction

import pytest
from tests.answers.demo_house import answers, facts

from roomwright.answers import Answers
from roomwright.answers.dates import dates
from roomwright.answers.orders import OrderRow, orders
from roomwright.job.entities import Activity, House, Order, Part, PartClass, Progress, Receipt, Room
from roomwright.job.facts import Facts


def rows(**of: str) -> list[OrderRow]:
    found = answers().ask(orders).lines
    return [r for r in found if all(getattr(r, k) == v for k, v in of.items())]


def row(line: str) -> OrderRow:
    (one,) = rows(line=line)
    return one


def test_how_many_lines_are_planned_ordered_and_received() -> None:
    found = answers().ask(orders).lines
    assert len(found) == 268
    assert sum(r.qty for r in found) == 489
    assert sum(bool(r.orders) for r in found) == 158
    assert sum(r.state.received > 0 for r in found) == 83


@pytest.mark.parametrize("part_class", ["CABB", "CABW", "CABT"])
def test_cabinets_are_late(part_class: str) -> None:
    for one in rows(part_class=part_class):
        assert one.need is not None
        assert one.need.on == date(2027, 4, 1)
        assert one.state.arrives == date(2027, 4, 29)
        assert (one.state.state, one.state.late_days, one.state.move_in_days) == ("late", 20, 5)
        assert not one.state.guess


@pytest.mark.parametrize(("part_class", "slips"), [("RANGE", 36), ("HOOD", 23), ("F_TABLE", 18)])
def test_not_ordered_though_late(part_class: str, slips: int) -> None:
    (one,) = rows(part_class=part_class)
    assert (one.state.state, one.state.move_in_days) == ("order now", slips)
    assert one.state.guess


def test_nothing_else_that_was_never_ordered_is_past_its_order_by_date() -> None:
    """Only the three, and the remainder of two lines that were ordered short."""
    late = {r.part_class for r in rows() if r.state.state == "order now"}
    assert late == {"RANGE", "HOOD", "F_TABLE", "TBAR", "PULLS"}


@pytest.mark.parametrize(
    ("part_class", "day"),
    [
        ("HOOD", "2027-01-28"),
        ("RANGE", "2027-01-07"),
        ("F_TABLE", "2027-02-10"),
        ("RECPT", "2027-05-06"),
        ("DISP", "2027-04-14"),
        ("BELL", "2027-04-26"),
    ],
)
def test_order_by_dates(part_class: str, day: str) -> None:
    found = rows(part_class=part_class)
    assert found
    assert {r.as_json()["order_by"] for r in found} == {day}


@pytest.mark.parametrize(
    ("part_class", "measure"), [("TOPK", "A195"), ("TOPV", "A195"), ("TREAT", "A285")]
)
def test_cannot_be_ordered_yet(part_class: str, measure: str) -> None:
    for one in rows(part_class=part_class):
        assert one.state.state == "can't be ordered yet"
        assert one.measure is not None
        assert one.measure.activity == measure
        assert one.state.move_in_days == 0
        work = {a.id: a for a in answers().ask(dates).activities}
        assert one.state.order_by == work[measure].last_day


def test_shower_glass_is_void_until_its_measure() -> None:
    (glass,) = rows(part_class="GLASS")
    assert (glass.state.state, glass.state.move_in_days) == ("void", 0)
    assert glass.measure is not None
    assert glass.measure.activity == "A120"
    assert glass.state.to_order == 1


def test_short_left_out_and_damaged() -> None:
    towel, pulls, fans = row("L156").state, row("L266").state, row("L229").state
    assert (towel.on_order, towel.to_order) == (1, 1)
    assert (pulls.on_order, pulls.to_order) == (50, 2)
    assert (fans.received, fans.on_order, fans.state) == (1, 1, "promise passed")
    assert row("L151").state.state == "left out"
    tub = row("L140").state
    assert tub.state == "on hand"
    assert tub.to_check == ("apron scratched, claim open",)
    assert row("L073").state.to_check == ("ordered right hand",)  # the mudroom door


def test_days_of_move_in_are_what_the_dates_say_when_the_work_waits() -> None:
    """Each late line alone, by running the schedule again with its activity held back."""
    from roomwright.answers.dates import calendar, network, passes, progress
    from roomwright.schedule import passes as run

    now = answers()
    base, days = now.ask(passes), now.ask(calendar)
    late = [r for r in now.ask(orders).lines if r.state.late_days and r.need]
    assert len(late) >= 10
    for one in late:
        assert one.need is not None
        assert one.state.arrives is not None
        held = {one.need.activity: days.number(one.state.arrives)}
        again = run(now.ask(network), days, now.as_of, now.ask(progress), not_before=held)
        assert again.working_days - base.working_days == one.state.move_in_days


def test_json_has_the_documented_fields() -> None:
    found = json.loads(json.dumps(answers().ask(orders).as_json()))
    cabinets = next(r for r in found["lines"] if r["line"] == "L011")
    assert {k: cabinets[k] for k in ("room", "class", "needed_on", "last_safe_day")} == {
        "room": "102",
        "class": "CABB",
        "needed_on": "2027-04-01",
        "last_safe_day": "2027-04-22",
    }
    assert (cabinets["state"], cabinets["late_days"], cabinets["move_in_days"]) == ("late", 20, 5)
    assert all(r["why"] for r in found["lines"])


def test_placing_the_order_and_recording_the_receipt_change_the_state() -> None:
    placed = Order(
        id="PO-200/L019", order="PO-200", line="L019", qty=1, maker="Marlowe Forge",
        placed=date(2027, 3, 29), promised=date(2027, 5, 20),
    )  # fmt: skip
    (range_,) = (r for r in answers(placed).ask(orders).lines if r.line == "L019")
    assert range_.state.state == "in time"
    came = Receipt(id="R200", order="PO-200", line="L019", qty=1, on=date(2027, 5, 19))
    (range_,) = (r for r in answers(placed, came).ask(orders).lines if r.line == "L019")
    assert range_.state.state == "on hand"


def test_once_the_tile_is_measured_the_glass_is_ordered_again_at_once() -> None:
    measured = Progress(id="A120", started=date(2027, 3, 26), finished=date(2027, 3, 26))
    (glass,) = (r for r in answers(measured).ask(orders).lines if r.part_class == "GLASS")
    assert glass.state.state == "void"
    assert "order it again now" in glass.state.text
    again = facts().get(Order, "PO-165/L218").model_copy(update={"placed": date(2027, 3, 29)})
    (glass,) = (r for r in answers(measured, again).ask(orders).lines if r.part_class == "GLASS")
    assert glass.state.state == "in time"


START = House(name="A", site_start=date(2027, 3, 1))
ROOM = Room(id="1", level="1", outline=((0, 0), (100, 0), (100, 100)))


def small(*more: object) -> Answers:
    return Answers(Facts([START, ROOM, *more]), as_of=date(2027, 3, 1))  # type: ignore[list-item]


def test_a_line_whose_work_nobody_named() -> None:
    kind = PartClass(id="SINK", needed_by="A9", lead_weeks_high=Fraction(2))
    part = Part(id="L1", room="1", part_class="SINK", qty=1)
    (one,) = small(kind, part).ask(orders).lines
    assert one.as_json()["needed_on"] is None
    assert one.state.state == "due"
    assert "nobody has said which work" in one.state.text
    (bare,) = small(part).ask(orders).lines
    assert bare.name == "SINK"


def test_a_promise_in_the_wrong_century_does_not_break_the_page() -> None:
    found = small(
        Activity(id="A", days_likely=Fraction(3)),
        PartClass(id="SINK", needed_by="A"),
        Part(id="L1", room="1", part_class="SINK", qty=1),
        Order(id="P/L1", order="P", line="L1", qty=1, promised=date(2127, 3, 1)),
    ).ask(orders)
    assert "check the year" in found.lines[0].state.text


def test_no_lines() -> None:
    assert small().ask(orders).lines == ()
