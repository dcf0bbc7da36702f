"""Order-by at a chosen confidence, and what each part of a visit must bear.

All works on samples: for each imagined future, the working-day number at which the part is needed,
and the working days that it takes. The samples come from one simulation, so that what is late
together is late together.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

Samples = NDArray[np.float64]
Landing = Callable[[int], ArrayLike]
"""When it lands if ordered on a day: a working-day number for each future."""


class SamplesError(ValueError):
    """Samples that cannot be used; the message says why."""


def samples_of(*given: ArrayLike) -> list[Samples]:
    """Return arrays of samples of one length; a single number stands for all futures.

    Raises
    ------
    SamplesError
        for no samples, different lengths, or what is not a number
    """
    arrays = [np.atleast_1d(np.asarray(one, dtype=np.float64)) for one in given]
    most = max(len(a) for a in arrays)
    for array in arrays:
        if array.ndim != 1 or len(array) not in (1, most) or most == 0:
            raise SamplesError("give one number for each future, as many of each kind")
        if not np.isfinite(array).all():
            raise SamplesError("a future has no number: look at its inputs")
    return [np.broadcast_to(a, (most,)) for a in arrays]


@dataclass(frozen=True, slots=True)
class OrderBy:
    """The last day on which to order for a chosen confidence.

    Attributes
    ----------
    day : int
        working-day number of the house; order on it at the latest [days]
    confidence : float
        share of futures in which a part ordered on `day` is here when needed
    error : float
        standard error of that share
    day_low, day_high : int
        the days between which `day` lies with two standard errors of the share [days]
    asked : float
        the confidence asked for
    """

    day: int
    confidence: float
    error: float
    day_low: int
    day_high: int
    asked: float


def order_by_at(need: ArrayLike, lead: ArrayLike, confidence: float) -> OrderBy:
    """Return the last day on which ordering keeps P(on hand when needed) >= confidence.

    Parameters
    ----------
    need : array, shape (n,), or number
        working-day number of the need in each future [days]
    lead : array, shape (n,), or number
        working days from order to on hand in each future [days]
    confidence : float
        above 0 and below 1

    Notes
    -----
    Ordered on day t it is in time where ``t <= need - lead``: the day is the order statistic of
    ``need - lead`` that at least a share `confidence` reaches, down to a whole day. The standard
    error is binomial; its two-sided band on the day is that of order statistics [1]_.

    References
    ----------
    .. [1] David, Nagaraja, Order Statistics, 3rd ed. (2003), section 7.1 (from memory).

    Examples
    --------
    >>> found = order_by_at(100, [10, 20, 30, 40, 50, 60, 70, 80, 90, 100], 0.8)
    >>> found.day, found.confidence
    (20, 0.8)
    """
    _check(confidence)
    needs, leads = samples_of(need, lead)
    slack = np.sort(needs - leads)[::-1]
    n = len(slack)
    day = _day_at(slack, confidence)
    share = float(np.mean(slack >= day))
    band = 2 * math.sqrt(confidence * (1 - confidence) / n)
    return OrderBy(
        day, share, math.sqrt(share * (1 - share) / n),
        _day_at(slack, min(1.0, confidence + band)), _day_at(slack, max(1 / n, confidence - band)),
        confidence,
    )  # fmt: skip


def order_by_calendar(
    need: ArrayLike, landing: Landing, confidence: float, first: int, last: int
) -> OrderBy | None:
    """Return the same where the landing depends on the day ordered, as with a vendor's closures.

    Parameters
    ----------
    need : array, shape (n,), or number
    landing : callable
        day ordered -> working-day number on hand in each future; never sooner for a later order
    confidence : float
    first, last : int
        the days among which to look [days]

    Returns
    -------
    OrderBy or None
        None where even ordering on `first` is too late

    Examples
    --------
    >>> closed = lambda day: (day if day < 10 else max(day, 20)) + np.array([5.0, 6.0, 7.0])
    >>> order_by_calendar(20, closed, 0.6, 0, 40).day
    9
    """
    _check(confidence)

    def share(day: int) -> float:
        needs, here = samples_of(need, landing(day))
        return float(np.mean(here <= needs))

    n = len(samples_of(need, landing(first))[0])
    band = 2 * math.sqrt(confidence * (1 - confidence) / n)

    def latest(wanted: float) -> int | None:
        low, high = first, last
        if share(low) < wanted:
            return None
        while low < high:
            middle = (low + high + 1) // 2
            low, high = (middle, high) if share(middle) >= wanted else (low, middle - 1)
        return low

    day = latest(confidence)
    if day is None:
        return None
    got = share(day)
    sooner = latest(min(1.0, confidence + band))
    return OrderBy(
        day, got, math.sqrt(got * (1 - got) / n),
        first if sooner is None else sooner, latest(max(1 / n, confidence - band)) or day,
        confidence,
    )  # fmt: skip


def each_of(confidence: float, parts: int) -> float:
    """Return what each of n independent parts needs for all to be here: q^(1/n).

    >>> round(each_of(0.95, 10), 4), round(together(0.98, 20), 2), round(together(0.95, 10), 3)
    (0.9949, 0.67, 0.599)
    """
    _check(confidence)
    if parts < 1:
        raise SamplesError(f"{parts} parts: use 1 or more")
    return float(confidence ** (1 / parts))


def together(confidence: float, parts: int) -> float:
    """Return the chance that n independent parts, each so sure, are all here: q^n."""
    return float(confidence**parts)


def say_together(confidence: float, parts: int) -> str:
    """Return what a confidence per part means for a visit that needs them all.

    >>> say_together(0.98, 20)
    '98 % sure of each of 20 parts is 67 % sure of all of them'
    """
    return (
        f"{confidence:.0%} sure of each of {parts} parts is {together(confidence, parts):.0%} "
        "sure of all of them"
    ).replace("%", " %")


@dataclass(frozen=True, slots=True)
class Visit:
    """Order-by days of all the parts that one visit needs.

    `each` is the confidence of a part by q^(1/n) and `of` the order-by of each part at it;
    `confidence` is the share of futures in which all are here, with its standard `error`. It is
    above what was asked where the parts share their need or their luck: q^(1/n) takes them as
    independent.
    """

    each: float
    of: tuple[OrderBy, ...]
    confidence: float
    error: float


def order_visit(need: ArrayLike, leads: Sequence[ArrayLike], confidence: float) -> Visit:
    """Return the order-by day of each part of a visit, so that all are here with a confidence.

    >>> pick = np.random.default_rng(1)
    >>> visit = order_visit(100, [pick.normal(40, 8, 20_000) for _ in range(4)], 0.9)
    >>> round(visit.each, 3), abs(visit.confidence - 0.9) < 0.02
    (0.974, True)
    """
    each = each_of(confidence, len(leads))
    found = tuple(order_by_at(need, lead, each) for lead in leads)
    needs, *taken = samples_of(need, *leads)
    late = np.zeros(len(needs), dtype=bool)
    for one, lead in zip(found, taken, strict=True):
        late |= one.day + lead > needs
    share = 1 - float(late.mean())
    return Visit(each, found, share, math.sqrt(share * (1 - share) / len(needs)))


def _day_at(slack_falling: Samples, share: float) -> int:
    """Return the last whole day that at least a share of the futures can bear."""
    n = len(slack_falling)
    place = min(n, max(1, math.ceil(share * n - 1e-9)))
    return math.floor(float(slack_falling[place - 1]))


def _check(confidence: float) -> None:
    if not 0 < confidence < 1:
        raise SamplesError(f"confidence {confidence}: use more than 0 and less than 1")
