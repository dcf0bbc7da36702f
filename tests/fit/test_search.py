"""What fits: by hand, against brute force, and what the search must never do."""

import math
from dataclasses import replace

import numpy as np
import pytest
from shapely import Polygon, prepare
from tests.fit.demo_rooms import NEEDS as GUIDELINES
from tests.fit.demo_rooms import demo_space
from tests.fit.dining_rooms import (
    NEEDS,
    SMALL,
    TWENTY,
    box,
    opening,
    piece,
    random_space,
    room,
    turned,
)

from roomwright.fit.clear import Edges, clear_ahead
from roomwright.fit.evaluate import room_fit
from roomwright.fit.lay import Frame, directions
from roomwright.fit.model import Needs, Piece, Room, Space
from roomwright.fit.search import Sizes, what_fits
from roomwright.fit.seats import seats
from roomwright.fit.trial import Trials
from roomwright.shape import rectangle, walls


def table(length, width, x, y, turn=0.0, name="table"):
    return Piece(name, "dining table", "dining table", length, width, 30, x, y, turn, "R")


_WIDTHS: dict[int, tuple[Space, dict[tuple[str, str], float]]] = {}


def widths(space: Space, needs: Needs) -> dict[tuple[str, str], float]:
    """Tightest widths of the walk paths without the table."""
    if id(space) not in _WIDTHS:
        ways = room_fit(space, needs).ways
        _WIDTHS[id(space)] = space, {(way.from_, way.to): way.tightest for way in ways}
    return _WIDTHS[id(space)][1]


def exact(space: Space, placed: Piece, needs: Needs = NEEDS) -> float | None:
    """The tightest margin as the rest of the engine judges it; None if it stands in something."""
    others = tuple(p for p in space.pieces if p.id != placed.id)
    fit = room_fit(replace(space, pieces=(*others, placed)), needs)
    mine = next(each for each in fit.pieces if each.piece.id == placed.id)
    if any(f.kind in ("overlap", "outside") for f in mine.findings):
        return None
    if any(f.kind in ("door swing", "opening barred") and placed.id in f.ids for f in fit.findings):
        return None
    margins = [side.margin for side in mine.sides if side.margin is not None]
    before = widths(space, needs)
    margins += [
        way.tightest - way.needs
        for way in fit.ways
        if way.tightest < before[way.from_, way.to] - 1e-4
    ]
    return min(margins)


# --- by hand -----------------------------------------------------------------------------------


@pytest.mark.parametrize(("rise", "length", "count"), [(36, 108, 10), (48, 84, 8)])
def test_fifteen_feet_clear(rise, length, count):
    """3 ft at both ends of 15 ft leaves a 9 ft table, 4 ft leaves 7 ft [common practice]."""
    found = what_fits(room(box(180, 200)), Needs({"dining.rise": rise}))
    assert found.best.length == length
    assert found.best.seats == count
    along = [w for w in found.front if w.seats == count]
    assert along == [found.best]


def test_twelve_by_fourteen_feet():
    """36 in. all round leaves 72 by 96: 8 seats, and 10 would be short by 6."""
    found = what_fits(room(box(168, 144)), Needs({"dining.rise": 36}))
    best = found.best
    assert (best.length, best.width, best.seats, best.margin) == (84, 48, 8, 6)
    assert (best.x, best.y, best.turn) == (84, 72, 0)
    assert found.proved
    assert found.complete
    assert found.stops.seats == 10
    assert found.stops.margin == -6
    assert found.stops.bound.where in ("east end", "west end")


def test_room_101():
    """84 by 42 stands 5 in. too far east; 84 long fits, 108 would be 11 short at the ends."""
    found = what_fits(demo_space("101"), GUIDELINES)
    best = found.best
    assert (best.length, best.seats, best.turn) == (84, 8, 0)
    assert best.x == 75
    assert best.margin == pytest.approx(1)
    assert best.piece.id == "T1"  # it takes the place of the table that is there
    assert best.proved
    ten = found.stops
    assert (ten.seats, ten.length, ten.margin) == (10, 108, pytest.approx(-11))
    assert ten.bound.use == "walk past"
    assert ten.bound.figure == "dining.walk_past"
    seats_down = [offer.seats for offer in found.front]
    assert seats_down == sorted(seats_down, reverse=True)
    assert found.if_short(0.5) == best  # one inch to spare
    assert found.if_short(2).seats == 6


