"""What fits, for any kind: by hand, and its conduct with bad input and bounds."""

import math
from dataclasses import replace

import pytest
from tests.fit.brute import NEEDS, stands_free
from tests.fit.demo_rooms import demo_space
from tests.fit.dining_rooms import box, opening, piece, room, turned

from roomwright.fit.given import Body, Light, Needs, Piece, Slope, Space, Window
from roomwright.fit.search_judge import Judge
from roomwright.fit.search_rules import stances, symmetrical
from roomwright.fit.search_wanted import Extent, Slide, Wanted, WantedError, parse
from roomwright.fit.search_whole import find

# --- by hand ------------------------------------------------------------------------------------

BED = Needs({"bedroom.side": 30, "bedroom.least_side": 22, "bedroom.dressing": 36})


def test_the_largest_bed_and_why_not_more():
    """A wall of 108: a queen leaves 48, of 30 and 18; a full bed is 54, leaves 54: 30 and 24."""
    space = room(box(108, 150))
    found = find(space, BED, "R", parse("bed; place: against A"))
    assert (found.best.size.name, found.best.margin) == ("Full", 24)  # pushed to the wall: 54 free
    asked = parse("bed; sizes: Queen 60 x 80, Full 54 x 75; place: against A")
    queen = find(space, replace_need(BED, "bedroom.least_side", 18), "R", asked).best
    assert (queen.size.name, queen.margin, queen.piece.kind) == ("Queen", 0, "bed queen")


def replace_need(needs: Needs, key: str, value: float) -> Needs:
    return replace(needs, figures={**needs.figures, key: value})


def test_both_sets_of_seats_and_each_is_named():
    """[CP] 84 seats 8 by the 24 in. rule; the handbook's table [P] seats 6 there and 8 from 104."""
    space = room(box(180, 160))
    own = replace(NEEDS, figures={k: v for k, v in NEEDS.figures.items() if "length" not in k})
    by_width = find(space, own, "R", parse("dining table; width: 84; depth: 42")).best
    assert by_width.seats == 8
    assert dict(by_width.by_rules) == {
        "24 in. a person, common practice": 8, "handbook table, Time-Saver Standards": 6,
    }  # fmt: skip
    found = find(space, own, "R", parse("dining table; width: 84..110; depth: 42; seats: handbook"))
    assert found.seats_rule == "handbook table, Time-Saver Standards"
    assert (found.best.seats, found.best.size.width >= 104) == (8, True)
    plain = find(space, own, "R", parse("dining table; width: 84..110; depth: 42"))
    assert plain.seats_rule == "24 in. a person, common practice"
    assert plain.best.seats == 10  # 108 in.


def test_centered_on_a_window_a_light_and_a_wall():
    window = Window("W1", (40, 0), (88, 0), 48, 30, room="R")
    light = Light("C1", "chandelier", 70, 75, room="R")
    space = replace(room(box(160, 150)), windows=(window,), lights=(light,))
    desk = find(space, NEEDS, "R", parse("desk; sizes: 60 x 30; place: centered on W1")).best
    assert (desk.piece.x, desk.piece.y) == (64, 15)
    table = find(space, NEEDS, "R", parse("round dining table; place: centered on C1")).best
    assert (table.piece.x, table.piece.y) == (70, 75)
    assert table.size.width / 2 + 32 + table.margin == pytest.approx(70, abs=1e-6)
    chest = find(space, NEEDS, "R", parse("dresser; sizes: 40 x 18; place: centered on B")).best
    assert chest.piece.y == 75


def test_pinned_in_place_the_size_is_free():
    space = room(box(160, 150))
    found = find(space, NEEDS, "R", parse("island; width: 24..96; depth: 24; place: at 60 75"))
    assert (found.best.piece.x, found.best.piece.y) == (60, 75)
    assert found.best.size.width == 96  # 12 in. are left to the west wall, nothing is asked there
    wide = find(space, NEEDS, "R", parse("island; width: 24..140; depth: 24; place: at 60 75"))
    assert wide.best.size.width == 140  # across: 150 in. from south to north
    held = find(
        space, NEEDS, "R", parse("island; width: 24..140; depth: 24; place: at 60 75; turn: 0")
    )
    assert held.best.size.width == 120


def test_a_piece_slides_to_make_room():
    """A chest 12 in. off the corner; the 130 in. wall then has no room for 84, slid it has."""
    space = room(box(130, 110), [], [piece("C1", "bookcase", 36, 14, 52, 7)])
    stays = find(space, NEEDS, "R", parse("bookcase; sizes: 84 x 14, 60 x 14, 48 x 14; "
                                          "place: against A; without:"))  # fmt: skip
    assert stays.best.size.width == 60
    slid = find(space, NEEDS, "R", parse("bookcase; sizes: 84 x 14, 60 x 14; place: against A; "
                                         "without: ; slides: C1 36"))  # fmt: skip
    assert slid.best.size.width == 84
    assert [(s.piece, s.dy) for s in slid.best.slid] == [("C1", 0.0)]
    assert slid.best.slid[0].dx <= -26
    assert stands_free(replace(space, pieces=()), slid.best.piece)


