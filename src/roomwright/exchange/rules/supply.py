"""Rules of vendors, lead chains, events and measures; and measures that were taken too soon."""

from __future__ import annotations

from collections.abc import Iterator

from roomwright.exchange.rules.broken import Broken, Lacks
from roomwright.job.entities import Event, FieldMeasure, Progress
from roomwright.job.facts import Facts
from roomwright.job.rules_of_supply import faults


def supply(facts: Facts, lacks: Lacks) -> Iterator[Broken]:
    """What the store refuses of supply a folder may not say; a measure taken too soon is told."""
    for f in faults(facts):
        unread = f.kind == "event" and f.field == "order" and not _lacks_line(facts, f.id, lacks)
        if not unread:
            yield Broken(f.kind, f.id, f.field, "error", f.wrong, f.do)
    for measure in facts.all(FieldMeasure):
        for id in measure.after if measure.on else ():
            told = facts.find(Progress, id)
            if told is None or told.finished is None or (
                measure.on is not None and told.finished > measure.on
            ):  # fmt: skip
                yield Broken("measure", measure.id, "on", "warning",
                             f"measured {measure.on}, but {id} was not done by then",
                             "measure again, or correct progress.csv")  # fmt: skip


def _lacks_line(facts: Facts, id: str, lacks: Lacks) -> bool:
    """Return whether the order line of an event is surely not there, read or not."""
    event = facts.find(Event, id)
    return event is None or not event.order or lacks("order", f"{event.order}/{event.line}")
