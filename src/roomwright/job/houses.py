"""The table of houses: which are kept, under which ids. Works in the transaction it is given."""

from __future__ import annotations

import difflib
import re
import unicodedata
from collections.abc import Collection
from dataclasses import dataclass
from datetime import datetime

from sqlalchemy import Connection, insert, select, update
from sqlalchemy.exc import IntegrityError

from roomwright.job import tables as t
from roomwright.job.errors import StoreError, UnknownHouseError


@dataclass(frozen=True, slots=True)
class JobInfo:
    """A house that is kept: its id, name, how many entries its journal has, and when it changed."""

    id: str
    name: str
    sequence: int
    changed_at: datetime


def slug(name: str) -> str:
    """Return an id made from a name.

    >>> slug("  Tern Hollow, lot 4½ "), slug("¿?")
    ('tern-hollow-lot-412', 'house')
    """
    plain = unicodedata.normalize("NFKD", name).encode("ascii", "ignore").decode().lower()
    return re.sub(r"[^a-z0-9]+", "-", plain.replace("'", "")).strip("-")[:60].strip("-") or "house"


def free(base: str, taken: Collection[str]) -> str:
    """Return an id that is not taken: the base, else with the next number.

    >>> free("mill-lane", {"mill-lane", "mill-lane-2"})
    'mill-lane-3'
    """
    number, found = 1, base
    while found in taken:
        number += 1
        found = f"{base}-{number}"
    return found


def kept(connection: Connection) -> list[JobInfo]:
    """Return the houses that are kept, the last changed first."""
    wanted = (
        select(t.jobs)
        .where(t.jobs.c.slug.is_not(None))
        .order_by(t.jobs.c.changed_at.desc(), t.jobs.c.number.desc())
    )
    return [JobInfo(r.slug, r.name, r.sequence, r.changed_at) for r in connection.execute(wanted)]


def removed(connection: Connection) -> list[tuple[int, JobInfo]]:
    """Return the houses that were taken away, by their number, the last removed first."""
    wanted = select(t.jobs).where(t.jobs.c.slug.is_(None)).order_by(t.jobs.c.removed_at.desc())
    return [
        (r.number, JobInfo(r.was, r.name, r.sequence, r.removed_at))
        for r in connection.execute(wanted)
    ]


def ids(connection: Connection) -> list[str]:
    """Return the ids of the houses that are kept."""
    wanted = select(t.jobs.c.slug).where(t.jobs.c.slug.is_not(None)).order_by(t.jobs.c.slug)
    return [str(found) for found in connection.execute(wanted).scalars()]


def number_of(connection: Connection, job_id: str, *, lock: bool = False) -> tuple[int, int]:
    """Return a house's number and the sequence of its last entry; locked until the end if asked.

    Raises
    ------
    UnknownHouseError
        naming the houses that look like it.
    """
    wanted = select(t.jobs.c.number, t.jobs.c.sequence).where(t.jobs.c.slug == job_id)
    row = connection.execute(wanted.with_for_update() if lock else wanted).first()
    if row is not None:
        return row.number, row.sequence
    known = ids(connection)
    near = difflib.get_close_matches(job_id.lower(), known, n=3, cutoff=0.5)
    raise UnknownHouseError(job_id, near, known)


def create(connection: Connection, job_id: str, name: str, at: datetime) -> JobInfo:
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
    values = {
        "slug": job_id, "was": job_id, "name": name.strip() or job_id,
        "sequence": 0, "created_at": at, "changed_at": at,
    }  # fmt: skip
    try:
        connection.execute(insert(t.jobs).values(values))
    except IntegrityError as error:
        raise StoreError(f"There is a house “{job_id}” already: choose another id.") from error
    return JobInfo(job_id, str(values["name"]), 0, at)


def remove(connection: Connection, job_id: str, at: datetime) -> None:
    """Take a house away; its journal stays."""
    number, _ = number_of(connection, job_id, lock=True)
    connection.execute(
        update(t.jobs).where(t.jobs.c.number == number).values(slug=None, removed_at=at)
    )


def restore(connection: Connection, number: int, job_id: str) -> None:
    """Bring a removed house back under an id."""
    try:
        done = connection.execute(
            update(t.jobs)
            .where(t.jobs.c.number == number, t.jobs.c.slug.is_(None))
            .values(slug=job_id, removed_at=None)
        )
    except IntegrityError as error:
        raise StoreError(f"There is a house “{job_id}” already: choose another id.") from error
    if done.rowcount != 1:
        raise StoreError(f"No removed house has the number {number}.")


def begun_by(connection: Connection, command_id: str) -> str | None:
    """Return the id of the house whose first entry has this command id."""
    wanted = (
        select(t.jobs.c.slug)
        .join(t.journal, t.journal.c.job == t.jobs.c.number)
        .where(
            t.journal.c.sequence == 1,
            t.journal.c.command_id == command_id,
            t.jobs.c.slug.is_not(None),
        )
    )
    return connection.execute(wanted).scalar()
