"""Work that is split: what stood on the whole stands on the parts, so that none counts half-way."""

from datetime import date
from fractions import Fraction

import pytest

from roomwright import commands
from roomwright.job.entities import (
    Activity,
    Booking,
    ChangeOrder,
    Choice,
    Drying,
    FieldMeasure,
    House,
    Link,
    PartClass,
    Room,
)
from roomwright.job.facts import Facts

HOUSE = House(id="house", name="h", site_start=date(2027, 3, 1),
              work_week=("mon", "tue", "wed", "thu", "fri"))  # fmt: skip
SQUARE = ((0, 0), (120, 0), (120, 120), (0, 120))
IN_A_ROW, BESIDE = "one after another", "side by side"


def split(*facts, order=IN_A_ROW, by="two"):
    held = Facts([
        HOUSE, Room(id="1", level="1", outline=SQUARE), Room(id="2", level="1", outline=SQUARE),
        Activity(id="A", days_likely=4, rooms=("1", "2")), Activity(id="B", days_likely=1),
        Link(id="A > B (finish to start)", before="A", after="B"), *facts,
    ])  # fmt: skip
    asked = {"activity": "A", "order": order, "by": by}
    work = commands.parse("split activity", asked).work(held, lambda _: [])
    return held.changed(work.changes), work.sentence


MEASURE = FieldMeasure(id="class G", part_class="G", after=("A",), expires_by=("A", "B"))


@pytest.mark.parametrize(("order", "after"), [(IN_A_ROW, ("A-2",)), (BESIDE, ("A", "A-2"))])
def test_a_measure_is_true_only_when_all_of_it_is_done(order, after):
    then, _ = split(MEASURE, order=order)
    (measure,) = then.all(FieldMeasure)
    assert measure.after == after
    assert measure.expires_by == ("A", "A-2", "B")


@pytest.mark.parametrize(("order", "by", "dries"), [
    (IN_A_ROW, "two", ["A-2"]), (BESIDE, "two", ["A", "A-2"]), (IN_A_ROW, "rooms", ["A", "A-2"]),
])  # fmt: skip
def test_rooms_dry_after_the_part_that_wets_them_last(order, by, dries):
    then, _ = split(Drying(id="A", days=3), order=order, by=by)
    assert sorted(d.id for d in then.all(Drying)) == dries
    assert {d.days for d in then.all(Drying)} == {3}


def test_a_class_that_is_ordered_after_it_is_ordered_after_all_of_it():
    glass = PartClass(id="G", name="glass", needed_by="B", order_after="A")
    then, _ = split(glass)
    assert then.get(PartClass, "G").order_after == "A-2"
    with pytest.raises(commands.BadCommandError, match="class G is ordered after A, all of it"):
        split(glass, order=BESIDE)


@pytest.mark.parametrize("held", [
    PartClass(id="G", name="glass", needed_by="A"), Choice(id="C1", what="tile", activity="A"),
])  # fmt: skip
def test_no_part_starts_before_what_the_whole_waited_for(held):
    then, said = split(held, order=BESIDE)
    assert then.find(Link, "A > A-2 (start to start)") is not None
    assert "None starts before A" in said
    then, _ = split(held)
    assert then.find(Link, "A > A-2 (start to start)") is None


def test_a_change_order_names_all_parts_until_it_is_signed():
    paper = ChangeOrder(id="CO-1", title="t", days=1, activities=("A", "B"))
    signed = ChangeOrder(id="CO-2", title="t", activities=("A",), agreed_by="Ann",
                         agreed_on=date(2027, 2, 1))  # fmt: skip
    then, _ = split(paper, signed)
    assert then.get(ChangeOrder, "CO-1").activities == ("A", "A-2", "B")
    assert then.get(ChangeOrder, "CO-2") == signed


def test_a_booking_stays_with_the_first_part_and_is_said():
    then, said = split(Booking(id="A", first_day=date(2027, 3, 3), days=4))
    (booked,) = then.all(Booking)
    assert (booked.id, booked.days) == ("A", Fraction(2))
    assert "The booking of Mar 3, 2027 stays with A: book the rest." in said
