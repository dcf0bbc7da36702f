"""How long a thing may take: a spread of days, and what several things have in common.

Each spread is drawn by its inverse: one random number between 0 and 1 gives one duration. The
triangle has a closed form; the other shapes are tables of the inverse with straight lines between
1,024 knots and as many again in each tail of 1/64, so that every way of computing gives the same
days to the last bit.
"""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass
from functools import lru_cache
from itertools import pairwise
from statistics import NormalDist
from typing import Final, Literal, get_args

import numpy as np
import numpy.typing as npt

Kind = Literal["fixed", "triangular", "pert", "lognormal", "quantiles"]
Shape = tuple[str, float | tuple[float, ...]]
"""The name of a table, and what it is drawn up from."""
Floats = npt.NDArray[np.float64]

Z90: Final = NormalDist().inv_cdf(0.9)
CELLS: Final = 1024
LOW_END: Final = 1 / 64
"""The tails that have knots of their own: the first and the last 64th."""
SHARES: Final = (
    *(0.005, 0.01, 0.025, 0.05, 0.1, 0.2, 0.3, 0.4, 0.5),
    *(0.6, 0.7, 0.8, 0.9, 0.95, 0.975, 0.99, 0.995),
)
"""The chances at which a spread by its quantiles is told."""


class ChancesError(ValueError):
    """What was given contradicts itself; each of `problems` is one plain sentence."""

    def __init__(self, *problems: str) -> None:
        self.problems = problems
        super().__init__("\n".join(problems))


