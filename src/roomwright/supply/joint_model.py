"""What a plan of order days is made of: lines, limits, and the plan with what is known of it.

Days are whole working-day numbers of the house; see `roomwright.supply.joint`.
"""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass
from typing import Final, Literal

CENT: Final = 100
"""Cash is counted in whole cents, so that a full account is full."""

Status = Literal["proved", "not proved", "impossible", "nothing found"]


class JointError(ValueError):
    """Lines that cannot be used; the message says what to do."""


@dataclass(frozen=True, slots=True)
class Line:
    """A line to order: when it may be, what each day costs, and what it takes up.

    Attributes
    ----------
    id : str
    first : int
        soonest day to order [days]
    costs : tuple of float
        expected cost of ordering on `first`, `first` + 1, ...; the last is the latest day looked
        at [money]
    lead : int
        planned days from order to landing, at the confidence chosen [days]
    need : int
        day of need [days]
    room : int
        storage it takes [any one unit]
    deposit, balance : float
        paid with the order and at landing [money]
    handling : int
        what of a day's receiving it takes [any one unit]
    """

    id: str
    first: int
    costs: tuple[float, ...]
    lead: int
    need: int
    room: int = 0
    deposit: float = 0
    balance: float = 0
    handling: int = 1

    def __post_init__(self) -> None:
        if not self.costs or not all(math.isfinite(c) for c in self.costs):
            raise JointError(f"{self.id}: give the cost of each day on which it could be ordered")
        if min(self.lead, self.room, self.deposit, self.balance, self.handling) < 0:
            raise JointError(f"{self.id}: lead, room, money and handling cannot be below 0")

    @property
    def alone(self) -> int:
        """The cheapest day to order it if it were the only one."""
        return self.first + min(range(len(self.costs)), key=lambda i: self.costs[i])


@dataclass(frozen=True, slots=True)
class Limits:
    """What there is; None where it does not bind [units as in `Line`]."""

    room: int | None = None
    cash: float | None = None
    handling_a_day: int | None = None


@dataclass(frozen=True, slots=True)
class Broken:
    """A limit that is broken on a day: which one, the load of that day and what there is.

    >>> Broken("room", 41, 12, 8).text
    'room on day 41: 12 of 8'
    """

    limit: str
    day: int
    load: float
    most: float

    @property
    def text(self) -> str:
        """It in words, by the number of the day."""
        return self.on(f"day {self.day}")

    def on(self, day: str) -> str:
        """Return it in words, with the day as the caller says it."""
        return f"{self.limit} on {day}: {_plain(self.load)} of {_plain(self.most)}"


@dataclass(frozen=True, slots=True)
class JointPlan:
    """The day to order each line.

    Attributes
    ----------
    status : str
        *proved*: no plan costs less; *not proved*: the best found, at most `gap` from the least;
        *impossible*: no plan keeps the limits; *nothing found* in the effort allowed
    order : tuple of (line, day)
    cost, at_least : float
        cost of this plan and a proved lower bound [money]
    alone : float
        cost if each line were ordered on its own best day, limits or not [money]
    binding : tuple of Broken
        the first day on which the lines' own best days break each limit
    over : tuple of Broken
        the first day on which what is on order or here breaks it alone, whatever is ordered
    """

    status: Status
    order: tuple[tuple[str, int], ...]
    cost: float
    at_least: float
    alone: float
    binding: tuple[Broken, ...]
    over: tuple[Broken, ...] = ()

    @property
    def gap(self) -> float:
        """How far above the proved bound the plan may lie, as a share of its cost."""
        if not math.isfinite(self.cost):
            return math.inf  # there is no plan
        return (self.cost - self.at_least) / self.cost if self.cost > 0 else 0.0

    @property
    def text(self) -> str:
        """What is known of the plan, in words."""
        if self.status == "impossible":
            return "no order days keep these limits: raise one, or let something come late"
        if self.status == "nothing found":
            return "no plan was found in the effort allowed, nor is it proved that there is none"
        more = f"the limits cost {self.cost - self.alone:,.0f}"
        if self.status == "proved":
            return f"cheapest, proved; {more}" if self.binding else "each on its own best day"
        return f"best found, not proved: up to {self.gap:.0%} from the cheapest; {more}".replace(
            "%", " %"
        )


def loads(lines: Iterable[Line], order: dict[str, int], day: int) -> tuple[int, float, int]:
    """Return the room taken, the cash out and the handling on a day, for a plan."""
    room, paid, handling = 0, 0, 0
    for line in lines:
        placed = order[line.id]
        landed = placed + line.lead
        handling += line.handling * (landed == day)
        room += line.room * (landed <= day < line.need)
        paid += cents(line.deposit) * (placed <= day < line.need)
        paid += cents(line.balance) * (landed <= day < line.need)
    return room, paid / CENT, handling


def cents(amount: float) -> int:
    """Return an amount that is paid in whole cents, a broken one counted whole."""
    return math.ceil(amount * CENT - 1e-6)


def floor_cents(amount: float) -> int:
    """Return an amount that is there in whole cents."""
    return math.floor(amount * CENT + 1e-6)


def _plain(amount: float) -> str:
    return f"{amount:,.2f}".removesuffix(".00")