def test_how_far_each_wall_may_give():
    """A 60 in. desk with 30 wanted before it: 40 in. to the north wall give 10, more than 6."""
    space = room(box(66, 64.5))
    found = find(space, NEEDS, "R", parse("desk; sizes: 60 x 30; place: against A"))
    limits = {w.wall: w for w in found.walls}
    assert limits["C"].holds == pytest.approx(4.5)
    assert limits["C"].by == "front"
    assert limits["B"].holds == pytest.approx(6.0) or limits["B"].holds == pytest.approx(3.0)
    for wall, limit in limits.items():
        if limit.open_ended:
            continue
        assert margin_with_wall(space, found.best, wall, limit.holds) >= -1e-3
        assert margin_with_wall(space, found.best, wall, limit.holds + 1 / 8) < -1e-3


def margin_with_wall(space: Space, option, wall: str, by: float) -> float:
    """By hand: a box room drawn anew with a wall nearer, the piece at its wall moved along."""
    width, depth = max(x for x, _ in space.outline), max(y for _, y in space.outline)
    west, south, east, north = 0.0, 0.0, width, depth
    top = option.piece
    if wall == "A":
        south, top = by, replace(top, y=top.y + by)
    elif wall == "B":
        east -= by
    elif wall == "C":
        north -= by
    else:
        west = by
    nearer = room([(west, south), (east, south), (east, north), (west, north)])
    if wall in "BD" and not stands_free(nearer, top):
        return -1.0
    trial = Judge(nearer, NEEDS, nearer.rooms[0].outline).of(top)
    return -1.0 if trial is None else trial.margin


def test_under_a_slope_only_what_is_low_enough():
    space = replace(room(box(150, 140)), slopes=(Slope("SL1", (0, 0), (150, 0), 30, 12, room="R"),))
    space = replace(space, rooms=(replace(space.rooms[0], ceiling=96.0),))
    tall = find(space, NEEDS, "R", parse("bookcase; sizes: 48 x 14; height: 72; place: against"))
    assert tall.best.key != "wall A"
    low = find(space, NEEDS, "R", parse("bookcase; sizes: 48 x 14; height: 30; place: against A"))
    assert low.best is not None
    assert find(
        space, NEEDS, "R", parse("bookcase; sizes: 48 x 14; height: 72; place: against A")
    ).best is None  # fmt: skip


def test_play_under_slopes_is_between_what_stops_the_piece():
    """Two slopes leave 6 in. in which to stand upright; a bookcase of 30 stands under them."""
    ring = box(120, 90)
    slopes = (
        Slope("SL1", (0, 0), (120, 0), 24, 16, "R"),  # 30 over y 4 1/2, 80 over 42
        Slope("SL2", (120, 90), (0, 90), 24, 16, "R"),
    )
    space = room(ring, slopes=slopes)
    judge = Judge(space, NEEDS, ring)
    chest = Piece("new", "bookcase", "bookcase", 40, 16, 30, 60, 45, 0, "R")
    plays = {b.where: b for b in judge.of(chest).bounds if b.use == "stand"}
    deep = plays["back and front together"]
    assert (deep.clear, deep.thing) == (pytest.approx(90 - 16 - 9), "slope SL1 and slope SL2")
    assert plays["left and right together"].clear == 80
    wish = parse("bookcase; width: 40; depth: 16; height: 30")
    size = wish.every_size()[0]
    for stance in stances(judge, space.rooms[0], replace(chest, x=None, y=None), wish):
        spots = stance.spots(size)  # no bound is under what an exact judgement finds
        for k in range(0, len(spots), 499):
            x, y = float(spots.x[k]), float(spots.y[k])
            trial = judge.of(replace(chest, x=x, y=y, turn=stance.turn))
            assert trial is None or trial.margin <= spots.bound[k]


def test_turned_rooms_have_the_same_answers():
    for kind in ("bed", "desk", "sofa"):
        here = find(demo_like(0), NEEDS, "R", Wanted(kind))
        there = find(demo_like(33), NEEDS, "R", Wanted(kind))
        assert here.best.size == there.best.size
        assert here.best.margin == pytest.approx(there.best.margin, abs=2e-3)


def demo_like(angle: float) -> Space:
    here = room(
        [(0, 0), (150, 0), (150, 90), (112, 128), (0, 128)],
        [opening("A", (150, 20), (150, 56))],
        [piece("P1", "bookcase", 40, 12, 80, 6)],
    )
    return turned(here, angle, 50, -20)


