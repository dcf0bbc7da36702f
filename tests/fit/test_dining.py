"""Room 101 of the demo, number by number, and the common-practice checks of a dining room."""

from dataclasses import replace

import pytest
from tests.fit.demo_rooms import NEEDS, demo_space
from tests.test_shape import turned

from roomwright.fit.evaluate import label, room_fit
from roomwright.fit.ground import Ground
from roomwright.fit.model import Body, Needs, Opening, Piece, Room, Space, Word
from roomwright.fit.sides import sides
from roomwright.fit.uses import Trail

DINING = demo_space("101")
TABLE = next(p for p in DINING.pieces if p.id == "T1")


def with_table(**changes):
    moved = replace(TABLE, **changes)
    return replace(DINING, pieces=(moved, *(p for p in DINING.pieces if p.id != "T1")))


def table_fit(space=DINING, needs=NEEDS):
    return next(fit for fit in room_fit(space, needs, "101").pieces if fit.piece.id == "T1")


def by_side(fit):
    return {side.side: side for side in fit.sides}


def test_size_of_the_room():
    fit = room_fit(DINING, NEEDS, "101")
    assert (fit.area, fit.perimeter) == (162 * 150, 2 * (162 + 150))


@pytest.mark.parametrize(
    ("side", "clear", "use", "needs", "margin", "binding", "figure"),
    [  # [C] demo answer key
        ("north", 45, "walk past", 44, 1, "north wall", "dining.walk_past"),
        ("south", 45, "edge past", 36, 9, "sideboard S1", "dining.edge_past"),
        ("east", 39, "walk past", 44, -5, "east wall", "dining.walk_past"),
        ("west", 39, "rise", 32, 7, "west wall", "dining.rise"),
    ],
)
def test_centered_over_the_sideboard(side, clear, use, needs, margin, binding, figure):
    found = by_side(table_fit())[side]
    assert found.clear == pytest.approx(clear)
    assert (found.use, found.needs, found.binding, found.figure) == (use, needs, binding, figure)
    assert found.margin == pytest.approx(margin)


def test_the_east_end_is_short_five_and_says_why():
    fit = table_fit()
    east = by_side(fit)["east"]
    assert east.verdict.word is Word.SHORT
    assert east.verdict.by == pytest.approx(5)
    assert east.verdict.text == 'short 5" for walking behind someone seated'
    assert east.why == "walk path, O1 to O4"
    assert label(TABLE, east) == "east end"
    assert fit.verdict.word is Word.SHORT
    assert by_side(fit)["north"].verdict.word is Word.TIGHT  # 1 to spare, less than 2


def test_the_dimension_of_a_side_runs_from_the_table_to_what_stops_it():
    south = by_side(table_fit())["south"]
    assert south.at == ((81, 63), (81, 18))


def test_five_inches_west_clears_it():
    assert table_fit().cure.toward == "west"  # [C]
    assert table_fit().cure.by == pytest.approx(5)
    fit = table_fit(with_table(x=76.0))
    found = by_side(fit)
    assert (found["east"].clear, found["west"].clear) == (44, 34)
    assert (found["east"].margin, found["west"].margin) == (0, 2)
    assert found["east"].verdict.word is Word.TIGHT
    assert found["west"].verdict.word is Word.FITS
    assert fit.verdict.word is Word.TIGHT
    assert fit.cure is None


def test_with_the_leaf_in_both_ends_together_are_short_sixteen():
    fit = table_fit(with_table(width=102.0))  # [C]
    found = by_side(fit)
    assert (found["east"].clear, found["west"].clear) == (30, 30)
    ends = next(pair for pair in fit.pairs if set(pair.sides) == {"east", "west"})
    assert (ends.clear, ends.needs, ends.margin) == (60, 76, -16)
    assert ends.verdict.by == 16
    assert fit.cure is None


def test_the_walk_path_is_39_at_the_east_end():
    fit = room_fit(DINING, NEEDS, "101")  # [C]
    (way,) = fit.ways
    assert (way.from_, way.to) == ("O1", "O4")
    assert way.tightest == pytest.approx(39)
    assert way.needs == 36
    assert set(way.between) == {"dining table T1", "east wall"}
    assert {way.p[0], way.q[0]} == {123, 162}


def test_a_move_that_makes_something_else_short_is_no_cure():
    """[C] Five inches west leaves 32 at the west end: enough to rise, not to load a dryer (36)."""
    assert table_fit().cure.by == 5
    dryer = Piece("S9", "dryer", "dryer", 30, 2, 40, 1, 84, 270, room="101")  # 37 before it
    space = replace(DINING, pieces=(*DINING.pieces, dryer))
    fit = room_fit(space, NEEDS, "101")
    found = {p.piece.id: p for p in fit.pieces}
    assert found["S9"].verdict.text == 'front: tight, 1" to spare'
    assert found["T1"].verdict.word is Word.SHORT
    assert found["T1"].cure is None


