"""Zones by use: what opens, who stands there, and which two may share floor."""

import math
from dataclasses import replace

import numpy as np
import pytest
import shapely
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from tests.fit.demo_rooms import NEEDS

from roomwright.fit import kinds, stools
from roomwright.fit.evaluate import findings, piece_fit, room_fit
from roomwright.fit.ground import Ground
from roomwright.fit.model import Body, Leaf, Needs, Piece, Room, Space, Window, Word, Zone
from roomwright.fit.opens import behind, opened, stopped
from roomwright.fit.uses import Trail
from roomwright.fit.zones import ZoneError, clashes, collisions, read, rule_for, table, zones_of
from roomwright.shape import TOUCH, extent, rectangle

WALLS = ((0.0, 0.0), (240.0, 0.0), (240.0, 180.0), (0.0, 180.0))


def space(*pieces, fixed=(), leaves=(), windows=()):
    return Space(
        (Room("102", "Kitchen", WALLS),), WALLS, pieces=pieces, fixed=fixed, leaves=leaves,
        windows=windows,
    )  # fmt: skip


def stove(x=100.0, **more):
    return Piece("K1", "range", "range", 30, 28, 36, x, 14, **more)


def box(id, x, y, w, d, kind="bookcase", **more):
    return Piece(id, kind, kind, w, d, 36, x, y, **more)


# --- what opens -----------------------------------------------------------------------------------


def test_an_oven_door_and_the_person_before_it():
    def short(at):  # a counter whose face lies so far before the range
        ground = Ground(space(stove(), box("X", 100, 28 + at + 12, 40, 24)))
        return {f.kind: f for f in stopped(ground, ground.pieces[0], NEEDS)}

    assert short(38) == {}  # [C] 20 of door and 18 of a person
    assert short(37.5)["standing"].by == pytest.approx(0.5)
    assert short(20)["standing"].by == pytest.approx(18)
    blocked = short(19)["stopped"]
    assert (blocked.severity, blocked.by) == (Word.BLOCKED, pytest.approx(1))
    assert "comes out 1'-7\" of 1'-8\"" in blocked.text


def test_the_cut_sheet_comes_before_the_figure():
    assert [o.reach for o in opened(stove(), NEEDS)] == [20]
    assert [o.reach for o in opened(stove(features="door 23 1/2"), NEEDS)] == [23.5]


def test_a_drawer_is_as_deep_as_its_chest_less_two_unless_it_is_said():
    chest = box("B4", 100, 10, 60, 20, "dresser")
    assert [o.reach for o in opened(chest, NEEDS)] == [18]
    assert [o.reach for o in opened(replace(chest, features="drawers 15"), NEEDS)] == [15]
    ground = Ground(space(chest, box("B1", 100, 20 + 14 + 40, 76, 80, "bed king")))
    (short,) = stopped(ground, ground.pieces[0], NEEDS)
    assert (short.severity, short.by) == (Word.SHORT, pytest.approx(4))


def test_the_person_at_a_dishwasher_stands_beside_its_door():
    washer = Piece("K2", "dishwasher", "dishwasher", 24, 25, 34, 60, 12.5)

    def beside(west, east):  # counters at right angles on both sides
        fixed = (
            Body("W", "counter", "counter", "fixed", rectangle(48 - west - 15, 40, 30, 80)),
            Body("E", "counter", "counter", "fixed", rectangle(72 + east + 15, 40, 30, 80)),
        )
        ground = Ground(space(washer, fixed=fixed))
        return [f.by for f in stopped(ground, ground.pieces[0], NEEDS) if f.kind == "standing"]

    assert beside(3, 21) == []  # [P] kitchen guideline 13: 21 at one side
    assert beside(3, 20) == [pytest.approx(1)]
    assert beside(21, 3) == []


def fridge(**more):
    return Piece("K3", "refrigerator", "refrigerator", 36, 30, 70, 18, 15, **more)


