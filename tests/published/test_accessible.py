"""[P] The accessible set against the 2010 ADA Standards, section by section, each at its limit.

A case stands exactly at the figure (met) and 1/16 in. under it (short).
"""

import math
from dataclasses import replace

import numpy as np
import pytest
import shapely

from roomwright.figures import load
from roomwright.fit.access_doors import LEAF_LESS, PLAIN, PULL, PUSH, SLIDING
from roomwright.fit.accessible import APART, SHORT_RUN
from roomwright.fit.evaluate import room_fit
from roomwright.fit.model import Body, Leaf, Needs, Opening, Piece, Room, Space, Word
from roomwright.fit.turning_circle import T_SHAPE, largest_circle, places, t_turn

CHOSEN = load().choose("accessible")
NEEDS = Needs({f.key: float(f.value) for f in CHOSEN}, set_name=CHOSEN.set)
OTHER = Needs({f.key: float(f.value) for f in load().choose()}, set_name=load().choose().set)
HAIR = 1 / 16


def box(w: float, d: float):
    return ((0, 0), (w, 0), (w, d), (0, d))


def found(space: Space, section: str, needs: Needs = NEEDS):
    return [f for f in room_fit(space, needs).findings if f.kind == f"access {section}"]


def space(w: float, d: float, name: str = "Bath", **more) -> Space:
    return Space((Room("1", name, box(w, d)),), box(w, d), **more)


@pytest.mark.parametrize(
    ("key", "value", "section"),
    [
        ("walkway.main", 36, "403.5.1"),
        ("walkway.minimum", 32, "403.5.1"),
        ("door.clear", 32, "404.2.3"),
        ("bath.toilet_side", 16, "604.2"),
        ("bath.toilet_side_most", 18, "604.2"),
        ("bath.toilet_clear_width", 60, "604.3.1"),
        ("bath.toilet_clear_depth", 56, "604.3.1"),
        ("kitchen.facing", 40, "804.2.1"),
        ("kitchen.u_shape", 60, "804.2.2"),
        ("wheelchair.turn", 60, "304.3.1"),
        ("wheelchair.floor_width", 30, "305.3"),
        ("wheelchair.floor_length", 48, "305.3"),
        ("bath.tub_front", 30, "607.2"),
        ("bath.shower_front", 36, "608.2.1"),
        ("bedroom.side", 30, "806.2.3"),
    ],
)
def test_figures_with_their_sections(key, value, section):
    figure = CHOSEN.get(key)
    assert figure.value == value
    assert section in figure.section
    assert "2010 ADA Standards" in figure.source


def test_what_the_engine_asks_of_doors_and_routes_is_in_the_book():
    said = {f.key: float(f.value) for f in CHOSEN}
    assert (said["route.narrow_length"], said["route.narrow_apart"]) == (SHORT_RUN, APART)
    assert said["door.leaf_less"] == LEAF_LESS
    front = said["door.pull_deep"], said["door.pull_beyond"]
    assert (front, (said["door.pull_latch_deep"], said["door.pull_latch_beyond"])) == PULL
    side = said["door.push_side_deep"], said["door.push_side_beyond"]
    assert ((said["door.push_deep"], 0), side) == PUSH
    plain = said["door.plain_deep"], said["door.plain_side_deep"]
    assert (tuple((deep, 0) for deep in plain), ((plain[0], 0), side)) == (PLAIN, SLIDING)
    bar, stem = T_SHAPE
    assert bar[2] - bar[0] == said["wheelchair.turn"] == bar[3] - stem[1]
    assert bar[3] - bar[1] == stem[2] - stem[0] == said["wheelchair.t_arm"]
    assert found(space(60 - HAIR, 60), "304.3.1")[0].text.count("4'-11 15/16\"") == 1


def test_under_another_set_nothing_of_this_is_asked():
    kinds = {f.kind for f in room_fit(space(30, 30), OTHER).findings}
    assert not {kind for kind in kinds if kind.startswith("access")}


# --- 304.3 turning ----------------------------------------------------------------------------


def test_304_3_1_circle_of_60():
    (met,) = found(space(60, 90), "304.3.1")
    assert (met.severity, round(met.clear, 3)) == (Word.MEETS, 60)
    (short,) = found(space(60 - HAIR, 59), "304.3.1")
    assert short.severity is Word.SHORT
    assert short.by == pytest.approx(1)
    assert "follow local code and licensed practice" in short.text


