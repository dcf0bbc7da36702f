"""The store: keeps the houses. Every change is one journal entry, written whole or not at all.

>>> import tempfile
>>> from datetime import date
>>> from roomwright.job.entities import House
>>> from roomwright.job.facts import Change
>>> folder = tempfile.TemporaryDirectory()
>>> store = Store(folder.name + "/houses.db")
>>> _ = store.create("tern-hollow", "Tern Hollow")
>>> new = Change("house", "house", None, House(name="Tern Hollow", site_start=date(2027, 1, 18)))
>>> store.write("tern-hollow", lambda facts: [new], command="start", payload={}, who="Ana",
...             command_id="1").sequence
1
>>> store.facts("tern-hollow").get(House, "house").name
'Tern Hollow'
>>> store.close(); folder.cleanup()
"""

from __future__ import annotations

import contextlib
import threading
from collections.abc import Callable, Iterator, Mapping, Sequence
from datetime import UTC, datetime
from types import TracebackType
from typing import Any, Self

from sqlalchemy import Connection, text

from roomwright.job import blobs, houses, journal, migrate, place, undo, writing
from roomwright.job.errors import (
    BusyStoreError,
    ConflictError,
    RuleError,
    StoreError,
    UnknownHouseError,
)
from roomwright.job.facts import Change, Facts
from roomwright.job.houses import JobInfo, slug
from roomwright.job.journal import Entry
from roomwright.job.writing import Asked, Expect, Made, Make, Written

Build = Callable[[Facts], Sequence[Change]]
Tell = Callable[[Facts, Sequence[Change]], tuple[str, Mapping[str, Any]]]


class _Held:
    """What is kept in memory of one house."""

    def __init__(self) -> None:
        self.writing = threading.Lock()
        self._guard = threading.Lock()
        self.facts: Facts | None = None

    def keep(self, facts: Facts) -> Facts:
        """Keep the newer of two states, and return it."""
        with self._guard:
            if self.facts is None or self.facts.sequence < facts.sequence:
                self.facts = facts
            return self.facts


