"""Whom to call: two weeks and two days ahead of each visit, and what to say."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, timedelta
from typing import Any, Literal

from roomwright.answers.dates import calendar, dates
from roomwright.answers.engine import Ask, query
from roomwright.answers.orders import OrderRow, orders
from roomwright.answers.rooms import figures_in_force
from roomwright.answers.visits import Visit, visits
from roomwright.days import Calendar, show_date, show_days
from roomwright.job.entities import Activity, Booking, Call, Contact, Link, Room
from roomwright.trades import key_of

Which = Literal["weeks ahead", "days ahead"]

AHEAD = 14
"""Calls that fall due within so many days stand on the list [days]."""


@dataclass(frozen=True, slots=True)
class PartFor:
    """A line that a visit needs: whether it is here, and else when it comes."""

    line: str
    name: str
    qty: int
    room: str
    here: bool
    said: str


@dataclass(frozen=True, slots=True)
class CallRow:
    """One call to make about a visit.

    `due` is the working day to call on; `why` says what there is to say first: that the day has
    moved, or what they said last time.
    """

    trade: str
    name: str
    phone: str
    which: Which
    due: date
    overdue: bool
    activity: str
    first_day: date
    last_day: date
    days: str
    work: tuple[str, ...]
    rooms: tuple[str, ...]
    ready: tuple[str, ...]
    here: tuple[PartFor, ...]
    missing: tuple[PartFor, ...]
    why: str

    def as_json(self) -> dict[str, Any]:
        """Return the documented fields. Phone numbers are facts of the house and stay in."""
        return {
            "trade": self.trade,
            "name": self.name,
            "phone": self.phone,
            "call": self.which,
            "due": self.due.isoformat(),
            "overdue": self.overdue,
            "activity": self.activity,
            "first_day": self.first_day.isoformat(),
            "last_day": self.last_day.isoformat(),
            "work": list(self.work),
            "rooms": list(self.rooms),
            "must_be_ready": list(self.ready),
            "parts_here": [p.line for p in self.here],
            "parts_missing": [p.line for p in self.missing],
            "says": self.why,
        }


@dataclass(frozen=True, slots=True)
class CallDay:
    """The calls of one day; `on` is None for those that should have been made before."""

    on: date | None
    calls: tuple[CallRow, ...]


@dataclass(frozen=True, slots=True)
class CallList:
    """The calls to make, those overdue first, and those made for visits that are still to come."""

    as_of: date
    early: int
    late: int
    days: tuple[CallDay, ...]
    made: tuple[tuple[Call, str], ...]

    @property
    def calls(self) -> tuple[CallRow, ...]:
        """All of them."""
        return tuple(c for day in self.days for c in day.calls)

    def as_json(self) -> dict[str, Any]:
        """Return the documented fields."""
        return {"calls": [c.as_json() for c in self.calls]}


def visit_of(work: Activity) -> str:
    """Return how a visit is called when nobody's name is known."""
    return work.trade or work.name or work.id


@query("call list")
def call_list(ask: Ask) -> CallList:
    """Return the calls that are due, or fall due within `AHEAD` days."""
    figures = ask(figures_in_force, "")
    early = int(figures.get("visit.call_early").value)
    late = int(figures.get("visit.call_late").value)
    as_of, maker = ask.as_of, _Maker(ask)
    rows = []
    for visit in ask(visits):
        row = maker.row(visit, early, late)
        if row is not None and row.due <= as_of + timedelta(days=AHEAD):
            rows.append(row)
    rows.sort(key=lambda c: (c.due, c.first_day, c.trade))
    groups = [CallDay(None, gone)] if (gone := tuple(c for c in rows if c.overdue)) else []
    for on in dict.fromkeys(c.due for c in rows if not c.overdue):
        groups.append(CallDay(on, tuple(c for c in rows if c.due == on and not c.overdue)))
    made = [
        (call, visit.trade)
        for visit in ask(visits)
        for call in reversed(maker.made(visit))
    ]  # fmt: skip
    return CallList(as_of, early, late, tuple(groups), tuple(made))


