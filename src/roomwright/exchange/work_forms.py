"""The files of a house folder that hold its work: activities, links, parts, orders, sheets."""

from __future__ import annotations

from fractions import Fraction

from roomwright.exchange.columns import (
    MANY_DAYS,
    ZERO,
    Column,
    Form,
    day,
    days,
    id_,
    qty,
    text,
    weeks,
)
from roomwright.job import entities as e

ACTIVITIES = Form(
    "activities.csv", e.Activity, "One row a piece of work that takes days; 0 days is a milestone.",
    (
        id_("activity", "its id", "id"),
        text("name", "what is done"),
        days("days_low", "working days if all goes well; halves allowed"),
        days("days_likely", "working days, most likely", needed=True),
        days("days_high", "working days if much goes wrong"),
        text("trade", "who does it"),
        Column("rooms", "ids", "where: room ids with blanks between, or all"),
        text("note", "anything to remember"),
        Column("not_before", "date", "it must not start before this day", ours=True),
        Column("promised_by", "date", "the last day by which it was promised done", ours=True),
        Column("hold", "text", "why it must stand still, if it must", ours=True),
        Column("hold_until", "date", "the day on which it may go on; none: nobody knows",
               ours=True),
    ),
)  # fmt: skip

LINKS = Form(
    "links.csv", e.Link, "One row a pair of activities of which one waits for the other.",
    (
        id_("before", "the activity that is waited for"),
        id_("after", "the activity that waits"),
        Column("kind", "choice", "how; finish to start if left out",
               choices=("finish to start", "start to start", "finish to finish",
                        "start to finish")),
        days("lag_days", "days between; 0 if left out; less than 0 for an overlap",
              least=-MANY_DAYS),
        Column("lag_counts", "choice", "whether the lag counts working days, the default, or "
               "elapsed days as for curing", choices=("working", "elapsed")),
        text("reason", "why"),
    ),
)  # fmt: skip

PROGRESS = Form(
    "progress.csv", e.Progress, "One row an activity that has begun, as of written_as_of.",
    (
        id_("activity", "the activity", "id"),
        day("started", "its first day"),
        day("finished", "the last day worked"),
        days("days_left", "working days still to do"),
    ),
)  # fmt: skip

CLASSES = Form(
    "classes.csv", e.PartClass, "One row a class of things bought alike.",
    (
        id_("class", "its id", "id"),
        text("name", "what it is"),
        text("facts_on_the_cut_sheet", "the facts to find on its cut sheet", "facts"),
        id_("needed_by", "the activity whose start needs it"),
        id_("order_after", "the measure that must be done before it can be ordered",
            needed=False),
        weeks("lead_weeks_low", "weeks from order to delivery, at best"),
        weeks("lead_weeks_high", "weeks from order to delivery, to count on"),
        text("basis", "where the lead comes from"),
    ),
)  # fmt: skip

COMPANIONS = Form(
    "companions.csv", e.Companion, "One row a part or work that goes with each item of a class.",
    (
        id_("class", "the class", "part_class"),
        Column("part", "text", "the part", needed=True, longest=200),
        Column("per_item", "number", "how many for each item; 1 if left out", least=ZERO,
               most=Fraction(10_000)),
        text("when", "a condition in words: not counted until it is answered"),
        Column("stage", "text", "framing, rough-in or finish; finish if left out"),
        text("brought_by", "who brings it"),
        Column("kind", "choice", "part or work; part if left out", choices=("part", "work")),
    ),
)  # fmt: skip

PARTS = Form(
    "parts.csv", e.Part, "One row a line of the plan: so many of a class in a room.",
    (
        id_("line", "its id", "id"),
        id_("room", "the room"),
        id_("class", "the class", "part_class"),
        qty("how many"),
        Column("bought_by", "text", "who buys it: owner, or a trade; the builder if left out",
               ours=True),
        text("note", "size, hand, color: what tells it from others of its class"),
    ),
)  # fmt: skip

ORDERS = Form(
    "orders.csv", e.Order, "One row a line of an order.",
    (
        id_("order", "the order's id"),
        text("maker", "who makes or sells it"),
        id_("line", "the line of parts.csv that it is for"),
        qty("how many were ordered"),
        day("placed", "the day it was ordered"),
        day("promised", "the day it is promised for"),
        text("note", "what was said"),
    ),
)  # fmt: skip

RECEIPTS = Form(
    "receipts.csv", e.Receipt, "One row what came against a line of an order.",
    (
        id_("receipt", "its id", "id"),
        id_("order", "the order"),
        id_("line", "the line of parts.csv"),
        qty("how many came"),
        day("on", "the day it came"),
        text("note", "damage, wrong color: what was seen when it was opened"),
    ),
)  # fmt: skip

POSTED = Form(
    "posted.csv", e.Posting, "One row a wall sheet that was hung.",
    (
        id_("room", "the room"),
        text("trade", "for whom"),
        text("revision", "its revision"),
        day("posted", "the day it was hung"),
        text("note", "anything to remember"),
        Column("taken_down", "date", "the day it came off the wall", ours=True),
        Column("code", "text", "the sheet code printed on it", ours=True),
        Column("content", "text", "what it said, as the program keeps it", ours=True,
               longest=100_000),
    ),
)  # fmt: skip

CONTACTS = Form(
    "contacts.csv", e.Contact, "One row a trade, and who to call.",
    (
        id_("trade", "the trade", "id"),
        text("name", "the firm or person"),
        text("phone", "the number"),
    ),
)  # fmt: skip
