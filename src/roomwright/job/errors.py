"""What the store refuses, in words that a builder understands."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass


class StoreError(Exception):
    """Something the store can't do; the message says why and what to do."""


class UnknownHouseError(StoreError):
    """No house of that id; `near` holds the ids that look like it."""

    def __init__(self, job_id: str, near: Sequence[str], known: Sequence[str]) -> None:
        self.job_id = job_id
        self.near = tuple(near)
        if near:
            hint = "Did you mean " + " or ".join(near) + "?"
        elif known:
            hint = "There are: " + ", ".join(known[:12]) + ("." if len(known) <= 12 else ", ...")
        else:
            hint = "No house is kept here yet."
        super().__init__(f"No house “{job_id}” is kept here. {hint}")


class NewerStoreError(StoreError):
    """The store, or a fact in it, was written by a newer program."""


class BusyStoreError(StoreError):
    """Another program holds the store."""


@dataclass(frozen=True, slots=True)
class Problem:
    """One thing wrong with one fact: where, and in words what."""

    kind: str
    id: str
    field: str
    message: str

    def __str__(self) -> str:
        return self.message


class RuleError(StoreError):
    """Facts that can't stand together; `problems` holds each. Nothing was written."""

    def __init__(self, problems: Sequence[Problem]) -> None:
        self.problems = tuple(problems)
        super().__init__("\n".join(p.message[:1].upper() + p.message[1:] for p in self.problems))


@dataclass(frozen=True, slots=True)
class Clash:
    """A fact that is not what the writer thought: field by field, as read and as it stands.

    `fields` holds (field, as the writer saw it, as it is now, what the writer wants), in the
    words of the tape; an absent fact shows as ``nothing``.
    """

    kind: str
    id: str
    fields: tuple[tuple[str, str, str, str], ...]
    message: str


class ConflictError(StoreError):
    """The fact has changed since; `clashes` holds both values of each. Nothing was written."""

    def __init__(self, clashes: Sequence[Clash]) -> None:
        self.clashes = tuple(clashes)
        super().__init__("\n".join(c.message for c in self.clashes))
