"""Facts of crews: how many there are, what they want of a room, when they are booked."""

from __future__ import annotations

import re
from datetime import date
from fractions import Fraction
from typing import Any, ClassVar, Final, Literal

from pydantic import Field, field_validator

from roomwright.days import weekday
from roomwright.job.fact import Fact, Number, Text

WEEK: Final = ("mon", "tue", "wed", "thu", "fri", "sat", "sun")


class Crew(Fact):
    """The crews of a trade; its id is the trade as activities name it."""

    kind_name = "crew"

    crews: int | None = Field(default=None, ge=1, le=50)
    """How many work at once; None where as many come as are asked for."""
    a_room: int | None = Field(default=None, ge=1, le=50)
    """How many trades may be in its room with it counted: 1 is alone."""
    wet: Literal["", "yes"] = ""
    """Whether it works wet: no two that do share a room."""
    days: tuple[str, ...] = ()
    """Weekdays on which it comes; empty is its calendar's."""
    note: Text = ""

    @field_validator("days", mode="before")
    @classmethod
    def _weekdays(cls, given: Any) -> tuple[str, ...]:
        said = given if isinstance(given, str) else " ".join(map(str, given or ()))
        numbers = {weekday(each) for each in re.split(r"[\s,;]+", said) if each}
        return tuple(name for n, name in enumerate(WEEK) if n in numbers)


class Drying(Fact):
    """How long the rooms of an activity (its id) stay closed after it [elapsed days]."""

    kind_name = "drying"
    references: ClassVar[dict[str, str]] = {"id": "activity"}

    days: Number = Fraction(1)
    note: Text = ""


class Booking(Fact):
    """The first day that was agreed with the crew of an activity (its id)."""

    kind_name = "booking"
    references: ClassVar[dict[str, str]] = {"id": "activity"}

    first_day: date
    days: Number | None = None
    """Working days for which they come; None is as long as the activity takes."""
    said_by: Text = ""
    on: date | None = None
    """When it was said."""
    note: Text = ""
