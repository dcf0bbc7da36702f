"""The survey as an answer: the demo's readings against its key, faces, notes, JSON."""

import json
from datetime import date
from fractions import Fraction

import pytest
from tests.answers.demo_house import answers, facts

from roomwright.answers.survey import cost_of_rounding, kind_of, survey_of
from roomwright.answers.survey_json import survey_json
from roomwright.answers.survey_upright import edges, upright
from roomwright.job.entities import Opening, Reading, Room, Wall, Window


def read(id, a, b, length, room="204", face="board", **more) -> Reading:
    more = {"on": date(2027, 3, 26), "by": "Ana", **more}
    return Reading(id=id, room=room, from_corner=a, to_corner=b, length=length, face=face, **more)


def test_both_planted_errors_of_the_demo_are_named():
    """Key of the demo: 101 the first B-C, 3 in. long; 108 A-C, 6 in. short, with its rivals."""
    told = {}
    for room in facts().all(Room):
        for each in answers().ask(survey_of, room.id).suspects:
            told[each.fact.id] = round(each.taken.error)
    assert told == {"101/B-C/1": 3, "108/A-C/1": -6}


def test_108_says_which_others_it_could_be_and_what_to_take_next():
    found = answers().ask(survey_of, "108")
    bad = found.suspects[0]
    assert set(bad.taken.rivals) == {
        f"108/{line}/1" for line in ("A-B", "B-C", "C-D", "D-A", "B-D")
    }
    assert {found.found.next_diagonal.from_, found.found.next_diagonal.to} <= set("ABCD")
    assert not found.found.can_name


def test_a_room_without_readings_has_nothing_to_say():
    found = answers().ask(survey_of, "102")
    assert (found.found, found.trouble, found.reads) == (None, "", ())


def test_a_reading_set_aside_by_the_builder_is_not_used():
    bad = facts().get(Reading, "101/B-C/1").model_copy(update={"aside": "yes"})
    found = answers(bad).ask(survey_of, "101")
    assert found.suspects == ()
    assert next(r for r in found.reads if r.fact.id == bad.id).taken.aside


def test_a_reading_to_another_face_is_brought_over_by_the_layers():
    walls = [
        Wall(id=f"204/{a}-{b}", room="204", from_corner=a, to_corner=b, board=Fraction(1, 2))
        for a, b in ("BC", "DA")
    ]
    studs = read("s", "A", "B", Fraction(819, 8) + 1, face="stud")
    found = answers(studs, *walls).ask(survey_of, "204")
    assert found.face == "board"
    assert next(r for r in found.reads if r.fact.id == "s").used == pytest.approx(102.375)
    assert found.suspects == ()
    assert any("brought to the board" in note for note in found.notes)


def test_readings_that_lack_their_day_are_told():
    found = answers(read("s", "A", "C", 130, on=None, by="")).ask(survey_of, "204")
    assert any("1 of 7 readings lack" in note for note in found.notes)


def test_walls_that_cannot_close_say_so():
    found = answers(read("s", "A", "B", 900, room="102")).ask(survey_of, "102")
    assert found.found is None
    assert found.trouble


def test_the_outline_is_on_the_tape_s_marks():
    found = answers().ask(survey_of, "101")
    assert all(x.denominator <= 16 for p in found.outline for x in p)
    assert found.rounding == cost_of_rounding(found.found.outline, found.outline)
    assert 0 < found.rounding < 1 / 8


def test_walls_planned_against_measured():
    walls = {w.wall: w for w in answers().ask(survey_of, "108").walls}
    assert walls["B"].planned == 216
    assert walls["B"].difference == pytest.approx(0.61, abs=0.05)
    assert walls["B"].sure


def test_heights_and_offsets():
    door = next(o for o in facts().all(Opening) if "204" in (o.from_room, o.to_room))
    near = read("o", "A", f"{door.id} near", 30)
    up = [read("h1", "A", "ceiling", 108), read("h2", "middle", "ceiling", Fraction(431, 4))]
    of = answers(near, *up)
    assert [kind_of(r, "ABCD") for r in (near, *up)] == ["offset", "height", "height"]
    high = of.ask(upright, "204")
    assert high.found.low_at == "middle"
    assert high.lowest == Fraction(431, 4) - Fraction(5, 8)
    edge = of.ask(edges, "204")[0]
    assert edge.thing == door.id
    assert edge.placed is not None or edge.trouble


def test_json_has_the_documented_fields_and_is_json():
    body = answers().ask(survey_json, "101")
    json.dumps(body, allow_nan=False)
    assert {"corners", "readings", "variance_factor", "next_diagonal"} <= set(body)
    assert {"x", "y", "sx", "sy"} <= set(body["corners"][0])
    wanted = {"from", "to", "length_in", "residual_in", "w", "detectable_in", "suspect"}
    assert wanted <= set(body["readings"][0])
    bad = [r for r in body["readings"] if r["suspect"]]
    assert [(r["from"], r["to"], r["length_in"]) for r in bad] == [("B", "C", 153.25)]
    empty = answers().ask(survey_json, "102")
    assert (empty["corners"], empty["next_diagonal"]) == ([], None)
    json.dumps(empty, allow_nan=False)


def test_a_window_may_be_taped_too():
    window = facts().where(Window, "room", "101")[0]
    of = answers(read("o", "A", f"{window.id} near", 20, room="101"))
    assert of.ask(edges, "101")[0].thing == window.id
