"""What fits, for any kind: against brute force, against polygons, and by hand."""

import math
from collections.abc import Iterator
from dataclasses import replace

import numpy as np
import pytest
import shapely
from tests.fit.demo_rooms import demo_space
from tests.fit.dining_rooms import box, opening, piece, random_space, room, turned

from roomwright.figures import load
from roomwright.fit.given import Body, Light, Needs, Piece, Slope, Space, Window
from roomwright.fit.lay import directions
from roomwright.fit.search_any import what_fits
from roomwright.fit.search_judge import Judge
from roomwright.fit.search_rules import runs, symmetrical
from roomwright.fit.search_wanted import Extent, Place, Size, Slide, Wanted, WantedError, parse
from roomwright.fit.search_whole import find
from roomwright.fit.seats import seats_of
from roomwright.shape import anticlockwise, unit, walls

NEEDS = Needs(
    {figure.key: float(figure.value) for figure in load().choose("kitchen and bath guidelines")}
)

KINDS = [
    ("bed", [(76, 80), (60, 80), (54, 75), (38, 75)], "against"),
    ("dresser", [(66, 18), (48, 20), (36, 18)], "against"),
    ("island", [(60, 36), (48, 30), (36, 24)], "anywhere"),
    ("desk", [(60, 30), (48, 24)], "anywhere"),
    ("round dining table", [(48, 48), (36, 36), (30, 30)], "anywhere"),
    ("dining table", [(60, 36), (48, 30), (36, 24)], "anywhere"),
    ("sofa", [(84, 36), (72, 34)], "against"),
    ("bookcase", [(72, 14), (48.5, 12)], "anywhere"),
    ("desk", [(60.5, 30), (48, 24.25)], "against"),
    ("dining table", [(66, 42), (48, 30)], "against"),
]


SIDES = {"back": 0, "left": 1, "front": 2, "right": 3}

# --- brute force: every place of every size, judged one by one -----------------------------------


def every_place(space: Space, wanted: Wanted, one: Piece) -> Iterator[tuple[float, float, float]]:
    """Center and turn of every place that the rule allows, without any bound."""
    outline = anticlockwise(space.rooms[0].outline)
    if wanted.place.rule == "against":
        for wall in runs(outline):
            (px, py), (qx, qy) = wall.side
            if wall.length < max(18, one.width):
                continue
            ux, uy = (qx - px) / wall.length, (qy - py) / wall.length
            turn = math.degrees(math.atan2(uy, ux))
            for s in [*np.arange(0, wall.length - one.width + 1e-9), wall.length - one.width]:
                along, in_ = s + one.width / 2, one.depth / 2
                yield px + ux * along - uy * in_, py + uy * along + ux * in_, turn
        return
    for angle in directions(outline):
        cos, sin = unit(angle)
        frame = [(x * cos + y * sin, y * cos - x * sin) for x, y in outline]
        west, south = min(u for u, _ in frame), min(v for _, v in frame)
        east, north = max(u for u, _ in frame), max(v for _, v in frame)
        count = 1 if one.round else 2 if symmetrical(one) else 4
        for quarter in range(count):
            w, d = (one.width, one.depth) if quarter % 2 == 0 else (one.depth, one.width)
            for u in np.arange(west, east - w + 0.5):
                for v in np.arange(south, north - d + 0.5):
                    a, b = u + w / 2, v + d / 2
                    yield a * cos - b * sin, a * sin + b * cos, (angle + 90 * quarter) % 360


