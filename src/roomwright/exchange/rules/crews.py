"""Rules of crews, drying rooms and bookings."""

from __future__ import annotations

from collections.abc import Iterator

from roomwright.exchange.rules.broken import Broken, Lacks
from roomwright.job.entities import Activity, Crew
from roomwright.job.facts import Facts
from roomwright.job.rules_of_crews import faults
from roomwright.trades import key_of, trades_of


def crews(facts: Facts, lacks: Lacks) -> Iterator[Broken]:
    """What the store refuses of crews and bookings a folder may not say."""
    for f in faults(facts):
        yield Broken(f.kind, f.id, f.field, "error", f.wrong, f.do)
    trades: set[str] = set()
    for work in facts.all(Activity):
        trades |= {key_of(work.trade), *trades_of(work.trade)}
    for crew in facts.all(Crew):
        if trades - {""} and key_of(crew.id) not in trades:
            yield Broken("crew", crew.id, "id", "warning", f"no activity has the trade {crew.id}",
                         "write it as activities.csv does")  # fmt: skip
