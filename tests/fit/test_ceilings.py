"""Sloped ceilings: heights by hand, regions against random points, what follows for a room."""

import math
from dataclasses import replace

import numpy as np
import pytest
import shapely
from tests.fit.demo_rooms import NEEDS

from roomwright.fit.ceilings import height_at, low_floor, planes, rooms_too_low, too_tall, under
from roomwright.fit.evaluate import room_fit
from roomwright.fit.ground import Ground
from roomwright.fit.headroom import openings
from roomwright.fit.model import Needs, Opening, Piece, Room, Slope, Space, Word
from roomwright.fit.opens import stopped
from roomwright.fit.walks import walks

WALLS = ((0, 0), (144, 0), (144, 120), (0, 120))
ATTIC = Room("301", "Attic bedroom", WALLS, 96)
SOUTH = Slope("SL1", (0, 0), (144, 0), 48, 12, "301")
NORTH = Slope("SL2", (144, 120), (0, 120), 60, 12, "301")


def attic(*slopes, **more) -> Space:
    return Space((ATTIC,), WALLS, slopes=slopes, **more)


def naive(room: Room, slopes, at) -> float:
    """The height by the definition alone, for slopes whose lines run from corner to corner."""
    lowest = room.ceiling
    inside = np.mean(room.outline, axis=0)
    for slope in slopes:
        a, b = np.array(slope.a), np.array(slope.b)
        normal = np.array([a[1] - b[1], b[0] - a[0]]) / np.linalg.norm(b - a)
        if normal @ (inside - a) < 0:
            normal = -normal
        lowest = min(lowest, slope.low + slope.pitch / 12 * float(normal @ (np.array(at) - a)))
    return lowest


def test_two_slopes_by_hand():
    room = attic(SOUTH, NORTH)
    assert height_at(room, (72, 10)) == 58  # 48 and 10
    assert height_at(room, (72, 118)) == 62  # 60 and 2
    assert height_at(room, (72, 70)) == 96  # both planes are over the flat part
    assert under(room, 80).area == pytest.approx(144 * 32 + 144 * 20)
    assert {b.id: shapely.Polygon(b.outline).bounds for b in low_floor(room)} == {
        "SL1": (0, 0, 144, 32),
        "SL2": (0, 100, 144, 120),
    }


def test_the_order_of_the_ends_is_no_matter_and_other_rooms_slopes_do_not_count():
    back = replace(SOUTH, a=SOUTH.b, b=SOUTH.a)
    assert under(attic(back), 80).equals(under(attic(SOUTH), 80))
    assert under(attic(replace(SOUTH, room="302")), 80).is_empty
    assert planes(ATTIC, [replace(SOUTH, b=SOUTH.a)]) == ()


def test_a_dormer_is_left_out_between_its_cheeks():
    west, east = replace(SOUTH, b=(48, 0)), replace(SOUTH, id="SL3", a=(96, 0))
    room = attic(west, east)
    assert height_at(room, (72, 5)) == 96
    assert height_at(room, (20, 5)) == height_at(room, (120, 5)) == 53
    assert under(room, 80).area == pytest.approx(2 * 48 * 32)


@pytest.mark.parametrize("seed", range(20))
def test_low_floor_against_random_points(seed):
    """Monte Carlo: convex rooms of 3 to 8 walls, slopes over one to three of them."""
    rng = np.random.default_rng([302, seed])
    n = int(rng.integers(3, 9))
    turn = np.sort(rng.uniform(0, 2 * np.pi, n))
    if np.diff(np.append(turn, turn[0] + 2 * np.pi)).max() > 2.8:
        turn = np.arange(n) * 2 * np.pi / n
    ring = tuple((float(150 * np.cos(t)), float(110 * np.sin(t))) for t in turn)
    room = Room("R", "loft", ring, float(rng.uniform(84, 130)))
    slopes = tuple(
        Slope(f"S{k}", ring[k], ring[(k + 1) % n], float(rng.uniform(20, 90)),
              float(rng.uniform(2, 20)), "R")
        for k in rng.choice(n, size=min(n, int(rng.integers(1, 4))), replace=False)
    )  # fmt: skip
    space = Space((room,), ring, slopes=slopes)
    floor = shapely.Polygon(ring)
    height = float(rng.uniform(50, 84))
    region = under(space, height)
    spots = rng.uniform(-150, 150, (4000, 2))
    spots = spots[shapely.contains_xy(floor.buffer(-0.01), spots[:, 0], spots[:, 1])]
    low = np.array([naive(room, slopes, p) for p in spots])
    away = shapely.distance(region.boundary, shapely.points(spots)) > 1e-6
    got = shapely.contains_xy(region, spots[:, 0], spots[:, 1])
    assert (got == (low < height))[away].all()
    some = spots[:50]
    assert [height_at(space, tuple(p)) for p in some] == pytest.approx(
        [naive(room, slopes, p) for p in some]
    )
    share = (low < height).mean()
    assert abs(region.area / floor.area - share) < 4 * np.sqrt(0.25 / len(spots)) + 1e-9


