"""Where a hair decides: a gap a hair too narrow is never a fit, and a figure of 0 is a figure."""

from dataclasses import replace

import pytest
from tests.fit.demo_rooms import NEEDS, demo_space

from roomwright import figures
from roomwright.fit.evaluate import room_fit
from roomwright.fit.ground import Ground
from roomwright.fit.model import Body, Flight, Leaf, Needs, Opening, Piece, Room, Space, Word
from roomwright.fit.seats import seats
from roomwright.fit.spaces import Contents, Door
from roomwright.fit.spaces import space as joined
from roomwright.fit.stairs import check, risers
from roomwright.fit.swings import before_openings
from roomwright.fit.walks import walks

WALLS = ((0.0, 0.0), (120.0, 0.0), (120.0, 36.0), (0.0, 36.0))
ENDS = (
    Opening("O1", (0.0, 0.0), (0.0, 36.0), "out", "cased", 36.0, room="1"),
    Opening("O2", (120.0, 0.0), (120.0, 36.0), "out", "cased", 36.0, room="1"),
)


def passage(reach, width=36.0, needs=NEEDS):
    """[C] A straight passage with a post that reaches into it."""
    walls = tuple((x, min(y, width)) for x, y in WALLS)
    ends = tuple(replace(o, b=(o.b[0], width), width=width, a=(o.a[0], 0.0)) for o in ENDS)
    post = Body("X1", "post", "post", "fixed", ((50, 0), (60, 0), (60, reach), (50, reach)))
    fixed = (post,) if reach else ()
    space = Space((Room("1", "Hall", walls),), walls, openings=ends, fixed=fixed)
    ((way,), _) = walks(Ground(space), needs)
    return way


@pytest.mark.parametrize("hair", [1 / 16, 1 / 64, 1 / 256])
def test_a_walk_path_a_hair_too_narrow_is_short(hair):
    assert passage(0).verdict.word is Word.FITS
    way = passage(hair)
    assert way.tightest == pytest.approx(36 - hair)
    assert way.verdict.word is Word.SHORT
    assert way.verdict.by == pytest.approx(hair)


@pytest.mark.parametrize("hair", [1 / 16, 1 / 64, 1 / 256])
def test_a_gap_a_hair_below_what_a_person_passes_is_blocked(hair):
    assert passage(12).verdict.word is Word.SHORT
    assert passage(12 + hair).verdict.word is Word.BLOCKED


@pytest.mark.parametrize(("hair", "count"), [(0, 0), (1 / 64, 1), (1 / 256, 1)])
def test_an_opening_a_hair_too_barred_is_barred(hair, count):
    post = Body("X1", "post", "post", "fixed", ((0, 0), (6, 0), (6, 12 + hair), (0, 12 + hair)))
    space = Space((Room("1", "Hall", WALLS),), WALLS, openings=ENDS[:1], fixed=(post,))
    assert len(before_openings(Ground(space), NEEDS)) == count


@pytest.mark.parametrize("hair", [1 / 16, 1 / 64, 1 / 1000])
def test_a_side_a_hair_short_is_short_and_says_how_little(hair):
    dining = demo_space("101")
    table = replace(dining.pieces[0], x=76.0 + hair)  # [C] at 76 the east end has its 44
    fit = room_fit(replace(dining, pieces=(table, dining.pieces[1])), NEEDS, "101")
    east = next(s for s in fit.pieces[0].sides if s.side == "east")
    assert east.verdict.word is Word.SHORT
    told = {1 / 16: '1/16"', 1 / 64: '1/64"', 1 / 1000: 'less than 1/64"'}[hair]
    assert east.verdict.text == f"short {told} for walking behind someone seated"


def test_an_opening_below_what_a_person_passes_is_no_fit():
    """[P] 2010 ADA Standards 403.5.1: 32 in. at the least; a 30 in. opening leaves 30."""
    chosen = figures.load().choose("accessible")
    accessible = Needs({f.key: float(f.value) for f in chosen})
    way = passage(0, 30.0, accessible)
    assert way.verdict.word is Word.SHORT
    assert (way.verdict.by, way.needs, way.figure) == (2, 32, "walkway.minimum")
    assert way.verdict.text == (
        'short 2": the opening itself is 2\'-6" wide, 2\'-8" is the least to pass'
    )
    assert passage(0, 30.0).verdict.text == "fits, as wide as its opening"


def test_what_blocks_a_path_is_named_not_the_wall():
    way = passage(36)
    assert way.verdict.text == "blocked: no way past the post X1"


def test_what_covers_an_opening_is_named_not_its_jamb():
    chest = Body("X1", "chest", "chest", "fixed", ((0, 0), (20, 0), (20, 36), (0, 36)))
    space = Space((Room("1", "Hall", WALLS),), WALLS, openings=ENDS, fixed=(chest,))
    ((way,), _) = walks(Ground(space), NEEDS)
    assert way.verdict.text == "blocked: no way past the chest X1"


def test_a_figure_of_nothing_is_a_figure():
    """[C] 48 in. of side with nothing lost at its corners seats two, not one."""
    practice = {"seat.width": 24.0, "seat.corner": 6.0, "seat.end_min_width": 36.0}
    assert seats(48, 42, Needs(practice)).along == 1
    assert seats(48, 42, Needs({**practice, "seat.corner": 0.0})).along == 2
    assert seats(48, 30, Needs({**practice, "seat.end_min_width": 0.0})).end == 1


