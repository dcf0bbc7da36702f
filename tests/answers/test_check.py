"""Findings of `check`: what is doubtful, in the demo and in houses made for it."""

import random
from datetime import date
from fractions import Fraction

import pytest

from roomwright import starter
from roomwright.answers import check, counts
from roomwright.answers.engine import Answers
from roomwright.exchange.folder import read_files, read_folder
from roomwright.exchange.samples import example_path
from roomwright.job.entities import (
    Activity,
    Companion,
    Contact,
    Floor,
    House,
    Opening,
    Order,
    Part,
    PartClass,
    Piece,
    Posting,
    Reading,
    Room,
)
from roomwright.job.facts import Facts

TODAY = date(2027, 3, 29)
SQUARE = ((Fraction(0), Fraction(0)), (Fraction(120), Fraction(0)),
          (Fraction(120), Fraction(90)), (Fraction(0), Fraction(90)))  # fmt: skip
F = Fraction


def room(id="1", floor="oak", **more):
    return Room(id=id, level="1", outline=SQUARE, floor=floor, **{"ceiling": F(96), **more})


def house(*facts):
    base = [House(name="Ours", site_start=date(2027, 1, 18)), Floor(id="oak", build_up=F(3, 4))]
    return Answers(Facts([*base, *facts]), as_of=TODAY).ask(check.check)


def told(*facts):
    return {f.check: f for f in house(*facts)}


def test_a_bare_house_passes():
    found = house(room())
    assert check.passes(found)
    assert [f.check for f in found] == ["schedule"]


def test_rooms():
    found = told(room(floor=None, ceiling=None), room("2"))
    assert found["no floor finish"].text == "Room 1 has no floor finish."
    assert found["no ceiling height"].weight == "note"
    assert not check.passes(found.values())


def test_no_way_in():
    door = Opening(id="D", from_room="1", to_room="out", kind="cased", a=SQUARE[0], b=SQUARE[1])
    found = told(room(), room("2"), door)
    assert found["no way in"].ids == ("2",)


def bought(**more):
    kind = PartClass(id="OAK", name="Oak for the room", needed_by="A1",
                     **{"lead_weeks_high": F(4), **more})  # fmt: skip
    return kind, Activity(id="A1", name="Lay floor", days_likely=F(1), rooms=("all",))


def test_floor_that_no_line_buys():
    line = Part(id="L1", room="1", part_class="OAK", qty=1)
    found = told(room(), room("2"), *bought(), line)
    assert found["floor not bought"].room == "2"
    assert "floor not bought" not in told(room(), *bought(), line)


def test_classes_and_lines():
    line = Part(id="L1", room="1", part_class="OAK", qty=0)
    other = PartClass(id="ELM", needed_by="A1", lead_weeks_high=F(1))
    kit = Companion(id="ELM/felt", part_class="ELM", part="felt")
    found = told(room(), *bought(lead_weeks_high=None), line, other, kit)
    assert found["class not used"].ids == ("ELM",)
    assert found["no lead time"].ids == ("OAK",)
    assert found["no kit"].ids == ("OAK",)
    assert found["line of none"].ids == ("L1",)


def test_work_that_does_not_go_to_a_line():
    kind, work = bought()
    work = work.model_copy(update={"rooms": ("2",)})
    found = told(room(), room("2"), kind, work, Part(id="L1", room="1", part_class="OAK", qty=1))
    one = found["work does not go there"]
    assert one.text.startswith("A1 Lay floor does not go to 1, but L1 (Oak for the room, 1)")
    assert one.do == "Add 1 to the rooms of A1, or say which other work it is for."


def test_orders():
    line = Part(id="L1", room="1", part_class="OAK", qty=1)
    slow = Order(id="P1/L1", order="P1", line="L1", qty=1, placed=date(2027, 1, 4),
                 promised=date(2027, 3, 29))  # fmt: skip
    found = told(room(), *bought(), line, slow)
    assert "promised 12 weeks after ordering; the lead was given as 4" in found[
        "slower than its lead"].text  # fmt: skip
    undated = slow.model_copy(update={"promised": None})
    assert told(room(), *bought(), line, undated)["no promise"].ids == ("P1/L1",)


def test_drawn_and_bought():
    desk = PartClass(id="DESK", name="Desk", needed_by="A1", lead_weeks_high=F(4))
    parts = [Part(id="L1", room="1", part_class="DESK", qty=2, note="oak")]
    pieces = [Piece(id="T1", room="1", kind="desk"), Piece(id="T2", room="1", kind="organ")]
    found = told(room(), *bought(), desk, *parts, *pieces)
    assert found["piece not bought"].ids == ("T2",)
    assert found["not on the plan"].text == "L1 Desk (oak) is 1 of 2 drawn in 1."


