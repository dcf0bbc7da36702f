"""Every line of the demo's answer key that is about rooms, from the house folder on."""

import json
from dataclasses import replace
from datetime import date
from fractions import Fraction

import pytest

from roomwright.answers.engine import Answers
from roomwright.answers.room_json import as_json
from roomwright.answers.rooms import figures_in_force, joined, needs, room_fit
from roomwright.exchange.folder import read_folder
from roomwright.exchange.samples import example_path
from roomwright.fit.model import Word
from roomwright.job import entities
from roomwright.job.facts import Change, MissingFactError

AS_OF = date(2027, 3, 29)


@pytest.fixture(scope="module")
def facts():
    return read_folder(example_path("tern-hollow")).facts


@pytest.fixture
def answers(facts):
    return Answers(facts, as_of=AS_OF)


def changed(answers, id_, kind=entities.Piece, **fields):
    before = answers.facts.get(kind, id_)
    after = before.model_copy(update=fields)
    return answers.supposing([Change(kind.kind_name, id_, before, after)])


def piece(answers, room, id_):
    return next(p for p in answers.ask(room_fit, room).pieces if p.piece.id == id_)


def sides(answers, room, id_):
    return {side.side: side for side in piece(answers, room, id_).sides}


def test_room_101(answers):
    table = sides(answers, "101", "T1")
    assert {name: side.clear for name, side in table.items()} == {
        "north": 45, "south": 45, "east": 39, "west": 39,
    }  # fmt: skip
    assert table["south"].binding == "sideboard S1"
    assert table["east"].verdict.by == 5
    assert piece(answers, "101", "T1").seats == 8
    (way,) = answers.ask(room_fit, "101").ways
    assert (way.from_, way.to, way.tightest) == ("O1", "O4", pytest.approx(39))
    assert {way.p[0], way.q[0]} == {123, 162}  # at the east end


def test_room_101_moved_five_inches_west(answers):
    moved = changed(answers, "T1", x=Fraction(76))
    table = sides(moved, "101", "T1")
    assert (table["east"].clear, table["west"].clear) == (44, 34)
    assert table["east"].margin == 0
    assert table["west"].margin == 2
    light = next(f for f in moved.ask(room_fit, "101").findings if f.kind == "light")
    assert 'move it 5" west and 9" north' in light.text


def test_room_101_with_the_leaf_in(answers):
    long = changed(answers, "T1", width=Fraction(102))
    ends = next(p for p in piece(long, "101", "T1").pairs if "east" in p.sides)
    assert (ends.clear, ends.needs, ends.margin) == (60, 76, -16)


def test_kitchen_aisles(answers):
    aisles = {f.ids: f for f in answers.ask(room_fit, "102").findings if f.kind == "aisle"}
    assert aisles["X5", "X1"].clear == 42
    assert aisles["X5", "X3"].clear == 42


def test_hall_bath(answers):
    front = sides(answers, "204", "V3")["north"]
    assert (front.clear, front.needs, front.margin) == (19.5, 21, -1.5)
    assert front.binding == "alcove tub V2"


def test_toilet_room(answers):
    front = sides(answers, "211", "M3")["north"]
    assert front.shut == 30
    assert front.clear == pytest.approx(6.375, abs=1 / 16)
    assert front.verdict.word is Word.SHORT


def test_laundry(answers):
    found = answers.ask(room_fit, "207")
    assert ("D12", "U1") in {f.ids for f in found.findings if f.kind == "door swing"}
    assert piece(answers, "207", "U1").verdict.word is Word.BLOCKED


def test_stair(answers):
    found = {f.kind: f for f in answers.ask(room_fit, "104").findings}
    assert found["stair riser"].by == pytest.approx(1 / 8)
    assert '7 7/8", last 7 3/8"' in found["stair riser"].text
    assert found["stair spread"].by == pytest.approx(1 / 8)
    assert found["stair headroom"].clear == 81.75


def test_joined_rooms_are_one_space(answers):
    assert answers.ask(joined, "103") == answers.ask(joined, "104") == ("103", "104")
    assert answers.ask(joined, "206b") == ("206", "206b")
    assert answers.ask(joined, "101") == ("101",)


def test_a_moved_piece_computes_its_own_room_only(answers):
    before = {r.id: answers.ask(room_fit, r.id) for r in answers.facts.all(entities.Room)}
    moved = changed(answers, "T1", x=Fraction(76))
    for room, fit in before.items():
        assert (moved.ask(room_fit, room) is fit) == (room != "101"), room


def test_kept_answers_equal_a_full_recompute(answers):
    for room in answers.facts.all(entities.Room):
        answers.ask(room_fit, room.id)
    moved = changed(answers, "V3", y=Fraction(563, 2))
    fresh = Answers(moved.facts, as_of=AS_OF)
    for room in answers.facts.all(entities.Room):
        assert moved.ask(room_fit, room.id) == fresh.ask(room_fit, room.id)
    assert sides(moved, "204", "V3")["north"].margin == -0.5


