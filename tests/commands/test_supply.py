"""Commands on supply: promises that move, events, vendors, steps, measures."""

import random
from datetime import date
from fractions import Fraction

import pytest
from tests.exchange.houses import read

from roomwright import commands as c
from roomwright.exchange import rules as of_folder
from roomwright.job import rules as of_store
from roomwright.job.entities import Event, FieldMeasure, LeadStep, Order, Receipt, Vendor
from roomwright.job.facts import Change, Facts

MORE_WORK = "\nA4,finish,,1,,us,1\n"


@pytest.fixture
def facts() -> Facts:
    return read().facts


def done(facts: Facts, name: str, /, **values) -> tuple[Facts, str]:
    """The facts after a command, held to both books of rules, and what it says."""
    work = c.parse(name, values).work(facts, lambda _: [])
    new = facts.changed(work.changes)
    wrong = of_store.check(new, list(work.changes))
    if wrong:
        raise c.BadCommandError(*((p.field, p.message) for p in wrong))
    assert [b for b in of_folder.broken(new) if b.severity == "error"] == []
    return new, work.sentence


def refused(facts: Facts, name: str, /, **values) -> str:
    with pytest.raises(c.BadCommandError) as no:
        done(facts, name, **values)
    return str(no.value)


LINE = {"order": "P1", "line": "L1"}


def test_a_promise_that_moves_keeps_the_one_before(facts):
    facts, said = done(facts, "promise", **LINE, promised="2027-04-08", on="2027-03-30")
    assert said == (
        "Line L1 on order P1: promised Apr 8, 2027 (was Apr 1, 2027), 5 working days later."
    )
    facts, _ = done(facts, "promise", **LINE, promised="2027-04-15", on="2027-04-05", note="glue")
    assert facts.get(Order, "P1/L1").promised == date(2027, 4, 15)
    events = [(e.what, e.on, e.day) for e in facts.all(Event)]
    assert events == [
        ("promised", None, date(2027, 4, 1)),  # nobody wrote down when
        ("promised", date(2027, 3, 30), date(2027, 4, 8)),
        ("promised", date(2027, 4, 5), date(2027, 4, 15)),
    ]
    facts, said = done(facts, "promise", **LINE, promised=None, on="2027-04-06")
    assert said == "Line L1 on order P1: no promise any more (was Apr 15, 2027)."
    assert [e.what for e in facts.all(Event)][-1] == "withdrawn"
    assert facts.get(Order, "P1/L1").promised is None


def test_a_promise_moves_by_the_days_that_the_house_works(facts):
    facts, _ = done(facts, "set calendar", calendar="house", closed="2027-04-02 to 2027-04-07")
    _, said = done(facts, "promise", **LINE, promised="2027-04-08", on="2027-03-30")
    assert said.endswith("(was Apr 1, 2027), 1 working day later.")  # Apr 2 to 7 is closed


def test_the_same_promise_said_again_is_a_word_only_with_its_day(facts):
    again, _ = done(facts, "promise", **LINE, promised="2027-04-01")
    assert again.all(Event) == ()
    again, _ = done(facts, "promise", **LINE, promised="2027-04-01", on="2027-03-29")
    assert [e.on for e in again.all(Event)] == [date(2027, 3, 29)]


def test_a_promise_by_record_event_is_a_promise(facts):
    new, _ = done(facts, "record event", what="promised", line="L1", on="2027-03-29",
                  day="2027-04-20")  # fmt: skip
    assert new.get(Order, "P1/L1").promised == date(2027, 4, 20)
    assert len(new.all(Event)) == 2
    said = refused(facts, "record event", what="promised", line="L1", on="2027-03-29")
    assert "day: type the day" in said


def test_what_arrived_is_a_receipt(facts):
    new, _ = done(facts, "record event", what="Arrived", line="L1", on="2027-03-29", qty=1)
    assert [r.id for r in new.all(Receipt)] == ["R1", "R2"]
    assert new.all(Event) == ()


