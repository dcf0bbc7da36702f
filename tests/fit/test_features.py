"""What tells a piece from others: features, forms, and seats by legs, leaves and benches."""

import math
from dataclasses import replace

import numpy as np
import pytest
import shapely
from hypothesis import given
from hypothesis import strategies as st
from tests.fit.demo_rooms import NEEDS

from roomwright import figures
from roomwright.fit.chairs import chairs
from roomwright.fit.evaluate import room_fit
from roomwright.fit.features import EXAMPLES, WORDS, features_of
from roomwright.fit.forms import drawn_wrong, ellipse, form, racetrack
from roomwright.fit.leaves import grown
from roomwright.fit.model import Needs, Piece, Room, Space, Word
from roomwright.fit.seats import by_rules, edge_length, handbook_lengths, seats, seats_of
from roomwright.shape import CHORD

BOOK = Needs({**NEEDS.figures, **handbook_lengths()})
WALLS = ((0.0, 0.0), (240.0, 0.0), (240.0, 200.0), (0.0, 200.0))


def space(*pieces):
    return Space((Room("101", "Dining", WALLS),), WALLS, pieces=pieces)


def table(width=84, depth=42, features="", kind="dining table", **more):
    return Piece("T1", kind, kind, width, depth, 30, 120, 100, features=features, **more)


# --- words ----------------------------------------------------------------------------------------


@given(st.text(max_size=200))
def test_nothing_that_is_written_stops_anything(text):
    found = features_of(text)
    assert isinstance(found.unknown, tuple)
    room_fit(space(table(features=text)), NEEDS)


@pytest.mark.parametrize("word", WORDS)
def test_every_word_has_an_example_that_is_understood(word):
    assert features_of(EXAMPLES[word]).unknown == ()
    assert features_of(EXAMPLES[word]) != features_of("")


@pytest.mark.parametrize(
    "text",
    ["leaf", "leaf -3", "leaf 1e9", "stools up 3", "chaise left", "legs golden", "bench",
     "door", "seat soft", "shape blob", "leaves 0 x 12", "chaise left 36 x 62; chaise left 3 x 4"],
)  # fmt: skip
def test_what_is_not_understood_is_kept(text):
    assert features_of(text).unknown


def test_lengths_as_a_tape_reads():
    assert features_of("leaf 1'-6\"; overhang 11 1/2").leaf == 18
    assert features_of("leaf 1'-6\"; overhang 11 1/2").overhang == 11.5


# --- forms ----------------------------------------------------------------------------------------


@pytest.mark.parametrize(("w", "d"), [(72, 42), (42, 72), (120, 48), (48, 48), (18, 100)])
def test_an_oval_strays_at_most_a_chord_inside_the_true_one(w, d):
    a, b = w / 2, d / 2
    ring = np.array(ellipse(w, d))
    on = (ring[:, 0] / a) ** 2 + (ring[:, 1] / b) ** 2
    assert np.allclose(on, 1)
    shape = shapely.Polygon(ring)
    t = np.linspace(0, 2 * math.pi, 4001)
    true = shapely.points(np.stack([a * np.cos(t), b * np.sin(t)], axis=1))
    assert shapely.distance(true, shape.exterior).max() <= CHORD
    assert shape.area < math.pi * a * b


def test_a_racetrack_is_a_rectangle_with_round_ends():
    ring = shapely.Polygon(racetrack(66, 48))
    true = shapely.LineString([(-9, 0), (9, 0)]).buffer(24, quad_segs=512)
    assert ring.symmetric_difference(true).area < 1.5
    assert ring.bounds == pytest.approx((-33, -24, 33, 24))
    assert ring.length == pytest.approx(edge_length(66, 48, "racetrack"), abs=0.05)


@given(st.floats(10, 150), st.floats(10, 150))
def test_length_of_an_ovals_edge(w, d):
    chords = shapely.Polygon(ellipse(w, d, 1 / 4096)).length
    assert edge_length(w, d, "oval") == pytest.approx(chords, rel=1e-3)


