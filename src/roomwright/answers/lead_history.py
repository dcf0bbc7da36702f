"""What deliveries so far say of leads: how long orders took against the lead of their class.

The lead of a line is an estimate, and what came is held against it: the ratio of the days that an
order took to the middle of its lead, learned as promises are (`roomwright.supply.learning`). Before
anything came the belief is the lead itself, its two ends one in ten under and over; what others
delivered of the class moves it, and the maker's own deliveries of any class correct it.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Final

from scipy.special import stdtrit  # type: ignore[import-untyped]

from roomwright import supply
from roomwright.answers import dates, history, orders
from roomwright.answers.engine import Ask, query
from roomwright.days import Calendar
from roomwright.supply.learning import Belief, Delivery, Mixture, Open, of_class, with_open

MOST: Final = 2000
"""More working days are no lead."""
NARROW: Final = 10
"""How many times the short end of a lead its long end may be: a lognormal from nothing (what a shop
may have on the shelf) would draw waits of years. The days shown say so."""


@dataclass(frozen=True, slots=True)
class Taken:
    """A delivery against its lead [working days]; `took` is None for one that has not come."""

    maker: str
    classes: tuple[str, ...]
    middle: float
    took: int | None
    so_far: int


@dataclass(frozen=True, slots=True)
class Leads:
    """All deliveries so far, against the leads of their classes."""

    known: tuple[Taken, ...] = ()

    def belief(
        self, part_class: str, maker: str, ends: tuple[float, float], strength: float
    ) -> Belief | Mixture | None:
        """Return what is believed of actual days over the middle of a lead; None without evidence.

        Parameters
        ----------
        part_class, maker : str
        ends : (float, float)
            of the lead [working days], above 0
        strength : float
            how many deliveries the lead weighs as
        """
        others: dict[str, list[Delivery]] = {}
        own: list[Delivery] = []
        late: list[Open] = []
        for one in self.known:
            mine = bool(maker) and one.maker == maker
            if one.took is not None and mine:
                own.append(Delivery(one.middle, one.took))
            elif one.took is not None and part_class in one.classes:
                others.setdefault(one.maker, []).append(Delivery(one.middle, one.took))
            elif one.took is None and mine and one.so_far > one.middle:
                late.append(Open(one.middle, one.so_far))
        if not (others or own or late):
            return None
        prior = lead_itself(ends, strength)
        of = of_class(list(others.values()), prior, strength) if others else prior
        return with_open(of.after(own), late)


def lead_itself(ends: tuple[float, float], strength: float) -> Belief:
    """Return the belief of actual days over the middle of a lead before anything came.

    >>> told = lead_itself((20, 80), 4)
    >>> [round(40 * told.ratio(q)) for q in (0.1, 0.5, 0.9)]
    [20, 40, 80]
    """
    half = math.log(ends[1] / ends[0]) / 2
    scale = float(stdtrit(strength, 0.9)) * math.sqrt((strength + 1) / strength)
    return Belief.prior(1.0, max(half / scale, 0.02), strength)


@query("leads so far")
def leads(ask: Ask) -> Leads:
    """Return every delivery against the lead of its class."""
    house = ask(dates.calendar)
    rows = {r.line: r for r in ask(orders.orders).lines}
    found = []
    for one in ask(history.consignments):
        row = rows.get(one.lines[0])
        middle = None if row is None else middle_of(row.lead, house)
        if middle:
            so_far = max(0, house.between(one.placed, ask.as_of))
            found.append(Taken(one.maker, one.classes, middle, one.took, so_far))
    return Leads(tuple(found))


def middle_of(lead: supply.Lead, house: Calendar) -> float | None:
    """Return the middle of a lead [working days]; None where nobody has said, or it has none."""
    ends = ends_of(lead, house)
    return None if ends is None else math.sqrt(ends[0] * ends[1])


def ends_of(lead: supply.Lead, house: Calendar) -> tuple[float, float] | None:
    """Return both ends of a lead [working days]; None where nobody has said, or it takes none."""
    told = [w for w in (lead.low_weeks, lead.high_weeks) if w is not None]
    if not told:
        return None
    low, high = (min(MOST, supply.lead_days(w, house)) for w in (told[0], told[-1]))
    return (max(low, high / NARROW), high) if high else None
