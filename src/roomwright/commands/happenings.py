"""Commands on what happens to orders: a promise and its changes, and every other event."""

from __future__ import annotations

import re
from datetime import date
from typing import ClassVar

from pydantic import Field

from roomwright.commands.base import BadCommandError, Command, Past, Work, add, edit, need
from roomwright.commands.orders import RecordReceipt, ordered
from roomwright.commands.progress import near_the_house
from roomwright.job.entities import (
    BEFORE_AN_ORDER,
    COUNTED,
    HAPPENINGS,
    Event,
    Happening,
    House,
    Id,
    Order,
    Part,
    Text,
    WorkCalendar,
)
from roomwright.job.facts import Change, Facts
from roomwright.job.rules_of_calendars import HOUSE, house_rota
from roomwright.job.words import day


class Promise(Command):
    """Record the day for which a maker now promises an order line; the old promise is kept."""

    command_name: ClassVar[str] = "promise"
    happened = ("on",)

    order: Id
    line: Id
    promised: date | None
    on: date | None = None
    """The day on which they said so."""
    note: Text = ""

    def work(self, facts: Facts, past: Past) -> Work:
        """Return the order line with its promise, and the promise as an event."""
        order = ordered(facts, self.order, self.line)
        near_the_house(facts, "promised", self.promised)
        near_the_house(facts, "on", self.on)
        if self.promised and self.on and self.promised < self.on:
            raise BadCommandError(
                ("promised", f"{day(self.promised)} is before {day(self.on)}, when they said so.")
            )
        what = f"Line {self.line} on order {self.order}"
        was = f" (was {day(order.promised)})" if order.promised else ""
        changes = [edit(order, promised=self.promised)]
        changes += self._events(facts, order)
        if self.promised is None:
            return Work(changes, f"{what}: no promise any more{was}.")
        moved = _moved(facts, order.promised, self.promised)
        return Work(changes, f"{what}: promised {day(self.promised)}{was}{moved}.")

    def _events(self, facts: Facts, order: Order) -> list[Change]:
        """Return the promise as an event, and the first one too if it was none so far.

        The same day said again is a new word only where it is known when it was said. Nobody wrote
        down when the first was said, so it has no day.
        """
        held = [
            e
            for e in facts.where(Event, "line", self.line)
            if e.order == self.order and e.what in ("promised", "withdrawn")
        ]
        same = order.promised == self.promised
        if same and (self.promised is None or self.on is None):
            return []
        said: list[Event] = []
        if not held and order.promised is not None and not same:
            said.append(
                Event(id=next_event(facts), what="promised", order=self.order, line=self.line,
                      day=order.promised, note="as first promised")
            )  # fmt: skip
        said.append(
            Event(id=next_event(facts, len(said)), order=self.order, line=self.line, on=self.on,
                  what="withdrawn" if self.promised is None else "promised", day=self.promised,
                  note=self.note)
        )  # fmt: skip
        return [add(e) for e in said]


class RecordEvent(Command):
    """Record what happened to a line: drawings approved, shipped, damaged, claimed ...

    ``arrived`` is a receipt, as `receive` records it, and ``promised`` a promise.
    """

    command_name: ClassVar[str] = "record event"
    happened = ("on",)

    what: str
    line: Id
    order: str = Field(default="", max_length=80)
    on: date
    qty: int | None = Field(default=None, ge=1, le=100_000)
    day: date | None = None
    event: Id | None = None
    note: Text = ""

    def work(self, facts: Facts, past: Past) -> Work:
        """Return the event."""
        what = self.what.strip().lower()
        need(facts, Part, self.line, "line")
        near_the_house(facts, "on", self.on)
        order = self._order(facts, what)
        if what == "arrived":
            return self._arrived(facts, past, order)
        if what not in HAPPENINGS:
            said = ", ".join((*HAPPENINGS[:7], "arrived", *HAPPENINGS[7:]))
            raise BadCommandError(("what", f"“{self.what[:40]}” is not known: choose {said}."))
        if what in ("promised", "withdrawn"):
            if what == "promised" and self.day is None:
                raise BadCommandError(("day", "type the day that was promised."))
            promise = Promise(
                order=order, line=self.line, on=self.on, note=self.note,
                promised=self.day if what == "promised" else None,
            )  # fmt: skip
            return promise.work(facts, past)
        if self.day is not None:
            raise BadCommandError(("day", f"only a promise has a day; when it was {what} is “on”."))
        known: Happening = what
        return self._event(facts, known, order)

    def _order(self, facts: Facts, what: str) -> str:
        """Return the order: the one named, else the only one that the line is on."""
        if self.order:
            ordered(facts, self.order, self.line)
            return self.order
        on = [o.order for o in facts.where(Order, "line", self.line)]
        if what in BEFORE_AN_ORDER:
            return ""
        if len(on) != 1:
            said = f"it is on {', '.join(on[:8])}" if on else "it is on no order: place one first"
            raise BadCommandError(("order", f"name the order of line {self.line}; {said}."))
        return on[0]

    def _arrived(self, facts: Facts, past: Past, order: str) -> Work:
        if self.qty is None:
            raise BadCommandError(("qty", "type how many came."))
        receipt = RecordReceipt(
            order=order, line=self.line, qty=self.qty, on=self.on, note=self.note,
            receipt=self.event,
        )  # fmt: skip
        return receipt.work(facts, past)

    def _event(self, facts: Facts, what: Happening, order: str) -> Work:
        if what in COUNTED and self.qty is None:
            raise BadCommandError(("qty", f"type how many were {what}."))
        id = self.event or next_event(facts)
        if facts.find(Event, id) is not None:
            raise BadCommandError(("event", f"there is an event {id} already."))
        event = Event(
            id=id, what=what, order=order, line=self.line, qty=self.qty, on=self.on, note=self.note
        )
        where = f" of order {order}" if order else ""
        many = f"{self.qty} of {self.line}" if self.qty else f"line {self.line}"
        return Work([add(event)], f"{day(self.on)}: {many}{where} {what}.")


def next_event(facts: Facts, skip: int = 0) -> str:
    """Return the next free id of an event: E7 after E6."""
    numbers = [int(m[1]) for id in facts.ids(Event) if (m := re.fullmatch(r"E(\d{1,9})", id))]
    return f"E{max(numbers, default=0) + 1 + skip}"


def _moved(facts: Facts, was: date | None, now: date) -> str:
    """Return by how many working days of the house a promise moved, in words."""
    house = facts.find(House, HOUSE)
    if was is None or was == now or house is None:
        return ""
    try:
        rota = house_rota(house, facts.find(WorkCalendar, HOUSE))
        days = rota.calendar(house.site_start).between(was, now)
    except ValueError:  # beyond the calendar
        return ""
    way = "later" if days > 0 else "sooner"
    return f", {abs(days)} working day{'s' * (abs(days) != 1)} {way}" if days else ""
