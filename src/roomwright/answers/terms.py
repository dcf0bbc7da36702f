"""Days and terms as they hold now, in words: who works on which days, what makers' terms are."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from itertools import pairwise
from typing import Final

from roomwright.answers import calendars
from roomwright.answers.engine import Ask, query
from roomwright.days import Calendar, Closing, Rota, holiday_sets, holidays, show_date, weekday
from roomwright.job.entities import Activity, Crew, Order, Vendor, WorkCalendar
from roomwright.job.rules_of_calendars import HOUSE, rota_of
from roomwright.trades import key_of, named

AHEAD: Final = 183
"""Days off are told so far ahead [days]."""
MOST_OFF: Final = 4
DAYS: Final = ("Mon", "Tue", "Wed", "Thu", "Fri", "Sat", "Sun")


@dataclass(frozen=True, slots=True)
class Days:
    """When somebody works.

    Attributes
    ----------
    id : str
        the trade, the maker, or ``house``
    of : str
        ``house``, ``trade`` or ``maker``
    words : tuple of str
        the calendar of their own; of a trade or maker empty where they work by the house's
    off : tuple of str
        the next days off that would be worked in a usual week, the soonest first
    """

    id: str
    of: str
    words: tuple[str, ...]
    off: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Maker:
    """A maker or seller: its terms, and the orders that are placed with it."""

    id: str
    told: Vendor | None
    orders: tuple[str, ...]
    days: Days


def week(days: Iterable[int]) -> str:
    """Return weekdays in words.

    >>> week({0, 1, 2, 3, 4}), week({0, 2, 5}), week({5})
    ('Mon to Fri', 'Mon, Wed, Sat', 'Sat')
    """
    held = sorted(days)
    if len(held) > 2 and all(b - a == 1 for a, b in pairwise(held)):
        return f"{DAYS[held[0]]} to {DAYS[held[-1]]}"
    return ", ".join(DAYS[d] for d in held)


def closing(one: Closing, near: date) -> str:
    """Return a closing in words.

    >>> closing(Closing.read("every 12-24 to 01-01"), date(2027, 3, 29))
    'Dec 24 to Jan 1 each year'
    """
    first, last = (
        f"{d:%b} {d.day}" if one.yearly else show_date(d, near) for d in (one.first, one.last)
    )
    run = first if one.first == one.last else f"{first} to {last}"
    return f"{run} each year" if one.yearly else run


def in_words(rota: Rota, near: date) -> tuple[str, ...]:
    """Return a rota in words.

    >>> in_words(Rota(holidays=("usual six",)), date(2027, 3, 29))
    ('Mon to Fri', 'off: the six days on which most sites rest')
    """
    said = [week(rota.work_week)]
    if rota.half_week:
        said.append(f"until noon on {week(rota.half_week)}")
    for key in rota.holidays:
        title = holiday_sets()[key].title
        said.append(f"off: {title[:1].lower()}{title[1:]}" if key != "federal" else f"off: {title}")
    if rota.closed:
        said.append(f"off: {', '.join(closing(c, near) for c in rota.closed)}")
    if rota.mornings:
        said.append(f"until noon: {', '.join(closing(c, near) for c in rota.mornings)}")
    return tuple(said)


def days_off(
    calendar: Calendar, near: date, sets: Sequence[str] = (), most: int = MOST_OFF
) -> tuple[str, ...]:
    """Return the next days off in words, runs as one, with the holiday's name where it is known.

    Days that are never worked in a usual week are left out.
    """
    names = holidays(sets, near.year, near.year + 1)
    runs: list[list[date]] = []
    for n in range(AHEAD):
        day = near + timedelta(days=n)
        if day.weekday() not in calendar.work_week or day not in calendar.days_off:
            continue
        if runs and rests_between(calendar, runs[-1][-1], day):
            runs[-1].append(day)
        elif len(runs) < most:
            runs.append([day])
        else:
            break
    return tuple(_run(run, names, near) for run in runs)


def rests_between(calendar: Calendar, first: date, last: date) -> bool:
    """Return whether no day between two is worked."""
    between = ((first + timedelta(days=n)) for n in range(1, (last - first).days))
    return not any(calendar.is_working(day) for day in between)


def _run(run: Sequence[date], names: Mapping[date, object], near: date) -> str:
    first, last = run[0], run[-1]
    said = f"{DAYS[first.weekday()]} {show_date(first, near)}"
    if last != first:
        said += f" to {DAYS[last.weekday()]} {show_date(last, near)}"
    called = [name for d in run if (name := getattr(names.get(d), "name", ""))]
    return f"{said} ({', '.join(dict.fromkeys(called))})" if called else said


@query("days of the house, its trades and its makers")
def days(ask: Ask) -> tuple[Days, ...]:
    """Return when everybody works: the house, then trades, then makers, each by name."""
    rota = ask(calendars.rota)
    off = days_off(ask(calendars.calendar), ask.as_of, rota.holidays)
    house = Days(HOUSE, "house", in_words(rota, ask.as_of), off)
    makers = ask(makers_known)
    trades = ask(trades_known)
    return (
        house,
        *(_of(ask, name, "trade") for name in trades),
        *(_of(ask, name, "maker") for name in makers),
    )


@query("makers of the house")
def makers_known(ask: Ask) -> tuple[str, ...]:
    """Return the makers of orders and the vendors, and calendars of neither trade nor maker."""
    found: dict[str, str] = {}
    for name in (*(v.id for v in ask.all(Vendor)), *(o.maker.strip() for o in ask.all(Order))):
        found.setdefault(key_of(name), name)
    trades = {key_of(t) for t in ask(trades_known)}
    for one in ask.all(WorkCalendar):
        if one.id != HOUSE and key_of(one.id) not in trades:
            found.setdefault(key_of(one.id), one.id)
    return tuple(sorted((n for n in found.values() if n), key=str.lower))


@query("trades of the house")
def trades_known(ask: Ask) -> tuple[str, ...]:
    """Return the trades that activities and crews name."""
    found: dict[str, str] = {}
    known = ask(calendars.known)
    for one in ask.all(Activity):
        for key, name in named(one.trade, known).items():
            found.setdefault(key, name)
    for crew in ask.all(Crew):
        found.setdefault(key_of(crew.id), crew.id)
    return tuple(sorted(found.values(), key=str.lower))


@query("makers and their terms")
def makers(ask: Ask) -> tuple[Maker, ...]:
    """Return who makes or sells, with terms and orders."""
    told = {key_of(v.id): v for v in ask.all(Vendor)}
    orders: dict[str, list[str]] = {}
    for order in ask.all(Order):
        numbers = orders.setdefault(key_of(order.maker), [])
        if order.order not in numbers:
            numbers.append(order.order)
    by_name = {d.id: d for d in ask(days) if d.of == "maker"}
    return tuple(
        Maker(name, told.get(key_of(name)), tuple(orders.get(key_of(name), ())), by_name[name])
        for name in ask(makers_known)
    )


def _of(ask: Ask, name: str, of: str) -> Days:
    vendor = ask.find(Vendor, name) if of == "maker" else None
    own = ask(calendars.own).get(key_of((vendor.calendar if vendor else "") or name))
    words: list[str] = []
    sets: tuple[str, ...] = ask(calendars.rota).holidays
    if own is not None:
        rota = rota_of(own, ask(calendars.rota))
        sets = rota.holidays
        words += _own_words(own, rota, ask.as_of)
        if key_of(own.id) != key_of(name):
            words.append(f"the calendar {own.id}")
    crew = next((c for c in ask.all(Crew) if of == "trade" and key_of(c.id) == key_of(name)), None)
    if crew is not None and crew.days:
        words.append(f"comes on {week(map(weekday, crew.days))} only")
    calendar = ask(calendars.comes, name) if of == "trade" else ask(calendars.of_maker, name)
    return Days(
        name, of, tuple(words), days_off(calendar or ask(calendars.calendar), ask.as_of, sets)
    )


def _own_words(own: WorkCalendar, rota: Rota, near: date) -> tuple[str, ...]:
    """Return what a calendar of a trade or maker says, and whether the house's days off hold."""
    said = own.rota
    words = in_words(
        Rota(rota.work_week, said.half_week, said.holidays, said.closed, said.mornings), near
    )
    if own.follows_house == "no":
        return (*words, "not the house's days off")
    return (*words, "and the house's days off")
