"""What a vendor's history says about his promises and lead times.

The thing learned is the ratio of actual to promised days, on a log scale: a vendor who takes twice
as long as he says is as far off as one who takes half. One vendor has few deliveries, so he is
shrunk to his class, and the class to a stated prior:

    y = log(actual / promised),  y | m, s ~ normal(m, s^2),
    m | s ~ normal(m0, s^2 / k0),  1 / s^2 ~ gamma(a0, b0)

which is conjugate: after n deliveries the next y is Student's t with 2 a_n degrees of freedom [1]_.
An order that is still open is evidence too: it says that y is above log(days so far / promised).
Then the posterior has no closed form and is integrated on a lattice over m and log s.

References
----------
.. [1] Gelman and others, Bayesian Data Analysis, 3rd ed. (2013), section 3.3 (from memory).
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray
from scipy.special import ndtr, stdtr, stdtrit  # type: ignore[import-untyped]

HISTORY: Final = 10
"""So many deliveries make a history; below, a chance is a guess."""


class LearningError(ValueError):
    """A history that cannot be; the message says what to correct."""


@dataclass(frozen=True, slots=True)
class Delivery:
    """A delivery that came: days from order to site as promised and in truth [days]."""

    promised: float
    actual: float

    def __post_init__(self) -> None:
        if not (self.promised > 0 and self.actual > 0):
            raise LearningError(
                f"promised {self.promised:g} days, took {self.actual:g}: use more than 0; leave "
                "out what was bought over the counter"
            )

    @property
    def log_ratio(self) -> float:
        """log(actual / promised)."""
        return math.log(self.actual / self.promised)


@dataclass(frozen=True, slots=True)
class Open:
    """An order that has not come: days promised, and days gone so far [days]."""

    promised: float
    so_far: float

    def __post_init__(self) -> None:
        if not (self.promised > 0 and self.so_far >= 0):
            raise LearningError(f"promised {self.promised:g} days, {self.so_far:g} so far")


@dataclass(frozen=True, slots=True)
class Belief:
    """Normal-inverse-gamma belief about log(actual / promised), and its prediction.

    Attributes
    ----------
    center : float
        m, mean of the log ratio
    strength : float
        k, in deliveries: how many it would take to move the center half way
    shape, rate : float
        a and b of the gamma on 1 / s^2
    deliveries : int
        how many real ones stand behind it
    """

    center: float
    strength: float
    shape: float
    rate: float
    deliveries: int = 0

    def __post_init__(self) -> None:
        if not (self.strength > 0 and self.shape > 0 and self.rate > 0):
            raise LearningError("strength, shape and rate of a belief must be above 0")

    @classmethod
    def prior(cls, ratio: float, spread: float, strength: float) -> Belief:
        """Return a belief from three plain inputs.

        Parameters
        ----------
        ratio : float
            typical actual / promised
        spread : float
            deviation of its log: 0.25 is about a quarter either way
        strength : float
            how many deliveries the belief counts as, for the center and for the spread

        Examples
        --------
        >>> guess = Belief.prior(1.05, 0.25, 4)
        >>> round(guess.ratio(0.5), 2), round(guess.ratio(0.8), 2)
        (1.05, 1.37)
        """
        if not (ratio > 0 and spread > 0 and strength > 0):
            raise LearningError("ratio, spread and strength of a guess must be above 0")
        return cls(math.log(ratio), strength, strength / 2, strength / 2 * spread**2)

    @property
    def freedom(self) -> float:
        """Degrees of freedom of the prediction."""
        return 2 * self.shape

    @property
    def scale(self) -> float:
        """Scale of the prediction, on the log scale."""
        return math.sqrt(self.rate * (self.strength + 1) / (self.shape * self.strength))

    @property
    def is_history(self) -> bool:
        """Whether enough deliveries stand behind it to be called history."""
        return self.deliveries >= HISTORY

    def ratio(self, share: float) -> float:
        """Return the actual / promised that a share of deliveries stays below."""
        if not 0 < share < 1:
            return 0.0 if share <= 0 else math.inf
        return math.exp(self.center + self.scale * float(stdtrit(self.freedom, share)))

    def chance_by(self, ratio: float) -> float:
        """Return P(actual / promised <= ratio)."""
        if ratio <= 0:
            return 0.0
        return float(stdtr(self.freedom, (math.log(ratio) - self.center) / self.scale))

    def after(self, deliveries: Iterable[Delivery]) -> Belief:
        """Return the belief after deliveries.

        Examples
        --------
        >>> quick = Belief.prior(1.05, 0.25, 4).after([Delivery(20, 20)] * 12)
        >>> round(quick.ratio(0.5), 3), quick.is_history
        (1.012, True)
        """
        logs = np.array([d.log_ratio for d in deliveries])
        n = len(logs)
        if not n:
            return self
        mean = float(logs.mean())
        strength = self.strength + n
        rate = self.rate + 0.5 * float(((logs - mean) ** 2).sum())
        rate += 0.5 * self.strength * n * (mean - self.center) ** 2 / strength
        return Belief(
            (self.strength * self.center + n * mean) / strength,
            strength, self.shape + n / 2, rate, self.deliveries + n,
        )  # fmt: skip


def of_class(vendors: Iterable[Sequence[Delivery]], prior: Belief, strength: float = 4) -> Belief:
    """Return what a class of parts says of a vendor about whom nothing is known.

    The class learns from all its vendors; a vendor's own center is given the weight of `strength`
    deliveries by it, so that his own history soon outweighs it. The spread is taken as one for the
    class; it is learned from all deliveries with the spread between vendors in it, which errs to
    the cautious side.

    Parameters
    ----------
    vendors : iterable of sequences of Delivery
        the history of each *other* vendor of the class: his own would count twice
    prior : Belief
        where the class itself has none
    strength : float
        how many of a vendor's own deliveries weigh as much as the class

    Examples
    --------
    >>> guess = Belief.prior(1.05, 0.25, 4)
    >>> slow = of_class([[Delivery(20, 26)] * 8, [Delivery(40, 50)] * 6], guess)
    >>> round(slow.ratio(0.5), 2), slow.strength, slow.deliveries
    (1.22, 4, 0)
    """
    learned = prior.after(d for deliveries in vendors for d in deliveries)
    return Belief(learned.center, min(strength, learned.strength), learned.shape, learned.rate)


@dataclass(frozen=True, slots=True, eq=False)
class Mixture:
    """A belief with open orders in it: weighted normals on a lattice over m and log s."""

    centers: NDArray[np.float64]
    spreads: NDArray[np.float64]
    weights: NDArray[np.float64]
    deliveries: int

    def __eq__(self, other: object) -> bool:
        """Return whether it is the same belief to the last bit."""
        if not isinstance(other, Mixture):
            return NotImplemented
        mine, theirs = ((m.centers, m.spreads, m.weights) for m in (self, other))
        return self.deliveries == other.deliveries and all(
            np.array_equal(a, b) for a, b in zip(mine, theirs, strict=True)
        )

    def __hash__(self) -> int:
        return hash((self.deliveries, self.centers.tobytes(), self.weights.tobytes()))

    @property
    def is_history(self) -> bool:
        """Whether enough deliveries stand behind it to be called history."""
        return self.deliveries >= HISTORY

    def ratio(self, share: float) -> float:
        """Return the actual / promised that a share of deliveries stays below."""
        if not 0 < share < 1:
            return 0.0 if share <= 0 else math.inf
        middle = float((self.centers * self.weights).sum())
        return math.exp(_reaches(self._below, share, middle - 1, middle + 1))

    def chance_by(self, ratio: float) -> float:
        """Return P(actual / promised <= ratio)."""
        return self._below(math.log(ratio)) if ratio > 0 else 0.0

    def _below(self, y: float) -> float:
        return float((self.weights * ndtr((y - self.centers) / self.spreads)).sum())


def with_open(belief: Belief, orders: Iterable[Open], points: int = 81) -> Belief | Mixture:
    """Return a belief that has also seen orders which are still open.

    Each says only that its ratio is above what it has taken so far (right censoring): its weight
    is the chance of that. One that is far from due changes next to nothing.

    Parameters
    ----------
    belief : Belief
        after the deliveries that came
    orders : iterable of Open
    points : int
        lattice points a side

    Examples
    --------
    >>> guess = Belief.prior(1.05, 0.25, 4)
    >>> overdue = with_open(guess, [Open(20, 30)])
    >>> round(guess.ratio(0.8), 2), round(overdue.ratio(0.8), 2)
    (1.37, 1.65)
    """
    waits = [math.log(o.so_far / o.promised) for o in orders if o.so_far > 0]
    if not waits:
        return belief
    # Integrate where the posterior can lie: log s from the gamma's far tails, m from Student's t,
    # stretched upwards, the way that open orders pull.
    pull = max(0.0, max(waits) - belief.center)
    middle = 0.5 * math.log(belief.rate / belief.shape)
    wide = 5 / math.sqrt(2 * belief.shape)
    log_s = np.linspace(middle - wide, middle + 2 * wide + math.log1p(pull / belief.scale), points)
    steps = 7 * np.exp(log_s) / math.sqrt(belief.strength)
    unit = np.linspace(-1, 1, points)
    s = np.repeat(np.exp(log_s), points)
    span = np.repeat(steps, points)
    m = belief.center + np.tile(unit, points) * (span + pull) + 0.5 * pull
    log_weight = (
        -(2 * belief.shape + 1) * np.log(s)
        - (belief.rate + 0.5 * belief.strength * (m - belief.center) ** 2) / s**2
        + np.log(span + pull)  # the lattice in m is coarser where s is large
    )
    for wait in waits:
        log_weight += np.log(np.maximum(ndtr((m - wait) / s), 1e-300))
    weights = np.exp(log_weight - log_weight.max())
    weights /= weights.sum()
    kept = weights > 1e-12
    return Mixture(m[kept], s[kept], weights[kept] / weights[kept].sum(), belief.deliveries)


@dataclass(frozen=True, slots=True)
class Inputs:
    """The three inputs of a guess [days], and where they come from."""

    low: float
    likely: float
    high: float
    source: str = ""


def basis(belief: Belief | Mixture, inputs: Inputs) -> str:
    """Return what stands behind a chance, for a person.

    >>> basis(Belief.prior(1.05, 0.25, 4), Inputs(40, 50, 80, "common practice"))
    'a guess, not history: 40, 50 or 80 days (common practice); 0 of 10 deliveries so far'
    """
    if belief.is_history:
        return f"history of {belief.deliveries} deliveries"
    source = f" ({inputs.source})" if inputs.source else ""
    return (
        f"a guess, not history: {inputs.low:g}, {inputs.likely:g} or {inputs.high:g} days{source}; "
        f"{belief.deliveries} of {HISTORY} deliveries so far"
    )


def _reaches(cdf: Callable[[float], float], share: float, low: float, high: float) -> float:
    """Return where a rising function reaches a share, by halving; bounds are widened as needed."""
    span = high - low
    while cdf(low) > share and span < 1e6:
        low, span = low - span, 2 * span
    while cdf(high) < share and span < 1e6:
        high, span = high + span, 2 * span
    for _ in range(80):
        middle = (low + high) / 2
        if middle in (low, high):
            break
        low, high = (middle, high) if cdf(middle) < share else (low, middle)
    return (low + high) / 2
