"""Writing one entry: all its checks, in the transaction that holds the house's lock."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import datetime
from typing import Any

from sqlalchemy import Connection

from roomwright.job import clash, journal, rules
from roomwright.job.bodies import canonical
from roomwright.job.errors import ConflictError, Problem, RuleError, StoreError
from roomwright.job.facts import Change, Facts
from roomwright.job.journal import Entry

Expect = Mapping[tuple[str, str], int]
"""(kind, id) -> the version that the writer saw; 0 where there was no fact."""


@dataclass(frozen=True, slots=True)
class Written:
    """What a write did; `repeated` when this command id had been written before."""

    sequence: int
    changes: tuple[Change, ...]
    repeated: bool
    sentence: str = ""
    record: Mapping[str, Any] = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class Made:
    """What a command makes of the facts: its changes, the sentence, and what else to remember."""

    changes: Sequence[Change]
    sentence: str = ""
    record: Mapping[str, Any] = field(default_factory=dict)


Make = Callable[[Connection, int, Facts], Made]


@dataclass(frozen=True, slots=True)
class Asked:
    """What was asked, by whom, under which id of theirs; refuses ids that can't be kept."""

    command: str
    payload: Mapping[str, Any]
    who: str
    command_id: str

    def __post_init__(self) -> None:
        for name in ("command", "who", "command_id"):
            text = getattr(self, name)
            if not text or len(text) > 80 or not text.isprintable():
                what = name.replace("_", " ")
                raise StoreError(f"{what}: give 1 to 80 printable characters.")


def repeat(connection: Connection, number: int, asked: Asked) -> Written | None:
    """Return what this command id has written before, or None.

    Raises
    ------
    StoreError
        if it was used for another command.
    """
    done = journal.recorded(connection, number, asked.command_id)
    if done is None:
        return None
    if (done.command, canonical(done.payload)) != (asked.command, canonical(asked.payload)):
        raise StoreError(
            f"The command id {done.command_id} was used for something else: "
            f"{done.sentence or done.command}. Nothing was written; send it again under a new id."
        )
    return Written(done.sequence, done.changes, True, done.sentence, done.record)


def write(
    connection: Connection,
    number: int,
    facts: Facts,
    asked: Asked,
    make: Make,
    *,
    at: datetime,
    expect: Expect | None = None,
) -> tuple[Written, Facts]:
    """Write one entry over the facts as they stand; return what it did and the facts after it.

    Raises
    ------
    ConflictError, RuleError
        before anything is written.
    """
    _fresh(connection, number, facts, make, expect or {})
    made = make(connection, number, facts)
    changes = _real(facts, made.changes)
    if not changes:
        return Written(facts.sequence, (), False, made.sentence, made.record), facts
    after = facts.changed(changes, sequence=facts.sequence + 1)
    problems = rules.check(after, changes)
    if problems:
        raise RuleError(problems)
    journal.append(
        connection,
        number,
        before=facts,
        after=after,
        changes=changes,
        command_id=asked.command_id,
        at=at,
        who=asked.who,
        command=asked.command,
        payload=canonical(asked.payload),
        sentence=made.sentence,
        record=made.record,
    )
    return Written(after.sequence, changes, False, made.sentence, made.record), after


def _fresh(connection: Connection, number: int, facts: Facts, make: Make, expect: Expect) -> None:
    """Refuse what was asked of facts that have changed since, with both values of each."""
    stale = {key: seen for key, seen in expect.items() if facts.version(*key) != seen}
    if not stale:
        return
    try:
        wanted = make(connection, number, facts).changes
    except (StoreError, ValueError, LookupError):
        wanted = ()  # what was wanted can't be said of the facts as they are now
    raise ConflictError(
        clash.stale(stale, facts, wanted, lambda: journal.backward(connection, number))
    )


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


__all__ = ["Asked", "Entry", "Expect", "Made", "Make", "Written", "repeat", "write"]
