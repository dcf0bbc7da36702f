"""Readings as typed and said: what is understood, and what is refused with its two meanings."""

from fractions import Fraction

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from roomwright.lengths import exact
from roomwright.survey.numerals import digits
from roomwright.survey.spoken import SpokenError, parse

CORNERS, NAMES = "ABCD", ("D4", "W1")
WALL = Fraction(1187, 8)  # 12'-4 3/8"


def one(text, corners=CORNERS):
    [told] = parse(text, corners, NAMES)
    return told


@pytest.mark.parametrize(
    "text",
    [
        "A to B 12 4 3/8",
        "a b 148 3/8",
        "AB 12' 4 3/8\"",
        "A-B 12'-4 3/8\"",
        "A->B: 148.375",
        "A – B 12′ 4⅜″",
        "A to B is twelve feet four and three eighths",
        "A to B is twelve feet, four and three eighths",
        "alpha to bravo twelve four and three eighths",
        "alfa bravo one forty-eight and three eighths",
        "from corner a to corner b one hundred and forty eight and three eighths",
        "A to B equals a hundred forty eight 3/8",
        "A to B 12 feet 4 3/8 inches",
    ],
)
def test_one_wall_in_many_ways(text):
    told = one(text)
    assert (told.from_, told.to, told.length, told.kind) == ("A", "B", WALL, "wall")
    assert told.echo() == "A to B: 12'-4 3/8\""


@pytest.mark.parametrize(
    ("text", "told"),
    [
        ("A-C 18 5 1/8 again", ("A", "C", "221 1/8", "diagonal", "")),
        ("D to A 150", ("D", "A", "150", "wall", "")),
        ("C to ceiling 108 1/4", ("C", "ceiling", "108 1/4", "height", "")),
        ("ceiling at C nine feet and a quarter", ("C", "ceiling", "108 1/4", "height", "")),
        ("middle to ceiling 107 7/8", ("middle", "ceiling", "107 7/8", "height", "")),
        ("center to the ceiling 107 7/8", ("middle", "ceiling", "107 7/8", "height", "")),
        ("A to D4 near 38 1/2", ("A", "D4", "38 1/2", "offset", "near")),
        ("A to the near edge of D4 38 1/2", ("A", "D4", "38 1/2", "offset", "near")),
        ("A to w1 far 70", ("A", "W1", "70", "offset", "far")),
        ("A to B 12 4", ("A", "B", "148", "wall", "")),
        ("A to B one oh four", ("A", "B", "104", "wall", "")),
        ("A to B twelve foot six", ("A", "B", "150", "wall", "")),
        ("A to B twenty one and seven thirty seconds", ("A", "B", "21 7/32", "wall", "")),
        ("A to B three and five sixteenths", ("A", "B", "3 5/16", "wall", "")),
    ],
)
def test_what_is_understood(text, told):
    seen = one(text)
    assert (seen.from_, seen.to, exact(seen.length), seen.kind, seen.edge) == told


def test_again_is_kept():
    assert one("A to C 221 1/8 again").again
    assert one("A to C again 221 1/8").again
    assert not one("A to C 221 1/8").again


@pytest.mark.parametrize("gap", ["\n", "; ", ", ", ". ", " then ", ", and then "])
def test_many_at_once(gap):
    rows = ["A to B twelve six", "b to c 12 6 1/2", "C-D 150", "D4 to A near 38 1/2", "A B 150"]
    told = parse(gap.join(rows), CORNERS, NAMES)
    assert [(t.from_, t.to) for t in told] == [
        ("A", "B"), ("B", "C"), ("C", "D"), ("A", "D4"), ("A", "B"),
    ]  # fmt: skip
    assert [exact(t.length) for t in told] == ["150", "150 1/2", "150", "38 1/2", "150"]


