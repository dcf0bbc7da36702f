"""What crews and rooms allow: how many of a trade at once, who shares a room, what dries."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, replace
from typing import Final

from roomwright import schedule
from roomwright.answers.calendars import comes, known
from roomwright.answers.engine import Ask, query
from roomwright.answers.whole_network import whole
from roomwright.crews import Limit, Use
from roomwright.days import Calendar, show_days
from roomwright.job.entities import Activity, Crew, Drying, Id, Room
from roomwright.trades import key_of, named

NOT_SUPPOSED: Final = frozenset({"builder", "owner", "all", "inspector", "vendor"})
"""Trades of which nobody supposes a single crew."""

WET: Final = frozenset({"tile", "drywall", "painter", "paint", "plaster", "stucco"})
"""Trades supposed to work wet where nobody said so [common practice]."""

SUPPOSED: Final = "common practice, nobody said otherwise"


@dataclass(frozen=True, slots=True)
class CrewLimits:
    """The limits of a house.

    `network` is the whole house with the days on which crews come; `supposed` holds the names of
    limits that nobody stated, `days_of` what is said of the days of some trades, `notes` what could
    not be taken as it was told.
    """

    limits: tuple[Limit, ...]
    network: schedule.Network
    supposed: frozenset[str]
    days_of: tuple[tuple[str, tuple[str, ...]], ...]
    notes: tuple[str, ...]


Trades = Mapping[Id, Mapping[str, str]]
"""The trades of each piece of work: keys, and how they are written there. All of them come."""


@query("crew limits")
def crew_limits(ask: Ask) -> CrewLimits:
    """Return the limits that facts state, and those supposed where nobody has."""
    work = [a for a in ask.all(Activity) if a.days_likely]
    crews = {key_of(c.id): c for c in ask.all(Crew)}
    trades: Trades = {a.id: named(a.trade, ask(known)) for a in work}
    supposed: set[str] = set()
    limits = [*_crews(trades, crews, supposed)]
    names = {r.id: r.name or f"room {r.id}" for r in ask.all(Room)}
    drying = {d.id: d for d in ask.all(Drying)}
    limits += _merged(_rooms(work, trades, crews, names, supposed))
    limits += _merged(_closed(work, drying, names))
    network, notes = _on_their_days(ask, work, trades, crews)
    return CrewLimits(
        tuple(limits),
        network,
        frozenset(supposed),
        tuple((key, c.days) for key, c in crews.items() if c.days),
        tuple(notes),
    )


def _crews(trades: Trades, crews: dict[str, Crew], supposed: set[str]) -> Iterator[Limit]:
    by_trade: dict[str, list[Use]] = {}
    written: dict[str, str] = {}
    for id, come in trades.items():
        for key, name in come.items():
            by_trade.setdefault(key, []).append(Use(id))
            written.setdefault(key, name)
    for key, uses in by_trade.items():
        said, trade = crews.get(key), written[key]
        if said is None and key in NOT_SUPPOSED:
            continue
        if said is not None and said.crews is None:
            continue
        most = 1 if said is None or said.crews is None else said.crews
        name = f"one {trade} crew" if most == 1 else f"{most} {trade} crews"
        if said is None:
            supposed.add(name)
        yield Limit(name, most, tuple(uses))


Place = tuple[str, Limit]
"""The name of a room and a limit in it, whose own name says what it is but not where."""


def _rooms(
    work: list[Activity],
    trades: Trades,
    crews: dict[str, Crew],
    names: dict[str, str],
    supposed: set[str],
) -> Iterator[Place]:
    """Yield who cannot share a room. Work in the whole house goes about: it counts in none."""
    for room, name in names.items():
        here = [a for a in work if room in a.rooms]
        wet = [a for a in here if any(_wet(t, crews) for t in trades[a.id])]
        if len(wet) > 1:
            limit = "one wet trade"
            if not any(t in crews and crews[t].wet for a in wet for t in trades[a.id]):
                supposed.add(limit)
            yield name, Limit(limit, 1, tuple(Use(a.id) for a in wet))
        picky = {a.id: _shares(trades[a.id], crews) for a in here}
        alone = [a for a in here if picky[a.id] == 1]
        if alone and len(here) > 1:
            uses = (Use(a.id, len(here) if picky[a.id] == 1 else 1) for a in here)
            yield name, Limit("one trade alone", len(here), tuple(uses))
        for one in here:
            most = picky[one.id]
            if most is not None and 1 < most < len(here):
                uses = (Use(a.id, len(here) - most + 1 if a is one else 1) for a in here)
                limit = f"{most} trades while {one.name or one.id} is done"
                yield name, Limit(limit, len(here), tuple(uses))


def _wet(trade: str, crews: dict[str, Crew]) -> bool:
    said = crews.get(trade)
    return trade in WET if said is None else said.wet == "yes"


def _shares(trades: Iterable[str], crews: dict[str, Crew]) -> int | None:
    said = [crews[t].a_room for t in trades if t in crews]
    return min((n for n in said if n is not None), default=None)


def _closed(
    work: list[Activity], drying: dict[str, Drying], names: dict[str, str]
) -> Iterator[Place]:
    """Yield the rooms that stay closed after work in them; of the whole house, for all."""
    for one in work:
        said = drying.get(one.id)
        if said is None:
            continue
        everywhere = "all" in one.rooms
        places = {"the house": work} if everywhere else {
            names.get(r, r): [a for a in work if r in a.rooms] for r in one.rooms
        }  # fmt: skip
        for name, here in places.items():
            if len(here) < 2:
                continue
            limit = f"closed {show_days(said.days)} after {one.name or one.id}"
            uses = (
                Use(a.id, len(here) if a is one else 1, said.days if a is one else 0) for a in here
            )
            yield name, Limit(limit, len(here), tuple(uses))


def _merged(places: Iterable[Place]) -> Iterator[Limit]:
    """Yield one limit for rooms in which the same work meets."""
    same: dict[tuple[str, int, tuple[Use, ...]], list[str]] = {}
    for name, limit in places:
        same.setdefault((limit.name, limit.most, limit.uses), []).append(name)
    for (what, most, uses), names in same.items():
        where = ", ".join(names[:3]) + (f" and {len(names) - 3} more" if len(names) > 3 else "")
        yield Limit(f"{where}: {what}", most, uses)


def _on_their_days(
    ask: Ask, work: list[Activity], trades: Trades, crews: dict[str, Crew]
) -> tuple[schedule.Network, list[str]]:
    """Return the whole network with work on the weekdays on which its crews come."""
    base = ask(whole).network
    made: dict[str, Calendar] = {}
    notes: list[str] = []
    for one in work:
        if one.id not in base.index or not any(
            t in crews and crews[t].days for t in trades[one.id]
        ):
            continue
        calendar = ask(comes, one.trade)
        if calendar is None:
            who = " and ".join(trades[one.id].values())
            notes.append(f"{one.id} {one.name}: there is no weekday on which {who} can be here; "
                         "their days are not kept.")  # fmt: skip
            continue
        made[one.id] = calendar
    if not made:
        return base, notes
    activities = (replace(a, calendar=made[a.id]) if a.id in made else a for a in base)
    return schedule.Network(activities, base.links), notes
