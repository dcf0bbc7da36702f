"""Calendars leave days to work on, are somebody's, and dates that hold an activity agree."""

from __future__ import annotations

from collections.abc import Iterator

from roomwright.exchange.rules.broken import Broken, Lacks
from roomwright.job.entities import Activity, House, Order, Vendor, WorkCalendar
from roomwright.job.facts import Facts
from roomwright.job.rules_of_calendars import HOUSE, faults_of_calendar, faults_of_holds
from roomwright.trades import key_of, trades_of


def calendars(facts: Facts, lacks: Lacks) -> Iterator[Broken]:
    """Yield what is wrong with calendars and with the dates that hold activities."""
    house = facts.find(House, HOUSE)
    if house is None:
        return
    held = facts.find(WorkCalendar, HOUSE)
    known = {HOUSE, *map(key_of, _names(facts))}
    for own in facts.all(WorkCalendar):
        for field, wrong, do in faults_of_calendar(own, house, held):
            yield Broken("calendar", own.id, field, "error", wrong, do)
        if key_of(own.id) not in known:
            yield Broken("calendar", own.id, "id", "warning", f"nobody is called “{own.id[:40]}”",
                         "name it as activities.csv, orders.csv or vendors.csv does")  # fmt: skip
    for activity in facts.all(Activity):
        for field, wrong, do in faults_of_holds(activity, house):
            yield Broken("activity", activity.id, field, "error", wrong, do)


def _names(facts: Facts) -> Iterator[str]:
    """Yield trades and makers, and the calendars that vendors name."""
    for activity in facts.all(Activity):
        yield activity.trade.strip()
        yield from trades_of(activity.trade)
    for order in facts.all(Order):
        yield order.maker.strip()
    for vendor in facts.all(Vendor):
        yield from (vendor.id, vendor.calendar)