def brute_force(space: Space, wanted: Wanted) -> tuple[Size, float] | None:
    """The largest size that fits and its widest tightest margin, over every place."""
    sizes = sorted(wanted.sizes, key=lambda s: -s.area)
    judge = Judge(space, NEEDS, space.rooms[0].outline)
    floor = shapely.Polygon(space.outline)
    solid = shapely.union_all([shapely.Polygon(p.outline) for p in space.pieces])
    groups: dict[float, list[Size]] = {}
    for size in sizes:
        top = Piece("new", wanted.kind, wanted.kind, size.width, size.depth, 30, 0, 0, room="R")
        groups.setdefault(worth(top), []).append(size)
    for value in sorted(groups, reverse=True):
        best: tuple[Size, float] | None = None
        for size in groups[value]:
            top = Piece("new", wanted.kind, wanted.kind, size.width, size.depth, 30, 0, 0, room="R")
            places = list(every_place(space, wanted, top))
            if not places:
                continue
            tops = [replace(top, x=x, y=y, turn=t) for x, y, t in places]
            shapes = shapely.buffer([shapely.Polygon(t.outline) for t in tops], -1 / 32)
            free = shapely.covers(floor, shapes) & ~shapely.intersects(solid, shapes)
            most = {int(k): plain(judge, tops[k], shapes[k]) for k in np.flatnonzero(free)}
            for k in sorted(most, key=lambda k: -most[k]):
                if (best is not None and most[k] <= best[1]) or most[k] < -1e-3:
                    break
                trial = judge.of(tops[k])
                if trial is None or trial.margin < -1e-3:
                    continue
                if best is None or trial.margin > best[1]:
                    best = size, trial.margin
        if best is not None:
            return best
    return None


def plain(judge: Judge, top: Piece, shape: shapely.Polygon) -> float:
    """A margin that is surely not exceeded: play on either hand, the least that a side needs."""
    ground = judge.ground
    clear = [ahead.clear if (ahead := ground.ahead(side)) else 1e9 for side in walls(top.box)]
    most = min(clear[0] + clear[2], clear[1] + clear[3])
    swings = [b for b in ground.bodies if b.what == "swing"]
    assert not swings
    if top.sort.seats:
        if top.round:
            most = min(shapely.distance(shape, s) for s in (ground.floor.exterior, *ground.shapes))
        most = min(most, 1e9 if top.round else min(clear)) - NEEDS.get("dining.rise") + 0.1
    for need in () if top.sort.seats else top.sort.needs:
        if need.take == "each" and not need.centerline and not need.wall:
            wanted = NEEDS.get(need.figure)
            most = min([most, *(clear[SIDES[s]] - wanted for s in need.sides if s in SIDES)])
    return most


def worth(top: Piece) -> float:
    if not top.sort.seats:
        return top.width * top.depth
    return seats_of(top, NEEDS).total


def small_space(seed: int, share: float) -> Space:
    """One of the random rooms, made smaller, so that every place of it can be judged."""
    big = random_space(seed)

    def at(p):
        return p[0] * share, p[1] * share

    return room(
        [at(p) for p in big.outline],
        [opening(o.id, at(o.a), at(o.b), o.to) for o in big.openings],
        [
            piece(p.id, p.kind, p.width * share, p.depth * share, *at((p.x, p.y)), p.turn)
            for p in big.pieces
        ],
    )


def case(seed: int) -> tuple[Space, Wanted]:
    kind, sizes, place = KINDS[seed % len(KINDS)]
    wish = Wanted(
        kind, sizes=tuple(Size(*s) for s in sizes), height=30, place=Place(place), without=()
    )
    share = 0.7 if "table" in kind else 0.75 if kind == "bed" else 0.56
    return small_space(seed, share), wish


@pytest.mark.parametrize("seed", range(100))
def test_brute_force_finds_nothing_better(seed):
    space, wish = case(seed)
    best = brute_force(space, wish)
    found = what_fits(space, NEEDS, "R", wish)
    if best is None:
        assert found.best is None or found.best.margin >= 0  # slid off the grid
        return
    assert found.best is not None
    assert found.best.value[0] == pytest.approx(
        worth(replace(found.best.piece, width=best[0].width, depth=best[0].depth))
    )
    rough = 1 / 64 if found.best.piece.round else 4e-3  # what bounds are rounded by
    assert found.best.margin >= best[1] - rough
    assert found.best.margin <= best[1] + 0.5 + 1e-6


