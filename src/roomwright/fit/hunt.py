"""The search among tables that seat equally many: in the order of a bound, level by level.

See docs/what-fits.md.
"""

import heapq
import math
from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from roomwright.fit.bounds import Floats, Ints
from roomwright.fit.lay import EVEN, Frame, Places
from roomwright.fit.model import Piece
from roomwright.fit.passing import SLIDE
from roomwright.fit.slide import evened, promise
from roomwright.fit.trial import Trial, Trials

LEVEL = 6.0
"""Margins are sought in steps of this, from wide to narrow [in]."""

Name = tuple[int, bool, int, int]


@dataclass(frozen=True, slots=True, order=True)
class Lot:
    """Places of one size in one lay that wait to be judged, lowest rank first."""

    rank: tuple[float, ...]
    frame: int
    across: bool
    length: int
    width: int


class Hunt:
    """The search among sizes that seat equally many, best bound first.

    It goes level by level: the bound is sharper where margins are known to be large.
    """

    def __init__(
        self,
        trials: Trials,
        frames: Sequence[Frame],
        table: Piece,
        sizes: frozenset[tuple[int, int]],
        *,
        lowest: float,
        budget: int,
        half: bool = False,
        most_effort: float = math.inf,
    ) -> None:
        self.trials, self.frames, self.table, self.sizes = trials, frames, table, sizes
        self.lowest, self.budget, self.half = lowest, budget, half
        self.most_effort = most_effort
        self.widest = max(width for _, width in sizes)
        self.weighed = 0
        self.best: Trial | None = None
        self.key: tuple[float, float, float] = (lowest - EVEN, 0.0, 0.0)
        self.least, self.ceiling, self.level = lowest, math.inf, 0.0
        self.seen: set[Name] = set()
        self.queue: list[Lot] = []
        self.places: dict[Name, Places] = {}
        self.tried: dict[Name, list[tuple[int, int]]] = {}

    def run(self) -> bool:
        """Go down level by level to the `best`; False if the budget ran out before it is proved."""
        most = max(
            (
                self.frames[frame].most(*((width, length) if across else (length, width)))
                for frame, across, length, width in self._smallest()
            ),
            default=-math.inf,
        )
        ceiling = math.inf
        level = max(self.lowest, LEVEL * math.floor(most / LEVEL))
        while most >= self.lowest:
            self.least, self.ceiling, self.level = level, ceiling, level
            self.seen.clear()
            self.queue.clear()
            self.places.clear()
            for lot in self._smallest():
                self._weigh(*lot)
            if not (self._level() and self._ties()):
                return False
            if level <= self.lowest or self.key[0] >= level - EVEN:
                break
            ceiling = level
            level = max(self.lowest, level - LEVEL)
        return True

    def _smallest(self) -> list[Name]:
        """The sizes that are the least of their kind: no larger one has a higher bound."""
        least = [
            (length, width)
            for length, width in sorted(self.sizes)
            if not {(length - 1, width), (length, width - 1)} & self.sizes
        ]
        return [
            (frame, across, *size)
            for size in least
            for frame in range(len(self.frames))
            for across in (False, True)
        ]

    def _level(self) -> bool:
        """Judge all that may have a wider margin; False if the budget ran out."""
        while self.queue and -self.queue[0].rank[0] > self.key[0] + EVEN:
            lot = heapq.heappop(self.queue)
            self._weigh(lot.frame, lot.across, lot.length + 1, lot.width)
            self._weigh(lot.frame, lot.across, lot.length, lot.width + 1)
            if not self._judge(lot):
                return False
        return True

    def _ties(self) -> bool:
        """Of what may have the same margin judge the largest tops first; False as in `_level`."""
        tops: list[Lot] = []
        while self.queue and -self.queue[0].rank[0] >= self.key[0] - EVEN:
            lot = heapq.heappop(self.queue)
            for name in self._stairs(lot):
                heapq.heappush(tops, Lot((-float(name[2] * name[3]), *name), *name))
        while tops:
            lot = heapq.heappop(tops)
            area = float(lot.length * lot.width)
            if area < self.key[1]:
                break
            if not self._judge(lot):
                return False
            lower = (lot.frame, lot.across, lot.length, lot.width - 1)
            if self.key[1] < area and self._weigh(*lower, queued=False):
                heapq.heappush(tops, Lot((-float(lower[2] * lower[3]), *lower), *lower))
        return True

    def _stairs(self, lot: Lot) -> list[Name]:
        """For each length from a size on, the widest top that may still tie."""
        found: list[Name] = []
        length, high = lot.length, self.widest
        while True:
            low = lot.width - 1
            high = min(high, length)
            while low < high:
                width = high if not found or high - low < 2 else (low + high + 1) // 2
                if self._weigh(lot.frame, lot.across, length, width, queued=False):
                    low = width
                else:
                    high = width - 1
            if low < lot.width:
                return found
            found.append((lot.frame, lot.across, length, low))
            length, high = length + 1, low

    def _weigh(
        self, frame: int, across: bool, length: int, width: int, *, queued: bool = True
    ) -> bool:
        """Bound all places of a size in a lay; whether any may be better than the best."""
        name = (frame, across, length, width)
        if (length, width) not in self.sizes or (queued and name in self.seen):
            return False
        if name not in self.places:
            self.seen.add(name)
            self.weighed += 1
            box = (width, length) if across else (length, width)
            self.places[name] = self.frames[frame].places(
                *box, max(self.key[0], self.least), self.level
            )
        bound = self.places[name].bound
        most = min(float(bound.max(initial=-math.inf)), self.ceiling)
        if most < self.key[0] - EVEN or not len(bound):
            return False
        if queued:
            heapq.heappush(self.queue, Lot((-most, -float(length * width), *name[:2]), *name))
        return True

    def _judge(self, lot: Lot) -> bool:
        """Judge the places of a size while they may be better; False once trials run out.

        Next comes the place that would be best if the sides were used as at the last one.
        """
        name = (lot.frame, lot.across, lot.length, lot.width)
        places, tried = self.places[name], self.tried.setdefault(name, [])
        area = float(lot.length * lot.width)
        bound = np.minimum(places.bound, self.ceiling)
        near = np.flatnonzero(bound >= self.key[0] - EVEN)
        bound[near] = np.minimum(bound[near], self._beyond(name, places, near))
        for row, column in tried:  # at a higher level
            bound[(places.row == row) & (places.column == column)] = -np.inf
        guess = bound.copy()
        walk = self.frames[lot.frame].uses.walk
        while True:
            better = bound > self.key[0] + EVEN
            ties = np.abs(bound - self.key[0]) <= EVEN
            if area > self.key[1]:
                better |= ties
            elif area == self.key[1]:
                better |= ties & (-places.off > self.key[2])
            if not better.any():
                return True
            if self.budget <= 0 or self._spent():
                return False
            k = int(np.where(better, guess, -np.inf).argmax())
            self.budget -= 1
            walked = self._try(name, places, k)
            tried.append((int(places.row[k]), int(places.column[k])))
            bound[k] = -np.inf
            if walked is not None:
                guess = np.minimum(bound, places.with_uses(walked, walk))

    def _spent(self) -> bool:
        """Whether so much was tried in vain that the search is to end."""
        return self.key[0] < -EVEN and self.trials.effort >= self.most_effort

    def _beyond(self, name: Name, places: Places, at: Ints) -> Floats:
        """The most that margins can be at some places by what stands round them, slid."""
        number, across, length, width = name
        box = (width, length) if across else (length, width)
        u, v = places.column[at].astype(float), places.row[at].astype(float)
        corners = [(u + i * box[0], v + j * box[1]) for i, j in ((0, 0), (1, 0), (1, 1), (0, 1))]
        flat = np.stack([np.stack(corner, axis=1) for corner in corners], axis=1)
        out = self.frames[number].back(flat.reshape(-1, 2)).reshape(-1, 4, 2)
        return self.trials.most(out, self.table) + SLIDE

    def _try(self, name: Name, places: Places, k: int) -> list[bool] | None:
        """Judge a place; which sides (north, south, east, west) are walked past there."""
        frame = self.frames[name[0]]
        piece = self._piece(name, int(places.row[k]), int(places.column[k]))
        paths = self.trials.paths(piece, self.key[0] - EVEN)
        if paths is None:
            return None
        back, left, front, right = self.trials.walked(piece, paths)
        if self.half:
            back, left, front, right = front, right, back, left
        walked = [left, right, back, front] if name[1] else [front, back, left, right]
        margin = float(places.with_uses(walked, frame.uses.walk)[k])
        margin = min([margin, *(bound.margin for bound in paths.bounds)])
        off = float(places.off[k])
        if (round(margin, 3) + EVEN, float(name[2] * name[3]), -off) > self.key:
            self._take(name, self.trials.of(piece, paths), off)
        return walked

    def _piece(self, name: Name, row: int, column: int) -> Piece:
        """The table of a size at a place of a lay."""
        number, across, length, width = name
        frame = self.frames[number]
        box = (width, length) if across else (length, width)
        x, y = frame.out((column + box[0] / 2, row + box[1] / 2))
        turn = (frame.angle + (90 if across else 0)) % 180 + (180 if self.half else 0)
        return replace(self.table, width=float(length), depth=float(width), x=x, y=y, turn=turn)

    def _take(self, name: Name, trial: Trial | None, off: float) -> None:
        """Keep a trial if it beats the best."""
        if trial is None:
            return
        rank = (float(name[2] * name[3]), -off)
        if (round(promise(trial, SLIDE), 3), *rank) <= self.key:
            return
        trial = evened(self.trials, trial, SLIDE)
        key = (round(trial.margin, 3), *rank)
        if key > self.key:
            self.key, self.best = key, trial

    def start_at(self, other: Piece) -> None:
        """Try the least sizes inside a larger table that is known to be good: a floor to beat."""
        x, y, _, _ = other.where
        for name in self._smallest():
            number, across, length, width = name
            frame = self.frames[number]
            if (frame.angle + (90 if across else 0)) % 180 != other.turn % 180:
                continue
            box = (width, length) if across else (length, width)
            centre = frame.into(np.array([[x, y]]))[0]
            column, row = (round(float(c - side / 2)) for c, side in zip(centre, box, strict=True))
            if not frame.free(*box, row, column):
                continue
            middle = np.array([column + box[0] / 2, row + box[1] / 2])
            trial = self.trials.of(self._piece(name, row, column))
            self._take(name, trial, round(float(np.hypot(*(middle - frame.centre))), 3))