class Store:
    """The houses in one database. Safe to share between threads; several processes may write.

    Parameters
    ----------
    url
        ``sqlite:///path``, ``postgresql://...`` or the path of a file; `default_url` if not said.
    clock
        Says what time it is, with its zone.
    """

    def __init__(
        self, url: str | None = None, *, clock: Callable[[], datetime] = lambda: datetime.now(UTC)
    ) -> None:
        self.url = place.normal(url or place.default_url())
        self._clock = clock
        self._engine = place.open_engine(self.url)
        try:
            with place.in_plain_words():
                migrate.bring_up(self._engine)
        except BaseException:
            self._engine.dispose()
            raise
        self._write_engine = self._engine.execution_options(roomwright_writing=True)
        # one reading sees one state, however many statements it takes
        self._read_engine = (
            self._engine
            if self._engine.dialect.name == "sqlite"
            else self._engine.execution_options(isolation_level="REPEATABLE READ")
        )
        self._houses: dict[int, _Held] = {}
        self._guard = threading.Lock()

    @staticmethod
    def default_url() -> str:
        """Return ROOMWRIGHT_STORE, else the SQLite file in the user's data directory."""
        return place.default_url()

    def close(self) -> None:
        """Let go of the database."""
        self._engine.dispose()

    def __enter__(self) -> Self:
        return self

    def __exit__(
        self,
        kind: type[BaseException] | None,
        error: BaseException | None,
        trace: TracebackType | None,
    ) -> None:
        self.close()

    # ------------------------------------------------------------------------------------ houses

    def jobs(self) -> list[JobInfo]:
        """Return the houses that are kept, the last changed first."""
        with self.reading() as connection:
            return houses.kept(connection)

    def create(self, job_id: str, name: str) -> JobInfo:
        """Make room for a new, empty house; StoreError if its id is taken or can't be one."""
        with self._writing() as connection:
            return houses.create(connection, job_id, name, self._clock())

    def create_new(self, name: str) -> JobInfo:
        """Make room for a new house under an id made from its name, the next free one."""
        with self._writing() as connection:
            self._one_at_a_time(connection)
            id = houses.free(slug(name), houses.ids(connection))
            return houses.create(connection, id, name, self._clock())

    def begin(
        self,
        name: str,
        build: Build,
        *,
        command: str,
        payload: Mapping[str, Any],
        who: str,
        command_id: str,
        tell: Tell | None = None,
    ) -> tuple[str, Written]:
        """Make a new house with its first entry, or neither; return its id and what was written.

        The same command id again gives the house that it made before. See `write`.
        """
        asked = Asked(command, payload, who, command_id)
        with self._writing() as connection:
            self._one_at_a_time(connection)
            id = houses.begun_by(connection, command_id)
            if id is not None:
                number, _ = houses.number_of(connection, id)
                done = writing.repeat(connection, number, asked)
                if done is not None:
                    return id, done
            now = self._clock()
            id = houses.free(slug(name), houses.ids(connection))
            houses.create(connection, id, name, now)
            number, _ = houses.number_of(connection, id, lock=True)
            made = _making(build, tell)
            done, after = writing.write(connection, number, Facts(), asked, made, at=now)
        self._held(number).keep(after)
        return id, done

    def remove(self, job_id: str) -> None:
        """Take a house away. Its journal stays in the database; `removed` and `restore` find it."""
        with self._writing() as connection:
            houses.remove(connection, job_id, self._clock())

    def removed(self) -> list[tuple[int, JobInfo]]:
        """Return the houses that were taken away, by their number."""
        with self.reading() as connection:
            return houses.removed(connection)

    def restore(self, number: int, job_id: str) -> None:
        """Bring a removed house back under an id."""
        with self._writing() as connection:
            houses.restore(connection, number, job_id)

    # ------------------------------------------------------------------------------------- facts

    def facts(self, job_id: str) -> Facts:
        """Return the facts of a house as they stand, whoever wrote last.

        Raises
        ------
        UnknownHouseError
            if no house has that id; it names those that look like it.
        """
        with self.reading() as connection:
            number, sequence = houses.number_of(connection, job_id)
            held = self._held(number)
            kept = held.facts
            if kept is not None and kept.sequence >= sequence:
                return kept
            return held.keep(journal.caught_up(connection, number, kept, sequence))

    def write(
        self,
        job_id: str,
        build: Build,
        *,
        command: str,
        payload: Mapping[str, Any],
        who: str,
        command_id: str,
        expect: Expect | None = None,
        tell: Tell | None = None,
    ) -> Written:
        """Write what `build` makes of the facts as one entry, or nothing.

        When this returns, the entry is on the disk. Nothing is written, and the sequence stays,
        when the changes change nothing.

        Parameters
        ----------
        build
            Gets the facts as they stand, under the house's lock; returns the changes.
        command, payload, who
            What was asked, in which words, by whom.
        command_id
            The writer's own id of this command: the same one again gives the recorded result.
        expect
            (kind, id) -> the version that the writer saw; 0 where there was no fact.
        tell
            Gets the facts before and the changes; returns the sentence that says what was done,
            and what else the journal should remember.

        Raises
        ------
        UnknownHouseError, ConflictError, RuleError
            with nothing written.
        """
        asked = Asked(command, payload, who, command_id)
        return self._write(job_id, _making(build, tell), asked, expect)

    def _write(
        self, job_id: str, make: Make, asked: Asked, expect: Expect | None = None
    ) -> Written:
        while True:
            number = self.number(job_id)
            held = self._held(number)
            with held.writing, self._writing() as connection:
                now, sequence = houses.number_of(connection, job_id, lock=True)
                if now != number:
                    continue  # removed, and another made under its id, while we waited
                done = writing.repeat(connection, number, asked)
                if done is not None:
                    return done
                facts = held.keep(journal.caught_up(connection, number, held.facts, sequence))
                at = self._clock()
                done, after = writing.write(
                    connection, number, facts, asked, make, at=at, expect=expect
                )
            held.keep(after)
            place.tidy_log(self._engine)
            return done

    # ----------------------------------------------------------------------------------- journal

    def journal(self, job_id: str, since: int = 0, limit: int | None = None) -> list[Entry]:
        """Return the entries of a house after `since`, oldest first."""
        with self.reading() as connection:
            number, _ = houses.number_of(connection, job_id)
            return list(journal.entries(connection, number, since=since, limit=limit))

    def last(self, job_id: str, limit: int = 20, *, command: str | None = None) -> list[Entry]:
        """Return the last entries of a house, newest first; only those of one command if named."""
        with self.reading() as connection:
            number, _ = houses.number_of(connection, job_id)
            found = journal.backward(connection, number, *([command] if command else []))
            return [entry for _, entry in zip(range(limit), found, strict=False)]

    def standing(self, job_id: str, command: str) -> list[Entry]:
        """Return the entries of a command that have not been undone, oldest first."""
        with self.reading() as connection:
            number, _ = houses.number_of(connection, job_id)
            found = undo.standing(journal.backward(connection, number, command, undo.UNDO))
            return list(found)[::-1]

    def undo(
        self, job_id: str, sequence: int | None = None, *, who: str, command_id: str
    ) -> Written:
        """Take an entry back by writing its inverse as a new entry.

        Without a sequence: the last one that still stands; again and again goes further back. To
        undo an undo, name its sequence.

        Raises
        ------
        ConflictError
            if a fact of the entry has changed since; shows it as it was left and as it is now.
        RuleError
            if other facts need what the entry brought.
        StoreError
            if there is no such entry, or nothing left to undo.
        """

        def take_back(connection: Connection, number: int, facts: Facts) -> Made:
            return undo.inverse(connection, number, facts, sequence)

        asked = Asked(undo.UNDO, {"sequence": sequence}, who, command_id)
        return self._write(job_id, take_back, asked)

    # ------------------------------------------------------------------------------------- blobs

    def put_blob(self, job_id: str, body: bytes, type: str) -> str:
        """Keep a picture beside the facts of a house; return its sha256, by which facts name it.

        Raises
        ------
        StoreError
            if it is too large, no picture that is kept, or the house has too many.
        """
        with self._writing() as connection:
            number, _ = houses.number_of(connection, job_id, lock=True)
            return blobs.put(connection, number, body, type, at=self._clock())

    def blob(self, job_id: str, sha256: str) -> blobs.Blob | None:
        """Return a picture of a house, or None."""
        with self.reading() as connection:
            number, _ = houses.number_of(connection, job_id)
            return blobs.get(connection, number, sha256)

    # ------------------------------------------------------------------------------------ inside

    @contextlib.contextmanager
    def reading(self) -> Iterator[Connection]:
        """Give a connection that sees one state of the database."""
        with place.in_plain_words(), self._read_engine.connect() as connection:
            yield connection

    def writing(self) -> contextlib.AbstractContextManager[Connection]:
        """Give a connection for what is kept beside the journal: all is written or nothing."""
        return self._writing()

    def now(self) -> datetime:
        """Return the store's own time."""
        return self._clock()

    @contextlib.contextmanager
    def _writing(self) -> Iterator[Connection]:
        with place.in_plain_words(), self._write_engine.begin() as connection:
            yield connection

    @staticmethod
    def _one_at_a_time(connection: Connection) -> None:
        """Let no other make a house until the end of the transaction (SQLite's is so already)."""
        if connection.dialect.name == "postgresql":
            connection.execute(text("LOCK TABLE jobs IN SHARE ROW EXCLUSIVE MODE"))

    def number(self, job_id: str) -> int:
        """Return the number under which the tables keep a house."""
        with self.reading() as connection:
            return houses.number_of(connection, job_id)[0]

    def _held(self, number: int) -> _Held:
        with self._guard:
            return self._houses.setdefault(number, _Held())


def _making(build: Build, tell: Tell | None) -> Make:
    def make(_connection: Connection, _number: int, facts: Facts) -> Made:
        changes = build(facts)
        return Made(changes) if tell is None else Made(changes, *tell(facts, changes))

    return make


__all__ = [
    "BusyStoreError",
    "ConflictError",
    "JobInfo",
    "RuleError",
    "Store",
    "StoreError",
    "UnknownHouseError",
    "Written",
    "slug",
]
