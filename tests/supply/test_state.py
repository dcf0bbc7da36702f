"""The true state of a line: each state, partial and damaged receipts, several orders at once."""

from __future__ import annotations

from datetime import date

import pytest

from roomwright.days import Calendar
from roomwright.supply import (
    STATES,
    Lead,
    LineState,
    Measure,
    Need,
    OrderLine,
    Received,
    line_state,
)

HOUSE = Calendar(date(2027, 1, 18))
AS_OF = date(2027, 3, 29)
NEED = Need("A165", "Cabinet delivery", date(2027, 4, 26), date(2027, 5, 3), 70, 5)
TEMPLATE = Measure("A195", "Template", None, date(2027, 4, 20))
DONE_TEMPLATE = Measure("A195", "Template", date(2027, 3, 22), date(2027, 3, 22))
LEAD = Lead(1, 2)


def state(
    qty: int = 4, *, need: Need = NEED, lead: Lead = LEAD, measure: Measure | None = None,
    orders: tuple[OrderLine, ...] = (), receipts: tuple[Received, ...] = (),
) -> LineState:  # fmt: skip
    return line_state(
        "L1", qty, need, lead, HOUSE, AS_OF, orders=orders, receipts=receipts, measure=measure
    )


def order(
    qty: int = 4, promised: date | None = date(2027, 4, 26), placed: date | None = date(2027, 3, 1),
    id: str = "PO-1", maker: str = "Forge", note: str = "",
) -> OrderLine:  # fmt: skip
    return OrderLine(id, maker, qty, placed, promised, note)


def test_the_need_is_on_day_70() -> None:
    assert HOUSE.number(NEED.on) == NEED.start


def test_on_hand() -> None:
    found = state(orders=(order(),), receipts=(Received("PO-1", 4),))
    assert (found.state, found.received, found.on_order, found.to_order) == ("on hand", 4, 0, 0)
    assert found.late_days == found.move_in_days == 0


def test_a_promise_on_the_day_of_need_is_in_time() -> None:
    found = state(orders=(order(),))
    assert found.state == "in time"
    assert not found.guess
    assert found.arrives == date(2027, 4, 26)


def test_a_promise_the_day_after_is_one_day_late_and_costs_nothing_within_the_float() -> None:
    found = state(orders=(order(promised=date(2027, 4, 27)),))
    assert (found.state, found.late_days, found.move_in_days) == ("late", 1, 0)
    assert found.text == "late by 1 working day: promised Apr 27, needed Apr 26"


def test_lateness_beyond_the_float_costs_move_in() -> None:
    found = state(orders=(order(promised=date(2027, 5, 5)),))
    assert (found.late_days, found.move_in_days) == (7, 2)
    weekend = state(orders=(order(promised=date(2027, 5, 8)),))
    assert weekend.late_days == 10  # a Saturday is no use before Monday


def test_no_allowance_is_added_to_a_promise() -> None:
    found = line_state("L1", 4, NEED, Lead(1, 30), HOUSE, AS_OF, orders=[order()], inspect_days=30)
    assert found.state == "in time"


def test_work_that_begins_at_noon() -> None:
    noon = Need("A", "A", date(2027, 4, 26), date(2027, 4, 26), 70.5, 0)
    found = state(need=noon, orders=(order(promised=date(2027, 4, 27)),))
    assert (found.late_days, found.move_in_days) == (1, 0.5)


def test_due_and_order_now() -> None:
    due = state(lead=Lead(1, 1))
    assert (due.state, due.order_by) == ("due", date(2027, 4, 8))
    assert due.text == "not ordered; order by Apr 8 (takes up to 1 week)"
    now = state(lead=Lead(2, 4))
    assert now.state == "order now"
    assert now.order_by == date(2027, 3, 8)
    assert (now.late_days, now.move_in_days) == (0, 0)  # it would still come that very day
    late = state(lead=Lead(2, 6))
    assert (late.late_days, late.move_in_days) == (10, 5)
    assert late.guess
    assert "a guess, not history" in late.text


def test_the_order_by_day_itself_is_order_today() -> None:
    # 20 days to the need: 10 of lead, 5 to inspect, 5 in reserve
    found = state(lead=Lead(1, 2))
    assert found.order_by == AS_OF
    assert found.state == "order now"
    assert found.text == "order today: not ordered"
    assert state(lead=Lead(1, 1)).state == "due"


def test_nobody_knows_how_long_it_takes() -> None:
    found = state(lead=Lead(None, None))
    assert (found.state, found.order_by) == ("due", None)
    assert "ask the maker" in found.text


def test_what_is_made_to_a_measure_waits_for_it_and_costs_nothing_here() -> None:
    found = state(measure=TEMPLATE, lead=Lead(2, 40))
    assert found.state == "can't be ordered yet"
    assert found.text == "can't be ordered until Template is done, about Apr 20"
    assert (found.order_by, found.move_in_days) == (date(2027, 4, 20), 0)
    ready = state(measure=DONE_TEMPLATE, lead=Lead(2, 40))
    assert (ready.state, ready.move_in_days) == ("order now", 0)
    assert ready.order_by == date(2027, 3, 22)


