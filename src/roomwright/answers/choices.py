"""What must be chosen: by whom, by when and why then, and what a late answer costs."""

from __future__ import annotations

import re
from dataclasses import dataclass
from datetime import date, timedelta
from decimal import Decimal
from fractions import Fraction
from typing import Any, Literal

from roomwright import supply
from roomwright.answers.dates import ActivityDates, calendar, dates, plain
from roomwright.answers.engine import Ask, query
from roomwright.answers.orders import OrderRow, orders
from roomwright.days import Calendar, HorizonError, show_date, show_days
from roomwright.job.entities import Choice, House, Part, Piece, Room
from roomwright.job.facts import Facts
from roomwright.job.people_facts import amount, dollars

State = Literal["decided", "open", "overdue"]

WEEKS_LATE = (0, 1, 2, 4)
"""What a late answer costs is told for so many weeks after the day."""

_PRICE = re.compile(r"[,:]?\s*([+-]?\s?\$\s?[+-]?[0-9][0-9,]*(?:\.[0-9]{1,2})?)\s*$")


@dataclass(frozen=True, slots=True)
class Option:
    """One thing there is to choose, and its price where it was told."""

    text: str
    price: Decimal | None


@dataclass(frozen=True, slots=True)
class Late:
    """An answer on a day, and what it costs: working days of move-in [days], and money."""

    on: date
    said: str
    days: float
    money: Decimal | None


@dataclass(frozen=True, slots=True)
class ChoiceRow:
    """One choice.

    `by` is the day that was given, else `last_safe`; `last_safe` is the day that the lines and the
    work ask for (None where nothing that waits has a day), and `chain` how it comes about, the
    latest day first. `late` is empty once it is decided. `room` is the one whose plan may stand
    beside it, empty where there is none.
    """

    id: str
    what: str
    who: str
    state: State
    by: date | None
    given: bool
    last_safe: date | None
    chain: tuple[tuple[date, str], ...]
    late: tuple[Late, ...]
    options: tuple[Option, ...]
    lines: tuple[str, ...]
    waits: tuple[str, ...]
    rooms: tuple[tuple[str, str], ...]
    room: str
    decided: date | None
    decision: str
    note: str

    def as_json(self) -> dict[str, Any]:
        """Return the documented fields."""
        return {
            "id": self.id,
            "what": self.what,
            "who": self.who,
            "state": self.state,
            "by": self.by.isoformat() if self.by else None,
            "given": self.given,
            "last_safe_day": self.last_safe.isoformat() if self.last_safe else None,
            "chain": [{"on": on.isoformat(), "says": said} for on, said in self.chain],
            "late": [
                {
                    "on": each.on.isoformat(),
                    "move_in_days": plain(each.days),
                    "cost": None if each.money is None else str(each.money),
                }
                for each in self.late
            ],
            "options": [
                {"text": o.text, "price": None if o.price is None else str(o.price)}
                for o in self.options
            ],
            "lines": list(self.lines),
            "decided": self.decided.isoformat() if self.decided else None,
            "decision": self.decision or None,
        }


def options_of(text: str) -> tuple[Option, ...]:
    """Return what there is to choose from, from one line of text.

    >>> [(o.text, o.price) for o in options_of("oak, $4,200; walnut: +$1,150.50; keep ours")]
    [('oak', Decimal('4200.00')), ('walnut', Decimal('1150.50')), ('keep ours', None)]
    """
    found = []
    for part in re.split(r"[;\n]", text):
        words = " ".join(part.split())
        if not words:
            continue
        price = _PRICE.search(words)
        try:
            money = amount(price[1].replace(" ", "")) if price else None
        except ValueError:
            price, money = None, None
        name = words[: price.start()].strip(" ,:") if price else words
        found.append(Option(name or words, money))
    return tuple(found)


@query("choices")
def choices(ask: Ask) -> tuple[ChoiceRow, ...]:
    """Return the choices: those not decided by their day, without one last; then the decided."""
    rows = {r.line: r for r in ask(orders).lines}
    by_class: dict[str, list[str]] = {}
    for row in rows.values():
        by_class.setdefault(row.part_class, []).append(row.line)
    work = {a.id: a for a in ask(dates).activities}
    names = {r.id: r.name or r.id for r in ask.all(Room)}
    placed = {p.line: p.room for p in ask.all(Piece) if p.line}
    maker = _Maker(ask(calendar), ask.fact(House, "house"), ask.as_of)
    found = []
    for choice in ask.all(Choice):
        ids = dict.fromkeys([*choice.lines, *by_class.get(choice.part_class or "", ())])
        lines = [rows[i] for i in ids if i in rows]
        found.append(_row(choice, lines, work.get(choice.activity or ""), maker, names, placed))
    found.sort(key=lambda c: (c.state == "decided", c.by or date.max))
    return tuple(found)


def undecided(facts: Facts, part: Part) -> list[Choice]:
    """Return the choices that hold a line of the plan: nobody has decided them."""
    return [
        c
        for c in facts.all(Choice)
        if not c.decided and (part.id in c.lines or (c.part_class or "") == part.part_class)
    ]


@dataclass(frozen=True, slots=True)
class _Waiting:
    """One thing that waits for a choice: by when it must be decided, and why then."""

    by: date
    why: tuple[tuple[date, str], ...]
    row: OrderRow | None = None
    work: ActivityDates | None = None


