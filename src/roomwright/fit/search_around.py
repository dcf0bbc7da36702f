"""What bounds the margin of a round or an oval table, at many places at once.

Its one margin is the least distance all around it, less what people need to rise; and where a walk
path passes, less what it takes to walk behind them. A path keeps one bank on its left and the
other on its right (`banks`), so it crosses the shortest stretch of floor from the table to one of
them: if that is shorter than the depth in which people are walked past, its margin is no more than
that stretch less the depth, and the path is no wider than it.
"""

import math
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

import numpy as np
import shapely
from numpy.typing import NDArray

from roomwright.fit.banks import banks
from roomwright.fit.bounds import Floats
from roomwright.fit.floor import FLAT, HAIR
from roomwright.fit.ground import SERVED_SIDE
from roomwright.fit.lay import STRAY
from roomwright.fit.search_judge import Judge
from roomwright.fit.trial import NARROWED, Pair
from roomwright.fit.uses import FACING
from roomwright.shape import TOUCH, middle, walls

Tops = NDArray[Any]
"""Tops as shapes: points where they are round, polygons else."""


def centers(x: Floats, y: Floats) -> Tops:
    """Centers of round tops as points."""
    found: Tops = np.asarray(shapely.points(np.stack([x, y], axis=1)))
    return found


def _faces(judge: Judge) -> Iterator[tuple[shapely.LineString, shapely.Geometry]]:
    """Faces that people serve themselves from, and all else that may stand before them."""
    ground = judge.ground
    for number, (body, kind) in enumerate(zip(ground.bodies, ground.kinds, strict=True)):
        if not kind.serves or body.what == "swing":
            continue
        sides = walls(body.outline)
        if body.what != "fixed" and len(sides) == 4:
            others = [
                shape
                for n, (each, shape) in enumerate(zip(ground.bodies, ground.shapes, strict=True))
                if n != number and each.what != "swing"
            ]
            yield shapely.LineString(sides[SERVED_SIDE]), shapely.union_all(others)


@dataclass(frozen=True, slots=True, eq=False)
class _Bank:
    """One bank of a path: what is solid on it, and with the half openings that belong to it."""

    solid: shapely.MultiLineString
    whole: shapely.MultiLineString


class Around:
    """The banks and everything solid of a space, as lines to measure tops from."""

    def __init__(self, judge: Judge) -> None:
        self._needs = judge.needs
        ground = judge.ground
        rings = [*ground.rings, *(body.outline for body in ground.bodies)]
        self._solid = shapely.MultiLineString([[*ring, ring[0]] for ring in rings])
        shapely.prepare(self._solid)
        self._floor = shapely.buffer(ground.floor, TOUCH / 2)
        self._faces = list(_faces(judge))
        self._pairs = [
            (pair, found) for pair in judge.trials.pairs if (found := _banks(pair)) is not None
        ]

    def off(self, tops: Tops) -> Floats:
        """Distance from each top to the nearest thing [in]."""
        return np.asarray(shapely.distance(tops, self._solid))

    def most(self, tops: Tops, radius: float = 0.0) -> Floats:
        """The most that the tightest margin of a seated top can be; points with their `radius`."""
        uses = [self._needs.get(f"dining.{use}") for use in ("rise", "edge_past", "walk_past")]
        known = [use for use in uses if use is not None]
        most = self.off(tops) - radius - min(known, default=0.0)
        for pair, (left, right) in self._pairs:
            sides = (self._past(pair, tops, radius, bank) for bank in (left, right))
            most = np.minimum(most, np.maximum(*sides))
        edge = self._needs.get("dining.edge_past")
        if edge is None:
            return np.asarray(most)
        middles = shapely.get_coordinates(shapely.centroid(tops))
        for face, others in self._faces:
            off = shapely.distance(tops, face) - radius
            (ax, ay), (bx, by) = face.coords
            before = (bx - ax) * (middles[:, 1] - ay) < (by - ay) * (middles[:, 0] - ax)
            near = np.flatnonzero(before & (off < FACING - TOUCH) & (off - edge < most))
            lines = shapely.shortest_line(tops[near], face)
            sure = ~shapely.intersects(others, lines) & shapely.covers(self._floor, lines)
            most[near[sure]] = off[near[sure]] - edge + HAIR
        return np.asarray(most)

    def _past(self, pair: Pair, tops: Tops, radius: float, bank: _Bank) -> Floats:
        """The same for a path that passes between the tops and one bank."""
        gap = shapely.distance(tops, bank.solid) - radius
        most = np.where(gap < pair.width - NARROWED, gap - pair.wanted, np.inf)
        walk = self._needs.get("dining.walk_past")
        if walk is not None:
            past = shapely.distance(tops, bank.whole) - radius
            most = np.where(past < walk - 2 * TOUCH, np.minimum(most, past - walk), most)
        return np.asarray(most + HAIR)


def _banks(pair: Pair) -> tuple[_Bank, _Bank] | None:
    """The two banks of a path that is as wide as it should be; None where they are not known."""
    wide = min(pair.width, pair.wanted)
    keep = wide / 2 - FLAT - HAIR
    if keep <= 0 or pair.line is None:
        return None
    openings = pair.passage.bounds.openings
    stops = pair.route.points[0], pair.route.points[-1]
    in_middle = [
        math.dist(stop, middle(opening)) < STRAY
        for stop, opening in zip(stops, openings, strict=True)
    ]
    ends = [STRAY if at else None for at in in_middle]
    found = banks(pair.passage, wide, keep, (ends[0], ends[1]))
    if found is None or not all(len(bank.solid) for bank in found):
        return None
    lines = [[((ax, ay), (bx, by)) for ax, ay, bx, by in bank.solid.tolist()] for bank in found]
    solid = [shapely.MultiLineString(each) for each in lines]
    for opening, at in zip(openings, in_middle, strict=True):
        for jamb in opening if at else ():
            mine = int(np.argmin([shapely.distance(shapely.Point(jamb), each) for each in solid]))
            mx, my = middle(opening)
            length = math.dist(jamb, (mx, my)) or 1.0
            short = max(0.0, 1 - STRAY / length)  # the line may end a little to either side
            end = (jamb[0] + short * (mx - jamb[0]), jamb[1] + short * (my - jamb[1]))
            lines[mine].append((jamb, end))
    return (
        _Bank(solid[0], shapely.MultiLineString(lines[0])),
        _Bank(solid[1], shapely.MultiLineString(lines[1])),
    )
