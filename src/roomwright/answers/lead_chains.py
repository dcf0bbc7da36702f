"""The lead chain of each line that has one of its own: its steps, and what happened to them.

A line has a chain of its own where its class or it has lead steps or a field measure, or where
something happened to it that only steps can hold (drawings approved, shipped, damaged). All other
lines go by the lead of their class, as `roomwright.answers.orders` says.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from datetime import date
from fractions import Fraction

from roomwright import supply
from roomwright.answers import dates, happened
from roomwright.answers.calendars import of_maker
from roomwright.answers.engine import Ask, query
from roomwright.days import Calendar, Number
from roomwright.job import pieces
from roomwright.job.entities import (
    Activity,
    Event,
    FieldMeasure,
    LeadStep,
    Order,
    Part,
    PartClass,
    Receipt,
    Step,
    Vendor,
    measure_told,
)
from roomwright.supply import chains, history, measure
from roomwright.supply.chains import OURS, STEPS

EVERY_DAY = frozenset(range(7))
_HOLDING = frozenset({"decided", "submitted", "approved", "shipped", "damaged", "returned"})
"""What only the steps of a chain can hold."""
_STEP: Mapping[str, Step] = {"decided": "decide", "submitted": "submit", "approved": "approve"}


@dataclass(frozen=True, slots=True)
class Measured:
    """The field measure that a line is made to: its condition, when it was taken, how it stands."""

    condition: measure.Condition
    taken: date | None
    by: str
    standing: measure.Standing


@dataclass(frozen=True, slots=True)
class LineChain:
    """The lead chain of a line with what happened to it.

    Attributes
    ----------
    followed : Followed
        the activities with the days that are left, for the passes
    days : mapping of step to (low, likely, high)
        what each step may take [working days]; a step that is not there is certain
    elapsed : frozenset of str
        steps whose days count on without days off
    vendor : Calendar, optional
        by which the vendor's steps run
    waiting : str
        the order that the line waits for; empty where (part of) it is on no order
    by_lead : bool
        whether its making goes by the lead of the class, having no vendor's steps
    notes : tuple of str
    """

    followed: history.Followed
    days: Mapping[Step, tuple[float, float, float]]
    elapsed: frozenset[Step]
    vendor: Calendar | None
    waiting: str
    by_lead: bool
    notes: tuple[str, ...]


@query("field measure")
def measured(ask: Ask, line: str) -> Measured | None:
    """Return the field measure of a line, or None where it is made to none.

    A measure that was taken stands until work that spoils it is done; once the part is being
    installed it is no longer asked about.
    """
    part = ask.find(Part, line)
    if part is None:
        return None
    told = measure_told(
        ask.find(FieldMeasure, f"class {part.part_class}"), ask.find(FieldMeasure, f"line {line}")
    )
    if told is None:
        return None
    condition = measure.Condition(told.after, told.expires_by, told.words)
    taken = told.on if told.on is not None and told.on <= ask.as_of else None
    site = ask(dates.progress)
    names = {
        i: f"{i} {a.name}".strip()
        for i in (*told.after, *told.expires_by)
        if (a := ask.find(Activity, i)) is not None
    }
    part_class = ask.find(PartClass, part.part_class)
    work = site.get(part_class.needed_by) if part_class else None
    if taken and work is not None and (work.started or work.finished):
        standing = measure.Standing("holds", "being installed")
    else:
        standing = measure.measure_stands(condition, taken, site, names)
    return Measured(condition, taken, told.by, standing)


@query("lead steps")
def steps_of(ask: Ask, part_class: str) -> tuple[LeadStep, ...]:
    """Return the lead steps of a class, in the order of a chain."""
    held = ask.where(LeadStep, "part_class", part_class)
    return tuple(sorted(held, key=lambda s: STEPS.index(s.step)))


@query("lead steps of line")
def steps_of_line(ask: Ask, line: str) -> tuple[LeadStep, ...]:
    """Return the steps of a line's chain: its class's, with what it says itself in their place."""
    part = ask.find(Part, line)
    held = {s.step: s for s in ask(steps_of, part.part_class)} if part else {}
    for own in ask.where(LeadStep, "line", line):
        if own.skip:
            held.pop(own.step, None)
        else:
            held[own.step] = own
    return tuple(sorted(held.values(), key=lambda s: STEPS.index(s.step)))


@query("lead by steps")
def lead_by_steps(ask: Ask, line: str) -> supply.Lead | None:
    """Return the lead from order to site that a line's steps add up to; None without such steps."""
    steps = ask(steps_of_line, line)
    theirs = [s for s in steps if s.step not in OURS]
    first = next((i for i, s in enumerate(theirs) if s.order_here), 0)
    if not theirs or all(s.days_likely is None for s in theirs[first:]):
        return None
    week = Fraction(ask(dates.calendar).days_a_week)
    weeks = [
        [Fraction(d) / (7 if s.counts == "elapsed" else week) for d in _three(s)]
        for s in theirs[first:]
    ]
    low, high = sum(w[0] for w in weeks), sum(w[2] for w in weeks)
    names = ", ".join(s.name or s.step for s in theirs[first:])
    return supply.Lead(low, high, f"lead steps: {names}")


