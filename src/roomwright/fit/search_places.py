"""The places of one size, judged in the order of their bounds until none can be better.

A walk path that is too narrow with the piece at one place is as good as ruled out for all places
near by: moving a piece by so many inches widens no path by more.
"""

import math
from collections.abc import Sequence
from dataclasses import replace

import numpy as np

from roomwright.fit.given import Piece
from roomwright.fit.search_found import EVEN
from roomwright.fit.search_judge import Judge
from roomwright.fit.search_stance import Spots, sized
from roomwright.fit.trial import NARROWED, Paths, Trial

TIES = 6
"""Of places with equal margins so many more are judged for one nearer the middle, our choice."""


class Places:
    """The places of one size in some stances, judged in the order of their bounds."""

    def __init__(
        self, judge: Judge, piece: Piece, lots: Sequence[Spots], centre: tuple[float, float]
    ) -> None:
        self.judge, self.piece, self.lots = judge, piece, lots
        self.x = np.concatenate([lot.x for lot in lots])
        self.y = np.concatenate([lot.y for lot in lots])
        self.bound = np.concatenate([lot.bound for lot in lots])
        self.lot = np.repeat(np.arange(len(lots)), [len(lot) for lot in lots])
        whole = 180 if lots[0].straight else 360
        alike = {lot.stance.turn % whole: n for n, lot in enumerate(lots)}
        self._alike = np.array([alike[lot.stance.turn % whole] for lot in lots])
        self.slack = max(lot.slack for lot in lots) + EVEN
        self.off = np.hypot(self.x - centre[0], self.y - centre[1]).round(3)

    def best(self, least: float, budget: int) -> tuple[Trial | None, Spots | None, bool]:
        """The best place, its lot, and whether no other can be better."""
        best: Trial | None = None
        held: Spots | None = None
        margin, off, ties = least - EVEN, math.inf, 0
        while True:
            top = float(self.bound.max(initial=-math.inf))
            if top < margin or (best is not None and top < margin + self.slack):
                near = (self.bound > margin - EVEN) & (self.off < off - EVEN)
                if best is None or ties >= TIES or not near.any():
                    return best, held, True
                ties += 1
                k = int(np.where(near, -self.off, -np.inf).argmax())
            else:
                at_top = self.bound >= top - EVEN
                k = int(np.where(at_top, -self.off, -np.inf).argmax())
            if budget <= 0:
                return best, held, False
            budget -= 1
            trial = self._try(k, margin)
            if trial is None:
                continue
            better = trial.margin > margin + EVEN or (best is None and trial.margin >= margin)
            if better or (trial.margin >= margin - EVEN and float(self.off[k]) < off):
                best, held = trial, self.lots[int(self.lot[k])]
                margin, off = max(margin, trial.margin), float(self.off[k])

    def _try(self, k: int, least: float) -> Trial | None:
        lot = self.lots[int(self.lot[k])]
        self.bound[k] = -np.inf
        top = sized(self.piece, lot.size, lot.stance.turn)
        placed = replace(top, x=float(self.x[k]), y=float(self.y[k]))
        paths = self.judge.paths(placed)
        if paths is None:
            return None
        if paths.bounds:
            self._near(k, paths)
            if min(bound.margin for bound in paths.bounds) < least:
                return None
        return self.judge.of(placed, paths, least)

    def _near(self, k: int, paths: Paths) -> None:
        """Lower the bounds of places near by: a path widens by no more than the piece moves.

        Half a turn leaves a plain piece where it was.
        """
        mine = np.flatnonzero(self._alike[self.lot] == self._alike[self.lot[k]])
        moved = np.hypot(self.x[mine] - self.x[k], self.y[mine] - self.y[k])
        before = {(f"walk path {p.a.id} to {p.b.id}"): p.width for p in self.judge.trials.pairs}
        for bound in paths.bounds:
            still = moved < before[bound.where] - bound.clear - NARROWED
            most = bound.margin + moved
            self.bound[mine] = np.where(still, np.minimum(self.bound[mine], most), self.bound[mine])
