"""Whether a piece leaves the ways to what people go to as wide as they were: tried, not measured.

What stands without the piece is grown once for a width and kept; a place of the piece then takes
one more difference. Only where a path is within a hair of what it was, it is measured.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence

import shapely

from roomwright.fit.bounds import OpeningError
from roomwright.fit.found import GoalPath, Word
from roomwright.fit.given import Needs, Opening, Piece
from roomwright.fit.goals import NOBODY, ON, Goal, before, goals, ways_in
from roomwright.fit.ground import Ground
from roomwright.fit.reach import TOLERANCE, FreeFloor
from roomwright.fit.verdicts import EVEN

SURE = 1 / 32
"""Widths to goals are known to 1/64 in.: two that differ by less than this are the same [in]."""

SURELY = 4 * TOLERANCE
"""A path that a body less wide by this does not pass is short, however widths are rounded [in]."""


class Kept:
    """The ways to goals without a piece, and which of them a place of it narrows.

    Parameters
    ----------
    ground
        The ground without the piece.
    needs
        Figures in force.
    was
        The paths to its goals, by the thing gone to.
    """

    def __init__(self, ground: Ground, needs: Needs, was: Mapping[str, GoalPath]) -> None:
        self.ground, self.needs, self.was = ground, needs, was
        self.openings = ways_in(ground)
        self._standing = [
            shape
            for body, shape in zip(ground.bodies, ground.shapes, strict=True)
            if body.what != "swing"
        ]
        self._free: dict[str, FreeFloor | None] = {}
        self._parts: dict[tuple[str, float], shapely.Geometry] = {}

    def narrowed(self, there: Ground, piece: Piece) -> frozenset[str] | None:
        """Things to which the way may be short, or shorter, with a piece: to be measured.

        None where one surely is. `there` is the ground with the piece in its place.
        """
        if not self.openings:
            return frozenset()
        top = shapely.Polygon(piece.outline)
        found = set()
        for group in goals(there):
            id_ = group[0].body.id
            was = self.was.get(id_)
            if was is not None and was.verdict.word is Word.BLOCKED:
                continue  # it cannot be worse
            if not self._passes(group, was, top, 0.0):
                known = self.needs.get(group[0].aim.figure) is not None
                if known and not self._passes(group, was, top, SURELY):
                    return None
                found.add(id_)
        return frozenset(found)

    def _passes(
        self, group: Sequence[Goal], was: GoalPath | None, top: shapely.Polygon, less: float
    ) -> bool:
        """Whether the way to a goal is as wide as it need be, or as it was, or so much less."""
        figure = self.needs.get(group[0].aim.figure)
        wanted = NOBODY + TOLERANCE if figure is None else figure
        wide = any(o.width >= wanted - EVEN for o in self.openings)
        for opening in self.openings:
            width = min(wanted, opening.width)
            if wide and width < wanted - EVEN:
                continue  # a wider door serves
            if was is not None and not was.enough:
                width = min(width, was.width - SURE + TOLERANCE)
            width = max(width - less, TOLERANCE)
            if any(self._joined(opening, goal, width, top) for goal in group):
                return True
        return False

    def _joined(self, opening: Opening, goal: Goal, width: float, top: shapely.Polygon) -> bool:
        """Whether a body of a width gets from an opening to a goal past the piece."""
        free = self._floor(opening)
        if free is None:
            return False
        key = opening.id, width
        if key not in self._parts:
            self._parts[key] = shapely.union_all(free.free(width))
        grown = shapely.buffer(top, width / 2, quad_segs=32)
        left = shapely.get_parts(shapely.difference(self._parts[key], grown))
        line = before(goal.side, width)
        near = shapely.dwithin(left, free.start, ON)
        return bool((near & shapely.dwithin(left, line, ON)).any())

    def _floor(self, opening: Opening) -> FreeFloor | None:
        if opening.id not in self._free:
            try:
                a = opening.segment
                self._free[opening.id] = FreeFloor(self.ground.floor, self._standing, a, a[0])
            except OpeningError:
                self._free[opening.id] = None
        return self._free[opening.id]
