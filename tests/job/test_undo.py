"""Undo writes the inverse as an entry of its own, and refuses where a fact has changed since."""

from fractions import Fraction

import pytest
from tests.job import a_house

from roomwright.job import doctor, errors
from roomwright.job.entities import Piece
from roomwright.job.facts import Change
from roomwright.job.store import Store


def x(value):
    def build(facts):
        piece = facts.get(Piece, "T1")
        return [Change("piece", "T1", piece, piece.model_copy(update={"x": Fraction(value)}))]

    return build


def x_of(store):
    return store.facts("test-house").get(Piece, "T1").x


def undo(store, command_id, sequence=None):
    return store.undo("test-house", sequence, who="Ben", command_id=command_id)


@pytest.fixture
def moved(store: Store) -> Store:
    a_house.build(store)
    for i, place in enumerate((70, 60, 50)):
        tell = lambda *_, place=place: (f"T1 moved to {place}.", {})  # noqa: E731
        a_house.write(store, x(place), f"m{i}", tell=tell)
    return store


def test_undo_again_and_again_goes_further_back(moved: Store):
    done = undo(moved, "u1")
    assert (x_of(moved), done.sequence, done.sentence) == (60, 5, "Undone: T1 moved to 50.")
    undo(moved, "u2")
    assert x_of(moved) == 70
    undo(moved, "u3")
    assert x_of(moved) == 81
    names = [e.command for e in moved.journal("test-house")]
    assert names == ["start", "test", "test", "test", "undo", "undo", "undo"]
    assert doctor.examine(moved) == []


def test_an_undo_is_undone_by_its_sequence(moved: Store):
    undo(moved, "u1")
    done = undo(moved, "u2", 5)
    assert (x_of(moved), done.sentence) == (50, "Done again: T1 moved to 50.")
    assert undo(moved, "u3").sentence == "Undone: T1 moved to 50."
    assert x_of(moved) == 60


def test_taking_back_to_and_fro_does_not_pile_up_words(moved: Store):
    said = [undo(moved, f"u{n}", sequence).sentence for n, sequence in enumerate((4, 5, 6, 7))]
    assert said == ["Undone: T1 moved to 50.", "Done again: T1 moved to 50."] * 2


def test_undo_after_a_new_command_takes_that_one(moved: Store):
    undo(moved, "u1")
    a_house.write(moved, x(10), "m9")
    undo(moved, "u2")
    assert x_of(moved) == 60
    undo(moved, "u3")
    assert x_of(moved) == 70


def test_the_same_undo_twice_undoes_once(moved: Store):
    undo(moved, "u1")
    assert undo(moved, "u1").repeated
    assert x_of(moved) == 60


def test_undo_refuses_where_the_fact_has_changed_since(moved: Store):
    with pytest.raises(errors.ConflictError) as caught:
        undo(moved, "u1", 2)
    assert caught.value.clashes[0].fields == (("x", "5'-10\"", "4'-2\"", "6'-9\""),)
    assert "has changed since, so this can't be undone" in str(caught.value)
    assert x_of(moved) == 50


def test_undo_refuses_where_others_need_what_it_brought(store: Store):
    a_house.build(store)
    room = a_house.FACTS[1].model_copy(
        update={"id": "201", "level": "2"},
    )
    a_house.write(store, a_house.new(room), "m1")
    a_house.write(store, a_house.new(Piece(id="B1", room="201", kind="bed")), "m2")
    with pytest.raises(errors.RuleError, match="Room 201 is still needed by bed B1"):
        undo(store, "u1", 2)


def test_undo_of_nothing_says_so(sqlite_store: Store):
    sqlite_store.create("test-house", "x")
    with pytest.raises(errors.StoreError, match="nothing to undo"):
        undo(sqlite_store, "u1")
    with pytest.raises(errors.StoreError, match="no entry 7"):
        undo(sqlite_store, "u1", 7)
