"""What the search for a table is given and what it answers: sizes, offers, the front."""

from dataclasses import dataclass
from functools import lru_cache

from roomwright.fit.features import PLAIN, Features
from roomwright.fit.lay import EVEN
from roomwright.fit.model import Needs, Piece
from roomwright.fit.seats import counted, seats
from roomwright.fit.trial import Bound, Trial


@dataclass(frozen=True, slots=True)
class Sizes:
    """Sizes of table to weigh [in]: length and width from least to most, whole inches."""

    least_length: int = 36
    most_length: int = 144
    least_width: int = 30
    most_width: int = 48

    def __post_init__(self) -> None:
        for name in ("length", "width"):
            least, most = getattr(self, f"least_{name}"), getattr(self, f"most_{name}")
            if not 1 <= least <= most <= 600:
                raise ValueError(
                    f"a table's {name} runs from {least} to {most} in.; give 1 to 600, least first"
                )


@dataclass(frozen=True, slots=True)
class Offer:
    """A table that the search offers: its size, place, seats and what holds it.

    `x, y` is its center; at `turn` its length runs so many degrees anticlockwise from east.
    `margin` is the tightest of all margins; a negative one is short of the figure by so much.
    `bound` is what is tightest. `proved` says that no place on the grid beats it.
    """

    length: float
    width: float
    x: float
    y: float
    turn: float
    seats: int
    margin: float
    bound: Bound
    trial: Trial
    proved: bool

    @property
    def piece(self) -> Piece:
        """The table as a piece, to be drawn or put in its place."""
        return self.trial.piece

    @property
    def area(self) -> float:
        """Area of its top [in2]."""
        return self.length * self.width


@dataclass(frozen=True, slots=True)
class WhatFits:
    """The answer: the best table, the front of seats against margin, and what stops more.

    `best` is None where nothing fits. `front` has the best offer for each count of seats, most
    seats first, also where its margin is negative, down to the first with 18 in. to spare.
    `stops` is the offer with the next more seats: what it is short of is what stops them.
    `spent` says that so much was done in vain that not all seats were tried.
    `proved` says that no place on the grid seats more, or as many with a wider margin, than the
    best; `complete` is False if the search was stopped.
    """

    best: Offer | None
    front: tuple[Offer, ...]
    stops: Offer | None
    proved: bool
    complete: bool
    weighed: int
    judged: int
    effort: int = 0
    spent: bool = False

    def if_short(self, by: float = 0.5) -> Offer | None:
        """The offer that still stands if a wall is so much nearer than measured [in]."""
        return next((offer for offer in self.front if offer.margin >= by - EVEN), None)


@lru_cache(maxsize=32)
def by_seats(
    sizes: Sizes, figures: frozenset[tuple[str, float]], features: Features = PLAIN
) -> list[tuple[int, frozenset[tuple[int, int]]]]:
    """Sizes by how many they seat, most seats first."""
    needs = Needs(dict(figures))
    found = counted(
        ((length, width), seats(length, width, needs, features=features))
        for length in range(sizes.least_length, sizes.most_length + 1)
        for width in range(sizes.least_width, min(sizes.most_width, length) + 1)
    )
    return sorted(((k, frozenset(v)) for k, v in found.items() if k), reverse=True)
