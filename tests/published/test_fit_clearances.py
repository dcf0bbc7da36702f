"""Clearances, seats and stairs against published figures, by the named sets that hold them.

[P] Kitchen & Bathroom Planning Guidelines, National Kitchen & Bath Association, 2nd ed. 2016,
    kitchen guidelines 6 and 8: work aisle 42; behind a seated diner 32, 36, 44.
[P] Manual of Acceptable Practices, Volume 4, US Department of Housing and Urban Development,
    1973, dining areas: 32 for chairs and access, 38 with passage.
[P] International Residential Code, 2018: R307.1 and P2705.1 (15 beside, 21 before, 24 before a
    shower), R311.7.2 (80 headroom), R311.7.5.1 (7 3/4 riser, 3/8 spread), R311.7.5.2 (10 tread).
"""

from dataclasses import replace

import pytest
from tests.fit.demo_rooms import demo_space

from roomwright import figures
from roomwright.fit.evaluate import room_fit
from roomwright.fit.model import Flight, Needs, Piece, Room, Space, Word
from roomwright.fit.stairs import check


def needs(name):
    return Needs({f.key: float(f.value) for f in figures.load().choose(name)})


GUIDELINES = needs("kitchen and bath guidelines")
OUTLINE = ((0, 0), (120, 0), (120, 120), (0, 120))


def bath(*pieces):
    space = Space((Room("1", "Bath", OUTLINE),), OUTLINE, pieces=pieces)
    return {fit.piece.id: fit for fit in room_fit(space, GUIDELINES).pieces}


@pytest.mark.parametrize(
    ("name", "north", "south", "east", "west"),
    [
        ("kitchen and bath guidelines", 44, 36, 44, 32),  # [P]
        ("HUD 1973", 38, 38, 38, 32),  # [P]
        ("common practice", 48, 48, 48, 36),  # [CP]
    ],
)
def test_behind_a_seated_diner(name, north, south, east, west):
    fit = room_fit(demo_space("101"), needs(name), "101").pieces
    table = next(p for p in fit if p.piece.id == "T1")
    wanted = {side.side: side.needs for side in table.sides}
    assert wanted == {"north": north, "south": south, "east": east, "west": west}


@pytest.mark.parametrize(("gap", "word"), [(21, Word.MEETS), (20.9375, Word.SHORT)])
def test_twenty_one_before_a_toilet(gap, word):
    toilet = Piece("V3", "toilet", "toilet", 20, 28, 30, 60, 14, room="1")
    tub = Piece("V2", "alcove tub", "tub", 60, 32, 20, 60, 28 + gap + 16, 180, room="1")
    front = next(s for s in bath(toilet, tub)["V3"].sides if s.local == "front")
    assert front.verdict.word is word


@pytest.mark.parametrize(("center", "word"), [(15, Word.MEETS), (14.9375, Word.SHORT)])
def test_fifteen_from_the_center_of_a_toilet_to_the_wall(center, word):
    toilet = Piece("V3", "toilet", "toilet", 20, 28, 30, center, 14, room="1")
    side = next(s for s in bath(toilet)["V3"].sides if s.side == "west")
    assert side.clear == center
    assert side.verdict.word is word


def flight(rise, headroom=80.0, run=10.0):
    # floors and treads of one thickness: the risers stay as cut
    return Flight("S1", rise, 16, run, 1, 36, headroom, 1, 1)


@pytest.mark.parametrize(
    ("stair", "kind", "word"),
    [
        (flight(16 * 7.75), "stair riser", Word.MEETS),
        (flight(16 * 7.75 + 0.5), "stair riser", Word.SHORT),
        (flight(122, headroom=80), "stair headroom", Word.MEETS),
        (flight(122, headroom=79.9375), "stair headroom", Word.SHORT),
        (flight(122, run=10), "stair tread depth", Word.MEETS),
        (flight(122, run=9.9375), "stair tread depth", Word.SHORT),
    ],
)
def test_stair_limits(stair, kind, word):
    assert {f.kind: f.severity for f in check(stair, GUIDELINES)}[kind] is word


def test_three_eighths_of_spread():
    even = Flight("S1", 122, 16, 10, 1, 36, 80, 1, 1)
    assert "stair spread" not in {f.kind for f in check(even, GUIDELINES)}
    limit = replace(even, lower=1 - 3 / 16, upper=1 - 3 / 16)  # first + 3/16, last - 3/16
    assert "stair spread" not in {f.kind for f in check(limit, GUIDELINES)}
    over = replace(even, lower=0.75, upper=0.75)
    assert "stair spread" in {f.kind for f in check(over, GUIDELINES)}
