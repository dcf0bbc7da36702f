"""A new house and its first entry are made together, or neither; twice the same makes one."""

from datetime import date

import pytest
from tests.job.test_threads import in_threads

from roomwright import commands
from roomwright.job import doctor
from roomwright.job.entities import House, Room
from roomwright.job.errors import StoreError
from roomwright.job.store import Store

TRY = commands.TryRoom(name="Mill Lane", width=162, depth=150, on=date(2027, 3, 29))


def test_a_house_begins_with_its_first_command(store: Store):
    job_id, done = commands.begin(store, "Mill Lane", TRY, who="Ana")
    assert (job_id, done.sequence) == ("mill-lane", 1)
    assert store.facts(job_id).get(Room, "1").name == "Mill Lane"
    assert commands.begin(store, "Mill Lane", TRY, who="Ana")[0] == "mill-lane-2"
    assert doctor.examine(store) == []


def test_the_same_command_id_gives_the_same_house(store: Store):
    first = commands.begin(store, "Mill Lane", TRY, who="Ana", command_id="form-1")
    again = commands.begin(store, "Mill Lane", TRY, who="Ana", command_id="form-1")
    assert (again[0], again[1].repeated, again[1].sentence) == (
        first[0], True, first[1].sentence,
    )  # fmt: skip
    assert len(store.jobs()) == 1


def test_in_many_threads_it_is_one_house(store: Store):
    ids: list[str] = []

    def work(_: int) -> None:
        ids.append(commands.begin(store, "Mill Lane", TRY, who="Ana", command_id="form-1")[0])

    in_threads(work)
    assert set(ids) == {"mill-lane"}
    assert len(store.jobs()) == 1


def test_a_refused_command_leaves_no_house(store: Store):
    bad = commands.TryRoom(name="Mill Lane", width=0, depth=150, on=date(2027, 3, 29))
    with pytest.raises(commands.BadCommandError):
        commands.begin(store, "Mill Lane", bad, who="Ana")
    assert store.jobs() == []
    with pytest.raises(StoreError):
        commands.begin(store, "Mill Lane", TRY, who="", command_id="x")
    assert store.jobs() == []


@pytest.mark.parametrize("floors", ["1", "2"])
def test_ten_answers_start_a_house_that_breaks_no_rule(store: Store, floors):
    answers = {"name": "Mill Lane", "floors": floors, "board_date": "in 6 weeks"}
    start = commands.StartHouse(answers=answers, today=date(2027, 3, 29))
    job_id, done = commands.begin(store, "Mill Lane", start, who="Ana")
    assert done.sentence.startswith("Mill Lane started: ")
    assert store.facts(job_id).get(House, "house").name == "Mill Lane"
    assert doctor.examine(store, job_id) == []
    (entry,) = store.journal(job_id)
    assert entry.payload["answers"] == answers


def test_bad_answers_are_refused(sqlite_store: Store):
    start = commands.StartHouse(answers={"floors": "many"}, today=date(2027, 3, 29))
    with pytest.raises(commands.BadCommandError, match="floors"):
        commands.begin(sqlite_store, "Mill Lane", start, who="Ana")