# --- an independent check with polygons ---------------------------------------------------------


def stands_free(space: Space, top: Piece) -> bool:
    """Whether a piece is in the room and in nothing, by polygons alone."""
    shape = shapely.Polygon(top.outline)
    floor = shapely.Polygon(space.outline).buffer(1 / 64)
    others = [shapely.Polygon(p.outline) for p in space.pieces if p.id != top.id]
    others += [shapely.Polygon(b.outline) for b in space.fixed]
    return floor.covers(shape) and all(
        shape.intersection(other).area <= shape.length / 64 for other in others
    )


def strip_clear(space: Space, top: Piece, side: int, deep: float) -> bool:
    """Whether a rectangle so deep before a side of a piece is free of walls and other pieces."""
    (ax, ay), (bx, by) = walls(top.box)[side]
    length = math.dist((ax, ay), (bx, by))
    ux, uy = (bx - ax) / length, (by - ay) / length
    ox, oy = uy, -ux
    hair = 1 / 32
    strip = shapely.Polygon(
        [
            (ax + ux * hair + ox * hair, ay + uy * hair + oy * hair),
            (bx - ux * hair + ox * hair, by - uy * hair + oy * hair),
            (bx - ux * hair + ox * deep, by - uy * hair + oy * deep),
            (ax + ux * hair + ox * deep, ay + uy * hair + oy * deep),
        ]
    )
    if deep <= hair:
        return True
    floor = shapely.Polygon(space.outline).buffer(1 / 64)
    others = [shapely.Polygon(p.outline) for p in space.pieces if p.id != top.id]
    return floor.covers(strip) and not any(strip.intersects(other) for other in others)


@pytest.mark.parametrize("seed", range(100))
def test_each_proposal_passes_a_check_with_polygons(seed):
    """Free floor, and for each side of a piece that is no seat the depth its need asks for."""
    space, wish = case(seed)
    found = find(space, NEEDS, "R", wish)
    for option in [o for o in (found.best, *found.others, *found.front) if o is not None]:
        top = option.piece
        assert stands_free(space, top)
        if wish.place.rule == "against":
            back = shapely.LineString(walls(top.box)[0])
            assert shapely.Polygon(space.outline).exterior.buffer(1 / 64).covers(back)
        if not option.fits:
            continue
        if top.sort.seats and top.straight:
            for side in range(4):
                assert strip_clear(space, top, side, NEEDS.get("dining.rise") - 1 / 64)
        elif top.round and top.sort.seats:
            line = shapely.Polygon(space.outline).exterior
            assert line.distance(shapely.Point(top.x, top.y)) >= top.width / 2 + 32 - 1 / 64
        for need in () if top.sort.seats else top.sort.needs:
            free = [
                strip_clear(space, top, SIDES[s], NEEDS.get(need.figure) - 1 / 64)
                for s in need.sides
                if s in SIDES
            ]
            if need.take == "each" and not need.centerline and not need.ignore:
                assert all(free)
            elif need.take == "best" and not need.ignore:
                assert any(free)


@pytest.mark.parametrize("seed", range(0, 40))
def test_what_is_offered_is_offered_once_and_in_order(seed):
    space, wish = case(seed)
    found = find(space, NEEDS, "R", wish)
    if found.best is None:
        assert found.walls == ()
        return
    assert found.best.fits
    keys = [found.best.key, *(o.key for o in found.others)]
    assert len(keys) == len(set(keys)), "options differ in wall or direction"
    assert all(o.value <= found.best.value for o in found.others)
    assert [o.value for o in found.front] == sorted((o.value for o in found.front), reverse=True)
    if found.stops is not None:
        assert found.stops.value > found.best.value
        assert not found.stops.fits


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
