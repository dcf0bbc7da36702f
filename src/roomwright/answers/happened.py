"""What happened to a line of the plan: its promises and their moves, what came, what was lost."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace
from datetime import date, timedelta
from itertools import pairwise
from typing import Any

from roomwright.answers import dates
from roomwright.answers.engine import Ask, query
from roomwright.days import Calendar, HorizonError, show_date, show_days
from roomwright.job import pieces
from roomwright.job.entities import Event, Order, Receipt, Vendor
from roomwright.job.facts import natural


@dataclass(frozen=True, slots=True)
class Word:
    """A promise: the day they said it, the day they named. None: not written down, withdrawn."""

    on: date | None
    day: date | None


@dataclass(frozen=True, slots=True)
class OrderStory:
    """One order of a line: its promises in turn, and what is here of it.

    `moved` counts the changes of the promised day and `later` the working days between the first
    and the last one [days]; `lost` are the pieces damaged or returned, each once, `damaged` those
    that were damaged; `complete` is the day on which the last piece that was wanted came, None
    while any is missing or its day is not known.
    """

    order: str
    maker: str
    qty: int
    placed: date | None
    words: tuple[Word, ...]
    moved: int
    later: int
    came: int
    lost: int
    damaged: int
    complete: date | None
    claims: tuple[tuple[int | None, str], ...] = ()
    """Of damage: how many, and what is to be said of the claim."""

    @property
    def good(self) -> int:
        """Pieces here and good."""
        return max(0, self.came - self.lost)


@dataclass(frozen=True, slots=True)
class Happened:
    """One thing that happened, in words; `on` is None where nobody wrote the day down."""

    on: date | None
    what: str
    text: str
    order: str = ""

    def as_json(self) -> dict[str, Any]:
        """Return the documented fields."""
        return {
            "on": None if self.on is None else self.on.isoformat(),
            "what": self.what,
            "order": self.order,
            "text": self.text,
        }


@dataclass(frozen=True, slots=True)
class Story:
    """What happened to a line, the earliest first, and what the builder should know."""

    orders: tuple[OrderStory, ...]
    happened: tuple[Happened, ...]
    notes: tuple[str, ...]

    def said(self, id: str) -> date | None:
        """Return the day on which the promise of an order that stands was given."""
        one = self.order(id)
        if one is None:
            return None
        return max([w.on for w in one.words if w.on], default=one.placed)

    def order(self, id: str) -> OrderStory | None:
        """Return the story of one order."""
        return next((o for o in self.orders if o.order == id), None)


@query("happened")
def story(ask: Ask, line: str) -> Story:
    """Return what happened to a line by the as-of date."""
    as_of, house = ask.as_of, ask(dates.calendar)
    events = [e for e in ask.where(Event, "line", line) if e.on is None or e.on <= as_of]
    came = ask.where(Receipt, "line", line)
    placed = ask.where(Order, "line", line)
    orders = []
    for order in placed:
        one = _order(
            order, [e for e in events if e.order == order.order],
            [r for r in came if r.order == order.order], house,
        )  # fmt: skip
        vendor = ask.find(Vendor, one.maker)
        window = vendor.claim_days if vendor else None
        orders.append(replace(one, claims=tuple(_claims(one, events, came, window, as_of))))
    notes: list[str] = []
    for one in orders:
        notes += _moves(one, house, as_of)
        notes += [f"{n} of {one.order} damaged, {said}" for n, said in one.claims]
    told = [*_of_orders(orders, as_of), *_of_events(events, as_of), *_of_receipts(came)]
    told.sort(key=lambda h: h.on or date.min)
    return Story(tuple(orders), tuple(told), tuple(notes))


def words_of(order: Order, events: Iterable[Event]) -> tuple[Word, ...]:
    """Return the promises of an order line in turn; the last is the one on the order itself.

    >>> from roomwright.job.entities import Order
    >>> order = Order(id="P/L", order="P", line="L", qty=1, placed=date(2027, 3, 1),
    ...               promised=date(2027, 4, 1))
    >>> [w.day.isoformat() for w in words_of(order, [])]
    ['2027-04-01']
    """
    said = [e for e in events if e.what in ("promised", "withdrawn")]
    said.sort(key=lambda e: (e.on or order.placed or date.min, natural(e.id)))
    words = [Word(e.on, e.day) for e in said]
    if not words and order.promised is not None:
        words = [Word(order.placed, order.promised)]
    elif words and words[-1].day != order.promised:
        words.append(Word(None, order.promised))
    return tuple(words)


def _order(
    order: Order, events: list[Event], receipts: list[Receipt], house: Calendar
) -> OrderStory:
    words = words_of(order, events)
    days = [w.day for w in words if w.day is not None]
    changes = sum(a != b for a, b in pairwise(days))
    came = sum(r.qty for r in receipts)
    lost = pieces.told(receipts, events).lost
    damaged = sum(e.qty or 0 for e in events if e.what == "damaged")
    complete = None
    if came - lost >= order.qty and all(r.on for r in receipts):
        complete = max((r.on for r in receipts if r.on), default=None)
    later = 0
    if changes:
        try:
            later = house.between(days[0], days[-1])
        except HorizonError:
            later = 0
    return OrderStory(order.order, order.maker, order.qty, order.placed, words, changes, later,
                      came, lost, damaged, complete)  # fmt: skip


def _moves(one: OrderStory, house: Calendar, as_of: date) -> Iterator[str]:
    days = [w.day for w in one.words if w.day is not None]
    if one.words and one.words[-1].day is None:
        yield f"{one.order}: the promise was withdrawn; there is none now"
    if one.moved:
        times = "once" if one.moved == 1 else "twice" if one.moved == 2 else f"{one.moved} times"
        by = ""
        if one.later:
            way = "later" if one.later > 0 else "sooner"
            by = f", {show_days(abs(one.later)).replace('day', 'working day', 1)} {way}"
        yield (
            f"promise of {one.order} moved {times}{by}: from {show_date(days[0], as_of)} to "
            f"{show_date(days[-1], as_of)}"
        )


def _claims(
    one: OrderStory, events: list[Event], came: Iterable[Receipt], window: int | None, as_of: date
) -> Iterator[tuple[int | None, str]]:
    """Yield of damage that nobody has claimed by when it must be, and of claims that came late."""
    mine = [e for e in events if e.order == one.order]
    claims = sorted(e.on for e in mine if e.what == "claimed" and e.on)
    arrived = sorted(r.on for r in came if r.order == one.order and r.on)
    for event in (e for e in mine if e.what == "damaged"):
        before = [d for d in arrived if event.on is None or d <= event.on]
        last = before[-1] + timedelta(days=window) if before and window is not None else None
        claimed = next((d for d in claims if event.on is None or d >= event.on), None)
        if claimed is None:
            if last is None:
                yield event.qty, "not claimed: claim it; the vendor's window is not known"
            elif last < as_of:
                yield event.qty, f"not claimed: the window closed {show_date(last, as_of)}"
            else:
                yield event.qty, f"not claimed: claim by {show_date(last, as_of)}"
        elif last is not None and claimed > last:
            closed = f"after the window closed {show_date(last, as_of)}"
            yield event.qty, f"claimed {show_date(claimed, as_of)}: {closed}"


def _of_orders(orders: Iterable[OrderStory], as_of: date) -> Iterator[Happened]:
    for one in orders:
        who = f" from {one.maker}" if one.maker else ""
        promise = ""
        first = one.words[0] if one.words else None
        if first is not None and first.day is not None:
            promise = f", promised {show_date(first.day, as_of)}"
        yield Happened(one.placed, "ordered", f"{one.qty} ordered{who}{promise}", one.order)
        last = one.words[0] if one.words else None
        for word in one.words[1:]:
            if word.day is None:
                yield Happened(word.on, "withdrawn", "no promise any more", one.order)
            else:
                was = f" (was {show_date(last.day, as_of)})" if last and last.day else ""
                text = f"promised {show_date(word.day, as_of)}{was}"
                yield Happened(word.on, "promised", text, one.order)
            last = word


def _of_events(events: Iterable[Event], as_of: date) -> Iterator[Happened]:
    for event in events:
        if event.what not in ("promised", "withdrawn"):
            many = f"{event.qty} " if event.qty else ""
            note = f": {event.note}" if event.note else ""
            yield Happened(event.on, event.what, f"{many}{event.what}{note}", event.order)


def _of_receipts(receipts: Iterable[Receipt]) -> Iterator[Happened]:
    for one in receipts:
        note = f": {one.note}" if one.note else ""
        yield Happened(one.on, "arrived", f"{one.qty} came{note}", one.order)