def test_a_tape_that_is_half_an_inch_out_costs_two_seats():
    found = what_fits(room(box(148, 140)), Needs({"dining.rise": 32}))
    assert (found.best.seats, found.best.margin) == (8, 0)
    assert found.if_short(0.5).seats == 6


def test_nothing_fits():
    found = what_fits(room(box(80, 70)), NEEDS)
    assert found.best is None
    assert found.if_short() is None
    assert all(offer.margin < 0 for offer in found.front)
    assert what_fits(room(box(20, 20)), NEEDS).front == ()


def test_a_place_on_half_inches_is_found_by_sliding():
    found = what_fits(room(box(149, 139.5)), Needs({"dining.rise": 32}))
    assert (found.best.length, found.best.margin) == (84, 0.5)
    assert found.best.x == 74.5
    assert found.best.y == pytest.approx(69.75)


def test_both_directions_and_turned_walls():
    wide = what_fits(room(box(190, 130)), NEEDS).best
    tall = what_fits(room(box(130, 190)), NEEDS).best
    assert (wide.turn, tall.turn) == (0, 90)
    assert (wide.seats, wide.margin) == (tall.seats, pytest.approx(tall.margin))
    askew = what_fits(turned(room(box(190, 130)), 30), NEEDS).best
    assert askew.turn == pytest.approx(30)
    assert (askew.seats, askew.margin) == (wide.seats, pytest.approx(wide.margin))


def test_directions_of_walls():
    assert directions(box(10, 400)) == [0]
    assert directions([(0, 0), (100, 0), (100, 60), (60, 100), (0, 100)]) == [0, 45]
    assert directions([(0, 0), (5, 0), (5, 5)]) == [0]  # all too short to follow


def test_the_table_stays_in_its_own_room():
    """An open side lets the walk paths through, not the table."""
    whole = ((0.0, 0.0), (300.0, 0.0), (300.0, 130.0), (0.0, 130.0))
    dining = Room("R", "Dining", ((0.0, 0.0), (130.0, 0.0), (130.0, 130.0), (0.0, 130.0)))
    living = Room("L", "Living", ((130.0, 0.0), (300.0, 0.0), (300.0, 130.0), (130.0, 130.0)))
    space = Space((dining, living), whole)
    best = what_fits(space, NEEDS, "R").best
    corners = rectangle(best.x, best.y, best.length, best.width, best.turn)
    assert max(x for x, _ in corners) <= 130 + 1e-9
    other = what_fits(space, NEEDS, "L").best
    assert min(x for x, _ in rectangle(other.x, other.y, other.length, other.width, other.turn)) > (
        130 - 1e-9
    )


def test_a_column_is_walked_round():
    space = replace(room(box(260, 160)), holes=(((125.0, 70.0), (135, 70), (135, 90), (125, 90)),))
    best = what_fits(space, NEEDS).best
    placed = Polygon(rectangle(best.x, best.y, best.length, best.width, best.turn))
    assert placed.distance(Polygon(space.holes[0])) >= 32 - 1e-9
    assert exact(space, best.piece) == pytest.approx(best.margin)


def test_the_word_of_the_builder_counts():
    space = SMALL["sideboard"]
    mine = table(60, 30, 66, 60, name="T9")
    said = {("T9", word): "rise" for word in ("north", "south", "east", "west")}
    space = replace(space, pieces=(*space.pieces, mine), overrides=said)
    sizes = Sizes(48, 60, 30, 36)
    free, bound = (
        what_fits(replace(space, overrides=o), NEEDS, sizes=sizes).front[0] for o in (said, {})
    )
    assert (free.seats, free.margin) >= (bound.seats, bound.margin)
    assert {side.use for side in free.trial.sides} == {"rise"}


# --- against the exact judgement ---------------------------------------------------------------


