"""The hand of a door, from every side and in every wall."""

import math

import pytest

from roomwright.counts.hands import hand_of, hand_said, hinged_at, lies_left

ROOM = ((0.0, 0.0), (100.0, 0.0), (100.0, 80.0), (0.0, 80.0))


def turned(points, degrees):
    c, s = math.cos(math.radians(degrees)), math.sin(math.radians(degrees))
    return tuple((x * c - y * s, x * s + y * c) for x, y in points)


@pytest.mark.parametrize("degrees", [0, 17, 90, 133, 180, 270, 311])
@pytest.mark.parametrize("order", [1, -1])
def test_hand_does_not_depend_on_how_the_house_lies(degrees, order):
    room = turned(ROOM, degrees)[::order]
    south = turned(((20, 0), (50, 0)), degrees)
    # pushed north into the room, west is at the left
    assert hand_of(south[0], south[1], south[0], room) == "left"
    assert hand_of(south[1], south[0], south[0], room) == "left"
    assert hand_of(south[0], south[1], south[1], room) == "right"


def test_hand_across_a_wall_and_from_the_other_room():
    kitchen = ((0.0, 0.0), (95.5, 0.0), (95.5, 80.0), (0.0, 80.0))
    mudroom = ((100.0, 0.0), (160.0, 0.0), (160.0, 80.0), (100.0, 80.0))
    ends = (95.5, 20.0), (95.5, 52.0)
    assert hand_of(*ends, ends[1], mudroom) == "left"
    # the same hinges, pushed the other way, are the other hand
    assert hand_of(*ends, ends[1], kitchen) == "right"
    assert lies_left(*ends, mudroom) is False


def test_no_hand_where_the_room_is_elsewhere():
    far = ((0.0, 500.0), (10.0, 500.0), (10.0, 510.0))
    assert hand_of((0.0, 0.0), (30.0, 0.0), (0.0, 0.0), far) is None
    assert lies_left((0.0, 0.0), (0.0, 0.0), ROOM) is None


def test_where_the_hinges_are_in_words():
    assert hinged_at((0, 0), (30, 0), (0, 0)) == "west"
    assert hinged_at((0, 0), (0, 30), (0, 30)) == "north"


@pytest.mark.parametrize(
    ("said", "hand"),
    [
        ("ordered right hand", "right"),
        ("Left-handed", "left"),
        ("24 x 80 RH", "right"),
        ("36 x 80 LHR", "left"),
        ("60 x 32, left drain", None),
        ("hang it left of the window", None),
        ("LH or RH", None),
        ("lhasa rug", None),
        ("", None),
    ],
)
def test_hands_in_notes(said, hand):
    assert hand_said(said) == hand