class _Maker:
    """Holds what every row is made of."""

    def __init__(self, ask: Ask) -> None:
        self.as_of = ask.as_of
        self.days: Calendar = ask(calendar)
        self.contacts = {key_of(c.id): c for c in ask.all(Contact)}
        self.names = {r.id: r.name or r.id for r in ask.all(Room)}
        self.rows = {a.id: a for a in ask(dates).activities}
        self.before: dict[str, list[str]] = {}
        for link in ask.all(Link):
            if link.kind == "finish to start":
                self.before.setdefault(link.after, []).append(link.before)
        self.parts: dict[str, list[OrderRow]] = {}
        for row in ask(orders).lines:
            if row.need is not None and row.qty:
                self.parts.setdefault(row.need.activity, []).append(row)
        self.booked = {b.id: b for b in ask.all(Booking)}
        self.calls: dict[str, list[Call]] = {}
        for call in sorted(ask.all(Call), key=lambda c: c.on):
            self.calls.setdefault(call.activity, []).append(call)

    def made(self, visit: Visit) -> list[Call]:
        """Return the calls about a visit, the oldest first: those about any of its work."""
        found = [c for a in visit.work for c in self.calls.get(a.id, ())]
        return sorted(found, key=lambda c: c.on)

    def told(self, visit: Visit) -> list[_Told]:
        """Return what was said about a visit, the oldest first: calls, and a day booked else."""
        made = [_Told(c.on, c.visit, c.said, c.day) for c in self.made(visit)]
        booking = self.booked.get(visit.first_work)
        if booking is not None and all(t.visit != booking.first_day for t in made):
            said = _Told(booking.on, booking.first_day, "booked", None)
            made.append(said)
            made.sort(key=lambda t: t.on or date.min)
        return made

    def row(self, visit: Visit, early: int, late: int) -> CallRow | None:
        """Return the next call about a visit; None once it begins, or all is said."""
        if visit.here or visit.first_day <= self.as_of:
            return None
        first = self._worked(visit.first_day - timedelta(days=early))
        last = self.days.add(visit.first_day, -late)
        told = self.told(visit)
        agreed = [c for c in told if _agrees(c, visit.first_day)]
        again = self._again(told[-1], visit) if told else ""
        close = self.days.add(last, -1)
        if any(c.on and c.on >= close for c in agreed) and not again:
            return None
        which: Which = "weeks ahead"
        due = first
        if self.as_of >= last or (agreed and not again):
            which, due = "days ahead", last
        if again and told:
            due = min(due, told[-1].on or due) if due < self.as_of else due
        return self._made(visit, which, due, again)

    def _again(self, call: _Told, visit: Visit) -> str:
        """Return why a call must be made again, in words; empty where it still holds."""
        if call.said == "booked" and not _agrees(call, visit.first_day):
            was, now = (show_date(d, self.as_of) for d in (call.visit, visit.first_day))
            return f"They are booked for {was}; the plan now says {now}."
        when = show_date(call.on, self.as_of) if call.on else ""
        if call.said == "no answer":
            return f"No answer on {when}."
        if _agrees(call, visit.first_day):
            return ""
        planned = show_date(visit.first_day, self.as_of)
        if call.said == "another day":
            can = f" can come {show_date(call.day, self.as_of)}" if call.day else " can't come then"
            asked = show_date(call.visit, self.as_of)
            return f"Asked on {when} for {asked}, they{can}. The plan now says {planned}."
        was = show_date(call.visit, self.as_of)
        return f"They were told {was} on {when}; the plan now says {planned}."

    def _made(self, visit: Visit, which: Which, due: date, why: str) -> CallRow:
        contact = self.contacts.get(key_of(visit.trade))
        to_do = [a for a in visit.work if a.dates.state == "to do"]
        lines = [r for a in to_do for r in self.parts.get(a.id, ())]
        told = [self._part(r, visit.first_day) for r in lines]
        long = self.days.between(visit.first_day, visit.last_day) + 1
        rooms = visit.rooms
        return CallRow(
            trade=visit.trade, name=contact.name if contact else "",
            phone=contact.phone if contact else "", which=which, due=due,
            overdue=due < self.as_of, activity=visit.first_work, first_day=visit.first_day,
            last_day=visit.last_day, days=show_days(long),
            work=tuple(a.name or a.id for a in to_do),
            rooms=("the whole house",) if "all" in rooms else tuple(
                self.names.get(r, r) for r in rooms),
            ready=tuple(self._ready(to_do[0].id, {a.id for a in visit.work})),
            here=tuple(p for p in told if p.here), missing=tuple(p for p in told if not p.here),
            why=why,
        )  # fmt: skip

    def _ready(self, first: str, own: set[str]) -> list[str]:
        """Return what must be done before they come, with its day."""
        found = []
        for id in self.before.get(first, ()):
            row = self.rows.get(id)
            if row is None or row.id in own or row.dates.state == "done":
                continue
            found.append(f"{row.name or row.id}, by {show_date(row.last_day, self.as_of)}")
        return found

    def _part(self, row: OrderRow, visit: date) -> PartFor:
        state = row.state
        here = state.received >= row.qty and state.state == "on hand"
        said = "here"
        if not here and state.arrives and state.on_order and state.state != "promise passed":
            late = ", after they come" if state.arrives > visit else ""
            said = f"promised {show_date(state.arrives, self.as_of)}{late}"
        elif not here:
            said = "not ordered" if state.to_order >= row.qty else state.state
        return PartFor(row.line, row.name, row.qty, self.names.get(row.room, row.room), here, said)

    def _worked(self, day: date) -> date:
        """Return the day, or the last working day before it."""
        while not self.days.is_working(day):
            day -= timedelta(days=1)
        return day


