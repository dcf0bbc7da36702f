"""A piece on a line: along a wall with its back to it, on an axis, or at one point."""

import numpy as np

from roomwright.fit.bounds import Floats
from roomwright.fit.given import Piece
from roomwright.fit.search_judge import Judge
from roomwright.fit.search_stance import ROUNDING, Clear, Spots, Stance, asked_of, boxes, stands
from roomwright.fit.search_strips import Strips
from roomwright.fit.search_wanted import Size
from roomwright.fit.sweep import Lines
from roomwright.shape import TOUCH, Outline, unit


class Line:
    """Edges of a space turned so that a piece in one stance lies square to them."""

    def __init__(self, judge: Judge, room: Outline, turn: float) -> None:
        cos, sin = unit(turn)
        self.judge, self.room, self.turn = judge, room, turn
        self._turn = np.array([[cos, -sin], [sin, cos]])
        ground = judge.ground
        outlines = [*ground.rings, *(body.outline for body in ground.bodies)]
        self._ends = Lines.of(
            [np.asarray(np.array(ring, dtype=float) @ self._turn) for ring in outlines]
        ).ends
        names = ["" for _ in ground.rings] + [kind.name for kind in ground.kinds]
        self._kinds = np.repeat(np.array(names, dtype=object), [len(ring) for ring in outlines])
        self.strips = Strips(judge)

    def clear(self, u: Floats, v: Floats, size: Size, ignore: frozenset[str]) -> Clear:
        """Clear distances of the four sides at places given in the turned frame."""
        ends = self._ends
        if ignore:
            ends = ends[~np.isin(self._kinds, list(ignore))]
        w, d = size.width / 2, size.depth / 2
        back = _ahead(ends[:, [0, 1, 2, 3]] * (1, -1, 1, -1), u - w, u + w, d - v)
        front = _ahead(ends, u - w, u + w, v + d)
        swapped = ends[:, [1, 0, 3, 2]]
        left = _ahead(swapped, v - d, v + d, u + w)
        right = _ahead(swapped * (1, -1, 1, -1), v - d, v + d, w - u)
        return back, left, front, right

    def spots(self, stance: Stance, piece: Piece, size: Size, x: Floats, y: Floats) -> Spots:
        """Places of a size, those that stand on free floor, with their bounds."""
        kind = piece.sort
        keep = stands(self.judge, self.room, piece, x, y)
        x, y = x[keep], y[keep]
        bound = np.full(len(x), np.inf)
        if len(x) and piece.straight and not kind.loose:
            u, v = np.asarray(np.stack([x, y], axis=1) @ self._turn).T
            bound = asked_of(
                piece, self.judge.needs.get, size, lambda ignore: self.clear(u, v, size, ignore)
            )
            bound = np.minimum(bound, self.strips.most(boxes(x, y, size, self.turn), kind))
        return Spots(stance, size, x, y, bound + ROUNDING, piece.straight)


def _ahead(ends: Floats, low: Floats, high: Floats, start: Floats) -> Floats:
    """Distance up from level sides (from `low` to `high` at `start`) to the first edge.

    As `clear_ahead`, for many sides and without asking what covers them: never too low.
    """
    ax, ay, bx, by = ends.T
    first = np.minimum(ax, bx)[None, :].clip(low[:, None], high[:, None])
    last = np.maximum(ax, bx)[None, :].clip(low[:, None], high[:, None])
    live = last - first > TOUCH
    run = np.where(bx == ax, 1.0, bx - ax)
    slope = (by - ay) / run
    y0 = ay + (first - ax) * slope - start[:, None]
    y1 = ay + (last - ax) * slope - start[:, None]
    ahead = live & (np.maximum(y0, y1) > TOUCH)
    touched = live & (last - first > 2 * TOUCH) & (np.maximum(abs(y0), abs(y1)) <= TOUCH)
    nearest = np.where(ahead, np.minimum(y0, y1).clip(0.0), np.where(touched, 0.0, np.inf))
    return np.asarray(nearest.min(axis=1, initial=np.inf))