def test_304_3_2_t_in_a_square_of_60():
    # the T itself: bar 60 x 36, stem 36 x 24
    ring = ((12, 0), (48, 0), (48, 24), (60, 24), (60, 60), (0, 60), (0, 24), (12, 24))
    room = Space((Room("1", "Bath", ring),), ring)
    (met,) = found(room, "304.3.2")
    assert met.severity is Word.MEETS
    narrower = tuple((min(x, 48 - HAIR) if y < 24 else x, y) for x, y in ring)
    assert (
        found(replace(room, rooms=(Room("1", "Bath", narrower),), outline=narrower), "304.3.2")
        == []
    )


def test_304_4_doors_may_swing_into_it():
    leaf = Leaf("D1", "D1", (0, 5), (0, 37), (32, 5), "1", 32)
    door = Opening("D1", (0, 5), (0, 37), "2", "swing", 32, room="1")
    (met,) = found(space(60, 90, openings=(door,), leaves=(leaf,)), "304.3.1")
    assert met.severity is Word.MEETS


@pytest.mark.parametrize("seed", range(40))
def test_the_largest_circle_against_a_library(seed):
    """Any polygon with holes, against the library's inscribed circle and against random points."""
    rng = np.random.default_rng([305, seed])
    n = int(rng.integers(4, 10))
    turn = np.sort(rng.uniform(0, 2 * np.pi, n))
    reach = rng.uniform(60, 140, n)
    floor = shapely.make_valid(
        shapely.Polygon(np.stack([reach * np.cos(turn), reach * np.sin(turn)], axis=1))
    )
    for _ in range(int(rng.integers(0, 4))):
        x, y = rng.uniform(-60, 60, 2)
        floor = floor.difference(shapely.box(x, y, x + rng.uniform(8, 40), y + rng.uniform(8, 40)))
    floor = max(shapely.get_parts(floor), key=lambda part: part.area)
    across, center = largest_circle(floor, floor)
    line = shapely.maximum_inscribed_circle(floor, 1e-4)
    assert across == pytest.approx(2 * shapely.length(line), abs=1 / 64)
    assert shapely.covers(floor.buffer(1e-9), shapely.Point(center).buffer(across / 2 - 1e-6))
    spots = shapely.points(rng.uniform(-140, 140, (3000, 2)))
    inner = spots[shapely.contains(floor, spots)]
    assert 2 * shapely.distance(floor.boundary, inner).max(initial=0) <= across + 1 / 64


@pytest.mark.parametrize("seed", range(20))
def test_places_of_a_shape_against_trying_each(seed):
    rng = np.random.default_rng([306, seed])
    floor = shapely.box(0, 0, 120, 100)
    for _ in range(4):
        x, y = rng.uniform(0, 110, 2)
        floor = floor.difference(shapely.box(x, y, x + rng.uniform(4, 30), y + rng.uniform(4, 30)))
    turn = float(rng.choice([0, 90, rng.uniform(0, 360)]))
    where = places(floor, T_SHAPE, turn) if seed % 2 else places(floor, [(-15, 0, 15, 48)], turn)
    rects = T_SHAPE if seed % 2 else [(-15, 0, 15, 48)]
    shape = shapely.union_all([shapely.box(*rect) for rect in rects])
    shape = shapely.affinity.rotate(shape, turn, origin=(0, 0))
    for x, y in rng.uniform(0, 120, (400, 2)):
        here = shapely.Point(x, y)
        if shapely.distance(shapely.boundary(where), here) < 0.01:
            continue
        fits = floor.covers(shapely.affinity.translate(shape, x, y))
        assert fits == where.covers(here)
    if seed % 2:
        assert (t_turn(floor, floor, ((0, 0), (120, 0), (120, 100), (0, 100))) is None) == all(
            places(floor, T_SHAPE, q * 90).is_empty for q in range(4)
        )


# --- 305 clear floor --------------------------------------------------------------------------


def test_305_3_clear_floor_before_a_fixture():
    vanity = Piece("V1", "vanity", "vanity", 30, 20, 34, 50, 10, 0, "1")
    assert found(space(100, 68, pieces=(vanity,)), "305.3") == []  # 48 straight on
    assert found(space(100, 50, pieces=(vanity,)), "305.3") == []  # 30 alongside, 48 wide
    narrow = space(40, 68 - HAIR, pieces=(replace(vanity, x=20.0),))
    (short,) = found(narrow, "305.3")  # no 48 alongside in a room of 40
    assert short.by == pytest.approx(HAIR, abs=1 / 24)
    assert found(space(40, 68, pieces=(replace(vanity, x=20.0),)), "305.3") == []


