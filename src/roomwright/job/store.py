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
import difflib
import re
import threading
import unicodedata
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import UTC, datetime
from types import TracebackType
from typing import Any, Self

from sqlalchemy import Connection, insert, select, update
from sqlalchemy.exc import DatabaseError, IntegrityError, OperationalError

from roomwright.job import clash, journal, migrate, place, rules
from roomwright.job import tables as t
from roomwright.job.bodies import canonical
from roomwright.job.errors import (
    BusyStoreError,
    ConflictError,
    Problem,
    RuleError,
    StoreError,
    UnknownHouseError,
)
from roomwright.job.facts import Change, Facts
from roomwright.job.journal import Entry

Build = Callable[[Facts], Sequence[Change]]
Tell = Callable[[Facts, Sequence[Change]], tuple[str, Mapping[str, Any]]]


@dataclass(frozen=True, slots=True)
class JobInfo:
    """A house that is kept: its id, name, how many entries its journal has, and when it changed."""

    id: str
    name: str
    sequence: int
    changed_at: datetime


@dataclass(frozen=True, slots=True)
class Written:
    """What a write did; `repeated` when this command id had been written before."""

    sequence: int
    changes: tuple[Change, ...]
    repeated: bool
    sentence: str = ""
    record: Mapping[str, Any] = field(default_factory=dict)


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


