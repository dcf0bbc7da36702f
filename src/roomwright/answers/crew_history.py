"""How long crews took against what was planned, by trade; and the days that were 80 % sure.

Dates are whole days, so planned days count up to whole ones: half a day's work takes a day of
dates. Ten finished works of a trade make a history; below that its pace is a guess, and no estimate
is changed for it. With a history the simulation takes the trade's estimates times its typical pace.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from datetime import date, timedelta

from roomwright.answers.calendars import calendar, comes, known
from roomwright.answers.engine import Ask, query
from roomwright.answers.history import SURE
from roomwright.answers.rooms import figures_in_force
from roomwright.chances import Spread
from roomwright.chances.spreads import Z90
from roomwright.days import HorizonError
from roomwright.job.entities import Activity, Progress
from roomwright.supply.calibration import Calibration, Quote, calibration
from roomwright.supply.learning import Belief, Delivery
from roomwright.trades import trades_of


@dataclass(frozen=True, slots=True)
class Worked:
    """A finished work: planned and taken days, and the days that were 80 % sure at its start.

    Days are those on which its crew works; `trades` are the keys of those that it names.
    """

    activity: str
    name: str
    trade: str
    trades: tuple[str, ...]
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
    book, guess = ask(figures_in_force, ""), ask(guess_of)
    least, most = float(book.get("chance.low").value), float(book.get("chance.high").value)
    done = list(_done(ask))
    over = sorted(done, key=lambda d: d.finished)
    paces: dict[str, Belief] = {}
    works, learned = [], 0
    for one in sorted(done, key=lambda d: (d.started, d.finished, d.work.id)):
        while learned < len(over) and over[learned].finished < one.started:
            _learn(paces, over[learned], guess)
            learned += 1
        then = CrewHistory((), paces, calibration((), SURE))
        work = one.work
        likely = float(work.days_likely)
        low = likely * least if work.days_low is None else float(work.days_low)
        high = likely * most if work.days_high is None else float(work.days_high)
        spread = Spread("triangular", min(low, likely), likely, max(high, likely))
        sure = math.ceil(spread.quantile(SURE) * then.pace(one.trades) - 1e-9)
        works.append(Worked(
            work.id, work.name, work.trade, one.trades, one.started, one.finished,
            one.planned, one.took, max(1, sure),
        ))  # fmt: skip
    for one in over[learned:]:
        _learn(paces, one, guess)
    quotes = [Quote(w.sure, w.took) for w in works]
    return CrewHistory(tuple(works), dict(sorted(paces.items())), calibration(quotes, SURE))


@dataclass(frozen=True, slots=True)
class _Done:
    """A work that is over, on the days of its own trades."""

    work: Activity
    trades: tuple[str, ...]
    started: date
    finished: date
    took: int

    @property
    def planned(self) -> int:
        return math.ceil(self.work.days_likely)


def _done(ask: Ask) -> Iterator[_Done]:
    """Yield what is over by the as-of date.

    Days are those on which its crew works, as its estimate's are: three days a week are no delay.
    """
    told = {p.id: p for p in ask.all(Progress)}
    for one in ask.all(Activity):
        p = told.get(one.id)
        if p is None or not one.days_likely or p.started is None or p.finished is None:
            continue
        if not p.started <= p.finished <= ask.as_of:
            continue
        days = ask(comes, one.trade) or ask(calendar)
        try:
            took = days.number(p.finished + timedelta(days=1)) - days.number(p.started)
        except HorizonError:
            continue
        if took > 0:
            trades = trades_of(one.trade, ask(known))
            yield _Done(one, trades, p.started, p.finished, math.ceil(took))


def _learn(paces: dict[str, Belief], one: _Done, guess: Belief) -> None:
    for trade in one.trades:
        paces[trade] = paces.get(trade, guess).after([Delivery(one.planned, one.took)])
