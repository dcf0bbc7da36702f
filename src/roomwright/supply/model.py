"""What the supply engine is given and what it gives: plain frozen values."""

from __future__ import annotations

import re
from dataclasses import dataclass
from datetime import date
from typing import Literal

from roomwright.days import Number

State = Literal[
    "on hand",
    "in time",
    "due",
    "can't be ordered yet",
    "left out",
    "promise passed",
    "late",
    "order now",
    "void",
]
"""True state of a line on the as-of date, mildest first:

* *on hand*: all of it has come
* *in time*: ordered, and promised by the day of need
* *due*: not ordered; there is time until the order-by date
* *can't be ordered yet*: a measure must be done first; its lead time stands in the network
* *left out*: not ordered, and the work that needed it is done
* *promise passed*: ordered, promised for a day that has gone by, and not here
* *late*: ordered, but promised for after the day of need
* *order now*: not ordered, and the order-by date is today or has passed
* *void*: ordered before the measure that it must be made to
"""

STATES: tuple[State, ...] = State.__args__  # type: ignore[attr-defined]


@dataclass(frozen=True, slots=True)
class Need:
    """When a line is needed: the work that it is for.

    `on` is the early start of the work and `last_safe` its late start; `start` is the same early
    start as a working-day number, which may be a half. `spare` is the total float and `state` that
    of the work ("to do", "started", "done").
    """

    activity: str
    name: str
    on: date
    last_safe: date
    start: float
    spare: float
    state: Literal["to do", "started", "done"] = "to do"


@dataclass(frozen=True, slots=True)
class Work:
    """An activity as Today and the cautions see it.

    `start` and `last_day` are the first and the last day worked on it, as recorded or by plan;
    `spare` is its total float and `left` the working days still in it [days].
    """

    activity: str
    name: str
    trade: str
    state: Literal["to do", "started", "done"]
    start: date
    last_day: date
    spare: float = 0
    left: Number = 0


@dataclass(frozen=True, slots=True)
class Measure:
    """What must be done before an order is worth anything, and when it was, or will be, done.

    `lead_follows` where the lead comes after it and does not stand in the network already.
    """

    activity: str
    name: str
    done_on: date | None
    expected: date
    lead_follows: bool = False


@dataclass(frozen=True, slots=True)
class Lead:
    """Lead time from order to site [weeks] and where the figure comes from."""

    low_weeks: Number | None
    high_weeks: Number | None
    basis: str = ""


@dataclass(frozen=True, slots=True)
class OrderLine:
    """What was ordered of a line on one order."""

    order: str
    maker: str
    qty: int
    placed: date | None = None
    promised: date | None = None
    note: str = ""


@dataclass(frozen=True, slots=True)
class Received:
    """What came of a line on one day. It counts; a note makes it a receipt to look at."""

    order: str
    qty: int
    on: date | None = None
    note: str = ""


@dataclass(frozen=True, slots=True)
class Finding:
    """One part of a line in one state: what is on one order, what is not ordered yet."""

    state: State
    qty: int
    late_days: int
    move_in_days: float
    text: str
    order: str = ""
    maker: str = ""
    arrives: date | None = None
    guess: bool = False


@dataclass(frozen=True, slots=True)
class LineState:
    """The true state of one line: its worst part first, then the others.

    Attributes
    ----------
    state : str
        of the part that costs most
    late_days : int
        working days from need to promise, or to the day it would come if ordered now [days]
    move_in_days : float
        days by which move-in slips for this line alone: lateness beyond float [days]
    order_by : date, optional
        by the plain policy; the day of the measure for what is made to one; None without a lead
    arrives : date, optional
        the promise as it stands, or a guess
    guess : bool
        whether lateness rests on a lead time and not on a promise
    received, on_order, to_order : int
        pieces here, on orders that hold, and on none
    to_check : tuple of str
        notes on what came
    findings : tuple of Finding
    """

    line: str
    state: State
    late_days: int
    move_in_days: float
    order_by: date | None
    arrives: date | None
    guess: bool
    received: int
    on_order: int
    to_order: int
    to_check: tuple[str, ...]
    findings: tuple[Finding, ...]

    @property
    def text(self) -> str:
        """The state in words."""
        return self.findings[0].text


def short(name: str) -> str:
    """Return the first words of an activity's name, where a sentence has no room for all of it.

    >>> short("Hood, duct, damper, make-up air interlock"), short("Rough HVAC: ducts, boots")
    ('Hood', 'Rough HVAC')
    """
    return re.split(r"[,:;(]", name, maxsplit=1)[0].strip() or name
