"""Walk paths in rooms of any shape: 500 random ones against halving, thin things by hand.

The reference is this file's own: halving over what a disc's center may reach, buffers of 128
chords a quarter, to 1/512 in. It shares nothing with the engine but the polygons.
"""

import math

import numpy as np
import pytest
import shapely
from shapely import Polygon, affinity, box
from tests.fit.demo_rooms import NEEDS
from tests.fit.zoo import EAST, SQUARE, WEST, Room

from roomwright.fit.ground import Ground
from roomwright.fit.model import Body, Opening, Space
from roomwright.fit.model import Room as FitRoom
from roomwright.fit.walks import walks
from roomwright.fit.ways import tightest

WITHIN = 1 / 64


def halved(room: Room) -> float:
    a, b = shapely.LineString(room.a), shapely.LineString(room.b)
    jambs = shapely.MultiPoint([*room.a, *room.b])
    doors = shapely.union_all([a.buffer(1e-7, cap_style="flat"), b.buffer(1e-7, cap_style="flat")])
    walls = shapely.difference(room.space.boundary, doors)
    standing = shapely.intersection(room.space, shapely.union_all(list(room.obstacles)))
    solid = shapely.union_all([walls, standing, jambs])

    def joined(width: float) -> bool:
        left = room.space.difference(solid.buffer(width / 2, quad_segs=128))
        return any(
            part.distance(a) < 1e-6 and part.distance(b) < 1e-6
            for part in shapely.get_parts(left)
            if part.area > 0
        )

    low, high = 0.0, min(a.length, b.length)
    if joined(high):
        return high
    while high - low > 1 / 512:
        width = (low + high) / 2
        low, high = (width, high) if joined(width) else (low, width)
    return low


def any_room(seed: int) -> Room:
    """Walls at any angle: stars, bays, alcoves, notches; columns; pieces turned and round."""
    rng = np.random.default_rng([2028, seed])
    n = int(rng.integers(4, 13))
    turn = (np.arange(n) + rng.uniform(-0.35, 0.35, n)) * 2 * math.pi / n
    reach = rng.uniform(95, 165, n) if seed % 3 else np.full(n, 140.0)
    ring = np.stack([reach * np.cos(turn), reach * np.sin(turn)], axis=1)
    space = Polygon(ring)
    edges = np.hypot(*(np.roll(ring, -1, axis=0) - ring).T)
    longest = np.argsort(-edges)[:2]
    openings = []
    for k in longest:
        p, q = ring[k], ring[(k + 1) % n]
        wide = min(float(rng.uniform(26, 56)), 0.9 * edges[k])
        # every third opening stands hard in a corner
        start = 0.0 if rng.random() < 0.33 else float(rng.uniform(0, edges[k] - wide))
        unit = (q - p) / edges[k]
        openings.append((tuple(p + start * unit), tuple(p + (start + wide) * unit)))
    guard = shapely.union_all([shapely.LineString(o).buffer(4) for o in openings])
    for _ in range(int(rng.integers(0, 3))):  # notches and alcoves along walls, never at a door
        at = space.exterior.interpolate(rng.uniform(0, 1), normalized=True)
        side = box(-rng.uniform(6, 24), -rng.uniform(6, 24), rng.uniform(6, 24), rng.uniform(6, 24))
        side = affinity.translate(affinity.rotate(side, rng.uniform(0, 90), (0, 0)), at.x, at.y)
        if side.intersects(guard):
            continue
        changed = space.union(side) if rng.random() < 0.5 else space.difference(side)
        if isinstance(changed, Polygon) and changed.is_valid:
            space = changed
    for _ in range(int(rng.integers(0, 3))):  # columns, floor to ceiling
        x, y = rng.uniform(-60, 60, 2)
        column = affinity.rotate(box(x, y, x + rng.uniform(4, 24), y + rng.uniform(4, 24)),
                                 rng.uniform(0, 90))  # fmt: skip
        changed = space.difference(column)
        if isinstance(changed, Polygon):
            space = changed
    pieces = []
    for k in range(int(rng.integers(2, 9))):
        x, y = rng.uniform(-120, 120, 2)
        if k % 4 == 3:
            pieces.append(shapely.Point(x, y).buffer(rng.uniform(8, 30), quad_segs=16))
            continue
        w, d = rng.uniform(10, 70), rng.choice([0.125, rng.uniform(8, 36)])  # also thin partitions
        piece = affinity.rotate(box(-w / 2, -d / 2, w / 2, d / 2), rng.uniform(0, 180), (0, 0))
        pieces.append(affinity.translate(piece, x, y))
    return Room(f"any {seed}", space, tuple(pieces), *openings)


@pytest.mark.parametrize("block", range(20))
def test_500_random_rooms_agree_with_halving(block: int):
    worst = 0.0
    for seed in range(25 * block, 25 * block + 25):
        room = any_room(seed)
        found = tightest(room.space, room.obstacles, room.a, room.b)
        want = halved(room)
        assert found.width == pytest.approx(want, abs=WITHIN), f"seed {seed}"
        worst = max(worst, abs(found.width - want))
    assert worst <= WITHIN