def test_an_l_by_hand():
    made = form("sectional", 112, 90, features=features_of("L left 38 x 90"))
    assert made.name == "L"
    assert shapely.Polygon(made.outline).area == 112 * 38 + 38 * (90 - 38)
    both = form("sectional", 140, 70, features=features_of("chaise both 36 x 70; seat 40"))
    assert shapely.Polygon(both.outline).area == 140 * 40 + 2 * 36 * 30
    left = shapely.Polygon(made.outline)
    assert left.contains(shapely.Point(50, 40))  # left as one faces it is east at turn 0
    assert not left.contains(shapely.Point(-50, 40))


@pytest.mark.parametrize(
    "features", ["chaise left 36 x 90", "chaise both 80 x 60", "L left 36 x 60; seat 61"]
)
def test_a_chaise_that_cannot_be_is_said_and_the_box_taken(features):
    made = form("sectional", 110, 62, features=features_of(features))
    assert made.straight
    assert "its" in made.wrong


@pytest.mark.parametrize(
    ("drawn", "says"),
    [
        (((0, 0), (1, 0)), "fewer than three"),
        (((0, 0), (9, 9), (9, 0), (0, 9)), "crosses itself"),
        (((0, 0), (90, 0), (0, 9)), "reaches beyond"),
        (((0, 0), (math.nan, 0), (0, 9)), "no place"),
        (tuple((math.cos(k), math.sin(k)) for k in range(500)), "more than 400"),
        (((-9, -9), (9, -9), (0, 9)), ""),
    ],
)
def test_drawn_outlines_are_checked(drawn, says):
    wrong = drawn_wrong(drawn, 20, 20)
    assert (says in wrong) if says else not wrong
    piece = Piece("P1", "sofa", "sofa", 20, 20, 30, 50, 50, drawn=drawn)
    assert shapely.Polygon(piece.outline).area == pytest.approx(400 if says else 162)


def test_an_own_outline_is_the_piece_wherever_it_is_asked():
    drawn = ((-50, -30), (50, -30), (50, 30), (14, 30), (14, 8), (-50, 8))
    sofa = Piece("L1", "sectional", "sectional", 100, 60, 34, 120, 60, drawn=drawn)
    low = Piece("L2", "coffee table", "coffee table", 30, 16, 17, 90, 60 + 8 + 15 + 8)
    fit = {f.piece.id: f for f in room_fit(space(sofa, low), NEEDS).pieces}
    front = next(s for s in fit["L1"].sides if s.local == "front")
    assert front.clear == 15  # before the seat, not before the chaise
    assert not fit["L2"].findings
    near = room_fit(space(sofa, replace(low, y=low.y - 3)), NEEDS)
    assert [f.by for f in near.findings if f.kind == "spacing"] == [pytest.approx(2)]


# --- seats ----------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("length", "total"), [(53, 0), (54, 4), (78, 4), (79, 6), (84, 6), (104, 8), (129, 10)]
)
def test_the_handbook_table(length, total):
    found = seats(length, 42, BOOK)  # [P] Time-Saver Standards
    assert (found.total, found.rule[:8]) == (total, "handbook")


def test_each_rule_is_named_and_both_are_told():
    told = dict(by_rules(table(), NEEDS))
    assert sorted(told.values()) == [6, 8]
    assert by_rules(table(), BOOK) == by_rules(table(), NEEDS)
    fit = room_fit(space(table()), BOOK).pieces[0]
    assert (fit.seats, fit.seats_rule) == (6, "handbook table, Time-Saver Standards")
    assert len(fit.chairs) == 6


def test_a_top_that_the_handbook_does_not_know_goes_by_the_other_rule():
    assert "24 in." in seats(60, 60, BOOK, round_top=True).rule
    assert "24 in." in seats(84, 34, BOOK).rule


