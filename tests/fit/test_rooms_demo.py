"""The other rooms of the demo: kitchen aisles, stair, windows, joined spaces."""

from dataclasses import replace

import pytest
from tests.fit.demo_rooms import NEEDS, demo_space, doors, rooms

from roomwright.fit.aisles import aisles
from roomwright.fit.centring_told import off_centre
from roomwright.fit.evaluate import room_fit
from roomwright.fit.ground import Ground
from roomwright.fit.model import Flight, Light, Piece, Room, Space, Window, Word
from roomwright.fit.overlaps import overlaps
from roomwright.fit.spaces import Door, as_seen, group_of, swing
from roomwright.fit.spacing import spacing
from roomwright.fit.stairs import check, risers
from roomwright.fit.windows import covered
from roomwright.shape import area


def test_kitchen_aisles():
    found = {f.ids: f for f in aisles(Ground(demo_space("102")), NEEDS)}
    assert found["X5", "X1"].clear == 42  # [C] island to sink counter
    assert found["X5", "X3"].clear == 42  # [C] island to range counter
    assert found["X5", "X4"].clear == 42
    assert found["X5", "K1"].clear == 39  # the range stands 3 proud of the counter
    assert found["X5", "K1"].severity is Word.SHORT
    assert found["X5", "K2"].clear == 42
    assert ("X3", "X4") not in found  # the range stands between them
    assert len(found) == 5


def test_an_aisle_between_two_counters_without_an_island():
    outline = ((0, 0), (90, 0), (90, 200), (0, 200))
    kitchen = demo_space("102")
    north = replace(kitchen.fixed[0], outline=((0, 0), (25, 0), (25, 100), (0, 100)), room="1")
    south = replace(kitchen.fixed[2], outline=((65, 0), (90, 0), (90, 100), (65, 100)), room="1")
    space = Space((Room("1", "Galley", outline),), outline, fixed=(north, south))
    (found,) = aisles(Ground(space), NEEDS)
    assert (found.clear, found.by) == (40, 2)


def test_stair_risers_after_finishes():
    (flight,) = demo_space("104").flights
    found = risers(flight)  # [C] [P] residential code R311.7.5.1: 7 3/4, 3/8
    assert (found.first, found.between, found.last) == (7.875, 7.625, 7.375)
    told = {f.kind: f for f in check(flight, NEEDS)}
    assert told["stair riser"].by == pytest.approx(1 / 8)
    assert told["stair spread"].by == pytest.approx(1 / 8)
    assert told["stair riser"].severity is Word.SHORT
    assert told["stair headroom"].severity is Word.MEETS
    assert told["stair headroom"].clear == 81.75
    assert all("follow local code and licensed practice" in f.text for f in told.values())
    assert "Lower the stringers 1/4" in told["stair riser"].text


def test_the_cure_of_the_stair_is_true():
    (flight,) = demo_space("104").flights
    drop = risers(flight).drop
    assert drop == 0.25
    first, last = risers(flight).first - drop, risers(flight).last + drop
    assert first == last == 7.625


def test_finished_risers_add_up_to_the_finished_rise():
    flight = Flight("S1", 120, 15, 10, 1.25, lower=0.625, upper=1.5)
    found = risers(flight)
    total = found.first + 13 * found.between + found.last
    assert total == pytest.approx(120 - 0.625 + 1.5)


def test_a_stair_on_floors_not_chosen_is_measured():
    told = check(Flight("S1", 122, 16, 10, 1, lower=None, upper=0.75), NEEDS)
    assert told[0].severity is Word.MEASURE


def test_pendants_are_centered_on_the_island():
    assert off_centre(demo_space("102"), NEEDS) == ()  # [C]
    kitchen = demo_space("102")
    shifted = tuple(replace(light, y=light.y + 3) for light in kitchen.lights)
    (found,) = off_centre(replace(kitchen, lights=shifted), NEEDS)
    assert 'move them 3" south' in found.text
    nudged = (replace(kitchen.lights[0], x=88.25), *kitchen.lights[1:])
    assert off_centre(replace(kitchen, lights=nudged), NEEDS) == ()


def test_a_light_over_a_table_without_a_place_is_measured():
    dining = demo_space("101")
    table = replace(dining.pieces[0], x=None)
    (found,) = off_centre(replace(dining, pieces=(table,)), NEEDS)
    assert found.severity is Word.MEASURE


def test_rooms_joined_by_an_open_side_are_walked_as_one():
    assert group_of("103", doors()) == ("103", "104")
    assert group_of("206b", doors()) == ("206b", "206")
    entry = demo_space("103")
    assert area(entry.outline) == pytest.approx(112.5 * 96 + 112.5 * 120)
    assert {o.id for o in entry.openings} == {"D1", "O1", "O2", "O3", "D4"}
    fit = room_fit(entry, NEEDS, "103")
    assert ("D1", "O3") in {(way.from_, way.to) for way in fit.ways}


def test_a_path_is_never_wider_than_its_openings():
    for room in rooms():
        space = demo_space(room)
        widths = {o.id: o.width for o in space.openings}
        for way in room_fit(space, NEEDS, room).ways:
            assert way.tightest <= min(widths[way.from_], widths[way.to]) + 1e-9


def test_living_room_path_is_tight_beside_the_sectional():
    (way,) = room_fit(demo_space("108"), NEEDS, "108").ways
    assert way.tightest == pytest.approx(36.5)  # [C] 320 - 283.5
    assert way.verdict.word is Word.TIGHT


