"""Editing the network: what is added, split, joined and refused."""

from fractions import Fraction

import pytest
from tests.job import a_house

from roomwright import commands
from roomwright.commands.network_split import shares
from roomwright.job.entities import Activity, Link, PartClass, Progress
from roomwright.job.store import Store


@pytest.fixture
def house(sqlite_store: Store) -> Store:
    a_house.build(sqlite_store)
    return sqlite_store


def run(store, command, /, **values):
    return commands.run(store, "test-house", commands.parse(command, values), who="Ana")


def say(store, command, /, **values) -> str:
    return run(store, command, **values).sentence


def pairs(store) -> set[tuple[str, str, str]]:
    return {(k.before, k.after, k.kind) for k in store.facts("test-house").all(Link)}


def activity(store, id) -> Activity | None:
    return store.facts("test-house").find(Activity, id)


FS = "finish to start"


def test_work_is_added_between_and_edited(house: Store):
    said = say(house, "add activity", name="Prime", days_likely="1 1/2", trade="painter",
               rooms="101, 102", after="A20", before="A30")  # fmt: skip
    assert said == "W1 Prime added, 1 1/2 days, after A20, before A30."
    assert activity(house, "W1").rooms == ("101", "102")
    assert {("A20", "W1", FS), ("W1", "A30", FS)} <= pairs(house)
    assert say(house, "edit activity", activity="W1", days_high="3", note="two coats") == (
        "W1 Prime: days high 3, note two coats."
    )
    assert say(house, "edit activity", activity="W1", days_high="3") == "W1 Prime is so already."
    assert activity(house, "W1").name == "Prime"
    say(
        house,
        "edit activity",
        activity="W1",
        name="Prime",
        days_likely=2,
        shown="name days_likely days_high note rooms trade",
    )
    held = activity(house, "W1")
    assert (held.days_high, held.note, held.rooms, held.trade) == (None, "", (), "")


def test_many_are_edited_all_or_none(house: Store):
    rows = [{"activity": "A10", "trade": "tile"}, {"activity": "A20", "days_likely": 2}]
    assert "2 changed." in say(house, "edit activities", rows=rows)
    assert (activity(house, "A10").trade, activity(house, "A20").days_likely) == ("tile", 2)
    bad = [{"activity": "A10", "trade": "glass"}, {"activity": "A99"},
           {"activity": "A20", "days_low": 5}, {"activity": "A30", "rooms": "9"}]  # fmt: skip
    with pytest.raises(commands.BadCommandError) as caught:
        run(house, "edit activities", rows=bad)
    assert [f for f, _ in caught.value.problems] == [
        "rows.1.activity", "rows.2.days_low", "rows.3.rooms",
    ]  # fmt: skip
    assert activity(house, "A10").trade == "tile"


def test_a_split_in_two_keeps_start_links_first_and_finish_links_last(house: Store):
    run(house, "edit activity", activity="A20", days_likely="3 1/2", days_low=2, days_high=6)
    run(house, "link", before="A10", after="A20", kind="finish to finish")
    run(house, "link", before="A20", after="A30", kind="start to start", lag_days=1)
    said = say(house, "split activity", activity="A20", days=1, name="Second half")
    assert said == "A20 split, one after another: A20 (1 day), A20-2 (2 1/2 days)."
    assert pairs(house) == {
        ("A10", "A20", FS), ("A20", "A20-2", FS), ("A20-2", "A30", FS),
        ("A10", "A20-2", "finish to finish"), ("A20", "A30", "start to start"),
    }  # fmt: skip
    first, second = activity(house, "A20"), activity(house, "A20-2")
    assert (first.days_low, first.days_likely, first.days_high) == (
        Fraction(1, 2),
        1,
        Fraction(3, 2),
    )
    assert (second.name, second.days_likely) == ("Second half", Fraction(5, 2))


def test_a_split_by_rooms_follows_the_floor_and_undo_brings_the_whole_back(house: Store):
    run(house, "edit activity", activity="A30", rooms="101 102", name="Tile")
    before = pairs(house)
    done = run(house, "split activity", activity="A30", by="rooms")
    # 101 is 150 deep, 102 193 1/2: of 3 days 1 1/2 each is nearest in half days
    assert "A30 (1 1/2 days), A30-2 (1 1/2 days)" in done.sentence
    assert activity(house, "A30-2").rooms == ("102",)
    assert activity(house, "A30").name == "Tile, Dining"
    house.undo("test-house", done.sequence, who="Ana", command_id="back")
    assert pairs(house) == before
    assert activity(house, "A30").days_likely == 3


def test_side_by_side_each_part_has_all_links(house: Store):
    run(house, "edit activity", activity="A20", days_likely=2, rooms="all")
    run(house, "split activity", activity="A20", by="rooms", order="side by side")
    assert pairs(house) == {
        ("A10", "A20", FS), ("A10", "A20-2", FS), ("A20", "A30", FS), ("A20-2", "A30", FS),
    }  # fmt: skip


def test_what_waits_for_a_measure_waits_for_the_last_part(house: Store):
    run(house, "start", activity="A10", on="2027-01-18")
    run(house, "days left", activity="A10", days=2)
    facts = house.facts("test-house")
    table = facts.get(PartClass, "TABLE")
    house.write(
        "test-house",
        lambda _: [commands.base.edit(table, order_after="A10")],
        command="x", payload={}, who="Ana", command_id="x",
    )  # fmt: skip
    run(house, "split activity", activity="A10")
    facts = house.facts("test-house")
    assert facts.get(PartClass, "TABLE").order_after == "A10-2"
    assert facts.get(Progress, "A10").days_left == 1