@pytest.mark.parametrize("name", [*SMALL, "twenty"])
def test_every_offer_is_as_the_engine_judges_it(name):
    space = TWENTY if name == "twenty" else SMALL[name]
    found = what_fits(space, NEEDS)
    assert found.front
    for offer in found.front:
        assert exact(space, offer.piece) == pytest.approx(offer.margin, abs=1e-6)
        assert offer.seats == seats(offer.length, offer.width, NEEDS).total
    if found.best is not None:
        assert found.best.margin >= -1e-6
        assert found.best == max(
            (o for o in found.front if o.margin >= -1e-6), key=lambda o: o.seats
        )


@pytest.mark.parametrize("seed", range(14))
def test_random_rooms_are_never_offered_what_is_short(seed):
    space = random_space(seed)
    found = what_fits(space, NEEDS, sizes=Sizes(36, 96, 30, 40))
    for offer in found.front:
        assert exact(space, offer.piece) == pytest.approx(offer.margin, abs=1e-5)


def brute_force(space: Space, sizes: Sizes) -> dict[int, float]:
    """Widest tightest margin for each count of seats over every size and place of a grid."""
    best: dict[int, float] = {}
    for angle in directions(space.outline):
        _brute_force(space, sizes, angle, best)
    return best


def _brute_force(space: Space, sizes: Sizes, angle: float, best: dict[int, float]) -> None:
    """No bound but the plain one: a margin is at most a clear distance less the least need."""
    cos, sin = math.cos(math.radians(angle)), math.sin(math.radians(angle))
    frame = [(x * cos + y * sin, y * cos - x * sin) for x, y in space.outline]
    west, south = min(x for x, _ in frame), min(y for _, y in frame)
    columns = math.ceil(max(x for x, _ in frame) - west - 0.01)
    rows = math.ceil(max(y for _, y in frame) - south - 0.01)
    floor = Polygon(space.outline).buffer(1e-7)
    prepare(floor)
    rings = [space.outline, *(p.outline for p in space.pieces)]
    things = [Polygon(p.outline) for p in space.pieces]
    edges = Edges(rings, within=1)
    for length in range(sizes.least_length, sizes.most_length + 1):
        for width in range(sizes.least_width, min(length, sizes.most_width) + 1):
            count = seats(length, width, NEEDS).total
            for lie, (w, d) in ((0, (length, width)), (90, (width, length))):
                places = []
                for column in range(columns - w + 1):
                    for row in range(rows - d + 1):
                        x, y = west + column + w / 2, south + row + d / 2
                        at = (x * cos - y * sin, x * sin + y * cos)
                        top = Polygon(rectangle(*at, length, width, angle + lie))
                        if not floor.contains(top) or any(
                            t.intersects(top) and t.intersection(top).area > 1e-6 for t in things
                        ):
                            continue
                        met = [
                            clear_ahead(side, edges)
                            for side in walls(rectangle(*at, length, width, angle + lie))
                        ]
                        places.append((min(m.clear for m in met) - 32, at))
                for most, at in sorted(places, reverse=True):
                    if most <= best.get(count, -12):
                        break
                    margin = exact(space, table(length, width, *at, angle + lie))
                    if margin is not None and margin > best.get(count, -12):
                        best[count] = margin


@pytest.mark.parametrize(
    ("name", "sizes", "angle"),
    [
        ("plain", Sizes(60, 60, 30, 30), 0.0),
        ("sideboard", Sizes(66, 66, 36, 36), 0.0),
        ("L", Sizes(66, 66, 32, 32), 0.0),
        ("clipped corner", Sizes(66, 66, 34, 34), 0.0),
        ("narrow doors", Sizes(54, 54, 36, 36), 0.0),
        ("plain", Sizes(66, 66, 36, 36), 20.0),
    ],
)
def test_brute_force_finds_nothing_better(name, sizes, angle):
    space = turned(SMALL[name], angle)
    best = brute_force(space, sizes)
    found = {o.seats: o for o in what_fits(space, NEEDS, sizes=sizes).front}
    assert set(best) <= set(found)
    for count, margin in best.items():
        offer = found[count]
        assert offer.margin >= margin - 1e-3  # sliding may gain up to half an inch
        assert offer.margin <= margin + 0.5 + 1e-6
    assert all(offer.proved for offer in found.values())