def test_rooms_open_to_each_other_across_a_wall():
    first = Room("1", "Den", ((0, 0), (100, 0), (100, 100), (0, 100)))
    second = Room("2", "Hall", ((104.5, 0), (200, 0), (200, 100), (104.5, 100)))
    door = Door("O1", "1", "2", "open", (100, 20), (100, 80))
    from roomwright.fit.spaces import Contents, space

    joined = space([first, second], [door], Contents())
    assert area(joined.outline) == pytest.approx(100 * 100 + 95.5 * 100 + 4.5 * 60)
    apart = Room("2", "Hall", ((140, 0), (200, 0), (200, 100), (140, 100)))
    with pytest.raises(ValueError, match="do not meet"):
        space([first, apart], [door], Contents())


@pytest.mark.parametrize(
    ("door", "room", "pivot", "open_"),
    [
        ("D13", "208", (279, 270), (312, 270)),
        ("D12", "207", (203.5, 284), (236.5, 284)),
        ("D8", "202", (166.5, 230), (135.5, 230)),
        ("D16", "210", (312, 72), (312, 43)),
    ],
)
def test_leaves_hang_where_the_file_says_and_swing_into_the_room(door, room, pivot, open_):
    given = next(d for d in doors() if d.id == door)
    (leaf,) = swing(given, rooms()[room].outline)
    assert leaf.pivot == pivot
    assert leaf.open == pytest.approx(open_)


def test_a_pair_hangs_at_both_ends():
    pair = next(d for d in doors() if d.id == "D6")
    first, second = swing(pair, rooms()["109"].outline)
    assert (first.pivot, second.pivot) == ((290, 216), (350, 216))
    assert (first.width, second.width) == (30, 30)
    assert first.open == pytest.approx((290, 247))


def test_doors_of_unknown_hand_and_openings_off_the_wall_are_told():
    from roomwright.fit.spaces import Contents, space

    room = Room("1", "Den", ((0, 0), (100, 0), (100, 100), (0, 100)))
    unhung = Door("D1", "1", "out", "swing", (100, 20), (100, 52))
    off = Door("D2", "1", "out", "cased", (60, 20), (60, 52))
    fit = room_fit(space([room], [unhung, off], Contents()), NEEDS)
    assert [(f.kind, f.ids, f.severity) for f in fit.findings] == [
        ("opening", ("D1",), Word.MEASURE),
        ("opening", ("D2",), Word.MEASURE),
    ]
    assert as_seen(off, "1", room.outline) is None


def test_coffee_table_distance_by_its_two_figures():
    living = demo_space("108")
    table = next(p for p in living.pieces if p.id == "L2")
    assert spacing(Ground(living), table, NEEDS) == ()  # [C] 16, between 14 and 18
    near = replace(table, y=56.0)
    (found,) = spacing(Ground(living).with_piece(near), near, NEEDS)
    assert (found.clear, found.by, found.severity) == (13, 1, Word.SHORT)
    far = replace(table, y=48.0)
    (found,) = spacing(Ground(living).with_piece(far), far, NEEDS)
    assert (found.clear, found.severity) == (21, Word.TIGHT)


def test_headboard_before_a_window_is_told_and_another_stays_for_escape():
    (found,) = [
        f for f in room_fit(demo_space("208"), NEEDS, "208").findings if f.kind == "window covered"
    ]
    assert found.ids == ("W16", "B1")  # [C] 58 high before a sill at 36
    assert found.by == 22
    assert "no escape any more; another" in found.text


def test_the_last_escape_window_must_stay_free():
    outline = ((0, 0), (120, 0), (120, 120), (0, 120))
    bed = Piece("B1", "bed queen", "bed", 60, 80, 58, 60, 78, 180, room="1")
    window = Window("W1", (42, 120), (78, 120), 48, 24, "casement", "1")
    space = Space((Room("1", "Bedroom", outline),), outline, windows=(window,), pieces=(bed,))
    (found,) = covered(Ground(space), NEEDS)
    assert found.severity is Word.BLOCKED
    low = replace(space, pieces=(replace(bed, height=20.0),))
    assert covered(Ground(low), NEEDS) == ()


def test_overlaps_and_sticking_out():
    dining = demo_space("101")
    table = next(p for p in dining.pieces if p.id == "T1")
    into = replace(table, y=36.0)  # 15 to 57: 3 deep in the sideboard
    (found,) = overlaps(Ground(dining).with_piece(into), into)
    assert (found.kind, found.ids) == ("overlap", ("T1", "S1"))
    assert found.by == pytest.approx(3)
    out = replace(table, x=121.0)  # to 163
    (found,) = overlaps(Ground(dining).with_piece(out), out)
    assert (found.kind, found.by) == ("outside", pytest.approx(1))
    touching = replace(table, x=120.0, y=39.0)
    assert overlaps(Ground(dining).with_piece(touching), touching) == ()


def test_every_piece_of_the_demo_stands_in_its_room_and_in_nothing_else():
    for room in rooms():
        fit = room_fit(demo_space(room), NEEDS, room)
        assert [f for f in fit.findings if f.kind in ("overlap", "outside")] == []


def test_lights_of_a_room_without_any_are_no_finding():
    light = Light("C9", "chandelier box", 10, 10, "", "101")
    assert off_centre(replace(demo_space("101"), lights=(light,)), NEEDS) == ()
