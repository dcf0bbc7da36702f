"""Facts that are not what the writer thought: both values, in words."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence

from roomwright.job.entities import KINDS, Fact
from roomwright.job.errors import Clash
from roomwright.job.facts import Change, Facts
from roomwright.job.journal import Entry
from roomwright.job.words import named, value

Fields = tuple[tuple[str, str, str, str], ...]


def stale(
    seen: Mapping[tuple[str, str], int],
    facts: Facts,
    wanted: Sequence[Change],
    history: Callable[[], Iterable[Entry]],
) -> list[Clash]:
    """Return what a writer that saw older versions must know.

    `seen` holds the versions that the writer saw, `wanted` what it would have changed; `history`
    gives the journal, newest first.
    """
    wants = {(c.kind, c.id): c for c in wanted}
    clashes = []
    for (kind, id), version in seen.items():
        then, by = _at_version(history(), kind, id, version)
        now = facts.fact(kind, id)
        change = wants.get((kind, id))
        fields = _differing(kind, then, now, change)
        what = named(now or then, kind, id)
        if now is None:
            said = f"{what} is gone since you looked"
        elif then is None:
            said = f"{what} was made since you looked"
        else:
            said = f"{what} has changed since you looked"
        said += f" ({by})" if by else ""
        clashes.append(Clash(kind, id, fields, _sentence(said, fields, "You saw")))
    return clashes


def since(entry: Entry, facts: Facts) -> list[Clash]:
    """Return the facts of an entry that no longer are as the entry left them."""
    clashes = []
    for change in entry.changes:
        now = facts.fact(change.kind, change.id)
        if now == change.after:
            continue
        back = Change(change.kind, change.id, now, change.before)
        fields = _differing(change.kind, change.after, now, back)
        what = named(now or change.after or change.before, change.kind, change.id)
        said = f"{what} has changed since, so this can't be undone"
        clashes.append(Clash(change.kind, change.id, fields, _sentence(said, fields, "It was")))
    return clashes


def _sentence(said: str, fields: Fields, saw: str) -> str:
    parts = []
    for field, then, now, want in fields:
        part = f"{saw} {field} {then}; it is now {now}"
        parts.append(part + (f"; you want {want}." if want not in ("", now) else "."))
    head = said[0].upper() + said[1:]
    return " ".join([head + ".", *parts, "Look at it again, then say what you want."])


def _differing(kind: str, then: Fact | None, now: Fact | None, change: Change | None) -> Fields:
    model = KINDS[kind]
    rows = []
    for field in model.model_fields:
        if field == "id":
            continue
        values = [getattr(f, field) if f is not None else None for f in (then, now)]
        if values[0] == values[1]:
            continue
        want = ""
        if change is not None and change.after is not None:
            want = value(model, field, getattr(change.after, field))
        name = field.replace("_", " ")
        rows.append((name, value(model, field, values[0]), value(model, field, values[1]), want))
    return tuple(rows)


def _at_version(
    history: Iterable[Entry], kind: str, id: str, version: int
) -> tuple[Fact | None, str]:
    """Return the fact at a version, and who changed it last and when."""
    by = ""
    for entry in history:
        for change, held in zip(entry.changes, entry.versions, strict=True):
            if (change.kind, change.id) != (kind, id):
                continue
            by = by or f"by {entry.who}, {entry.at:%b} {entry.at.day}"
            if held <= version:
                return (change.after if held == version else None), by
    return None, by