def test_what_was_short_before_keeps_no_table_from_its_cure():
    bed = Piece("Q1", "dresser", "dresser", 20, 10, 40, 152, 130, 270, room="101")  # faces a wall
    space = replace(DINING, pieces=(*DINING.pieces, bed))
    found = {p.piece.id: p for p in room_fit(space, NEEDS, "101").pieces}
    assert found["Q1"].verdict.word is Word.SHORT
    assert found["T1"].cure is not None


def test_the_light_moves_with_the_table():
    (light,) = [f for f in room_fit(DINING, NEEDS, "101").findings if f.kind == "light"]
    assert 'move it 9" north' in light.text
    moved = room_fit(with_table(x=76.0), NEEDS, "101")
    (light,) = [f for f in moved.findings if f.kind == "light"]
    assert 'move it 5" west and 9" north' in light.text  # [C] from the room's center


def test_the_builders_word_on_a_side_comes_first_and_shows():
    space = replace(DINING, overrides={("T1", "east"): "rise", ("T1", "front"): "edge past"})
    found = by_side(table_fit(space))
    assert (found["east"].use, found["east"].needs, found["east"].overridden) == ("rise", 32, True)
    assert found["north"].use == "edge past"
    assert found["west"].overridden is False


def test_other_sets_of_figures_ask_other_numbers():
    figures = {"dining.rise": 36.0, "dining.edge_past": 48.0, "dining.walk_past": 48.0}
    east = by_side(table_fit(needs=replace(NEEDS, figures={**NEEDS.figures, **figures})))["east"]
    assert east.margin == pytest.approx(-9)


def test_what_is_tight_follows_the_tape():
    loose = replace(NEEDS, tape=9.5)
    assert by_side(table_fit(needs=loose))["south"].verdict.word is Word.TIGHT
    assert by_side(table_fit())["south"].verdict.word is Word.FITS


def test_a_sideboard_that_turns_its_back_is_not_served_from():
    sideboard = next(p for p in DINING.pieces if p.id == "S1")
    space = replace(DINING, pieces=(TABLE, replace(sideboard, turn=180.0)))
    assert by_side(table_fit(space))["south"].use == "rise"


def test_chairs_are_not_in_the_way():
    chair = Piece("C9", "dining chair", "chair", 18, 20, 36, 140, 84, room="101")
    space = replace(DINING, pieces=(*DINING.pieces, chair))
    assert by_side(table_fit(space))["east"].clear == 39
    assert room_fit(space, NEEDS, "101").ways[0].tightest == pytest.approx(39)


def test_a_table_without_a_place_is_measured_and_still_seats():
    fit = table_fit(with_table(x=None))
    assert fit.verdict.word is Word.MEASURE
    assert (fit.seats, fit.sides) == (8, ())


def test_an_unknown_kind_asks_nothing_and_says_so():
    organ = Piece("Q1", "pipe organ", "pipe organ", 30, 20, 60, 140, 84, room="101")
    fit = room_fit(replace(DINING, pieces=(*DINING.pieces, organ)), NEEDS, "101")
    found = next(p for p in fit.pieces if p.piece.id == "Q1")
    assert all(side.needs is None for side in found.sides)
    assert any(f.kind == "kind" and "Q1" in f.ids for f in fit.findings)
    assert found.verdict.word is Word.MEASURE
    assert found.verdict.text == "measure: what a pipe organ needs round it is not known here"


def test_two_pieces_in_one_place_are_told_once_in_a_room():
    space = with_table(y=36.0)
    fit = room_fit(space, NEEDS, "101")
    (told,) = [f for f in fit.findings if f.kind == "overlap"]
    assert set(told.ids) == {"S1", "T1"}
    blocked = {p.piece.id for p in fit.pieces if p.verdict.word is Word.BLOCKED}
    assert blocked == {"S1", "T1"}


def plain_room(width, depth, table, *, openings=(), fixed=(), needs=NEEDS, turn=0.0):
    walls = ((0.0, 0.0), (width, 0.0), (width, depth), (0.0, depth))
    room = Room("1", "Dining", walls)
    space = Space((room,), walls, openings=openings, fixed=fixed, pieces=(table,))
    return room_fit(space, needs)


def test_between_a_step_and_a_counter():
    # [CP] 15'-1" clear between a step edge and a counter overhang, worked as 15'-0"
    clear = 180.0
    step = Body("X1", "step", "step", "fixed", ((0, 0), (12, 0), (12, 144), (0, 144)))
    counter = Body(
        "X2", "counter", "counter", "fixed", ((192, 0), (217, 0), (217, 144), (192, 144))
    )
    practice = Needs({**NEEDS.figures, "dining.rise": 36.0})
    for length, gap in ((108.0, 36), (84.0, 48)):  # 3'-0" both ends leaves 9'-0"; 4'-0", 7'-0"
        assert clear - 2 * gap == length
        table = Piece("T1", "dining table", "table", length, 42, 30, 102, 72, room="1")
        fit = plain_room(217.0, 144.0, table, fixed=(step, counter), needs=practice).pieces[0]
        found = by_side(fit)
        assert (found["east"].clear, found["west"].clear) == (gap, gap)
        assert {found["east"].binding, found["west"].binding} == {"counter X2", "step X1"}
        assert found["west"].margin == gap - 36  # [CP] 3'-0" does where nobody passes


