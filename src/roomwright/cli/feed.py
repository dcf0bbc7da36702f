"""The command `feed`: the days of a house as an iCalendar file, or the address of its feed."""

from __future__ import annotations

import hashlib
import sys
from datetime import UTC, date, datetime
from pathlib import Path

from roomwright.cli.source import BadInputError, Source, find, open_store
from roomwright.feed import calendar, events
from roomwright.job.feeds import feed_of, given_out, renew


def write(
    house: str, out: Path | None, as_of: date | None, store_url: str | None
) -> int:  # fmt: skip
    """Write the calendar to a file or print it; return the exit status.

    Of a stored house it has the numbers of its feed and the time of its journal. A folder has
    neither: its events are numbered 0 and stamped with the day that it was written for. For a day
    that is asked for nothing is kept: the feed that calendars follow goes on as if nobody had.
    """
    source = find(house, store_url)
    answers = source.answers(as_of, datetime.now(UTC).astimezone().date())
    found = events(answers)
    if source.stored:
        store = open_store(store_url)
        try:
            name = feed_of(store, source.name).name
            numbers, stamp = given_out(
                store, source.name, {e.key: (e.first, e.last) for e in found},
                keep=as_of is None,
            )  # fmt: skip
        finally:
            store.close()
    else:
        name = hashlib.sha256(source.name.encode()).hexdigest()[:24]
        numbers = {}
        stamp = datetime.combine(answers.as_of, datetime.min.time(), UTC)
    made = calendar(found, name=name, numbers=numbers, stamp=stamp)
    if out is None:
        sys.stdout.buffer.write(made)
    else:
        out.write_bytes(made)
        print(f"Written: {out}, {len(found)} events", file=sys.stderr)
    return 0


def address(house: str, url: str, anew: bool, store_url: str | None) -> int:
    """Print the secret address of a stored house's feed, a new one if asked."""
    source: Source = find(house, store_url)
    if not source.stored:
        raise BadInputError("A folder has no address: load it first, then name the stored house.")
    store = open_store(store_url)
    try:
        info = renew(store, source.name) if anew else feed_of(store, source.name)
    finally:
        store.close()
    print(f"{url.rstrip('/')}/feed/{info.token}.ics")
    return 0