def test_a_door_of_unknown_hand_is_stopped_only_if_either_hand_is():
    left, right = fridge(features="hinge left"), fridge(features="hinge right")
    wall = Body("X", "pantry", "pantry", "fixed", rectangle(46, 40, 12, 80))  # east of it, 4 off
    kinds = []
    for each in (left, right, fridge()):
        ground = Ground(space(each, fixed=(wall,)))
        kinds.append([f.kind for f in stopped(ground, ground.pieces[0], NEEDS)])
    assert kinds == [[], [], []]
    near = Body("X", "island", "island", "fixed", rectangle(50, 60, 40, 30))  # x 30-70, y 45-75
    told = []
    for each in (left, right, fridge()):
        ground = Ground(space(each, fixed=(near,)))
        told.append([f.kind for f in stopped(ground, ground.pieces[0], NEEDS)])
    # left as one faces it is east: its leaf reaches (36, 66), the other's (0, 66) round to (36, 30)
    assert told == [["stopped"], ["stopped"], ["stopped"]]
    far = Body("X", "island", "island", "fixed", rectangle(50, 75, 40, 40))  # x 30-70, y 55-95
    told = []
    for each in (left, right, fridge()):
        ground = Ground(space(each, fixed=(far,)))
        told.append([(f.kind, f.severity) for f in stopped(ground, ground.pieces[0], NEEDS)])
    assert told == [[("stopped", Word.BLOCKED)], [], [("door hand", Word.FITS)]]


def test_two_narrow_leaves_open_where_one_wide_leaf_does_not():
    before = Body("X", "island", "island", "fixed", rectangle(18, 72, 36, 40))  # 22 before it
    counts = []
    for features in ("hinge left", "doors two"):
        ground = Ground(space(fridge(features=features), fixed=(before,)))
        counts.append(len(stopped(ground, ground.pieces[0], NEEDS)))
    assert counts == [1, 0]


def test_leaves_against_the_angle_by_hand():
    island = Body("X", "island", "island", "fixed", rectangle(18, 80, 200, 70))  # from y 45: 15 off
    ground = Ground(space(fridge(features="hinge left"), fixed=(island,)))
    (found,) = stopped(ground, ground.pieces[0], NEEDS)
    assert f"opens only {round(math.degrees(math.asin(15 / 36)))} of 90" in found.text  # [C] 25


def test_a_vent_takes_its_room_behind():
    dryer = Piece("U2", "dryer", "dryer", 27, 32, 39, 60, 20, features="vent back 6; hoses back 4")
    ground = Ground(space(dryer))
    (found,) = behind(ground, dryer)  # its back is 4 from the wall
    assert (found.by, found.needs) == (2, 6)
    assert "follow local code and licensed practice" in found.text
    assert behind(Ground(space(replace(dryer, y=22))), replace(dryer, y=22)) == ()


# --- which two may share floor --------------------------------------------------------------------


def test_a_walkway_may_cross_a_drawer_zone_and_a_chair_may_not():
    assert rule_for("walk", "open").word == "may"
    assert rule_for("sit", "open").word == "short"
    chest = box("B4", 60, 10, 60, 20, "dresser")
    table = Piece("T1", "dining table", "dining table", 60, 36, 30, 60, 70)
    ground = Ground(space(chest, table))  # drawers to 38, chairs from 34: 4 in one another
    (found,) = collisions(ground, NEEDS)
    assert (found.kind, found.severity, found.by) == ("zones", Word.SHORT, pytest.approx(4))
    assert set(found.ids) == {"B4", "T1"}
    assert "drawer" in found.text
    assert "chairs" in found.text
    assert collisions(Ground(space(chest, replace(table, y=74))), NEEDS) == ()


def test_two_cooks_in_a_corner():
    turned = Piece("K4", "cooktop", "cooktop", 30, 25, 36, 12.5, 55, 270)  # faces east, to x 25
    corner = replace(stove(x=35.0), depth=25, y=12.5)  # faces north, to y 25
    found = [f for f in collisions(Ground(space(corner, turned)), NEEDS) if f.kind == "zones"]
    both = next(f for f in found if "two cooks" in f.text)
    assert (both.severity, both.by, both.figure) == (
        Word.TIGHT,
        pytest.approx(3),
        "kitchen.aisle_two",
    )


def test_an_appliance_door_against_a_rooms_door():
    leaf = Leaf("D1", "D1", (150, 0), (182, 0), (150, 32), "102", 31)
    ground = Ground(space(stove(x=160.0), leaves=(leaf,)))
    assert any(
        f.severity is Word.SHORT and set(f.ids) == {"K1", "D1"} for f in collisions(ground, NEEDS)
    )


def test_a_piece_does_not_collide_with_itself():
    piece = stove()
    uses = [z.use for z in zones_of(piece, NEEDS)]
    assert uses == ["open", "before", "stand"]
    assert clashes(zones_of(piece, NEEDS)) == ()


