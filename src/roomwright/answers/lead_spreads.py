"""How long an order may take: from the lead of its class, or from its promise and its maker.

A lead of so many to so many weeks is a lognormal whose ends one in ten goes under and over. A
promise is taken with what its maker's deliveries, and those of others for the class, say of
promises (`roomwright.supply.learning`), given that it has not come yet.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass, replace
from datetime import date
from typing import Final

from roomwright import supply
from roomwright.answers import history
from roomwright.answers.engine import Ask, query
from roomwright.chances import Spread
from roomwright.days import Calendar
from roomwright.supply.learning import Belief, Inputs, Mixture, basis

MOST: Final = 2000
"""More working days are no lead."""
NARROW: Final = 10
"""The longest wait counts as at most so many times the shortest: a fitted lognormal that is wider
would draw waits of years."""
LEAST: Final = 0.5
"""The shortest wait that is told apart [days]."""


@dataclass(frozen=True, slots=True)
class Wait:
    """How long something takes from now on: planned, and what may be [working days].

    `basis` is what stands behind it, in words; `inputs` are the three days that say it; `guess`
    whether it is one: fewer than ten deliveries stand behind it.
    """

    planned: float
    spread: Spread | None
    basis: str
    inputs: Inputs | None = None
    guess: bool = False


@dataclass(frozen=True, slots=True)
class Promises:
    """What is believed of promises: of nobody in particular, and of a maker for a class."""

    guess: Belief
    of: Mapping[tuple[str, str], Belief | Mixture]

    def belief(self, part_class: str, maker: str) -> Belief | Mixture:
        """Return what is believed of a maker's promises for a class of parts."""
        return self.of.get((part_class, maker), self.guess)

    def wait(
        self,
        part_class: str,
        maker: str,
        placed: date | None,
        promised: date,
        calendar: Calendar,
        now: float,
    ) -> Wait:
        """Return how long an order that was promised for a day may take from now on."""
        left = max(0, calendar.number(promised) - now)
        since = now if placed is None else min(now, calendar.number(placed))
        whole = calendar.number(promised) - since
        if whole <= 0:
            return Wait(left, None, "promised for the day it was placed")
        known = self.belief(part_class, maker)
        gone = now - since
        low, likely, high = (whole * r - gone for r in _given(known, gone / whole))
        spread = _lognormal(low, likely, high)
        inputs = Inputs(
            round(spread.low), round(spread.likely), round(spread.high),
            "working days from now, by promises kept so far",
        )  # fmt: skip
        return Wait(left, spread, basis(known, inputs), inputs, not known.is_history)


@query("promises kept")
def promises(ask: Ask) -> Promises:
    """Return what deliveries so far say of the makers' promises."""
    past = ask(history.history)
    return Promises(past.guess, past.beliefs)


def of_lead(lead: supply.Lead, calendar: Calendar, guess: Belief) -> Wait | None:
    """Return how long an order takes that is placed now; None where nobody has said.

    Where one end only is told, it counts as a promise of nobody in particular.
    """
    told = [w for w in (lead.low_weeks, lead.high_weeks) if w is not None]
    if not told:
        return None
    low, high = (min(MOST, supply.lead_days(w, calendar)) for w in (told[0], told[-1]))
    source = lead.basis or "lead of the class"
    if len(told) == 1:
        ends = [high * guess.ratio(q) for q in (0.1, 0.5, 0.9)]
    else:
        ends = [low, math.sqrt(low * high), high]
    inputs = Inputs(round(ends[0]), round(ends[1]), round(ends[2]), source)
    spread = _lognormal(*ends) if high else None
    return Wait(high, spread, basis(guess, inputs), inputs, True)


def unpromised(
    lead: supply.Lead, placed: date | None, calendar: Calendar, now: float, guess: Belief
) -> Wait:
    """Return how long an order without a promise may still take: its lead, less the days gone."""
    whole = of_lead(lead, calendar, guess)
    if whole is None:
        return Wait(0, None, "ordered, and nobody has said when it comes")
    gone = max(0, now - calendar.number(placed)) if placed else 0
    spread = whole.spread
    if gone and spread is not None:
        known = spread.chance_within(gone)
        if known < 0.999:
            ends = [spread.quantile(known + q * (1 - known)) - gone for q in (0.1, 0.5, 0.9)]
            spread = _lognormal(*ends)
        else:
            spread = _lognormal(LEAST, 1.0, 5.0)
    return replace(whole, planned=max(0, whole.planned - gone), spread=spread)


def _given(known: Belief | Mixture, gone: float) -> tuple[float, float, float]:
    """Return the ratios at 10, 50 and 90 %, given that it is above what has gone."""
    before = known.chance_by(gone)
    if before >= 0.999:
        return gone * 1.01, gone * 1.05, gone * 1.25
    low, likely, high = (known.ratio(before + q * (1 - before)) for q in (0.1, 0.5, 0.9))
    return low, likely, high


def _lognormal(low: float, likely: float, high: float) -> Spread:
    high = min(float(MOST), max(high, LEAST))
    low = min(high, max(low, high / NARROW, LEAST / NARROW))
    if low == high:
        return Spread.fixed(high)
    return Spread("lognormal", low, min(max(likely, low), high), high)
