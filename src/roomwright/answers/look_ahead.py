"""The weeks ahead as the levelled plan has them, by crew and by room: for the wall."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from datetime import date, timedelta
from typing import Any, Final

from roomwright.answers import dates, orders
from roomwright.answers.crews import QUICK, CrewsAnswer, PlacedWork, crews
from roomwright.answers.engine import Ask, query
from roomwright.answers.sheet_cautions import ENDING, still_to_say
from roomwright.answers.today import today
from roomwright.days import Calendar, show_date
from roomwright.job.entities import Contact, Drying, House, Room
from roomwright.trades import key_of

WEEKS: Final = 3
EVERYWHERE: Final = "all"
NOBODY: Final = "nobody: waits and holds"


@dataclass(frozen=True, slots=True)
class Bar:
    """A piece of work on its days. `where` says which rooms, `who` which trades."""

    activity: str
    name: str
    where: str
    who: str
    first_day: date
    last_day: date
    state: str
    booked: bool
    waits: str


@dataclass(frozen=True, slots=True)
class Row:
    """A crew or a room with its work, the soonest first; `under` is whom to call."""

    key: str
    title: str
    under: str
    bars: tuple[Bar, ...]


@dataclass(frozen=True, slots=True)
class Lacking:
    """What a crew needs and is not on site."""

    line: str
    name: str
    room: str
    activity: str
    trade: str
    needed: date
    says: str


@dataclass(frozen=True, slots=True)
class LookAhead:
    """Some weeks of the plan. `days` are those on which anybody works."""

    house: str
    as_of: date
    first: date
    last: date
    days: tuple[date, ...]
    crews: tuple[Row, ...]
    rooms: tuple[Row, ...]
    lacking: tuple[Lacking, ...]
    closed: tuple[str, ...]
    cautions: tuple[str, ...]
    says: str
    ending: str = ENDING

    @property
    def span(self) -> str:
        """Its days in words.

        >>> LookAhead("", date(2027, 3, 29), date(2027, 3, 29), date(2027, 4, 16), (), (), (),
        ...           (), (), (), "").span
        'Mar 29 to Apr 16, 2027'
        """
        return f"{show_date(self.first)} to {show_date(self.last)}, {self.last.year}"

    def as_json(self) -> dict[str, Any]:
        """Return the documented fields."""
        return {
            "first_day": self.first.isoformat(),
            "last_day": self.last.isoformat(),
            "by_crew": [_row(row) for row in self.crews],
            "by_room": [_row(row) for row in self.rooms],
            "lacking": [
                {
                    "line": one.line,
                    "name": one.name,
                    "room": one.room,
                    "activity": one.activity,
                    "trade": one.trade,
                    "needed": one.needed.isoformat(),
                    "says": one.says,
                }
                for one in self.lacking
            ],
            "closed": list(self.closed),
            "cautions": [*self.cautions, self.ending],
        }


def _row(row: Row) -> dict[str, Any]:
    return {
        "key": row.key,
        "title": row.title,
        "call": row.under,
        "work": [
            {
                "activity": bar.activity,
                "name": bar.name,
                "where": bar.where,
                "who": bar.who,
                "first_day": bar.first_day.isoformat(),
                "last_day": bar.last_day.isoformat(),
                "state": bar.state,
                "booked": bar.booked,
                "waits_for": bar.waits,
            }
            for bar in row.bars
        ],
    }


@query("look-ahead")
def look_ahead(
    ask: Ask, first: date, weeks: int = WEEKS, later: int | None = 0, work: float = QUICK
) -> LookAhead:
    """Return the weeks from a day on, by crew and by room."""
    return built(ask(around), ask(crews, later, work), first, weeks)


@dataclass(frozen=True, slots=True)
class Around:
    """What a look ahead tells beside the plan: names, calendar, orders, cautions that are due.

    `due` holds the key and the words of each.
    """

    house: str
    rooms: tuple[tuple[str, str], ...]
    contacts: tuple[Contact, ...]
    drying: tuple[Drying, ...]
    calendar: Calendar
    lines: tuple[orders.OrderRow, ...]
    due: tuple[tuple[str, str], ...]


@query("around the look-ahead")
def around(ask: Ask) -> Around:
    """Return what a look ahead tells beside the plan."""
    return Around(
        house=ask.fact(House, "house").name,
        rooms=tuple((r.id, r.name or f"room {r.id}") for r in ask.all(Room)),
        contacts=ask.all(Contact),
        drying=ask.all(Drying),
        calendar=ask(dates.calendar),
        lines=tuple(r for r in ask(orders.orders).lines if r.need is not None),
        due=tuple((c.key, c.text.removesuffix(ENDING).strip()) for c in ask(today).cautions),
    )


def built(told: Around, plan: CrewsAnswer, first: date, weeks: int = WEEKS) -> LookAhead:
    """Return the weeks from a day on of a plan that was found already.

    Raises
    ------
    HorizonError
        for a day that is years away from the house
    """
    told.calendar.number(first)
    last = first + timedelta(days=7 * weeks - 1)
    names = dict(told.rooms)
    here = [w for w in plan.work if w.days and w.place.state != "done"
            and w.place.first_day <= last and w.place.last_day >= first]  # fmt: skip
    bars = {w.id: _bar(plan, w, names) for w in here}
    days = tuple(
        day
        for day in (first + timedelta(days=n) for n in range((last - first).days + 1))
        if told.calendar.is_working(day)
        or any(b.first_day == day or b.last_day == day for b in bars.values())
    )
    contacts = {key_of(c.id): c for c in told.contacts}
    lacking = tuple(_lacking(told.lines, here))
    wanted = [*(w.name for w in here), *(one.name for one in lacking)]
    return LookAhead(
        house=told.house,
        as_of=plan.as_of,
        first=first,
        last=max(days, default=last),
        days=days,
        crews=tuple(_by_crew(here, bars, contacts)),
        rooms=tuple(_by_room(here, bars, names)),
        lacking=lacking,
        closed=tuple(_closed(told.drying, plan, names, first, last)),
        cautions=tuple(
            dict.fromkeys(
                [
                    *(text for _, text in told.due),
                    *(c.text for c in still_to_say(wanted, (key for key, _ in told.due))),
                ]
            )
        ),
        says=plan.text,
    )


def _bar(plan: CrewsAnswer, work: PlacedWork, names: dict[str, str]) -> Bar:
    if EVERYWHERE in work.rooms:
        where = "whole house"
    else:
        rooms = [names.get(r, r) for r in work.rooms]
        where = ", ".join(rooms[:3]) + (f" and {len(rooms) - 3} more" if len(rooms) > 3 else "")
    waits = "; ".join(
        f"{h.limit}: {' and '.join(plan.names.get(b, b) for b in h.by) or 'closed'}"
        for h in work.place.held
    )
    return Bar(
        activity=work.id,
        name=work.name or work.id,
        where=where,
        who=" and ".join(work.trades),
        first_day=work.place.first_day,
        last_day=work.place.last_day,
        state=work.place.state,
        booked=work.booked == work.place.first_day,
        waits=waits,
    )


def _by_crew(
    here: Iterable[PlacedWork], bars: dict[str, Bar], contacts: dict[str, Contact]
) -> Iterator[Row]:
    by_trade: dict[str, list[Bar]] = {}
    titles: dict[str, str] = {}
    for work in here:
        for trade in work.trades or (NOBODY,):
            by_trade.setdefault(key_of(trade), []).append(bars[work.id])
            titles.setdefault(key_of(trade), trade)
    for trade, held in by_trade.items():
        contact = contacts.get(trade)
        under = "" if contact is None else " ".join(filter(None, (contact.name, contact.phone)))
        yield Row(trade, titles[trade], under, tuple(held))


def _by_room(
    here: Iterable[PlacedWork], bars: dict[str, Bar], names: dict[str, str]
) -> Iterator[Row]:
    """Yield the rooms with their work; those that have the same stand in one row."""
    by_room: dict[str, list[Bar]] = {}
    for work in here:
        for room in work.rooms or (EVERYWHERE,):
            by_room.setdefault(room, []).append(bars[work.id])
    same: dict[tuple[Bar, ...], list[str]] = {}
    for room in (EVERYWHERE, *names):
        if room in by_room:
            same.setdefault(tuple(by_room[room]), []).append(room)
    for held, rooms in same.items():
        titles = ("whole house" if r == EVERYWHERE else names[r] for r in rooms)
        ids = " ".join(r for r in rooms if r != EVERYWHERE)
        yield Row(ids or EVERYWHERE, ", ".join(titles), ids, held)


def _lacking(lines: Iterable[orders.OrderRow], here: Iterable[PlacedWork]) -> Iterator[Lacking]:
    """Yield what is not on site for work that has not begun, the soonest needed first."""
    needs = {w.id: w for w in here if w.place.state == "to do"}
    rows = [r for r in lines if r.need and r.need.activity in needs]
    rows.sort(key=lambda r: needs[r.need.activity].place.first_day if r.need else date.max)
    for row in rows:
        if row.need is None or row.state.state == "on hand":
            continue
        work = needs[row.need.activity]
        yield Lacking(
            line=row.line,
            name=row.name,
            room=row.room,
            activity=work.id,
            trade=" and ".join(work.trades),
            needed=work.place.first_day,
            says=row.state.text,
        )


def _closed(
    dried: Iterable[Drying],
    plan: CrewsAnswer,
    names: dict[str, str],
    first: date,
    last: date,
) -> Iterator[str]:
    """Yield the rooms that nobody may go into for some days."""
    work = {w.id: w for w in plan.work}
    for drying in dried:
        one = work.get(drying.id)
        if one is None:
            continue
        begins = one.place.last_day + timedelta(days=1)
        ends = one.place.last_day + timedelta(days=-int(-drying.days // 1))
        if begins <= last and ends >= first:
            rooms = ", ".join("the whole house" if r == EVERYWHERE else names.get(r, r)
                              for r in one.rooms)  # fmt: skip
            why = f" ({drying.note})" if drying.note else ""
            yield (f"Keep out of {rooms} {show_date(begins)} to {show_date(ends)}: "
                   f"{one.name or one.id}{why}.")  # fmt: skip