def slug(name: str) -> str:
    """Return an id made from a name.

    >>> slug("  Tern Hollow, lot 4½ "), slug("¿?")
    ('tern-hollow-lot-412', 'house')
    """
    plain = unicodedata.normalize("NFKD", name).encode("ascii", "ignore").decode().lower()
    return re.sub(r"[^a-z0-9]+", "-", plain.replace("'", "")).strip("-")[:60] or "house"


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
            with _plainly():
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
        wanted = (
            select(t.jobs)
            .where(t.jobs.c.slug.is_not(None))
            .order_by(t.jobs.c.changed_at.desc(), t.jobs.c.number.desc())
        )
        with self.reading() as connection:
            return [
                JobInfo(r.slug, r.name, r.sequence, r.changed_at)
                for r in connection.execute(wanted)
            ]

    def create(self, job_id: str, name: str) -> JobInfo:
        """Make room for a new, empty house.

        Raises
        ------
        StoreError
            if the id is taken, or isn't small letters, digits and hyphens.
        """
        if not re.fullmatch(r"[a-z0-9]+(-[a-z0-9]+)*", job_id) or len(job_id) > 80:
            raise StoreError(
                f"“{job_id}” can't be the id of a house: small letters, digits and hyphens only, "
                f"like {slug(job_id)}."
            )
        now = self._clock()
        values = {
            "slug": job_id, "was": job_id, "name": name.strip() or job_id,
            "sequence": 0, "created_at": now, "changed_at": now,
        }  # fmt: skip
        try:
            with self._writing() as connection:
                connection.execute(insert(t.jobs).values(values))
        except IntegrityError as error:
            raise StoreError(f"There is a house “{job_id}” already: choose another id.") from error
        return JobInfo(job_id, values["name"], 0, now)  # type: ignore[arg-type]

    def create_new(self, name: str) -> JobInfo:
        """Make room for a new house under an id made from its name, the next free one."""
        base = slug(name)
        for number in range(1, 10_000):
            try:
                return self.create(base if number == 1 else f"{base}-{number}", name)
            except StoreError:
                if number == 9_999:
                    raise
        raise AssertionError

    def remove(self, job_id: str) -> None:
        """Take a house away. Its journal stays in the database; `removed` and `restore` find it."""
        with self._writing() as connection:
            number, _ = self._row(connection, job_id)
            connection.execute(
                update(t.jobs)
                .where(t.jobs.c.number == number)
                .values(slug=None, removed_at=self._clock())
            )

    def removed(self) -> list[tuple[int, JobInfo]]:
        """Return the houses that were taken away, by their number."""
        wanted = select(t.jobs).where(t.jobs.c.slug.is_(None)).order_by(t.jobs.c.removed_at.desc())
        with self.reading() as connection:
            return [
                (r.number, JobInfo(r.was, r.name, r.sequence, r.removed_at))
                for r in connection.execute(wanted)
            ]

    def restore(self, number: int, job_id: str) -> None:
        """Bring a removed house back under an id."""
        try:
            with self._writing() as connection:
                done = connection.execute(
                    update(t.jobs)
                    .where(t.jobs.c.number == number, t.jobs.c.slug.is_(None))
                    .values(slug=job_id, removed_at=None)
                )
                if done.rowcount != 1:
                    raise StoreError(f"No removed house has the number {number}.")
        except IntegrityError as error:
            raise StoreError(f"There is a house “{job_id}” already: choose another id.") from error

    # ------------------------------------------------------------------------------------- facts

    def facts(self, job_id: str) -> Facts:
        """Return the facts of a house as they stand, whoever wrote last.

        Raises
        ------
        UnknownHouseError
            if no house has that id; it names those that look like it.
        """
        with self.reading() as connection:
            number, sequence = self._row(connection, job_id)
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
        expect: Mapping[tuple[str, str], int] | None = None,
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

        def told(connection: Connection, number: int, facts: Facts) -> _Made:
            changes = build(facts)
            sentence, record = ("", {}) if tell is None else tell(facts, changes)
            return _Made(changes, sentence, record)

        return self._write(job_id, told, command, payload, who, command_id, expect)

    def _write(
        self,
        job_id: str,
        make: Callable[[Connection, int, Facts], _Made],
        command: str,
        payload: Mapping[str, Any],
        who: str,
        command_id: str,
        expect: Mapping[tuple[str, str], int] | None,
    ) -> Written:
        _plain_words(who=who, command_id=command_id, command=command)
        asked = canonical(payload)
        with self.reading() as connection:
            held = self._held(self._row(connection, job_id)[0])
        with held.writing, self._writing() as connection:
            number, sequence = self._row(connection, job_id, lock=True)
            done = journal.recorded(connection, number, command_id)
            if done is not None:
                return _repeat(done, command, asked)
            facts = journal.caught_up(connection, number, held.facts, sequence)
            held.keep(facts)
            if expect:
                stale = [k for k, version in expect.items() if facts.version(*k) != version]
                if stale:
                    wanted = _try(lambda: make(connection, number, facts).changes)
                    history = list(journal.backward(connection, number))
                    raise ConflictError(
                        clash.stale(stale, expect, facts, wanted, history)  # both values of each
                    )
            made = make(connection, number, facts)
            changes = _real(facts, made.changes)
            if not changes:
                return Written(sequence, (), False, made.sentence, made.record)
            after = facts.changed(changes, sequence=sequence + 1)
            problems = rules.check(after, changes)
            if problems:
                raise RuleError(problems)
            journal.append(
                connection,
                number,
                before=facts,
                after=after,
                changes=changes,
                command_id=command_id,
                at=self._clock(),
                who=who,
                command=command,
                payload=asked,
                sentence=made.sentence,
                record=made.record,
            )
        held.keep(after)
        return Written(after.sequence, changes, False, made.sentence, made.record)

    # ----------------------------------------------------------------------------------- journal

    def journal(self, job_id: str, since: int = 0, limit: int | None = None) -> list[Entry]:
        """Return the entries of a house after `since`, oldest first."""
        with self.reading() as connection:
            number, _ = self._row(connection, job_id)
            return list(journal.entries(connection, number, since=since, limit=limit))

    def last(self, job_id: str, limit: int = 20, *, command: str | None = None) -> list[Entry]:
        """Return the last entries of a house, newest first; only those of one command if named."""
        with self.reading() as connection:
            number, _ = self._row(connection, job_id)
            found = journal.backward(connection, number, *([command] if command else []))
            return [entry for entry, _ in zip(found, range(limit), strict=False)]

    def standing(self, job_id: str, command: str) -> list[Entry]:
        """Return the entries of a command that have not been undone, oldest first."""
        with self.reading() as connection:
            number, _ = self._row(connection, job_id)
            return list(_standing(journal.backward(connection, number, command, "undo")))[::-1]

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

        def inverse(connection: Connection, number: int, facts: Facts) -> _Made:
            entry = (
                next(_standing(journal.backward(connection, number)), None)
                if sequence is None
                else journal.entry(connection, number, sequence)
            )
            if entry is None:
                raise StoreError(
                    "There is nothing to undo."
                    if sequence is None
                    else f"This house's journal has no entry {sequence}."
                )
            clashes = clash.since(entry, facts)
            if clashes:
                raise ConflictError(clashes)
            back = [Change(c.kind, c.id, c.after, c.before) for c in reversed(entry.changes)]
            return _Made(back, _undone(entry), {"undid": entry.sequence})

        asked = {"sequence": sequence}
        return self._write(job_id, inverse, "undo", asked, who, command_id, None)

    # ------------------------------------------------------------------------------------ inside

    @contextlib.contextmanager
    def reading(self) -> Iterator[Connection]:
        """Give a connection that sees one state of the database."""
        with _plainly(), self._read_engine.connect() as connection:
            yield connection

    @contextlib.contextmanager
    def _writing(self) -> Iterator[Connection]:
        with _plainly(), self._write_engine.begin() as connection:
            yield connection

    def number(self, job_id: str) -> int:
        """Return the number under which the tables keep a house."""
        with self.reading() as connection:
            return self._row(connection, job_id)[0]

    def _held(self, number: int) -> _Held:
        with self._guard:
            return self._houses.setdefault(number, _Held())

    def _row(self, connection: Connection, job_id: str, *, lock: bool = False) -> tuple[int, int]:
        wanted = select(t.jobs.c.number, t.jobs.c.sequence).where(t.jobs.c.slug == job_id)
        row = connection.execute(wanted.with_for_update() if lock else wanted).first()
        if row is None:
            known = list(
                connection.execute(
                    select(t.jobs.c.slug).where(t.jobs.c.slug.is_not(None)).order_by(t.jobs.c.slug)
                ).scalars()
            )
            near = difflib.get_close_matches(job_id.lower(), known, n=3, cutoff=0.5)
            raise UnknownHouseError(job_id, near, known)
        return row.number, row.sequence


