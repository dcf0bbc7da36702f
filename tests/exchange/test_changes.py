"""What changed between two states, in sentences; and dates moved by whole weeks."""

from datetime import date, timedelta
from fractions import Fraction

from hypothesis import given
from hypothesis import strategies as st
from tests.exchange.houses import add, read, swap

from roomwright.exchange.changes import compare, describe
from roomwright.exchange.folder import read_folder
from roomwright.exchange.samples import example_path
from roomwright.exchange.shift import shift_weeks, weeks_to_current
from roomwright.job.entities import House, Order, Part, Piece, Progress
from roomwright.job.facts import Facts

DEMO = read_folder(example_path("tern-hollow")).facts


def sentences(**texts):
    return describe(compare(read().facts, read(**texts).facts))


def test_nothing_changed():
    assert sentences() == []


def test_what_changed_field_by_field():
    assert sentences(**swap("pieces", "60,30,30,160,40,0", "60,30,30,150,40,90")) == [
        "desk T1 (2): x was 13'-4\", is now 12'-6\"; turn was 0, is now 90."
    ]
    assert sentences(**swap("orders", "2027-04-01", "2027-04-29")) == [
        "order line P1/L1: promised was Apr 1, 2027, is now Apr 29, 2027."
    ]
    assert sentences(**swap("parts", "DESK,2,", "DESK,2,oak")) == [
        "line L1 (2): note was nothing, is now oak."
    ]


def test_what_came_and_went():
    assert sentences(**add("parts", "L2,1,DESK,1,")) == ["line L2 (1) is new."]
    gone = describe(compare(read(**add("parts", "L2,1,DESK,1,")).facts, read().facts))
    assert gone == ["line L2 (1) is gone."]
    many = "\n".join(f"L{i},1,DESK,1," for i in range(2, 20))
    assert sentences(**add("parts", many)) == ["18 lines are new: L2, L3, L4 and 15 more."]


def test_a_folder_says_nothing_about_kinds_it_has_no_file_for():
    new = Facts(f for f in read().facts if f.kind_name != "order")
    assert [c.kind for c in compare(read().facts, new)] == ["order"]
    assert compare(read().facts, new, kinds={"room", "part"}) == []


def test_changes_lead_from_one_state_to_the_other():
    old, new = read().facts, read(**add("parts", "L2,1,DESK,1,")).facts
    assert list(old.changed(compare(old, new))) == list(new)


@given(st.dates(date(2020, 1, 1), date(2040, 1, 1)), st.dates(date(2020, 1, 1), date(2040, 1, 1)))
def test_the_day_written_falls_into_this_week(written, today):
    moved = written + timedelta(weeks=weeks_to_current(written, today))
    monday = today - timedelta(days=today.weekday())
    assert monday <= moved <= monday + timedelta(days=6)
    assert moved.weekday() == written.weekday()


def test_every_date_moves_and_nothing_else():
    moved = shift_weeks(DEMO, 10)
    by = timedelta(weeks=10)
    assert moved.get(House, "house").days_off[0] == date(2027, 5, 31) + by
    for kind, field in ((Order, "promised"), (Progress, "started")):
        for before, after in zip(DEMO.all(kind), moved.all(kind), strict=True):
            assert getattr(after, field) == getattr(before, field) + by
    assert moved.all(Part) == DEMO.all(Part)
    assert list(shift_weeks(moved, -10)) == list(DEMO)
    assert DEMO.get(Piece, "T1").x == Fraction(81)
