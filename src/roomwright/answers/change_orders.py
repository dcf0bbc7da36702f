"""A change order with what it does: to the work it touches, to move-in, to the parts.

What it does to move-in is found by supposing: the schedule with its days in the work against the
schedule without them. A change that was signed has its days in the work already, so it is the
schedule without them that is supposed; once that work is done, that can no longer be told.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from fractions import Fraction
from typing import Any

from roomwright import supply
from roomwright.answers.dates import DatesAnswer, calendar, dates, plain
from roomwright.answers.engine import Answers
from roomwright.answers.orders import OrderRow, orders
from roomwright.answers.sheet_cautions import ENDING, cautions
from roomwright.days import HorizonError, show_date, show_days
from roomwright.job.entities import Activity, ChangeOrder, House, PartClass, Progress, Room
from roomwright.job.facts import Change, Facts
from roomwright.job.people_facts import amount, dollars
from roomwright.job.words import number


@dataclass(frozen=True, slots=True)
class TouchedWork:
    """Work that a change touches: when it is, and what it has to spare [days]."""

    id: str
    name: str
    trade: str
    first_day: date
    last_day: date
    spare: float
    state: str
    takes_days: bool


@dataclass(frozen=True, slots=True)
class TouchedLine:
    """A line of parts that a change touches: its state, and what ordering it anew would do."""

    id: str
    name: str
    room: str
    qty: int
    state: str
    anew: str


@dataclass(frozen=True, slots=True)
class ChangeOrderAnswer:
    """A change order as its page and its paper say it.

    `with_it` and `without_it` are the last days worked [dates]; `moves` the working days by which
    the change moves the last one [days], None where that can't be told, and `why_not` then says
    why; `delay_cost` what those days cost, in money, where the house says what a day costs.
    """

    id: str
    title: str
    what: str
    reason: str
    price: Decimal | None
    days: int
    asked_by: str
    asked_on: date | None
    agreed_by: str
    agreed_on: date | None
    note: str
    with_it: date | None
    without_it: date | None
    moves: float | None
    delay_cost: Decimal | None
    work: tuple[TouchedWork, ...]
    lines: tuple[TouchedLine, ...]
    cautions: tuple[str, ...]
    ending: str
    why_not: str = ""

    @property
    def state(self) -> str:
        """Whether it was signed, in a word."""
        return "signed" if self.agreed_on else "not signed"

    @property
    def price_words(self) -> str:
        """What it adds, in words."""
        if self.price is None:
            return "no price yet"
        if self.price == 0:
            return "no change of price"
        return f"{dollars(self.price)}{' (a credit)' if self.price < 0 else ''}"

    @property
    def days_words(self) -> str:
        """What it adds to the work, in words."""
        if not self.days:
            return "no days of work"
        taker = next((w for w in self.work if w.takes_days), None)
        more = "more" if self.days > 0 else "fewer"
        to = f" for {taker.name}" if taker else ": the work that would take them is done"
        return f"{abs(self.days)} {'day' if abs(self.days) == 1 else 'days'} {more}{to}"

    @property
    def moves_words(self) -> str:
        """What it does to the end of the work, in words."""
        if self.moves is None:
            return self.why_not
        if self.with_it is None or self.without_it is None:
            return "This house has no activities yet, so nothing says what it does to move-in."
        was, now = show_date(self.without_it), show_date(self.with_it, self.without_it)
        if not self.moves:
            spare = next((w.spare for w in self.work if w.takes_days), None)
            why = ""
            if self.days > 0 and spare is not None:
                why = ": the work has days to spare that these use up"
            return f"The last day of work stays {was}{why}."
        verb = "later" if self.moves > 0 else "earlier"
        does = "costs" if self.moves > 0 else "saves"
        cost = f", which {does} {dollars(self.delay_cost)}" if self.delay_cost else ""
        n = show_days(abs(self.moves))
        return f"The last day of work is {now}, {n} {verb} than {was}{cost}."

    def as_json(self) -> dict[str, Any]:
        """Return the documented fields."""
        return {
            "id": self.id,
            "title": self.title,
            "state": self.state,
            "price": None if self.price is None else str(self.price),
            "days": self.days,
            "finish_with": self.with_it.isoformat() if self.with_it else None,
            "finish_without": self.without_it.isoformat() if self.without_it else None,
            "move_in_days": None if self.moves is None else plain(self.moves),
            "delay_cost": None if self.delay_cost is None else str(self.delay_cost),
            "agreed_by": self.agreed_by or None,
            "agreed_on": self.agreed_on.isoformat() if self.agreed_on else None,
            "activities": [w.id for w in self.work],
            "lines": [r.id for r in self.lines],
            "says": self.moves_words,
        }


def taker(facts: Facts, change: ChangeOrder) -> Activity | None:
    """Return the work that takes a change's days: the first of its activities not yet done.

    Of a signed one it is that which took them: as recorded, or the first not done on that day.
    """
    if change.taken_by:
        return facts.find(Activity, change.taken_by)
    for id in change.activities:
        told = facts.find(Progress, id)
        done = None if told is None else told.finished
        if done is None or (change.agreed_on and done > change.agreed_on):
            return facts.find(Activity, id)
    return None


def carried(facts: Facts, change: ChangeOrder, days: int) -> tuple[list[Change], str]:
    """Return the changes that put days into a change order's work; or what is wrong, in words.

    All three estimates move, and the days left of work that has begun. Nothing moves where all of
    its work is done.
    """
    work = taker(facts, change)
    if work is None or not days:
        return [], ""
    told = facts.find(Progress, work.id)
    left = told.days_left if told is not None else None
    if work.days_likely + days < 0 or (left is not None and left + days < 0):
        has = number(work.days_likely if left is None else left)
        return [], (
            f"{work.id} {work.name} has {has} days: {-days} fewer is less than none. Correct the "
            "days of the change order, or name other work."
        )
    moved = {
        f: max(getattr(work, f) + days, 0)
        for f in ("days_low", "days_likely", "days_high")
        if getattr(work, f) is not None
    }
    made = [Change("activity", work.id, work, work.model_copy(update=moved))]
    if told is not None and left is not None:
        then = told.model_copy(update={"days_left": left + days})
        made.append(Change("progress", told.id, told, then))
    return made, ""


def change_order(answers: Answers, id: str) -> ChangeOrderAnswer:
    """Return a change order with what it does.

    Raises
    ------
    MissingFactError
        if there is no such change order.
    """
    facts = answers.facts
    change = facts.get(ChangeOrder, id)
    now = answers.ask(dates)
    supposed, why_not = _supposed(answers, change)
    sign = 1 if change.agreed_on else -1
    moves = None if supposed is None else sign * (now.working_days - supposed.working_days)
    other = None if supposed is None else supposed.finish
    with_it, without = (now.finish, other) if change.agreed_on else (other, now.finish)
    if now.finish is None:
        moves, why_not = 0, ""
    cost = facts.get(House, "house").cost_per_day
    takes = taker(facts, change)
    rows = {a.id: a for a in now.activities}
    names = {r.id: r.name or r.id for r in facts.all(Room)}
    lines = [r for r in answers.ask(orders).lines if r.line in change.lines]
    work = tuple(
        TouchedWork(
            a.id, a.name or a.id, a.trade, a.first_day, a.last_day, a.dates.total_float,
            a.dates.state, takes is not None and takes.id == a.id,
        )
        for i in change.activities
        if (a := rows.get(i)) is not None
    )  # fmt: skip
    warned = _cautions(facts, change, lines, work)
    return ChangeOrderAnswer(
        id=change.id, title=change.title, what=change.what, reason=change.reason,
        price=change.price, days=change.days, asked_by=change.asked_by,
        asked_on=change.asked_on, agreed_by=change.agreed_by, agreed_on=change.agreed_on,
        note=change.note, with_it=with_it, without_it=without, moves=moves,
        why_not=why_not,
        delay_cost=amount(cost * abs(Fraction(str(moves)))) if cost and moves else None,
        work=work,
        lines=tuple(
            TouchedLine(r.line, r.name, names.get(r.room, r.room), r.qty, r.state.state,
                        _anew(answers, r))
            for r in lines
        ),
        cautions=warned, ending=ENDING,
    )  # fmt: skip


def change_orders(answers: Answers) -> tuple[ChangeOrderAnswer, ...]:
    """Return every change order: those that are not signed first, then the latest signed."""
    found = [change_order(answers, c) for c in answers.facts.ids(ChangeOrder)]
    signed = [c for c in found if c.agreed_on]
    signed.sort(key=lambda c: c.agreed_on or date.min, reverse=True)
    return (*(c for c in found if not c.agreed_on), *signed)


def _supposed(answers: Answers, change: ChangeOrder) -> tuple[DatesAnswer | None, str]:
    """Return the schedule with the days of an unsigned change, or without those of a signed one.

    None, and why, where that can't be supposed.
    """
    facts = answers.facts
    days = -change.days if change.agreed_on else change.days
    work = taker(facts, change)
    told = facts.find(Progress, work.id) if work is not None else None
    if change.agreed_on and days and work is not None and told is not None and told.finished:
        return None, (
            f"{work.name or work.id} took its days and was done {show_date(told.finished)}: what "
            "they moved can no longer be told."
        )
    made, wrong = carried(facts, change, days)
    if wrong and change.agreed_on and work is not None:
        return None, (
            f"{work.name or work.id} has fewer days left than it took from this: what they moved "
            "can no longer be told."
        )
    if wrong:
        return None, wrong
    return (answers.supposing(made).ask(dates) if made else answers.ask(dates)), ""


def _anew(answers: Answers, row: OrderRow) -> str:
    """Return what ordering a line anew on the day would do, where its lead time is known."""
    if row.need is None or row.lead.high_weeks is None or row.need.state == "done":
        return ""
    days, as_of = answers.ask(calendar), answers.as_of
    try:
        lands = supply.arrives(as_of, row.lead.high_weeks, days)
        found = supply.line_state(
            row.line, row.qty, row.need, row.lead, days, as_of, measure=row.measure,
            inspect_days=answers.facts.get(House, "house").inspect_days,
        )  # fmt: skip
    except HorizonError:
        return ""
    lead = f"up to {supply.weeks_words(row.lead.high_weeks)} weeks"
    said = f"Ordered anew today, {lead}, it lands by {show_date(lands, as_of)} (a guess)"
    if found.move_in_days > 0:
        return f"{said}: move-in slips {show_days(found.move_in_days)}, this line alone."
    if found.late_days > 0:
        return f"{said}: late, but move-in does not slip."
    return f"{said}: in time."


def _cautions(
    facts: Facts, change: ChangeOrder, lines: list[OrderRow], work: tuple[TouchedWork, ...]
) -> tuple[str, ...]:
    names = [c.name for r in lines if (c := facts.find(PartClass, r.part_class)) is not None]
    names += [w.name for w in work]
    names += [change.title, change.what]
    return tuple(c.text for c in cautions(names))
