"""Clear distances of pieces that are no rectangles, against rays cast by a general library."""

import math

import numpy as np
import pytest
import shapely

from roomwright.fit.clear import Edges, clear_ahead
from roomwright.fit.features import features_of
from roomwright.fit.forms import ellipse, form, racetrack
from roomwright.fit.profile import clear_from
from roomwright.shape import moved, rectangle, turned, walls

SOFA = form("sectional", 110, 62, features=features_of("chaise left 36 x 62; seat 38")).outline
FORMS = {
    "L": (SOFA, 110, 62),
    "oval": (ellipse(72, 42, 1 / 8), 72, 42),
    "racetrack": (racetrack(66, 48, 1 / 8), 66, 48),
    "hexagon": (tuple((30 * math.cos(k * math.pi / 3), 30 * math.sin(k * math.pi / 3))
                for k in range(6)), 60, 52),
    "rectangle": (rectangle(0, 0, 60, 30), 60, 30),
}  # fmt: skip


def room(seed):
    """A room with things that keep off the middle, at any angle."""
    rng = np.random.default_rng([11, seed])
    w, h = rng.uniform(240, 320, 2)
    rings = [((0.0, 0.0), (w, 0.0), (w, h), (0.0, h))]
    for _ in range(6):
        x, y = rng.uniform(0, w), rng.uniform(0, h)
        if math.dist((x, y), (w / 2, h / 2)) > 95:
            rings.append(rectangle(x, y, *rng.uniform(8, 40, 2), rng.uniform(0, 360)))
    return w, h, rings


@pytest.mark.parametrize("name", FORMS)
@pytest.mark.parametrize("seed", range(16))
def test_no_ray_is_shorter_and_one_is_as_short(name, seed):
    w, h, rings = room(seed)
    rng = np.random.default_rng([12, seed])
    turn = float(rng.choice([0, 90, rng.uniform(0, 360)]))
    outline, width, depth = FORMS[name]
    own = moved(turned(outline, turn), w / 2, h / 2)
    box = rectangle(w / 2, h / 2, width, depth, turn)
    solids = [shapely.LinearRing(rings[0]), *map(shapely.Polygon, rings[1:])]
    mine = shapely.Polygon(own)
    for a, b in walls(box):
        found = clear_from(own, (a, b), Edges(rings, within=1))
        (tx, ty) = ((b[0] - a[0]) / math.dist(a, b), (b[1] - a[1]) / math.dist(a, b))
        along = [(x - a[0]) * tx + (y - a[1]) * ty for x, y in own]
        least = math.inf
        for s in np.linspace(min(along) + 1e-6, max(along) - 1e-6, 160):
            start = (a[0] + s * tx - 200 * ty, a[1] + s * ty + 200 * tx)
            end = (start[0] + 900 * ty, start[1] - 900 * tx)
            ray = shapely.LineString([start, end])
            inside = shapely.get_coordinates(shapely.intersection(ray, mine))
            out = max(math.dist(start, p) for p in inside.tolist())
            for solid in solids:
                for p in shapely.get_coordinates(shapely.intersection(ray, solid)).tolist():
                    if math.dist(start, p) > out - 1e-9:
                        least = min(least, math.dist(start, p) - out)
        assert found.clear <= least + 1e-6
        # and it is a true distance: between the outline and something solid
        assert shapely.distance(shapely.Point(found.p), mine.exterior) < 1e-6
        assert (
            min(
                shapely.distance(
                    shapely.Point(found.q),
                    solid.boundary if solid.geom_type == "Polygon" else solid,
                )
                for solid in solids
            )
            < 1e-6
        )
        assert math.dist(found.p, found.q) == pytest.approx(found.clear)


@pytest.mark.parametrize("seed", range(40))
def test_a_rectangle_is_judged_as_the_sweep_does(seed):
    w, h, rings = room(seed)
    turn = float(np.random.default_rng([13, seed]).uniform(0, 360))
    own = rectangle(w / 2, h / 2, 84, 42, turn)
    edges = Edges(rings, within=1)
    for side in walls(own):
        swept, cast = clear_ahead(side, edges), clear_from(own, side, edges)
        assert cast.clear == pytest.approx(swept.clear, abs=1e-5)


def test_by_hand():
    sofa = moved(SOFA, 100, 31)  # back on the south wall; the chaise at the east
    box = rectangle(100, 31, 110, 62)
    room = ((0, 0), (240, 0), (240, 200), (0, 200))
    table = rectangle(75, 68, 40, 20)  # 20 before the seat, beside the chaise
    back, left, front, right = walls(box)
    edges = Edges([room, table], within=1)
    assert clear_from(sofa, front, edges).clear == pytest.approx(20)
    assert clear_from(sofa, front, Edges([room], within=1)).clear == pytest.approx(138)
    assert clear_from(sofa, right, edges).clear == pytest.approx(24)  # from the chaise
    assert clear_from(sofa, left, edges).clear == pytest.approx(85)
    assert clear_from(sofa, back, edges).clear == 0
    # what stands in the L, and what covers its seat
    inside = rectangle(60, 50, 10, 20)
    assert clear_from(sofa, front, Edges([room, inside], within=1)).clear == pytest.approx(2)
    over = rectangle(60, 40, 10, 20)
    assert clear_from(sofa, front, Edges([room, over], within=1)).clear == 0
