"""How long crews took against what was planned, by trade; and the days that were 80 % sure.

Dates are whole days, so planned days count up to whole ones: half a day's work takes a day of
dates. Ten finished works of a trade make a history; below that its pace is a guess, and no estimate
is changed for it. With a history the simulation takes the trade's estimates times its typical pace.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import date, timedelta

from roomwright.answers import dates
from roomwright.answers.engine import Ask, query
from roomwright.answers.history import SURE
from roomwright.answers.rooms import figures_in_force
from roomwright.chances import Spread
from roomwright.chances.spreads import Z90
from roomwright.days import HorizonError
from roomwright.job.entities import Activity, Progress
from roomwright.supply.calibration import Calibration, Quote, calibration
from roomwright.supply.learning import Belief, Delivery


@dataclass(frozen=True, slots=True)
class Worked:
    """A finished work: planned and taken days, and the days that were 80 % sure at its start."""

    activity: str
    name: str
    trade: str
    started: date
    finished: date
    planned: int
    took: int
    sure: int

    @property
    def kept(self) -> bool:
        """Whether it took no longer than was 80 % sure."""
        return self.took <= self.sure


@dataclass(frozen=True, slots=True)
class CrewHistory:
    """All finished works in the order in which they began, and the pace of each trade."""

    works: tuple[Worked, ...]
    paces: Mapping[str, Belief]
    kept: Calibration

    def pace(self, trades: Iterable[str]) -> float:
        """Return by how much the estimates of works of these trades are stretched.

        1 where none has a history; where several trades do one work, the slowest of them.
        """
        known = [self.paces[t].ratio(0.5) for t in trades if t in self.paces and
                 self.paces[t].is_history]  # fmt: skip
        return max(known, default=1.0)


@query("guess of crews")
def guess_of(ask: Ask) -> Belief:
    """Return what is believed of crews: as planned, spread as far as estimates without ends are."""
    book = ask(figures_in_force, "")
    low, high = float(book.get("chance.low").value), float(book.get("chance.high").value)
    spread = max(0.01, math.log(max(high, low, 0.01) / max(0.01, min(low, high))) / (2 * Z90))
    return Belief.prior(1.0, spread, float(book.get("chance.promise_strength").value) or 0.01)


@query("history of crews")
def crews(ask: Ask) -> CrewHistory:
    """Return how long finished works took, by the as-of date."""
    house, as_of = ask(dates.calendar), ask.as_of
    book, guess = ask(figures_in_force, ""), ask(guess_of)
    least, most = float(book.get("chance.low").value), float(book.get("chance.high").value)
    told = {p.id: p for p in ask.all(Progress)}
    done: list[tuple[Activity, date, date, int]] = []
    for one in ask.all(Activity):
        p = told.get(one.id)
        if p is None or not one.days_likely or p.started is None or p.finished is None:
            continue
        if p.finished > as_of or p.finished < p.started:
            continue
        try:
            took = house.number(p.finished + timedelta(days=1)) - house.number(p.started)
        except HorizonError:
            continue
        if took > 0:
            done.append((one, p.started, p.finished, math.ceil(took)))
    done.sort(key=lambda d: (d[1], d[2], d[0].id))
    works = []
    for one, started, finished, took in done:
        planned = math.ceil(one.days_likely)
        before = [d for d in done if d[2] < started]
        then = CrewHistory((), _paces(before, guess), calibration((), SURE))
        likely = float(one.days_likely)
        low = likely * least if one.days_low is None else float(one.days_low)
        high = likely * most if one.days_high is None else float(one.days_high)
        spread = Spread("triangular", min(low, likely), likely, max(high, likely))
        sure = math.ceil(spread.quantile(SURE) * then.pace(trades_of(one.trade)) - 1e-9)
        works.append(
            Worked(one.id, one.name, one.trade, started, finished, planned, took, max(1, sure))
        )
    quotes = [Quote(w.sure, w.took) for w in works]
    return CrewHistory(tuple(works), _paces(done, guess), calibration(quotes, SURE))


def trades_of(trade: str) -> tuple[str, ...]:
    """Return the trades that an activity names, in small letters.

    >>> trades_of("Tile / plumber")
    ('tile', 'plumber')
    """
    return tuple(dict.fromkeys(t.strip().lower() for t in trade.split("/") if t.strip()))


def _paces(done: Iterable[tuple[Activity, date, date, int]], guess: Belief) -> dict[str, Belief]:
    ratios: dict[str, list[Delivery]] = {}
    for one, _, _, took in done:
        for trade in trades_of(one.trade):
            ratios.setdefault(trade, []).append(Delivery(math.ceil(one.days_likely), took))
    return {trade: guess.after(found) for trade, found in sorted(ratios.items())}