def _row(
    choice: Choice,
    lines: list[OrderRow],
    work: ActivityDates | None,
    maker: _Maker,
    names: dict[str, str],
    placed: dict[str, str],
) -> ChoiceRow:
    waiting = [w for r in lines if (w := maker.line(r)) is not None]
    if work is not None and work.dates.state == "to do":
        waiting.append(maker.before(work))
    first = min(waiting, key=lambda w: w.by, default=None)
    by = choice.by or (first.by if first else None)
    state: State = "open"
    if choice.decided:
        state = "decided"
    elif by is not None and maker.as_of > by:
        state = "overdue"
    rooms = tuple((r, names.get(r, r)) for r in dict.fromkeys(r.room for r in lines))
    drawn = [placed[r.line] for r in lines if r.line in placed]
    if not drawn and len(rooms) == 1:
        drawn = [rooms[0][0]]
    return ChoiceRow(
        id=choice.id, what=choice.what, who=choice.who or "owner", state=state, by=by,
        given=choice.by is not None, last_safe=first.by if first else None,
        chain=first.why if first else (),
        late=() if choice.decided or by is None else maker.late(by, waiting),
        options=options_of(choice.options), lines=tuple(r.line for r in lines),
        waits=tuple(_waits(lines, work)), rooms=rooms,
        room=drawn[0] if len(set(drawn)) == 1 else "",
        decided=choice.decided, decision=choice.decision, note=choice.note,
    )  # fmt: skip


def _waits(lines: list[OrderRow], work: ActivityDates | None) -> list[str]:
    counted: dict[str, int] = {}
    for row in lines:
        counted[row.name] = counted.get(row.name, 0) + row.qty
    said = [name if n == 1 else f"{n} {name}" for name, n in counted.items()]
    return [*said, work.name or work.id] if work is not None else said


@dataclass(frozen=True, slots=True)
class _Maker:
    """Turns what waits for a choice into days and money."""

    days: Calendar
    house: House
    as_of: date

    def line(self, row: OrderRow) -> _Waiting | None:
        """Return by when a line asks for its choice; None where nothing of it is left to order."""
        need = row.need
        if need is None or not row.state.to_order or need.state == "done":
            return None
        start = need.on, f"{need.name} can start"
        if row.state.order_by is None:
            by = self.days.add(need.on, -1)
            return _Waiting(by, (start, (by, "decided: nobody has said how long it takes to get")),
                            row)  # fmt: skip
        by = row.state.order_by
        if row.measure is not None:
            done = "was taken" if row.measure.done_on else "will be taken"
            measured = by, f"{row.measure.name}: the measure it is made to {done}, decided by then"
            return _Waiting(by, (start, measured), row)
        lead = supply.lead_days(row.lead.high_weeks or 0, self.days)
        inspect, reserve = self.house.inspect_days, supply.reserve_days(lead)
        here = self.days.add(need.on, -inspect)
        ordered = self.days.add(here, -lead)
        weeks = supply.weeks_words(row.lead.high_weeks or 0)
        why = [start]
        if inspect:
            why.append((here, f"here, with {show_days(inspect)} to open and check it"))
        why.append((ordered, f"ordered, as it can take {weeks} weeks to make and ship"))
        if reserve:
            why.append((by, f"decided, with {show_days(reserve)} in hand in case something goes "
                            "wrong"))  # fmt: skip
        return _Waiting(by, tuple(why), row)

    def before(self, work: ActivityDates) -> _Waiting:
        """Return by when work asks for its choice: the working day before it must start."""
        by = self.days.add(work.last_safe_start, -1)
        why = ((work.last_safe_start, f"{work.name or work.id} must start, or move-in slips"),
               (by, "decided"))  # fmt: skip
        return _Waiting(by, why, work=work)

    def late(self, by: date, waiting: list[_Waiting]) -> tuple[Late, ...]:
        """Return what answers on some days cost, from the day itself or today on."""
        start = max(by, self.as_of)
        said = "today" if start == self.as_of else "on the day"
        found = []
        for weeks in WEEKS_LATE:
            on = start + timedelta(weeks=weeks)
            words = said if not weeks else "a week later" if weeks == 1 else f"{weeks} weeks later"
            cost = max((self._days(w, on) for w in waiting), default=0.0)
            rate = self.house.cost_per_day
            money = None if rate is None else amount(round(rate * Fraction(str(cost)), 2))
            found.append(Late(on, words, cost, money))
        return tuple(found)

    def _days(self, waiting: _Waiting, on: date) -> float:
        """Return the days of move-in that an answer on a day costs one waiting thing."""
        if waiting.work is not None:
            gone = self.days.between(waiting.work.last_safe_start, on)
            return max(0.0, float(gone + self.days.is_working(on)))  # it begins the day after
        row = waiting.row
        if row is None or row.need is None:
            return 0.0
        if row.measure is not None:
            return max(0.0, self.days.between(row.measure.expected, on) - row.need.spare)
        try:
            return supply.line_state(
                row.line, row.qty, row.need, row.lead, self.days, on,
                inspect_days=self.house.inspect_days,
            ).move_in_days  # fmt: skip
        except HorizonError:
            return 0.0


def late_words(late: tuple[Late, ...], as_of: date) -> list[str]:
    """Return what a late answer costs, each in a line an owner can read."""
    said = []
    for each in late:
        day = show_date(each.on, as_of)
        if not each.days:
            said.append(f"{day}, {each.said}: costs no days.")
            continue
        money = f", {dollars(each.money, cents=False)}" if each.money else ""
        said.append(f"{day}, {each.said}: moves you in {show_days(each.days)} later{money}.")
    return said
