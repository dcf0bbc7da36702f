"""The command that loads a folder's facts over those of the house, and loses nothing.

Three states meet: what the folder said when it was loaded last, what the house says now, and what
the folder says now. What changed in the folder alone is taken; what changed here alone is kept;
what both changed differently is kept as it is here, and named. Each field goes its own way.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence, Set
from typing import Any, ClassVar, Literal

from pydantic import ConfigDict, Field, SerializeAsAny, ValidationError

from roomwright.commands.base import Command, Past, Work
from roomwright.job.bodies import body_of, lifted
from roomwright.job.entities import KINDS, Fact
from roomwright.job.facts import Change, Facts, reference_targets
from roomwright.job.words import named, value

Key = tuple[str, str]
State = dict[Key, Fact]


class Load(Command):
    """Load a folder: add and change what it says, remove what it no longer says.

    Facts made or changed by other commands stay; each that the folder says otherwise is named in
    `kept`. With ``clash="folder"`` the folder's word is taken where both have changed a field.
    `kinds` are those whose files were there: facts of any other kind are left alone. None: all.
    """

    model_config = ConfigDict(arbitrary_types_allowed=True)
    command_name: ClassVar[str] = "load"

    facts: tuple[SerializeAsAny[Fact], ...] = Field(repr=False)
    folder: str = "the folder"
    clash: Literal["here", "folder"] = "here"
    kinds: frozenset[str] | None = None

    def payload(self) -> dict[str, Any]:
        """Return what was asked; the facts themselves stand in the entry's changes."""
        return {"folder": self.folder, "clash": self.clash}

    def work(self, facts: Facts, past: Past) -> Work:
        """Return the merged house."""
        base = last_said(past)
        said = {(f.kind_name, f.id): f for f in self.facts}
        now = {(f.kind_name, f.id): f for f in facts}
        there = frozenset(KINDS if self.kinds is None else self.kinds)
        silent = frozenset(KINDS) - there - {kind for kind, _ in said}
        said |= {key: fact for key, fact in base.items() if key[0] in silent}
        merge = _Merge(base, said, now, silent, prefer_folder=self.clash == "folder")
        changes, kept = merge.done()
        return Work(
            changes,
            _sentence(self.folder, changes, kept),
            {"kept": kept, "folder": _remember(base, said, changes)},
        )


def last_said(past: Past) -> State:
    """Return what the folder said when it was loaded last, from the journal."""
    base: dict[Key, Fact | None] = {}
    for entry in past(Load.command_name):
        base |= {(c.kind, c.id): c.after for c in entry.changes}
        for row in entry.record["folder"]:
            key = (row["kind"], row["id"])
            base[key] = row["body"] and lifted(row["kind"], row["shape"], row["body"])
    return {key: fact for key, fact in base.items() if fact is not None}


def _remember(base: State, said: State, changes: Sequence[Change]) -> list[dict[str, Any]]:
    """Return what the folder says where the entry's changes don't show it."""
    shown: dict[Key, Fact | None] = {**base, **{(c.kind, c.id): c.after for c in changes}}
    return [
        {
            "kind": key[0],
            "id": key[1],
            "shape": KINDS[key[0]].shape,
            "body": body_of(said[key]) if key in said else None,
        }
        for key in shown.keys() | said.keys()
        if shown.get(key) != said.get(key)
    ]


class _Merge:
    """Three states of the facts, brought together; of `silent` kinds the folder says nothing."""

    def __init__(
        self, base: State, said: State, now: State, silent: Set[str], *, prefer_folder: bool
    ) -> None:
        self.base, self.said, self.now, self.silent = base, said, now, silent
        self.prefer_folder = prefer_folder
        self.kept: list[str] = []
        self.after: State = {}

    def done(self) -> tuple[list[Change], list[str]]:
        """Return the changes, and in words what was kept though the folder says otherwise."""
        keys = dict.fromkeys([*self.now, *self.said])
        goes: list[Key] = []
        for key in keys:
            fact = self._fact(key)
            if fact is not None:
                self.after[key] = fact
            elif key in self.now:
                goes.append(key)
        self._keep_needed(goes)
        changes = [
            Change(kind, id, self.now.get((kind, id)), self.after.get((kind, id)))
            for kind, id in keys
            if self.now.get((kind, id)) != self.after.get((kind, id))
        ]
        order = {kind: i for i, kind in enumerate(KINDS)}
        return sorted(changes, key=lambda c: order[c.kind]), self.kept

    def _fact(self, key: Key) -> Fact | None:
        base, said, now = self.base.get(key), self.said.get(key), self.now.get(key)
        if key[0] in self.silent:
            return now
        if said in (now, base):
            if said != now and base is not None:
                self._keep(key, "the folder has not changed it")
            return now
        if base == now:
            return said
        if said is None or now is None:
            if self.prefer_folder:
                return said
            self._keep(key, "gone from the folder" if said is None else "changed in the folder")
            return now
        return self._fields(key, base, said, now)

    def _fields(self, key: Key, base: Fact | None, said: Fact, now: Fact) -> Fact:
        """Take each field from whoever changed it."""
        values: dict[str, Any] = {}
        clashes = []
        for field in type(said).model_fields:
            theirs, mine = getattr(said, field), getattr(now, field)
            first = getattr(base, field) if base is not None else None
            if base is not None and mine == first:
                values[field] = theirs
            else:
                values[field] = mine
                if theirs not in (mine, first) or (base is None and theirs != mine):
                    clashes.append(field)
        if clashes and self.prefer_folder:
            values |= {field: getattr(said, field) for field in clashes}
        elif clashes:
            self._keep(key, "changed here and in the folder", clashes)
        try:
            return type(said).model_validate(values)
        except ValidationError:  # each half is right, the two together are not
            self._keep(key, "changed here and in the folder")
            return now

    def _keep(self, key: Key, why: str, fields: Sequence[str] = ()) -> None:
        said, now = self.said.get(key), self.now.get(key)
        what = named(now or said, *key)
        if now is None:
            self.kept.append(f"{what} stays out: it was taken away here ({why}).")
            return
        if said is None:
            self.kept.append(f"{what} stays: it was changed here ({why}).")
            return
        model = type(now)
        differ = fields or [f for f in model.model_fields if getattr(now, f) != getattr(said, f)]
        values = "; ".join(
            f"{f.replace('_', ' ')} {value(model, f, getattr(now, f))}, "
            f"in the folder {value(model, f, getattr(said, f))}"
            for f in differ
        )
        self.kept.append(f"{what} stays as it is here: {values} ({why}).")

    def _keep_needed(self, goes: list[Key]) -> None:
        """Keep what the folder drops while something that stays still refers to it."""
        going = set(goes)
        front = list(self.after.values())
        while front:
            needed = {
                (kind, id): fact
                for fact in front
                for _, kind, id in reference_targets(fact)
                if (kind, id) in going
            }
            front = []
            for key, user in needed.items():
                going.discard(key)
                self.after[key] = self.now[key]
                front.append(self.now[key])
                who = named(user, user.kind_name, user.id)
                self.kept.append(f"{named(self.now[key], *key)} stays: {who} still needs it.")


def _sentence(folder: str, changes: Sequence[Change], kept: Sequence[str]) -> str:
    counts: Mapping[str, int] = {
        "added": sum(c.before is None for c in changes),
        "changed": sum(c.before is not None and c.after is not None for c in changes),
        "removed": sum(c.after is None for c in changes),
        "kept as they are here": len(kept),
    }
    said = ", ".join(f"{n} {what}" for what, n in counts.items() if n)
    return f"Loaded {folder}: {said or 'nothing has changed'}."
