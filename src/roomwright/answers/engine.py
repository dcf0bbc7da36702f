"""Named queries over facts, kept on exactly what they read.

A query is a pure function of an `Ask` and a key. Through the `Ask` it reads facts, groups of
facts, the as-of date and other queries, and each reading is recorded. An answer is given again
without computing while all its readings still give the same; where a query that was read has to
be computed anew but comes out equal, the ones above it are kept too. A full recompute is an
`Answers` with an empty memory: the tests hold the kept answers equal to it.

>>> from datetime import date
>>> from roomwright.job.entities import House
>>> from roomwright.job.facts import Facts
>>> @query("example of a title")
... def title(ask: Ask) -> str:
...     return ask.fact(House, "house").name.upper()
>>> facts = Facts([House(name="Tern Hollow", site_start=date(2027, 1, 18))])
>>> Answers(facts, as_of=date(2027, 3, 29)).ask(title)
'TERN HOLLOW'
"""

from __future__ import annotations

import threading
from collections.abc import Callable, Iterable
from dataclasses import dataclass
from datetime import date
from typing import Any, Concatenate, Generic, ParamSpec, TypeVar

from roomwright.job.entities import Fact
from roomwright.job.facts import Change, Facts

F = TypeVar("F", bound=Fact)
P = ParamSpec("P")
R = TypeVar("R")
R_co = TypeVar("R_co", covariant=True)

Key = tuple[str, tuple[Any, ...]]


@dataclass(frozen=True, slots=True, eq=False)
class Query(Generic[P, R_co]):
    """A named, registered query; call it through `Ask` or `Answers`."""

    name: str
    function: Callable[Concatenate[Ask, P], R_co]


REGISTRY: dict[str, Query[Any, Any]] = {}
"""Every query by name; `Answers.answer(kind, key)` looks here."""


def query(
    name: str,
) -> Callable[[Callable[Concatenate[Ask, P], R]], Query[P, R]]:
    """Register a pure function of an `Ask` and hashable positional keys under a name.

    Raises
    ------
    ValueError
        if another function has that name: two answers under one name would be mixed up.
    """

    def register(function: Callable[Concatenate[Ask, P], R]) -> Query[P, R]:
        held = REGISTRY.get(name)
        if held is not None and held.function.__module__ != function.__module__:
            raise ValueError(f"two queries are named {name!r}: {held.function}, {function}")
        made: Query[P, R] = Query(name, function)
        REGISTRY[name] = made
        return made

    return register


@dataclass(frozen=True, slots=True)
class _Reading:
    """One thing a query read and what it got. `what` is fact, group, all, as_of or query."""

    what: str
    kind: Any
    key: Any
    got: Any


@dataclass(frozen=True, slots=True)
class _Kept:
    value: Any
    stamp: int
    readings: tuple[_Reading, ...]


class AnswerLoopError(RuntimeError):
    """A query asked for itself; the message shows the ring."""


class Ask:
    """What a query may read. Every reading is recorded."""

    def __init__(self, answers: Answers) -> None:
        self._answers = answers
        self._readings: dict[tuple[str, Any, Any], _Reading] = {}

    def _note(self, what: str, kind: Any, key: Any, got: Any) -> None:
        self._readings.setdefault((what, kind, key), _Reading(what, kind, key, got))

    def find(self, kind: type[F], id: str | None) -> F | None:
        """Return a fact or None, recorded."""
        got = self._answers.facts.find(kind, id)
        self._note("fact", kind, id, got)
        return got

    def fact(self, kind: type[F], id: str) -> F:
        """Return a fact, recorded, or raise MissingFactError."""
        self.find(kind, id)
        return self._answers.facts.get(kind, id)

    def all(self, kind: type[F]) -> tuple[F, ...]:
        """Return all facts of a kind in natural order, recorded with their contents."""
        got = self._answers.facts.all(kind)
        self._note("all", kind, None, got)
        return got

    def where(self, kind: type[F], field: str, value: Any) -> tuple[F, ...]:
        """Return the facts of a kind whose field is (or holds) the value, recorded."""
        got = self._answers.facts.where(kind, field, value)
        self._note("group", kind, (field, value), got)
        return got

    @property
    def as_of(self) -> date:
        """The day for which the answers hold, recorded."""
        self._note("as_of", None, None, self._answers.as_of)
        return self._answers.as_of

    def __call__(self, wanted: Query[P, R], *key: P.args, **no: P.kwargs) -> R:
        """Return another query's answer, recorded."""
        name: Key = (wanted.name, key)
        kept = self._answers._fresh(name)
        self._note("query", name, None, kept.stamp)
        return kept.value  # type: ignore[no-any-return]


