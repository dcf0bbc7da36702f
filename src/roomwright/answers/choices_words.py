"""What the owner must decide, in an owner's words: by when, why then, what a late answer costs."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from roomwright.answers.choices import ChoiceRow, choices, late_words
from roomwright.answers.engine import Answers
from roomwright.days import show_date
from roomwright.job.entities import Choice, House
from roomwright.job.facts import Facts
from roomwright.job.people_facts import dollars


@dataclass(frozen=True, slots=True)
class Item:
    """One thing to decide, in words. `room` is the one whose plan stands beside it, or empty."""

    id: str
    what: str
    who: str
    state: str
    by: str
    where: str
    waits: str
    options: tuple[str, ...]
    why: tuple[tuple[str, str], ...]
    late: tuple[str, ...]
    asked: str
    decided: str
    note: str
    room: str


@dataclass(frozen=True, slots=True)
class OwnersPage:
    """The page of choices: those to make, sorted by day, and those that were made."""

    title: str
    house: str
    lead: str
    open: tuple[Item, ...]
    made: tuple[Item, ...]
    notes: tuple[str, ...]


def owners_page(answers: Answers, who: str = "owner") -> OwnersPage:
    """Return the choices of one who decides; of everybody where `who` is empty."""
    rows = [c for c in answers.ask(choices) if not who or c.who.lower() == who.lower()]
    items = [_item(c, answers.as_of) for c in rows]
    to_make = tuple(i for i, c in zip(items, rows, strict=True) if c.state != "decided")
    made = tuple(i for i, c in zip(items, rows, strict=True) if c.state == "decided")
    cost = answers.facts.get(House, "house").cost_per_day
    notes = [
        "A late answer moves you in later by the days that the part would come too late, less the "
        "days that the work has to spare. Each is told as if it were the only one.",
        "How long a part takes is the long end of its lead time: a guess, not history.",
    ]
    if cost is not None:
        notes.append(
            f"A day costs {dollars(cost)}: what the builder counts for carrying the house."
        )
    return OwnersPage(
        title="What to decide" + ("" if not who or who.lower() == "owner" else f": {who}"),
        house=answers.facts.get(House, "house").name,
        lead=_lead(rows, answers.as_of), open=to_make, made=made, notes=tuple(notes),
    )  # fmt: skip


def deciders(facts: Facts) -> list[str]:
    """Return who decides anything, the owner first."""
    found = {c.who or "owner" for c in facts.all(Choice)}
    return sorted(found, key=lambda w: (w != "owner", w != "builder", w))


def _lead(rows: list[ChoiceRow], as_of: date) -> str:
    to_make = [c for c in rows if c.state != "decided"]
    if not to_make:
        return "Nothing is left to decide."
    count = f"{len(to_make)} thing{'s' if len(to_make) > 1 else ''} to decide."
    gone = [c for c in to_make if c.state == "overdue"]
    if gone:
        them = "it" if len(gone) == 1 else "them"
        are = "is" if len(gone) == 1 else "are"
        which = f"{len(gone)} of them {are}"
        if len(gone) == len(to_make):
            which = "It is" if len(gone) == 1 else "All of them are"
        return f"{count} {which} past the last safe day: answer {them} today."
    first = next((c for c in to_make if c.by is not None), None)
    return f"{count} The first by {_day(first.by, as_of)}." if first and first.by else count


def _item(row: ChoiceRow, as_of: date) -> Item:
    where = ", ".join(name for _, name in row.rooms[:6])
    more = f" and {len(row.rooms) - 6} rooms more" if len(row.rooms) > 6 else ""
    shown = ", ".join(row.waits[:5]) + (f" and {len(row.waits) - 5} more" * (len(row.waits) > 5))
    return Item(
        id=row.id, what=row.what[:1].upper() + row.what[1:], who=row.who, state=row.state,
        by=_by(row, as_of), where=where + more, waits=shown,
        options=_options(row),
        why=tuple((_day(on, as_of), said) for on, said in sorted(row.chain)),
        late=tuple(late_words(row.late, as_of)), asked=_asked(row, as_of),
        decided=f"{row.decision}, decided {show_date(row.decided, as_of)}" if row.decided else "",
        note=row.note, room=row.room,
    )  # fmt: skip


MOST_OPTIONS = 12
"""So many things to choose from stand on the page; the rest are counted."""


def _options(row: ChoiceRow) -> tuple[str, ...]:
    said = [o.text if o.price is None else f"{o.text}: {dollars(o.price)}" for o in row.options]
    more = len(said) - MOST_OPTIONS
    return (*said[:MOST_OPTIONS], f"and {more} more") if more > 0 else tuple(said)


def _by(row: ChoiceRow, as_of: date) -> str:
    if row.state == "decided":
        return "Decided"
    if row.by is None:
        return "No day yet: nothing that waits for it has one"
    if row.state == "overdue":
        return f"Was due {_day(row.by, as_of)}: decide today"
    return f"Decide by {_day(row.by, as_of)}"


def _asked(row: ChoiceRow, as_of: date) -> str:
    """Return what to say where the day that was given is not the one that the parts ask for."""
    if not row.given or row.last_safe is None or row.by is None or row.last_safe == row.by:
        return ""
    safe = _day(row.last_safe, as_of)
    if row.by > row.last_safe:
        return f"The day given is later than what waits for it allows: {safe} is the last safe day."
    return f"The last safe day is {safe}; the builder asks for an answer sooner."


def _day(on: date, as_of: date) -> str:
    return f"{on:%a} {show_date(on, as_of)}"
