"""Facts of the work: activities and links, parts, orders, receipts, wall sheets, phone numbers."""

from __future__ import annotations

from datetime import date
from fractions import Fraction
from typing import ClassVar, Literal

from pydantic import Field

from roomwright.job.fact import Fact, Id, Number, Text


class Activity(Fact):
    """Work that takes days and stands in the network; 0 days is a milestone."""

    kind_name = "activity"
    references: ClassVar[dict[str, str]] = {"rooms": "room"}
    open_ends = frozenset({"all"})

    name: Text = ""
    days_low: Number | None = None
    days_likely: Number
    days_high: Number | None = None
    trade: Text = ""
    rooms: tuple[Id, ...] = ()
    note: Text = ""
    not_before: date | None = None
    """It must not start before this day."""
    promised_by: date | None = None
    """The last day by which somebody was promised that it is done."""
    hold: Text = ""
    """Why it must stand still: a correction notice, a question to the owner."""
    hold_until: date | None = None
    """The day on which it may go on; a hold without a day is open."""


LinkKind = Literal["finish to start", "start to start", "finish to finish", "start to finish"]


class Link(Fact):
    """Which activity waits for which, and how. Its id is ``before > after (kind)``."""

    kind_name = "link"
    references: ClassVar[dict[str, str]] = {"before": "activity", "after": "activity"}

    before: Id
    after: Id
    kind: LinkKind = "finish to start"
    lag_days: Number = Fraction(0)
    lag_counts: Literal["working", "elapsed"] = "working"
    reason: Text = ""


class Progress(Fact):
    """What has happened to an activity (its id is the activity's), as of the day it was said."""

    kind_name = "progress"
    references: ClassVar[dict[str, str]] = {"id": "activity"}

    started: date | None = None
    finished: date | None = None
    days_left: Number | None = None


class PartClass(Fact):
    """A class of things bought alike: facts to find on the cut sheet, when needed, lead time."""

    kind_name = "class"
    references: ClassVar[dict[str, str]] = {"needed_by": "activity", "order_after": "activity"}

    name: Text = ""
    facts: Text = ""
    needed_by: Id
    order_after: Id | None = None
    lead_weeks_low: Number | None = None
    lead_weeks_high: Number | None = None
    basis: Text = ""


class Companion(Fact):
    """A part that goes with each item of a class, and who brings it."""

    kind_name = "companion"
    references: ClassVar[dict[str, str]] = {"part_class": "class"}

    part_class: Id
    part: Text
    per_item: Number = Fraction(1)
    when: Text = ""
    stage: Text = "finish"
    brought_by: Text = ""
    kind: Literal["part", "work"] = "part"


class Part(Fact):
    """A line of the plan: so many of a class in a room."""

    kind_name = "part"
    references: ClassVar[dict[str, str]] = {"room": "room", "part_class": "class"}

    room: Id
    part_class: Id
    qty: int = Field(ge=0, le=100_000)
    bought_by: Text = ""
    """Who buys it: owner, or a trade; empty is the builder."""
    note: Text = ""


class Order(Fact):
    """One line of an order; its id is ``order/line``."""

    kind_name = "order"
    references: ClassVar[dict[str, str]] = {"line": "part"}

    order: Id
    maker: Text = ""
    line: Id
    qty: int = Field(ge=0, le=100_000)
    placed: date | None = None
    promised: date | None = None
    note: Text = ""


class Receipt(Fact):
    """What came, when, against which order line."""

    kind_name = "receipt"
    references: ClassVar[dict[str, str]] = {"line": "part"}

    order: Id
    line: Id
    qty: int = Field(ge=0, le=100_000)
    on: date | None = None
    note: Text = ""


class Posting(Fact):
    """A wall sheet that was hung, kept as printed. Its id is ``room/trade/revision``."""

    kind_name = "posting"
    references: ClassVar[dict[str, str]] = {"room": "room"}

    room: Id
    trade: Text = ""
    revision: Text = ""
    posted: date | None = None
    taken_down: date | None = None
    code: Text = ""
    content: str = ""
    """The sheet's content as printed: canonical JSON; empty for sheets hung before this program."""
    note: Text = ""


class Contact(Fact):
    """Who to call for a trade (its id)."""

    kind_name = "contact"

    name: Text = ""
    phone: Text = ""
