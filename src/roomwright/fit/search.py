"""What fits: the largest rectangular dining table for a room, and where it stands.

Most seats first, then the widest tightest margin, then the larger top, then the place nearest the
middle of the room. Every size of whole inches is weighed at every place of a one-inch grid, along
and across each direction of the room's walls; the best are judged exactly and slid. The search
goes in the order of a bound that no exact judgement exceeds, so it may stop at the first place that
reaches it. See docs/what-fits.md.
"""

import math
from collections.abc import Callable, Sequence
from dataclasses import replace

from roomwright.fit.given import LOCALS
from roomwright.fit.hunt import Hunt
from roomwright.fit.lay import EVEN, Frame, directions
from roomwright.fit.model import Needs, Piece, Room, Space
from roomwright.fit.offers import Offer, Sizes, WhatFits, by_seats
from roomwright.fit.passing import SLIDE
from roomwright.fit.seats import seats
from roomwright.fit.slide import centred
from roomwright.fit.trial import Trial, Trials, without
from roomwright.shape import anticlockwise

__all__ = ["Offer", "Sizes", "Stopped", "WhatFits", "what_fits"]

MOST_TRIALS = 200
"""Places judged exactly for one count of seats before the search gives up its proof."""

MOST_EFFORT = 1_500
"""What a search may do while nothing fits: places judged and paths to what people go to that are
measured at them, our choice: about 20 seconds where pieces crowd a room."""

FEWER_TRIALS = 8
"""The same for fewer seats than the best: they are shown beside it, for comparison."""

ROOMY = 18.0
"""With so much to spare fewer seats are not looked at any more [in]."""


ALIKE: tuple[frozenset[str], ...] = (
    frozenset(),
    frozenset({"left", "right"}),
    frozenset({"front", "back"}),
    frozenset(LOCALS),
)
"""Sides with benches that are the same turned by half."""


class Stopped(Exception):  # noqa: N818 - nothing went wrong
    """The caller stopped the search."""


def what_fits(
    space: Space,
    needs: Needs,
    room: str | None = None,
    *,
    sizes: Sizes | None = None,
    instead_of: Sequence[str] | None = None,
    front_to: float = 12.0,
    progress: Callable[[float], None] | None = None,
    stop: Callable[[], bool] | None = None,
    table: Piece | None = None,
    judged_by: type[Trials] = Trials,
) -> WhatFits:
    """The largest rectangular dining table for a room.

    Parameters
    ----------
    space, room
        The space, and which of its rooms the table is to stand in (its first by default).
    needs
        Figures in force; `dining.rise` must be among them.
    sizes
        Which sizes to weigh.
    instead_of
        Ids of the pieces that the table replaces; by default all that seat people in that room.
    front_to
        How short of the figures the front goes [in].
    progress, stop
        Told how far the search is, from 0 to 1; asked whether to stop.
    table
        What is looked for, with its features; by default like what it replaces. One that is not
        the same turned by half is looked for both ways.
    judged_by
        What judges a place.

    Raises
    ------
    KeyError
        If the room is not one of the space's.
    ValueError
        If `dining.rise` is not known.

    Examples
    --------
    Twelve by fourteen feet, empty, one opening: 36 in. all round leave 72 by 96.

    >>> walls = ((0, 0), (168, 0), (168, 144), (0, 144))
    >>> dining = Space((Room("101", "Dining", walls),), walls)
    >>> found = what_fits(dining, Needs({"dining.rise": 36}))
    >>> best = found.best
    >>> best.length, best.width, best.x, best.y, best.turn, best.seats, best.margin
    (84.0, 48.0, 84.0, 72.0, 0.0, 8, 6.0)
    """
    this = space.room(room) if room is not None else space.rooms[0]
    old = [p for p in space.pieces if p.room in (this.id, "") and p.sort.seats]
    ids = [p.id for p in old] if instead_of is None else list(instead_of)
    stand_in = table or _stand_in(space, ids, this.id)
    search = _Search(
        judged_by(without(space, ids), needs, this.outline, _asking(stop)),
        this,
        stand_in,
        sizes or Sizes(),
        front_to,
    )
    return search.run(progress or (lambda _: None))


