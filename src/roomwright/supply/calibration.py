"""How past P80s came true: of what was to come by a day, how much did."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Literal

from scipy.special import betaincinv  # type: ignore[import-untyped]

from roomwright.supply.learning import HISTORY

Verdict = Literal["too few yet", "too hopeful", "too cautious", "as sure as it said"]


@dataclass(frozen=True, slots=True)
class Quote:
    """What was said and what became of it.

    Attributes
    ----------
    said : float
        days, or working-day number, that was named at the confidence
    actual : float, optional
        what it was; None while it is open
    so_far : float
        how far it has come, where it is open
    """

    said: float
    actual: float | None
    so_far: float = 0


@dataclass(frozen=True, slots=True)
class Calibration:
    """How many of the quotes came true, and between which shares the truth lies.

    Attributes
    ----------
    asked : float
        the confidence that was claimed
    came, of : int
        how many came in time, of how many that are decided
    low, high : float
        exact 95 % interval of the share (Clopper-Pearson)
    undecided : int
        open quotes whose day has not come
    """

    asked: float
    came: int
    of: int
    low: float
    high: float
    undecided: int

    @property
    def verdict(self) -> Verdict:
        """What the interval says; nothing below ten."""
        if self.of < HISTORY:
            return "too few yet"
        if self.high < self.asked:
            return "too hopeful"
        return "too cautious" if self.low > self.asked else "as sure as it said"

    @property
    def text(self) -> str:
        """It in words."""
        if not self.of:
            return f"nothing yet tells whether {self.asked:.0%} was right".replace("%", " %")
        return (
            f"of {self.of} that were {self.asked:.0%} sure, {self.came} came in time "
            f"({self.came / self.of:.0%}; the truth lies between {self.low:.0%} and "
            f"{self.high:.0%}): {self.verdict}"
        ).replace("%", " %")


def calibration(quotes: Iterable[Quote], asked: float) -> Calibration:
    """Return how quotes at one confidence came true.

    What is open and past its day has failed already; to leave it out would flatter. What is open
    and not yet due says nothing, and is counted apart. That is still a little too harsh: of the
    quotes not yet due, those that came early are counted and the others are not there yet, and the
    reverse; judge by quotes that are all due where you can.

    Examples
    --------
    >>> past = [Quote(30, 28)] * 9 + [Quote(30, 35), Quote(20, None, 24), Quote(50, None, 3)]
    >>> print(calibration(past, 0.8).text)
    of 11 that were 80 % sure, 9 came in time (82 %; the truth lies between 48 % and 98 %):
    as sure as it said
    """
    came = of = undecided = 0
    for quote in quotes:
        if quote.actual is not None:
            came, of = came + (quote.actual <= quote.said), of + 1
        elif quote.so_far > quote.said:
            of += 1
        else:
            undecided += 1
    low, high = binomial_interval(came, of) if of else (0.0, 1.0)
    return Calibration(asked, came, of, low, high, undecided)


def binomial_interval(came: int, of: int, sure: float = 0.95) -> tuple[float, float]:
    """Return the exact two-sided interval of a share seen `came` times of `of` [1]_.

    .. [1] Clopper, Pearson (1934), Biometrika 26:404 (from memory).

    >>> [round(edge, 3) for edge in binomial_interval(8, 10)]
    [0.444, 0.975]
    """
    if not 0 <= came <= of or of < 1:
        raise ValueError(f"{came} of {of}: give a count and of how many")
    tail = (1 - sure) / 2
    low = float(betaincinv(came, of - came + 1, tail)) if came else 0.0
    high = float(betaincinv(came + 1, of - came, 1 - tail)) if came < of else 1.0
    return low, high
