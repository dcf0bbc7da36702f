"""What fits, for any kind: against brute force over every place, and against polygons."""

import math
from dataclasses import replace

import pytest
import shapely
from tests.fit.brute import NEEDS, SIDES, brute_force, case, stands_free, worth

from roomwright.fit.given import Piece, Space
from roomwright.fit.search_any import what_fits
from roomwright.fit.search_found import Found
from roomwright.fit.search_whole import find
from roomwright.shape import walls


@pytest.mark.parametrize("seed", range(100))
def test_brute_force_finds_nothing_better(seed):
    space, wish = case(seed)
    best = brute_force(space, wish)
    found = what_fits(space, NEEDS, "R", wish, brief=True)
    if best is None:
        assert found.best is None or found.best.margin >= 0  # slid off the grid
        return
    assert found.best is not None
    assert found.best.value[0] == pytest.approx(
        worth(replace(found.best.piece, width=best[0].width, depth=best[0].depth))
    )
    rough = 1 / 64 if found.best.piece.round else 4e-3  # what bounds are rounded by
    assert found.best.margin >= best[1] - rough
    assert found.best.margin <= best[1] + 0.5 + 1e-6


# --- an independent check with polygons ---------------------------------------------------------


def strip_clear(space: Space, top: Piece, side: int, deep: float) -> bool:
    """Whether a rectangle so deep before a side of a piece is free of walls and other pieces."""
    (ax, ay), (bx, by) = walls(top.box)[side]
    length = math.dist((ax, ay), (bx, by))
    ux, uy = (bx - ax) / length, (by - ay) / length
    ox, oy = uy, -ux
    hair = 1 / 32
    strip = shapely.Polygon(
        [
            (ax + ux * hair + ox * hair, ay + uy * hair + oy * hair),
            (bx - ux * hair + ox * hair, by - uy * hair + oy * hair),
            (bx - ux * hair + ox * deep, by - uy * hair + oy * deep),
            (ax + ux * hair + ox * deep, ay + uy * hair + oy * deep),
        ]
    )
    if deep <= hair:
        return True
    floor = shapely.Polygon(space.outline).buffer(1 / 64)
    others = [shapely.Polygon(p.outline) for p in space.pieces if p.id != top.id]
    return floor.covers(strip) and not any(strip.intersects(other) for other in others)


@pytest.mark.parametrize("seed", range(100))
def test_each_proposal_passes_a_check_with_polygons(seed):
    """Each on free floor, with the depth that each side asks for; offered once and in order."""
    space, wish = case(seed)
    found = find(space, NEEDS, "R", wish)
    _in_order(found)
    for option in [o for o in (found.best, *found.others, *found.front) if o is not None]:
        top = option.piece
        assert stands_free(space, top)
        if wish.place.rule == "against":
            back = shapely.LineString(walls(top.box)[0])
            assert shapely.Polygon(space.outline).exterior.buffer(1 / 64).covers(back)
        if not option.fits:
            continue
        if top.sort.seats and top.straight:
            for side in range(4):
                assert strip_clear(space, top, side, NEEDS.get("dining.rise") - 1 / 64)
        elif top.round and top.sort.seats:
            line = shapely.Polygon(space.outline).exterior
            assert line.distance(shapely.Point(top.x, top.y)) >= top.width / 2 + 32 - 1 / 64
        for need in () if top.sort.seats else top.sort.needs:
            free = [
                strip_clear(space, top, SIDES[s], NEEDS.get(need.figure) - 1 / 64)
                for s in need.sides
                if s in SIDES
            ]
            if need.take == "each" and not need.centerline and not need.ignore:
                assert all(free)
            elif need.take == "best" and not need.ignore:
                assert any(free)


def _in_order(found: Found) -> None:
    """What is offered is offered once, and in order."""
    if found.best is None:
        assert found.walls == ()
        return
    assert found.best.fits
    keys = [found.best.key, *(o.key for o in found.others)]
    assert len(keys) == len(set(keys)), "options differ in wall or direction"
    assert all(o.value <= found.best.value for o in found.others)
    assert [o.value for o in found.front] == sorted((o.value for o in found.front), reverse=True)
    if found.stops is not None:
        assert found.stops.value > found.best.value
        assert not found.stops.fits
