"""What fits in the demo house, in words and as JSON."""

from dataclasses import replace

import pytest
from tests.answers import demo_house

from roomwright.answers.rooms import needs as needs_of
from roomwright.answers.rooms import space_of
from roomwright.answers.what_fits import TABLE, what_fits
from roomwright.answers.what_fits_json import as_json
from roomwright.answers.what_fits_words import spare
from roomwright.fit.goals import goal_paths
from roomwright.fit.ground import Ground
from roomwright.fit.model import Word
from roomwright.fit.search_wanted import parse


@pytest.fixture(scope="module")
def found():
    return demo_house.answers().ask(what_fits, "101", TABLE)


def test_the_dining_room(found):
    told = as_json(found)
    wanted = {"width_in", "depth_in", "x", "y", "turn", "seats", "tightest_margin_in"}
    assert wanted <= told["best"].keys()
    # [C] 84 long at x = 75 or so, 1 in. to spare; ten seats are short
    assert (told["best"]["width_in"], told["best"]["seats"]) == (84, 8)
    assert told["best"]["tightest_margin_in"] == 1
    assert told["stops"]["seats"] == 10
    assert told["stops"]["tightest_margin_in"] < 0
    assert [o["seats"] for o in told["front"]] == [10, 8, 6, 4, 2]


@pytest.mark.parametrize(
    ("margin", "number", "words"),
    [
        (-0.0002, -0.001, 'short less than 1/64"'),
        (0.0, 0.0, "nothing to spare"),
        (-1e-9, 0.0, "nothing to spare"),
        (-0.03, -0.03, 'short 1/32"'),
        (2.5, 2.5, '2 1/2" to spare'),
    ],
)
def test_short_by_a_hair_is_short(found, margin, number, words):
    best, (first, *rest) = found.best, found.best.trial.bounds
    bound = replace(first, clear=first.needs + margin)
    trial = replace(best.trial, bounds=(bound, *rest))
    hair = replace(found, best=replace(best, trial=trial))
    assert as_json(hair)["best"]["tightest_margin_in"] == number
    assert words in spare(hair.best)


def test_what_is_offered_leaves_the_ways_to_what_people_go_to():
    """An island: its best place leaves every way to range, sink and refrigerator as good."""
    answers = demo_house.answers()
    best = answers.ask(what_fits, "102", parse("island")).best
    assert best.margin >= 0
    space, needs = answers.ask(space_of, ("102",)), answers.ask(needs_of, "")
    ways = {path.goal: path for path in goal_paths(Ground(space), needs)}
    bare = replace(space, fixed=tuple(body for body in space.fixed if body.id != "X5"))
    with_it = goal_paths(Ground(bare).with_piece(replace(best.piece, room="102")), needs)
    assert {path.goal for path in with_it} >= ways.keys()
    assert [p.goal for p in with_it if p.verdict.word.rank >= Word.SHORT.rank] == []