@pytest.mark.parametrize(
    ("measure", "placed", "void"),
    [
        (TEMPLATE, date(2027, 3, 25), True),
        (TEMPLATE, None, True),
        (DONE_TEMPLATE, date(2027, 3, 19), True),
        (DONE_TEMPLATE, date(2027, 3, 22), False),
        (None, date(2027, 3, 1), False),
    ],
)
def test_ordered_before_its_measure_is_void(
    measure: Measure | None, placed: date | None, void: bool
) -> None:
    found = state(measure=measure, orders=(order(placed=placed),))
    assert (found.state == "void") is void
    assert (found.to_order == 4) is void
    if void:
        again = "after Template" if measure is TEMPLATE else "again now"
        assert again in found.text


def test_short_order_and_short_receipt() -> None:
    short_order = state(orders=(order(3),))
    assert short_order.to_order == 1
    assert {f.state for f in short_order.findings} == {"in time", "order now"}
    assert short_order.state == "order now"
    assert "1 of 4 not ordered" in short_order.text
    short_receipt = state(
        orders=(order(4, promised=date(2027, 3, 15)),), receipts=(Received("PO-1", 3),)
    )
    assert short_receipt.state == "promise passed"
    assert (short_receipt.received, short_receipt.on_order, short_receipt.to_order) == (3, 1, 0)
    assert short_receipt.findings[0].qty == 1


def test_a_promise_for_today_has_not_passed() -> None:
    assert state(orders=(order(promised=AS_OF),)).state == "in time"


def test_a_passed_promise_counts_as_coming_today_at_the_soonest() -> None:
    past = Need("A", "A", date(2027, 3, 22), date(2027, 3, 23), 45, 1, "started")
    found = state(need=past, orders=(order(promised=date(2027, 3, 15)),))
    assert (found.state, found.late_days) == ("promise passed", 5)


def test_the_dearest_of_several_orders_stands_first() -> None:
    found = state(
        orders=(
            order(2, id="PO-1"),
            order(1, promised=date(2027, 5, 5), id="PO-2"),
            order(1, promised=date(2027, 4, 28), id="PO-3"),
        )
    )
    assert [f.order for f in found.findings] == ["PO-2", "PO-3", "PO-1"]
    assert (found.state, found.late_days, found.move_in_days) == ("late", 7, 2)


def test_what_is_ordered_beyond_the_plan_holds_nothing_up() -> None:
    """All has come, and a second order by mistake is late: nobody waits for it."""
    twice = (order(id="PO-1"), order(id="PO-2", promised=date(2027, 8, 2)))
    here = state(orders=twice, receipts=(Received("PO-1", 4, AS_OF),))
    assert (here.state, here.move_in_days, here.on_order) == ("on hand", 0, 4)
    both = state(orders=twice[::-1])
    assert (both.state, both.move_in_days) == ("in time", 0)
    # of six on order, the plan's four come soonest: three in time, one late
    some = state(orders=(order(3, id="PO-1"), order(3, id="PO-2", promised=date(2027, 8, 2))))
    assert [(f.order, f.qty) for f in some.findings] == [("PO-2", 1), ("PO-1", 3)]


def test_receipts_meet_the_order_they_name() -> None:
    found = state(
        orders=(order(2, id="PO-1"), order(2, id="PO-2", promised=date(2027, 5, 5))),
        receipts=(Received("PO-2", 2),),
    )
    assert [f.order for f in found.findings] == ["PO-1"]
    split = state(
        orders=(order(2), order(2, promised=date(2027, 5, 5))), receipts=(Received("PO-1", 3),)
    )
    assert (split.on_order, split.findings[0].qty) == (1, 1)


def test_a_note_on_what_came_counts_it_and_flags_it() -> None:
    found = state(orders=(order(),), receipts=(Received("PO-1", 4, AS_OF, "scratched, claim"),))
    assert found.state == "on hand"
    assert found.to_check == ("scratched, claim",)
    noted = state(orders=(order(note="ordered right hand"),), receipts=(Received("PO-1", 4),))
    assert noted.to_check == ("ordered right hand",)
    assert state(orders=(order(note="call first"),)).to_check == ()


def test_an_order_without_a_promise_is_guessed_from_its_lead() -> None:
    found = state(orders=(order(promised=None, placed=date(2027, 3, 22)),))
    assert (found.state, found.guess, found.arrives) == ("in time", True, date(2027, 4, 5))
    assert "a guess" in found.text
    unknown = state(orders=(order(promised=None),), lead=Lead(None, None))
    assert "nobody has said when it comes" in unknown.text


def test_work_that_is_done_waits_for_nothing_more() -> None:
    gone = Need("R050", "Rough electrical", date(2027, 2, 4), date(2027, 2, 4), 13, 0, "done")
    left = state(need=gone)
    assert (left.state, left.move_in_days) == ("left out", 0)
    assert "open up, or leave it out" in left.text
    late = state(need=gone, orders=(order(promised=date(2027, 4, 20)),))
    assert (late.state, late.move_in_days) == ("late", 0)
    assert late.text.endswith("Rough electrical was done without it")


def test_work_under_way_waits_from_now_on() -> None:
    begun = Need("A", "A", date(2027, 3, 22), date(2027, 3, 24), 45, 2, "started")
    found = state(need=begun, orders=(order(promised=date(2027, 4, 5)),))
    assert found.late_days == 10
    assert found.move_in_days == 3  # five days from now, two to spare


def test_nothing_wanted() -> None:
    assert state(0).state == "on hand"


def test_the_states_are_ordered_mildest_first() -> None:
    assert STATES[0] == "on hand"
    assert STATES[-1] == "void"
