"""Order today or wait, what a late part costs, and the cheapest answer to a slip.

Early costs money (cash laid out, storage, the chance of damage on site) for each day that the part
lies; late costs the house its days. Every comparison uses the same futures for both sides, so its
standard error is that of the difference, which is far smaller than that of either side.

Days are working days of the house. A cost for each early day is for each *working* day too: the
caller turns a yearly rate or a monthly rent into it.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import Final, Literal

import numpy as np
from numpy.typing import ArrayLike

from roomwright.supply.decide import Samples, SamplesError, samples_of

WEEK: Final = 5
"""Working days of a week, where the caller does not say."""


@dataclass(frozen=True, slots=True)
class Costs:
    """What a day costs [money a working day]. All figures are the builder's own.

    Attributes
    ----------
    house : float
        each day that the house is late
    cash : float
        each day that the money is laid out early
    storage : float
        each day that the part must be kept
    damage_chance : float
        chance that a day of keeping damages it
    damage : float
        what damage costs [money]
    """

    house: float
    cash: float = 0
    storage: float = 0
    damage_chance: float = 0
    damage: float = 0

    def __post_init__(self) -> None:
        if min(self.house, self.cash, self.storage, self.damage) < 0:
            raise SamplesError("a cost below 0: give what a day costs, not what it saves")
        if not 0 <= self.damage_chance <= 1:
            raise SamplesError(f"chance of damage {self.damage_chance} a day: use 0 to 1")

    @property
    def early(self) -> float:
        """Cost of a day early [money a day]; damage at its expected cost."""
        return self.cash + self.storage + self.damage_chance * self.damage

    @property
    def confidence(self) -> float:
        """The confidence at which a day earlier costs what it saves: p / (p + h) [1]_.

        .. [1] Newsvendor quantile, in time: Ronen, Trietsch (1988), Operations Research 36
           (from memory).

        >>> Costs(house=190, cash=6, storage=4).confidence
        0.95
        """
        both = self.house + self.early
        return self.house / both if both else 1.0


@dataclass(frozen=True, slots=True)
class Estimate:
    """A mean over the futures with its standard error."""

    value: float
    error: float

    @property
    def clear(self) -> bool:
        """Whether it is off zero by more than two standard errors."""
        return abs(self.value) > 2 * self.error


def estimate(samples: ArrayLike) -> Estimate:
    """Return the mean of samples and its standard error.

    >>> estimate([1.0, 2.0, 3.0, 4.0])
    Estimate(value=2.5, error=0.6454972243679028)
    """
    (array,) = samples_of(samples)
    spread = float(array.std(ddof=1)) if len(array) > 1 else 0.0
    return Estimate(float(array.mean()), spread / math.sqrt(len(array)))


def days_caused(landing: ArrayLike, need: ArrayLike, spare: ArrayLike = 0) -> Samples:
    """Return the days of move-in that a part costs in each future: max(0, lateness - float).

    Parameters
    ----------
    landing, need : array, shape (n,), or number
        working-day numbers [days]
    spare : array, shape (n,), or number
        total float, in that future, of the work that needs it [days]

    Examples
    --------
    >>> days_caused([10, 14, 20], 12, 3).tolist()
    [0.0, 0.0, 5.0]
    """
    here, needed, float_ = samples_of(landing, need, spare)
    late: Samples = np.maximum(0.0, np.maximum(0.0, here - needed) - np.maximum(0.0, float_))
    return late


def cost(landing: ArrayLike, need: ArrayLike, costs: Costs, spare: ArrayLike = 0) -> Samples:
    """Return what early and late cost together in each future [money]."""
    here, needed = samples_of(landing, need)
    early: Samples = np.maximum(0.0, needed - here) * costs.early
    return early + days_caused(landing, need, spare) * costs.house


@dataclass(frozen=True, slots=True)
class Wait:
    """What waiting costs against ordering today; positive means order today.

    `money` is E[cost | wait] - E[cost | today], `days` the same of days of move-in.
    """

    money: Estimate
    days: Estimate
    today_days: Estimate
    today_money: Estimate

    @property
    def verdict(self) -> Literal["order today", "wait", "no clear difference"]:
        """What to do, or that the futures do not tell."""
        if not self.money.clear:
            return "no clear difference"
        return "order today" if self.money.value > 0 else "wait"


def order_or_wait(
    today: ArrayLike, waiting: ArrayLike, need: ArrayLike, costs: Costs, spare: ArrayLike = 0
) -> Wait:
    """Return what it costs to order later rather than today.

    Parameters
    ----------
    today, waiting : array, shape (n,)
        landing if ordered today, and if after the wait: the same futures, place by place [days]
    need, spare : array, shape (n,), or number
    costs : Costs

    Examples
    --------
    >>> lead = np.array([10.0, 20.0, 30.0])
    >>> found = order_or_wait(lead, lead + 5, 22, Costs(house=100, storage=2))
    >>> found.money.value, round(found.days.value, 2), found.verdict
    (262.0, 2.67, 'no clear difference')
    """
    now, later = days_caused(today, need, spare), days_caused(waiting, need, spare)
    paid, pay = cost(today, need, costs, spare), cost(waiting, need, costs, spare)
    return Wait(estimate(pay - paid), estimate(later - now), estimate(now), estimate(paid))


def best_day(
    need: ArrayLike, lead: ArrayLike, costs: Costs, *, first: float | None = None
) -> float:
    """Return the day to order at which early and late cost least together, exact for the samples.

    The cost is convex in the day; its least is the quantile of ``need - lead`` at 1 - p / (p + h),
    p a day late and h a day early (newsvendor). Float is not looked at: give the last safe day as
    the need, or use `order_or_wait`.

    Parameters
    ----------
    first : float, optional
        no day before this one [days]

    Examples
    --------
    Early 10 a day, late 190, lead normal with mean 40 and deviation 8: 53.16 days ahead.

    >>> from statistics import NormalDist
    >>> lead = [NormalDist(40, 8).inv_cdf((i + 0.5) / 20_000) for i in range(20_000)]
    >>> round(-best_day(0, lead, Costs(house=190, storage=10)), 2)
    53.16
    """
    needs, leads = samples_of(need, lead)
    slack = needs - leads
    place = math.floor((1 - costs.confidence) * len(slack) + 1e-9)
    place = min(max(place, 0), len(slack) - 1)
    day = float(np.partition(slack, place)[place])
    return day if first is None else max(day, first)


def value_of_expediting(
    landing: ArrayLike,
    need: ArrayLike,
    days: float,
    costs: Costs,
    spare: ArrayLike = 0,
    *,
    not_before: float = 0,
) -> Wait:
    """Return what it is worth to have one line sooner by so many days: an offer above it is dear.

    The days saved and the money are positive where it pays; nothing lands before `not_before`.

    Examples
    --------
    >>> value_of_expediting([30.0, 30.0], 22, 3, Costs(house=100)).money.value
    300.0
    """
    (here,) = samples_of(landing)
    sooner = np.minimum(here, np.maximum(here - days, not_before))
    return order_or_wait(sooner, here, need, costs, spare)


@dataclass(frozen=True, slots=True)
class Promise:
    """An open order: when it lands by what is known, and when it was promised.

    Attributes
    ----------
    line, vendor : str
    landing, need, spare : array, shape (n,), or number
        as above [days]
    promised : float
        working-day number of the promise as it stands [days]
    """

    line: str
    vendor: str
    landing: ArrayLike
    need: ArrayLike
    promised: float
    spare: ArrayLike = 0


@dataclass(frozen=True, slots=True)
class Chase:
    """A promise to chase: the days it costs as things stand, and what keeping it would save."""

    line: str
    vendor: str
    days: Estimate
    saved: Estimate
    late_chance: float


def to_chase(promises: Iterable[Promise]) -> tuple[Chase, ...]:
    """Return open orders, the one first whose promise, if it were kept, would save most days.

    A call cannot do more than make the promise true, so that is what it may save; where the
    promise itself lies too late, the rest of `days` needs another answer.

    Examples
    --------
    >>> first, second = to_chase([Promise("L1", "Quarry", [9.0, 11.0], 10, 10),
    ...                           Promise("L2", "Mill", [18.0, 26.0], 10, 18)])
    >>> first.line, first.saved.value, first.days.value, second.late_chance
    ('L2', 4.0, 12.0, 0.5)
    """
    found = []
    for one in promises:
        here, needed = samples_of(one.landing, one.need)
        days = days_caused(here, needed, one.spare)
        kept = days_caused(np.minimum(here, one.promised), needed, one.spare)
        late = float(np.mean(here > needed))
        found.append(Chase(one.line, one.vendor, estimate(days), estimate(days - kept), late))
    return tuple(sorted(found, key=lambda c: (-c.saved.value, -c.days.value, c.line)))


Answer = Literal["nothing", "expedite", "substitute", "resequence"]


@dataclass(frozen=True, slots=True, eq=False)
class Option:
    """One answer to a slip: its price and the futures if it is chosen.

    `landing` and `need` are as above; another order of the work moves the need and its float.
    """

    kind: Answer
    name: str
    landing: ArrayLike
    need: ArrayLike
    price: float = 0
    spare: ArrayLike = 0

    def __eq__(self, other: object) -> bool:
        """Return whether it is the same option over the same futures."""
        if not isinstance(other, Option):
            return NotImplemented
        return (self.kind, self.name, self.price) == (other.kind, other.name, other.price) and all(
            np.array_equal(getattr(self, f), getattr(other, f))
            for f in ("landing", "need", "spare")
        )

    def __hash__(self) -> int:
        return hash((self.kind, self.name, self.price))


@dataclass(frozen=True, slots=True)
class Answered:
    """An option with its days and its whole cost; `over` is what it costs beyond the cheapest."""

    option: Option
    days: Estimate
    money: Estimate
    over: Estimate

    @property
    def close(self) -> bool:
        """Whether it cannot be told from the cheapest."""
        return not self.over.clear


def answer_slip(options: Sequence[Option], costs: Costs) -> tuple[Answered, ...]:
    """Return the options, the cheapest first: price, early and late together.

    Doing nothing must be among them, or nothing is there to compare with.

    Examples
    --------
    >>> slip = np.array([30.0, 34.0, 38.0])
    >>> found = answer_slip([Option("nothing", "wait", slip, 30),
    ...                      Option("expedite", "air freight", slip - 6, 30, price=350),
    ...                      Option("substitute", "in stock", 25, 30, price=900)],
    ...                     Costs(house=150))
    >>> [(a.option.name, round(a.money.value)) for a in found]
    [('air freight', 450), ('wait', 600), ('in stock', 900)]
    """
    if not any(o.kind == "nothing" for o in options):
        raise SamplesError("give 'nothing' as an option too, to compare with")
    most = max(len(samples_of(o.landing, o.need, o.spare)[0]) for o in options)
    full = np.zeros(most)
    bills = [full + o.price + cost(o.landing, o.need, costs, o.spare) for o in options]
    least = min(bills, key=lambda b: float(b.mean()))
    found = [
        Answered(
            o, estimate(days_caused(o.landing, o.need, o.spare)), estimate(b), estimate(b - least)
        )
        for o, b in zip(options, bills, strict=True)
    ]
    return tuple(sorted(found, key=lambda a: (a.money.value, a.option.price, a.option.name)))
