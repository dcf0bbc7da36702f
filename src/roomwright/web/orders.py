"""Orders: when things arrive against when they are needed; recording orders and receipts."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date
from typing import Annotated

from fastapi import APIRouter, Query, Request
from starlette.responses import Response

from roomwright.answers.line_chain import LineWay, line_way
from roomwright.answers.orders import OrderRow, OrdersAnswer, orders
from roomwright.job.entities import Order, Receipt, Room
from roomwright.job.facts import natural
from roomwright.supply import weeks_words
from roomwright.web.desk import AtDesk, AtHouse, HouseAt
from roomwright.web.house_page import house_page
from roomwright.web.order_decision import decided
from roomwright.web.orders_strip import strips
from roomwright.web.pages import day, working_days
from roomwright.web.trouble import NotHereError

router = APIRouter()

MARKS = {
    "on hand": "fits",
    "in time": "fits",
    "due": "measure",
    "can't be ordered yet": "measure",
    "left out": "short",
    "promise passed": "short",
    "late": "short",
    "order now": "short",
    "void": "blocked",
}
"""The mark that goes with each state."""

TO_ACT = ("order now", "late", "void", "promise passed", "left out", "can't be ordered yet", "due")
"""States that ask for something, gravest first."""

MOST_LINES = 400


@dataclass(frozen=True, slots=True)
class Group:
    """The lines of one state."""

    state: str
    mark: str
    rows: tuple[OrderRow, ...]
    days: float


def groups(rows: Iterable[OrderRow]) -> list[Group]:
    """Return the lines by state, gravest state first, dearest line first."""
    held: dict[str, list[OrderRow]] = {}
    for row in rows:
        held.setdefault(row.state.state, []).append(row)
    order = [*TO_ACT, "in time", "on hand"]
    found = []
    for state in sorted(held, key=order.index):
        lines = sorted(held[state], key=_dearest)
        dearest = max(row.state.move_in_days for row in lines)
        found.append(Group(state, MARKS[state], tuple(lines), dearest))
    return found


def _dearest(row: OrderRow) -> tuple[float, date, tuple[tuple[int, int | str], ...]]:
    return -row.state.move_in_days, row.state.order_by or date.max, natural(row.line)


def asked_for(found: OrdersAnswer, lines: str, room: str) -> list[OrderRow]:
    """Return the lines of the address's question: some by id, one room's, or all."""
    wanted = {one.strip() for one in lines.split(",") if one.strip()}
    return [
        row
        for row in found.lines
        if (not wanted or row.line in wanted) and (not room or row.room == room)
    ]


@router.get("/h/{house}/orders")
def page_of_orders(
    request: Request, at: AtHouse, desk: AtDesk, lines: str = "", room: str = "", show: str = "",
    by: str = "", page: Annotated[int, Query(ge=1, le=10_000)] = 1,
) -> Response:  # fmt: skip
    """When things arrive, and every line by its true state."""
    found = at.answers.ask(orders)
    rows = asked_for(found, lines, room)
    shown = rows if show == "all" or lines or room else [r for r in rows if r.state.state in TO_ACT]
    names = {r.id: r.name or r.id for r in at.answers.facts.all(Room)}
    return house_page(
        request, desk, at, "orders.html", here="Orders",
        groups=groups(shown), names=names, total=len(rows),
        strips=strips(at, rows if by else shown, each=bool(lines), by=by, page=page), by=by,
        count=len(shown), lines=lines, room=room, show=show, marks=MARKS,
        ordering=[r for r in rows if r.state.to_order] if lines else [],
        next_order=next_order(at), makers=makers(at),
        maker=next((r.makers[0] for r in rows if r.makers), "") if lines else "",
    )  # fmt: skip


@router.get("/h/{house}/orders/{line}")
def page_of_line(request: Request, at: AtHouse, desk: AtDesk, line: str) -> Response:
    """One line: its true state and why, what was ordered and came, and the forms for both."""
    found = at.answers.ask(orders)
    row = next((r for r in found.lines if r.line == line), None)
    if row is None:
        raise NotHereError(f"There is no line {line} in this house.",
                           [("All lines", f"{at.at}/orders?show=all")])  # fmt: skip
    facts = at.answers.facts
    placed = facts.where(Order, "line", line)
    came = facts.where(Receipt, "line", line)
    way = at.answers.ask(line_way, line)
    names = {r.id: r.name or r.id for r in facts.all(Room)}
    return house_page(
        request, desk, at, "order_line.html", here="Orders", row=row,
        decided=decided(request, at, line),
        mark_of=MARKS[row.state.state], placed=placed, came=came, names=names,
        reasons=reasons(row, at.as_of), strips=strips(at, [row], each=True, width=720.0),
        waiting=[(o, o.qty - _here(way, o.order)) for o in placed], way=way,
        happenings=HAPPENED,
        next_order=next_order(at), makers=makers(at), maker=row.makers[0] if row.makers else "",
    )  # fmt: skip


HAPPENED = {
    "decided": "it is decided", "submitted": "drawings went in", "approved": "drawings approved",
    "acknowledged": "they have the order", "shipped": "it left them", "damaged": "damaged",
    "returned": "sent back", "claimed": "damage claimed", "installed": "installed",
    "withdrawn": "no promise any more",
}  # fmt: skip
"""What can be recorded of a line, in a builder's words."""


