"""What differs between two states of a house, in sentences."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Collection, Iterable

from roomwright.job.entities import KINDS, Fact
from roomwright.job.facts import Change, Facts, natural
from roomwright.job.words import named, value

MANY = 12
"""More facts of one kind that came or went are counted, not listed."""


def compare(old: Facts, new: Facts, *, kinds: Collection[str] | None = None) -> list[Change]:
    """Return each fact that is new, gone or different, by kind and id.

    `kinds` limits it to some kinds: a folder without a file for a kind says nothing about it.
    """
    changes: list[Change] = []
    for kind, model in KINDS.items():
        if kinds is not None and kind not in kinds:
            continue
        ids = dict.fromkeys([*old.ids(model), *new.ids(model)])
        for id in sorted(ids, key=natural):
            before, after = old.find(model, id), new.find(model, id)
            if before != after:
                changes.append(Change(kind, id, before, after))
    return changes


def describe(changes: Iterable[Change]) -> list[str]:
    r"""Return the changes as sentences: what differs field by field, then what came and went.

    >>> from fractions import Fraction
    >>> from roomwright.job.entities import Piece
    >>> there = Piece(id="T1", room="101", kind="dining table", x=Fraction(81), y=Fraction(84))
    >>> here = there.model_copy(update={"x": Fraction(76)})
    >>> describe([Change("piece", "T1", there, here)])
    ['dining table T1 (101): x was 6\'-9", is now 6\'-4".']
    """
    sentences: list[str] = []
    came: dict[str, list[Fact]] = defaultdict(list)
    gone: dict[str, list[Fact]] = defaultdict(list)
    for change in changes:
        if change.before is None and change.after is not None:
            came[change.kind].append(change.after)
        elif change.after is None and change.before is not None:
            gone[change.kind].append(change.before)
        elif change.before is not None and change.after is not None:
            sentences.append(_different(change.before, change.after))
    for kind in KINDS:
        sentences += _all(came[kind], "is new", "are new")
        sentences += _all(gone[kind], "is gone", "are gone")
    return sentences


def _named(fact: Fact) -> str:
    room = getattr(fact, "room", "")
    name = named(fact, fact.kind_name, fact.id)
    return f"{name} ({room})" if room and room not in fact.id else name


def was_now(before: Fact, after: Fact) -> str:
    r"""Return what differs in a fact, field by field: sill was 2'-0", is now 2'-6".

    >>> from roomwright.job.entities import Room
    >>> den = Room(id="1", level="1", name="Den", outline=())
    >>> was_now(den, den.model_copy(update={"name": "Study"}))
    'name was Den, is now Study'
    """
    model = type(after)
    parts = []
    for field in model.model_fields:
        old, new = getattr(before, field), getattr(after, field)
        if old != new and field == "content":
            parts.append("what it says has changed")
        elif old != new:
            word = field.replace("_", " ")
            was, now = value(model, field, old), value(model, field, new)
            parts.append(f"{word} was {was}, is now {now}")
    return "; ".join(parts)


def _different(before: Fact, after: Fact) -> str:
    return f"{_named(after)}: {was_now(before, after)}."


def _all(facts: list[Fact], one: str, many: str) -> list[str]:
    if len(facts) <= MANY:
        return [f"{_named(fact)} {one}." for fact in facts]
    shown = ", ".join(fact.id for fact in facts[:3])
    noun = named(None, facts[0].kind_name, "").strip()
    plural = {"class": "classes", "progress of": "records of progress"}.get(noun, f"{noun}s")
    return [f"{len(facts)} {plural} {many}: {shown} and {len(facts) - 3} more."]
