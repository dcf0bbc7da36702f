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
        (Walk(id="kitchen > kitchen", from_use="kitchen", to_use="Kitchen"), "the same"),
    ],
)
def test_what_cannot_be(fact, says):
    facts = Facts([ROOM, fact])
    (problem,) = of_store.check(facts, [Change(fact.kind_name, fact.id, None, fact)])
    assert says in str(problem)
    assert [b for b in of_folder.broken(facts) if says in str(b)]


@pytest.mark.parametrize("fact", [slope(), slope(a=corner(0, -20), b=corner(144, -20))])
def test_what_can_be(fact):
    facts = Facts([ROOM, fact])
    assert list(of_store.check(facts, [Change(fact.kind_name, fact.id, None, fact)])) == []
