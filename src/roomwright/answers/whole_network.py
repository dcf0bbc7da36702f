"""The whole house as one network: the site work, and each part that is not here on its way to it.

A line of the plan that is not on hand adds ``line:order``, ``line:make`` and ``line:arrive``; the
work that needs it waits for the last. What is on order takes the days to its promise, which stands
as it is; what is not takes the long end of its lead. What must be made to a measure is ordered
after it, and the lead stands in the network's own activities. So dates by the passes are those of
`roomwright.answers.orders`; the spreads beside them are what the simulation draws.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from datetime import date

from roomwright import schedule, supply
from roomwright.answers import (
    chain_ways,
    dates,
    happened,
    history,
    lead_chains,
    lead_history,
    lead_spreads,
    orders,
)
from roomwright.answers.calendars import known
from roomwright.answers.crew_history import CrewHistory, crews
from roomwright.answers.engine import Ask, query
from roomwright.answers.rooms import figures_in_force
from roomwright.chances import Factor, Spread, Uncertain
from roomwright.days import Calendar, Number
from roomwright.figures import Figures
from roomwright.job import entities
from roomwright.trades import trades_of


@dataclass(frozen=True, slots=True)
class Way:
    """A line's way to the room: ids of its activities in the network.

    `need` is the activity that waits for it, `order` the moment at which it is ordered, `on_site`
    the moment at which all of it is there, `steps` all of its activities in their order. `maker`
    is empty where nobody knows who makes it, `basis` says in words what its days rest on; `rests`
    has it part by part, with the three days of each.
    """

    line: str
    need: str
    order: str
    on_site: str
    steps: tuple[str, ...]
    maker: str = ""
    rests: tuple[lead_spreads.Wait, ...] = ()

    @property
    def basis(self) -> str:
        """What its days rest on, in words."""
        return "; ".join(dict.fromkeys(w.basis for w in self.rests if w.basis))

    @property
    def guess(self) -> bool:
        """Whether fewer than ten deliveries stand behind some of its days."""
        return any(w.guess for w in self.rests)


@dataclass(frozen=True, slots=True)
class Whole:
    """The network of the whole house, and what is not certain in it.

    `not_before` holds soonest starts as working-day numbers of the house [days], `promised` the
    last day by which an activity was promised to be done; `notes` says what could not be taken as
    it was told.
    """

    network: schedule.Network
    progress: Mapping[str, schedule.Progress]
    not_before: Mapping[str, Number]
    promised: Mapping[str, date]
    uncertain: tuple[Uncertain, ...]
    factors: tuple[Factor, ...]
    ways: Mapping[str, Way]
    notes: tuple[str, ...] = ()


@query("whole network")
def whole(ask: Ask) -> Whole:
    """Return site work and lead chains as one network, with progress and spreads."""
    site, told = ask(dates.network), dict(ask(dates.progress))
    luck = ask(figures_in_force, "")
    uncertain = list(_site_work(ask, luck, ask(crews)))
    built = _Ways(ask, site)
    for row in ask(orders.orders).lines:
        built.line(row)
    uncertain += built.uncertain
    strength = {"trade": luck.get("chance.trade"), "maker": luck.get("chance.maker")}
    named = dict.fromkeys(f for u in uncertain for f in u.factors)
    return Whole(
        network=schedule.Network(
            [*site.activities, *built.activities], [*site.links, *built.links]
        ),
        progress=told | built.progress,
        not_before=ask(dates.not_before) | built.not_before,
        promised=ask(dates.promised),
        uncertain=tuple(uncertain),
        factors=tuple(Factor(f, float(strength[f.split(" ")[0]].value)) for f in named),
        ways=built.ways,
        notes=tuple(built.notes),
    )


def _site_work(ask: Ask, luck: Figures, past: CrewHistory) -> Iterator[Uncertain]:
    """Yield the spread of each piece of work; a trade is a factor that its works share.

    Estimates of a trade with a history are taken times its typical pace.
    """
    least, most = float(luck.get("chance.low").value), float(luck.get("chance.high").value)
    for one in ask.all(entities.Activity):
        likely = float(one.days_likely)
        if not likely:
            continue
        low = likely * least if one.days_low is None else float(one.days_low)
        high = likely * most if one.days_high is None else float(one.days_high)
        trades = trades_of(one.trade, ask(known))
        pace = min(past.pace(trades), lead_history.MOST / max(high, likely))
        yield Uncertain(
            one.id,
            Spread("triangular", min(low, likely) * pace, likely * pace, max(high, likely) * pace),
            tuple(f"trade {t}" for t in trades),
        )


class _Ways:
    """The lead chains of all lines while they are put together."""

    def __init__(self, ask: Ask, site: schedule.Network) -> None:
        self.ask, self.site = ask, site
        self.calendar: Calendar = ask(dates.calendar)
        self.now = self.calendar.number(ask.as_of)
        self.left = {p.id: p.days_left for p in ask.all(entities.Progress)}
        self.placed = {(o.order, o.line): o for o in ask.all(entities.Order)}
        self.promises = ask(lead_spreads.promises)
        self.past = ask(lead_history.leads)
        self.leads: dict[tuple[supply.Lead, str, str], lead_spreads.Wait | None] = {}
        self.activities: list[schedule.Activity] = []
        self.links: list[schedule.Link] = []
        self.progress: dict[str, schedule.Progress] = {}
        self.not_before: dict[str, Number] = {}
        self.chained = ask(lead_chains.chained)
        self.moved = {e.line for e in ask.all(entities.Event) if e.what == "promised"}
        self.uncertain: list[Uncertain] = []
        self.ways: dict[str, Way] = {}
        self.notes: list[str] = []
        self._after: dict[str, frozenset[str]] = {}

    def line(self, row: orders.OrderRow) -> None:
        """Add the way of a line that is not here and that something still waits for."""
        need = row.need
        if need is None or need.state == "done":
            return
        if row.line in self.chained and (told := self.ask(lead_chains.chain_of, row.line)):
            self._chained(row, need, told)
            return
        if row.state.state == "on hand":
            return
        stem = row.line
        while any(f"{stem}:{step}" in self.site.index for step in ("order", "make", "arrive")):
            stem += "'"
        order, arrive = f"{stem}:order", f"{stem}:arrive"
        name = f"{row.name}, room {row.room}"
        parts = [f for f in row.state.findings if f.state not in ("on hand", "void")]
        bare = [f for f in parts if not f.order]
        if not parts or (row.state.to_order and not bare):
            bare.append(supply.Finding("order now", row.state.to_order, 0, 0, ""))
        coming = [f for f in parts if f.order]
        ids = [order]
        self._add(order, 0, f"{name}: order")
        said = []
        if bare:
            said.append(self._to_order(row, stem, name, ids))
        else:
            on = [self.placed[f.order, row.line].placed for f in coming]
            first = min((d for d in on if d is not None), default=None)
            stands = first is not None and first <= self.ask.as_of
            self.progress[order] = schedule.Progress(finished=first if stands else self.ask.as_of)
        for n, finding in enumerate(coming, start=2 if bare else 1):
            id = f"{stem}:make" if n == 1 else f"{stem}:make {n}"
            ids.append(id)
            said.append(self._coming(row, finding, id, name))
        self._add(arrive, 0, f"{name}: on site")
        self.links += [schedule.Link(i, arrive) for i in ids[1:]]
        if len(ids) == 1:
            self.links.append(schedule.Link(order, arrive))
        self._waits(arrive, need)
        self.ways[row.line] = Way(
            row.line, need.activity, order, arrive, (*ids, arrive),
            row.makers[0] if row.makers else "", tuple(w for w in said if w is not None),
        )  # fmt: skip

    def _chained(
        self, row: orders.OrderRow, need: supply.Need, told: lead_chains.LineChain
    ) -> None:
        """Add a line that has steps, a measure or events of its own."""
        here = row.state.state == "on hand"
        if here and "hold" not in told.followed.chain.plan.days:
            return
        order = self.placed.get((told.waiting, row.line))
        maker = order.maker if order is not None else row.makers[0] if row.makers else ""
        promise, promised = told.followed.promise, None
        if promise is not None and not here:
            said = self.ask(happened.story, row.line).said(told.waiting)
            promised = self.promises.wait(
                row.part_class, maker, said, promise, self.calendar, self.now,
                self.ask(history.of_order, told.waiting, row.line),
            )  # fmt: skip
        made = chain_ways.chain_way(
            told, maker, self.calendar, self.ask.as_of, guess=self.promises.guess,
            beyond=self._beyond(need.activity), promised=promised,
            lead=self._lead(row, maker),
        )  # fmt: skip
        self.activities += made.activities
        self.links += made.links
        self.progress |= made.progress
        self.not_before |= made.not_before
        self.uncertain += made.uncertain
        self.notes += made.notes
        if promised is not None:
            truck = f"{maker or told.waiting} {said} {promise}"
            self._spread(made.replaced, promised, maker, f"on order {truck}")
        coming = [f for f in row.state.findings if f.order and f.state != "void"]
        steps = list(made.steps)
        for n, finding in enumerate((f for f in coming if f.order != told.waiting), start=2):
            id = f"{made.stem}:make {n}"
            self._coming(row, finding, id, row.name)
            self.links.append(schedule.Link(id, made.on_site))
            steps.insert(-1, id)
        if need.state == "started":
            self._waits(made.after.before, need)
        else:
            self.links.append(made.after)
        if row.measure is not None and not row.measure.lead_follows:
            self._measured(row, made.order)
        self.ways[row.line] = Way(
            row.line, need.activity, made.order, made.on_site, tuple(steps), maker, made.rests
        )

    def _add(self, id: str, days: Number, name: str) -> None:
        self.activities.append(
            schedule.Activity(id, min(days, lead_history.MOST), name, off_site=True)
        )

    def _waits(self, arrive: str, need: supply.Need) -> None:
        """Link the arrival to the work: what is left of work under way waits for it."""
        if need.state == "started":
            told = self.left.get(need.activity)
            left: Number = self.site[need.activity].days if told is None else told
            self.links.append(
                schedule.Link(arrive, need.activity, "finish to finish", left, reason="the rest")
            )
        else:
            self.links.append(schedule.Link(arrive, need.activity))

    def _to_order(
        self, row: orders.OrderRow, stem: str, name: str, ids: list[str]
    ) -> lead_spreads.Wait | None:
        """Add what is on no order: after its measure, else by the lead of its class."""
        if row.measure is not None:
            self._measured(row, ids[0])
            return lead_spreads.Wait(0, None, "made to a measure: its lead stands in the network")
        maker = row.makers[0] if row.makers else ""
        lead = self._lead(row, maker)
        if lead is None:
            self.notes.append(f"{row.line} {row.name}: nobody has said how long it takes")
            return None
        id = f"{stem}:make"
        ids.append(id)
        self._add(id, lead.planned, f"{name}: make and ship")
        self.links.append(schedule.Link(ids[0], id))
        self._spread(id, lead, maker, f"to order {row.part_class} {maker}".rstrip())
        return lead

    def _measured(self, row: orders.OrderRow, order: str) -> None:
        assert row.measure is not None  # noqa: S101 - the caller has looked
        assert row.need is not None  # noqa: S101
        if row.measure.done_on is not None:
            return
        if row.measure.activity in self._beyond(row.need.activity):
            self.notes.append(
                f"{row.line} {row.name}: it is to be ordered after {row.measure.name}, which "
                f"waits for {row.need.name}, which needs it: choose another measure or need"
            )
        else:
            self.links.append(schedule.Link(row.measure.activity, order))

    def _beyond(self, id: str) -> frozenset[str]:
        """Return an activity and all that waits for it, directly or through others."""
        if id not in self._after:
            found, front = {id}, [self.site.index[id]]
            for here in front:
                for tie in self.site.after[here]:
                    other = self.site.activities[tie.other].id
                    if other not in found:
                        found.add(other)
                        front.append(tie.other)
            self._after[id] = frozenset(found)
        return self._after[id]

    def _coming(
        self, row: orders.OrderRow, finding: supply.Finding, id: str, name: str
    ) -> lead_spreads.Wait:
        """Add what has not come of one order: it takes the days to its promise, or to a guess."""
        placed = self.placed[finding.order, row.line]
        maker = finding.maker
        if placed.promised is not None:
            wait = self.promises.wait(
                row.part_class, maker, self._said(placed), placed.promised, self.calendar, self.now,
                self.ask(history.of_order, placed.order, row.line),
            )  # fmt: skip
        else:
            wait = lead_spreads.unpromised(
                self._lead(row, maker), placed.placed, self.calendar, self.now
            )
        self._add(id, wait.planned, f"{name}: on order {finding.order}")
        # what one maker promised on one day for one day comes on one truck
        truck = f"{maker or finding.order} {self._said(placed)} {placed.promised}"
        self._spread(id, wait, maker, f"on order {truck}")
        return wait

    def _lead(self, row: orders.OrderRow, maker: str) -> lead_spreads.Wait | None:
        """Return how long an order takes that is placed today, by its class and by what came."""
        key = row.lead, row.part_class, maker
        if key not in self.leads:
            self.leads[key] = lead_spreads.of_lead(
                row.lead, self.calendar, self.promises.guess, self.past, row.part_class, maker
            )
        return self.leads[key]

    def _said(self, order: entities.Order) -> date | None:
        """Return the day on which a promise was given: that of the order unless it moved."""
        if order.line not in self.moved:
            return order.placed
        return self.ask(happened.story, order.line).said(order.order) or order.placed

    def _spread(self, id: str, wait: lead_spreads.Wait, maker: str, luck: str) -> None:
        if wait.spread is not None:
            factors = (f"maker {maker}",) if maker else ()
            self.uncertain.append(Uncertain(id, wait.spread, factors, luck))
