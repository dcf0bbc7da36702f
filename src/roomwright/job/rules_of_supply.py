"""Rules of vendors, lead chains, events and measures. The reader of folders holds the same."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import date
from fractions import Fraction
from itertools import pairwise

from roomwright.job.entities import (
    BEFORE_AN_ORDER,
    COUNTED,
    Event,
    FieldMeasure,
    LeadStep,
    Order,
    Receipt,
)
from roomwright.job.errors import Problem
from roomwright.job.facts import Change, Facts
from roomwright.job.pieces import told
from roomwright.job.words import day, named, number

OURS = ("decide", "measure", "receive", "hold")


@dataclass(frozen=True, slots=True)
class Fault:
    """What is wrong with one field of one fact, and what to do."""

    kind: str
    id: str
    field: str
    wrong: str
    do: str


def faults(facts: Facts) -> Iterator[Fault]:
    """Yield all that is wrong with the supply facts."""
    for step in facts.all(LeadStep):
        yield from of_step(step)
    for measure in facts.all(FieldMeasure):
        yield from of_measure(measure)
    lines: set[tuple[str, str]] = set()
    for event in facts.all(Event):
        yield from of_event(facts, event)
        lines.add((event.order, event.line))
    for order, line in sorted(lines):
        yield from of_pieces(facts, order, line)


def of_step(step: LeadStep) -> Iterator[Fault]:
    """A step is of one class or line; its days rise, and are not less than none."""
    yield from _owned(step)
    fields = ("days_low", "days_likely", "days_high")
    known: list[tuple[str, Fraction]] = [
        (f, v) for f in fields if (v := getattr(step, f)) is not None
    ]
    for field, value in known:
        if not 0 <= value <= 2000 or (value * 2).denominator != 1:
            yield Fault("step", step.id, field, f"{number(value)} days can't be",
                        "give 0 to 2000 days, whole or half")  # fmt: skip
    for (low, a), (high, b) in pairwise(known):
        if a > b:
            yield Fault("step", step.id, low, f"{low} is {number(a)} days, more than {high}, "
                        f"which is {number(b)}", "swap them or correct one")  # fmt: skip
    if step.skip and known:
        yield Fault("step", step.id, "skip", "the step is left out, and yet has days",
                    "clear one of the two")  # fmt: skip
    if step.skip and not step.line:
        yield Fault("step", step.id, "skip", "a class leaves out a step by not having it",
                    "remove the row, or name a line")  # fmt: skip
    if step.order_here and step.step in OURS:
        yield Fault("step", step.id, "order_here", f"no order is placed before {step.step}",
                    "choose submit, approve, make or ship")  # fmt: skip
    if not step.skip and step.days_likely is None and (step.days_low or step.days_high):
        yield Fault("step", step.id, "days_likely", "is empty", "give the days it likely takes")


def of_measure(measure: FieldMeasure) -> Iterator[Fault]:
    """A measure is of one class or line."""
    yield from _owned(measure)


def of_event(facts: Facts, event: Event) -> Iterator[Fault]:
    """An event names an order line that there is, and has the day or the pieces it needs."""
    promised = event.what == "promised"
    if promised and event.day is None:
        yield Fault("event", event.id, "day", "a promise needs the day that was promised",
                    "fill it in; write withdrawn where there is no promise any more")  # fmt: skip
    if event.day is not None and not promised:
        yield Fault("event", event.id, "day", f"only a promise has a day, not {event.what}",
                    "clear it, or put it into the column on")  # fmt: skip
    if event.what in COUNTED and not event.qty:
        yield Fault("event", event.id, "qty", f"how many were {event.what}?", "give 1 or more")
    if not event.order:
        if event.what not in BEFORE_AN_ORDER:
            yield Fault("event", event.id, "order", f"{event.what}, and no order is named",
                        "name the order")  # fmt: skip
        return
    orders = [o for o in facts.where(Order, "line", event.line) if o.order == event.order]
    if not orders:
        yield Fault("event", event.id, "order", f"order {event.order} has no line {event.line}",
                    "check both, or place the order first")  # fmt: skip
        return
    placed = min((o.placed for o in orders if o.placed), default=None)
    early = event.what not in BEFORE_AN_ORDER and placed is not None
    for field in ("on", "day"):
        when: date | None = getattr(event, field)
        if early and placed is not None and when is not None and when < placed:
            yield Fault("event", event.id, field, f"{day(when)} is before the order was placed, "
                        f"{day(placed)}", "correct one of the two dates")  # fmt: skip


def of_pieces(facts: Facts, order: str, line: str) -> Iterator[Fault]:
    """On no day were more pieces damaged, sent back or installed than there were to be."""
    events = [e for e in facts.where(Event, "line", line) if e.order == order]
    if not any(e.what in COUNTED for e in events):
        return
    wrong = told((r for r in facts.where(Receipt, "line", line) if r.order == order), events).wrong
    if wrong is not None:
        event, there = wrong
        kind = "" if event.what == "returned" else " good"
        yield Fault("event", event.id, "qty", f"{event.qty} of {line} {event.what}, but only "
                    f"{there}{kind} of order {order} were here",
                    "correct the count, or record what came first")  # fmt: skip


def _owned(fact: LeadStep | FieldMeasure) -> Iterator[Fault]:
    if bool(fact.part_class) == bool(fact.line):
        both = "both a class and a line are named" if fact.line else "no class and no line is named"
        yield Fault(fact.kind_name, fact.id, "line", both, "name one of the two")


def supply_holds(facts: Facts, changes: Sequence[Change]) -> Iterator[Problem]:
    """Yield what is wrong with the supply facts that a change can have broken."""
    lines: dict[tuple[str, str], None] = {}
    events: dict[str, Event] = {}
    for c in changes:
        if isinstance(c.after, LeadStep):
            yield from _told(of_step(c.after))
        elif isinstance(c.after, FieldMeasure):
            yield from _told(of_measure(c.after))
        elif isinstance(c.after, Event):
            events[c.after.id] = c.after
        for f in (c.before, c.after):
            if isinstance(f, Order | Receipt | Event):
                lines[f.order, f.line] = None
    touched: dict[str, set[str]] = defaultdict(set)
    for order, line in lines:
        touched[line].add(order)
    for line, orders in touched.items():
        for event in facts.where(Event, "line", line):
            if event.order in orders:
                events[event.id] = event
    for event in events.values():
        yield from _told(of_event(facts, event))
    for order, line in lines:
        yield from _told(of_pieces(facts, order, line))


def _told(found: Iterator[Fault]) -> Iterator[Problem]:
    for f in found:
        what = named(None, f.kind, f.id)
        yield Problem(f.kind, f.id, f.field, f"{what}: {f.wrong}: {f.do}.")


supply_rules = (supply_holds,)
