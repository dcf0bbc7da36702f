"""Baths, laundry and doors of the demo: what must be in front, beside, and free to swing."""

import math
from dataclasses import replace

import pytest
from tests.fit.demo_rooms import NEEDS, demo_space

from roomwright.fit.evaluate import room_fit
from roomwright.fit.fixtures import bowls, centers, fronts
from roomwright.fit.ground import Ground
from roomwright.fit.model import Body, Leaf, Piece, Room, Space, Word
from roomwright.fit.swings import against_swings, against_things, before_openings, opens_to


def fit(room):
    return room_fit(demo_space(room), NEEDS, room)


def side(room, piece, local):
    found = next(p for p in fit(room).pieces if p.piece.id == piece)
    return next(s for s in found.sides if s.local == local)


def test_hall_bath_toilet_front_to_tub():
    front = side("204", "V3", "front")  # [C]
    assert (front.clear, front.needs, front.margin) == (19.5, 21, -1.5)
    assert (front.binding, front.figure) == ("alcove tub V2", "bath.toilet_front")
    assert front.verdict.word is Word.SHORT
    assert front.verdict.text == 'short 1 1/2" in front of the toilet; the inspector decides'


def test_toilet_sides_are_measured_from_its_centerline():
    east, west = side("204", "V3", "left"), side("204", "V3", "right")
    assert (east.clear, east.binding) == (20, "vanity V1")
    assert (west.clear, west.binding) == (40, "west wall")
    assert east.verdict.word is Word.MEETS
    assert east.verdict.text.endswith("the inspector decides")
    assert east.at[0][0] == 100  # the dimension starts at the centerline


def test_toilet_room_both_numbers_are_told():
    front = side("211", "M3", "front")  # [C] 30 to the wall; the door leaves 6 3/8
    exact = 130 - math.sqrt(25**2 - 12.5**2) - 102
    assert front.clear == pytest.approx(exact, abs=1 / 64)
    assert front.shut == pytest.approx(30)
    assert front.binding == "swing of D15"
    assert front.shut_binding == "north wall"
    assert front.verdict.word is Word.SHORT
    assert "6 3/8" in front.verdict.text
    assert "2'-6\" to the north wall" in front.verdict.text


def test_a_door_that_takes_the_room_is_found_and_what_to_do_is_said():
    (found,) = [f for f in fit("211").findings if f.kind == "swing in the way"]
    assert found.ids == ("D15", "M3")
    assert '2\'-6" with the door shut, 6 3/8" with it open' in found.text
    assert found.text.endswith("swing the other way, or hang it on its other side.")
    assert "swing in the way" not in {f.kind for f in fit("105").findings}


def test_powder_vanity_stands_too_near_the_wall():
    west = side("105", "P1", "right")  # [C] a 24 in. vanity in the corner: its center is 12 off
    assert (west.clear, west.margin) == (12, -3)


def test_no_code_figure_ever_gives_a_plain_fits():
    for room in ("105", "204", "209", "211"):
        for piece in fit(room).pieces:
            for each in piece.sides:
                assert each.verdict is None or each.verdict.word in (Word.MEETS, Word.SHORT)
                assert each.verdict is None or "inspector decides" in each.verdict.text


def test_the_washer_stands_in_the_swing_of_the_laundry_door():
    found = fit("207")  # [C]
    swing = next(f for f in found.findings if f.kind == "door swing")
    assert swing.ids == ("D12", "U1")
    assert swing.severity is Word.BLOCKED
    washer = next(p for p in found.pieces if p.piece.id == "U1")
    assert washer.verdict.word is Word.BLOCKED


def test_the_washer_stops_the_door_at_the_angle_of_its_corner():
    leaf = demo_space("207").leaves[0]
    assert leaf.pivot == (203.5, 284)
    ground = Ground(demo_space("207"))
    (finding,) = against_things(ground)
    # nearest to shut is the washer's far front corner on the arc's side
    shared = next(s for b, s in zip(ground.bodies, ground.shapes, strict=True) if b.id == "U1")
    disc = ground.shapes[0]
    angle = opens_to(leaf, shared.intersection(disc))
    reach = math.degrees(math.asin((210.5 - 203.5) / 33))  # the washer's west face meets the arc
    assert angle == pytest.approx(reach, abs=0.1)
    assert f"{round(angle)} of 90" in finding.text


