"""What a sheet says of the tape: finished figures, faces, doubt, measure."""

from datetime import date
from fractions import Fraction

from tests.answers.demo_house import answers, facts

from roomwright.answers import sheets
from roomwright.answers.sheet_model import MEASURE
from roomwright.answers.sheet_taped import ends_of
from roomwright.job.entities import Reading, Room, Wall


def rows(of, room: str) -> dict[str, str]:
    return {row.key: row.taped for row in of.ask(sheets.sheet, room, "").dims if row.taped}


def test_the_finished_figure_is_the_reading_less_the_layers_at_its_ends():
    """204: wall A, 8'-6 3/8" at the board, between walls B and D with 3/8 in. of tile each."""
    tiles = [
        Wall(id=f"204/{a}-{b}", room="204", from_corner=a, to_corner=b, finish=Fraction(3, 8))
        for a, b in ("BC", "DA")
    ]
    assert "8'-5 5/8\" finished: 8'-6 3/8\" board, Mar 24" in rows(answers(*tiles), "204")["wall A"]
    assert "finished" not in rows(answers(), "204")["wall A"]


def test_a_reading_that_was_set_aside_is_not_printed():
    bad = facts().get(Reading, "101/B-C/1").model_copy(update={"aside": "yes"})
    assert (
        rows(answers(bad), "101")["wall B"]
        == "B 12'-6 3/8\" board, Mar 25; D 12'-6\" board, Mar 25"
    )


def test_a_wall_that_may_be_the_bad_one_is_to_be_measured():
    """108: A-C is doubtful, and the tape can't tell it from any of the walls."""
    told = rows(answers(), "108")
    assert all(text.endswith(MEASURE) for text in told.values())
    assert "doubtful" in told["wall A"]


def test_letters_of_a_room_recorded_clockwise():
    """Wall A runs from corner A to B whichever way round; a reading names the same corners."""
    room = facts().get(Room, "204")
    turned = room.model_copy(update={"outline": (room.outline[0], *reversed(room.outline[1:]))})
    assert [ends_of(room, x) for x in "AB"] == [("A", "B"), ("B", "C")]
    assert [ends_of(turned, x) for x in "AB"] == [("A", "B"), ("B", "C")]


def test_a_reading_without_a_name_prints_measure():
    bare = [
        each.model_copy(update={"by": "", "on": date(2027, 3, 24)})
        for each in facts().where(Reading, "room", "204")
    ]
    assert set(rows(answers(*bare), "204").values()) == {MEASURE}
