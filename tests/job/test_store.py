"""The store: one entry a write, nothing by halves, repeats harmless, conflicts shown."""

from dataclasses import replace
from fractions import Fraction

import pytest
from tests.job import a_house

from roomwright.job import errors
from roomwright.job.entities import Piece, Room
from roomwright.job.facts import Change
from roomwright.job.store import Store


def moved(x):
    def build(facts):
        piece = facts.get(Piece, "T1")
        return [Change("piece", "T1", piece, piece.model_copy(update={"x": Fraction(x)}))]

    return build


def x_of(store):
    return store.facts("test-house").get(Piece, "T1").x


def test_a_house_comes_back_from_a_new_process_state(store: Store):
    a_house.build(store)
    with Store(store.url) as again:
        facts = again.facts("test-house")
        assert facts.sequence == 1
        assert {(f.kind_name, f.id): f for f in facts} == {
            (f.kind_name, f.id): f for f in a_house.FACTS
        }
        assert facts.version("piece", "T1") == 1
        assert [(j.id, j.name, j.sequence) for j in again.jobs()] == [
            ("test-house", "Test house", 1)
        ]


def test_a_write_is_seen_by_another_store_on_the_same_database(store: Store):
    a_house.build(store)
    with Store(store.url) as other:
        before = other.facts("test-house")
        assert other.facts("test-house") is before, "unchanged: the kept state"
        a_house.write(store, moved(70), "m1")
        after = other.facts("test-house")
        assert (after.sequence, after.get(Piece, "T1").x) == (2, 70)
        assert after.get(Room, "101") is before.get(Room, "101"), "what stayed is the same object"
        assert after.version("piece", "T1") == 2


def test_the_same_command_id_writes_once(store: Store):
    a_house.build(store)
    first = a_house.write(store, moved(70), "m1")
    a_house.write(store, moved(60), "m2")
    again = a_house.write(store, moved(70), "m1")
    assert replace(again, repeated=False) == first
    assert again.repeated
    assert x_of(store) == 60
    assert len(store.journal("test-house")) == 3


def test_a_command_id_used_for_something_else_is_refused(store: Store):
    a_house.build(store)
    a_house.write(store, moved(70), "m1", payload={"x": 70})
    with pytest.raises(errors.StoreError, match="used for something else"):
        a_house.write(store, moved(60), "m1", payload={"x": 60})
    assert x_of(store) == 70


def test_a_stale_version_is_a_conflict_that_shows_both_values(store: Store):
    a_house.build(store)
    a_house.write(store, moved(70), "m1", who="Ben")
    with pytest.raises(errors.ConflictError) as caught:
        a_house.write(store, moved(60), "m2", expect={("piece", "T1"): 1})
    clash = caught.value.clashes[0]
    assert (clash.kind, clash.id) == ("piece", "T1")
    assert clash.fields == (("x", "6'-9\"", "5'-10\"", "5'-0\""),)
    assert "Dining table T1 has changed since you looked (by Ben" in str(caught.value)
    assert x_of(store) == 70
    a_house.write(store, moved(60), "m2", expect={("piece", "T1"): 2})
    assert x_of(store) == 60


def test_expecting_no_fact_where_there_is_one_is_a_conflict(store: Store):
    a_house.build(store)
    with pytest.raises(errors.ConflictError, match="was made since you looked"):
        a_house.write(store, moved(60), "m2", expect={("piece", "T1"): 0})


def test_nothing_is_written_when_nothing_changes(store: Store):
    a_house.build(store)
    assert a_house.write(store, moved(81), "m1").sequence == 1
    assert len(store.journal("test-house")) == 1


def test_a_write_that_fails_leaves_nothing_behind(store: Store):
    a_house.build(store)

    def fails(facts):
        raise ZeroDivisionError

    with pytest.raises(ZeroDivisionError):
        a_house.write(store, fails, "m1")
    with pytest.raises(errors.RuleError):
        a_house.write(store, a_house.new(Piece(id="P2", room="999", kind="chair")), "m2")
    assert store.facts("test-house").sequence == 1
    assert a_house.write(store, moved(70), "m1").sequence == 2


def test_versions_go_on_counting_after_a_fact_is_gone_and_back(store: Store):
    a_house.build(store)
    chair = Piece(id="P2", room="101", kind="chair")
    a_house.write(store, a_house.new(chair), "m1")
    a_house.write(store, [Change("piece", "P2", chair, None)], "m2")
    a_house.write(store, a_house.new(chair), "m3")
    assert store.facts("test-house").version("piece", "P2") == 3
    with Store(store.url) as cold:
        assert cold.facts("test-house").version("piece", "P2") == 3


def test_an_unknown_house_is_named_with_those_that_look_like_it(store: Store):
    a_house.build(store)
    with pytest.raises(errors.UnknownHouseError, match=r"Did you mean test-house\?") as caught:
        store.facts("tset-house")
    assert caught.value.near == ("test-house",)


def test_a_removed_house_can_be_brought_back(store: Store):
    a_house.build(store)
    store.remove("test-house")
    assert store.jobs() == []
    with pytest.raises(errors.UnknownHouseError):
        store.facts("test-house")
    store.create("test-house", "Another")
    assert len(store.facts("test-house")) == 0
    ((number, info),) = store.removed()
    with pytest.raises(errors.StoreError, match="choose another id"):
        store.restore(number, info.id)
    store.restore(number, "old-house")
    assert len(store.facts("old-house")) == len(a_house.FACTS)


@pytest.mark.parametrize("bad", ["", "Tern Hollow", "a/b", "-a", "x" * 81, "été", "a\n"])
def test_a_house_id_is_a_slug(sqlite_store: Store, bad):
    with pytest.raises(errors.StoreError):
        sqlite_store.create(bad, "A house")


@pytest.mark.parametrize("bad", ["", "x" * 81, "a\x00b", "a\nb", "\ud800"])
def test_who_and_command_id_are_plain_text(sqlite_store: Store, bad):
    a_house.build(sqlite_store)
    with pytest.raises(errors.StoreError):
        a_house.write(sqlite_store, moved(1), bad)
    with pytest.raises(errors.StoreError):
        a_house.write(sqlite_store, moved(1), "m1", who=bad)


def test_new_houses_of_one_name_get_ids_of_their_own(sqlite_store: Store):
    ids = [sqlite_store.create_new("Tern Hollow").id for _ in range(3)]
    assert ids == ["tern-hollow", "tern-hollow-2", "tern-hollow-3"]