def test_nobody_walks_under_what_is_too_low():
    openings = (
        Opening("D1", (0, 8), (0, 68), "302", "cased", 60, room="301"),
        Opening("D2", (144, 8), (144, 68), "303", "cased", 60, room="301"),
    )
    flat = walks(Ground(attic(openings=openings)), NEEDS)[0][0]
    assert flat.tightest == 60
    sloped = walks(Ground(attic(SOUTH, openings=openings)), NEEDS)[0][0]
    assert sloped.tightest == 36  # from 32, where the ceiling reaches 80, to the jamb at 68
    assert "slope SL1" in sloped.between


def test_a_case_too_tall_says_where_and_the_move_is_true():
    case = Piece("P1", "bookcase", "bookcase", 36, 12, 60, 72, 6, room="301")
    (found,) = too_tall(attic(SOUTH, pieces=(case,)), (case,))
    assert (found.by, found.severity) == (12, Word.BLOCKED)  # the low edge is 48, the case 60
    assert '12" too tall at its back' in found.text or "1'-0\" too tall at its back" in found.text
    moved = replace(case, y=18.0)
    assert too_tall(attic(SOUTH, pieces=(moved,)), (moved,)) == ()
    turned = replace(case, x=72.0, y=18.0, turn=90.0)  # its sides now run north: 0 to 36
    (found,) = too_tall(attic(SOUTH, pieces=(turned,)), (turned,))
    assert "side" in found.text
    fit = room_fit(attic(SOUTH, pieces=(case,)), NEEDS)
    assert fit.pieces[0].verdict.word is Word.BLOCKED


def test_a_low_piece_stands_under_the_slope_without_a_finding():
    chest = Piece("P1", "chest", "chest", 40, 18, 34, 72, 9, 0, room="301")
    fit = room_fit(attic(SOUTH, pieces=(chest,)), NEEDS)
    assert [f for f in fit.findings if f.kind in ("overlap", "under the slope")] == []
    front = next(s for s in fit.pieces[0].sides if s.local == "front")
    assert front.clear == 0  # nobody stands before it: 80 is reached 32 from the wall
    assert front.binding == "slope SL1"


def test_floor_that_counts_under_a_slope():
    needs = Needs({"ceiling.habitable": 84, "ceiling.sloped": 60, "room.area": 70})
    assert rooms_too_low(attic(SOUTH), needs) == ()  # 84 and over: 144 x 84; 60: 144 x 108
    steep = replace(SOUTH, low=10.0, pitch=6.0)
    found = rooms_too_low(attic(steep), needs)
    assert [f.kind for f in found] == ["ceiling", "ceiling"]  # 60 at 100 in: 20 sq ft left
    low = Space((replace(ATTIC, ceiling=80.0),), WALLS)
    assert rooms_too_low(low, needs)[0].by == 4
    bath = Space((replace(ATTIC, ceiling=80.0, use="bath"),), WALLS)
    assert rooms_too_low(bath, Needs({"ceiling.habitable": 84, "ceiling.bath": 80})) == ()


@pytest.mark.parametrize(("high", "by"), [(90.0, 0.0), (90.0625, 0.0625), (96.0, 6.0)])
def test_what_is_taller_than_a_flat_ceiling(high: float, by: float):
    ring = ((0, 0), (200, 0), (200, 160), (0, 160))
    case = Piece("P1", "wardrobe", "wardrobe", 60, 24, high, 100, 12, 0, "1")
    fit = room_fit(Space((Room("1", "Bedroom", ring, 90.0),), ring, pieces=(case,)), NEEDS)
    told = [f for f in fit.findings if f.kind == "too tall"]
    assert sum(f.by for f in told) == pytest.approx(by)
    assert (fit.pieces[0].verdict.word is Word.BLOCKED) == (by > 0)


