"""The files of a house folder that hold its supply: vendors, lead steps, events, measures."""

from __future__ import annotations

from fractions import Fraction

from roomwright.exchange.columns import ZERO, Column, Form, day, days, id_, text
from roomwright.job import entities as e
from roomwright.job.supply_facts import MOST_LISTED

LISTED = MOST_LISTED * 82
"""So long is a list of as many ids as a field measure may name."""

VENDORS = Form(
    "vendors.csv", e.Vendor, "One row a vendor: the maker of orders.csv.",
    (
        id_("vendor", "its id: the maker as orders.csv names it", "id"),
        text("name", "the firm's full name"),
        text("phone", "the number to call"),
        Column("claim_days", "count", "calendar days after receipt in which damage must be "
               "claimed, by its terms", least=ZERO, most=Fraction(365)),
        id_("calendar", "the calendar that it works by; the house's if left out", needed=False),
        text("note", "anything to remember"),
    ),
)  # fmt: skip

STEPS = Form(
    "steps.csv", e.LeadStep, "One row a step of the lead chain of a class, or of one line.",
    (
        id_("class", "the class, or", "part_class", needed=False),
        id_("line", "the line, whose word goes before its class's", needed=False),
        Column("step", "choice", "which step", needed=True, choices=e.STEPS),
        text("name", "your own words for it: pick the tile"),
        days("days_low", "days if all goes well; halves allowed"),
        days("days_likely", "days, most likely; none is a moment"),
        days("days_high", "days if much goes wrong"),
        Column("counts", "choice", "working days, the default, or elapsed days as for wood that "
               "acclimates", choices=("working", "elapsed")),
        Column("order_here", "choice", "yes where the order is placed before this step; else it "
               "is before the first of the vendor's steps", choices=("yes",)),
        Column("skip", "choice", "yes where the line does without this step of its class",
               choices=("yes",)),
        text("note", "where the figures come from"),
    ),
)  # fmt: skip

EVENTS = Form(
    "events.csv", e.Event, "One row what happened to a line of the plan or of an order.",
    (
        id_("event", "its id", "id"),
        Column("what", "choice", "what happened", needed=True, choices=e.HAPPENINGS),
        id_("order", "the order; not needed for decided, submitted, approved", needed=False),
        id_("line", "the line of parts.csv"),
        Column("qty", "count", "how many; needed for damaged, returned and installed", least=ZERO,
               most=Fraction(100_000)),
        day("on", "the day it happened"),
        day("day", "of a promise: the day that was promised"),
        text("note", "what was said or seen"),
    ),
)  # fmt: skip

MEASURES = Form(
    "measures.csv", e.FieldMeasure, "One row a field measure that a class or a line is made to.",
    (
        id_("class", "the class, or", "part_class", needed=False),
        id_("line", "the line, whose word goes before its class's", needed=False),
        Column("after", "ids", "the activities that must be done before it is true",
               longest=LISTED),
        Column("expires_by", "ids", "the activities that change what was measured",
               longest=LISTED),
        text("words", "the condition in words: tile grouted"),
        day("on", "the day it was taken"),
        text("by", "who took it"),
        text("note", "anything to remember"),
    ),
)  # fmt: skip