@dataclass(frozen=True, slots=True)
class Spread:
    """The days an activity may take [working days].

    Parameters
    ----------
    kind : str
        ``fixed`` (always `likely`); ``triangular`` and ``pert`` (a beta, mean
        ``(low + 4 likely + high) / 6``) from least to most; ``lognormal``, where `low` and `high`
        are the days that one in ten stays under and one in ten goes over; ``quantiles``, as `told`
    low, likely, high : float
        days, not negative and in this order; a lognormal takes its shape from `low` and `high`
        alone
    told : tuple of float
        of ``quantiles`` the days at each of `SHARES`; beyond the first and last it goes no further

    References
    ----------
    .. [1] Malcolm, Roseboom, Clark, Fazar (1959), "Application of a technique for research and
       development program evaluation", Operations Research 7 (from memory).
    .. [2] Trietsch, Mazmanyan, Gevorgyan, Baker (2012), "Modeling activity times by the Parkinson
       distribution with a lognormal core", EJOR 216 (from memory): why lognormal.

    Examples
    --------
    >>> Spread("triangular", 3, 4, 6).mean, Spread("pert", 4, 5, 12).mean
    (4.333333333333333, 6.0)
    >>> orders = Spread.lognormal(mean=40, sd=8)
    >>> round(orders.low, 2), round(orders.high, 2), round(orders.quantile(0.95), 2)
    (30.43, 50.56, 54.33)
    """

    kind: Kind
    low: float
    likely: float
    high: float
    told: tuple[float, ...] = ()

    def __post_init__(self) -> None:
        if self.kind not in get_args(Kind):
            kinds = ", ".join(get_args(Kind))
            raise ChancesError(f"no kind of spread {self.kind!r}: use {kinds}")
        days = (self.low, self.likely, self.high)
        if not all(math.isfinite(d) for d in days) or not 0 <= days[0] <= days[1] <= days[2]:
            raise ChancesError(
                f"{self.low:g}, {self.likely:g}, {self.high:g} days: give least, likely and most "
                "in this order, none negative"
            )
        if self.high > 2000:
            raise ChancesError(f"{self.high:g} days: use 0 to 2000 working days")
        if self.kind == "lognormal" and self.low <= 0:
            raise ChancesError("a lognormal never takes 0 days: give a low above 0")
        if (self.kind == "quantiles") != bool(self.told):
            raise ChancesError("days at each share are for a spread by its quantiles, and its all")
        if self.told and (
            len(self.told) != len(SHARES)
            or not 0 < self.told[0] <= self.told[-1] <= 2000
            or any(a > b for a, b in pairwise(self.told))
        ):
            raise ChancesError("give days for each share, above 0, up to 2000, none falling")
        if self.kind == "fixed" and self.low != self.high:
            raise ChancesError(f"fixed, and yet {self.low:g} to {self.high:g} days: give one")

    @classmethod
    def fixed(cls, days: float) -> Spread:
        """Return the spread that is none."""
        return cls("fixed", days, days, days)

    @classmethod
    def quantiles(cls, days: Iterable[float]) -> Spread:
        """Return the spread with these days at each of `SHARES`; between them it is smooth.

        >>> from scipy.stats import gamma
        >>> waits = Spread.quantiles(gamma(4, scale=5).ppf(SHARES))
        >>> round(waits.low, 2), round(waits.quantile(0.75)), round(gamma(4, scale=5).ppf(0.75))
        (8.72, 26, 26)
        """
        told = tuple(float(d) for d in days)
        if len(told) != len(SHARES):
            raise ChancesError("give days for each share, above 0, up to 2000, none falling")
        if told[0] == told[-1]:
            return cls.fixed(told[0])
        low, likely, high = (told[SHARES.index(q)] for q in (0.1, 0.5, 0.9))
        return cls("quantiles", low, likely, high, told)

    @classmethod
    def lognormal(cls, *, mean: float, sd: float) -> Spread:
        """Return the lognormal with this mean and standard deviation; its median is `likely`."""
        if not mean > 0 or not sd >= 0:
            raise ChancesError(f"mean {mean:g}, sd {sd:g}: give a mean above 0 and an sd of 0 up")
        sigma = math.sqrt(math.log1p((sd / mean) ** 2))
        median = mean * math.exp(-(sigma**2) / 2)
        width = math.exp(Z90 * sigma)
        return cls("lognormal", median / width, median, median * width)

    @property
    def mean(self) -> float:
        """The mean [working days]."""
        if self.kind == "triangular":
            return (self.low + self.likely + self.high) / 3
        if self.kind == "pert":
            return (self.low + 4 * self.likely + self.high) / 6
        if self.kind == "lognormal":
            return math.sqrt(self.low * self.high) * math.exp(self._sigma**2 / 2)
        if self.kind == "quantiles":
            return float(np.trapezoid(table(self.shape), knots())) * self.likely
        return self.likely

    @property
    def _sigma(self) -> float:
        """The standard deviation of the logarithm of a lognormal."""
        return (math.log(self.high) - math.log(self.low)) / (2 * Z90)

    def quantile(self, chance: float) -> float:
        """Return the days that are kept with a chance between 0 and 1."""
        if self.low == self.high and not self.told:
            return self.likely
        if self.kind == "triangular":
            wide = self.high - self.low
            if chance * wide < self.likely - self.low:
                return self.low + math.sqrt(chance * wide * (self.likely - self.low))
            return self.high - math.sqrt((1 - chance) * wide * (self.high - self.likely))
        shape = self.shape
        found = float(np.interp(chance, knots(), table(shape)))
        offset, scale = self.place
        return offset + scale * found

    def chance_within(self, days: float) -> float:
        """Return the chance that it takes no longer.

        >>> Spread("triangular", 3, 4, 6).chance_within(4)
        0.333...
        """
        if self.told and not self.told[0] <= days < self.told[-1]:
            return float(days >= self.told[-1])
        if days >= self.high and self.kind != "lognormal" and not self.told:
            return 1.0
        if days < self.low and self.kind != "lognormal" and not self.told:
            return 0.0
        if self.low == self.high and not self.told:
            return float(days >= self.high)
        if self.kind == "triangular":
            wide = self.high - self.low
            if days <= self.likely:
                above = self.likely - self.low
                return (days - self.low) ** 2 / (wide * above) if above else 0.0
            return 1 - (self.high - days) ** 2 / (wide * (self.high - self.likely))
        offset, scale = self.place
        return float(np.interp((days - offset) / scale, table(self.shape), knots()))

    @property
    def shape(self) -> Shape:
        """The table of a ``pert``, a ``lognormal`` or ``quantiles``."""
        if self.told:
            return "quantiles", tuple(d / self.likely for d in self.told)
        if self.kind == "pert":
            return "pert", (self.likely - self.low) / (self.high - self.low)
        return "lognormal", self._sigma

    @property
    def place(self) -> tuple[float, float]:
        """What the table is shifted by and stretched by [working days]."""
        if self.kind == "pert":
            return self.low, self.high - self.low
        if self.told:
            return 0.0, self.likely
        return 0.0, math.sqrt(self.low * self.high)


