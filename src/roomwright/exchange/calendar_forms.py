"""The file of a house folder that says who works on which days."""

from __future__ import annotations

from roomwright.exchange.columns import Column, Form, id_, text
from roomwright.job import entities as e
from roomwright.job.calendar_facts import LONGEST

CALENDARS = Form(
    "calendars.csv", e.WorkCalendar,
    "One row a trade, a maker, or the house, with the days on which it works.",
    (
        id_("calendar", "the trade as activities.csv names it, the maker as orders.csv names it, "
            "or house, which adds to house.toml", "id"),
        Column("work_week", "words", "the weekdays that are worked; the house's if left out"),
        Column("mornings", "words", "what is worked until noon only: weekdays, days, runs of days",
               longest=LONGEST),
        Column("holidays", "words", "sets of holidays that are kept: federal, usual six, "
               "thanksgiving friday, eves"),
        Column("closed", "words", "days off: 2027-05-31; 2027-07-05 to 2027-07-09; every 12-24 "
               "to 01-01", longest=LONGEST),
        Column("follows_house", "choice", "whether the house's days off are theirs as well; yes "
               "if left out", choices=("yes", "no")),
        text("note", "anything to remember"),
    ),
)  # fmt: skip