def _asking(stop: Callable[[], bool] | None) -> Callable[[], None]:
    def ask() -> None:
        if stop is not None and stop():
            raise Stopped

    return ask


def _stand_in(space: Space, ids: Sequence[str], room: str) -> Piece:
    """The piece that the offered table takes the place of, or a new one."""
    for piece in space.pieces:
        if piece.id in ids and not piece.round:
            return replace(piece, room=room)
    return Piece("table", "dining table", "dining table", None, None, 30.0, room=room)


class _Search:
    def __init__(
        self, trials: Trials, room: Room, table: Piece, sizes: Sizes, front_to: float
    ) -> None:
        self.trials, self.table, self.sizes = trials, table, sizes
        self.front_to = front_to
        self.weighed = 0
        outline = anticlockwise(room.outline)
        plain = table.id in {piece for piece, _ in trials.space.overrides}
        bench = bool(table.told.benches)
        self.frames = [
            Frame(trials, outline, angle, plain=plain, bench=bench) for angle in directions(outline)
        ]
        self.halves = (False,) if table.told.benches in ALIKE else (False, True)

    def run(self, progress: Callable[[float], None]) -> WhatFits:
        """Every count of seats in turn, most first."""
        figures = frozenset(self.trials.needs.figures.items())
        counts = by_seats(self.sizes, figures, self.table.told)
        front: list[Offer] = []
        best: Offer | None = None
        complete = True
        proved, spent = True, False
        try:
            for done, (_, group) in enumerate(counts):
                progress(done / len(counts))
                budget = MOST_TRIALS if best is None else FEWER_TRIALS
                most = MOST_EFFORT if best is None else math.inf
                if self.trials.effort >= most:
                    proved, spent = False, True
                    if done < len(counts) - 1:
                        continue
                    budget, most = FEWER_TRIALS, math.inf  # fewest seats: how short those are
                offer, sure = self._best(group, budget, front[-1] if best else None, most)
                if best is None:
                    proved &= sure
                if offer is None:
                    continue
                front.append(offer)
                if best is None and offer.margin >= -EVEN:
                    best = offer
                    best = front[-1] = self._offer(self._centred(offer.trial), offer.proved)
                if offer.margin >= ROOMY:
                    break
        except Stopped:
            complete = False
        progress(1.0)
        more = [o for o in front if o.margin < -EVEN and (best is None or o.seats > best.seats)]
        return WhatFits(
            best=best,
            front=tuple(front),
            stops=more[-1] if more else None,
            proved=proved and (complete or best is not None),
            complete=complete,
            weighed=self.weighed,
            judged=self.trials.judged,
            effort=self.trials.effort,
            spent=spent or (best is None and self.trials.effort >= MOST_EFFORT),
        )

    def _best(
        self,
        sizes: frozenset[tuple[int, int]],
        budget: int,
        start: Offer | None,
        most_effort: float,
    ) -> tuple[Offer | None, bool]:
        """The best offer among sizes that seat equally many, and whether that is proved."""
        best: Hunt | None = None
        proved = True
        for half in self.halves:
            hunt = Hunt(
                self.trials, self.frames, self.table, sizes, lowest=-self.front_to,
                budget=budget, half=half, most_effort=most_effort,
            )  # fmt: skip
            if start is not None:
                hunt.start_at(start.piece)
            proved &= hunt.run()
            self.weighed += hunt.weighed
            if hunt.best is not None and (best is None or hunt.key > best.key):
                best = hunt
        if best is None or best.best is None:
            return None, proved
        return self._offer(best.best, proved), proved

    def _centred(self, trial: Trial) -> Trial:
        """The best table moved toward the middle of the room where that costs nothing."""
        frame = self.frames[0]
        x, y = frame.centre.tolist()
        return centred(self.trials, trial, frame.out((x, y)), SLIDE)

    def _offer(self, trial: Trial, proved: bool) -> Offer:
        x, y, length, width = trial.piece.where
        return Offer(
            length=length,
            width=width,
            x=x,
            y=y,
            turn=trial.piece.turn,
            seats=seats(length, width, self.trials.needs, features=self.table.told).total,
            margin=trial.margin,
            bound=trial.bounds[0],
            trial=trial,
            proved=proved,
        )