def test_606_2_and_804_6_6_which_way_round():
    vanity = Piece("V1", "vanity", "vanity", 30, 20, 34, 50, 10, 0, "1")
    assert found(space(100, 68, pieces=(vanity,)), "606.2") == []
    (short,) = found(space(100, 68 - HAIR, pieces=(vanity,)), "606.2")  # 48 alongside is left
    assert short.by == pytest.approx(HAIR, abs=1 / 24)
    cold = Piece("K1", "refrigerator", "refrigerator", 36, 30, 70, 24, 15, 0, "1")
    assert found(space(48, 90, pieces=(cold,)), "804.6.6") == []
    (short,) = found(space(48 - HAIR, 90, pieces=(cold,)), "804.6.6")
    assert short.by > 0
    assert found(space(48 - HAIR, 90, pieces=(cold,)), "305.3") == []


# --- 403.5.1 route ----------------------------------------------------------------------------


@pytest.mark.parametrize(("run", "short"), [(20, False), (24, False), (28, True), (60, True)])
def test_403_5_1_narrow_for_24_at_most(run, short):
    blocks = tuple(
        Body(f"X{k}", "column", "column", "fixed",
             ((100, y0), (100 + run, y0), (100 + run, y1), (100, y1)), room="1")
        for k, (y0, y1) in enumerate([(0, 50), (83, 150)])  # 33 between
    )  # fmt: skip
    openings = (
        Opening("D1", (0, 40), (0, 100), "2", "cased", 60, room="1"),
        Opening("D2", (240, 40), (240, 100), "3", "cased", 60, room="1"),
    )
    room = space(240, 150, "Living", fixed=blocks, openings=openings)
    assert bool(found(room, "403.5.1")) == short


def lane(*runs: tuple[float, float], between: float = 33.0, width: float = 400.0) -> Space:
    """Walls with a gap between them, from x to x, in a room of 150 from opening to opening."""
    blocks = tuple(
        Body(f"X{k}{j}", "column", "column", "fixed",
             ((x0, y0), (x1, y0), (x1, y1), (x0, y1)), room="1")
        for k, (x0, x1) in enumerate(runs)
        for j, (y0, y1) in enumerate([(0, 50), (50 + between, 150)])
    )  # fmt: skip
    openings = (
        Opening("D1", (0, 46), (0, 87), "2", "cased", 41, room="1"),
        Opening("D2", (width, 46), (width, 87), "3", "cased", 41, room="1"),
    )
    return space(width, 150, "Living", fixed=blocks, openings=openings)


@pytest.mark.parametrize(
    ("runs", "between", "word"),
    [
        ([(100, 124)], 33, Word.MEETS),
        ([(100, 124)], 32, Word.MEETS),
        ([(100, 124)], 32 - HAIR, Word.BLOCKED),
        ([(100, 125)], 33, Word.SHORT),
        ([(100, 124), (172, 196)], 33, Word.MEETS),  # 48 apart
        ([(100, 124), (171, 195)], 33, Word.SHORT),
        ([(0, 400)], 34, Word.SHORT),  # a hall: no full body anywhere
        ([(0, 100)], 34, Word.SHORT),
        ([(0, 24)], 34, Word.MEETS),
    ],
)
def test_403_5_1_exception_in_the_verdict_of_the_path(runs, between, word):
    (way,) = room_fit(lane(*runs, between=between), NEEDS).ways
    assert way.tightest == pytest.approx(between)
    assert way.verdict.word is word
    assert bool(found(lane(*runs, between=between), "403.5.1")) == (word is Word.SHORT)


# --- 404.2.3, 404.2.4 doors -------------------------------------------------------------------


def swinging(width: float, at: float = 10, **size) -> tuple[Opening, Leaf]:
    door = Opening("D1", (at, 0), (at + width, 0), "2", "swing", width, room="1")
    leaf = Leaf("D1", "D1", (at, 0), (at + width + 1, 0), (at, width + 1), "1", width)
    return door, leaf


def test_404_2_3_clear_width():
    door, leaf = swinging(34)
    assert found(space(100, 100, openings=(door,), leaves=(leaf,)), "404.2.3") == []
    door, leaf = swinging(32)
    (short,) = found(space(100, 100, openings=(door,), leaves=(leaf,)), "404.2.3")
    assert short.by == pytest.approx(2)
    assert "allowance" in short.text
    cased = replace(door, kind="cased", width=32.0)
    assert found(space(100, 100, openings=(cased,)), "404.2.3") == []


