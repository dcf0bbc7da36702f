"""Who works on which days: the house, its trades, the makers."""

from __future__ import annotations

from functools import reduce

from roomwright.answers.engine import Ask, query
from roomwright.days import Calendar, Rota
from roomwright.job.entities import House, Vendor, WorkCalendar
from roomwright.job.rules_of_calendars import HOUSE, house_rota, rota_of


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
    return {c.id.strip().lower(): c for c in ask.all(WorkCalendar) if c.id != HOUSE}


@query("calendar of a trade")
def of_trade(ask: Ask, trade: str) -> Calendar | None:
    """Return the days on which a trade works; None where it works by the house's.

    Where several trades do the work (tile / plumber) it goes on when all of them are there.
    """
    held = ask(own)
    name = trade.strip().lower()
    names = [name] if name in held else [each.strip() for each in name.split("/")]
    found = [rota_of(held[each], ask(rota)) for each in names if each in held]
    if not found:
        return None
    if len(found) < len(names):
        found.append(ask(rota))
    return _unless_the_house(ask, reduce(Rota.together, found))


@query("calendar of a maker")
def of_maker(ask: Ask, maker: str) -> Calendar | None:
    """Return the days on which a maker works; None where it works by the house's.

    Its vendor may name a calendar; else the one under its own name holds.
    """
    vendor = ask.find(Vendor, maker.strip())
    name = (vendor.calendar if vendor is not None else "") or maker
    held = ask(own).get(name.strip().lower())
    return None if held is None else _unless_the_house(ask, rota_of(held, ask(rota)))


def _unless_the_house(ask: Ask, said: Rota) -> Calendar | None:
    found = said.calendar(ask.fact(House, HOUSE).site_start)
    return None if found == ask(calendar) else found