class Answers:
    """All answers over one state of the facts on one day; `moved` goes on to the next state.

    Safe to share between threads (one lock a house).
    """

    def __init__(self, facts: Facts, *, as_of: date) -> None:
        self.facts = facts
        self.as_of = as_of
        self._memory: dict[Key, _Kept] = {}
        self._checked: set[Key] = set()
        self._stack: list[Key] = []
        self._stamp = 0
        self._lock = threading.RLock()

    def ask(self, wanted: Query[P, R], *key: P.args, **no: P.kwargs) -> R:
        """Return the answer of a query for a key."""
        with self._lock:
            return self._fresh((wanted.name, key)).value  # type: ignore[no-any-return]

    def answer(self, kind: str, *key: Any) -> Any:
        """Return the answer of the query with this name for a key.

        Raises
        ------
        KeyError
            if there is no query of that name.
        """
        with self._lock:
            return self._fresh((REGISTRY[kind].name, key)).value

    def moved(self, facts: Facts, *, as_of: date | None = None) -> Answers:
        """Return answers over another state of the facts, keeping what still holds.

        The old answers stay usable, so "what would this change touch?" compares the two.
        """
        with self._lock:
            new = Answers(facts, as_of=self.as_of if as_of is None else as_of)
            new._memory = dict(self._memory)
            new._stamp = self._stamp
            return new

    def supposing(self, changes: Iterable[Change]) -> Answers:
        """Return answers as they would be after the changes; nothing is written."""
        return self.moved(self.facts.changed(changes))

    def depends_on(self, kind: type[Fact], id: str) -> list[Key]:
        """Return the kept queries that read this fact, directly or through others."""
        with self._lock:
            touched: set[Key] = set()
            grown = True
            while grown:
                grown = False
                for name, kept in self._memory.items():
                    if name not in touched and any(
                        self._reads(r, kind, id, touched) for r in kept.readings
                    ):
                        touched.add(name)
                        grown = True
            return sorted(touched, key=repr)

    @staticmethod
    def _reads(reading: _Reading, kind: type[Fact], id: str, touched: set[Key]) -> bool:
        if reading.what == "query":
            return reading.kind in touched
        if reading.kind is not kind:
            return False
        if reading.what == "fact":
            return bool(reading.key == id)
        return any(fact.id == id for fact in reading.got)

    def _fresh(self, name: Key) -> _Kept:
        kept = self._memory.get(name)
        if kept is not None and (name in self._checked or self._holds(kept)):
            self._checked.add(name)
            return kept
        if name in self._stack:
            ring = [*self._stack[self._stack.index(name) :], name]
            raise AnswerLoopError(" -> ".join(f"{n}{k}" for n, k in ring))
        ask = Ask(self)
        self._stack.append(name)
        try:
            value = REGISTRY[name[0]].function(ask, *name[1])
        finally:
            self._stack.pop()
        if kept is not None and kept.value == value:
            fresh = _Kept(kept.value, kept.stamp, tuple(ask._readings.values()))
        else:
            self._stamp += 1
            fresh = _Kept(value, self._stamp, tuple(ask._readings.values()))
        self._memory[name] = fresh
        self._checked.add(name)
        return fresh

    def _holds(self, kept: _Kept) -> bool:
        return all(self._same(reading) for reading in kept.readings)

    def _same(self, reading: _Reading) -> bool:
        match reading.what:
            case "fact":
                return _equal(self.facts.find(reading.kind, reading.key), reading.got)
            case "all":
                return _equal_all(self.facts.all(reading.kind), reading.got)
            case "group":
                return _equal_all(self.facts.where(reading.kind, *reading.key), reading.got)
            case "as_of":
                return bool(self.as_of == reading.got)
            case _:
                return bool(self._fresh(reading.kind).stamp == reading.got)


def _equal(now: Fact | None, then: Fact | None) -> bool:
    return now is then or now == then


def _equal_all(now: tuple[Fact, ...], then: tuple[Fact, ...]) -> bool:
    return len(now) == len(then) and all(map(_equal, now, then))
