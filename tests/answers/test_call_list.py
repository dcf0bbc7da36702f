"""Whom to call and when, over the demo house."""

from datetime import date

import pytest
from tests.answers.demo_house import answers, facts

from roomwright.answers.call_lists import call_list, to_say
from roomwright.answers.dates import calendar
from roomwright.answers.visits import visits
from roomwright.job.entities import Booking, Call, Contact, House

CABINETS = "A165"
"""Cabinet delivery, Thu Apr 1, by the cabinet maker."""
VISIT = date(2027, 4, 1)
FLOOD = "A085"
"""Flood test and shower-pan inspection, Wed Mar 31."""


def row(*after, as_of=date(2027, 3, 29), trade="cabinet", activity=CABINETS):
    found = answers(*after, as_of=as_of).ask(call_list).calls
    return next((c for c in found if c.trade == trade and c.activity == activity), None)


def call(on, said="confirmed", visit=VISIT, day=None, activity=CABINETS):
    return Call(id=f"K{on}", activity=activity, visit=visit, on=on, said=said, day=day)


def test_two_weeks_before_and_two_working_days_before():
    first = row()
    assert (first.which, first.due, first.overdue) == ("weeks ahead", date(2027, 3, 18), True)
    last = row(trade="inspector", activity=FLOOD)
    assert (last.which, last.due, last.overdue) == ("days ahead", date(2027, 3, 29), False)


def test_work_that_does_not_begin_moves_the_visit_and_the_call():
    later = row(call(date(2027, 3, 22)), as_of=date(2027, 3, 31))
    assert later.first_day > VISIT
    assert "They were told Apr 1 on Mar 22; the plan now says" in later.why


def test_every_call_stands_on_a_working_day_so_long_before():
    found, days = answers().ask(call_list), answers().ask(calendar)
    assert found.calls
    for each in found.calls:
        assert days.is_working(each.due)
        if each.which == "weeks ahead":
            assert 14 <= (each.first_day - each.due).days <= 17
        else:
            assert days.between(each.due, each.first_day) == 2


def test_what_is_confirmed_is_called_again_just_before():
    early = call(date(2027, 3, 20))
    assert row(early).which == "days ahead"
    assert (row(early).due, row(early).overdue) == (date(2027, 3, 30), False)

    def about(*days):
        said = [call(d, visit=date(2027, 3, 31), activity=FLOOD) for d in days]
        return row(*said, trade="inspector", activity=FLOOD)

    assert about(date(2027, 3, 15)) is not None
    assert about(date(2027, 3, 25)) is not None, "too soon to be the last call"
    assert about(date(2027, 3, 26)) is None, "the working day before counts too"
    assert about(date(2027, 3, 15), date(2027, 3, 29)) is None


@pytest.mark.parametrize(
    ("said", "why"),
    [
        (call(date(2027, 3, 22), "no answer"), "No answer on Mar 22."),
        (
            call(date(2027, 3, 22), "another day", day=date(2027, 4, 5)),
            "Asked on Mar 22 for Apr 1, they can come Apr 5. The plan now says Apr 1.",
        ),
        (
            call(date(2027, 3, 22), "another day"),
            "Asked on Mar 22 for Apr 1, they can't come then. The plan now says Apr 1.",
        ),
        (
            call(date(2027, 3, 22), visit=date(2027, 3, 30)),
            "They were told Mar 30 on Mar 22; the plan now says Apr 1.",
        ),
        (
            Booking(id=CABINETS, first_day=date(2027, 4, 2)),
            "They are booked for Apr 2; the plan now says Apr 1.",
        ),
    ],
)
def test_what_no_longer_holds_is_said_again(said, why):
    assert row(said).why == why


def test_who_named_the_day_that_the_plan_now_says_has_agreed():
    named = call(date(2027, 3, 20), "another day", visit=date(2027, 3, 30), day=VISIT)
    assert row(named).why == ""
    assert row(named).which == "days ahead"


def test_a_booking_counts_as_a_first_call():
    assert row(Booking(id=CABINETS, first_day=VISIT)).which == "days ahead"


def test_the_last_word_counts():
    first, then = call(date(2027, 3, 20)), call(date(2027, 3, 26), "no answer")
    assert row(first, then).why == "No answer on Mar 26."


def test_it_says_the_day_the_rooms_what_must_be_ready_and_the_parts():
    said = to_say(row(), date(2027, 3, 29))
    assert said[0].startswith("Confirm Thu Apr 1, 1 day: Cabinet delivery")
    assert said[1] == "In: Kitchen, Hall bath, Primary bath."
    assert said[2] == "Ready before they come: Climate held at lived-in range, by Mar 31."
    assert "promised Apr 29, after they come" in said[3]
    assert row().phone == "555-0145"


def test_nobody_is_called_for_what_is_under_way_or_past_or_our_own():
    as_of = date(2027, 3, 29)
    for each in answers().ask(call_list).calls:
        assert each.first_day > as_of
        assert each.trade not in ("builder", "owner")
    named = {v.trade for v in answers().ask(visits)}
    assert {"tile", "inspector", "plumber"} <= named
    assert not named & {"tile/inspector", "owner/builder", "all", ""}


def test_a_trade_without_a_number_says_so_and_figures_may_be_replaced():
    gone = Contact(id="cabinet", name="", phone="")
    assert row(gone).phone == ""
    house = facts().get(House, "house")
    later = house.model_copy(update={"overrides": {"visit.call_early": "3"}})
    assert row(later).due == date(2027, 3, 29)
