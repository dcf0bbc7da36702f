"""Facts of supply: vendors, the steps of lead chains, what happened to order lines, measures."""

from __future__ import annotations

from datetime import date
from typing import ClassVar, Final, Literal, get_args

from pydantic import Field

from roomwright.job.fact import Fact, Id, Number, Text
from roomwright.supply.chains import STEPS, Step

MOST_LISTED: Final = 100
"""So many activities may make a field measure true, and as many spoil it."""


class Vendor(Fact):
    """Who makes or sells; its id is the maker's name as orders have it."""

    kind_name = "vendor"
    references: ClassVar[dict[str, str]] = {"calendar": "calendar"}

    name: Text = ""
    phone: Text = ""
    claim_days: int | None = Field(default=None, ge=0, le=365)
    """Calendar days after receipt in which damage must be claimed, by the vendor's terms [days]."""
    calendar: str = Field(default="", max_length=80)
    """The calendar that the vendor works by; empty is the house's."""
    note: Text = ""


class LeadStep(Fact):
    """One step of the lead chain of a class, or of one line, whose word goes before its class's.

    Its id is ``class X/make`` or ``line L172/make``. A step without days is a moment.
    """

    kind_name = "step"
    references: ClassVar[dict[str, str]] = {"part_class": "class", "line": "part"}

    part_class: str = Field(default="", max_length=80)
    line: str = Field(default="", max_length=80)
    step: Step
    name: Text = ""
    days_low: Number | None = None
    days_likely: Number | None = None
    days_high: Number | None = None
    counts: Literal["working", "elapsed"] = "working"
    order_here: Literal["", "yes"] = ""
    """Whether the order is placed before this step; else before the first of the vendor's steps."""
    skip: Literal["", "yes"] = ""
    """Whether the line does without this step of its class."""
    note: Text = ""


Happening = Literal[
    "decided", "submitted", "approved", "acknowledged", "promised", "withdrawn", "shipped",
    "damaged", "returned", "claimed", "installed",
]  # fmt: skip
HAPPENINGS: Final[tuple[Happening, ...]] = get_args(Happening)
BEFORE_AN_ORDER: Final[frozenset[Happening]] = frozenset({"decided", "submitted", "approved"})
"""What can happen to a line before there is an order; the rest happens to a line of an order."""
COUNTED: Final[frozenset[Happening]] = frozenset({"damaged", "returned", "installed"})
"""What needs a number of pieces."""


class Event(Fact):
    """What happened to a line of the plan, or to a line of an order, on a day.

    What arrived is a receipt and when the order was placed stands on the order: neither is an
    event. Each promise is one, so that what was promised before is known; the last stands on the
    order too.
    """

    kind_name = "event"
    references: ClassVar[dict[str, str]] = {"line": "part"}

    what: Happening
    order: str = Field(default="", max_length=80)
    line: Id
    qty: int | None = Field(default=None, ge=0, le=100_000)
    on: date | None = None
    """The day it happened; None where nobody wrote it down."""
    day: date | None = None
    """The day that was promised."""
    note: Text = ""


class FieldMeasure(Fact):
    """A field measure of a class, or of one line: what makes it true, what spoils it, the record.

    Its id is ``class X`` or ``line L172``. What a line does not say its class says.
    """

    kind_name = "measure"
    references: ClassVar[dict[str, str]] = {
        "part_class": "class", "line": "part", "after": "activity", "expires_by": "activity",
    }  # fmt: skip

    part_class: str = Field(default="", max_length=80)
    line: str = Field(default="", max_length=80)
    after: tuple[Id, ...] = Field(default=(), max_length=MOST_LISTED)
    expires_by: tuple[Id, ...] = Field(default=(), max_length=MOST_LISTED)
    words: Text = ""
    """The condition as the builder says it: tile grouted."""
    on: date | None = None
    by: Text = ""
    note: Text = ""


def owner_id(part_class: str, line: str) -> str:
    """Return how the class or line that a step or measure is of begins its id.

    >>> owner_id("GLASS", ""), owner_id("", "L172")
    ('class GLASS', 'line L172')
    """
    return f"line {line}" if line else f"class {part_class}"


def measure_told(
    of_class: FieldMeasure | None, of_line: FieldMeasure | None
) -> FieldMeasure | None:
    """Return the measure of a line: what it does not say its class says.

    >>> glass = FieldMeasure(id="class GLASS", part_class="GLASS", after=("A120",))
    >>> here = FieldMeasure(id="line L9", line="L9", on=date(2027, 5, 3))
    >>> told = measure_told(glass, here)
    >>> told.after, told.on.isoformat()
    (('A120',), '2027-05-03')
    """
    if of_class is None or of_line is None:
        return of_line or of_class
    own = {f: v for f in ("after", "expires_by", "words") if (v := getattr(of_line, f))}
    if of_line.on is not None:
        own |= {"on": of_line.on, "by": of_line.by}
    return of_class.model_copy(update={**own, "id": of_line.id, "line": of_line.line})


__all__ = [
    "BEFORE_AN_ORDER", "COUNTED", "HAPPENINGS", "STEPS", "Event", "FieldMeasure", "Happening",
    "LeadStep", "Step", "Vendor", "measure_told", "owner_id",
]  # fmt: skip
