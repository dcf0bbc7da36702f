"""Facts that can't stand together are refused, in words that name them; nothing is written."""

from datetime import date
from fractions import Fraction

import pytest
from tests.job import a_house

from roomwright.exchange import rules as of_folder
from roomwright.job import rules
from roomwright.job.entities import (
    Activity,
    Companion,
    Fixed,
    House,
    Link,
    PartClass,
    Piece,
    Posting,
    Progress,
    Receipt,
    Room,
    Stair,
    Vendor,
    Window,
)
from roomwright.job.errors import RuleError
from roomwright.job.facts import Change, Facts
from roomwright.job.store import Store

HOUSE = Facts(a_house.FACTS)


def square(x, y, size=60):
    return ((x, y), (x + size, y), (x + size, y + size), (x, y + size))


def changed(kind, id, /, **values):
    """The change of a fact of the house."""
    held = HOUSE.fact(kind, id)
    return Change(kind, id, held, held.model_copy(update=values))


def gone(kind, id):
    return Change(kind, id, HOUSE.fact(kind, id), None)


def new(fact):
    return Change(fact.kind_name, fact.id, None, fact)


def link(before, after):
    return new(Link(id=f"{before} > {after} (finish to start)", before=before, after=after))


BAD = [
    # references
    (new(Piece(id="P2", room="999", kind="chair")), "chair P2: there is no room 999 (room)."),
    (new(Piece(id="P2", room="101", kind="chair", line="L9")), "there is no line L9"),
    (new(Activity(id="A40", days_likely=1, rooms=("101", "999"))), "there is no room 999"),
    (new(Progress(id="A99")), "there is no activity A99"),
    (new(Stair(id="S1", from_room="101", to_room="nowhere", rise=100, risers=14)), "room nowhere"),
    (changed("light", "C1", centred_on="T9"), "light C1: there is no piece, fixed thing, window,"),
    (changed("light", "C1", centred_on="C1"), "light C1: things are centered on each"),
    (changed("piece", "T1", centred_on="C1"), "in a ring: T1 > C1 > T1"),
    (new(Piece(id="P2", room="101", kind="mirror", centred_on="V9")), "mirror P2: there is no"),
    # still needed
    (gone("room", "101"), "room 101 is still needed by"),
    (gone("activity", "A30"), "activity A30 is still needed by"),
    (gone("part", "L1"), "line L1 is still needed by"),
    (gone("class", "TABLE"), "class TABLE is still needed by line L1"),
    (gone("piece", "T1"), "dining table T1 is still needed by light C1"),
    # ids
    (new(Activity(id=" A40", days_likely=1)), "can't be the id of an activity"),
    (new(Activity(id="A\n40", days_likely=1)), "can't be the id of an activity"),
    (new(Activity(id="A\x0040", days_likely=1)), "can't be the id of an activity"),
    (new(House(id="other", name="x", site_start=date(2027, 1, 1))), "There is one house"),
    # receipts and orders
    (changed("receipt", "R1", qty=3), "3 received (R1) but 2 ordered"),
    (new(Receipt(id="R2", order="PO-1", line="L1", qty=2)), "3 received (R1 and R2) but 2"),
    (changed("order", "PO-1/L1", qty=0), "1 received (R1) but 0 ordered"),
    (gone("order", "PO-1/L1"), "order PO-1, which has no such line"),
    (new(Receipt(id="R2", order="PO-9", line="L1", qty=1)), "order PO-9, which has no such line"),
    (changed("receipt", "R1", on=date(2026, 12, 31)), "before order PO-1 was placed"),
    (changed("order", "PO-1/L1", promised=date(2027, 1, 3)), "before it was placed"),
    # work
    (changed("progress", "A10", finished=date(2027, 1, 17)), "can't be finished on Jan 17, 2027"),
    (changed("progress", "A10", days_left=Fraction(-1)), "fewer than 0 days left"),
    (
        changed("progress", "A10", finished=date(2027, 1, 19), days_left=Fraction(1, 2)),
        "can't have 1/2 days left",
    ),
    (changed("progress", "A10", days_left=Fraction(1, 4)), "1/4 days is finer than half a day"),
    (changed("progress", "A10", days_left=Fraction(2001)), "give 2000 at most"),
    (new(Activity(id="A40", days_likely=Fraction(1, 3))), "1/3 days is finer than half a day"),
    (new(Activity(id="A40", days_likely=2001)), "give 2000 at most"),
    (link("A30", "A10"), "ring: A30 > A10 > A20 > A30"),
    (link("A10", "A10"), "ring: A10 > A10"),
    (new(Activity(id="A40", days_likely=-1)), "-1 days is less than none"),
    (new(Activity(id="A40", days_low=3, days_likely=2)), "days low (3) is more than days likely"),
    (new(Activity(id="A40", days_low=3, days_likely=3, days_high=2)), "days likely (3) is more"),
    (
        new(PartClass(id="C", needed_by="A10", lead_weeks_low=4, lead_weeks_high=2)),
        "lead weeks low (4) is more than lead weeks high (2)",
    ),
    (new(Companion(id="C", part_class="TABLE", part="leaf", per_item=-1)), "-1 of it can't go"),
    (
        new(Posting(id="p", room="101", posted=date(2027, 2, 2), taken_down=date(2027, 2, 1))),
        "taken down on Feb 1, 2027, before it was hung",
    ),
    # sizes and shapes
    (changed("piece", "T1", width=Fraction(0)), 'its width is 0"'),
    (changed("piece", "T1", depth=Fraction(-1)), "its depth is"),
    (changed("piece", "T1", x=None), "has no x: give both"),
    (changed("piece", "T1", x=Fraction(10**9)), "miles away"),
    (new(Room(id="103", level="1", outline=((0, 0), (9, 0)))), "three corners or more"),
    (new(Room(id="103", level="1", outline=((0, 0), (9, 0), (18, 0)))), "room 103: its outline"),
    (
        new(Room(id="103", level="1", outline=((500, 0), (600, 90), (600, 0), (500, 90)))),
        "meets itself",
    ),
    (new(Room(id="103", level="1", outline=square(100, 100))), "room 103 lies over room 101"),
    (new(Fixed(id="F1", room="101", outline=((0, 0), (9, 9), (9, 0), (0, 9)))), "meets itself"),
    (changed("opening", "O1", a=(Fraction(40), Fraction(75))), "off the nearest wall of 101"),
    (changed("opening", "O1", b=(Fraction(40), Fraction(150))), "both ends at one point"),
    (changed("opening", "O1", to_room="101"), "leads from 101 to itself"),
    (changed("opening", "O1", kind="swing", swings_into="out"), "on neither side of it"),
    (
        changed("opening", "O1", kind="swing", hinge=(Fraction(60), Fraction(170))),
        "is hinged",
    ),
    (new(Window(id="W1", room="101", a=(50, 60), b=(80, 60))), "off the walls of room 101"),
    (new(Window(id="W1", room="101", a=(50, 0), b=(50, 0))), "has no width"),
]


