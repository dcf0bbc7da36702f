"""The journal of a house and its projection, row by row: the SQL under the store.

Each function works inside the transaction that it is given.
"""

from __future__ import annotations

import json
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import Any

from sqlalchemy import Connection, Row, bindparam, delete, insert, select, update

from roomwright.job import tables as t
from roomwright.job.bodies import body_of, canonical, lifted
from roomwright.job.entities import KINDS, Fact
from roomwright.job.facts import Change, Facts, reference_targets

Side = list[dict[str, Any]]
"""One side of an entry: [{kind, id, version, shape, body}], body None where there is no fact."""


@dataclass(frozen=True, slots=True)
class Entry:
    """One command as it was written: who, when, what was asked, and each fact before and after.

    `versions` holds each changed fact's version after this entry, parallel to `changes`.
    """

    sequence: int
    command_id: str
    at: datetime
    who: str
    command: str
    payload: Mapping[str, Any]
    sentence: str
    record: Mapping[str, Any]
    changes: tuple[Change, ...]
    versions: tuple[int, ...]


def sides(changes: Sequence[Change], before: Facts, after: Facts) -> tuple[Side, Side]:
    """Return an entry's two sides as they are written."""

    def one(facts: Facts, kind: str, id: str, fact: Fact | None) -> dict[str, Any]:
        return {
            "kind": kind,
            "id": id,
            "version": facts.counted(kind, id),
            "shape": KINDS[kind].shape,
            "body": None if fact is None else body_of(fact),
        }

    return (
        [one(before, c.kind, c.id, c.before) for c in changes],
        [one(after, c.kind, c.id, c.after) for c in changes],
    )


def read(row: Row[Any]) -> Entry:
    """Return a row of the journal, its facts lifted to today's shapes."""
    before, after = json.loads(row.before), json.loads(row.after)
    return Entry(
        sequence=row.sequence,
        command_id=row.command_id,
        at=row.at,
        who=row.who,
        command=row.command,
        payload=json.loads(row.payload),
        sentence=row.sentence,
        record=json.loads(row.record),
        changes=tuple(
            Change(
                b["kind"],
                b["id"],
                b["body"] and lifted(b["kind"], b["shape"], b["body"]),
                a["body"] and lifted(a["kind"], a["shape"], a["body"]),
            )
            for b, a in zip(before, after, strict=True)
        ),
        versions=tuple(a["version"] for a in after),
    )


def entries(
    connection: Connection, job: int, *, since: int = 0, limit: int | None = None
) -> Iterator[Entry]:
    """Yield the entries after `since`, oldest first."""
    wanted = (
        select(t.journal)
        .where(t.journal.c.job == job, t.journal.c.sequence > since)
        .order_by(t.journal.c.sequence)
        .limit(limit)
    )
    return map(read, connection.execute(wanted))


def backward(connection: Connection, job: int, *commands: str) -> Iterator[Entry]:
    """Yield the entries, newest first; only those of some commands if they are named."""
    wanted = select(t.journal).where(t.journal.c.job == job).order_by(t.journal.c.sequence.desc())
    if commands:
        wanted = wanted.where(t.journal.c.command.in_(commands))
    with connection.execute(wanted.execution_options(yield_per=50)) as rows:
        yield from map(read, rows)


def entry(connection: Connection, job: int, sequence: int) -> Entry | None:
    """Return one entry."""
    wanted = select(t.journal).where(t.journal.c.job == job, t.journal.c.sequence == sequence)
    row = connection.execute(wanted).first()
    return None if row is None else read(row)


def recorded(connection: Connection, job: int, command_id: str) -> Entry | None:
    """Return the entry that a command id has written."""
    wanted = select(t.journal).where(t.journal.c.job == job, t.journal.c.command_id == command_id)
    row = connection.execute(wanted).first()
    return None if row is None else read(row)


def projected(connection: Connection, job: int, sequence: int) -> Facts:
    """Return the facts of a house from the table of facts."""
    wanted = select(t.facts).where(t.facts.c.job == job)
    held, versions = [], {}
    for row in connection.execute(wanted):
        versions[row.kind, row.id] = row.version
        if row.body is not None:
            held.append(lifted(row.kind, row.shape, json.loads(row.body)))
    return Facts(held, versions=versions, sequence=sequence)


FAR_BEHIND = 200
"""With more entries than this to catch up, reading the table of facts is quicker."""


def caught_up(connection: Connection, job: int, kept: Facts | None, sequence: int) -> Facts:
    """Return the facts at `sequence`, from those kept in memory where that is quicker."""
    if kept is None or sequence - kept.sequence > FAR_BEHIND:
        return projected(connection, job, sequence)
    facts = kept
    if facts.sequence < sequence:
        for one in entries(connection, job, since=facts.sequence):
            facts = facts.changed(one.changes, sequence=one.sequence)
    return facts


def append(
    connection: Connection,
    job: int,
    *,
    before: Facts,
    after: Facts,
    changes: Sequence[Change],
    command_id: str,
    at: datetime,
    who: str,
    command: str,
    payload: str,
    sentence: str,
    record: Mapping[str, Any],
) -> None:
    """Write one entry and move the projection along with it."""
    was, becomes = sides(changes, before, after)
    connection.execute(
        insert(t.journal).values(
            job=job,
            sequence=after.sequence,
            command_id=command_id,
            at=at,
            who=who,
            command=command,
            payload=payload,
            sentence=sentence,
            record=canonical(record),
            before=canonical(was),
            after=canonical(becomes),
        )
    )
    project(connection, job, was, becomes, [c.after for c in changes])
    connection.execute(
        update(t.jobs).where(t.jobs.c.number == job).values(sequence=after.sequence, changed_at=at)
    )


_UPDATE = (
    update(t.facts)
    .where(
        t.facts.c.job == bindparam("b_job"),
        t.facts.c.kind == bindparam("b_kind"),
        t.facts.c.id == bindparam("b_id"),
    )
    .values(version=bindparam("version"), shape=bindparam("shape"), body=bindparam("body"))
)
_FORGET = delete(t.references).where(
    t.references.c.job == bindparam("b_job"),
    t.references.c.from_kind == bindparam("b_kind"),
    t.references.c.from_id == bindparam("b_id"),
)


def project(
    connection: Connection, job: int, was: Side, becomes: Side, facts: Sequence[Fact | None]
) -> None:
    """Move the tables of facts and references from one side of an entry to the other."""
    new, changed, forget, refer = [], [], [], []
    for old, now, fact in zip(was, becomes, facts, strict=True):
        body = None if now["body"] is None else canonical(now["body"])
        key = {"b_job": job, "b_kind": now["kind"], "b_id": now["id"]}
        values = {"version": now["version"], "shape": now["shape"], "body": body}
        if old["version"] == 0:
            new.append({"job": job, "kind": now["kind"], "id": now["id"], **values})
        else:
            changed.append(key | values)
        if old["body"] is not None:
            forget.append(key)
        if fact is not None:
            refer += reference_rows(job, fact)
    for statement, rows in (
        (insert(t.facts), new),
        (_UPDATE, changed),
        (_FORGET, forget),
        (insert(t.references), refer),
    ):
        if rows:
            connection.execute(statement, rows)


def reference_rows(job: int, fact: Fact) -> list[dict[str, Any]]:
    """Return the rows of the table of references for one fact, each once."""
    return [
        {
            "job": job, "from_kind": fact.kind_name, "from_id": fact.id,
            "field": field, "to_kind": kind, "to_id": id,
        }
        for field, kind, id in dict.fromkeys(reference_targets(fact))
    ]  # fmt: skip
