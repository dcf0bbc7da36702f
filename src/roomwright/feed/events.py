"""The days that a calendar shows: order by, landing, inspection, visit.

What is overdue stands on the day that the feed is read for, and says since when: on the day it was
due nobody would look for it any more.

Names of people and firms, phone numbers, prices, notes and the house's own name stay out: whoever
has the address reads the feed. What is named is what is bought, the work, its trade, and rooms by
their numbers.
"""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date
from typing import Literal

from roomwright.answers import Answers
from roomwright.answers.calendars import known
from roomwright.answers.dates import dates
from roomwright.answers.happened import story
from roomwright.answers.orders import OrderRow, orders
from roomwright.answers.visits import INSPECTOR, called
from roomwright.days import show_date
from roomwright.job.entities import Activity, Order, PartClass
from roomwright.job.entities import Event as Happening
from roomwright.job.feeds import key_of

NO_VISIT = re.compile(r"\b(fabrication|acclimation|curing|drying)\b", re.IGNORECASE)
AT_THE_HOUSE = re.compile(r"\b(install|template|deliver|measure|inspect|set\b)", re.IGNORECASE)
"""Words of work for which nobody comes, and words by which somebody does after all."""

Kind = Literal["order by", "landing", "inspection", "visit"]


@dataclass(frozen=True, slots=True)
class Event:
    """One event, whole days from `first` to `last`.

    `key` is the same as long as it is the same thing: the orders of a class, what of a class comes
    on one order, one trade's piece of work; a day that moves leaves it.
    """

    key: str
    kind: Kind
    first: date
    last: date
    title: str
    detail: str


def events(answers: Answers) -> tuple[Event, ...]:
    """Return the events of a house that are still to come or still open, by day."""
    rows = answers.ask(orders).lines
    found = [*_to_order(answers, rows), *_landing(answers, rows), *_visits(answers)]
    return tuple(sorted(found, key=lambda e: (e.first, e.kind, e.title, e.key)))


def _to_order(answers: Answers, rows: Iterable[OrderRow]) -> Iterable[Event]:
    """Each class that is not ordered in full, on the earliest order-by date of its lines.

    If that is over, on the as-of day.
    """
    by_class: dict[str, list[OrderRow]] = {}
    for row in rows:
        if row.state.to_order and row.state.order_by and row.need and row.need.state != "done":
            by_class.setdefault(row.part_class, []).append(row)
    for part_class, lines in by_class.items():
        by = min(r.state.order_by for r in lines if r.state.order_by)
        on = max(by, answers.as_of)
        when = "Order by today" if on == by else f"Overdue since {show_date(by, on)}, order"
        count = sum(r.state.to_order for r in lines)
        needs = min(r.need.on for r in lines if r.need)
        yield Event(
            key_of("order by", part_class), "order by", on, on,
            f"{when}: {_counted(count, lines[0].name)}",
            f"{_rooms(r.room for r in lines)} Needed {show_date(needs, on)}.",
        )  # fmt: skip


def _landing(answers: Answers, rows: Iterable[OrderRow]) -> Iterable[Event]:
    """What of a class comes on one order, on the first day that is promised for any of it.

    If that is over and it is not here, on the as-of day.
    """
    lines = {r.line: r for r in rows}
    coming: dict[tuple[str, str], list[tuple[date, int, OrderRow]]] = {}
    for order in answers.facts.all(Order):
        row = lines.get(order.line)
        left = _promised(answers, order)
        if order.promised and left > 0 and row is not None:
            key = order.order, row.part_class
            coming.setdefault(key, []).append((order.promised, left, row))
    for (order_id, part_class), parts in coming.items():
        due = min(day for day, _, _ in parts)
        on = max(due, answers.as_of)
        first = [(n, row) for day, n, row in parts if day == due]
        later = sorted({day for day, _, _ in parts if day > due})
        more = f" More on {', '.join(show_date(d, on) for d in later)}." if later else ""
        name = answers.facts.get(PartClass, part_class).name or part_class
        when = "Lands" if on == due else f"Not here, promised {show_date(due, on)}"
        yield Event(
            key_of("landing", order_id, part_class), "landing", on, on,
            f"{when}: {_counted(sum(n for n, _ in first), name)}",
            f"{_rooms(row.room for _, row in first)}{more} Open and check it the same day.",
        )  # fmt: skip


def _promised(answers: Answers, order: Order) -> int:
    """Return how many pieces of an order line the promise that stands is for.

    They are those that never came. What was damaged or sent back is made anew, and only a promise
    given since then says when.
    """
    told = answers.ask(story, order.line).order(order.order)
    if told is None or not told.lost:
        return order.qty - (told.came if told else 0)
    harms = [
        e
        for e in answers.facts.where(Happening, "line", order.line)
        if e.order == order.order and e.what in ("damaged", "returned")
    ]
    said = told.words[-1].on if told.words else None
    since = said is not None and all(e.on is not None and e.on <= said for e in harms)
    return order.qty - (told.good if since else told.came)


def _visits(answers: Answers) -> Iterable[Event]:
    """Each piece of work that is not done, once for every trade that has to come."""
    for row in answers.ask(dates).activities:
        if row.dates.state == "done" or nobody_comes(row.name):
            continue
        work = answers.facts.get(Activity, row.id)
        rooms = "The whole house." if "all" in work.rooms else _rooms(work.rooms)
        name = row.name or row.id
        for trade in called(row.trade, answers.ask(known)).values():
            inspection = bool(INSPECTOR.search(trade))
            if row.days == 0 and not inspection:
                continue
            yield Event(
                key_of("visit", row.id, trade), "inspection" if inspection else "visit",
                row.first_day, max(row.first_day, row.last_day),
                f"Inspection: {name}" if inspection else f"{trade[:1].upper()}{trade[1:]}: {name}",
                rooms,
            )  # fmt: skip


def nobody_comes(name: str) -> bool:
    """Return whether work, by its name, goes on in a shop or by itself.

    >>> nobody_comes("Countertop fabrication"), nobody_comes("Template and fabrication")
    (True, False)
    """
    return bool(NO_VISIT.search(name)) and not AT_THE_HOUSE.search(name)


def _counted(count: int, name: str) -> str:
    return name if count == 1 else f"{count} {name}"


def _rooms(rooms: Iterable[str]) -> str:
    found = list(dict.fromkeys(rooms))
    if not found:
        return ""
    more = f" and {len(found) - 8} more" if len(found) > 8 else ""
    return f"Room{'s' if len(found) > 1 else ''} {', '.join(found[:8])}{more}."