# --- conduct: bad input, bounds -----------------------------------------------------------------


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("", "say what kind"),
        ("bed; width: 0; depth: 80", "more than 0"),
        ("bed; width: -5; depth: 80", "more than 0|minus|below|length"),
        ("bed; sizes: Queen 0 x 80", "more than 0"),
        ("bed; width: 90..40; depth: 80", "least first"),
        ("bed; width: 900; depth: 80", "600"),
        ("bed; width: 40..90 by 0.01; depth: 80", "1/8"),
        ("bed; colour: red", "write one of"),
        ("bed; place: under A", "anywhere"),
        ("bed; sizes: large", "Queen 60 x 80"),
        ("bed; turn: north", "degrees"),
        ("bed; turn: nan", "degrees"),
        ("bed; turn: 0 inf", "degrees"),
        (f"bed; turn: {' '.join(map(str, range(99)))}", "up to 24"),
        ("bed; slides: S1", "how far"),
        ("bed; slides: S1 600", "0 to 48"),
        ("bed; seats: mine", "handbook"),
        ("island; width: 1..600 by 1/8; depth: 1..600 by 1/8", "too many"),
    ],
)
def test_a_wish_that_cannot_be_is_refused_in_words(text, says):
    with pytest.raises(WantedError, match=says):
        parse(text)


@pytest.mark.parametrize(
    ("wish", "says"),
    [
        (Wanted("pipe organ"), "give its width and its depth"),
        (parse("bed; place: against Q"), "there is no wall Q; the walls are A"),
        (parse("bed; place: centered on W9"), "nothing called W9"),
        (parse("bed; without: T9"), "no piece T9"),
        (parse("bed; slides: T9 4"), "no piece T9"),
        (parse("bed; turn: 33"), "turn"),
    ],
)
def test_what_is_not_there_is_said(wish, says):
    with pytest.raises(WantedError, match=says):
        find(room(box(150, 140)), NEEDS, "R", wish)


def test_a_piece_larger_than_the_room():
    found = find(room(box(60, 50)), NEEDS, "R", Wanted("bed"))
    assert found.best is None
    assert "stands nowhere" in found.no_larger
    assert found.judged < 50


def test_a_room_with_no_way_in():
    found = find(room(box(150, 140), []), NEEDS, "R", Wanted("bed"))
    assert found.best.size.name == "King"


def test_thousands_of_corners_are_refused_in_words():
    ring = [
        (200 + 90 * math.cos(2 * math.pi * k / 4000), 200 + 90 * math.sin(2 * math.pi * k / 4000))
        for k in range(4000)
    ]
    with pytest.raises(WantedError, match="4,000 corners"):
        find(room(ring), NEEDS, "R", Wanted("bed"))


def test_hundreds_of_corners_end_within_the_bound():
    ring = [
        (200 + 90 * math.cos(2 * math.pi * k / 300), 200 + 90 * math.sin(2 * math.pi * k / 300))
        for k in range(300)
    ]
    found = find(room(ring), NEEDS, "R", parse("island; sizes: 60 x 36, 40 x 24"))
    assert found.best is not None
    assert found.judged <= 6_001


def test_it_can_be_stopped_and_says_so():
    calls = iter([False] * 40 + [True] * 10_000)
    found = find(demo_space("102"), NEEDS, "102", parse("island"), stop=lambda: next(calls))
    assert "stopped before" in found.stopped
    assert not found.proved


def test_progress_only_grows_and_ends():
    told: list[float] = []
    find(
        demo_space("201"), NEEDS, "201", parse("bed"), progress=lambda share, at: told.append(share)
    )
    assert told == sorted(told)
    assert told[-1] == 1.0


def test_fixed_things_of_the_same_sort_make_way():
    found = find(demo_space("102"), NEEDS, "102", parse("island; width: 60; depth: 42"))
    assert found.gone == ("X5",)


@pytest.mark.parametrize(
    "text",
    [
        "bed; sizes: Queen 60 x 80, King 76 x 80; place: against B; turn: 0 90",
        "dining table; width: 36..96 by 2; depth: 42; without: T1, S1; seats: handbook",
        "sofa; width: 84; depth: 36; height: 34; place: centered on W1; slides: L2 6 x 3",
        "island; width: 60; depth: 36; place: at 120.5 84; features: stools front 3 + legs trestle",
    ],
)
def test_the_text_of_a_wish_reads_back(text):
    assert parse(text).text == text
    assert parse(parse(text).text) == parse(text)


def test_extents_and_slides_are_what_they_say():
    assert Extent(36, 40, 2).values == (36, 38, 40)
    assert parse("desk; width: 3ft to 4ft by 6; depth: 24").width == Extent(36, 48, 6)
    assert Slide("S1", 6).text == "S1 6"
    assert not symmetrical(Piece("b", "bed", "bed", 60, 80))
    assert symmetrical(Piece("t", "dining table", "table", 60, 36))
    assert Body("X", "x", "x", "fixed", ()).sort.known is False


def test_stopped_before_anything_was_found_is_no_verdict():
    calls = iter([False] * 2 + [True] * 10_000)
    asked = parse("round dining table")
    found = find(demo_space("101"), NEEDS, "101", asked, stop=lambda: next(calls))
    assert found.best is None
    assert found.no_larger == "none was found: stopped before it was done"