def test_damage_is_counted_against_what_came(facts):
    new, said = done(facts, "record event", what="damaged", line="L1", on="2027-03-27", qty=1)
    assert said == "Mar 27, 2027: 1 of L1 of order P1 damaged."
    said = refused(new, "record event", what="damaged", line="L1", on="2027-03-28", qty=1)
    assert "only 0 good of order P1 were here" in said
    said = refused(facts, "record event", what="damaged", line="L1", on="2027-03-25", qty=1)
    assert "only 0 good" in said  # it came on the 26th
    assert "how many" in refused(facts, "record event", what="damaged", line="L1", on="2027-03-27")
    said = refused(facts, "record event", what="installed", line="L1", on="2027-03-28", qty=2)
    assert "2 of L1 installed, but only 1 good of order P1 were here" in said


def test_events_are_refused_in_words(facts):
    said = refused(facts, "record event", what="baked", line="L1", on="2027-03-27")
    assert "choose decided, submitted" in said
    assert "2072" in refused(facts, "record event", what="shipped", line="L1", on="2072-03-27")
    assert "no order P9" in refused(facts, "record event", what="shipped", line="L1", order="P9",
                                    on="2027-03-27")  # fmt: skip
    said = refused(facts, "record event", what="shipped", line="L1", on="2027-03-01")
    assert "before the order was placed" in said
    said = refused(facts, "record event", what="shipped", line="L1", on="2027-03-27",
                   day="2027-04-02")  # fmt: skip
    assert "only a promise has a day" in said
    bare = read(orders="order,maker,line,qty\n", receipts="receipt,order,line,qty\n").facts
    said = refused(bare, "record event", what="shipped", line="L1", on="2027-03-27")
    assert "it is on no order" in said
    new, _ = done(bare, "record event", what="decided", line="L1", on="2027-03-27")
    assert new.get(Event, "E1").order == ""


def test_receipts_that_damage_rests_on_can_not_shrink(facts):
    facts, _ = done(facts, "record event", what="damaged", line="L1", on="2027-03-27", qty=1)
    receipt = facts.get(Receipt, "R1")
    gone = of_store.check(
        facts.changed([change := c.base.take_out(receipt)]), [change]
    )  # fmt: skip
    assert any("only 0 good" in p.message for p in gone)


def test_a_vendor_is_set_bit_by_bit(facts):
    facts, said = done(facts, "set vendor", vendor="Us", phone="555-0141", claim_days=5)
    assert said == "Vendor Us: phone 555-0141, claim days 5."
    facts, _ = done(facts, "set vendor", vendor="Us", name="Us & Sons")
    vendor = facts.get(Vendor, "Us")
    assert (vendor.name, vendor.phone, vendor.claim_days) == ("Us & Sons", "555-0141", 5)


def test_steps_of_a_class_and_of_a_line(facts):
    facts, said = done(facts, "set step", part_class="DESK", step="make", days_low="5",
                       days_likely="10", days_high="20")  # fmt: skip
    assert said == "Class DESK, make: 10 working days (5 to 20)."
    facts, said = done(facts, "set step", line="L1", step="make", skip="yes")
    assert said == "Line L1, make: this line does without it."
    facts, _ = done(facts, "set step", line="L1", step="make", days_likely="7 1/2")
    step = facts.get(LeadStep, "line L1/make")
    assert (step.skip, step.days_likely) == ("", Fraction(15, 2))
    facts, said = done(facts, "set step", line="L1", step="make")
    assert said == "Line L1, make: taken out."
    assert facts.ids(LeadStep) == ("class DESK/make",)
    assert "name a line" in refused(facts, "set step", step="make", days_likely=1)
    assert "there is no class SOFA" in refused(facts, "set step", part_class="SOFA", step="make")
    said = refused(facts, "set step", line="L1", step="make", days_low=5, days_likely=2)
    assert "more than days_likely" in said