def test_a_round_table_is_judged_all_round():
    table = Piece("T1", "round dining table", "table", 48, 48, 30, 80, 70, room="1")
    fit = plain_room(162.0, 150.0, table).pieces[0]
    (side,) = fit.sides
    assert (side.side, side.use, side.binding) == ("around", "rise", "south wall")
    assert side.clear == pytest.approx(46, abs=1 / 64)
    assert fit.seats == 6  # [CP] circumference / 24 = 6.28


def round_table(x, y, size=48.0, pieces=(), **changes):
    table = Piece("T1", "round dining table", "table", size, size, 30, x, y, room="101")
    space = replace(DINING, pieces=(table, *pieces), **changes)
    (side,) = table_fit(space).sides
    return side


def test_a_wall_behind_a_round_table_is_not_asked_for_a_walkway():
    """[C] The path from O1 to O4 passes on the northeast; the wall is 33 off on the west."""
    side = round_table(57.0, 75.0)
    assert (side.use, side.needs, side.binding) == ("rise", 32, "west wall")
    assert side.clear == pytest.approx(33, abs=1 / 64)
    assert side.verdict.word is Word.TIGHT


@pytest.mark.parametrize("turn", [0, 30, 145])
def test_a_round_table_where_the_path_is_tight(turn):
    """[C] By hand: 162 - 105 - 24 = 33 on the east, where people walk by the table."""

    def spun(points):
        return turned(points, turn, (10.0, 20.0))

    ((x, y),) = spun([(105.0, 60.0)])
    openings = tuple(replace(o, a=spun([o.a])[0], b=spun([o.b])[0]) for o in DINING.openings)
    outline = spun(DINING.outline)
    rooms = (Room("101", "Dining", outline),)
    side = round_table(x, y, rooms=rooms, outline=outline, openings=openings)
    assert (side.use, side.needs) == ("walk past", 44)
    assert side.clear == pytest.approx(33, abs=1 / 64)
    assert side.why == "walk path, O1 to O4"


def test_a_round_table_before_a_sideboard_is_edged_past():
    sideboard = DINING.pieces[1]
    side = round_table(57.0, 76.0, pieces=(sideboard,))
    assert (side.use, side.needs, side.binding) == ("edge past", 36, "sideboard S1")
    assert side.clear == pytest.approx(34, abs=1 / 64)
    turned_away = replace(sideboard, turn=180.0)  # its back to the table: nobody serves there
    assert round_table(57.0, 76.0, pieces=(turned_away,)).use == "rise"


def test_the_builder_says_what_a_round_table_needs():
    said = {("T1", "around"): "walk past"}
    side = round_table(57.0, 75.0, overrides=said)
    assert (side.use, side.needs, side.overridden) == ("walk past", 44, True)
    assert side.clear == pytest.approx(33, abs=1 / 64)


@pytest.mark.parametrize("turn", [0, 17, 45, 90, 133.3, 271])
def test_turning_the_whole_room_changes_no_clear_distance(turn):
    def spun(points):
        return turned(points, turn, (200.0, 50.0))

    (x, y), sideboard = spun([(TABLE.x, TABLE.y)])[0], DINING.pieces[1]
    (sx, sy) = spun([(sideboard.x, sideboard.y)])[0]
    pieces = (
        replace(TABLE, x=x, y=y, turn=float(turn)),
        replace(sideboard, x=sx, y=sy, turn=float(turn)),
    )
    openings = tuple(replace(o, a=spun([o.a])[0], b=spun([o.b])[0]) for o in DINING.openings)
    outline = spun(DINING.outline)
    space = Space((Room("101", "Dining", outline),), outline, openings=openings, pieces=pieces)
    fit = table_fit(space)
    clears = {side.local: side.clear for side in fit.sides}
    uses = {side.local: side.use for side in fit.sides}
    assert clears == pytest.approx({"back": 45, "left": 39, "front": 45, "right": 39})
    assert uses == {"back": "edge past", "left": "walk past", "front": "walk past", "right": "rise"}


def test_a_trail_along_the_edge_of_a_zone_does_not_cross_it():
    ground = Ground(DINING)
    beside = Trail("O1", "O4", ((162.0, 107.0), (160.0, 106.0), (160.0, 150.0)))
    found = {s.side: s.use for s in sides(ground, TABLE, NEEDS, [beside])}
    assert found["east"] == "rise"
    assert found["north"] == "rise"


def test_an_opening_counts_as_the_walls_face():
    wide = Opening("O9", (162.0, 60.0), (162.0, 110.0), "103", "cased", 50.0, room="101")
    space = replace(DINING, openings=(wide,))
    assert by_side(table_fit(space))["east"].clear == 39