REFUSED = [
    ("A to B two ten", '2\'-10" or 210"', 2),
    ("A to B 15-3", "two ways", 2),
    ("A to B 31/2", "two ways", 2),
    ("A to D4 38 1/2", "which edge of D4", 2),
    ("A to B 12 14", "more than one length", 0),
    ("A to Q 12", "“Q” is no corner", 0),
    ("A to D5 near 12", "Did you mean d4", 0),
    ("12 4 3/8", "from where to where", 0),
    ("A to A 3", "two corners", 0),
    ("A to B", "no length", 0),
    ("A to B -3", "not more than 0", 0),
    ("A to B 0", "not more than 0", 0),
    ("A to B 148 strong", "“strong” is no part of a length", 0),
    ("A to B 1/0", "divides by zero", 0),
    ("A to B 12 4 3/8 B to C 12 6", "another reading seems to begin", 0),
    ("A to the middle 60", "only for heights", 0),
    ("A to floor 60", "goes to the ceiling", 0),
    ("D4 to ceiling 80", "at a corner or in the middle", 0),
    ("D4 to W1 80", "starts at a corner", 0),
    ("A to B near 80", "for openings", 0),
    ("A to B one two three four", "several numbers", 0),
    ("", "nothing was said", 0),
]


@pytest.mark.parametrize(
    ("text", "words", "ways"), REFUSED, ids=[t or "empty" for t, _, _ in REFUSED]
)
def test_what_is_refused(text, words, ways):
    with pytest.raises(SpokenError, match="(?i)" + words.replace("?", r"\?")) as caught:
        parse(text, CORNERS, NAMES)
    assert len(caught.value.readings) == ways


def test_the_place_of_what_is_wrong():
    with pytest.raises(SpokenError) as caught:
        parse("A B 148; B C nonsense; C D 148", CORNERS)
    assert caught.value.place == 2
    assert "B C nonsense" in str(caught.value)


def test_too_much_at_once():
    with pytest.raises(SpokenError, match="too many at once"):
        parse("A B 1\n" * 20_000, CORNERS)
    with pytest.raises(SpokenError, match="more than 2000"):
        parse("A B 1\n" * 2_001, CORNERS)


def test_corners_past_z_are_not_two_corners():
    corners = [*(chr(65 + k) for k in range(26)), "AA", "AB"]
    assert (one("AA to AB 12 4 3/8", corners).from_, one("Z AA 5", corners).to) == ("AA", "AA")


NUMBER = {0: "", 1: "one", 2: "two", 3: "three", 4: "four", 5: "five", 6: "six", 7: "seven",
          8: "eight", 9: "nine", 10: "ten", 11: "eleven", 12: "twelve", 13: "thirteen"}  # fmt: skip


@pytest.mark.parametrize("feet", range(12, 14))
@pytest.mark.parametrize("inch", range(1, 12))
def test_feet_and_inches_as_said(feet, inch):
    told = one(f"A to B {NUMBER[feet]} {NUMBER[inch]}")
    assert told.length == 12 * feet + inch


@pytest.mark.parametrize("n", range(1, 20))
def test_every_hundred_as_said(n):
    ones = [*NUMBER.values(), "fourteen", "fifteen", "sixteen", "seventeen", "eighteen", "nineteen"]
    ones = ones[1:]
    assert digits(["one", "hundred", ones[n - 1]]) == f"{100 + n}"
    assert digits(["two", "hundred", "and", "forty", ones[n % 9]]) == f"{240 + n % 9 + 1}"


@settings(max_examples=300, deadline=None)
@given(
    st.lists(
        st.sampled_from([*"ABCD W14 /-.,;'\"½\n", " to ", " near ", " two ", " and ", " D4 "]),
        max_size=40,
    ).map("".join)
)
def test_any_text_is_understood_or_refused(text):
    try:
        for told in parse(text, CORNERS, NAMES):
            assert told.length > 0
            assert told.from_ != told.to
            [again] = parse(told.echo().replace(" edge", ""), CORNERS, NAMES)
            assert (again.from_, again.to, again.edge) == (told.from_, told.to, told.edge)
    except SpokenError:
        pass