def test_a_free_standing_shower_front_is_told_with_its_number():
    (front,) = [f for f in fronts(Ground(demo_space("209")), NEEDS) if f.ids == ("X15",)]
    assert (front.clear, front.needs) == (34.5, 24)  # [C] glass at y 108 to the tub at 142.5
    assert front.severity is Word.MEETS
    assert front.text.endswith("follow local code and licensed practice.")


def test_bowls_of_a_double_vanity_stand_at_the_quarter_points():
    vanity = next(p for p in demo_space("209").pieces if p.id == "M1")
    assert bowls(vanity) == ((294, 142), (294, 106))


def test_fixtures_side_by_side_need_thirty_between_centers():
    outline = ((0, 0), (90, 0), (90, 90), (0, 90))
    toilet = Piece("V1", "toilet", "toilet", 20, 28, 30, 20, 14, room="1")
    bidet = Piece("V2", "bidet", "bidet", 16, 26, 16, 48, 13, room="1")
    space = Space((Room("1", "Bath", outline),), outline, pieces=(toilet, bidet))
    (found,) = centers(Ground(space), NEEDS)
    assert (found.clear, found.needs) == (28, 30)
    assert found.by == pytest.approx(2)
    apart = replace(space, pieces=(toilet, replace(bidet, x=50.0)))
    assert centers(Ground(apart), NEEDS) == ()


def leaf(id_, pivot, shut, open_):
    return Leaf(id_, id_, pivot, shut, open_, "1", math.dist(pivot, shut) - 1)


def square(*, leaves=(), fixed=(), pieces=()):
    outline = ((0, 0), (120, 0), (120, 120), (0, 120))
    return Space((Room("1", "Hall", outline),), outline, leaves=leaves, fixed=fixed, pieces=pieces)


def test_two_doors_that_meet_are_told_and_leaves_of_a_pair_are_not():
    first = leaf("D1", (0, 0), (31, 0), (0, 31))
    second = leaf("D2", (0, 50), (0, 19), (31, 50))
    (found,) = against_swings(square(leaves=(first, second)))
    assert found.ids == ("D1", "D2")
    far = leaf("D2", (0, 100), (0, 69), (31, 100))
    assert against_swings(square(leaves=(first, far))) == ()
    pair = (first, replace(second, opening="D1"))
    assert against_swings(square(leaves=pair)) == ()


def test_a_thing_in_the_corner_beyond_the_arc_does_not_stop_the_door():
    swing = leaf("D1", (0, 0), (31, 0), (0, 31))
    corner = Body("X1", "post", "post", "fixed", ((25, 25), (31, 25), (31, 31), (25, 31)))
    assert against_things(Ground(square(leaves=(swing,), fixed=(corner,)))) == ()
    nearer = Body("X1", "post", "post", "fixed", ((20, 20), (26, 20), (26, 26), (20, 26)))
    assert len(against_things(Ground(square(leaves=(swing,), fixed=(nearer,))))) == 1
    overhead = replace(nearer, low=84.0)
    assert against_things(Ground(square(leaves=(swing,), fixed=(overhead,)))) == ()


def test_what_stands_before_an_opening_bars_it():
    dining = demo_space("101")
    chest = Piece("S9", "chest", "chest", 40, 18, 40, 153, 55, 90, room="101")
    space = replace(dining, pieces=(*dining.pieces, chest))
    (found,) = before_openings(Ground(space), NEEDS)
    assert found.ids == ("O1", "S9")
    assert found.clear == pytest.approx(15)  # from 20 to 35 of 20 to 80
    assert before_openings(Ground(dining), NEEDS) == ()