@pytest.mark.parametrize("strange", [math.nan, math.inf, -math.inf, 1e300])
@pytest.mark.parametrize("field", ["width", "depth", "x", "y", "turn"])
def test_a_piece_whose_numbers_are_none_is_measured_first(field: str, strange: float):
    ring = ((0, 0), (200, 0), (200, 160), (0, 160))
    table = Piece("T1", "dining table", "dining table", 84, 42, 30, 100, 80, 0, "1")
    odd = replace(table, **{field: strange})
    fit = room_fit(Space((Room("1", "Dining", ring),), ring, pieces=(odd,)), NEEDS)
    assert fit.pieces[0].verdict.word is Word.MEASURE


def opening(piece: Piece, *slopes: Slope) -> dict:
    """What keeps the drawers of a piece in the attic from opening, by kind."""
    ground = Ground(attic(*slopes, pieces=(piece,)))
    return {f.kind: f for f in stopped(ground, ground.pieces[0], NEEDS)}


def test_a_drawer_opens_under_a_slope_and_only_the_headroom_before_it_is_short():
    # 18 deep, its back to the north wall, facing south: the drawer 16 out, the person 18 more
    def dresser(y: float, height: float | None = 34) -> Piece:
        return Piece("P1", "dresser", "dresser", 40, 18, height, 72, y, 180, room="301")

    assert opening(dresser(111), SOUTH) == {}  # the person stands from 68 to 86, 80 is over 32
    found = opening(dresser(65), SOUTH)  # front at 56, drawer to 40, person 22 to 40: low to 32
    assert set(found) == {"standing"}
    assert (found["standing"].by, found["standing"].severity) == (pytest.approx(10), Word.SHORT)
    assert "can't stand upright" in found["standing"].text
    assert 'lower than 6\'-8" over 10" of the 1\'-6" wanted' in found["standing"].text
    assert set(opening(dresser(65, None), SOUTH)) == {"standing"}  # of unknown height, the same


def test_a_drawer_meets_the_slope_only_where_it_is_lower_than_the_piece():
    knee = replace(SOUTH, low=20.0)  # 34 high over y 14
    dresser = Piece("P1", "dresser", "dresser", 40, 18, 34, 72, 35, 180, room="301")
    found = opening(dresser, knee)["stopped"]  # front at 26, the drawer wants 16 of the 12 there
    assert "meets the slope SL1 and comes out 1'-0\" of 1'-4\"" in found.text
    assert (found.by, found.severity) == (pytest.approx(4), Word.SHORT)
    closet = Piece("P2", "cabinet", "cabinet", 40, 18, 34, 72, 41, 180, room="301",
                   features="door hinge left 24")  # fmt: skip
    doors = opening(closet, replace(SOUTH, low=30.0))  # 34 is reached at 4: the leaf sweeps 8 to 32
    assert "stopped" not in doors


def test_a_door_higher_than_the_ceiling_at_its_wall():
    south = Opening("D1", (60, 0), (90, 0), "302", "door", 30, room="301")
    west = Opening("D2", (0, 60), (0, 90), "303", "door", 30, room="301")
    (found,) = openings(attic(SOUTH, openings=(south, west)))  # over D2 it is 96: 48 + 60 > 96
    assert (found.ids, found.by, found.severity) == (("D1", "SL1"), 32, Word.BLOCKED)
    assert "is 6'-8\" high, the ceiling over it 4'-0\" (slope SL1)" in found.text
    assert openings(attic(SOUTH, openings=(replace(south, height=48.0),))) == ()  # a hatch
    nearer = replace(west, a=(0.0, 20.0), b=(0.0, 50.0))  # 68 over its jamb at 20
    (found,) = openings(attic(SOUTH, openings=(nearer,)))
    assert (found.by, found.at) == (pytest.approx(12), ((0, pytest.approx(20)),) * 2)
    dormer = replace(SOUTH, b=(60, 0)), replace(SOUTH, id="SL3", a=(90, 0))
    assert openings(attic(*dormer, openings=(south,))) == ()  # between its cheeks
    low = Space((replace(ATTIC, ceiling=78.0),), WALLS, openings=(south,))
    assert openings(low)[0].by == 2
    fit = room_fit(attic(SOUTH, openings=(south,)), NEEDS)
    texts = [f.text for f in fit.findings if "D1" in f.ids]
    assert any(t.startswith("Opening D1 is 6'-8") for t in texts)
    assert any(t.startswith("The slope SL1 is lower than 6'-8\" before opening D1") for t in texts)