def test_the_house_breaks_no_rule():
    assert rules.examine(HOUSE) == []


@pytest.mark.parametrize(("change", "said"), BAD, ids=lambda v: v if isinstance(v, str) else "")
def test_refused_in_words(change, said, sqlite_store: Store):
    a_house.build(sqlite_store)
    with pytest.raises(RuleError) as caught:
        a_house.write(sqlite_store, [change], "m1")
    assert said.lower() in str(caught.value).lower()
    assert sqlite_store.facts("test-house").sequence == 1


@pytest.mark.parametrize(("change", "said"), BAD, ids=lambda v: v if isinstance(v, str) else "")
def test_looking_at_everything_finds_it_too(change, said):
    """Not in the same words always: what was taken away shows in what still refers to it."""
    found = rules.examine(HOUSE.changed([change]))
    words = ["ring"] if said.startswith("ring") else change.id.strip().split("/")
    assert any(all(w in f"{p.id} {p.message}" for w in words) for p in found), found


def test_a_rule_looks_at_the_result_not_at_the_way_there(sqlite_store: Store):
    """A room and its last piece may go in one command."""
    a_house.build(sqlite_store)
    ids = [("light", "C1"), ("piece", "T1"), ("receipt", "R1"), ("order", "PO-1/L1")]
    ids += [("part", "L1"), ("opening", "O1"), ("room", "101")]
    a_house.write(sqlite_store, [gone(*key) for key in ids], "m1")
    assert sqlite_store.facts("test-house").fact("room", "101") is None


def test_a_room_does_not_leave_its_windows_behind(sqlite_store: Store):
    a_house.build(sqlite_store)
    a_house.write(sqlite_store, [new(Window(id="W1", room="101", a=(0, 50), b=(0, 80)))], "m1")
    smaller = changed("room", "101", outline=((40, 0), (162, 0), (162, 150), (40, 150)))
    with pytest.raises(RuleError, match="Window W1 lies 3'-4\" off the walls of room 101"):
        a_house.write(sqlite_store, [smaller], "m2")


def test_one_fact_twice_in_a_command_is_refused(sqlite_store: Store):
    a_house.build(sqlite_store)
    chair = new(Piece(id="P2", room="101", kind="chair"))
    with pytest.raises(RuleError, match="stands twice"):
        a_house.write(sqlite_store, [chair, chair], "m1")


def test_rooms_may_touch_and_lie_above_each_other(sqlite_store: Store):
    a_house.build(sqlite_store)
    beside = new(Room(id="103", level="1", outline=square(162, 0)))
    above = new(Room(id="201", level="2", outline=square(0, 0)))
    a_house.write(sqlite_store, [beside, above], "m1")


@pytest.mark.parametrize("id", ["a,b", "a; b"])
def test_an_id_that_a_list_would_part_is_refused_by_both_books(id):
    work = Activity(id=id, days_likely=1)
    facts = Facts([House(name="h", site_start=date(2027, 1, 4)), work])
    (problem,) = rules.check(facts, [Change(work.kind_name, id, None, work)])
    assert "comma or semicolon" in problem.message
    told = [b for b in of_folder.broken(facts) if b.severity == "error"]
    assert [(b.kind, b.id, b.field) for b in told] == [("activity", id, "id")]
    maker = Vendor(id="Rye, Inc.")
    assert rules.check(facts, [Change(maker.kind_name, maker.id, None, maker)]) == []