def test_which_set_counts_by_which_rule():
    book = figures.load()
    assert {name: book.seat_rule(name) for name in book.sets} == {
        "kitchen and bath guidelines": "24 in. rule",
        "HUD 1973": "handbook",
        "common practice": "24 in. rule",
        "accessible": "24 in. rule",
    }


@pytest.mark.parametrize(
    ("width", "depth", "features", "total"),
    [
        (84, 42, "legs pedestal", 8),
        (84, 42, "legs four", 8),  # people at the ends take more of the corner than a leg does
        (72, 34, "legs pedestal", 6),  # nobody at the ends
        (72, 34, "legs four", 4),  # 72 less 2 legs of 3 1/2 is 65: two a side
        (84, 42, "legs four 7", 6),  # 84 - 14 = 70: two a side, one at each end
        (84, 42, "legs trestle 18", 8),
        (84, 42, "legs trestle 14", 6),  # no knees there; 84 / 24 three a side
        (84, 42, "legs trestle", 6),
    ],
)
def test_legs_change_seats(width, depth, features, total):
    assert seats_of(table(width, depth, features), NEEDS).total == total


def test_an_oval_seats_by_its_edge():
    found = seats_of(table(84, 48, kind="oval dining table"), NEEDS)
    assert found.total == math.floor(edge_length(84, 48, "oval") / 24) == 8
    stools = chairs(table(84, 48, kind="oval dining table"), NEEDS)
    assert len(stools) == 8
    top = shapely.Polygon(table(84, 48, kind="oval dining table").outline)
    assert all(shapely.Polygon(each).intersection(top).area < 12 for each in stools)


def test_an_oval_has_one_side_all_around():
    fit = room_fit(space(table(84, 48, kind="oval dining table")), NEEDS).pieces[0]
    (side,) = fit.sides
    assert side.side == "around"
    assert side.clear == pytest.approx(76, abs=1 / 64)  # 100 - 24, north and south


def test_a_bench_is_not_pushed_back():
    # 20 behind it: short for a chair (32), enough for a bench (18)
    near = table(features="bench back", kind="dining table")
    near = replace(near, y=21 + 20)
    sides = {s.local: s for s in room_fit(space(near), NEEDS).pieces[0].sides}
    assert (sides["back"].use, sides["back"].margin) == ("slide in", 2)
    plain = {s.local: s for s in room_fit(space(replace(near, features="")), NEEDS).pieces[0].sides}
    assert (plain["back"].use, plain["back"].margin) == ("rise", -12)
    assert len(chairs(near, NEEDS)) == 8 - 3 + 1
    by_compass = room_fit(space(replace(near, features="bench south")), NEEDS).pieces[0]
    assert {s.local: s.use for s in by_compass.sides}["back"] == "slide in"


# --- leaves ---------------------------------------------------------------------------------------


def test_the_leaf_of_the_demo_table():
    from tests.fit.demo_rooms import demo_space  # [C] 60 left for both ends, 76 wanted: short 16

    dining = demo_space("101")
    with_leaf = tuple(replace(p, features="leaf 18") if p.id == "T1" else p for p in dining.pieces)
    fit = room_fit(replace(dining, pieces=with_leaf), NEEDS, "101")
    (leaf,) = [f for f in fit.findings if f.kind == "leaf in"]
    assert (leaf.severity, leaf.by) == (Word.SHORT, 16)
    assert "8'-6\" x 3'-6\"" in leaf.text
    assert fit.pieces[0].verdict.by == 5  # and without it as before


def test_leaves_grow_the_longer_side():
    assert grown(table(features="leaves 2 x 12")).where[2:] == (108, 42)
    assert grown(table(42, 84, features="leaf 18")).where[2:] == (42, 102)
    assert grown(table()) is None
    assert grown(grown(table(features="leaf 18; legs pedestal")) or table()) is None
