"""An activity's own page: its dates, what drives it and what it drives, parts, people, history."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from fastapi import APIRouter, Request
from starlette.responses import Response

from roomwright import supply
from roomwright.answers import sheet_cautions
from roomwright.answers.calendars import known
from roomwright.answers.chances_model import WorkChance
from roomwright.answers.crew_history import crews
from roomwright.answers.dates import ActivityDates, calendar, dates
from roomwright.answers.orders import OrderRow, orders
from roomwright.answers.sheet_cautions import ENDING
from roomwright.answers.today import built_in, site_work
from roomwright.answers.who import people
from roomwright.commands.network_links import in_words, waits
from roomwright.job.entities import Activity, Contact, Link, Progress, Room
from roomwright.job.facts import Facts
from roomwright.job.journal import Entry
from roomwright.trades import named
from roomwright.web.desk import AtDesk, AtHouse, Desk, HouseAt
from roomwright.web.house_page import house_page
from roomwright.web.network_picture import work_page
from roomwright.web.orders import MARKS
from roomwright.web.simulations import quick, simulations
from roomwright.web.trouble import NotHereError

router = APIRouter()

MOST_HISTORY = 40
LOOKED_AT = 500
"""So many entries of the journal are looked at for the history of one activity."""


@dataclass(frozen=True, slots=True)
class Tied:
    """A link of the activity: the other one, the link in words, whether it sets a start."""

    other: ActivityDates
    link: Link
    words: str
    drives: bool
    at: str


def tied(at: HouseAt, id: str) -> tuple[list[Tied], list[Tied]]:
    """Return what the activity waits for and what waits for it, what drives first."""
    facts = at.answers.facts
    rows = {r.id: r for r in at.answers.ask(dates).activities}

    def one(link: Link, other: str) -> Tied:
        drives = link.before in rows[link.after].dates.driven_by
        words = f"{'it ' if link.after == id else ''}{waits(link, 'this')}"
        return Tied(rows[other], link, words, drives, work_page(at, other))

    before = [one(k, k.before) for k in facts.where(Link, "after", id)]
    after = [one(k, k.after) for k in facts.where(Link, "before", id)]
    order = lambda t: (not t.drives, t.other.first_day, t.other.id)  # noqa: E731
    return sorted(before, key=order), sorted(after, key=order)


def history(desk: Desk, house: str, id: str) -> tuple[list[Entry], str]:
    """Return the entries that changed the activity, its progress or its links, newest first.

    With them what is to be said of those that are not here.
    """
    looked = desk.store.last(house, LOOKED_AT)
    found = [
        entry
        for entry in looked
        if any(_about(change.kind, change.before or change.after, id) for change in entry.changes)
    ]
    said = ""
    if len(found) > MOST_HISTORY:
        said = f"The last {MOST_HISTORY} are shown."
    elif len(looked) == LOOKED_AT:
        said = f"Those of the last {LOOKED_AT} entries of the journal; it may hold older ones."
    return found[:MOST_HISTORY], said


def _about(kind: str, fact: object, id: str) -> bool:
    if isinstance(fact, Link):
        return id in (fact.before, fact.after)
    return kind in ("activity", "progress") and getattr(fact, "id", None) == id


def why(row: ActivityDates, before: list[Tied], facts: Facts) -> list[tuple[str, str]]:
    """Return the reasons behind the dates."""
    drivers = [in_words(facts, t.link) for t in before if t.drives]
    return [
        ("Driven by", "; ".join(drivers) if drivers else
         "nothing before it: the start of the site, the as-of date, or what was recorded"),
        ("Days", f"{row.days:g} likely, as said of it"),
        ("Rule", "both passes over the network at the likely days, on the house calendar, with "
                 "what was recorded; days to spare are late start less early start"),
    ]  # fmt: skip


def needing(at: HouseAt, id: str) -> tuple[list[OrderRow], list[OrderRow]]:
    """Return the lines that the activity needs, and those made to a measure taken in it."""
    rows = at.answers.ask(orders).lines
    return (
        [r for r in rows if r.need is not None and r.need.activity == id],
        [r for r in rows if r.measure is not None and r.measure.activity == id],
    )


def cautions(at: HouseAt, fact: Activity, done: bool, parts: Iterable[str]) -> dict[str, str]:
    """Return what can hurt someone in this activity, with the source of each.

    They are the cautions of the house that are about it, near or not, and those that its own
    words, its trade and its parts ask for.
    """
    ask, facts = at.answers.ask, at.answers.facts
    house = supply.cautions(
        ask(site_work), built_in(facts), ask(calendar), at.as_of, ahead=None
    )  # fmt: skip
    found = {c.text: c.source for c in house if fact.id in c.activities}
    if not done:
        own = sheet_cautions.cautions([fact.name, fact.trade, *parts])
        found |= {f"{c.text} {ENDING}": c.source for c in own}
    return found


def chance(request: Request, at: HouseAt, fact: Activity) -> tuple[WorkChance | None, str]:
    """Return how sure the activity's dates are, where that is known in a blink, and its rule."""
    if not quick(at.answers.facts):
        return None, ""
    found = simulations(request).of(at).found
    if found is None:
        return None, ""
    return next((w for w in found.work if w.id == fact.id), None), rule(at, fact, found.samples)


def rule(at: HouseAt, fact: Activity, samples: int) -> str:
    """Return how a chance was found, and whether days that were said or history stand behind it."""
    paces = at.answers.ask(crews).paces
    learned = [
        f"the pace of {name} in its {paces[key].deliveries} works so far"
        for key, name in named(fact.trade, at.answers.ask(known)).items()
        if key in paces and paces[key].is_history
    ]
    rests = f", its own times {' and '.join(learned)}" if learned else ": a guess, not history"
    return (
        f"the whole network with its lead chains, worked through {samples:,} times with the days "
        f"that were said of each{rests}"
    )


@router.get("/h/{house}/work/{activity}")
def page_of_activity(request: Request, at: AtHouse, desk: AtDesk, activity: str) -> Response:
    """Show one activity."""
    facts = at.answers.facts
    fact = facts.find(Activity, activity)
    if fact is None:
        raise NotHereError(f"There is no activity {activity} in this house.",
                           [("All work", f"{at.at}/work?show=all")])  # fmt: skip
    row = next(r for r in at.answers.ask(dates).activities if r.id == activity)
    before, after = tied(at, activity)
    needs, measured = needing(at, activity)
    names = {r.id: r.name or r.id for r in facts.all(Room)}
    sure, how = chance(request, at, fact)
    done, older = history(desk, at.id, activity)
    return house_page(
        request, desk, at, "activity.html", one=fact, row=row, before=before, after=after,
        told=facts.find(Progress, activity), needs=needs, measured=measured, marks=MARKS,
        names=names, why=why(row, before, facts),
        cautions=cautions(at, fact, row.dates.state == "done", [r.name for r in needs]),
        people=people(fact.trade, {c.id: c for c in facts.all(Contact)}),
        chance=sure, rule=how, history=done, older=older,
        me=work_page(at, activity),
    )  # fmt: skip
