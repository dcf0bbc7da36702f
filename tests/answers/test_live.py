"""Live answers: over the facts as they stand, kept where they hold, for any day and thread."""

import threading
from datetime import date

import pytest
from tests.job import a_house

from roomwright import commands
from roomwright.answers import dates, rooms
from roomwright.answers.live import Live
from roomwright.job.errors import UnknownHouseError
from roomwright.job.store import Store

TODAY = date(2027, 3, 29)


@pytest.fixture
def live(sqlite_store: Store) -> Live:
    a_house.build(sqlite_store)
    return Live(sqlite_store, today=lambda: TODAY)


def move(store, **values):
    commands.run(store, "test-house", commands.Move(piece="T1", **values), who="Ana")


def west_clear(answers):
    (piece,) = answers.ask(rooms.room_fit, "101").pieces
    return next(s.clear for s in piece.sides if s.side == "west")


def test_answers_follow_the_facts(live: Live, sqlite_store: Store):
    before = live.answers("test-house")
    assert live.answers("test-house") is before, "nothing changed"
    assert west_clear(before) == 39
    move(sqlite_store, dx=5)
    assert west_clear(live.answers("test-house")) == 44
    assert west_clear(before) == 39, "the old answers stay usable"


def test_answers_follow_what_another_process_wrote(live: Live, sqlite_store: Store):
    assert west_clear(live.answers("test-house")) == 39
    with Store(sqlite_store.url) as other:
        move(other, dx=5)
    assert west_clear(live.answers("test-house")) == 44


def test_what_was_not_touched_is_not_computed_again(live: Live, sqlite_store: Store):
    told = live.answers("test-house").ask(dates.dates)
    move(sqlite_store, dx=5)
    assert live.answers("test-house").ask(dates.dates) is told


def test_another_day_keeps_what_does_not_hang_on_the_day(live: Live):
    fit = live.answers("test-house", TODAY).ask(rooms.room_fit, "101")
    later = live.answers("test-house", date(2027, 4, 5))
    assert later.as_of == date(2027, 4, 5)
    assert later.ask(rooms.room_fit, "101") is fit


def test_the_day_is_the_houses_own_unless_named(live: Live):
    assert live.answers("test-house").as_of == TODAY
    assert live.answers("test-house", date(2027, 2, 1)).as_of == date(2027, 2, 1)


def test_only_so_many_are_kept(sqlite_store: Store):
    a_house.build(sqlite_store)
    live = Live(sqlite_store, most=3)
    for day in range(1, 20):
        live.answers("test-house", date(2027, 3, day))
    assert len(live._kept) == 3
    live.forget("test-house")
    assert not live._kept


def test_an_unknown_house_is_said(live: Live):
    with pytest.raises(UnknownHouseError, match="Did you mean test-house"):
        live.answers("test-hose")


def test_a_house_of_the_same_id_is_another_house(live: Live, sqlite_store: Store):
    assert west_clear(live.answers("test-house")) == 39
    sqlite_store.remove("test-house")
    a_house.build(sqlite_store)
    move(sqlite_store, dx=3)
    assert west_clear(live.answers("test-house")) == 42


def test_many_threads_ask_while_one_moves(live: Live, sqlite_store: Store):
    errors: list[BaseException] = []

    def ask() -> None:
        try:
            for _ in range(30):
                answers = live.answers("test-house")
                x = float(answers.facts.fact("piece", "T1").x)
                assert west_clear(answers) == x - 42
        except BaseException as error:
            errors.append(error)

    threads = [threading.Thread(target=ask) for _ in range(3)]
    for thread in threads:
        thread.start()
    for i in range(15):
        move(sqlite_store, x=60 + i)
    for thread in threads:
        thread.join()
    assert not errors
