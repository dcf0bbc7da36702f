"""How long an order may take: from the lead of its class, or from its promise and its maker.

A lead of so many to so many weeks is a lognormal whose ends one in ten goes under and over. A
promise is taken with what its maker's deliveries, and those of others for the class, say of
promises (`roomwright.supply.learning`), given that it has not come yet.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from datetime import date
from typing import Final

import numpy as np
from numpy.typing import NDArray
from scipy.special import ndtr, stdtr, stdtrit  # type: ignore[import-untyped]

from roomwright import supply
from roomwright.answers import history
from roomwright.answers.engine import Ask, query
from roomwright.answers.lead_history import MOST, Leads, ends_of
from roomwright.chances import Spread
from roomwright.chances.spreads import SHARES
from roomwright.days import Calendar
from roomwright.supply.learning import Belief, Inputs, Mixture, basis

SHORTEST: Final = 0.05
"""The shortest wait [days]: a spread has none of 0."""
LEAST: Final = 0.5
"""The shortest wait of what should have come long ago [days]."""
SURELY: Final = 0.9999
"""What had this chance to be here by now tells nothing of when it comes."""

Floats = NDArray[np.float64]


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
        known: Belief | Mixture | None = None,
    ) -> Wait:
        """Return how long an order that was promised for a day may take from now on.

        `known` is what is believed of this promise, where that is more than of its maker's others:
        an overdue order is no evidence about itself.
        """
        left = max(0, calendar.number(promised) - now)
        since = now if placed is None else min(now, calendar.number(placed))
        whole = calendar.number(promised) - since
        if whole <= 0:
            return Wait(left, None, "promised for the day it was placed")
        known = self.belief(part_class, maker) if known is None else known
        gone = now - since
        spread = _spread(whole * _given(known, gone / whole) - gone)
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


def of_lead(
    lead: supply.Lead,
    calendar: Calendar,
    guess: Belief,
    past: Leads | None = None,
    part_class: str = "",
    maker: str = "",
) -> Wait | None:
    """Return how long an order takes that is placed now; None where nobody has said.

    What came so far of the class and from the maker corrects it, if `past` is given. Where one end
    only is told and nothing came, it counts as a promise of nobody in particular.
    """
    told = [w for w in (lead.low_weeks, lead.high_weeks) if w is not None]
    if not told:
        return None
    planned = min(MOST, supply.lead_days(told[-1], calendar))
    source = lead.basis or "lead of the class"
    known: Belief | Mixture | None = None
    spread, ends = None, ends_of(lead, calendar)
    if ends is not None:
        known = past.belief(part_class, maker, ends, guess.strength) if past else None
        middle = math.sqrt(ends[0] * ends[1])
        if known is not None:
            spread = _spread(middle * _given(known, 0))
            source += ", corrected by what came so far"
        elif len(told) == 1:
            spread = _spread(ends[1] * _given(guess, 0))
        elif ends[0] == ends[1]:
            spread = Spread.fixed(middle)
        else:
            spread = Spread("lognormal", ends[0], middle, ends[1])
    low, likely, high = (spread.low, spread.likely, spread.high) if spread else (0, 0, 0)
    inputs = Inputs(round(low), round(likely), round(high), source)
    known = known or guess
    return Wait(planned, spread, basis(known, inputs), inputs, not known.is_history)


def unpromised(whole: Wait | None, placed: date | None, calendar: Calendar, now: float) -> Wait:
    """Return how long an order without a promise may still take: its lead, less the days gone."""
    if whole is None:
        return Wait(0, None, "ordered, and nobody has said when it comes")
    gone = max(0, now - calendar.number(placed)) if placed else 0
    spread = whole.spread
    if not gone or spread is None:
        return whole
    known = spread.chance_within(gone)
    if known < SURELY:
        spread = _spread([spread.quantile(known + q * (1 - known)) - gone for q in SHARES])
    else:
        spread = Spread("lognormal", LEAST, math.sqrt(LEAST * 5), 5.0)
    was = whole.inputs
    if was is None:
        return replace(whole, planned=max(0, whole.planned - gone), spread=spread)
    inputs = replace(
        was, low=round(spread.low), likely=round(spread.likely), high=round(spread.high)
    )
    said = whole.basis.replace(_three(was), _three(inputs))
    return Wait(max(0, whole.planned - gone), spread, said, inputs, whole.guess)


def _three(days: Inputs) -> str:
    """Return the three days as `roomwright.supply.learning.basis` says them."""
    return f"{days.low:g}, {days.likely:g} or {days.high:g} days"


def _given(known: Belief | Mixture, gone: float) -> Floats:
    """Return actual / promised at each of `SHARES`, given that it is above what has gone."""
    left = 1 - np.array(SHARES)
    if isinstance(known, Belief):
        if gone > 0:
            left *= stdtr(known.freedom, (known.center - math.log(gone)) / known.scale)
        return np.asarray(np.exp(known.center - known.scale * stdtrit(known.freedom, left)))
    weights, centers, spreads = known.weights, known.centers, known.spreads
    middle = float(weights @ centers)
    wide = math.sqrt(float(weights @ (spreads**2 + centers**2)) - middle**2)
    first = math.log(gone) if gone > 0 else middle - 12 * wide
    still = weights * ndtr((centers - first) / spreads)
    heavy = still > still.max() / 1e5  # the rest weighs less than days are told apart by
    weights, centers, spreads = weights[heavy], centers[heavy], spreads[heavy]
    above = max(first, middle)
    at = np.linspace(first, above + 12 * wide + 4 * (above - middle), 160)
    later = np.array([float(weights @ ndtr((centers - y) / spreads)) for y in at])
    left *= later[0] if gone > 0 else 1.0
    tiny = 1e-300
    falls = np.log(np.maximum(later, tiny))
    return np.asarray(np.exp(np.interp(-np.log(np.maximum(left, tiny)), -falls, at)))


def _spread(days: Iterable[float]) -> Spread:
    """Return a spread with these days at each of `SHARES`, none too short or too long to be."""
    kept = np.clip(np.fromiter(days, float), SHORTEST, MOST)
    return Spread.quantiles(np.maximum.accumulate(kept))