def test_a_flight_of_two_risers_has_none_between():
    """[C] unit 7; first 7 - 3/4 + 1 = 7 1/4, last 7 + 3/4 + 3/4 - 1 = 7 1/2: 1/4 apart."""
    flight = Flight("S1", 14, 2, 10, 1, 36, 80, lower=0.75, upper=1.5)
    found = risers(flight)
    assert (found.first, found.between, found.last, found.spread) == (7.25, None, 7.5, 0.25)
    told = check(flight, NEEDS)
    assert 'first riser 7 1/4", last 7 1/2"; meets' in told[0].text
    assert all(finding.kind != "stair spread" for finding in told)


def test_a_single_step_has_one_riser():
    told = check(Flight("S1", 7, 1, 10, 1, 36, 80, lower=0.75, upper=0.75), NEEDS)
    assert told[0].text.startswith('Stair S1 after finishes: its one riser is 7"; meets')


def test_a_sideboard_beyond_a_swing_is_still_served_from():
    dining = demo_space("101")
    swing = Leaf("D9", "D9", (0.0, 24.0), (31.0, 24.0), (0.0, 55.0), "101", 30)
    table = Piece("T1", "dining table", "table", 84, 42, 30, 60, 84, room="101")
    space = replace(dining, pieces=(table, dining.pieces[1]), leaves=(swing,))
    fit = room_fit(space, NEEDS, "101")
    south = next(s for s in fit.pieces[0].sides if s.side == "south")
    assert (south.binding, south.clear) == (
        "swing of D9",
        pytest.approx(63 - 24 - (31**2 - 18**2) ** 0.5, abs=0.01),
    )
    assert (south.use, south.why) == ("edge past", "to the sideboard S1")


def hung(outline, a, b, hinge, into="1"):
    door = Door("D1", "1", "out", "swing", a, b, None, 80, hinge, into)
    return joined((Room("1", "Closet", outline),), (door,), Contents())


SHALLOW = ((0.0, 0.0), (60.0, 0.0), (60.0, 24.0), (0.0, 24.0))


def test_a_door_too_wide_for_a_shallow_room_hits_the_wall():
    """[C] A 30 in. leaf, the wall 24 off, 1/8 of play: it stops at asin(24.125 / 30) = 53.5."""
    fit = room_fit(hung(SHALLOW, (15, 0), (45, 0), (15, 0)), NEEDS)
    (told,) = [f for f in fit.findings if f.kind == "door swing"]
    assert (told.severity, told.ids) == (Word.BLOCKED, ("D1",))
    assert "hits a wall and opens only 54 of 90 degrees" in told.text


@pytest.mark.parametrize("off", [0.0, -4.5])  # hinged on either face of the wall
@pytest.mark.parametrize("hinge", [0, 30])
def test_a_door_beside_a_corner_opens_along_the_wall(off, hinge):
    square = ((0.0, 0.0), (60.0, 0.0), (60.0, 60.0), (0.0, 60.0))
    fit = room_fit(hung(square, (0, off), (30, off), (hinge, off)), NEEDS)
    assert [f for f in fit.findings if f.kind == "door swing"] == []


def test_a_door_beside_a_sharp_corner_stops_at_the_slanted_wall():
    """[C] The wall leans over the door by 45 degrees from its hinge."""
    sharp = ((0.0, 0.0), (90.0, 0.0), (90.0, 90.0))
    fit = room_fit(hung(sharp, (1, 0), (31, 0), (1, 0)), NEEDS)
    (told,) = [f for f in fit.findings if f.kind == "door swing"]
    assert "hits a wall" in told.text


def test_a_room_without_an_opening_says_so():
    walls = ((0.0, 0.0), (90.0, 0.0), (90.0, 90.0), (0.0, 90.0))
    fit = room_fit(Space((Room("1", "Vault", walls),), walls), NEEDS)
    (told,) = fit.findings
    assert told.text == "Room 1 has no opening: measure its doors, then its walk paths are known."


LEFT = ((0.0, 0.0), (120.0, 0.0), (120.0, 100.0), (0.0, 100.0))
RIGHT = ((120.0, 0.0), (240.0, 0.0), (240.0, 100.0), (120.0, 100.0))


def touching(low, high, *pieces):
    """Two rooms that touch along x = 120, open to each other from `low` to `high`."""
    doors = (
        Door("O1", "A", "B", "open", (120, low), (120, high)),
        Door("D1", "A", "out", "cased", (0, 30), (0, 70)),
        Door("D2", "B", "out", "cased", (240, 30), (240, 70)),
    )
    rooms = (Room("A", "Dining", LEFT), Room("B", "Living", RIGHT))
    return joined(rooms, doors, Contents(pieces=pieces))


@pytest.mark.parametrize(("low", "high"), [(60, 90), (0, 25), (75, 100), (33, 66.5)])
def test_rooms_that_touch_are_open_only_where_they_are_said_to_be(low, high):
    """[C] Nothing else narrows the way: it is as wide as the open side."""
    ((way,), _) = walks(Ground(touching(low, high)), NEEDS)
    assert way.tightest == pytest.approx(high - low, abs=1e-5)


def test_a_wall_between_rooms_that_touch_ends_a_side():
    shelf = Piece("P1", "bookcase", "bookcase", 30, 10, 70, 90, 20, room="A")  # to x = 105
    (fit,) = room_fit(touching(60, 90, shelf), NEEDS, "A").pieces
    (side,) = [s for s in fit.sides if s.side == "east"]
    assert side.clear == pytest.approx(15, abs=1e-5)
    whole = room_fit(touching(0, 100, shelf), NEEDS, "A").pieces[0]
    assert next(s.clear for s in whole.sides if s.side == "east") == 135
