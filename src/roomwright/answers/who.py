"""Who is where: the work of a day, room by room, with whom to call."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date, timedelta
from typing import Any

from roomwright.answers.dates import calendar, dates, network
from roomwright.answers.engine import Ask, query
from roomwright.job.entities import Contact, Progress, Room
from roomwright.trades import key_of, named

MOST_DAYS = 28
"""So many days are shown at once."""

EVERYWHERE = "all"
"""What an activity names instead of rooms when it is in the whole house."""


@dataclass(frozen=True, slots=True)
class Here:
    """An activity on a day: what is done, by whom, where, and from when to when.

    `state` is done, started or to do; `people` are (trade, name, phone) of each trade that is
    known.
    """

    activity: str
    name: str
    trade: str
    people: tuple[tuple[str, str, str], ...]
    rooms: tuple[str, ...]
    state: str
    first_day: date
    last_day: date
    critical: bool

    def within(self, room: str) -> bool:
        """Whether it is in a room; what is in the whole house is in each."""
        return room in self.rooms or EVERYWHERE in self.rooms

    def as_json(self) -> dict[str, Any]:
        """Return the documented fields."""
        return {
            "activity": self.activity,
            "name": self.name,
            "trade": self.trade,
            "people": [{"trade": t, "name": n, "phone": p} for t, n, p in self.people],
            "rooms": list(self.rooms),
            "state": self.state,
            "first_day": self.first_day.isoformat(),
            "last_day": self.last_day.isoformat(),
            "critical": self.critical,
        }


@dataclass(frozen=True, slots=True)
class DayHere:
    """A day: whether the site works on it, and the work that goes on."""

    on: date
    works: bool
    here: tuple[Here, ...]

    def within(self, room: str) -> tuple[Here, ...]:
        """Return the work in a room."""
        return tuple(one for one in self.here if one.within(room))

    @property
    def everywhere(self) -> tuple[Here, ...]:
        """The work in the whole house."""
        return tuple(one for one in self.here if EVERYWHERE in one.rooms)

    @property
    def nowhere(self) -> tuple[Here, ...]:
        """The work that names no room."""
        return tuple(one for one in self.here if not one.rooms)


@dataclass(frozen=True, slots=True)
class WhoAnswer:
    """The work of some days, and the names of the rooms in it."""

    as_of: date
    days: tuple[DayHere, ...]
    names: tuple[tuple[str, str], ...]

    def as_json(self, room: str = "") -> dict[str, Any]:
        """Return the documented fields; of one room only if it is given."""
        return {
            "days": [
                {
                    "on": day.on.isoformat(),
                    "works": day.works,
                    "activities": [
                        one.as_json() for one in (day.within(room) if room else day.here)
                    ],
                }
                for day in self.days
            ]
        }


@query("who is where")
def who(ask: Ask, first: date, count: int = 1) -> WhoAnswer:
    """Return the work of `count` days from `first` on: as recorded, else as planned.

    On a day off of its crew nobody is there but those of whom it was recorded that they began or
    ended on it.

    Raises
    ------
    HorizonError
        for a day that is years away from the house
    """
    house, net = ask(calendar), ask(network)
    house.number(first)
    told = {p.id: p for p in ask.all(Progress)}
    contacts = {c.id: c for c in ask.all(Contact)}
    rows = ask(dates).activities
    days = []
    for on in (first + timedelta(days=i) for i in range(max(1, min(count, MOST_DAYS)))):
        works = house.is_working(on)
        here = []
        for row in rows:
            if not row.first_day <= on <= row.last_day or row.days == 0:
                continue
            progress = told.get(row.id)
            own = net[row.id].calendar
            there = works if own is None else own.is_working(on)
            if not there and (progress is None or on not in (progress.started, progress.finished)):
                continue
            here.append(Here(
                row.id, row.name, row.trade, people(row.trade, contacts), row.rooms,
                row.dates.state, row.first_day, row.last_day, row.dates.critical,
            ))  # fmt: skip
        days.append(DayHere(on, works, tuple(here)))
    return WhoAnswer(ask.as_of, tuple(days), tuple((r.id, r.name or r.id) for r in ask.all(Room)))


def people(trade: str, contacts: Mapping[str, Contact]) -> tuple[tuple[str, str, str], ...]:
    """Return trade, name and phone of everyone a trade names; drywall/laborer names two.

    >>> people("Drywall/Laborer", {"laborer": Contact(id="laborer", name="Bo", phone="555-0100")})
    (('Laborer', 'Bo', '555-0100'),)
    """
    have = {key_of(c.id): c for c in contacts.values()}
    return tuple(
        (name, have[key].name, have[key].phone)
        for key, name in named(trade, have).items()
        if key in have
    )
