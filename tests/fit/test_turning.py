"""The number that turns a verdict: a hair less and the word holds, a hair more and it turns."""

import random
from dataclasses import replace

import pytest
from tests.fit.dining_rooms import NEEDS, opening, piece, room

from roomwright.fit.evaluate import room_fit
from roomwright.fit.model import Verdict, Word
from roomwright.fit.verdicts import judge, until, worst

HAIR = 1 / 64


def box(east, north, pieces, openings=()):
    return room([(0, 0), (east, 0), (east, north), (0, north)], openings, pieces)


@pytest.mark.parametrize("seed", range(60))
def test_a_wall_that_comes_in_by_the_number_turns_the_side(seed):
    """Any table in any room: the north wall moves, and the side that ends at it turns."""
    rng = random.Random(seed)
    east = rng.uniform(150, 260)
    table = piece("T", "dining table", rng.uniform(48, 96), rng.uniform(36, 46), east / 2, 80)
    back = 80 + (table.depth or 0) / 2 + rng.uniform(33, 60)

    def side(north):
        fit = room_fit(box(east, north, [table]), NEEDS).pieces[0]
        return next(s for s in fit.sides if s.side == "north").verdict

    before = side(back)
    by, word = before.turn
    assert side(back - by + HAIR).word is before.word
    assert side(back - by - HAIR).word is word
    assert word.rank > before.word.rank


@pytest.mark.parametrize("seed", range(40))
def test_a_piece_turns_with_the_first_of_its_sides(seed):
    """All four walls come in together by the piece's number: its own word turns just then."""
    rng = random.Random(seed)
    gaps = [rng.uniform(32.5, 50) for _ in range(4)]
    width, depth = rng.uniform(60, 90), rng.uniform(37, 46)

    def verdict(loss):
        west, south, east, north = (gap - loss for gap in gaps)
        table = piece("T", "dining table", width, depth, west + width / 2, south + depth / 2)
        space = box(west + width + east, south + depth + north, [table])
        return room_fit(space, NEEDS).pieces[0].verdict

    before = verdict(0)
    by, word = before.turn
    one_side = [g for g in gaps if abs((g - 32) - by) < 1e-6 or abs((g - 34) - by) < 1e-6]
    if one_side:  # a side decides it, not two together, of which each loses as much
        assert verdict(by - HAIR).word is before.word
        assert verdict(by + HAIR).word is word
    else:
        assert verdict(by / 2 - HAIR).word is before.word
        assert verdict(by / 2 + HAIR).word.rank > before.word.rank


def test_a_path_turns_by_the_number_and_is_blocked_past_the_passage_minimum():
    doors = (opening("O1", (20, 0), (60, 0)), opening("O2", (20, 100), (60, 100)))

    def path(wide):
        block = piece("C", "sideboard", 40, 20, wide + 20, 50)
        return room_fit(room([(0, 0), (80, 0), (80, 100), (0, 100)], doors, [block]), NEEDS).ways[0]

    before = path(39)
    if before.verdict.turn is None:
        pytest.fail("a path narrower than its openings has a number")
    by, word = before.verdict.turn
    assert path(39 - by + HAIR).verdict.word is before.verdict.word
    assert path(39 - by - HAIR).verdict.word is word
    assert (before.tightest - 24, Word.BLOCKED) in before.verdict.steps


@pytest.mark.parametrize(
    ("verdict", "ends_at", "words"),
    [
        (judge(53.99, 44, 2, "x"), "north wall", 'fits until the north wall is 7 15/16" short'),
        (
            judge(38.99, 44, 2, "x"),
            "",
            'short until there is 5 1/16" more; 7 1/16" more and it fits',
        ),
        (judge(44, 44, 2, "x"), "sideboard S1", 'tight, and not 1/16" less; 2" more and it fits'),
        (judge(30, 21, 2, "x", governed=True), "tub", 'meets until the tub stands 9" nearer'),
        (Verdict(Word.BLOCKED, "blocked"), "", ""),
    ],
)
def test_the_words_are_never_too_kind(verdict, ends_at, words):
    assert until(verdict, ends_at) == words


def test_the_gravest_turns_with_whichever_comes_first():
    tight = judge(45, 44, 2, "x")
    fits = judge(44.5, 36, 2, "x")
    both = worst([fits, tight, replace(fits, steps=((0.5, Word.SHORT),))])
    assert both.word is Word.TIGHT
    assert both.turn == (0.5, Word.SHORT)


@pytest.mark.parametrize("seed", range(60))
def test_so_much_more_makes_it_fit_and_a_hair_less_does_not(seed):
    rng = random.Random(seed)
    table = piece("T", "dining table", rng.uniform(48, 96), rng.uniform(36, 46), 100, 80)
    back = 80 + (table.depth or 0) / 2 + rng.uniform(20, 33.9)

    def side(north):
        fit = room_fit(box(200, north, [table]), NEEDS).pieces[0]
        return next(s for s in fit.sides if s.side == "north").verdict

    more = side(back).more
    assert side(back).word in (Word.SHORT, Word.TIGHT)
    assert side(back + more + HAIR).word is Word.FITS
    assert side(back + more - HAIR).word is not Word.FITS


def test_a_piece_fits_once_every_side_that_lacks_has_so_much_more():
    gaps = (31.0, 33.0, 40.0, 30.5)

    def verdict(more):
        west, south, east, north = (gap + more for gap in gaps)
        table = piece("T", "dining table", 72, 40, west + 36, south + 20)
        return room_fit(box(west + 72 + east, south + 40 + north, [table]), NEEDS).pieces[0].verdict

    more = verdict(0).more
    assert more == pytest.approx(34 - 30.5)
    assert verdict(more + HAIR).word is Word.FITS
    assert verdict(more - HAIR).word is not Word.FITS
    assert verdict(20).more is None
    blocked = worst([judge(39, 44, 2, "x"), Verdict(Word.BLOCKED, "blocked")])
    assert blocked.more is None  # no number clears what is blocked
