"""The files of a house folder that hold what people decide, agree and say."""

from __future__ import annotations

from fractions import Fraction

from roomwright.exchange.columns import Column, Form, day, id_, text
from roomwright.job import entities as e
from roomwright.job.people_facts import MOST_DAYS

CHOICES = Form(
    "choices.csv", e.Choice, "One row what is to be chosen, by whom and by when.",
    (
        id_("choice", "its id", "id"),
        Column("what", "text", "what is to be chosen", needed=True),
        text("who", "who decides: owner, which is the default, builder, or a trade"),
        day("by", "the last day to decide; empty: as the lines and the work below ask"),
        Column("lines", "ids", "lines of parts.csv that wait for it, with blanks between"),
        id_("class", "a class of which every line waits for it", "part_class", needed=False),
        id_("activity", "work that waits for it", needed=False),
        text("options", "what there is to choose from: oak, $4,200; walnut, $6,900"),
        day("decided", "the day it was decided"),
        text("decision", "what was decided"),
        text("note", "anything to remember"),
    ),
)  # fmt: skip

CHANGE_ORDERS = Form(
    "change-orders.csv", e.ChangeOrder, "One row a change to what was agreed.",
    (
        id_("change_order", "its id", "id"),
        Column("title", "text", "the change in a few words", needed=True),
        text("what", "what is done, left out or bought otherwise"),
        text("reason", "why"),
        Column("price", "text", "what it adds, in money; less than 0 for a credit"),
        Column("days", "count", "working days that it adds to the first of its activities; "
               "0 if left out", least=Fraction(-MOST_DAYS), most=Fraction(MOST_DAYS)),
        Column("lines", "ids", "lines of parts.csv that it touches, with blanks between"),
        Column("activities", "ids", "work that it touches; the first not done takes the days"),
        text("asked_by", "who asked for it"),
        day("asked_on", "the day it was asked for"),
        text("agreed_by", "who signed it"),
        day("agreed_on", "the day it was signed; its days then stand in activities.csv"),
        Column("taken_by", "id", "which of its activities took the days; where nobody says, the "
               "first that was not done on the day it was signed"),
        text("note", "anything to remember"),
    ),
)  # fmt: skip

CALLS = Form(
    "calls.csv", e.Call, "One row a call that was made about a visit.",
    (
        id_("call", "its id", "id"),
        id_("activity", "the first work of the visit"),
        Column("visit", "date", "the day of the visit that the call was about", needed=True),
        Column("on", "date", "the day of the call", needed=True),
        Column("said", "choice", "what they said; confirmed if left out",
               choices=("confirmed", "another day", "no answer")),
        day("day", "the day that they can come, where it is another"),
        text("spoke_to", "who answered"),
        text("note", "anything to remember"),
    ),
)  # fmt: skip

PEOPLE: tuple[Form, ...] = (CHOICES, CHANGE_ORDERS, CALLS)
