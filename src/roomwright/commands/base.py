"""What a command is, and how one is run."""

from __future__ import annotations

import uuid
from abc import abstractmethod
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date
from typing import Any, ClassVar, TypeVar

from pydantic import BaseModel, ConfigDict, ValidationError
from pydantic_core import ErrorDetails

from roomwright.job.entities import Fact
from roomwright.job.errors import StoreError
from roomwright.job.facts import Change, Facts
from roomwright.job.journal import Entry
from roomwright.job.store import Store, Written
from roomwright.job.words import day, named

F = TypeVar("F", bound=Fact)
Past = Callable[[str], list[Entry]]
"""Gives the entries of a command that have not been undone, oldest first."""


class BadCommandError(StoreError):
    """A command with values that can't be; `problems` holds (field, what is wrong) of each."""

    def __init__(self, *problems: tuple[str, str]) -> None:
        self.problems = problems
        super().__init__(
            "\n".join(f"{f.replace('_', ' ')}: {what}" if f else what for f, what in problems)
        )


@dataclass(frozen=True, slots=True)
class Work:
    """What a command makes of the facts: the changes, the sentence that says them, and the rest.

    `record` is what the journal remembers beyond the changes; `kept` in it lists, in words, what
    the command left as it is.
    """

    changes: Sequence[Change]
    sentence: str
    record: Mapping[str, Any] = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class Done:
    """A command that was run. `sentence` says in words what was done.

    `repeated` when this command id had been run before; `kept` lists what a load left as it is.
    """

    sequence: int
    changes: tuple[Change, ...]
    sentence: str
    repeated: bool
    kept: tuple[str, ...] = ()


class Command(BaseModel):
    """Something a person may do. Frozen; its fields are what was asked."""

    model_config = ConfigDict(frozen=True, extra="forbid", str_strip_whitespace=True)

    command_name: ClassVar[str]
    happened: ClassVar[tuple[str, ...]] = ()
    """Fields that hold the day on which something happened: such a day never lies ahead."""

    def changes(self, facts: Facts) -> list[Change]:
        """Return what this would change; nothing is written."""
        return list(self.work(facts, lambda _: []).changes)

    @abstractmethod
    def work(self, facts: Facts, past: Past) -> Work:
        """Return the changes and what to say of them.

        Raises
        ------
        BadCommandError
            naming the field, where the facts don't allow what was asked.
        """

    def payload(self) -> dict[str, Any]:
        """Return what was asked, as plain JSON values, for the journal."""
        return self.model_dump(mode="json", exclude_unset=True)


def run(
    store: Store,
    job_id: str,
    command: Command,
    *,
    who: str,
    command_id: str | None = None,
    expect: Mapping[tuple[str, str], int] | None = None,
) -> Done:
    """Run a command on a house: one journal entry, or nothing and an error that says why.

    Parameters
    ----------
    command_id
        The caller's own id of this command, so that sending it twice does it once; made up if
        not given.
    expect
        (kind, id) -> the version of a fact that the person saw.

    Raises
    ------
    BadCommandError, RuleError, ConflictError, UnknownHouseError
        with nothing written; all are `StoreError`.
    """
    once = _Once(command, lambda name: store.standing(job_id, name))
    written = store.write(
        job_id,
        once.build,
        command=command.command_name,
        payload=command.payload(),
        who=who,
        command_id=command_id or str(uuid.uuid4()),
        expect=expect,
        tell=once.tell,
    )
    return _done(written)


def begin(
    store: Store, name: str, command: Command, *, who: str, command_id: str | None = None
) -> tuple[str, Done]:
    """Make a new house and run its first command, or neither; return the house's id too.

    The same `command_id` again gives the house that it made before.
    """
    once = _Once(command, lambda _: [])
    job_id, written = store.begin(
        name,
        once.build,
        command=command.command_name,
        payload=command.payload(),
        who=who,
        command_id=command_id or str(uuid.uuid4()),
        tell=once.tell,
    )
    return job_id, _done(written)


class _Once:
    """A command's work on one state of the facts, done once for its changes and its sentence."""

    def __init__(self, command: Command, past: Past) -> None:
        self._command, self._past = command, past
        self._made = Work((), "")

    def build(self, facts: Facts) -> Sequence[Change]:
        self._made = self._command.work(facts, self._past)
        return self._made.changes

    def tell(self, facts: Facts, changes: Sequence[Change]) -> tuple[str, Mapping[str, Any]]:
        return self._made.sentence, self._made.record


def _done(written: Written) -> Done:
    return Done(
        written.sequence,
        written.changes,
        written.sentence,
        written.repeated,
        tuple(written.record.get("kept", ())),
    )


def not_ahead(command: Command, today: date) -> None:
    """Refuse a command that tells of something as happened on a day that is still to come.

    The day is the caller's to know: commands read no clock.

    Raises
    ------
    BadCommandError
        naming the field.
    """
    for name in command.happened:
        when = getattr(command, name)
        if isinstance(when, date) and when > today:
            raise BadCommandError(
                (name, f"{day(when)} is still to come: give the day on which it happened.")
            )


def need(facts: Facts, kind: type[F], id: str, name: str) -> F:
    """Return the fact that a command's field names, or refuse in words."""
    found = facts.find(kind, id)
    if found is None:
        raise BadCommandError((name, f"there is no {named(None, kind.kind_name, id)} here."))
    return found


def edited(fact: F, **values: Any) -> F:
    """Return a fact with fields changed and checked."""
    return type(fact).model_validate({**dict(fact), **values})


def edit(fact: Fact, **values: Any) -> Change:
    """Return the change of some fields of a fact."""
    return Change(fact.kind_name, fact.id, fact, edited(fact, **values))


def add(fact: Fact) -> Change:
    """Return the change that brings a new fact."""
    return Change(fact.kind_name, fact.id, None, fact)


def take_out(fact: Fact) -> Change:
    """Return the change that takes a fact away."""
    return Change(fact.kind_name, fact.id, fact, None)


def capital(sentence: str) -> str:
    """Return a sentence with its first letter large."""
    return sentence[:1].upper() + sentence[1:]


def in_words(error: ValidationError) -> BadCommandError:
    """Return what pydantic found wrong, field by field, in a builder's words."""
    errors = error.errors()
    places = [e["loc"] for e in errors]

    def holds_another(place: tuple[int | str, ...]) -> bool:
        return any(len(p) > len(place) and p[: len(place)] == place for p in places)

    return BadCommandError(*((_field(e), _words(e)) for e in errors if not holds_another(e["loc"])))


def _field(error: ErrorDetails) -> str:
    return ".".join(str(part) for part in error["loc"] if part != "function-before")


def _words(error: ErrorDetails) -> str:
    context = error.get("ctx", {})
    match error["type"]:
        case "value_error":
            return str(context["error"])
        case "missing":
            return "this is needed."
        case "extra_forbidden":
            return "this is not known here; check its spelling."
        case "literal_error" | "enum":
            return f"choose {context['expected']}."
        case "int_parsing" | "int_type" | "int_from_float" | "int_parsing_size":
            return f"type a whole number, not “{str(error['input'])[:40]}”."
        case "greater_than_equal":
            return f"type {context['ge']} or more."
        case "less_than_equal":
            return f"type {context['le']} or less."
        case "string_too_short":
            return "this can't be empty."
        case "string_too_long":
            return f"at most {context['max_length']} characters."
        case kind if kind.startswith("date"):
            return f"type a date like 2027-03-29, not “{str(error['input'])[:40]}”."
    return f"{error['msg']}."
