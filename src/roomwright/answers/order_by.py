"""One line's decision: by when to order it, today or in a week, what hurrying is worth, a slip.

All from the futures of `roomwright.answers.futures`, each future for itself: when the work could
begin that needs the line, until when it could wait, and when the line lands. The line's own chain
is run again for each day on which it could be ordered, so that vendors' closures count.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import replace
from datetime import date
from typing import Final

import numpy as np

from roomwright import schedule
from roomwright.answers import dates
from roomwright.answers.engine import Ask, query
from roomwright.answers.futures import SAMPLES, Futures, Samples, futures, run, unbound
from roomwright.answers.keeping import keeping
from roomwright.answers.order_by_model import By, Decision, DecisionError, Offer
from roomwright.answers.orders import orders
from roomwright.answers.whole_network import Way, Whole, whole
from roomwright.days import Calendar
from roomwright.job.entities import House, Order
from roomwright.supply.decide import OrderBy, each_of, order_by_calendar, say_together
from roomwright.supply.waiting import (
    Answered,
    Chase,
    Option,
    Promise,
    answer_slip,
    days_caused,
    estimate,
    order_or_wait,
    to_chase,
    value_of_expediting,
)

CONFIDENCE: Final = 80
"""How sure where nobody asks for another number [%]."""
SOONER: Final = (1, 3, 5, 10)
"""By how many working days a line may be hurried [days]."""
COMING: Final = frozenset({"in time", "late", "promise passed"})
"""States of what is on order and has not come."""


@query("decision")
def decision(
    ask: Ask,
    line: str,
    confidence: int = CONFIDENCE,
    samples: int = SAMPLES,
    offers: tuple[Offer, ...] = (),
) -> Decision | None:
    """Return what is to be decided about a line; None for one that is here or not needed.

    Parameters
    ----------
    line : str
    confidence : int
        how sure it is to be on hand when needed, 1 to 99 [%]
    samples : int
    offers : tuple of Offer
        what somebody has offered: it stands among the answers with its price
    """
    if not 1 <= confidence <= 99:
        raise DecisionError(f"{confidence} % sure: use 1 to 99")
    one = line_ahead(ask, line, samples)
    return None if one is None else one.decide(confidence / 100, offers)


def line_ahead(ask: Ask, line: str, samples: int = SAMPLES) -> LineAhead | None:
    """Return a line while it is decided; None for one that is here or not needed."""
    found = ask(whole)
    way = found.ways.get(line)
    return None if way is None else LineAhead(ask, found, way, ask(futures, samples), samples)


@query("promises to chase")
def chases(ask: Ask, samples: int = SAMPLES) -> tuple[Chase, ...]:
    """Return the promises to chase, that first which would save most days if it were kept.

    Lines on one truck are one promise, under the line that costs most.
    """
    found, ahead = ask(whole), ask(futures, samples)
    calendar = ask(dates.calendar)
    promised = _promises(ask)
    told: dict[tuple[str, date], Promise] = {}
    for way in found.ways.values():
        day = promised.get(way.line)
        if day is None:
            continue
        here, need = ahead.lands[way.line], ahead.need[way.line]
        spare = np.maximum(0.0, ahead.last[way.line] - need)
        one = Promise(way.line, way.maker, here, need, calendar.number(day), spare)
        key = way.maker or way.line, day
        held = told.get(key)
        if held is None or ahead.days(way.line).mean() > ahead.days(held.line).mean():
            told[key] = one
    return to_chase(told.values())


def _promises(ask: Ask) -> dict[str, date]:
    """Return by line the last day that is promised for what is still to come of it."""
    promised = {(o.line, o.order): o.promised for o in ask.all(Order)}
    found: dict[str, date] = {}
    for row in ask(orders).lines:
        coming = [f.order for f in row.state.findings if f.order and f.state in COMING]
        days = [d for one in coming if (d := promised.get((row.line, one))) is not None]
        if days and not row.state.to_order:  # a call does nothing for what is on no order
            found[row.line] = max(days)
    return found


class LineAhead:
    """One line while it is decided.

    `need` and `last` are when it is needed and until when that could wait, `here` when it lands if
    it is ordered today or comes as it comes, future by future [working-day numbers].
    """

    def __init__(self, ask: Ask, found: Whole, way: Way, ahead: Futures, samples: int) -> None:
        self.ask, self.found, self.way, self.samples = ask, found, way, samples
        self.ahead = ahead
        self.calendar: Calendar = ask(dates.calendar)
        self.now = self.calendar.number(ask.as_of)
        self.today = math.ceil(self.now)
        self.need, self.last = ahead.need[way.line], ahead.last[way.line]
        self.here = ahead.lands[way.line]
        house = ask.fact(House, "house")
        receives = any(s.rpartition(":")[2] == "receive" for s in way.steps)
        self.inspect = 0 if receives else house.inspect_days
        self.day_costs = None if house.cost_per_day is None else float(house.cost_per_day)
        kept = ask(keeping, way.line)
        self.costs, self.missing = kept.costs, kept.missing
        self.week = math.ceil(self.calendar.days_a_week)
        # what one chain waits for, alone: quick to run for each day it could be ordered
        alone = Whole(
            found.network, found.progress, found.not_before, found.promised, found.uncertain,
            found.factors, {way.line: way},
        )  # fmt: skip
        self.network, _, ready = unbound(_only(alone, found))
        self.ready = ready[way.line]
        self.behind = {way.order}
        for step in way.steps:  # in their order: each after those it waits for
            if any(k.before in self.behind for k in self.network.links if k.after == step):
                self.behind.add(step)

    @property
    def to_order(self) -> bool:
        """Whether it can be ordered: not yet, and not only after a measure."""
        told = self.found.progress.get(self.way.order, schedule.Progress())
        if told.finished is not None:
            return False
        steps = set(self.way.steps)
        return all(
            k.before in steps or self._done(k.before)
            for k in self.network.links
            if k.after in steps
        )

    @property
    def plain(self) -> bool:
        """Whether the chain counts working days of the house only and waits for nothing else."""
        steps, at = {*self.way.steps, self.ready}, self.network
        return (
            set(at.index) == steps
            and (self.now >= 0 or all(a.off_site for a in at))
            and at.one_clock
            and not any(s in self.found.not_before or s in self.found.progress for s in steps)
            and all(s in self.behind for s in self.way.steps)
        )

    def _done(self, id: str) -> bool:
        return self.found.progress.get(id, schedule.Progress()).finished is not None

    def landing(self, day: float) -> Samples:
        """Return when it lands if it is ordered on a day, not before today."""
        if day <= self.now:
            return self.here
        if self.plain:  # all of it counts the house's working days: it lands as much later
            return self.here + (day - self.now)
        first = {i: n for i, n in self.found.not_before.items() if i in self.network.index}
        got = run(
            self.ask, self.found, self.network, samples=self.samples, causes={},
            watch=[self.ready], not_before={**first, self.way.order: day},
        )  # fmt: skip
        return got.of.samples(self.ready)[0]

    def decide(self, confidence: float, offers: tuple[Offer, ...]) -> Decision:
        """Return the decision at a confidence between 0 and 1."""
        to_order = self.to_order
        visit = len({
            id(self.ahead.lands[w.line])
            for w in self.found.ways.values()
            if w.need == self.way.need
        })  # fmt: skip
        spare = np.maximum(0.0, self.last - self.need)
        day = self.calendar.number(self.ask.as_of)
        chase = next((c for c in self._chase()), None)
        wait = by = jointly = None
        free = self._unawaited()
        if to_order:
            kept = _remembered(self.landing)
            by = self._by(kept, confidence)
            jointly = self._by(kept, each_of(confidence, visit)) if visit > 1 else by
            wait = order_or_wait(
                self.here, kept(self.today + self.week), self.need, self.costs, spare
            )
        sooner = tuple(
            (n, value_of_expediting(self.here, self.need, n, self.costs, spare, not_before=day))
            for n in SOONER
        )
        return Decision(
            line=self.way.line,
            as_of=self.ask.as_of,
            to_order=to_order,
            inspect_days=self.inspect,
            by=by,
            jointly=jointly,
            visit=visit,
            together=say_together(confidence, visit) if visit > 1 else "",
            sure_today=float(np.mean(self.here <= self.need)),
            late=self.ahead.late(self.way.line),
            days=estimate(self.ahead.days(self.way.line)),
            week=self.week,
            wait=wait,
            hurry=sooner,
            chase=chase,
            unawaited=None if free is None else estimate(days_caused(self.here, self.need, free)),
            answers=self._answers(offers, spare) if self.ahead.days(self.way.line).any() else (),
            day_costs=self.day_costs,
            early_costs=self.costs.early or None,
            missing=self.missing,
            guess=self.way.guess,
            basis=self.way.basis,
        )

    def _by(self, landing: Callable[[int], Samples], confidence: float) -> By:
        need = self.need - self.inspect
        first = self.today
        last = max(first, math.floor(float(need.max())))  # ordered later, no future has it in time
        found: OrderBy | None = order_by_calendar(need, landing, confidence, first, last)
        if found is None:
            sure = float(np.mean(landing(first) <= need))
            return By(confidence, None, sure, float(np.sqrt(sure * (1 - sure) / len(need))),
                      None, None)  # fmt: skip
        low, high = sorted((found.day_low, found.day_high))
        at = self.calendar.date
        return By(confidence, at(found.day), found.confidence, found.error, at(low), at(high))

    def _chase(self) -> tuple[Chase, ...]:
        day = _promises(self.ask).get(self.way.line)
        if day is None or self.found.progress.get(self.way.order) is None:
            return ()
        spare = np.maximum(0.0, self.last - self.need)
        number = self.calendar.number(day)
        return to_chase([
            Promise(self.way.line, self.way.maker, self.here, self.need, number, spare)
        ])  # fmt: skip

    def _unawaited(self) -> Samples | None:
        """Return how long its work could wait if only the end of the house waited for it."""
        if self.found.progress.get(self.way.need, schedule.Progress()).started is not None:
            return None
        work = float(self.found.network[self.way.need].days)
        return np.maximum(0.0, self.ahead.finish - work - self.need)

    def _answers(self, offers: tuple[Offer, ...], spare: Samples) -> tuple[Answered, ...]:
        """Return what can be done about its lateness, with the prices that were offered."""
        options = [Option("nothing", "let it come as it comes", self.here, self.need, 0, spare)]
        for one in offers:
            if one.kind == "expedite":
                lands = np.maximum(np.minimum(self.here, self.now), self.here - one.days)
                name = f"hurry it by {one.days} working days"
                options.append(Option("expedite", name, lands, self.need, one.price, spare))
            elif one.kind == "resequence":
                free = self._unawaited()
                later = spare + one.days
                later = later if free is None else np.maximum(spare, np.minimum(later, free))
                name = f"other work first, so that it can wait {one.days} working days more"
                options.append(Option("resequence", name, self.here, self.need, one.price, later))
            else:
                lands = np.full(len(self.here), self.now + one.days)
                name = f"another part, here in {one.days} working days"
                options.append(Option("substitute", name, lands, self.need, one.price, spare))
        # an answer is kept and compared: the futures of each option stay behind
        return tuple(
            replace(a, option=replace(a.option, landing=0, need=0, spare=0))
            for a in answer_slip(options, self.costs)
        )


def _only(alone: Whole, found: Whole) -> Whole:
    """Return one way in a network without the other lines' steps."""
    others = {s for w in found.ways.values() if w.line not in alone.ways for s in w.steps}
    kept = schedule.Network(
        (a for a in found.network if a.id not in others),
        (k for k in found.network.links if k.before not in others and k.after not in others),
    )
    return Whole(
        kept, alone.progress, alone.not_before, alone.promised,
        tuple(u for u in alone.uncertain if u.activity not in others), alone.factors, alone.ways,
    )  # fmt: skip


def _remembered(landing: Callable[[int], Samples]) -> Callable[[int], Samples]:
    """Return the same, each day run once."""
    kept: dict[int, Samples] = {}

    def known(day: int) -> Samples:
        if day not in kept:
            kept[day] = landing(day)
        return kept[day]

    return known
