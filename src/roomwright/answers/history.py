"""What makers and crews did so far, against what was promised and planned; and past 80 % days.

A delivery is what of one order was promised for one day and came on one day: the lines of an order
on one truck are one. Its days count from the order to the *first* promise, and to the day the last
of it came, in working days of the house; a later promise is a new word on the same order and no
delivery of its own. A promise that was moved is another quantity: of orders whose promise moved,
days count from the day it first moved to the day then named, and an order that moved is judged by
these. What came short has come: what is missing was forgotten. What is overdue is evidence too, of
all but itself. Below a day nothing is learned: dates are whole days.

What was said then is computed as of then: the days that were 80 % sure when an order was placed
come from the deliveries that had come by the day before, with the guess of today's figures.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from datetime import date
from itertools import pairwise
from typing import Final

from roomwright.answers import dates
from roomwright.answers.engine import Ask, query
from roomwright.answers.happened import Word, words_of
from roomwright.answers.rooms import figures_in_force
from roomwright.days import Calendar, HorizonError
from roomwright.job.entities import Event, Order, Part, Receipt
from roomwright.supply.calibration import Calibration, Quote, calibration
from roomwright.supply.learning import Belief, Delivery, Mixture, Open, of_class, with_open

SURE: Final = 0.8
"""The confidence at which past days are looked back on."""


@dataclass(frozen=True, slots=True)
class Again:
    """The promise to which one was first moved: the day it was given, and the day it named.

    `whole` are the days between them, and `took` those until it came [working days].
    """

    said: date
    promised: date
    whole: int
    took: int | None


@dataclass(frozen=True, slots=True)
class Consignment:
    """What of one order was promised for one day and came on one day, or has not come.

    `whole` are the days from the order to the first promise and `took` those to the site [working
    days]; `moved` counts later promises for another day by the as-of date, and `again` is the first
    of them, None where its days count for nothing.
    """

    order: str
    maker: str
    classes: tuple[str, ...]
    lines: tuple[str, ...]
    placed: date
    promised: date
    arrived: date | None
    whole: int
    took: int | None
    moved: int = 0
    again: Again | None = None


@dataclass(frozen=True, slots=True)
class Said:
    """What was 80 % sure when an order was placed [working days from it], and what came of it."""

    consignment: Consignment
    days: int
    quote: Quote
    guess: bool

    @property
    def kept(self) -> bool | None:
        """Whether it came by then; None while that day has not come."""
        if self.quote.actual is not None:
            return self.quote.actual <= self.quote.said
        return False if self.quote.so_far > self.quote.said else None


@dataclass(frozen=True, slots=True)
class History:
    """All deliveries by the as-of date, and what they make one believe."""

    guess: Belief
    consignments: tuple[Consignment, ...]
    beliefs: Mapping[tuple[str, str], Belief | Mixture]
    """(class, maker) -> what is believed of the maker's promises for the class."""

    def belief(self, part_class: str, maker: str) -> Belief | Mixture:
        """Return what is believed of a maker's promises for a class; else the guess."""
        return self.beliefs.get((part_class, maker), self.guess)

    def of_maker(self, maker: str) -> tuple[Consignment, ...]:
        """Return a maker's deliveries, open ones too."""
        return tuple(c for c in self.consignments if c.maker == maker)


@query("guess of promises")
def guess_of(ask: Ask) -> Belief:
    """Return what is believed of promises of nobody in particular, by the figures in force."""
    book = ask(figures_in_force, "")
    return Belief.prior(
        float(book.get("chance.promise").value) or 1.0,
        float(book.get("chance.promise_spread").value) or 0.01,
        float(book.get("chance.promise_strength").value) or 0.01,
    )


@query("consignments")
def consignments(ask: Ask) -> tuple[Consignment, ...]:
    """Return every delivery that came or is open by the as-of date, the earliest order first."""
    house, as_of = ask(dates.calendar), ask.as_of
    classes = {p.id: p.part_class for p in ask.all(Part)}
    events: dict[tuple[str, str], list[Event]] = {}
    for event in ask.all(Event):
        events.setdefault((event.order, event.line), []).append(event)
    last: dict[tuple[str, str], date] = {}
    undated: set[tuple[str, str]] = set()
    for receipt in ask.all(Receipt):
        key = receipt.order, receipt.line
        if receipt.on is None:
            undated.add(key)
        elif receipt.on <= as_of:
            last[key] = max(receipt.on, last.get(key, date.min))
    found: dict[tuple[object, ...], list[Order]] = {}
    told: dict[tuple[object, ...], tuple[Word, ...]] = {}
    for order in ask.all(Order):
        key = order.order, order.line
        words = tuple(
            w for w in words_of(order, events.get(key, ()))
            if w.day is not None and (w.on is None or w.on <= as_of)
        )  # fmt: skip
        days = [w.day for w in words]
        if order.placed is None or order.placed > as_of or not days or order.line not in classes:
            continue
        if key in undated and key not in last:
            continue
        truck = order.order, order.maker, order.placed, days[0], last.get(key)
        found.setdefault(truck, []).append(order)
        told[truck] = max(words, told.get(truck, ()), key=_moved)
    made = [
        one
        for truck, held in found.items()
        if (one := _consignment(held, truck[3], truck[4], classes, house, told[truck]))
    ]
    return tuple(sorted(made, key=lambda c: (c.placed, c.order, c.promised)))


