"""The pieces of one order line: how many are good, how many are lost, and what cannot be so."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field
from datetime import date

from roomwright.job.supply_facts import Event
from roomwright.job.work_facts import Receipt

_TURN = {"": 0, "installed": 1, "damaged": 2, "returned": 3}
"""Of one day, what came is told first, then what was done with it."""


@dataclass(slots=True)
class Pieces:
    """The pieces of an order line once all that happened to them is told."""

    came: int = 0
    good: int = 0
    """Here and of use, or installed."""
    damaged: int = 0
    """Damaged, and not sent back."""
    lost: int = 0
    """Damaged or sent back, each piece once: so many are to come again."""
    installed: int = 0
    good_returned: dict[str, int] = field(default_factory=dict)
    """How many of each return, by the id of its event, were good; the rest were damaged ones."""
    wrong: tuple[Event, int] | None = None
    """The first event that cannot be so, and how many pieces it could have been of."""


def told(receipts: Iterable[Receipt], events: Iterable[Event]) -> Pieces:
    """Return the pieces of one order line after what came and what happened to it.

    A piece that is sent back is a damaged one while there is any: it is lost once. Only good
    pieces are installed; what was installed may be damaged or taken out and sent back later. What
    has no day came before all else, or happened after it; damage without a day, before the first
    return.

    >>> came = [Receipt(id="R1", order="P", line="L", qty=2, on=date(2027, 3, 1))]
    >>> harm = Event(id="E1", what="damaged", order="P", line="L", qty=1, on=date(2027, 3, 2))
    >>> back = Event(id="E2", what="returned", order="P", line="L", qty=1, on=date(2027, 3, 4))
    >>> found = told(came, [harm, back])
    >>> found.good, found.damaged, found.lost, found.wrong
    (1, 0, 1, None)
    """
    held = [e for e in events if e.what in _TURN]
    back = min((e.on for e in held if e.what == "returned" and e.on), default=date.max)
    moves: list[tuple[date, int, int, Event | None]] = [
        (r.on or date.min, 0, r.qty, None) for r in receipts
    ]
    for event in held:
        unsaid = back if event.what == "damaged" else date.max
        moves.append((event.on or unsaid, _TURN[event.what], event.qty or 0, event))
    found = Pieces()
    for _, _, qty, happened in sorted(moves, key=lambda m: m[:2]):
        if happened is None:
            found.came += qty
            found.good += qty
        else:
            _took(found, happened, qty)
    return found


def _took(found: Pieces, event: Event, qty: int) -> None:
    bad = 0
    if event.what == "installed":
        there = found.good - found.installed
        found.installed += qty
    else:
        there = found.good
        if event.what == "returned":
            there += found.damaged
            bad = min(found.damaged, qty)
            found.good_returned[event.id] = qty - bad
            found.damaged -= bad
        else:
            found.damaged += qty
        found.good -= qty - bad
        found.lost += qty - bad
        # nobody says which piece: it may have been one that was in
        found.installed = max(0, found.installed - (qty - bad))
    if qty > there and found.wrong is None:
        found.wrong = (event, max(there, 0))