@query("lines with chains")
def chained(ask: Ask) -> frozenset[str]:
    """Return the lines that have a chain of their own."""
    facts: list[LeadStep | FieldMeasure] = [*ask.all(LeadStep), *ask.all(FieldMeasure)]
    classes = {f.part_class for f in facts} - {""}
    lines = {f.line for f in facts} | {e.line for e in ask.all(Event) if e.what in _HOLDING}
    if classes:
        lines |= {p.id for p in ask.all(Part) if p.part_class in classes}
    return frozenset(lines - {""})


@query("lead chain")
def chain_of(ask: Ask, line: str) -> LineChain | None:
    """Return the chain of a line that has one of its own, else None."""
    part = ask.find(Part, line)
    part_class = ask.find(PartClass, part.part_class) if part else None
    if part is None or part_class is None:
        return None
    steps, told = ask(steps_of_line, line), ask(measured, line)
    events = [
        e for e in ask.where(Event, "line", line)
        if e.what in _HOLDING and (e.on is None or e.on <= ask.as_of)
    ]  # fmt: skip
    if not steps and told is None and not events:
        return None
    return _Chain(ask, part, part_class, steps, told, events).chain()


class _Chain:
    """One line's chain while it is put together."""

    def __init__(
        self, ask: Ask, part: Part, part_class: PartClass, steps: tuple[LeadStep, ...],
        told: Measured | None, events: list[Event],
    ) -> None:  # fmt: skip
        self.ask, self.part, self.part_class = ask, part, part_class
        self.steps, self.told, self.events = steps, told, events
        self.house: Calendar = ask(dates.calendar)
        self.story = ask(happened.story, part.id)
        self.placed = ask.where(Order, "line", part.id)
        self.notes: list[str] = []

    def chain(self) -> LineChain:
        days: dict[Step, Number] = {s.step: s.days_likely or 0 for s in self.steps}
        spread = {s.step: _three(s) for s in self.steps if s.days_likely}
        if self.told is not None:
            days.setdefault("measure", 0)
        by_lead = not any(s in days for s in STEPS if s not in OURS)
        if by_lead:
            days["make"], spread["make"] = self._lead()
        waiting = self._waiting()
        from_them = [o for o in self.placed if o.order == waiting] or self.placed
        maker = next((o.maker for o in from_them if o.maker), "")
        vendor = self.ask(of_maker, maker) if maker else None
        elapsed = frozenset(s.step for s in self.steps if s.counts == "elapsed")
        first: Step = next((s.step for s in self.steps if s.order_here), "submit")
        plan = chains.Plan(
            days=days,
            names={s.step: s.name for s in self.steps if s.name},
            vendor=vendor,
            condition=self.told.condition if self.told else None,
            order_before=first,
            hold_counts="elapsed" if "hold" in elapsed else "working",
        )
        name = f"{self.part_class.name or self.part.part_class}, room {self.part.room}"
        made = chains.lead_chain(self._id(), self.part_class.needed_by, plan, name)
        window = self.ask.find(Vendor, maker)
        try:
            followed = history.follow(
                made, self._events(waiting), self.house, self.ask.as_of, qty=self.part.qty,
                claim_days=window.claim_days if window else None, site=self.ask(dates.progress),
            )  # fmt: skip
        except chains.ChainError as wrong:
            self.notes.append(str(wrong))
            followed = history.follow(made, (), self.house, self.ask.as_of, qty=self.part.qty)
        return LineChain(
            self._in_elapsed_days(followed, elapsed - {"hold"}), spread, elapsed, vendor, waiting,
            by_lead, tuple(self.notes),
        )  # fmt: skip

    def _id(self) -> str:
        """Return the line's id where the network has no such activities, else with a mark."""
        stem = self.part.id.replace(":", ";")
        site = self.ask(dates.network).index
        while any(f"{stem}:{step}" in site for step in (*STEPS, "order", "arrive")):
            stem += "'"
        return stem

    def _lead(self) -> tuple[Number, tuple[float, float, float]]:
        """Return making and shipping as one step, by the lead of the class."""
        told = [
            supply.lead_days(w, self.house)
            for w in (self.part_class.lead_weeks_low, self.part_class.lead_weeks_high)
            if w is not None
        ]
        if not told:
            self.notes.append(f"{self.part.id}: nobody has said how long it takes: ask the maker")
            return 0, (0, 0, 0)
        low, high = min(2000, told[0]), min(2000, told[-1])
        return high, (low, (low + high) / 2, high)

    def _waiting(self) -> str:
        """Return the order that comes last of those that are not all here; "" if some has none."""
        ordered = sum(o.qty for o in self.placed)
        left = [s for s in self.story.orders if s.good < s.qty]
        if ordered < self.part.qty or not left:
            return "" if ordered < self.part.qty else (self.placed[-1].order if self.placed else "")
        return max(left, key=lambda s: (s.words[-1].day or date.max) if s.words else date.max).order

    def _events(self, waiting: str) -> list[history.Event]:
        """Return what happened as the chain takes it, for the order that it waits for."""
        as_of = self.ask.as_of
        found: list[history.Event] = []
        if self.told is not None and self.told.taken is not None:
            found.append(history.Done(self.told.taken, "measure"))
        one = self.story.order(waiting) if waiting else None
        start = as_of
        if one is not None:
            start = min(one.placed or as_of, as_of)
            if one.placed is None or one.placed <= as_of:
                found.append(history.Placed(start))
            if one.words and one.words[-1].day is not None:
                said = start
                for word in one.words:
                    said = min(max(word.on or said, said), as_of)
                    if word.day is not None:
                        found.append(history.Promised(said, word.day))
        for receipt in self.ask.where(Receipt, "line", self.part.id):
            if receipt.qty and (receipt.on or start) <= as_of:
                found.append(history.Received(receipt.on or start, receipt.qty))
        for event in self.events:
            if event.order and event.order != waiting and event.what == "shipped":
                continue
            found += self._event(event, event.on or start)
        return found

    def _good_returned(self, event: Event) -> int:
        """Return how many pieces of a return were good; damaged ones were lost already."""
        came = [r for r in self.ask.where(Receipt, "line", self.part.id) if r.order == event.order]
        mine = [e for e in self.events if e.order == event.order]
        return pieces.told(came, mine).good_returned.get(event.id, 0)

    def _event(self, event: Event, on: date) -> list[history.Event]:
        qty = event.qty or 1
        if event.what in _STEP:
            return [history.Done(on, _STEP[event.what])]
        if event.what == "shipped":
            return [history.Shipped(on)]
        if event.what == "returned":
            good = self._good_returned(event)
            return [history.Returned(on, good)] if good else []
        return [history.Damaged(on, qty, claimed=on)]  # claims are told by `happened`

    def _in_elapsed_days(
        self, followed: history.Followed, elapsed: frozenset[Step]
    ) -> history.Followed:
        """Return the chain with steps that go on over days off on a calendar of every day."""
        if not elapsed:
            return followed
        always = Calendar(self.house.start, EVERY_DAY)
        ids = {followed.chain.id(s) for s in elapsed}
        activities = tuple(
            replace(a, calendar=always) if a.id in ids else a for a in followed.chain.activities
        )
        return replace(followed, chain=replace(followed.chain, activities=activities))


def _three(step: LeadStep) -> tuple[float, float, float]:
    """Return the least, likely and most days of a step."""
    likely = float(step.days_likely or 0)
    low = likely if step.days_low is None else float(step.days_low)
    high = likely if step.days_high is None else float(step.days_high)
    return min(low, likely), likely, max(high, likely)
