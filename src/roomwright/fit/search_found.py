"""What the search for a piece of any kind answers."""

from dataclasses import dataclass, field, replace
from typing import Literal

from roomwright.fit.given import Piece
from roomwright.fit.search_wanted import Size, Wanted
from roomwright.fit.trial import Bound, Trial

EVEN = 1e-3
"""Margins that differ by less are equal [in]."""


@dataclass(frozen=True, slots=True)
class Slid:
    """A piece that has moved to make room: how far east and north [in]."""

    piece: str
    name: str
    dx: float
    dy: float


@dataclass(frozen=True, slots=True)
class Option:
    """A piece that the search offers: its size and place, what holds it, what it costs.

    `where` says how it stands ("against wall B"), `key` tells options apart, `seats` how many
    sit at it by the rule asked for (0 for what nobody sits at), `by_rules` what every rule says.
    A negative `margin` is short of its figure by so much. `fewer` seats, `narrower` and
    `shallower` inches are what it costs against the best. `proved` says that no place that was
    to be weighed is better for it.
    """

    size: Size
    trial: Trial
    key: str
    where: str
    seats: int = 0
    by_rules: tuple[tuple[str, int], ...] = ()
    proved: bool = True
    slid: tuple[Slid, ...] = ()
    fewer: int = 0
    narrower: float = 0.0
    shallower: float = 0.0

    @property
    def piece(self) -> Piece:
        """The piece, to be drawn or put in its place."""
        return self.trial.piece

    @property
    def margin(self) -> float:
        """The tightest margin [in]."""
        return self.trial.margin

    @property
    def bound(self) -> Bound:
        """What is tightest."""
        return self.trial.bounds[0]

    @property
    def fits(self) -> bool:
        """Whether every figure is met."""
        return self.margin >= -EVEN

    @property
    def value(self) -> tuple[float, ...]:
        """Seats if people sit at it, else its area: more is better."""
        return (float(self.seats),) if self.seats else (self.size.area,)

    def against(self, best: "Option | None") -> "Option":
        """The same with what it costs against the best."""
        if best is None:
            return self
        return replace(
            self,
            fewer=best.seats - self.seats,
            narrower=best.size.width - self.size.width,
            shallower=best.size.depth - self.size.depth,
        )


@dataclass(frozen=True, slots=True)
class WallLimit:
    """How far a wall may be nearer than measured until the best no longer stands.

    `holds` is that distance [in] (`until` at least, where `open_ended`), `by` what then is short;
    `word` is the verdict until then.
    """

    wall: str
    name: str
    holds: float
    open_ended: bool
    by: str
    word: Literal["fits", "tight"] = "fits"


@dataclass(frozen=True, slots=True)
class Found:
    """The answer to "what fits": the best, others that differ, the front, and what stops more.

    `best` is None where nothing fits. `others` differ from it and from each other in wall,
    direction or size. `front` runs from the largest size that was judged down, one a size (one a
    count of seats at a table), also short ones. `stops` is the next larger one, short of what
    stops it; `no_larger` says why there is none. `walls` is how far each wall may be nearer.
    `proved` and `stopped` say whether the search ended by itself, and if not why. `leaf_in` says
    of a table with a leaf how the best stands with it in.
    """

    wanted: Wanted
    best: Option | None
    others: tuple[Option, ...] = ()
    front: tuple[Option, ...] = ()
    stops: Option | None = None
    no_larger: str = ""
    walls: tuple[WallLimit, ...] = ()
    proved: bool = True
    stopped: str = ""
    tried: int = 0
    judged: int = 0
    seats_rule: str = ""
    gone: tuple[str, ...] = field(default=())
    leaf_in: str = ""

    def if_short(self, by: float = 0.5) -> Option | None:
        """The first option that still stands if all is so much less than measured [in]."""
        every = [o for o in (self.best, *self.others, *self.front) if o is not None]
        return next((o for o in every if o.margin >= by - EVEN), None)
