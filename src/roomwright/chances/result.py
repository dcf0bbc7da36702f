"""What a simulation gives: quantiles with their standard errors, and who causes delay."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from typing import Final

import numpy as np
import numpy.typing as npt

Floats = npt.NDArray[np.float64]
Days = npt.NDArray[np.int32]

_Z: Final = 1.959963984540054
"""Half the width of a 95 % interval, in standard errors."""


@dataclass(frozen=True, slots=True)
class Quantiles:
    """Where a working-day number lies: quantiles, mean and spread of the samples [days].

    A quantile is the least sample that so many are not above. Its standard error `*_se` is the
    width of the distribution-free 95 % interval between two order statistics, over 2 x 1.96: the
    ranks are ``n q -+ 1.96 sqrt(n q (1 - q))``, as the number of samples below the true quantile
    is binomial [1]_. No shape is assumed.

    References
    ----------
    .. [1] David, Nagaraja (2003), Order Statistics, 3rd edition, section 7.1 (from memory).

    Examples
    --------
    >>> found = Quantiles.of(np.arange(1, 10_001) / 100)
    >>> found.p80, round(found.p80_se, 2)
    (80.0, 0.4)
    """

    p10: float
    p50: float
    p80: float
    p90: float
    p10_se: float
    p50_se: float
    p80_se: float
    p90_se: float
    mean: float
    sd: float

    @classmethod
    def of(cls, samples: Floats) -> Quantiles:
        """Return the quantiles of samples."""
        rising = np.sort(samples)
        found = [quantile(rising, q) for q in (0.1, 0.5, 0.8, 0.9)]
        mean = float(rising.mean())
        values, errors = zip(*found, strict=True)
        numbers = (*values, *errors, mean, float(rising.std()))
        return cls(**dict(zip(cls.__slots__, numbers, strict=True)))


def quantile(rising: Floats, chance: float) -> tuple[float, float]:
    """Return a quantile of sorted samples and its standard error."""
    count = len(rising)
    half = _Z * math.sqrt(count * chance * (1 - chance))
    at = max(0, math.ceil(count * chance - 1e-9) - 1)
    low = max(0, math.floor(count * chance - half) - 1)
    high = min(count - 1, math.ceil(count * chance + half) - 1)
    return float(rising[at]), float(rising[high] - rising[low]) / (2 * _Z)


@dataclass(frozen=True, slots=True)
class When:
    """When an activity starts and finishes, in working-day numbers [days]."""

    start: Quantiles
    finish: Quantiles


class Watched(Mapping[str, When]):
    """The dates of the watched activities: whole steps by sample, quantiles when asked for.

    Parameters
    ----------
    ids : tuple of str
    steps : (2 len(ids), n) array of int32
        starts and finishes by turns
    per_day, zero : int, float
        steps of a day, and the working-day number of step 0
    """

    def __init__(self, ids: tuple[str, ...], steps: Days, per_day: int, zero: float) -> None:
        self._at = {id: row for row, id in enumerate(ids)}
        self._steps, self._per_day, self._zero = steps, per_day, zero
        self._found: dict[str, When] = {}

    def __getitem__(self, id: str) -> When:
        if id not in self._found:
            start, finish = self.samples(id)
            self._found[id] = When(Quantiles.of(start), Quantiles.of(finish))
        return self._found[id]

    def __iter__(self) -> Iterator[str]:
        return iter(self._at)

    def __len__(self) -> int:
        return len(self._at)

    def samples(self, id: str) -> tuple[Floats, Floats]:
        """Return start and finish of an activity in each sample [working-day numbers]."""
        rows = self._steps[2 * self._at[id] : 2 * self._at[id] + 2]
        start, finish = rows / self._per_day + self._zero
        return start, finish


@dataclass(frozen=True, slots=True, eq=False)
class Chances:
    """What a simulation found; days are working days of the house calendar.

    Attributes
    ----------
    finish : Quantiles
        of the end of the whole
    of : mapping of activity id to When
        start and finish of every watched activity; ``of.samples(id)`` gives the samples
    late : mapping of activity id to When
        late start and finish of those that were asked for
    criticality : mapping of activity id to float
        share of the samples in which it has no float [1]_; 0 for finished work
    cruciality : mapping of activity id to float
        absolute correlation of its days with the end [2]_; of uncertain activities only
    expected_days : mapping of name to float
        by how many days the end would come sooner on average, were the activity (or the named
        group) never later than planned and all other luck the same. They do not sum to the bias:
        two late things that wait for each other cause it together, and neither alone
    expected_days_se : mapping of name to float
        standard error of each
    samples, seed : int
    deterministic : float
        the end with planned days
    finishes : array of float
        the end in each sample

    References
    ----------
    .. [1] Van Slyke (1963), "Monte Carlo methods and the PERT problem", Operations Research 11
       (from memory).
    .. [2] Williams (1992), "Criticality in stochastic networks", J. Operational Research Society
       43 (from memory).
    """

    finish: Quantiles
    of: Watched
    late: Watched
    criticality: Mapping[str, float]
    cruciality: Mapping[str, float]
    expected_days: Mapping[str, float]
    expected_days_se: Mapping[str, float]
    samples: int
    seed: int
    deterministic: float
    finishes: Floats = field(repr=False)

    @property
    def bias(self) -> float:
        """How much later the middle of the samples ends than the plan says [days]."""
        return self.finish.p50 - self.deterministic

    def chance_by(self, number: float) -> float:
        """Return the chance that all has ended by a finish number."""
        return float((self.finishes <= number).mean())

    def sure_by(self, chance: float) -> tuple[float, float]:
        """Return the finish number that is kept with a chance, and its standard error [days]."""
        return quantile(np.sort(self.finishes), chance)
