"""The true state of a line of the plan on the as-of date: on hand, in time, late, order now..."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from datetime import date

from roomwright.days import Calendar, Number, show_date, show_days
from roomwright.supply.model import (
    STATES,
    Finding,
    Lead,
    LineState,
    Measure,
    Need,
    OrderLine,
    Received,
    State,
    short,
)
from roomwright.supply.policy import arrives, order_by

Waiting = tuple[OrderLine, int]
"""An order and how many of it have not come."""


def line_state(
    line: str,
    qty: int,
    need: Need,
    lead: Lead,
    calendar: Calendar,
    as_of: date,
    *,
    orders: Iterable[OrderLine] = (),
    receipts: Iterable[Received] = (),
    measure: Measure | None = None,
    inspect_days: int = 5,
) -> LineState:
    """Return the true state of a line.

    A promise is taken as it stands. What is not ordered counts as if ordered on the as-of date and
    took as long as the long end of its lead: a guess. What is made to a measure carries its lead
    in the network, so it costs nothing here.

    Examples
    --------
    >>> house = Calendar(date(2027, 1, 18))
    >>> need = Need("A165", "Cabinet delivery", on=date(2027, 4, 1), last_safe=date(2027, 4, 22),
    ...             start=53, spare=15)
    >>> found = line_state("L011", 9, need, Lead(6, 12), house, date(2027, 3, 29), orders=[
    ...     OrderLine("PO-105", "Oskar & Rye", 9, date(2026, 12, 9), date(2027, 4, 29))])
    >>> found.state, found.late_days, found.move_in_days
    ('late', 20, 5)
    """
    asked = _Line(qty, need, lead, calendar, as_of, measure, inspect_days)
    placed, came = list(orders), list(receipts)
    received = sum(r.qty for r in came)
    void = [o for o in placed if asked.is_void(o)]
    waiting = [(o, left) for o, left in _outstanding(placed, came) if o not in void]
    on_order = sum(left for _, left in waiting)
    valid = received if not void else sum(r.qty for r in came if r.order not in _ids(void))
    to_order = max(0, qty - valid - on_order)
    findings = [asked.voided(o) for o in void]
    findings += [asked.ordered(o, n) for o, n in asked.wanted(waiting, qty - valid)]
    bare = to_order - sum(o.qty for o in void)
    if bare > 0:
        findings.append(asked.unordered(bare, whole=bare == qty))
    if not findings:
        findings = [Finding("on hand", received, 0, 0, "on hand" if qty else "none wanted")]
    findings.sort(key=lambda f: (-f.move_in_days, -STATES.index(f.state), -f.late_days))
    worst = findings[0]
    return LineState(
        line=line,
        state=worst.state,
        late_days=worst.late_days,
        move_in_days=worst.move_in_days,
        order_by=asked.order_by,
        arrives=worst.arrives,
        guess=worst.guess,
        received=received,
        on_order=on_order,
        to_order=to_order,
        to_check=_notes(placed, came),
        findings=tuple(findings),
    )


def without_need(
    line: str,
    qty: int,
    orders: Iterable[OrderLine] = (),
    receipts: Iterable[Received] = (),
    why: str = "",
) -> LineState:
    """Return the state of a line of which nobody knows when it is needed: counts only.

    >>> without_need("L1", 2, receipts=[Received("PO-1", 2)]).state
    'on hand'
    """
    placed, came = list(orders), list(receipts)
    received, ordered = sum(r.qty for r in came), sum(o.qty for o in placed)
    on_order = max(0, ordered - received)
    state: State = "on hand" if received >= qty else "in time" if ordered >= qty else "due"
    text = why or "nobody has said which work needs it"
    return LineState(
        line, state, 0, 0, None, None, False, received, on_order,
        max(0, qty - received - on_order),
        _notes(placed, came),
        (Finding(state, qty, 0, 0, state if state == "on hand" else text),),
    )  # fmt: skip


def _ids(orders: Iterable[OrderLine]) -> set[str]:
    return {o.order for o in orders}


def _notes(orders: list[OrderLine], receipts: list[Received]) -> tuple[str, ...]:
    """Return the notes on what came, and on the orders it came on: somebody must look at it."""
    came = {r.order for r in receipts}
    notes = [r.note for r in receipts] + [o.note for o in orders if o.order in came]
    return tuple(n.strip() for n in notes if n.strip())


def _outstanding(orders: list[OrderLine], receipts: list[Received]) -> Iterator[Waiting]:
    """Yield each order with what has not come of it; receipts are met by the order they name."""
    came: dict[str, int] = {}
    for receipt in receipts:
        came[receipt.order] = came.get(receipt.order, 0) + receipt.qty
    for order in orders:
        met = min(order.qty, came.get(order.order, 0))
        came[order.order] = came.get(order.order, 0) - met
        if order.qty > met:
            yield order, order.qty - met


@dataclass(frozen=True, slots=True)
class _Line:
    """One line while its state is worked out."""

    qty: int
    need: Need
    lead: Lead
    calendar: Calendar
    as_of: date
    measure: Measure | None
    inspect_days: int

    @property
    def order_by(self) -> date | None:
        first = None
        if self.measure is not None:
            first = self.measure.done_on or self.measure.expected
            if not self.measure.lead_follows:
                return first
        if self.lead.high_weeks is None:
            return first
        by = order_by(self.need.on, self.lead.high_weeks, self.inspect_days, self.calendar)
        return by if first is None else max(by, first)

    def is_void(self, order: OrderLine) -> bool:
        """Return whether an order was placed before the measure that it must be made to."""
        if self.measure is None:
            return False
        if self.measure.done_on is None:
            return True
        return order.placed is not None and order.placed < self.measure.done_on

    def voided(self, order: OrderLine) -> Finding:
        assert self.measure is not None  # noqa: S101 - only a line with a measure can be void
        when = f" on {self._day(order.placed)}" if order.placed else ""
        first = f"ordered{when}, before {short(self.measure.name)}"
        done = self.measure.done_on
        again = "order it again now" if done else f"order it after {short(self.measure.name)}"
        text = f"void: {first}; take the order back and {again}"
        return Finding("void", order.qty, 0, 0, text, order.order, order.maker)

    def wanted(self, waiting: list[Waiting], lacking: int) -> list[Waiting]:
        """Return of what is on order, soonest first, as much as is still lacking.

        What is on order beyond the plan holds nothing up, however late it comes.
        """
        kept: list[Waiting] = []
        for order, left in sorted(waiting, key=lambda w: self._comes(w[0]) or date.max):
            n = min(left, lacking - sum(m for _, m in kept))
            if n > 0:
                kept.append((order, n))
        return kept

    def _comes(self, order: OrderLine) -> date | None:
        """Return when an order comes: its promise or a guess, today at the soonest."""
        day = order.promised or self._guessed(order)
        return None if day is None else max(day, self.as_of)

    def ordered(self, order: OrderLine, left: int) -> Finding:
        """Return the state of what has not come of an order."""
        promise, guess = order.promised, False
        if promise is None:
            promise, guess = self._guessed(order), True
        if promise is None:
            text = f"ordered ({order.order}), and nobody has said when it comes: ask"
            return Finding("promise passed", left, 0, 0, text, order.order, order.maker)
        comes = max(promise, self.as_of)
        late, cost = self._late(comes), self._cost(comes)
        said = "likely" if guess else "promised"
        text = f"{said} {self._day(promise)}, needed {self._day(self.need.on)}"
        if promise < self.as_of:
            state, text = "promise passed", f"{text}; not here: ask for a new day"
        elif late > 0:
            state, text = "late", f"late by {_working(late)}: {text}"
        else:
            state, text = "in time", f"in time: {text}"
        if guess:
            text += " (a guess: no promise yet)"
        if self.need.state == "done":
            text += f"; {short(self.need.name)} was done without it"
        return Finding(
            state,  # type: ignore[arg-type]
            left, late, cost, text, order.order, order.maker, comes, guess,
        )  # fmt: skip

    def unordered(self, count: int, *, whole: bool) -> Finding:
        """Return the state of what is on no order."""
        which = "not ordered" if whole else f"{count} of {self.qty} not ordered"
        if self.need.state == "done":
            text = (
                f"{which}, and {short(self.need.name)} is done: order and open up, or leave it out"
            )
            late = 0 if self._guess is None else self._late(self._guess)
            return Finding("left out", count, late, 0, text, arrives=self._guess, guess=True)
        if self.measure is not None and not (self.measure.done_on and self.measure.lead_follows):
            return self._after_measure(count, which)
        by, comes = self.order_by, self._guess
        if by is None or comes is None:
            text = f"{which}, and nobody has said how long it takes: ask the maker"
            return Finding("due", count, 0, 0, text)
        late, cost = self._late(comes), self._cost(comes)
        longest = _weeks(self.lead.high_weeks)
        if by > self.as_of:
            text = f"{which}; order by {self._day(by)} (takes up to {longest})"
            return Finding("due", count, late, cost, text, arrives=comes, guess=True)
        ago = self.calendar.between(by, self.as_of)
        text = f"order now: {which}; the day to order was {self._day(by)}" if ago else (
            f"order today: {which}"
        )  # fmt: skip
        if late > 0:
            text += (
                f"; if it takes {longest} it comes {self._day(comes)}, "
                f"{_working(late)} late (a guess, not history)"
            )
        return Finding("order now", count, late, cost, text, arrives=comes, guess=True)

    def _after_measure(self, count: int, which: str) -> Finding:
        assert self.measure is not None  # noqa: S101 - the caller has looked
        if self.measure.done_on is None:
            expected = self._day(self.measure.expected)
            text = f"can't be ordered until {short(self.measure.name)} is done, about {expected}"
            if not self.measure.lead_follows or self.lead.high_weeks is None:
                return Finding("can't be ordered yet", count, 0, 0, text)
            comes = arrives(
                max(self.as_of, self.measure.expected), self.lead.high_weeks, self.calendar
            )
            late, cost = self._late(comes), self._cost(comes)
            if late > 0:
                text += (
                    f"; if it then takes {_weeks(self.lead.high_weeks)} it comes "
                    f"{self._day(comes)}, {_working(late)} late (a guess, not history)"
                )
            return Finding(
                "can't be ordered yet", count, late, cost, text, arrives=comes, guess=True
            )
        text = f"order now: {which}, and {short(self.measure.name)} is done"
        return Finding("order now", count, 0, 0, text)

    @property
    def _guess(self) -> date | None:
        """The day it comes if ordered on the as-of date, at the long end of its lead."""
        if self.lead.high_weeks is None:
            return None
        return arrives(self.as_of, self.lead.high_weeks, self.calendar)

    def _guessed(self, order: OrderLine) -> date | None:
        if self.lead.high_weeks is None:
            return None
        return arrives(order.placed or self.as_of, self.lead.high_weeks, self.calendar)

    def _late(self, comes: date) -> int:
        return max(0, self.calendar.between(self.need.on, comes))

    def _cost(self, comes: date) -> float:
        """Return lateness beyond float; none where the work is done and so waits no more."""
        if self.need.state == "done":
            return 0
        start = self.need.start
        if self.need.state == "started":  # what is left of it waits from now on
            start = max(start, self.calendar.number(self.as_of))
        beyond = self.calendar.number(comes) - start - self.need.spare
        return max(0, int(beyond) if beyond == int(beyond) else beyond)

    def _day(self, day: date) -> str:
        return show_date(day, self.as_of)


def _weeks(weeks: Number | None) -> str:
    number = round(float(weeks or 0), 2)
    return f"{number:g} week{'' if number == 1 else 's'}"


def _working(days: int) -> str:
    return show_days(days).replace("day", "working day", 1)