@dataclass(frozen=True, slots=True)
class _Told:
    """What was said about a visit, by a call or a booking (`said` is booked), and when."""

    on: date | None
    visit: date
    said: str
    day: date | None


def _agrees(call: _Told, first_day: date) -> bool:
    """Whether they said that they come on the day."""
    if call.said == "another day":
        return call.day == first_day
    return call.said in ("confirmed", "booked") and call.visit == first_day


def to_say(row: CallRow, as_of: date) -> list[str]:
    """Return what to say on a call, line by line."""
    last = "" if row.last_day == row.first_day else f" to {show_date(row.last_day, as_of)}"
    said = [f"Confirm {_day(row.first_day, as_of)}{last}, {row.days}: {'; '.join(row.work)}."]
    if row.rooms:
        said.append(f"In: {', '.join(row.rooms)}.")
    if row.ready:
        said.append(f"Ready before they come: {'; '.join(row.ready)}.")
    if row.missing:
        said.append(f"Not here yet: {_told(row.missing, said_of=True)}.")
    if row.here:
        said.append(f"Here: {_told(row.here)}.")
    return said


MOST_PARTS = 6
"""So many kinds of parts are named on a call; the rest are counted."""


def _told(parts: tuple[PartFor, ...], *, said_of: bool = False) -> str:
    """Return parts in words: alike ones together, with what is said of them."""
    alike: dict[tuple[str, str], int] = {}
    for p in parts:
        key = p.name, p.said if said_of else ""
        alike[key] = alike.get(key, 0) + p.qty
    named = [
        (name if n == 1 else f"{n} {name}") + (f" ({said})" if said else "")
        for (name, said), n in alike.items()
    ]
    more = f"; and {len(named) - MOST_PARTS} kinds more" if len(named) > MOST_PARTS else ""
    return "; ".join(named[:MOST_PARTS]) + more


def _day(on: date, as_of: date) -> str:
    return f"{on:%a} {show_date(on, as_of)}"
