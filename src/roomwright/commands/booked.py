"""What stands against a day that was agreed with a crew: a day off, or work that comes first."""

from __future__ import annotations

from datetime import date, timedelta

from roomwright.answers import Answers
from roomwright.answers.calendars import comes
from roomwright.answers.dates import dates
from roomwright.job.entities import Activity
from roomwright.job.facts import Facts
from roomwright.job.words import day

LOOKED = 120
"""So far ahead the next day of work is looked for [days]."""


def against(facts: Facts, activity: Activity, first_day: date, on: date | None) -> str:
    """Return in words why nobody can begin on a day; empty where nothing is known against it.

    Parameters
    ----------
    on
        the day on which it was agreed; what comes first is looked at as things stood then
    """
    answers = Answers(facts, as_of=on or first_day)
    found = [_day_off(answers, activity.trade, first_day)]
    if on is not None and on <= first_day:
        found.append(_too_soon(answers, activity.id, first_day))
    said = [each for each in found if each]
    return f" {' '.join(said)} Kept all the same." if said else ""


def _day_off(answers: Answers, trade: str, first_day: date) -> str:
    calendar = answers.ask(comes, trade)
    if calendar is None or calendar.is_working(first_day):
        return ""
    later = (first_day + timedelta(days=n) for n in range(1, LOOKED))
    then = next((d for d in later if calendar.is_working(d)), None)
    again = f": the next day of work is {then:%A}, {then:%b} {then.day}" if then else ""
    whose = trade or "the house"
    return f"{first_day:%A}, {first_day:%b} {first_day.day} is a day off of {whose}{again}."


def _too_soon(answers: Answers, id: str, first_day: date) -> str:
    row = next((r for r in answers.ask(dates).activities if r.id == id), None)
    if row is None or row.dates.state != "to do" or row.first_day <= first_day:
        return ""
    driven = [
        f"{other.id} {other.name}".strip()
        for each in row.dates.driven_by[:2]
        if (other := answers.facts.find(Activity, each)) is not None
    ]
    after = f", after {' and '.join(driven)}" if driven else ""
    return f"As things stand it can't start before {day(row.first_day)}{after}."
