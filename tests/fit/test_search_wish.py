"""A wish read and made whole: what makes way, which sizes, how a wall is named."""

import pytest
from tests.fit.brute import NEEDS
from tests.fit.demo_rooms import demo_space
from tests.fit.dining_rooms import box, piece, room

from roomwright.answers import what_fits_words as words
from roomwright.fit.search_wanted import Place, WantedError, parse, place
from roomwright.fit.search_whole import find


@pytest.mark.parametrize("kind", ["vanity", "vanity double"])
def test_a_vanity_takes_the_place_of_one_with_another_number_of_bowls(kind):
    found = find(demo_space("209"), NEEDS, "209", parse(kind))
    assert found.gone == ("M1",)
    assert found.best is not None


def test_vanities_of_one_bowl_go_to_72():
    space = room(box(120, 100), [], [piece("M1", "vanity double", 60, 21, 60, 10.5)])
    found = find(space, NEEDS, "R", parse("vanity; place: against A"))
    assert found.gone == ("M1",)
    assert found.best.size.width == 72


@pytest.mark.parametrize(
    ("text", "means"),
    [
        ("against", Place("against")),
        ("against any wall", Place("against")),
        ("against wall", Place("against")),
        ("against wall E", Place("against", "E")),
        ("against E", Place("against", "E")),
        ("against east wall", Place("against", "east")),
        ("centered on wall B", Place("centered on", "B")),
    ],
)
def test_a_wall_is_named_by_its_letter_with_or_without_the_word(text, means):
    assert place(text) == means


def test_two_walls_are_no_place():
    with pytest.raises(WantedError, match="against B"):
        place("against A B")


@pytest.mark.parametrize(("depth", "word"), [(96.5, "tight"), (110.0, "fits")])
def test_what_a_wall_may_give_is_told_with_the_verdict_that_holds_until_then(depth, word):
    """Sixty inches of desk, 30 deep and 30 to push the chair back: 36.5 left, or 50."""
    needs = NEEDS
    space = room(box(66 if word == "fits" else 61, depth - 30))
    found = find(space, needs, "R", parse("desk; sizes: 60 x 30; place: against A"))
    told = [words.limit(wall) for wall in found.walls if not wall.open_ended and wall.holds > 0]
    assert told
    assert all(each.startswith(word) for each in told)
