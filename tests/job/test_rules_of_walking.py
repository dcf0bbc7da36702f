"""Slopes and habits that can't be are refused in words, in the store and in a folder alike."""

from fractions import Fraction

import pytest

from roomwright.exchange import rules as of_folder
from roomwright.job import rules as of_store
from roomwright.job.entities import Room, Slope, Walk
from roomwright.job.facts import Change, Facts


def corner(x, y):
    return Fraction(x), Fraction(y)


ROOM = Room(id="301", level="3",
            outline=(corner(0, 0), corner(144, 0), corner(144, 120), corner(0, 120)))  # fmt: skip


def slope(**values) -> Slope:
    base = {"id": "SL1", "room": "301", "a": corner(0, 0), "b": corner(144, 0), "low": Fraction(48),
            "pitch": Fraction(9)}  # fmt: skip
    return Slope(**{**base, **values})


@pytest.mark.parametrize(
    ("fact", "says"),
    [
        (slope(b=corner(0, 0)), "both ends at one point"),
        (slope(low=Fraction(-3)), "under the floor"),
        (slope(a=corner(0, 900), b=corner(144, 900)), "nowhere near room 301"),
        (slope(a=corner(150, 0), b=corner(150 + 90, 0)), "it lies outside room 301"),
        (slope(a=corner(144, 0), b=corner(240, 0)), "it lies outside room 301"),  # at its corner
        (slope(a=corner(-10, 130), b=corner(-10, 200)), "it lies outside room 301"),
        (slope(a=corner(0, 60), b=corner(72, 60)), "middle of room 301, 5'-0\" from the nearest"),
        (slope(a=corner(40, 25), b=corner(72, 20)), "middle of room 301, 2'-1\" from the nearest"),
        (Walk(id="kitchen > kitchen", from_use="kitchen", to_use="Kitchen"), "the same"),
    ],
)
def test_what_cannot_be(fact, says):
    facts = Facts([ROOM, fact])
    (problem,) = of_store.check(facts, [Change(fact.kind_name, fact.id, None, fact)])
    assert says in str(problem)
    assert [b for b in of_folder.broken(facts) if says in f"{b.wrong}: {b.do}"]


@pytest.mark.parametrize(
    "fact",
    [
        slope(),
        slope(a=corner(0, -20), b=corner(144, -20)),  # in the eaves
        slope(a=corner(-90, -20), b=corner(900, -20)),  # of the whole house
        slope(a=corner(0, 22), b=corner(144, 22)),  # over a knee wall that was not drawn
        slope(a=corner(100, 0), b=corner(144, 44)),  # a hip across a corner
        slope(a=corner(40, 0), b=corner(90, 0)),
        slope(a=corner(0, 60), b=corner(144, 60)),  # under a beam from wall to wall
    ],
)
def test_what_can_be(fact):
    facts = Facts([ROOM, fact])
    assert list(of_store.check(facts, [Change(fact.kind_name, fact.id, None, fact)])) == []
