"""Where pieces crowd a room and nothing fits, a search ends by what it did, and says so."""

import random
from dataclasses import replace

import pytest
import shapely
from tests.fit.demo_rooms import NEEDS
from tests.fit.dining_rooms import box, opening, room

from roomwright.fit import search, search_any
from roomwright.fit.given import Piece
from roomwright.fit.search_judge import Judge
from roomwright.fit.search_wanted import Wanted, parse
from roomwright.fit.search_whole import find
from roomwright.shape import rectangle

KINDS = (
    ("dresser", 50, 20), ("dining table", 60, 36), ("desk", 48, 24), ("chest", 36, 18),
    ("range", 30, 28),
)  # fmt: skip


def crowded(seed=3, width=260, depth=220, most=9):
    """A room with pieces strewn over it, 16 in. or more apart: their chairs and drawers overlap."""
    rng = random.Random(seed)
    doors = [opening("D1", (0, 70), (0, 102)), opening("D2", (width, 70), (width, 102))]
    pieces, shapes = [], []
    for k in range(400):
        kind, w, d = rng.choice(KINDS)
        x, y = rng.uniform(30, width - 30), rng.uniform(20, depth - 20)
        turn = rng.choice([0, 90, 180, 270])
        shape = shapely.Polygon(rectangle(x, y, w, d, turn))
        free = shapely.box(0, 0, width, depth).covers(shape)
        if len(pieces) < most and free and all(shape.distance(o) >= 16 for o in shapes):
            shapes.append(shape)
            pieces.append(Piece(f"P{k}", kind, kind, w, d, 34, x, y, turn, "R"))
    return room(box(width, depth), doors, pieces)


@pytest.fixture
def little(monkeypatch):
    monkeypatch.setattr(search, "MOST_EFFORT", 5)
    monkeypatch.setattr(search_any, "MOST_EFFORT", 5)


@pytest.mark.parametrize(("seed", "wish"), [
    (3, Wanted("dining table")),  # the faster search
    (0, parse("dining table; sizes: 60 x 36, 36 x 30")),
])  # fmt: skip
def test_it_ends_by_what_it_did_says_so_and_always_the_same(little, seed, wish):
    wish = replace(wish, without=())
    found = find(crowded(seed), NEEDS, "R", wish)
    assert found.best is None
    assert not found.proved
    assert found.stopped.startswith("not proved: stopped after ")
    assert "places were judged and none fits" in found.stopped
    assert 0 < found.judged <= 5 + 1 + 2 * search_any.FEW  # and those of the short look
    assert find(crowded(seed), NEEDS, "R", wish) == found


def test_effort_counts_the_paths_that_were_measured():
    judge = Judge(crowded(), NEEDS)
    judge.of(Piece("T", "dining table", "dining table", 36, 30, 30, 150, 200, 0, "R"))
    before = judge.measured
    judge._of_goals(judge.ground, None)
    assert judge.measured - before == len(judge._before.goals) > 3


def test_what_finds_something_goes_on_beyond_that(monkeypatch):
    space = room(box(180, 160), [opening("D1", (0, 60), (0, 92))])
    full = find(space, NEEDS, "R", parse("desk; sizes: 60 x 30, 48 x 24"))
    monkeypatch.setattr(search_any, "MOST_EFFORT", full.judged // 2)
    again = find(space, NEEDS, "R", parse("desk; sizes: 60 x 30, 48 x 24"))
    assert (again.best.size, again.stopped) == (full.best.size, "")
