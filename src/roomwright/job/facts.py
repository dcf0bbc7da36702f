"""One state of the facts of a house, in memory: immutable, indexed by what refers to what."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from functools import lru_cache
from typing import Any, TypeVar

from roomwright.job.entities import KINDS, Fact

F = TypeVar("F", bound=Fact)


class MissingFactError(KeyError):
    """No such fact; the message names its kind and id."""

    def __str__(self) -> str:
        return str(self.args[0])


@dataclass(frozen=True, slots=True)
class Change:
    """One fact before and after; None before is new, None after is gone."""

    kind: str
    id: str
    before: Fact | None
    after: Fact | None


@lru_cache(maxsize=65536)
def natural(text: str) -> tuple[tuple[int, int | str], ...]:
    """Return a sort key under which A9 comes before A10 and 206 before 206b.

    >>> sorted(["A10", "206b", "A9", "206"], key=natural)
    ['206', '206b', 'A9', 'A10']
    """
    return tuple(
        (0, int(part)) if part.isdecimal() else (1, part)
        for part in re.findall(r"[0-9]+|[^0-9]+", text)
    )


class Facts:
    """One state of all facts of one house.

    `version` of a fact counts its changes; two states that hold the same version of a fact hold
    the same fact. `where` looks facts up by any field of theirs that refers to another fact.
    """

    def __init__(
        self,
        facts: Iterable[Fact] = (),
        *,
        versions: Mapping[tuple[str, str], int] | None = None,
        sequence: int = 0,
    ) -> None:
        self.sequence = sequence
        self._by_kind: dict[str, dict[str, Fact]] = {k: {} for k in KINDS}
        for fact in facts:
            self._by_kind[fact.kind_name][fact.id] = fact
        for kind, held in self._by_kind.items():
            self._by_kind[kind] = dict(sorted(held.items(), key=lambda item: natural(item[0])))
        self._versions = dict(versions or {})
        self._groups: dict[tuple[str, str], dict[Any, tuple[str, ...]]] = {}

    def get(self, kind: type[F], id: str) -> F:
        """Return the fact, or raise MissingFactError."""
        found = self.find(kind, id)
        if found is None:
            raise MissingFactError(f"no {kind.kind_name} {id!r} in this house")
        return found

    def find(self, kind: type[F], id: str | None) -> F | None:
        """Return the fact or None."""
        return self._by_kind[kind.kind_name].get(id or "")  # type: ignore[return-value]

    def fact(self, kind: str, id: str) -> Fact | None:
        """Return the fact of a kind given by its name, or None."""
        return self._by_kind[kind].get(id)

    def all(self, kind: type[F]) -> tuple[F, ...]:
        """Return all facts of a kind in natural order of their ids."""
        return tuple(self._by_kind[kind.kind_name].values())  # type: ignore[arg-type]

    def ids(self, kind: type[Fact]) -> tuple[str, ...]:
        """Return the ids of a kind in natural order."""
        return tuple(self._by_kind[kind.kind_name])

    def where(self, kind: type[F], field: str, value: Any) -> tuple[F, ...]:
        """Return the facts of a kind whose `field` is `value` (or holds it, for a tuple)."""
        held = self._by_kind[kind.kind_name]
        return tuple(held[i] for i in self.ids_where(kind, field, value))  # type: ignore[misc]

    def ids_where(self, kind: type[Fact], field: str, value: Any) -> tuple[str, ...]:
        """Return the ids that `where` finds."""
        return self._group(kind, field).get(value, ())

    def version(self, kind: str, id: str) -> int:
        """Return the version of a fact; 0 where there is none."""
        if id not in self._by_kind[kind]:
            return 0
        return self._versions.get((kind, id), 1)

    def counted(self, kind: str, id: str) -> int:
        """Return how often a fact has changed, gone or not; 0 where there never was one."""
        return self._versions.get((kind, id), 1 if id in self._by_kind[kind] else 0)

    def __iter__(self) -> Iterator[Fact]:
        for held in self._by_kind.values():
            yield from held.values()

    def __len__(self) -> int:
        return sum(len(held) for held in self._by_kind.values())

    def changed(self, changes: Iterable[Change], *, sequence: int | None = None) -> Facts:
        """Return a new state with the changes applied; versions of changed facts go up by one."""
        new = Facts.__new__(Facts)
        new.sequence = self.sequence + 1 if sequence is None else sequence
        new._by_kind = dict(self._by_kind)
        new._versions = dict(self._versions)
        touched: set[str] = set()
        resort: set[str] = set()
        for change in changes:
            if change.kind not in touched:
                new._by_kind[change.kind] = dict(new._by_kind[change.kind])
                touched.add(change.kind)
            key = (change.kind, change.id)
            held = new._by_kind[change.kind]
            new._versions[key] = self.counted(*key) + 1
            if change.after is None:
                held.pop(change.id, None)
            else:
                if change.id not in held:
                    resort.add(change.kind)
                held[change.id] = change.after
        for kind in resort:
            new._by_kind[kind] = dict(
                sorted(new._by_kind[kind].items(), key=lambda item: natural(item[0]))
            )
        new._groups = {k: v for k, v in self._groups.items() if k[0] not in touched}
        return new

    def _group(self, kind: type[Fact], field: str) -> dict[Any, tuple[str, ...]]:
        key = (kind.kind_name, field)
        group = self._groups.get(key)
        if group is None:
            lists: dict[Any, list[str]] = {}
            for id, fact in self._by_kind[kind.kind_name].items():
                value = getattr(fact, field)
                for one in value if isinstance(value, tuple) else (value,):
                    lists.setdefault(one, []).append(id)
            group = self._groups[key] = {v: tuple(ids) for v, ids in lists.items()}
        return group


def reference_targets(fact: Fact) -> Iterator[tuple[str, str, str]]:
    """Yield (field, kind, id) for each fact that this one refers to; open ends are left out."""
    for field, kind in fact.references.items():
        value = getattr(fact, field)
        for one in value if isinstance(value, tuple) else (value,):
            if one is not None and one != "" and one not in fact.open_ends:
                yield field, kind, one