@dataclass(frozen=True, slots=True)
class Factor:
    """What several activities have in common: a trade, a vendor, the weather.

    It multiplies the days of all its members by one lognormal number of mean 1.

    Parameters
    ----------
    name : str
    sigma : float
        standard deviation of its logarithm: 0.1 is about 10 %
    """

    name: str
    sigma: float

    def __post_init__(self) -> None:
        if not 0 <= self.sigma <= 2:
            raise ChancesError(f"factor {self.name}: sigma {self.sigma:g}: use 0 to 2")


@dataclass(frozen=True, slots=True)
class Uncertain:
    """An activity whose days are not known.

    Parameters
    ----------
    activity : str
        its id in the network
    spread : Spread
    factors : tuple of str
        names of the factors it shares
    luck : str
        whose random numbers it draws: those of its own id, where empty. Lines on one truck share
        one: they are early and late together
    """

    activity: str
    spread: Spread
    factors: tuple[str, ...] = ()
    luck: str = ""


def knots() -> Floats:
    """Return the chances at which tables have their knots, in rising order."""
    return _knots()


@lru_cache(maxsize=1)
def _knots() -> Floats:
    tail = np.arange(CELLS + 1) / CELLS * LOW_END
    body = np.arange(CELLS + 1) / CELLS
    body = body[(body > LOW_END) & (body < 1 - LOW_END)]
    return np.concatenate([tail, body, (1 - tail)[::-1]])


@lru_cache(maxsize=1)
def _scores() -> tuple[Floats, Floats]:
    """Return the normal scores of the knots, cut off at both ends, and of `SHARES`."""
    of = NormalDist().inv_cdf
    kept = np.clip(_knots(), SHARES[0], SHARES[-1])
    return np.array([of(q) for q in kept]), np.array([of(q) for q in SHARES])


@lru_cache(maxsize=512)
def table(shape: Shape) -> Floats:
    """Return the inverse of a shape at the `knots`."""
    name, number = shape
    if isinstance(number, tuple):
        return np.asarray(np.exp(np.interp(*_scores(), np.log(number))))
    if name == "pert":
        return _beta_inverse(1 + 4 * number, 5 - 4 * number)
    least = 2.0**-33  # half of the smallest random number: no infinite days
    chances = np.clip(_knots(), least, 1 - least)
    normal = np.array([NormalDist().inv_cdf(p) for p in chances])
    spread = np.exp(number * normal)
    return np.asarray(spread * math.exp(-(number**2) / 2) if name == "factor" else spread)


def _beta_inverse(a: float, b: float) -> Floats:
    """Return the inverse of a beta distribution at the knots, by integrating its density."""
    # x = sin(t)^2 takes both ends gently: the density in t is smooth for a, b of 1 and more
    t = np.linspace(0, math.pi / 2, 8193)
    nodes, weights = np.polynomial.legendre.leggauss(4)
    half = (t[1] - t[0]) / 2
    inside = t[:-1, None] + half * (1 + nodes)
    density = 2 * np.sin(inside) ** (2 * a - 1) * np.cos(inside) ** (2 * b - 1)
    grown = np.concatenate([[0.0], np.cumsum((density * weights).sum(axis=1) * half)])
    found = np.interp(_knots(), grown / grown[-1], t)
    return np.asarray(np.sin(found) ** 2)
