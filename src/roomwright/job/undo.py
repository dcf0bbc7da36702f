"""Taking an entry of the journal back: which one, and what its inverse is."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from sqlalchemy import Connection

from roomwright.job import clash, journal
from roomwright.job.errors import ConflictError, StoreError
from roomwright.job.facts import Change, Facts
from roomwright.job.journal import Entry
from roomwright.job.writing import Made

UNDO = "undo"
"""The command's name in the journal; its record says which entry it took back (`undid`)."""

_UNDONE, _AGAIN = "Undone: ", "Done again: "


def standing(backward: Iterable[Entry]) -> Iterator[Entry]:
    """Yield the entries that are no undo and have not been undone, newest first."""
    undone: set[int] = set()
    for entry in backward:
        if entry.sequence in undone:
            continue
        if entry.command == UNDO:
            undone.add(entry.record["undid"])
        else:
            yield entry


def inverse(connection: Connection, number: int, facts: Facts, sequence: int | None) -> Made:
    """Return what takes an entry back; without a sequence the last one that stands.

    Raises
    ------
    ConflictError
        if a fact of the entry has changed since.
    StoreError
        if there is no such entry.
    """
    if sequence is None:
        entry = next(standing(journal.backward(connection, number)), None)
    else:
        entry = journal.entry(connection, number, sequence)
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
    return Made(back, _said(entry), {"undid": entry.sequence})


def _said(entry: Entry) -> str:
    """Return what the inverse of an entry says; taking back to and fro does not pile up words."""
    said = entry.sentence or entry.command
    if entry.command == UNDO and said.startswith(_UNDONE):
        return _AGAIN + said.removeprefix(_UNDONE)
    return _UNDONE + said.removeprefix(_AGAIN)