def test_a_measure_waits_for_its_condition(facts):
    said = refused(facts, "record measure", line="L1", on="2027-03-24")
    assert "the measure of class DESK is A1 measure: record that it is finished" in said
    facts, said = done(facts, "set measure", part_class="DESK", after=["A2"], expires_by=["A3"],
                       words="walls painted")  # fmt: skip
    assert said == "Measure of class DESK: after A2; spoiled by A3."
    said = refused(facts, "record measure", line="L1", on="2027-03-24")
    assert "A2 make is not done. It must be measured with walls painted" in said
    facts, _ = done(facts, "finish", activity="A2", on="2027-03-26", started="2027-03-25")
    said = refused(facts, "record measure", line="L1", on="2027-03-24")
    assert "A2 make was done Mar 26" in said
    facts, said = done(facts, "record measure", line="L1", on="2027-03-26", by="Ida")
    assert said == "Line L1 measured Mar 26, 2027 by Ida."
    facts, said = done(facts, "record measure", line="L1", on="2027-03-29")
    assert "again (was Mar 26, 2027)" in said
    facts, said = done(facts, "set measure", part_class="DESK")
    assert said == "Measure of class DESK: none."
    assert facts.ids(FieldMeasure) == ("line L1",)


def test_what_was_damaged_may_come_again(facts):
    """A replacement is no piece too many, and no more than what was lost may come."""
    facts, _ = done(facts, "receive", order="P1", line="L1", qty=1, on="2027-03-27")
    assert "1 more is too many" in refused(
        facts, "receive", order="P1", line="L1", qty=1, on="2027-03-30"
    )
    facts, _ = done(facts, "record event", what="damaged", line="L1", on="2027-03-28", qty=1)
    facts, said = done(facts, "receive", order="P1", line="L1", qty=1, on="2027-03-30")
    assert said.endswith("all of it.")
    assert "1 more is too many" in refused(
        facts, "receive", order="P1", line="L1", qty=1, on="2027-03-31"
    )
    event = facts.get(Event, "E1")
    gone = of_store.check(facts.changed([change := c.base.take_out(event)]), [change])
    assert any("3 received" in p.message for p in gone)


def test_ids_as_they_are_typed(facts):
    facts, _ = done(facts, "set measure", line="L1", after="A1, A2", expires_by="A3")
    assert facts.get(FieldMeasure, "line L1").after == ("A1", "A2")
    assert "there is no activity A9" in refused(facts, "set measure", line="L1", after="A9")


def test_a_vendors_calendar_is_there(facts):
    message = refused(facts, "set vendor", vendor="Us", calendar="nowhere")
    assert "there is no calendar nowhere" in message


def test_what_a_folder_may_say_of_supply_the_store_takes():
    """Bent supply facts: whatever reads without an error the store takes too, and the reverse."""
    rng = random.Random(7)
    more = {
        "vendors": "vendor,claim_days\nUs,5\n",
        "steps": "class,line,step,days_low,days_likely,days_high,order_here\n"
                 "DESK,,make,5,10,20,yes\n,L1,ship,,2 1/2,,\n",
        "measures": "class,after,expires_by,on\nDESK,A1,A2,2027-03-22\n",
        "events": "event,what,order,line,qty,on,day\nE1,promised,P1,L1,,2027-03-24,2027-04-01\n"
                  "E2,damaged,P1,L1,1,2027-03-27,\nE3,decided,,L1,,2027-03-20,\n",
    }  # fmt: skip
    facts = read(**more).facts
    kinds = (Vendor, LeadStep, Event, FieldMeasure, Order, Receipt)
    refusals = 0
    for _ in range(700):
        fact = rng.choice([f for k in kinds for f in facts.all(k)])
        field = rng.choice([f for f in type(fact).model_fields if f not in ("id", "extra")])
        if isinstance(fact, Order) and field in ("order", "line"):
            continue  # in a folder they are its id
        choices = [None, "", "yes", "L1", "DESK", "P1", "A3", "nobody", 0, 1, 3, ("A1",), ("x",),
                   "hold", "make", "shipped", "promised", "installed", date(2027, 3, 25),
                   date(2027, 3, 1), date(2027, 5, 1), Fraction(7, 2), Fraction(-1)]  # fmt: skip
        try:
            made = type(fact).model_validate({**dict(fact), field: rng.choice(choices)})
        except ValueError:
            continue
        if isinstance(when := getattr(made, field), date) and when.year < 2000:
            continue  # a number taken for a date: only a folder asks about its year
        change = Change(fact.kind_name, fact.id, fact, made)
        bent = facts.changed([change])
        refused_here = bool(of_store.check(bent, [change]))
        refused_there = any(b.severity == "error" for b in of_folder.broken(bent))
        assert refused_here == refused_there, (field, made)
        refusals += refused_here
    assert refusals > 60