def _consignment(
    held: list[Order], promised: object, arrived: object, classes: Mapping[str, str],
    house: Calendar, words: tuple[Word, ...],
) -> Consignment | None:  # fmt: skip
    first = held[0]
    placed = first.placed
    if placed is None or not isinstance(promised, date):
        return None
    came = arrived if isinstance(arrived, date) else None
    try:
        whole = house.between(placed, promised)
        took = house.between(placed, came) if came is not None else None
    except HorizonError:
        return None
    if whole <= 0 or (took is not None and took <= 0):
        return None  # over the counter
    of = tuple(dict.fromkeys(classes[o.line] for o in held))
    lines = tuple(o.line for o in held)
    return Consignment(first.order, first.maker, of, lines, placed, promised, came, whole, took,
                       _moved(words), _again(words, placed, came, house))  # fmt: skip


def _moved(words: tuple[Word, ...]) -> int:
    return sum(a.day != b.day for a, b in pairwise(words))


def _again(
    words: tuple[Word, ...], placed: date, came: date | None, house: Calendar
) -> Again | None:
    """Return the promise to which the first one was moved."""
    word = next((w for w in words if w.day != words[0].day), None)
    if word is None or word.day is None:
        return None
    said = max(word.on or placed, placed)
    try:
        whole = house.between(said, word.day)
        took = house.between(said, came) if came is not None else None
    except HorizonError:
        return None
    if whole <= 0 or (took is not None and took <= 0):
        return None
    return Again(said, word.day, whole, took)


def _count(one: Consignment, moved: bool) -> tuple[int, int | None, date, date] | None:
    """Return promised days, days taken, the day it was promised on and the day promised.

    A promise that was never moved stood to the end: it counts among the moved ones as well.
    """
    if not moved or not one.moved:
        return one.whole, one.took, one.placed, one.promised
    told = one.again
    return None if told is None else (told.whole, told.took, told.said, told.promised)


def believed(
    known: Iterable[Consignment], part_class: str, maker: str, guess: Belief, by: date,
    house: Calendar, moved: bool = False,
) -> Belief | Mixture:  # fmt: skip
    """Return what was believed on a day of a maker's promises for a class of parts.

    What other makers delivered of the class says where he begins; his own deliveries of any class
    correct it; what he had overdue on that day counts. `moved` asks of promises that were moved.
    """
    seen = [(c, n) for c in known if c.placed <= by and (n := _count(c, moved)) is not None]
    came = [
        (c, Delivery(whole, took or whole))
        for c, (whole, took, _, _) in seen
        if c.arrived is not None and c.arrived <= by
    ]
    others: dict[str, list[Delivery]] = {}
    for c, one in came:
        if part_class in c.classes and c.maker != maker:
            others.setdefault(c.maker, []).append(one)
    of = of_class(list(others.values()), guess, guess.strength) if others else guess
    if not maker:
        return of
    mine = of.after(one for c, one in came if c.maker == maker)
    late = [
        Open(whole, house.between(said, by))
        for c, (whole, _, said, promised) in seen
        if c.maker == maker and promised < by and (c.arrived is None or c.arrived > by)
    ]
    return with_open(mine, late)


@query("history")
def history(ask: Ask) -> History:
    """Return the deliveries so far, and what is believed of each maker for each class."""
    known, guess, house = ask(consignments), ask(guess_of), ask(dates.calendar)
    classes = {p.id: p.part_class for p in ask.all(Part)}
    pairs = {(classes[o.line], o.maker) for o in ask.all(Order) if o.line in classes}
    beliefs = {
        (part_class, maker): believed(known, part_class, maker, guess, ask.as_of, house)
        for part_class, maker in sorted(pairs)
    }
    return History(guess, known, beliefs)


@query("history for an order")
def of_order(ask: Ask, order: str, line: str) -> Belief | Mixture:
    """Return what is believed of the promise of an order: by all but itself.

    That it has not come is taken into account where its days are reckoned from now on, so it is no
    evidence beside that. One whose promise was moved is judged by promises that were moved.
    """
    past, part = ask(history), ask.find(Part, line)
    part_class = part.part_class if part else ""
    maker = next((o.maker for o in ask.where(Order, "line", line) if o.order == order), "")
    own = next((c for c in past.consignments if c.order == order and line in c.lines), None)
    if own is None:
        return past.belief(part_class, maker)
    moved, is_open = own.moved > 0, own.arrived is None
    if not moved and (not is_open or own.promised >= ask.as_of):
        return past.belief(part_class, maker)
    others = [c for c in past.consignments if c is not own or not is_open]
    house = ask(dates.calendar)
    return believed(others, part_class, maker, past.guess, ask.as_of, house, moved)


@query("said and done")
def said(ask: Ask) -> tuple[Said, ...]:
    """Return what was 80 % sure of each order on the day it was placed, and what became of it."""
    known, guess, house = ask(consignments), ask(guess_of), ask(dates.calendar)
    found = []
    for one in known:
        before = [_that_morning(c, one.placed) for c in known if c is not one]
        then = believed(before, one.classes[0], one.maker, guess, one.placed, house)
        days = one.whole * then.ratio(SURE)
        so_far = house.between(one.placed, ask.as_of)
        promised = -int(-days // 1)  # said in whole days
        quote = Quote(promised, one.took, max(0, so_far))
        found.append(Said(one, promised, quote, not then.is_history))
    return tuple(found)


def _that_morning(one: Consignment, day: date) -> Consignment:
    """Return a delivery as it was known on the morning of a day: what came that day had not."""
    return replace(one, arrived=None, took=None) if one.arrived == day else one


@query("past days that were 80 % sure")
def kept(ask: Ask) -> Calibration:
    """Return how the 80 % days of orders came true."""
    return calibration((s.quote for s in ask(said)), SURE)
