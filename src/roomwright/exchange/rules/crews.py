"""Rules of crews, drying rooms and bookings."""

from __future__ import annotations

from collections.abc import Iterator

from roomwright.exchange.rules.broken import Broken, Lacks
from roomwright.job.entities import Activity, Crew
from roomwright.job.facts import Facts
from roomwright.job.rules_of_crews import faults


def crews(facts: Facts, lacks: Lacks) -> Iterator[Broken]:
    """What the store refuses of crews and bookings a folder may not say."""
    for f in faults(facts):
        yield Broken(f.kind, f.id, f.field, "error", f.wrong, f.do)
    trades = {t.strip() for a in facts.all(Activity) for t in a.trade.split("/")}
    for crew in facts.all(Crew):
        if trades - {""} and crew.id not in trades:
            yield Broken("crew", crew.id, "id", "warning", f"no activity has the trade {crew.id}",
                         "write it as activities.csv does")  # fmt: skip
