"""The files of a house folder that hold its crews: how many, drying rooms, bookings."""

from __future__ import annotations

from fractions import Fraction

from roomwright.exchange.columns import Column, Form, day, days, id_, text
from roomwright.job import entities as e
from roomwright.job.rules_of_crews import MOST_DRYING

_ONE, _MANY = Fraction(1), Fraction(50)

CREWS = Form(
    "crews.csv", e.Crew, "One row a trade: how many crews, and what they want of a room.",
    (
        id_("trade", "the trade, as activities name it", "id"),
        Column("crews", "count", "how many work at once; as many as are asked for if left out",
               least=_ONE, most=_MANY),
        Column("a_room", "count", "how many trades may be in its room, it counted: 1 is alone",
               least=_ONE, most=_MANY),
        Column("wet", "choice", "yes where it works wet: no two that do share a room",
               choices=("yes",)),
        Column("days", "words", "weekdays on which it comes, tue; thu; those of its calendar if "
               "left out"),
        text("note", "anything to remember"),
    ),
)  # fmt: skip

DRYING = Form(
    "drying.csv", e.Drying, "One row an activity after which nobody may go into its rooms.",
    (
        id_("activity", "the activity", "id"),
        Column("days", "number", "elapsed days, weekends too; halves allowed", needed=True,
               over=Fraction(0), most=Fraction(MOST_DRYING), halves=True),
        text("note", "what dries, and who says so"),
    ),
)  # fmt: skip

BOOKINGS = Form(
    "bookings.csv", e.Booking, "One row an activity for which a day was agreed with its crew.",
    (
        id_("activity", "the activity", "id"),
        Column("first_day", "date", "the day on which they come", needed=True),
        days("days", "working days for which they come; as long as it takes if left out"),
        text("said_by", "who said so"),
        day("on", "the day it was said"),
        text("note", "anything to remember"),
    ),
)  # fmt: skip

CREW_FORMS = (CREWS, DRYING, BOOKINGS)