@pytest.mark.parametrize(
    ("w", "d", "by"),
    [
        (10 + 34 + 18, 60, 0),  # front approach, pull side: 60 deep, 18 beyond the latch
        (10 + 34 + 18, 60 - HAIR, HAIR),
        (10 + 34 + 24, 48, 0),  # latch approach, pull side: 48 deep, 24 beyond
        (10 + 34 + 24 - HAIR, 48, HAIR),
        (10 + 34 + 17, 90, 1),
    ],
)
def test_404_2_4_1_pull_side(w, d, by):
    door, leaf = swinging(34)
    told = found(space(w, d, openings=(door,), leaves=(leaf,)), "404.2.4.1")
    assert sum(f.by for f in told) == pytest.approx(by, abs=1 / 24)


@pytest.mark.parametrize(
    ("w", "d", "by"),
    [(34, 48, 0), (34, 48 - HAIR, HAIR), (34 + 24, 42, 0), (34 + 24, 42 - HAIR, HAIR)],
)
def test_404_2_4_1_push_side(w, d, by):
    door = Opening("D1", (0, 0), (34, 0), "2", "swing", 34, room="1")
    told = found(space(w, d, openings=(door,)), "404.2.4.1")
    assert sum(f.by for f in told) == pytest.approx(by, abs=1 / 24)


def test_404_2_4_2_without_a_door():
    cased = Opening("O1", (0, 0), (34, 0), "2", "cased", 34, room="1")
    assert found(space(34, 42, openings=(cased,)), "404.2.4.2") == []
    (short,) = found(space(34, 42 - HAIR, openings=(cased,)), "404.2.4.2")
    assert short.by == pytest.approx(HAIR, abs=1 / 24)


# --- 604 toilet -------------------------------------------------------------------------------


def with_toilet(x: float, w: float = 100, d: float = 90, **more) -> Space:
    toilet = Piece("W1", "toilet", "toilet", 20, 28, 30, x, 14, 0, "1")
    return space(w, d, pieces=(toilet, *more.pop("others", ())), **more)


@pytest.mark.parametrize(
    ("center", "by"), [(16, 0), (17, 0), (18, 0), (16 - HAIR, HAIR), (18 + HAIR, HAIR), (24, 6)]
)
def test_604_2_center_to_side_wall(center, by):
    told = found(with_toilet(center), "604.2")
    assert sum(f.by for f in told) == pytest.approx(by)


def test_604_3_1_clear_floor_60_by_56():
    assert found(with_toilet(17, 60, 56), "604.3.1") == []
    (short,) = found(with_toilet(17, 60 - HAIR, 90), "604.3.1")
    assert short.by == pytest.approx(HAIR, abs=1 / 24)
    (short,) = found(with_toilet(17, 90, 56 - HAIR), "604.3.1")
    assert short.by == pytest.approx(HAIR, abs=1 / 24)
    vanity = Piece("V1", "vanity", "vanity", 24, 20, 34, 62, 10, 0, "1")  # 50..74
    (short,) = found(with_toilet(17, others=(vanity,)), "604.3.1")
    assert short.by == pytest.approx(10, abs=1 / 24)


# --- 804.2 kitchens ---------------------------------------------------------------------------


def galley(between: float, shut: bool) -> Space:
    def counter(id_: str, y: float) -> Body:
        return Body(id_, "counter", "counter", "fixed",
                    ((0, y), (120, y), (120, y + 25), (0, y + 25)), room="1")  # fmt: skip

    depth = 50 + between
    ring = box(120 if shut else 200, depth)
    if not shut:
        ring = ((-60, 0), (200, 0), (200, depth), (-60, depth))
    return Space(
        (Room("1", "Kitchen", ring),), ring,
        fixed=(counter("X1", 0), counter("X2", 25 + between)),
    )  # fmt: skip


@pytest.mark.parametrize(
    ("between", "shut", "section", "by"),
    [
        (40, False, "804.2.1", 0),
        (40 - HAIR, False, "804.2.1", HAIR),
        (60, True, "804.2.2", 0),
        (60 - HAIR, True, "804.2.2", HAIR),
        (40, True, "804.2.2", 20),
    ],
)
def test_804_2_between_counters(between, shut, section, by):
    told = found(galley(between, shut), section)
    assert sum(f.by for f in told) == pytest.approx(by)
    assert math.isfinite(by)