def test_overrides_of_a_house_and_of_a_room(answers):
    house = answers.facts.get(entities.House, "house")
    said = {"dining.walk_past": "48", "101:dining.walk_past": "3'-6"}
    other = changed(answers, "house", entities.House, overrides={**house.overrides, **said})
    assert other.ask(needs, "").get("dining.walk_past") == 48
    assert other.ask(needs, "101").get("dining.walk_past") == 42
    assert sides(other, "101", "T1")["east"].margin == -3
    cited = other.ask(figures_in_force, "101").get("dining.walk_past").cite()
    assert "chosen by the builder for room 101" in cited


def test_another_set_of_figures(answers):
    other = changed(answers, "house", entities.House, figures="HUD 1973")
    assert sides(other, "101", "T1")["east"].needs == 38


def test_the_builders_word_on_a_side(answers):
    said = changed(answers, "T1", uses={"east": "rise"})
    east = sides(said, "101", "T1")["east"]
    assert (east.use, east.overridden, east.margin) == ("rise", True, 7)


def test_a_piece_without_a_place(answers):
    fit = piece(changed(answers, "T1", x=None), "101", "T1")
    assert fit.verdict.word is Word.MEASURE


def test_rooms_said_to_be_open_that_do_not_meet(answers):
    opening = answers.facts.get(entities.Opening, "O1")
    far = opening.model_copy(update={"kind": "open", "to_room": "108"})
    other = answers.supposing([Change("opening", "O1", opening, far)])
    fit = other.ask(room_fit, "103")
    assert fit.findings[0].kind == "joined rooms"
    assert "do not meet" in fit.findings[0].text


def test_a_window_or_a_light_that_is_not_measured_says_so(answers):
    bare = changed(answers, "W10", entities.Window, sill=None, height=None)
    told = [f.text for f in bare.ask(room_fit, "201").findings if f.kind == "window"]
    assert told == [
        "Window W10: measure its height and its sill, then what stands before it is checked."
    ]
    dark = changed(answers, "C1", entities.Light, x=None, y=None)
    told = [f.text for f in dark.ask(room_fit, "101").findings if f.kind == "light"]
    assert told == ["The chandelier box C1 should hang over T1: measure where it is."]


@pytest.mark.parametrize(("hair", "margin"), [(Fraction(0), 0), (Fraction(1, 5000), -0.001)])
def test_a_margin_short_by_a_hair_stays_short_in_json(answers, hair, margin):
    moved = changed(answers, "T1", x=76 + hair)  # [C] at 76 the east end has just its 44
    (table,) = [p for p in as_json(moved.ask(room_fit, "101"))["pieces"] if p["piece"] == "T1"]
    (east,) = [side for side in table["sides"] if side["side"] == "east"]
    assert (east["verdict"], east["margin_in"]) == ("short" if hair else "tight", margin)


def test_an_unknown_room_is_said(answers):
    with pytest.raises(MissingFactError, match="no room '999'"):
        answers.ask(room_fit, "999")


def test_json_has_the_promised_fields(answers):
    cited = answers.ask(needs, "").source
    told = as_json(answers.ask(room_fit, "101"), cited)
    assert json.loads(json.dumps(told)) == told
    table = next(p for p in told["pieces"] if p["piece"] == "T1")
    east = next(s for s in table["sides"] if s["side"] == "east")
    wanted = {"side", "clear_in", "needs_in", "margin_in", "use", "binding", "figure"}
    assert wanted <= east.keys()
    assert (east["clear_in"], east["needs_in"], east["margin_in"]) == (39, 44, -5)
    assert (east["use"], east["figure"]) == ("walk past", "dining.walk_past")
    assert table["seats"] == 8
    assert isinstance(table["seats"], int)
    assert table["verdict"] == "short"
    (way,) = told["ways"]
    assert {"from", "to", "tightest_in", "at", "needs_in", "verdict"} <= way.keys()
    assert way["at"] == [[123, way["at"][0][1]], [162, way["at"][1][1]]] or way["at"][0][0] == 162
    assert "kitchen guideline 8" in told["figures"]["dining.walk_past"]
    assert table["cure"] == {"x": 76, "y": 84, "move_in": 5, "toward": "west"}


def test_every_room_of_the_demo_is_valid_json(answers):
    for room in answers.facts.all(entities.Room):
        told = as_json(answers.ask(room_fit, room.id), answers.ask(needs, "").source)
        json.dumps(told, allow_nan=False)


def test_answers_are_plain_frozen_values(answers):
    fit = answers.ask(room_fit, "101")
    assert replace(fit, room="x") != fit
    hash(fit.pieces[0].sides)
