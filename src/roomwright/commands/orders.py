"""Commands on what is bought: place an order, record a receipt."""

from __future__ import annotations

import re
from collections.abc import Iterable
from datetime import date
from typing import ClassVar

from pydantic import BaseModel, ConfigDict, Field

from roomwright.answers.choices import undecided
from roomwright.commands.base import BadCommandError, Command, Past, Work, add, need
from roomwright.commands.progress import near_the_house
from roomwright.exchange.rows import short_id
from roomwright.job.entities import Id, Order, Part, Receipt, Text
from roomwright.job.facts import Change, Facts
from roomwright.job.rules_of_work import lost_of
from roomwright.job.words import day


class OrderLine(BaseModel):
    """A line of the plan and how many of it; without a number, what the plan still lacks."""

    model_config = ConfigDict(frozen=True, extra="forbid", str_strip_whitespace=True)

    line: Id
    qty: int | None = Field(default=None, ge=1, le=100_000)
    promised: date | None = None
    """Where this line is promised for another day than the order."""


class PlaceOrder(Command):
    """Place an order for lines of the plan with one maker."""

    command_name: ClassVar[str] = "place order"
    happened = ("placed",)

    order: str = Field(min_length=1, max_length=60)
    lines: tuple[OrderLine, ...] = Field(min_length=1, max_length=500)
    placed: date
    maker: Text = ""
    promised: date | None = None
    note: Text = ""

    def work(self, facts: Facts, past: Past) -> Work:
        """Return the order's lines."""
        near_the_house(facts, "placed", self.placed)
        changes: list[Change] = []
        for i, one in enumerate(self.lines):
            promised = one.promised or self.promised
            near_the_house(facts, "promised", promised)
            if promised and promised < self.placed:
                raise BadCommandError(
                    ("promised", f"{day(promised)} is before the order, {day(self.placed)}.")
                )
            part = need(facts, Part, one.line, f"lines.{i}.line")
            id = order_id(self.order, one.line)
            if facts.find(Order, id) is not None or id in {c.id for c in changes}:
                raise BadCommandError(
                    (f"lines.{i}.line", f"{one.line} is on order {self.order} already.")
                )
            order = Order(
                id=id, order=self.order, maker=self.maker, line=one.line, placed=self.placed,
                qty=_lacking(facts, part, i) if one.qty is None else one.qty,
                promised=promised, note=self.note,
            )  # fmt: skip
            changes.append(add(order))
        return Work(changes, self._sentence(changes) + _not_decided(facts, self.lines))

    def _sentence(self, changes: list[Change]) -> str:
        orders = [c.after for c in changes if isinstance(c.after, Order)]
        lines = ", ".join(f"{o.qty} of {o.line}" for o in orders[:4])
        more = f" and {len(orders) - 4} lines more" if len(orders) > 4 else ""
        maker = f" with {self.maker}" if self.maker else ""
        promised = f", promised {day(self.promised)}" if self.promised else ""
        return f"Order {self.order} placed{maker} on {day(self.placed)}: {lines}{more}{promised}."


class RecordReceipt(Command):
    """Record what came against an order line."""

    command_name: ClassVar[str] = "receive"
    happened = ("on",)

    order: Id
    line: Id
    qty: int = Field(ge=1, le=100_000)
    on: date
    receipt: Id | None = None
    """Its id; the next free one if not given."""
    note: Text = ""

    def work(self, facts: Facts, past: Past) -> Work:
        """Return the receipt."""
        order = ordered(facts, self.order, self.line)
        near_the_house(facts, "on", self.on)
        came = sum(r.qty for r in facts.where(Receipt, "line", self.line) if r.order == self.order)
        came -= lost_of(facts, self.order, self.line)
        if came + self.qty > order.qty:
            raise BadCommandError(
                ("qty", f"order {self.order} is for {order.qty} of {self.line} and {came} came "
                        f"already: {self.qty} more is too many. Check the count, or order more.")
            )  # fmt: skip
        id = self.receipt or _next_receipt(facts)
        if facts.find(Receipt, id) is not None:
            raise BadCommandError(("receipt", f"there is a receipt {id} already."))
        receipt = Receipt(
            id=id, order=self.order, line=self.line, qty=self.qty, on=self.on, note=self.note
        )
        left = order.qty - came - self.qty
        rest = f"{left} to come" if left else "all of it"
        return Work(
            [add(receipt)],
            f"Received {day(self.on)}: {self.qty} of {self.line} on order {self.order}, {rest}.",
        )


def order_id(order: str, line: str) -> str:
    """Return the id of an order line.

    >>> order_id("PO-7", "L001")
    'PO-7/L001'
    """
    return short_id(f"{order}/{line}")


def ordered(facts: Facts, order: str, line: str) -> Order:
    """Return an order line, or refuse in words."""
    found = facts.find(Order, order_id(order, line))
    if found is not None:
        return found
    lines = [o.line for o in facts.where(Order, "order", order)]
    if not lines:
        raise BadCommandError(("order", f"there is no order {order} here."))
    has = ", ".join(lines[:8]) + (" ..." if len(lines) > 8 else "")
    raise BadCommandError(("line", f"order {order} has no line {line}; it has {has}."))


def _not_decided(facts: Facts, lines: Iterable[OrderLine]) -> str:
    """Return what of an order nobody has decided yet: a warning, for it may be meant so."""
    parts = [p for one in lines if (p := facts.find(Part, one.line)) is not None]
    held = {c.id: c for p in parts for c in undecided(facts, p)}
    if not held:
        return ""
    said = "; ".join(f"{c.what} ({c.who or 'owner'})" for c in held.values())
    return f" Ordered though not decided yet: {said}."


def _lacking(facts: Facts, part: Part, i: int) -> int:
    got = sum(o.qty for o in facts.where(Order, "line", part.id))
    if part.qty <= got:
        raise BadCommandError(
            (f"lines.{i}.qty", f"the plan's {part.qty} of {part.id} are ordered already: say how "
                               "many more.")
        )  # fmt: skip
    return part.qty - got


def _next_receipt(facts: Facts) -> str:
    numbers = [int(m[1]) for id in facts.ids(Receipt) if (m := re.fullmatch(r"R(\d{1,9})", id))]
    return f"R{max(numbers, default=0) + 1}"
