"""Rules of calendars, and of the dates that hold an activity."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence

from roomwright.days import Closing, Rota, weekday
from roomwright.job.entities import Activity, House, WorkCalendar
from roomwright.job.errors import Problem
from roomwright.job.facts import Change, Facts
from roomwright.job.words import day

Fault = tuple[str, str, str]
"""Field, what is wrong, what to do."""

HOUSE = "house"
DATES = ("not_before", "promised_by", "hold_until")
YEARS_BEFORE, MOST_YEARS = 5, 10
"""Dates farther than this from the start are a slip of the pen: calendars end soon after."""


def house_rota(house: House, own: WorkCalendar | None) -> Rota:
    """Return when the house works: its week and days off, and what its calendar adds."""
    week = frozenset(map(weekday, house.work_week))
    off = tuple(Closing(d, d) for d in house.days_off)
    if own is None:
        return Rota(week, closed=off)
    said = own.rota
    return Rota(
        (said.work_week if own.work_week else week) | said.half_week,
        said.half_week,
        said.holidays,
        (*off, *said.closed),
        said.mornings,
    )


def rota_of(own: WorkCalendar, house: Rota) -> Rota:
    """Return when a trade or maker works, with what they follow of the house."""
    if own.follows_house == "no":
        return own.rota
    said = own.rota
    if not own.work_week:  # the house's week, with their own mornings
        said = Rota(
            house.work_week | said.half_week,
            house.half_week | said.half_week,
            said.holidays,
            said.closed,
            said.mornings,
        )
    return said.within(house)


def faults_of_calendar(
    own: WorkCalendar, house: House, held: WorkCalendar | None
) -> Iterator[Fault]:
    """Yield what is wrong with a calendar: hardly a day worked in a year."""
    rota = house_rota(house, own if own.id == HOUSE else held)
    if own.id != HOUSE:
        rota = rota_of(own, rota)
    year = rota.idle_year(house.site_start)
    if year is not None:
        yield "closed", f"leaves hardly a working day in {year}", "take out some of the days off"


def faults_of_holds(activity: Activity, house: House) -> Iterator[Fault]:
    """Yield what is wrong with the dates that hold an activity."""
    start = house.site_start
    for field in DATES:
        held = getattr(activity, field)
        if held is not None and not -YEARS_BEFORE < (held - start).days / 365 < MOST_YEARS:
            wrong = f"{held} is many years from the start of work"
            yield field, wrong, f"check its year: work starts on {house.site_start}"
    begins, due = activity.not_before, activity.promised_by
    if begins and due and due < begins:
        wrong = f"is promised by {day(due)}, before the {day(begins)} on which it may start"
        yield "promised_by", wrong, "correct one of the two dates"


def calendars_make_sense(facts: Facts, changes: Sequence[Change]) -> Iterator[Problem]:
    """Everybody works some days of each year."""
    house = facts.find(House, HOUSE)
    if house is None:
        return
    held = facts.find(WorkCalendar, HOUSE)
    looked: Iterable[WorkCalendar] = [c.after for c in changes if isinstance(c.after, WorkCalendar)]
    if any(c.kind == House.kind_name or c.id == HOUSE for c in changes):
        looked = facts.all(WorkCalendar)
    for own in looked:
        for field, wrong, do in faults_of_calendar(own, house, held):
            yield Problem("calendar", own.id, field, f"calendar {own.id} {wrong}: {do}.")


def holds_make_sense(facts: Facts, changes: Sequence[Change]) -> Iterator[Problem]:
    """The dates that hold an activity do not contradict each other."""
    house = facts.find(House, HOUSE)
    for c in changes:
        if house is not None and isinstance(c.after, Activity):
            for field, wrong, do in faults_of_holds(c.after, house):
                yield Problem("activity", c.id, field, f"activity {c.id}: {wrong}: {do}.")


calendar_rules = (calendars_make_sense, holds_make_sense)
