"""One step for place, size and turn; one undo takes it back."""

from fractions import Fraction

import pytest

from roomwright import commands
from roomwright.job.entities import Piece, Room
from roomwright.job.facts import Facts

ROOM = Room(id="1", level="1", outline=((0, 0), (162, 0), (162, 150), (0, 150)))
TABLE = Piece(id="T1", room="1", kind="dining table", width=84, depth=42, x=81, y=84)
FACTS = Facts([ROOM, TABLE])


def arranged(**values):
    command = commands.parse("arrange", {"piece": "T1", **values})
    return command.work(FACTS, lambda _: [])


def test_all_at_once():
    work = arranged(x="76", y="84", width="7' 6", turn="450")
    (change,) = work.changes
    assert (change.after.x, change.after.width, change.after.turn) == (76, 90, 90)
    assert change.after.depth == 42
    assert work.sentence == (
        'Dining table T1: width 7\'-6" (was 7\'-0"), turned to 90° (was 0°), moved 5" west, '
        "to 6'-4\", 7'-0\"."
    )


def test_as_it_stands_is_no_change():
    work = arranged(x="81", y="84", turn="360")
    assert work.changes == []


def test_a_place_for_a_piece_without_one():
    facts = Facts([ROOM, TABLE.model_copy(update={"x": None, "y": None})])
    command = commands.parse("arrange", {"piece": "T1", "x": "10", "y": "20"})
    assert command.work(facts, lambda _: []).sentence == 'Dining table T1: put to 10", 1\'-8".'


@pytest.mark.parametrize(
    ("values", "field"),
    [
        ({}, "x"),
        ({"width": "0"}, "width"),
        ({"depth": "-3"}, "depth"),
        ({"x": "five"}, "x"),
        ({"piece": "T9", "x": "1"}, "piece"),
    ],
)
def test_bad_values_name_their_field(values, field):
    with pytest.raises(commands.BadCommandError) as error:
        arranged(**values)
    assert error.value.problems[0][0] == field


def test_exact():
    (change,) = arranged(x="76 1/3").changes
    assert change.after.x == Fraction(229, 3)
