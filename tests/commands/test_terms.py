"""The terms of the house: what a form shows and leaves empty is emptied; what it was is told."""

from __future__ import annotations

from datetime import date
from fractions import Fraction

import pytest
from tests.answers.demo_house import facts

from roomwright.commands import parse
from roomwright.commands.base import BadCommandError
from roomwright.job.entities import House, Keeping, LeadStep, Vendor, WorkCalendar
from roomwright.job.facts import Facts
from roomwright.job.rules import check

SHOWN = "name cost_per_day inspect_days tape_sigma"


def done(state: Facts, name: str, /, **values: object) -> tuple[Facts, str]:
    work = parse(name, values).work(state, lambda _: [])
    after = state.changed(work.changes)
    assert not check(after, list(work.changes))
    return after, work.sentence


def test_what_a_day_of_the_house_costs() -> None:
    state, said = done(facts(), "set house", cost_per_day="$450.50")
    assert said == "The house: a day of the house costs $450.50 (was $310)."
    assert state.get(House, "house").cost_per_day == Fraction(901, 2)
    same, said = done(state, "set house", cost_per_day="450.50")
    assert (same.get(House, "house"), said) == (
        state.get(House, "house"), "Tern Hollow is so already.",
    )  # fmt: skip
    state, said = done(state, "set house", name="Tern Hollow", shown=SHOWN)
    house = state.get(House, "house")
    assert said == "The house: a day of the house costs taken out (was $450.50)."
    assert (house.cost_per_day, house.inspect_days, house.tape_sigma) == (None, 5, Fraction(1, 8))
    state, said = done(state, "set house", inspect_days="3", tape_sigma="1/16")
    assert "receive, open and check 3 (was 5)" in said
    assert '1/16" (was 1/8")' in said


@pytest.mark.parametrize(
    ("said", "says"),
    [
        ({"name": ""}, "needs a name"),
        ({"shown": "name"}, "needs a name"),
        ({"cost_per_day": "-3"}, "0 or more"),
        ({"cost_per_day": "lots"}, "no amount of money"),
        ({"inspect_days": "99"}, "60 or less"),
        ({"tape_sigma": "0"}, "more than 0"),
        ({"tape_sigma": "5"}, "at most 2"),
        ({"shown": "figures"}, "no field here"),
    ],
)
def test_nonsense_about_the_house_is_refused(said: dict[str, object], says: str) -> None:
    with pytest.raises(BadCommandError, match=says):
        done(facts(), "set house", **said)


def test_a_whole_calendar_of_the_house_shows_its_own_days_off_too() -> None:
    state, said = done(facts(), "set calendar", calendar="house", whole="yes",
                       work_week=["mon", "tue", "wed", "thu", "fri"],
                       closed="2027-07-05\nevery 12-24 to 01-01")  # fmt: skip
    assert said == ("The calendar of the house: closed every 12-24 to 01-01; "
                    "days off Jul 5, 2027 (was May 31, 2027, Jul 5, 2027).")  # fmt: skip
    assert state.get(House, "house").days_off == (date(2027, 7, 5),)
    own = state.get(WorkCalendar, "house")
    assert (own.work_week, own.closed) == ((), ("every 12-24 to 01-01",))
    _, said = done(state, "set calendar", calendar="house", whole="yes",
                   closed="2027-07-05; every 12-24 to 01-01")  # fmt: skip
    assert said == "The calendar of house says so already."
    state, said = done(state, "set calendar", calendar="house", whole="yes")
    assert said.startswith("The calendar of the house: closed taken out (was every 12-24")
    assert state.get(House, "house").days_off == ()
    assert not state.all(WorkCalendar)


def test_a_calendar_says_what_it_was() -> None:
    state, _ = done(facts(), "set calendar", calendar="tile", mornings="sat")
    _, said = done(state, "set calendar", calendar="tile", mornings="fri", whole="yes")
    assert said == "tile works by a calendar of its own: mornings fri (was sat)."


def test_a_vendor_is_emptied_only_where_it_was_shown() -> None:
    state, _ = done(facts(), "set vendor", vendor="Marlowe Forge", phone="555-0199", claim_days="5")
    state, said = done(state, "set vendor", vendor="Marlowe Forge", claim_days="7",
                       shown="phone claim_days")  # fmt: skip
    assert said == "Vendor Marlowe Forge: phone taken out (was 555-0199), claim days 7 (was 5)."
    vendor = state.get(Vendor, "Marlowe Forge")
    assert (vendor.phone, vendor.claim_days) == ("", 7)
    _, said = done(state, "set vendor", vendor="Marlowe Forge", claim_days="7", shown="phone")
    assert said == "Vendor Marlowe Forge: so already."


def test_keeping_is_emptied_and_at_last_taken_out() -> None:
    state, said = done(facts(), "set keeping", line="L019", price="2600", rate="8")
    assert said == "What it costs to keep L019: price $2,600, money a year 8 %."
    state, said = done(state, "set keeping", line="L019", rate="9", shown="price rate note")
    assert said == ("What it costs to keep L019: price taken out (was $2,600), "
                    "money a year 9 % (was 8 %).")  # fmt: skip
    assert state.get(Keeping, "line L019").price is None
    state, said = done(state, "set keeping", line="L019", shown="price rate note")
    assert said == "What it costs to keep L019: taken out."
    assert state.find(Keeping, "line L019") is None
    _, said = done(state, "set keeping", line="L019", shown="price rate note")
    assert said == "What it costs to keep L019: so already."


def test_a_step_of_a_class_and_its_name() -> None:
    values = {"part_class": "RANGE", "step": "make", "days_likely": "10"}
    state, _ = done(facts(), "set step", **values, name="welded", note="asked Ann")
    state, _ = done(state, "set step", **values, note="asked Bo", shown="name note")
    step = state.get(LeadStep, "class RANGE/make")
    assert (step.name, step.note) == ("", "asked Bo")
    state, said = done(state, "set step", part_class="RANGE", step="make", shown="name note")
    assert said == "Class RANGE, make: taken out."
    assert state.find(LeadStep, "class RANGE/make") is None
