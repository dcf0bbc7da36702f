"""Where the store is kept by each system's rules, and how its file is opened and kept short."""

import sys
from pathlib import Path

import pytest
from sqlalchemy import text
from tests.job import a_house
from tests.job.test_undo import x

from roomwright.job import doctor, place
from roomwright.job.errors import StoreError
from roomwright.job.store import Store

HOME = Path.home()
PLACES = [
    ("linux", {}, HOME / ".local/share/roomwright"),
    ("linux", {"XDG_DATA_HOME": "/srv/data"}, Path("/srv/data/roomwright")),
    ("linux", {"XDG_DATA_HOME": "relative"}, HOME / ".local/share/roomwright"),
    ("darwin", {}, HOME / "Library/Application Support/roomwright"),
    ("win32", {"LOCALAPPDATA": "/c/Local"}, Path("/c/Local/roomwright")),
    ("win32", {}, HOME / "AppData/Local/roomwright"),
]


@pytest.mark.parametrize(("system", "said", "there"), PLACES)
def test_the_data_directory_by_the_rules_of_the_system(monkeypatch, system, said, there):
    monkeypatch.setattr(sys, "platform", system)
    for name in ("XDG_DATA_HOME", "LOCALAPPDATA", "ROOMWRIGHT_STORE"):
        monkeypatch.delenv(name, raising=False)
    for name, value in said.items():
        monkeypatch.setenv(name, value)
    assert place.data_directory() == there
    assert Store.default_url() == f"sqlite:///{there / 'roomwright.db'}"


def test_the_environment_names_another_place(monkeypatch, tmp_path):
    monkeypatch.setenv("ROOMWRIGHT_STORE", str(tmp_path / "deep" / "my houses.db"))
    with Store() as store:
        a_house.build(store)
    assert (tmp_path / "deep" / "my houses.db").exists()


@pytest.mark.parametrize(
    ("url", "said"),
    [
        ("sqlite://", "needs a file"),
        ("sqlite:///:memory:", "needs a file"),
        ("mysql://host/x", "SQLite or PostgreSQL, not mysql"),
        ("sqlite:////proc/nowhere/house.db", "can't be made"),
    ],
)
def test_a_place_that_cannot_be_is_refused_in_words(url, said):
    with pytest.raises(StoreError, match=said):
        Store(url)


def test_postgresql_by_any_of_its_names():
    for name in ("postgresql", "postgres", "postgresql+psycopg"):
        assert place.normal(f"{name}://ana@host/houses") == "postgresql+psycopg://ana@host/houses"


def test_a_commit_is_on_the_disk_before_it_is_acknowledged(sqlite_store: Store):
    with sqlite_store.reading() as connection:
        told = {
            name: connection.execute(text(f"PRAGMA {name}")).scalar()
            for name in ("journal_mode", "synchronous", "foreign_keys", "wal_autocheckpoint")
        }
    assert told == {
        "journal_mode": "wal", "synchronous": 2, "foreign_keys": 1, "wal_autocheckpoint": 0,
    }  # fmt: skip


def test_the_log_is_tidied(sqlite_store: Store, tmp_path, monkeypatch):
    monkeypatch.setattr(place, "LOG_TIDIED_AT", 200_000)
    a_house.build(sqlite_store)
    longest = 0
    for i in range(120):
        a_house.write(sqlite_store, x(i), f"m{i}")
        longest = max(longest, (tmp_path / "houses.db-wal").stat().st_size)
    assert 200_000 <= longest < 400_000
    assert doctor.examine(sqlite_store) == []


def test_a_busy_store_says_so(sqlite_store: Store, monkeypatch):
    a_house.build(sqlite_store)
    monkeypatch.setattr(place, "BUSY_SECONDS", 0.1)
    with (
        Store(sqlite_store.url) as other,
        other._writing(),
        Store(sqlite_store.url) as third,
        pytest.raises(StoreError, match="Another program is writing"),
    ):
        a_house.write(third, x(3), "m1")
    assert a_house.write(sqlite_store, x(3), "m1").sequence == 2


def test_a_log_that_cannot_be_tidied_now_is_tidied_later(sqlite_store: Store, monkeypatch):
    """Somebody else writes at that moment: what was written stays written, nothing is said."""
    a_house.build(sqlite_store)
    monkeypatch.setattr(place, "LOG_TIDIED_AT", 0)
    with Store(sqlite_store.url) as other, other._writing():
        place.tidy_log(sqlite_store._engine)
    assert a_house.write(sqlite_store, x(3), "m1").sequence == 2