@pytest.mark.parametrize("seed", range(28))
def test_the_bound_is_never_too_low(seed):
    """Random places of random rooms, judged exactly, never beat the bound they are ranked by."""
    space = random_space(seed)
    trials = Trials(space, NEEDS)
    rng = np.random.default_rng(seed)
    for angle in directions(space.outline)[:2]:
        frame = Frame(trials, space.outline, angle)
        for _ in range(3):
            length, depth = int(rng.integers(30, 90)), int(rng.integers(30, 60))
            level = float(rng.choice([-12, -6, 0, 6]))
            places = frame.places(length, depth, level, level)
            known = {
                (row, column): bound
                for row, column, bound in zip(
                    places.row.tolist(), places.column.tolist(), places.bound.tolist(), strict=True
                )
            }
            room_there = frame.places(length, depth, -12, -100)  # no way is that narrow
            for k in rng.choice(len(room_there), min(4, len(room_there)), replace=False):
                row, column = int(room_there.row[k]), int(room_there.column[k])
                x, y = frame.out((column + length / 2, row + depth / 2))
                trial = trials.of(table(length, depth, x, y, angle))
                if trial is None:
                    continue
                assert trial.margin <= room_there.bound[k] + 2e-3
                if trial.margin >= level:
                    assert known.get((row, column), -99) >= trial.margin - 2e-3


# --- conduct -----------------------------------------------------------------------------------


def test_the_same_question_has_the_same_answer():
    first, second = (what_fits(TWENTY, NEEDS) for _ in range(2))
    assert first == second


def test_turning_the_house_changes_nothing():
    here = what_fits(SMALL["sideboard"], NEEDS)
    there = what_fits(turned(SMALL["sideboard"], 37, 900, -40), NEEDS)
    assert [(o.seats, pytest.approx(o.margin, abs=2e-3)) for o in here.front] == [
        (o.seats, o.margin) for o in there.front
    ]


def test_one_more_thing_never_seats_more():
    empty = room(box(150, 150), SMALL["plain"].openings[:0])
    chest = replace(empty, pieces=(piece("C1", "chest", 40, 20, 75, 10),))
    more = replace(chest, pieces=(*chest.pieces, piece("C2", "chest", 40, 20, 10, 75, 90)))
    found = [what_fits(space, NEEDS).best for space in (empty, chest, more)]
    order = [(best.seats, best.margin) for best in found]
    assert order == sorted(order, reverse=True)


def test_progress_is_told_and_ends():
    told: list[float] = []
    what_fits(TWENTY, NEEDS, progress=told.append)
    assert told == sorted(told)
    assert told[-1] == 1.0


def test_it_can_be_stopped():
    asked = iter([False] * 3 + [True] * 1000)
    found = what_fits(TWENTY, NEEDS, stop=lambda: next(asked))
    assert not found.complete
    assert not found.proved or found.best is not None


def test_the_table_that_is_there_makes_way():
    there = table(60, 36, 70, 60, name="T9")
    space = replace(SMALL["sideboard"], pieces=(*SMALL["sideboard"].pieces, there))
    found = what_fits(space, NEEDS)
    bare = what_fits(SMALL["sideboard"], NEEDS)
    assert found.front[0].piece.id == "T9"
    assert [(o.seats, o.margin) for o in found.front] == [(o.seats, o.margin) for o in bare.front]
    kept = what_fits(space, NEEDS, instead_of=())
    assert kept.front == () or kept.front[0].piece.id == "table"
    assert [o.seats for o in kept.front][:1] <= [found.front[0].seats]


@pytest.mark.parametrize(
    ("sizes", "says"),
    [
        ({"least_length": 50, "most_length": 40}, "length runs from 50 to 40"),
        ({"least_width": 0}, "width runs from 0"),
        ({"most_length": 1000}, "give 1 to 600"),
    ],
)
def test_sizes_that_cannot_be(sizes, says):
    with pytest.raises(ValueError, match=says):
        Sizes(**sizes)


def test_what_is_not_known_is_said():
    with pytest.raises(ValueError, match=r"dining\.rise"):
        what_fits(SMALL["plain"], Needs({}))
    with pytest.raises(KeyError):
        what_fits(SMALL["plain"], NEEDS, "nowhere")


def test_an_opening_off_its_wall_is_left_out():
    space = room(
        box(160, 150), [opening("A", (-14, 60), (-14, 96)), opening("B", (0, 20), (0, 56))]
    )
    assert what_fits(space, NEEDS).best is not None
