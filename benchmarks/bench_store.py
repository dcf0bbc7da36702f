"""The store: what a move costs on the disk, and what opening and loading a house cost."""

from __future__ import annotations

import atexit
import itertools
import sqlite3
import tempfile
from pathlib import Path

from roomwright import commands
from roomwright.exchange.folder import read_folder
from roomwright.exchange.samples import example_path
from roomwright.job import doctor
from roomwright.job.facts import Facts
from roomwright.job.store import Store

_folder = tempfile.TemporaryDirectory(prefix="roomwright-bench-")
FACTS = tuple(read_folder(example_path("tern-hollow")).facts)
DEMO = f"Tern Hollow, {len(FACTS)} facts, SQLite"
LOAD = commands.Load(facts=FACTS, folder="tern-hollow")

_store = Store(f"{_folder.name}/houses.db")
_other = Store(_store.url)
_id, _ = commands.begin(_store, "Tern Hollow", LOAD, who="bench")
_places = itertools.cycle((60, 61))
atexit.register(lambda: (_store.close(), _other.close(), _folder.cleanup()))

_bare = sqlite3.connect(Path(_folder.name) / "bare.db", isolation_level=None)
_bare.executescript("PRAGMA journal_mode=WAL; PRAGMA synchronous=FULL; CREATE TABLE t (body TEXT)")
atexit.register(_bare.close)


def move() -> None:
    """One move from command to acknowledgment: checked, written, on the disk."""
    commands.run(_store, _id, commands.Move(piece="T1", x=next(_places)), who="bench")


def bare_insert() -> None:
    """One row of the same size on the disk by the database alone."""
    _bare.execute("BEGIN IMMEDIATE")
    _bare.execute("INSERT INTO t VALUES (?)", ("x" * 900,))
    _bare.execute("COMMIT")


def look() -> None:
    """Ask for the facts where nothing has changed."""
    _store.facts(_id)


def catch_up() -> None:
    """Move in one store, see it in another: what a page does after a write by the command line."""
    move()
    _other.facts(_id)


def cold() -> Store:
    """Open the store and read the house, as a new process does."""
    with Store(_store.url) as store:
        store.facts(_id)
        return store


def replay() -> None:
    """The same facts from the journal, entry by entry (here 1 load and 300 moves)."""
    facts = Facts()
    for entry in _store.journal(_id, limit=301):
        facts = facts.changed(entry.changes, sequence=entry.sequence)


def load() -> None:
    """Load the house into a new store's house."""
    id, _ = commands.begin(_store, "again", LOAD, who="bench")
    _store.remove(id)


def load_again() -> None:
    """Load the folder once more; nothing in it has changed."""
    commands.run(_store, _id, LOAD, who="bench")


def examine() -> None:
    """Hold facts and references against the journal."""
    doctor.examine(_checked, "tern-hollow")


for _ in range(300):
    move()
_checked = Store(f"{_folder.name}/checked.db")
atexit.register(_checked.close)
commands.begin(_checked, "Tern Hollow", LOAD, who="bench")

CASES = [
    ("one move, on the disk", DEMO, None, move, "a bare durable insert by sqlite3", bare_insert),
    ("the facts, unchanged", DEMO, None, look, "reading them cold", cold),
    ("one move, seen by another process's store", DEMO, None, catch_up, "reading them cold", cold),
    ("the facts in a new process", DEMO, None, cold, "replaying 301 entries", replay),
    ("load a folder's facts", DEMO, None, load, "", None),
    ("load them again, nothing new", DEMO, None, load_again, "loading them first", load),
    ("doctor of one house", DEMO, None, examine, "", None),
]