@pytest.mark.parametrize("seed", range(60))
def test_collisions_are_those_of_a_general_library(seed):
    rng = np.random.default_rng([31, seed])
    uses = ("open", "stand", "sit", "swing", "walk")
    made = [
        Zone(f"P{k % 9}", f"thing P{k % 9}", "", rectangle(*rng.uniform(0, 200, 2),
             *rng.uniform(8, 60, 2), float(rng.uniform(0, 360))), str(rng.choice(uses)), "part")
        for k in range(14)
    ]  # fmt: skip
    told = {(frozenset(f.ids), f.severity.value) for f in clashes(made)}
    want = set()
    for i, a in enumerate(made):
        for b in made[i + 1 :]:
            word = rule_for(a.use, b.use).word
            if a.owner == b.owner or word == "may":
                continue
            shared = shapely.Polygon(a.outline) & shapely.Polygon(b.outline)
            if extent(shared, TOUCH) is not None:
                want.add((frozenset((a.owner, b.owner)), word))
    assert told == want


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("[[rule]]\nfirst = 'walk'\nsecond = 'swim'\nword = 'may'", "uses are"),
        ("[[rule]]\nfirst = 'walk'\nsecond = 'sit'\nword = 'never'", "the word is"),
        ("[[rule]]\nfirst = 'walk'\nsecond = 'sit'\nword = 'short'", "says what"),
        ("[[rule]]\nfirst = 'walk'\nsecond = 'sit'\nword = 'may'\n"
         "[[rule]]\nfirst = 'sit'\nsecond = 'walk'\nword = 'may'", "twice"),
        ("[[rule]\n", "cannot be read"),
    ],
)  # fmt: skip
def test_bad_tables_are_refused_with_the_reason(text, says):
    with pytest.raises(ZoneError, match=says):
        read(text)


def test_the_table_is_whole():
    assert len(table()) >= 13
    for rule in table().values():
        assert not rule.figure or NEEDS.get(rule.figure)


# --- stools ---------------------------------------------------------------------------------------


def island(name, high=36.0):
    return Body("X5", name, name, "fixed", rectangle(120, 90, 42, 84), high=high, room="102")


@pytest.mark.parametrize(
    ("name", "shorts"),
    [
        ("island, stools east 3", []),  # [P] 24 each: 72 of 84
        ("island, stools east 4", [12]),
        ("island, stools east 3, overhang 15", []),  # [P] 15 at 36 high
        ("island, stools east 3, overhang 12", [3]),
    ],
)
def test_stools_at_an_island(name, shorts):
    ground = Ground(space(fixed=(island(name),)))
    assert [f.by for f in stools.findings(ground, NEEDS)] == shorts


@pytest.mark.parametrize(("high", "wanted"), [(30, 18), (36, 15), (42, 12)])
def test_knees_by_the_height_of_the_top(high, wanted):
    ground = Ground(space(fixed=(island("island, stools east 2, overhang 6", high),)))
    (found,) = stools.findings(ground, NEEDS)
    assert (found.needs, found.by) == (wanted, wanted - 6)  # [P] kitchen guideline 9


def test_behind_stools_people_rise_or_walk():
    other = Body("X6", "counter", "counter", "fixed", rectangle(200, 90, 40, 84), room="102")
    ground = Ground(space(fixed=(island("island, stools east 3"), other)))  # 141 to 180: 39
    assert stools.findings(ground, NEEDS) == ()
    path = (Trail("O1", "O2", ((160.0, 0.0), (160.0, 180.0))),)
    (found,) = stools.findings(ground, NEEDS, path)
    assert (found.by, found.figure) == (5, "dining.walk_past")


def test_stools_of_a_piece_make_that_side_a_seated_one():
    piece = Piece("K9", "island", "island", 84, 42, 36, 120, 60, features="stools front 3")
    fit = room_fit(space(piece), NEEDS).pieces[0]
    front = next(side for side in fit.sides if side.local == "front")
    assert (front.use, front.needs, front.clear) == ("rise", 32, 99)


@pytest.mark.parametrize(("apart", "by"), [(56, 0), (55.5, 0.5), (44, 12)])
def test_stools_against_the_person_before_the_open_oven(apart, by):
    # [C] 20 of door, 18 of the person, 18 of people on the stools
    face = 28 + apart
    ring = ((60, face), (140, face), (140, face + 36), (60, face + 36))
    island = Body("X5", "island", "island, stools south 3, overhang 15", "fixed", ring, 0, 36, "X5")
    told = [f for f in collisions(Ground(space(stove(), fixed=(island,))), NEEDS)
            if "before the open oven door" in f.text]  # fmt: skip
    assert sum(f.by for f in told) == pytest.approx(by)
    assert all(f.severity is Word.TIGHT and f.ids == ("K1", "X5") for f in told)


# --- in the whole room ----------------------------------------------------------------------------