@dataclass(frozen=True, slots=True)
class _Made:
    changes: Sequence[Change]
    sentence: str
    record: Mapping[str, Any]


def _real(facts: Facts, changes: Sequence[Change]) -> tuple[Change, ...]:
    """Return the changes that change something; each fact may be changed once."""
    seen: set[tuple[str, str]] = set()
    for change in changes:
        key = (change.kind, change.id)
        if key in seen:
            message = f"{change.kind} “{change.id}” stands twice: give each its own id."
            raise RuleError([Problem(change.kind, change.id, "id", message)])
        seen.add(key)
        if facts.fact(*key) != change.before:
            raise ValueError(f"the change of {key} starts from a state that is not the current one")
        if change.after is not None and (change.after.kind_name, change.after.id) != key:
            raise ValueError(f"the change of {key} holds another fact")
    return tuple(c for c in changes if c.before != c.after)


def _repeat(done: Entry, command: str, asked: str) -> Written:
    if (done.command, canonical(done.payload)) != (command, asked):
        raise StoreError(
            f"The command id {done.command_id} was used for something else: "
            f"{done.sentence or done.command}. Nothing was written; send it again under a new id."
        )
    return Written(done.sequence, done.changes, True, done.sentence, done.record)


def _standing(backward: Iterator[Entry]) -> Iterator[Entry]:
    """Yield the entries that are no undo and have not been undone, newest first."""
    undone: set[int] = set()
    for entry in backward:
        if entry.sequence in undone:
            continue
        if entry.command == "undo":
            undone.add(entry.record["undid"])
        else:
            yield entry


def _undone(entry: Entry) -> str:
    said = entry.sentence or entry.command
    if entry.command == "undo":
        return "Done again: " + said.removeprefix("Undone: ")
    return f"Undone: {said.removeprefix('Done again: ')}"


def _try(make: Callable[[], Sequence[Change]]) -> Sequence[Change]:
    try:
        return make()
    except (StoreError, ValueError, LookupError):
        return ()  # what was wanted can't be said of the facts as they are now


def _plain_words(**said: str) -> None:
    for name, text in said.items():
        if not text or len(text) > 80 or not text.isprintable():
            raise StoreError(f"{name.replace('_', ' ')}: give 1 to 80 printable characters.")


@contextlib.contextmanager
def _plainly() -> Iterator[None]:
    """Turn the database's own errors into words."""
    try:
        yield
    except OperationalError as error:
        said = str(error.orig).strip()
        if "locked" in said:
            raise BusyStoreError(
                "Another program is writing to the store and does not finish: close it, then try "
                "again. Nothing was written."
            ) from error
        raise StoreError(f"The store can't be used: {said}. Nothing was written.") from error
    except DatabaseError as error:
        said = str(error.orig).strip()
        if "malformed" not in said and "not a database" not in said:
            raise
        raise StoreError(
            f"The store's file is damaged, or is not a store ({said}). Keep it, and go back to a "
            "backup."
        ) from error


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