def _here(way: LineWay, order: str) -> int:
    """Return the good pieces of an order that are here."""
    one = way.story.order(order)
    return one.good if one else 0


def reasons(row: OrderRow, as_of: date) -> list[tuple[str, str]]:
    """Return why a line is in its state: the inputs, the rule, the source."""
    said = [("Now", " ".join(f"{f.text}." for f in row.state.findings))]
    if row.notes:
        said.append(("Mind", " ".join(f"{note}." for note in row.notes)))
    if row.need:
        spare = working_days(row.need.spare)
        said.append((
            "Needed",
            f"{day(row.need.on, as_of)}, when {row.need.activity} {row.need.name} can start; "
            f"last safe day {day(row.need.last_safe, as_of)} ({spare} to spare). From the network, "
            "both passes.",
        ))  # fmt: skip
    if row.measure:
        done = (
            f"done {day(row.measure.done_on, as_of)}"
            if row.measure.done_on
            else f"expected {day(row.measure.expected, as_of)}"
        )
        of = f"{row.measure.activity} {row.measure.name}".strip()
        said.append(("Made to a measure", f"{of}, {done}."))
    if row.lead.high_weeks is not None:
        low = "?" if row.lead.low_weeks is None else weeks_words(row.lead.low_weeks)
        basis = row.lead.basis or "no source noted"
        said.append((
            "Lead time", f"{low} to {weeks_words(row.lead.high_weeks)} weeks ({basis}): "
            "a guess, not history."
        ))  # fmt: skip
    if row.state.order_by:
        said.append((
            "Order by", f"{day(row.state.order_by, as_of)}: the need, less the high lead, less the "
            "days to receive and inspect, less a reserve of half the lead (ten working days at "
            "most). "
            "Common practice of small builders; a promise is taken as it stands.",
        ))  # fmt: skip
    if row.state.late_days:
        guess = ", as if ordered today at the high lead: a guess" if row.state.guess else ""
        said.append((
            "Move-in", f"{working_days(row.state.late_days)} late{guess}, less what the work has "
            f"to spare: move-in slips {working_days(row.state.move_in_days)}, this line alone.",
        ))  # fmt: skip
    return said


def next_order(at: HouseAt) -> str:
    """Return an order number that is free, after the last one of the same make.

    Orders of a house are mostly numbered in a row; a builder may type another.
    """
    taken = sorted({o.order for o in at.answers.facts.all(Order)}, key=natural)
    if not taken:
        return "PO-1"
    last = taken[-1]
    digits = len(last) - len(last.rstrip("0123456789"))
    if not digits or digits > 9:
        return ""
    head, number = last[:-digits], int(last[-digits:])
    while f"{head}{number:0{digits}d}" in taken:
        number += 1
    return f"{head}{number:0{digits}d}"


def makers(at: HouseAt) -> list[str]:
    """Return who was ordered from before."""
    return sorted({o.maker for o in at.answers.facts.all(Order) if o.maker})
