"""What else stands on an activity that is split, so that nothing counts as done half-way."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Any

from roomwright.commands.base import BadCommandError, add, edit
from roomwright.commands.network_links import a_link
from roomwright.commands.network_sound import title
from roomwright.job.entities import (
    Activity,
    Booking,
    ChangeOrder,
    Choice,
    Drying,
    FieldMeasure,
    PartClass,
)
from roomwright.job.facts import Change, Facts
from roomwright.job.supply_facts import MOST_LISTED
from roomwright.job.words import day, named


def shared_out(
    facts: Facts, parts: Sequence[Activity], in_row: bool, by_rooms: bool
) -> tuple[list[Change], str]:
    """Return what happens to the facts that name the whole, and what is to be said of it.

    The whole is the first of `parts`. A measure that is true after it is true after the last part,
    or after all that go side by side; what it spoils, each part spoils. Rooms dry after the last
    part, and after each that has rooms or a place beside the others of its own. A booking stays
    with the first part.

    Raises
    ------
    BadCommandError
        where a class is ordered after work that would go on side by side.
    """
    ids = tuple(p.id for p in parts)
    whole, rest = ids[0], ids[1:]
    changes: list[Change] = []
    told = ""
    changes += _classes(facts, ids, in_row)
    changes += _measures(facts, ids, in_row)
    dries = facts.find(Drying, whole)
    if dries is not None:
        each = by_rooms or not in_row
        changes += [
            add(dries.model_copy(update={"id": id})) for id in (rest if each else rest[-1:])
        ]
        if not each:
            changes.append(Change(dries.kind_name, dries.id, dries, None))
    for order in facts.where(ChangeOrder, "activities", whole):
        if not order.agreed_on:
            changes.append(edit(order, activities=_put(order.activities, whole, ids)))
    if not in_row and (first := _held_by(facts, whole)):
        changes += [add(a_link(whole, id, "start to start", 0, "working", first)) for id in rest]
        told += f" None starts before {whole}, which waits for {first}."
    booked = facts.find(Booking, whole)
    if booked is not None:
        if booked.days is not None and booked.days > parts[0].days_likely:
            changes.append(edit(booked, days=parts[0].days_likely))
        told += f" The booking of {day(booked.first_day)} stays with {whole}: book the rest."
    return changes, told


def _classes(facts: Facts, ids: tuple[str, ...], in_row: bool) -> Iterator[Change]:
    for part in facts.where(PartClass, "order_after", ids[0]):
        if not in_row:
            name = named(part, part.kind_name, part.id)
            raise BadCommandError(
                ("order", f"{name} is ordered after {title(facts, ids[0])}, all of it: split it "
                          "one after another, or let the class be ordered after work that waits "
                          "for it.")
            )  # fmt: skip
        yield edit(part, order_after=ids[-1])


def _measures(facts: Facts, ids: tuple[str, ...], in_row: bool) -> Iterator[Change]:
    for measure in facts.all(FieldMeasure):
        values: dict[str, Any] = {}
        if ids[0] in measure.after:
            values["after"] = _put(measure.after, ids[0], ids[-1:] if in_row else ids)
        if ids[0] in measure.expires_by:
            values["expires_by"] = _put(measure.expires_by, ids[0], ids)
        if any(len(each) > MOST_LISTED for each in values.values()):
            raise BadCommandError(
                ("by", f"the field measure of {measure.id} would name more than {MOST_LISTED} "
                       "activities: split it into fewer parts.")
            )  # fmt: skip
        if values:
            yield edit(measure, **values)


def _held_by(facts: Facts, whole: str) -> str:
    """Return what holds the start of the whole beside its links, in words."""
    classes = [named(p, p.kind_name, p.id) for p in facts.where(PartClass, "needed_by", whole)]
    choices = [
        f"choice {c.id}" for c in facts.where(Choice, "activity", whole) if not c.decision
    ]  # fmt: skip
    found = [*classes, *choices]
    return ", ".join(found[:4]) + (f" and {len(found) - 4} more" if len(found) > 4 else "")


def _put(held: tuple[str, ...], whole: str, ids: Sequence[str]) -> tuple[str, ...]:
    """Return ids with those of the parts in place of the whole's."""
    return tuple(dict.fromkeys(x for one in held for x in (ids if one == whole else (one,))))
