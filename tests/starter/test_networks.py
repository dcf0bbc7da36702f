"""Networks to begin with: what they hold, how they grow, and that they meet nothing in a house."""

from fractions import Fraction

import pytest
from tests.job import a_house

from roomwright import commands
from roomwright.exchange.folder import FolderError, read_files
from roomwright.exchange.writer import to_files
from roomwright.job.entities import Activity, Link, Part, PartClass
from roomwright.job.store import Store
from roomwright.schedule.network import cycles
from roomwright.starter import build
from roomwright.starter.networks import WHATS, Place, _table, network_for
from roomwright.starter.rows import rows

HOUSE = [
    Place("1", "living", "wood", 400), Place("2", "kitchen", "wood", 175),
    Place("3", "bath", "tile", 90), Place("4", "powder", "tile", 50),
    Place("5", "bedroom", "carpet", 200), Place("6", "laundry", "tile", 60),
]  # fmt: skip


def test_every_activity_named_in_the_table_is_one_of_the_starters():
    flags = {"gas", "electric", "tile", "wood", "vinyl", "carpet", "hard", "shower", "stairs"}
    known = {row["activity"] for row in rows("activities", flags)}
    table = _table()
    named = {a for w in WHATS for a in table[w]["activities"]}
    named |= {a for each in table["scaled"] for a in each["activities"]}
    assert named <= known


@pytest.mark.parametrize("what", WHATS)
def test_links_join_what_is_there_without_a_ring(what):
    made = network_for(what, HOUSE, shower=True, whole_house=True)
    ids = {w.id for w in made.works}
    assert all({k.before, k.after} <= ids for k in made.links)
    assert cycles([(k.before, k.after) for k in made.links]) == []
    assert all(w.low <= w.likely <= w.high for w in made.works)


def days(places, what, id):
    return next(w.likely for w in network_for(what, places).works if w.id == id)


def test_days_grow_with_floor_and_rooms():
    small, large = Place("2", "kitchen", "wood", 175), Place("2", "kitchen", "wood", 350)
    assert (days([small], "kitchen", "K20"), days([large], "kitchen", "K20")) == (3, 6)
    assert days([small], "kitchen", "K45") == days([large], "kitchen", "K45")
    baths = [Place(str(i), "bath", "tile", 60) for i in range(4)]
    assert days(baths[:1], "bath", "T40") == Fraction(5, 2)
    assert days(baths, "bath", "T40") == 10


def test_what_lies_between_is_joined():
    made = network_for("kitchen", [Place("2", "kitchen", "wood", 175)])
    assert ("K50", "M20") in {(k.before, k.after) for k in made.links}
    lags = {(k.before, k.after): k.lag for k in made.links}
    assert lags["K50", "M20"] == 1


@pytest.fixture
def house(sqlite_store: Store) -> Store:
    a_house.build(sqlite_store)
    return sqlite_store


def run(store, **values):
    return commands.run(store, "test-house", commands.parse("add starter work", values), who="Ana")


def test_a_kitchen_is_added_twice_without_meeting_itself(house: Store):
    done = run(house, what="kitchen", rooms="102", after="A10", before="A30")
    assert done.sentence.startswith("Work of a kitchen added for Kitchen: 14 activities, ")
    facts = house.facts("test-house")
    assert facts.get(Activity, "102-K20").rooms == ("102",)
    assert facts.find(Link, "A10 > 102-K10 (finish to start)") is not None
    assert facts.find(Link, "102-A40 > A30 (finish to start)") is not None
    top = facts.get(PartClass, "102-top-kitchen")
    assert (top.needed_by, top.order_after) == ("102-K50", "102-K40")
    lines = len(facts.all(Part))
    run(house, what="kitchen", rooms="102")
    facts = house.facts("test-house")
    assert facts.find(Activity, "102-2-K20") is not None
    assert len(facts.all(Part)) == lines  # the room has its lines already


def test_all_of_it_is_what_a_folder_may_say(house: Store):
    run(house, what="kitchen", rooms="102", fuel="gas")
    run(house, what="bath", rooms="101", shower="yes")
    run(house, what="whole")
    files = {n: t.encode() for n, t in to_files(house.facts("test-house")).items()}
    try:
        read_files(files)
    except FolderError as error:
        pytest.fail(str(error))


def test_a_whole_phase_beside_a_starters_house_gets_a_prefix():
    from roomwright.commands.starter_work import AddStarterWork

    loaded = read_files({n: t.encode() for n, t in build({"board_date": "2027-03-01"}).items()})
    work = AddStarterWork(what="whole").work(loaded.facts, lambda _: [])
    ids = {c.id for c in work.changes if isinstance(c.after, Activity)}
    assert "W2-K20" in ids
    assert not any(isinstance(c.after, Part) for c in work.changes)


def test_refusals_name_the_field(house: Store):
    for values, field in (
        ({"what": "kitchen"}, "rooms"), ({"what": "bath", "rooms": "9"}, "rooms"),
        ({"what": "bath", "rooms": "101", "after": "A99"}, "after"), ({"what": "barn"}, "what"),
    ):  # fmt: skip
        with pytest.raises(commands.BadCommandError) as caught:
            run(house, **values)
        assert [f for f, _ in caught.value.problems] == [field]