def test_the_random_rooms_are_not_all_easy():
    """Among them are shut ones, ones as wide as a door, and many in between."""
    widths = [
        (tightest(r.space, r.obstacles, r.a, r.b).width, min(math.dist(*r.a), math.dist(*r.b)))
        for r in map(any_room, range(100))
    ]
    between = sum(0 < width < door - 1e-6 for width, door in widths)
    assert between > 30
    assert sum(width >= door - 1e-6 for width, door in widths) > 5


# --- nothing fools it: by hand ------------------------------------------------------------------


@pytest.mark.parametrize("thick", [1 / 8, 1 / 64, 1e-3])
def test_a_thin_partition_is_walked_round_its_end(thick: float):
    # from the south wall up to 200 of 240: 40 are left over its end
    wall = box(120, 0, 120 + thick, 200)
    assert tightest(SQUARE, [wall], WEST, EAST).width == pytest.approx(40, abs=1e-6)
    both = [wall, box(160, 208, 160 + thick, 240)]  # 32 up to the ceiling of the second
    gap = math.hypot(160 - 120 - thick, 8)
    assert tightest(SQUARE, both, WEST, EAST).width == pytest.approx(min(40, gap), abs=1e-6)


def space_with(*bodies: Body) -> Space:
    ring = ((0, 0), (240, 0), (240, 240), (0, 240))
    openings = (
        Opening("D1", *WEST, "2", "cased", 60, room="1"),
        Opening("D2", *EAST, "3", "cased", 60, room="1"),
    )
    return Space((FitRoom("1", "Hall", ring),), ring, openings=openings, fixed=bodies)


def body(id_: str, *outline, **more) -> Body:
    return Body(id_, "wall", "wall", "fixed", outline, room="1", **more)


def width(space: Space) -> float:
    return walks(Ground(space), NEEDS)[0][0].tightest


def test_a_peninsula_wall_without_any_thickness():
    flat = body("X1", (120, 0), (120, 200), (120, 100))
    assert width(space_with(flat)) == pytest.approx(40, abs=1e-4)
    slanted = body("X1", (100, 0), (120, 200), (110, 100))
    assert width(space_with(slanted)) == pytest.approx(40, abs=1e-4)
    twice = body("X1", (120, 0), (120, 200), (120, 200), (120, 0))
    assert width(space_with(twice)) == pytest.approx(40, abs=1e-4)


def test_a_half_wall_stops_a_walker_and_a_beam_does_not():
    half = body("X1", (118, 0), (122, 0), (122, 210), (118, 210), high=42.0)
    assert width(space_with(half)) == 30
    beam = body("X1", (118, 0), (122, 0), (122, 240), (118, 240), low=80.0)
    assert width(space_with(beam)) == 60


def test_pieces_that_touch_are_one():
    left, right = box(60, 0, 120, 120), box(120, 120, 180, 240)  # corner to corner
    assert tightest(SQUARE, [left, right], WEST, EAST).blocked
    apart = box(120 + 1e-3, 120 + 1e-3, 180, 240)
    assert tightest(SQUARE, [left, apart], WEST, EAST).width == pytest.approx(1e-3 * 2**0.5)


@pytest.mark.parametrize("corner", [((0, 0), (0, 36)), ((0, 0), (36, 0)), ((0, 204), (0, 240))])
def test_an_opening_in_the_very_corner(corner):
    assert tightest(SQUARE, [], corner, EAST).width == 36
    far = max(corner, key=lambda p: min(p[0], 240 - p[0]) + min(p[1], 240 - p[1]))
    block = box(far[0] - 2, far[1] - 2, far[0] + 2, far[1] + 2)  # 2 of it before the opening
    assert tightest(SQUARE, [block], corner, EAST).width == pytest.approx(34)


def test_a_ring_corridor_about_a_core():
    core = Polygon(SQUARE.exterior, [box(70, 50, 170, 200).exterior.coords])
    assert tightest(core, [], WEST, EAST).width == 50
    shut = box(100, 0, 140, 15)  # 35 on the south side, 40 on the north
    assert tightest(core, [shut], WEST, EAST).width == 40


@pytest.mark.parametrize("turn", [17.3, 33.33, 45, 61.8])
def test_a_wall_without_thickness_stops_a_walker_in_a_turned_house(turn: float):
    """Rounding keeps its middle off its own line; so does a bend."""

    def turned(*points):
        line = affinity.rotate(shapely.LineString(points), turn, (0, 0))
        return tuple((float(x), float(y)) for x, y in line.coords)

    ring = turned((0, 0), (240, 0), (240, 240), (0, 240))
    openings = tuple(
        Opening(id_, *turned(*span), to, "cased", 60, room="1")
        for id_, span, to in (("D1", WEST, "2"), ("D2", EAST, "3"))
    )
    for points, want in (
        (((120, 0), (120, 200), (120, 100)), 40),
        (((120, 0), (120, 90), (120, 200), (120, 13.7)), 40),
        (((120, 0), (120, 200), (150, 200), (120, 200)), 40),
        (((120, 0), (120, 240), (120, 77.7)), 0),
        (((120, -9), (120, 249), (120, 77.7)), 0),
    ):
        flat = body("X1", *turned(*points))
        room = Space((FitRoom("1", "Hall", ring),), ring, openings=openings, fixed=(flat,))
        assert width(room) == pytest.approx(want, abs=1e-4)
