"""Rules of choices, change orders and calls."""

from __future__ import annotations

from collections.abc import Iterator

from roomwright.exchange.rules.broken import Broken, Lacks
from roomwright.job.facts import Facts
from roomwright.job.rules_of_people import faults


def people(facts: Facts, lacks: Lacks) -> Iterator[Broken]:
    """What the store refuses of choices, change orders and calls a folder may not say."""
    for f in faults(facts):
        yield Broken(f.kind, f.id, f.field, "error", f.wrong, f.do)
