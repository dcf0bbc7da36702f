"""What the store keeps of calendar feeds, beside the facts: addresses, and days given out.

The address of a feed is secret: whoever has it reads the house's days, so it is long, random, and
can be renewed. It is no fact: no folder, archive or journal holds it.

An event's SEQUENCE (RFC 5545, 3.8.7.4) counts how often its days have changed since it was first
given out. The days last given out are kept here for that: what is worked out anew each time can't
tell by itself what a calendar has read before. No clock is asked; the same state gives the same
numbers however often it is read.
"""

from __future__ import annotations

import hashlib
import secrets
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date, datetime
from typing import Any

from sqlalchemy import Connection, insert, select, update

from roomwright.job import houses
from roomwright.job import tables as t
from roomwright.job.store import Store

Days = tuple[date, date]
"""First and last day of an event."""


@dataclass(frozen=True, slots=True)
class FeedInfo:
    """A house's feed: `name` is part of the id of every event and stays when `token` is renewed."""

    house: str
    name: str
    token: str


def feed_of(store: Store, house: str) -> FeedInfo:
    """Return the feed of a house, made if it has none yet.

    Raises
    ------
    UnknownHouseError
        if no house has that id.
    """
    with store.reading() as connection:
        number, _ = houses.number_of(connection, house)
        row = connection.execute(select(t.feeds).where(t.feeds.c.job == number)).first()
    if row is not None:
        return FeedInfo(house, row.name, row.token)
    with store.writing() as connection:
        number, _ = houses.number_of(connection, house, lock=True)
        row = connection.execute(select(t.feeds).where(t.feeds.c.job == number)).first()
        if row is None:
            made = FeedInfo(house, secrets.token_hex(12), secrets.token_urlsafe(32))
            connection.execute(
                insert(t.feeds).values(
                    job=number, name=made.name, token=made.token, made_at=store.now()
                )
            )
            return made
        return FeedInfo(house, row.name, row.token)


def renew(store: Store, house: str) -> FeedInfo:
    """Give a house's feed another address; the old one leads nowhere from now on."""
    held = feed_of(store, house)
    made = FeedInfo(house, held.name, secrets.token_urlsafe(32))
    with store.writing() as connection:
        number, _ = houses.number_of(connection, house, lock=True)
        connection.execute(
            update(t.feeds)
            .where(t.feeds.c.job == number)
            .values(token=made.token, made_at=store.now())
        )
    return made


def house_of(store: Store, token: str) -> FeedInfo | None:
    """Return the feed with this token, or None. Takes as long whichever house it is."""
    wanted = select(t.feeds, t.jobs.c.slug).join(t.jobs, t.jobs.c.number == t.feeds.c.job)
    with store.reading() as connection:
        rows = connection.execute(wanted).all()
    asked, found = token.encode(), None
    for row in rows:
        if secrets.compare_digest(asked, row.token.encode()) and row.slug is not None:
            found = FeedInfo(row.slug, row.name, row.token)
    return found


def key_of(*parts: str) -> str:
    """Return the key of an event: short, and the same for ever.

    It is no secret. Whoever reads the event reads its title, and could try out of which ids the key
    is made.

    >>> key_of("visit", "A180", "tile") == key_of("visit", "A180", "tile"), len(key_of("x"))
    (True, 24)
    """
    return hashlib.sha256("\n".join(parts).encode()).hexdigest()[:24]


def given_out(
    store: Store, house: str, days: Mapping[str, Days], *, keep: bool = True
) -> tuple[dict[str, int], datetime]:
    """Return the sequence number of each event, and when the house's journal last changed.

    Days that differ from those last given out raise an event's number by one. Events that are no
    longer there keep theirs, should they come back. Without `keep` nothing is written: for a stream
    of some other day, which no calendar follows.
    """
    with store.reading() as connection:
        number, _ = houses.number_of(connection, house)
        stamp = connection.execute(
            select(t.jobs.c.changed_at).where(t.jobs.c.number == number)
        ).scalar_one()
        held = _held(connection, number)
    new, moved, numbers = _compared(held, days)
    if keep and (new or moved):
        with store.writing() as connection:
            houses.number_of(connection, house, lock=True)
            new, moved, numbers = _compared(_held(connection, number), days)
            for key in new:
                connection.execute(insert(t.feed_days).values(_row(number, key, days, numbers)))
            for key in moved:
                connection.execute(
                    update(t.feed_days)
                    .where(t.feed_days.c.job == number, t.feed_days.c.key == key)
                    .values(_row(number, key, days, numbers))
                )
    return numbers, stamp


def _held(connection: Connection, number: int) -> dict[str, tuple[Days, int]]:
    rows = connection.execute(select(t.feed_days).where(t.feed_days.c.job == number))
    return {r.key: ((r.first, r.last), r.sequence) for r in rows}


def _compared(
    held: Mapping[str, tuple[Days, int]], days: Mapping[str, Days]
) -> tuple[list[str], list[str], dict[str, int]]:
    new = [key for key in days if key not in held]
    moved = [key for key, pair in days.items() if key in held and held[key][0] != pair]
    numbers = {key: held[key][1] + (held[key][0] != pair) if key in held else 0
               for key, pair in days.items()}  # fmt: skip
    return new, moved, numbers


def _row(
    number: int, key: str, days: Mapping[str, Days], numbers: Mapping[str, int]
) -> dict[str, Any]:
    first, last = days[key]
    return {"job": number, "key": key, "first": first, "last": last, "sequence": numbers[key]}