def test_a_wait_stays_with_the_first_part_and_a_promise_with_the_last(house: Store):
    run(house, "edit activity", activity="A30", not_before="2027-02-01", hold="a question",
        promised_by="2027-03-01")  # fmt: skip
    run(house, "split activity", activity="A30")
    first, last = activity(house, "A30"), activity(house, "A30-2")
    assert (first.not_before is not None, first.promised_by, first.hold) == (
        True,
        None,
        "a question",
    )
    assert (last.not_before, last.promised_by is not None, last.hold) == (None, True, "")
    with pytest.raises(commands.BadCommandError, match="check the year"):
        run(house, "edit activity", activity="A30", not_before="2072-02-01")


def test_shares_keep_the_sum_and_give_each_half_a_day():
    assert sum(shares(Fraction(7, 2), [10, 1, 1, 1])) == Fraction(7, 2)
    assert shares(Fraction(1), [5, 5, 5]) == [Fraction(1, 2)] * 3


def test_removing_joins_what_waited_through_it(house: Store):
    run(house, "edit link", link=f"A10 > A20 ({FS})", lag_days=1, reason="drying")
    run(house, "edit link", link=f"A20 > A30 ({FS})", lag_days="1/2")
    done = run(house, "remove activity", activity="A20")
    assert done.sentence == "A20 taken out. Joined: A10 → A30."
    joined = house.facts("test-house").get(Link, f"A10 > A30 ({FS})")
    assert (joined.lag_days, joined.reason) == (Fraction(3, 2), "drying")


def test_removing_hands_on_what_needs_it_or_is_refused(house: Store):
    with pytest.raises(commands.BadCommandError, match="class TABLE need A30"):
        run(house, "remove activity", activity="A30")
    said = say(house, "remove activity", activity="A30", instead="A20")
    assert said == "A30 taken out. 1 now need A20."
    assert house.facts("test-house").get(PartClass, "TABLE").needed_by == "A20"
    assert "was recorded" in say(house, "remove activity", activity="A10")
    assert house.facts("test-house").find(Progress, "A10") is None


def test_links_are_made_changed_and_taken_out(house: Store):
    assert say(house, "link", before="A10", after="A30", kind="start to start", lag_days=2) == (
        "A30 starts after A10 has started, 2 working days later."
    )
    id = "A10 > A30 (start to start)"
    assert say(house, "edit link", link=id, kind=FS, lag_counts="elapsed") == (
        "A30 starts after A10 is finished, 2 elapsed days later."
    )
    assert ("A10", "A30", "start to start") not in pairs(house)
    assert say(house, "unlink", link=f"A10 > A30 ({FS})") == (
        "A30 no longer waits for A10 (finish to start)."
    )


def test_a_loop_is_refused_with_its_activities_by_name(house: Store):
    run(house, "edit activity", activity="A10", name="Hang doors")
    with pytest.raises(commands.BadCommandError) as caught:
        run(house, "link", before="A30", after="A10")
    assert "A30 → A10 Hang doors → A20 → A30" in str(caught.value)
    with pytest.raises(commands.BadCommandError, match="ring"):
        run(house, "add activity", name="x", days_likely=1, after="A30", before="A10")


REFUSED = [
    ("add activity", {"days_likely": 1}, "name", "say what"),
    ("add activity", {"activity": "A10", "days_likely": 1}, "activity", "is there already"),
    ("add activity", {"name": "x", "days_likely": "1/3"}, "days_likely", "half a day"),
    ("add activity", {"name": "x", "days_likely": -1}, "days_likely", "can't be"),
    ("add activity", {"name": "x", "days_likely": 1, "rooms": "7"}, "rooms", "no room 7"),
    ("add activity", {"name": "x", "days_likely": 1, "after": "A9"}, "after", "no activity A9"),
    ("edit activity", {"activity": "A10", "days_likely": None}, "days_likely", "are needed"),
    ("edit activity", {"activity": "A10", "days_high": 1}, "days_high", "swap"),
    ("edit activity", {"activity": "A10", "shown": "nam"}, "shown", "no field"),
    ("split activity", {"activity": "A20"}, "activity", "too little"),
    ("split activity", {"activity": "A30", "days": 3}, "days", "less than 3"),
    ("split activity", {"activity": "A30", "by": "rooms"}, "by", "names 0 rooms"),
    ("remove activity", {"activity": "A30", "instead": "A30"}, "instead", "another"),
    ("link", {"before": "A10", "after": "A10"}, "after", "itself"),
    ("link", {"before": "A10", "after": "A20"}, "after", "already"),
    ("link", {"before": "A10", "after": "A30", "lag_days": 4000}, "lag_days", "can't be"),
    ("unlink", {"link": "no"}, "link", "there is no link no"),
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


def test_a_part_is_never_needed_before_its_measure(house: Store):
    table = house.facts("test-house").get(PartClass, "TABLE")
    house.write(
        "test-house",
        lambda _: [commands.base.edit(table, order_after="A20")],
        command="x", payload={}, who="Ana", command_id="x",
    )  # fmt: skip
    run(house, "unlink", link=f"A20 > A30 ({FS})")
    with pytest.raises(commands.BadCommandError, match="leave the measure before"):
        run(house, "link", before="A30", after="A20")