def test_what_stops_a_door_weighs_on_its_piece():
    fit = room_fit(space(stove(), box("X", 100, 28 + 15 + 12, 40, 24)), NEEDS)
    assert fit.pieces[0].verdict.word is Word.BLOCKED
    assert [z.use for z in fit.pieces[0].zones] == ["open", "before", "stand"]


def test_a_crib_by_a_window_is_told_with_caution():
    crib = Piece("B7", "crib", "crib", 54, 30, 42, 60, 160)
    window = Window("W1", (40, 180), (80, 180), 48, 30, room="102")
    (found,) = [
        f for f in room_fit(space(crib, windows=(window,)), NEEDS).findings if f.kind == "caution"
    ]
    assert found.clear == 5
    assert "follow local code and licensed practice" in found.text
    away = replace(crib, y=120)
    told = room_fit(space(away, windows=(window,)), NEEDS).findings
    assert not [f for f in told if f.kind == "caution"]


@pytest.mark.parametrize(
    ("features", "gap", "word"),
    [
        ("", 60, None),  # [P] HUD 1973: 60 at least
        ("", 59, Word.SHORT),
        ("screen 50", 80, None),  # 1.6 of the diagonal
        ("screen 50", 81, Word.TIGHT),
        ("viewing 96", 90, Word.SHORT),
    ],
)
def test_viewing_distance(features, gap, word):
    screen = Piece("L3", "television", "tv", 50, 10, 40, 100, 5, features=features)
    sofa = Piece("L1", "sofa", "sofa", 84, 38, 34, 100, 10 + gap + 19, 180)
    found = room_fit(space(screen, sofa), NEEDS).pieces[0].findings
    assert [f.severity for f in found if f.kind == "spacing"] == ([word] if word else [])


def test_needs_that_are_not_there_ask_nothing():
    assert stopped(Ground(space(stove())), stove(), Needs({})) == ()
    assert zones_of(stove(), Needs({})) == ()


# --- whatever is typed ----------------------------------------------------------------------------

SAID = (
    "legs four 4", "legs trestle 12", "leaf 18", "leaves 2 x 30", "bench left", "bench north east",
    "stools front 9", "stools west", "overhang 3", "chaise left 20 x 60", "chaise both 30 x 30",
    "L right 90 x 90", "seat 500", "shape oval", "shape racetrack", "shape round", "hinge left",
    "hinge right 400", "doors two", "door down 30", "drawers 300", "vent 40", "hoses 4",
    "screen 65", "viewing 300",
)  # fmt: skip
DRAWN = (
    (), ((-9, -9), (9, -9), (0, 9)), ((-9, -9), (9, 9), (9, -9), (-9, 9)), ((0, 0), (0, 0), (0, 0)),
    ((-20, -20), (20, -20), (20, 20), (5, 20), (5, 0), (-20, 0)),
)  # fmt: skip


@settings(max_examples=200, deadline=None, suppress_health_check=[HealthCheck.too_slow])
@given(
    st.lists(
        st.tuples(
            st.sampled_from([*sorted(kinds.table()), "pipe organ"]),
            st.lists(st.sampled_from(SAID), max_size=4),
            st.sampled_from(DRAWN),
            st.tuples(st.floats(0.1, 120), st.floats(0.1, 120)),
            st.tuples(st.floats(-20, 260), st.floats(-20, 200)),
            st.one_of(st.sampled_from([0.0, 90.0, 180.0, 270.0]), st.floats(-400, 400)),
        ),
        min_size=1,
        max_size=4,
    )
)
def test_any_piece_is_judged_and_what_it_says_holds(rows):
    made = [
        Piece(f"P{i}", kind, kind, *size, 36, *place, turn, drawn=drawn, features="; ".join(said))
        for i, (kind, said, drawn, size, place, turn) in enumerate(rows)
    ]
    ground = Ground(space(*made))
    common = findings(ground, NEEDS)
    for piece in made:
        fit = piece_fit(ground, piece, NEEDS, (), common)
        reach = shapely.Polygon(piece.box).buffer(0.02)
        assert shapely.is_valid(shapely.Polygon(piece.outline))
        assert reach.covers(shapely.Polygon(piece.outline)) or piece.round
        for side in fit.sides:
            assert side.clear is None or side.clear >= 0
            assert side.margin is None or side.margin == side.clear - side.needs
        for found in (*fit.findings, *common):
            assert found.by is None or found.by > 0
            if found.kind in ("stopped", "standing", "behind", "stools") and found.by is not None:
                assert found.by == pytest.approx(found.needs - found.clear)