def test_tape_against_plan():
    def reading(id, a, b, length):
        return Reading(id=id, room="1", from_corner=a, to_corner=b, length=F(length))

    sides = [reading("1", "A", "B", 120), reading("2", "B", "C", 90), reading("3", "C", "D", 120),
             reading("4", "D", "A", 90), reading("5", "A", "C", 150)]  # fmt: skip
    assert "tape against plan" not in told(room(), *sides)
    off = told(room(), *sides[:4], reading("5", "A", "C", 144))["tape against plan"]
    assert off.weight == "look"
    assert "corner A is out by" in off.text
    assert "If it is square, doubt A to C" in off.text
    twice = told(room(), *sides, reading("6", "B", "D", 150), reading("7", "A", "B", 123))
    assert twice["tape against plan"].ids == ("7",)
    assert "Another reading of A-B is 10'-0\"." in twice["tape against plan"].text
    assert twice["tape against plan"].do == "Set it aside, or tape A-B a third time."
    aside = reading("7", "A", "B", 123).model_copy(update={"aside": "yes"})
    assert "tape against plan" not in told(room(), *sides, reading("6", "B", "D", 150), aside)
    longer = [reading("1", "A", "B", 123), *sides[1:2], reading("3", "C", "D", 123), *sides[3:4],
              reading("5", "A", "C", F(1219, 8)), reading("6", "B", "D", F(1219, 8))]  # fmt: skip
    wall = told(room(), *longer)["tape against plan"]
    assert 'wall A is 3" longer, wall C is 3" longer' in wall.text
    few = told(room(), reading("1", "A", "B", 120))["tape against plan"]
    assert few.weight == "note"
    few = told(room(), reading("1", "A", "B", 126))["tape against plan"]
    assert (few.weight, "10'-6\" where 10'-0\" is drawn" in few.text) == ("look", True)


def test_sheets():
    sheet = Posting(id="1/tile/A", room="1", trade="tile", revision="A", posted=date(2027, 3, 1))
    later = Reading(id="r", room="1", from_corner="A", to_corner="B", length=F(120),
                    on=date(2027, 3, 20))  # fmt: skip
    noted = sheet.model_copy(update={"id": "1/tile/B", "revision": "B", "note": "drain moved"})
    found = told(room(), sheet, noted, later)
    assert found["two sheets at once"].ids == ("1/tile/A", "1/tile/B")
    assert "“drain moved”" in found["sheet noted as changed"].text
    assert found["measured since"].weight == "look"
    down = {"taken_down": date(2027, 3, 2)}
    assert check.passes(house(room(), sheet.model_copy(update=down), later))


def test_phones():
    work = Activity(id="A1", days_likely=F(1), trade="tile/builder", rooms=("all",))
    found = told(room(), work, Contact(id="builder", phone="555-0140"))
    assert found["no phone"].ids == ("tile",)


def test_demo_findings():
    answers = Answers(read_folder(example_path("tern-hollow")).facts, as_of=TODAY)
    found = answers.ask(check.check)
    assert [(f.check, f.room) for f in found if f.weight == "wrong"] == [
        ("sheet noted as changed", "102")
    ]
    looks = [(f.check, f.room, f.ids) for f in found if f.weight == "look"]
    readings = [ids for name, _, ids in looks if name == "tape against plan"]
    assert readings == [("101/B-C/1",), ("108/A-C/1",)]
    assert ("work does not go there", "207", ("L186",)) in looks  # no template is taken there
    assert ("measured since", "101", ("101/electrician/A",)) in looks
    assert all(f.text[0].isupper() and f.do for f in found)
    assert len(check.as_json(found)["findings"]) == len(found)


@pytest.mark.parametrize("seed", range(12))
def test_a_house_from_the_starter_has_nothing_wrong(seed):
    chance = random.Random(seed)
    asked = {q.id: chance.choice(q.choices) for q in starter.QUESTIONS if q.choices}
    files = starter.build(asked, date(2027, 3, 1))
    loaded = read_files({name: text.encode() for name, text in files.items()})
    assert loaded.warnings == ()
    answers = Answers(loaded.facts, as_of=date(2027, 3, 1))
    assert [f.text for f in answers.ask(check.check) if f.weight == "wrong"] == []
    assert answers.ask(counts.counts).disagreements == ()
