"""What facts may not say about one another. Used by the reader of files and by commands alike.

Each rule looks at one state of the facts and yields what it finds broken: an *error* is refused, a
*warning* is told and kept.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator

from roomwright.exchange.rules.broken import Broken, Lacks
from roomwright.exchange.rules.calendars import calendars
from roomwright.exchange.rules.crews import crews
from roomwright.exchange.rules.days import days
from roomwright.exchange.rules.house import house
from roomwright.exchange.rules.inside import inside
from roomwright.exchange.rules.network import network
from roomwright.exchange.rules.openings import openings
from roomwright.exchange.rules.outlines import outlines
from roomwright.exchange.rules.people import people
from roomwright.exchange.rules.pieces import pieces
from roomwright.exchange.rules.references import references
from roomwright.exchange.rules.supply import supply
from roomwright.exchange.rules.tape import layers, readings
from roomwright.exchange.rules.walking import walking
from roomwright.job.facts import Facts

__all__ = ["RULES", "Broken", "broken"]

RULES: tuple[Callable[[Facts, Lacks], Iterator[Broken]], ...] = (
    house, references, outlines, openings, inside, pieces, readings, layers, walking, network, days,
    supply, crews, calendars, people,
)  # fmt: skip


def _lacks_of(facts: Facts) -> Lacks:
    held = {(fact.kind_name, fact.id) for fact in facts}
    return lambda kind, id: (kind, id) not in held


def broken(facts: Facts, *, lacks: Lacks | None = None) -> Iterator[Broken]:
    """Yield what is broken in the facts.

    `lacks(kind, id)` says whether a fact is surely missing; a reader that could not read a row
    knows more of that than the facts do.
    """
    for rule in RULES:
        yield from rule(facts, lacks or _lacks_of(facts))
