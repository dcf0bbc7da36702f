"""Each line of the plan: when it is needed, when to order it, its true state, what it costs."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace
from datetime import date
from typing import Any

from roomwright import supply
from roomwright.answers import dates, happened, lead_chains
from roomwright.answers.engine import Ask, query
from roomwright.days import HorizonError
from roomwright.job.entities import (
    Event,
    FieldMeasure,
    House,
    LeadStep,
    Order,
    Part,
    PartClass,
    Progress,
    Receipt,
)
from roomwright.supply.measure import Standing


@dataclass(frozen=True, slots=True)
class OrderRow:
    """A line of the plan with its need and its true state.

    `need` is None where nobody has said what work needs it; `makers` are those it is on order
    from, else the one that the class was last bought from. `bought_by` is empty for the builder.
    """

    line: str
    room: str
    part_class: str
    name: str
    qty: int
    note: str
    need: supply.Need | None
    lead: supply.Lead
    measure: supply.Measure | None
    state: supply.LineState
    makers: tuple[str, ...]
    orders: tuple[str, ...]
    bought_by: str
    notes: tuple[str, ...] = ()
    """What happened and the builder should know: a promise that moved, damage to claim."""

    def as_json(self) -> dict[str, Any]:
        """Return the documented fields."""
        need, state = self.need, self.state
        return {
            "line": self.line,
            "room": self.room,
            "class": self.part_class,
            "name": self.name,
            "qty": self.qty,
            "bought_by": self.bought_by or supply.BUILDER,
            "needed_on": _iso(need.on if need else None),
            "last_safe_day": _iso(need.last_safe if need else None),
            "order_by": _iso(state.order_by),
            "state": state.state,
            "late_days": state.late_days,
            "move_in_days": dates.plain(state.move_in_days),
            "guess": state.guess,
            "arrives": _iso(state.arrives),
            "received": state.received,
            "on_order": state.on_order,
            "to_order": state.to_order,
            "orders": list(self.orders),
            "to_check": list(state.to_check),
            "why": [*(f.text for f in state.findings), *self.notes],
        }


@dataclass(frozen=True, slots=True)
class OrdersAnswer:
    """All lines of the plan in natural order, as of a day."""

    as_of: date
    lines: tuple[OrderRow, ...]

    def as_json(self) -> dict[str, Any]:
        """Return the documented fields."""
        return {"as_of": self.as_of.isoformat(), "lines": [r.as_json() for r in self.lines]}


@query("needs of classes")
def needs(ask: Ask) -> dict[str, tuple[supply.Need | None, supply.Measure | None]]:
    """Return by class when the work that needs it starts, and the measure it waits for."""
    found = {a.id: a for a in ask(dates.dates).activities}
    recorded = {p.id: p.finished for p in ask.all(Progress)}
    result = {}
    for part_class in ask.all(PartClass):
        work = found.get(part_class.needed_by)
        need = None
        if work is not None:
            need = supply.Need(
                activity=work.id,
                name=work.name or work.id,
                on=work.first_day,
                last_safe=work.last_safe_start,
                start=work.dates.early_start,
                spare=work.dates.total_float,
                state=work.dates.state,
            )
        first = found.get(part_class.order_after or "")
        measure = None
        if first is not None:
            measure = supply.Measure(
                first.id, first.name or first.id, recorded.get(first.id), first.last_day
            )
        result[part_class.id] = need, measure
    return result


@query("orders")
def orders(ask: Ask) -> OrdersAnswer:
    """Return each line of the plan with its need and its true state."""
    classes = {c.id: c for c in ask.all(PartClass)}
    placed = _by_line(ask.all(Order))
    came = _by_line(ask.all(Receipt))
    wanted, days, as_of = ask(needs), ask(dates.calendar), ask.as_of
    inspect = ask.fact(House, "house").inspect_days
    parts = ask.all(Part)
    makers = _makers(parts, ask.all(Order))
    own = _Own(ask)
    rows = []
    for part in parts:
        kind = classes.get(part.part_class)
        need, measure = wanted.get(part.part_class, (None, None))
        lead = supply.Lead(None, None)
        if kind is not None:
            lead = supply.Lead(kind.lead_weeks_low, kind.lead_weeks_high, kind.basis)
        ordered = [
            supply.OrderLine(o.order, o.maker, o.qty, o.placed, o.promised, o.note)
            for o in placed.get(part.id, ())
        ]
        received = [supply.Received(r.order, r.qty, r.on, r.note) for r in came.get(part.id, ())]
        notes, received = own.events(part.id, received)
        if own.steps(part):
            lead = ask(lead_chains.lead_by_steps, part.id) or lead
        if own.measure(part):
            measure, said = _measure(ask, part.id, measure)
            notes += said
        if need is None:
            state = supply.without_need(part.id, part.qty, ordered, received)
        else:
            try:
                state = supply.line_state(
                    part.id, part.qty, need, lead, days, as_of,
                    orders=ordered, receipts=received, measure=measure, inspect_days=inspect,
                )  # fmt: skip
            except HorizonError as wrong:
                state = supply.without_need(part.id, part.qty, ordered, received, str(wrong))
        on_order = tuple(dict.fromkeys(o.maker for o in ordered if o.maker))
        known = makers.get(part.part_class, "")
        rows.append(
            OrderRow(
                line=part.id,
                room=part.room,
                part_class=part.part_class,
                name=(kind.name if kind else "") or part.part_class,
                qty=part.qty,
                note=part.note,
                need=need,
                lead=lead,
                measure=measure,
                state=state,
                makers=on_order or ((known,) if known else ()),
                orders=tuple(dict.fromkeys(o.order for o in ordered)),
                bought_by=part.bought_by.strip(),
                notes=tuple(notes),
            )
        )
    return OrdersAnswer(as_of, tuple(rows))


class _Own:
    """Which lines have events, steps or a measure: the others are spared the asking."""

    def __init__(self, ask: Ask) -> None:
        self.ask = ask
        self.told = {e.line for e in ask.all(Event)}
        self.lines = {s.line for s in ask.all(LeadStep)} - {""}
        self.classes = {s.part_class for s in ask.all(LeadStep)} - {""}
        self.made_to = {m.line for m in ask.all(FieldMeasure)} - {""}
        self.made_classes = {m.part_class for m in ask.all(FieldMeasure)} - {""}

    def steps(self, part: Part) -> bool:
        return part.id in self.lines or part.part_class in self.classes

    def measure(self, part: Part) -> bool:
        return part.id in self.made_to or part.part_class in self.made_classes

    def events(
        self, line: str, received: list[supply.Received]
    ) -> tuple[list[str], list[supply.Received]]:
        """Return what to know of what happened, and the receipts without what was lost."""
        if line not in self.told:
            return [], received
        story = self.ask(happened.story, line)
        lost = {o.order: o.lost for o in story.orders}
        good = []
        for one in reversed(received):
            gone = min(one.qty, lost.get(one.order, 0))
            lost[one.order] = lost.get(one.order, 0) - gone
            good.append(replace(one, qty=one.qty - gone))
        return list(story.notes), good[::-1]


def _measure(
    ask: Ask, line: str, first: supply.Measure | None
) -> tuple[supply.Measure | None, list[str]]:
    """Return the measure that a line waits for: its field measure, or that of the network."""
    told = ask(lead_chains.measured, line)
    if told is None or (told.standing.holds and first is not None and first.done_on is None):
        return first, []
    days = {a.id: a.last_day for a in ask(dates.dates).activities}
    expected = max([ask.as_of, *(days[i] for i in told.standing.activities if i in days)])
    done = told.taken if told.standing.holds else None
    if done and first is not None and first.done_on is not None:
        done = max(done, first.done_on)
    found = supply.Measure(
        first.activity if first is not None else "", "its field measure", done, expected,
        lead_follows=first is None,
    )  # fmt: skip
    return found, [] if told.standing.holds else [f"field measure {_stands(told.standing)}"]


def _stands(standing: Standing) -> str:
    return f"{standing.stand}: {standing.text}"


def _by_line(facts: Iterable[Any]) -> dict[str, list[Any]]:
    found: dict[str, list[Any]] = {}
    for fact in facts:
        found.setdefault(fact.line, []).append(fact)
    return found


def _makers(parts: Iterable[Part], placed: Iterable[Order]) -> dict[str, str]:
    """Return by class the maker that it was last ordered from."""
    classes = {p.id: p.part_class for p in parts}
    last: dict[str, tuple[date, str]] = {}
    for order in placed:
        part_class = classes.get(order.line)
        if part_class and order.maker:
            when = order.placed or date.min
            if part_class not in last or when >= last[part_class][0]:
                last[part_class] = when, order.maker
    return {part_class: maker for part_class, (_, maker) in last.items()}


def _iso(day: date | None) -> str | None:
    return None if day is None else day.isoformat()
