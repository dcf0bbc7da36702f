"""Who works on which days: the house, its trades, the makers."""

from __future__ import annotations

from dataclasses import replace
from functools import reduce

from roomwright.answers.engine import Ask, query
from roomwright.days import Calendar, Rota, weekday
from roomwright.job.entities import Contact, Crew, House, Vendor, WorkCalendar
from roomwright.job.rules_of_calendars import HOUSE, house_rota, rota_of
from roomwright.trades import key_of, trades_of


@query("rota of the house")
def rota(ask: Ask) -> Rota:
    """Return when the house works, as it is said."""
    return house_rota(ask.fact(House, HOUSE), ask.find(WorkCalendar, HOUSE))


@query("calendar")
def calendar(ask: Ask) -> Calendar:
    """Return the calendar of the house."""
    return ask(rota).calendar(ask.fact(House, HOUSE).site_start)


@query("own calendars")
def own(ask: Ask) -> dict[str, WorkCalendar]:
    """Return the calendars of trades and makers by their names in small letters."""
    return {key_of(c.id): c for c in ask.all(WorkCalendar) if c.id != HOUSE}


@query("trades known by their whole name")
def known(ask: Ask) -> frozenset[str]:
    """Return the keys of trades that have a phone, crews or a calendar under a name as a whole.

    So "heating and air" stays one trade where somebody is called for it by that name.
    """
    said = (*ask.all(Contact), *ask.all(Crew), *ask.all(WorkCalendar))
    return frozenset(key for one in said if len(trades_of(key := key_of(one.id))) > 1)


@query("calendar of a trade")
def of_trade(ask: Ask, trade: str) -> Calendar | None:
    """Return the days on which a trade works; None where it works by the house's.

    Where several trades do the work (tile / plumber) it goes on when all of them are there.
    """
    held = ask(own)
    names = trades_of(trade, ask(known))
    found = [rota_of(held[each], ask(rota)) for each in names if each in held]
    if not found:
        return None
    if len(found) < len(names):
        found.append(ask(rota))
    return _unless_the_house(ask, reduce(Rota.together, found))


@query("days on which crews come")
def comes(ask: Ask, trade: str) -> Calendar | None:
    """Return the days of work that names trades: their calendar, on weekdays on which all come.

    None where there is no weekday on which all of them can be here.
    """
    calendar_ = ask(of_trade, trade) or ask(calendar)
    names = trades_of(trade, ask(known))
    said = [c.days for c in ask.all(Crew) if c.days and key_of(c.id) in names]
    if not said:
        return calendar_
    both = frozenset(map(weekday, set.intersection(*map(set, said)))) & calendar_.work_week
    if not both:
        return None
    return replace(calendar_, work_week=both, half_week=calendar_.half_week & both)


@query("calendar of a maker")
def of_maker(ask: Ask, maker: str) -> Calendar | None:
    """Return the days on which a maker works; None where it works by the house's.

    Its vendor may name a calendar; else the one under its own name holds.
    """
    vendor = ask.find(Vendor, maker.strip())
    name = (vendor.calendar if vendor is not None else "") or maker
    held = ask(own).get(key_of(name))
    return None if held is None else _unless_the_house(ask, rota_of(held, ask(rota)))


def _unless_the_house(ask: Ask, said: Rota) -> Calendar | None:
    found = said.calendar(ask.fact(House, HOUSE).site_start)
    return None if found == ask(calendar) else found
