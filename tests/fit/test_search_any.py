"""What fits, for any kind: against brute force, against polygons, and by hand."""

import math
from collections.abc import Iterator
from dataclasses import replace

import numpy as np
import pytest
import shapely
from tests.fit.dining_rooms import opening, piece, random_space, room

from roomwright.figures import load
from roomwright.fit.given import Needs, Piece, Space
from roomwright.fit.lay import directions
from roomwright.fit.search_any import what_fits
from roomwright.fit.search_judge import Judge
from roomwright.fit.search_rules import runs, symmetrical
from roomwright.fit.search_wanted import Place, Size, Wanted
from roomwright.shape import anticlockwise, unit, walls

NEEDS = Needs(
    {figure.key: float(figure.value) for figure in load().choose("kitchen and bath guidelines")}
)

KINDS = [
    ("bed", [(76, 80), (60, 80), (54, 75), (38, 75)], "against"),
    ("dresser", [(66, 18), (48, 20), (36, 18)], "against"),
    ("island", [(60, 36), (48, 30), (36, 24)], "anywhere"),
    ("desk", [(60, 30), (48, 24)], "anywhere"),
    ("round dining table", [(48, 48), (36, 36), (30, 30)], "anywhere"),
    ("dining table", [(60, 36), (48, 30), (36, 24)], "anywhere"),
    ("sofa", [(84, 36), (72, 34)], "against"),
    ("bookcase", [(72, 14), (48.5, 12)], "anywhere"),
    ("desk", [(60.5, 30), (48, 24.25)], "against"),
    ("dining table", [(66, 42), (48, 30)], "against"),
]


# --- brute force: every place of every size, judged one by one -----------------------------------


def every_place(space: Space, wanted: Wanted, one: Piece) -> Iterator[tuple[float, float, float]]:
    """Center and turn of every place that the rule allows, without any bound."""
    outline = anticlockwise(space.rooms[0].outline)
    if wanted.place.rule == "against":
        for wall in runs(outline):
            (px, py), (qx, qy) = wall.side
            if wall.length < max(18, one.width):
                continue
            ux, uy = (qx - px) / wall.length, (qy - py) / wall.length
            turn = math.degrees(math.atan2(uy, ux))
            for s in [*np.arange(0, wall.length - one.width + 1e-9), wall.length - one.width]:
                along, in_ = s + one.width / 2, one.depth / 2
                yield px + ux * along - uy * in_, py + uy * along + ux * in_, turn
        return
    for angle in directions(outline):
        cos, sin = unit(angle)
        frame = [(x * cos + y * sin, y * cos - x * sin) for x, y in outline]
        west, south = min(u for u, _ in frame), min(v for _, v in frame)
        east, north = max(u for u, _ in frame), max(v for _, v in frame)
        count = 1 if one.round else 2 if symmetrical(one) else 4
        for quarter in range(count):
            w, d = (one.width, one.depth) if quarter % 2 == 0 else (one.depth, one.width)
            for u in np.arange(west, east - w + 0.5):
                for v in np.arange(south, north - d + 0.5):
                    a, b = u + w / 2, v + d / 2
                    yield a * cos - b * sin, a * sin + b * cos, (angle + 90 * quarter) % 360


def brute_force(space: Space, wanted: Wanted) -> tuple[Size, float] | None:
    """The largest size that fits and its widest tightest margin, over every place."""
    sizes = sorted(wanted.sizes, key=lambda s: -s.area)
    judge = Judge(space, NEEDS, space.rooms[0].outline)
    floor = shapely.Polygon(space.outline)
    solid = shapely.union_all([shapely.Polygon(p.outline) for p in space.pieces])
    groups: dict[float, list[Size]] = {}
    for size in sizes:
        top = Piece("new", wanted.kind, wanted.kind, size.width, size.depth, 30, 0, 0, room="R")
        groups.setdefault(worth(top), []).append(size)
    for value in sorted(groups, reverse=True):
        best: tuple[Size, float] | None = None
        for size in groups[value]:
            top = Piece("new", wanted.kind, wanted.kind, size.width, size.depth, 30, 0, 0, room="R")
            places = list(every_place(space, wanted, top))
            if not places:
                continue
            tops = [replace(top, x=x, y=y, turn=t) for x, y, t in places]
            shapes = shapely.buffer([shapely.Polygon(t.outline) for t in tops], -1 / 32)
            free = shapely.covers(floor, shapes) & ~shapely.intersects(solid, shapes)
            most = {int(k): plain(judge, tops[k], shapes[k]) for k in np.flatnonzero(free)}
            for k in sorted(most, key=lambda k: -most[k]):
                if (best is not None and most[k] <= best[1]) or most[k] < -1e-3:
                    break
                trial = judge.of(tops[k])
                if trial is None or trial.margin < -1e-3:
                    continue
                if best is None or trial.margin > best[1]:
                    best = size, trial.margin
        if best is not None:
            return best
    return None


def plain(judge: Judge, top: Piece, shape: shapely.Polygon) -> float:
    """A margin that is surely not exceeded: play on either hand, the least that a seat needs."""
    ground = judge.ground
    clear = [ahead.clear if (ahead := ground.ahead(side)) else 1e9 for side in walls(top.box)]
    most = min(clear[0] + clear[2], clear[1] + clear[3])
    swings = [b for b in ground.bodies if b.what == "swing"]
    assert not swings
    if top.sort.seats:
        if top.round:
            most = min(shapely.distance(shape, s) for s in (ground.floor.exterior, *ground.shapes))
        most = min(most, 1e9 if top.round else min(clear)) - NEEDS.get("dining.rise") + 0.1
    return most


def worth(top: Piece) -> float:
    if not top.sort.seats:
        return top.width * top.depth
    from roomwright.fit.seats import seats

    return seats(top.width, top.depth, NEEDS, round_top=top.round).total


def small_space(seed: int, share: float) -> Space:
    """One of the random rooms, made smaller, so that every place of it can be judged."""
    big = random_space(seed)

    def at(p):
        return p[0] * share, p[1] * share

    return room(
        [at(p) for p in big.outline],
        [opening(o.id, at(o.a), at(o.b), o.to) for o in big.openings],
        [
            piece(p.id, p.kind, p.width * share, p.depth * share, *at((p.x, p.y)), p.turn)
            for p in big.pieces
        ],
    )


def case(seed: int) -> tuple[Space, Wanted]:
    kind, sizes, place = KINDS[seed % len(KINDS)]
    wish = Wanted(
        kind, sizes=tuple(Size(*s) for s in sizes), height=30, place=Place(place), without=()
    )
    share = 0.7 if "table" in kind else 0.75 if kind == "bed" else 0.56
    return small_space(seed, share), wish


@pytest.mark.parametrize("seed", range(100))
def test_brute_force_finds_nothing_better(seed):
    space, wish = case(seed)
    best = brute_force(space, wish)
    found = what_fits(space, NEEDS, "R", wish)
    if best is None:
        assert found.best is None or found.best.margin >= 0  # slid off the grid
        return
    assert found.best is not None
    assert found.best.value[0] == pytest.approx(
        worth(replace(found.best.piece, width=best[0].width, depth=best[0].depth))
    )
    assert found.best.margin >= best[1] - 2e-3
    assert found.best.margin <= best[1] + 0.5 + 1e-6
