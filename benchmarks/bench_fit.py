"""Walk paths and the search for a table, against slower ways to the same answer."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np
import shapely
from tests.fit.demo_rooms import NEEDS as GUIDELINES
from tests.fit.demo_rooms import demo_space
from tests.fit.dining_rooms import NEEDS, TWENTY
from tests.fit.zoo import Room, random_room

from roomwright.fit.model import Piece
from roomwright.fit.reach import tightest_to
from roomwright.fit.routes import route
from roomwright.fit.search import what_fits
from roomwright.fit.trial import Trials
from roomwright.fit.ways import tightest

Case = tuple[str, str, float | None, Callable[[], object], str, Callable[[], object] | None]


def spread(count: int, sides: int = 4) -> Room:
    """A 20 x 20 ft room with so many obstructions that do not touch; seed 8."""
    rng = np.random.default_rng(8)
    across = int(np.ceil(np.sqrt(count)))
    cell = 240 / across
    obstacles = []
    for k in range(count):
        x, y = (k % across + 0.5) * cell, (k // across + 0.5) * cell
        radius = cell * rng.uniform(0.2, 0.38)
        angle = rng.uniform(0, 2 * np.pi) + np.arange(sides) * 2 * np.pi / sides
        ring = np.stack([x + radius * np.cos(angle), y + radius * np.sin(angle)], axis=1)
        obstacles.append(shapely.Polygon(ring))
    return Room(
        f"{count} obstructions",
        shapely.box(0, 0, 240, 240),
        tuple(obstacles),
        ((0, 90), (0, 150)),
        ((240, 90), (240, 150)),
    )


def way(room: Room) -> Callable[[], object]:
    return lambda: tightest(room.space, room.obstacles, room.a, room.b)


def halving(room: Room) -> Callable[[], object]:
    return lambda: tightest_to(room.space, room.obstacles, room.a, room.b)


def line(room: Room) -> Callable[[], object]:
    return lambda: route(room.space, room.obstacles, room.a, room.b)


def each_place() -> object:
    """One size at places 8 in. apart, each judged: brute force, 1/64 of the places of one size."""
    trials = Trials(TWENTY, NEEDS)
    best = None

    for x in range(66, 174, 8):
        for y in range(18, 222, 8):
            trial = trials.of(Piece("T", "dining table", "table", 132, 36, 30, x, y, 0, "R"))
            if trial is not None and (best is None or trial.margin > best.margin):
                best = trial
    return best


def cases() -> list[Case]:
    made: list[Case] = []
    for count, sides, target in ((8, 4, 1.0), (8, 24, None), (30, 4, None), (30, 24, None)):
        room = spread(count, sides)
        where = f"20 x 20 ft, {count} obstructions of {sides} sides, seed 8"
        made.append(("tightest path", where, target, way(room), "halving", halving(room)))
    touching = random_room(4)
    where = "L room, 8 pieces that overlap and stick out, seed 4"
    made.append(("tightest path", where, 1.0, way(touching), "halving", halving(touching)))
    room = spread(8)
    made.append(("line of a path", "20 x 20 ft, 8 obstructions, seed 8", 2.0, line(room), "", None))
    made.append(
        (
            "what fits",
            "20 x 20 ft, 2 openings, 4 things in the way, every size and place",
            100.0,
            lambda: what_fits(TWENTY, NEEDS),
            "judging one size 8 in. apart",
            each_place,
        )
    )
    space = demo_space("101")
    made.append(
        ("what fits", "demo room 101, with the front", 100.0, lambda: what_fits(space, GUIDELINES),
         "", None)
    )  # fmt: skip
    return made


CASES = cases()
