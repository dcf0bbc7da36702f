"""Walk paths through the demo house: routes by hand, habits on the builder's word, JSON, text."""

import math

import pytest
from tests.answers.demo_house import answers
from typer.testing import CliRunner

from roomwright.answers.house_graph import graph, main
from roomwright.answers.rooms import room_fit
from roomwright.answers.walk_paths import WalkPaths, walk_path, walk_paths
from roomwright.answers.walk_paths_json import as_json
from roomwright.cli.app import app
from roomwright.commands import parse
from roomwright.commands.base import BadCommandError
from roomwright.fit.model import Word
from roomwright.job.entities import Piece, Room, Walk
from roomwright.job.facts import MissingFactError

DEMO = "examples/tern-hollow"


def by_ends(found):
    return {(p.from_room, p.to_room): p for p in found.paths}


def test_who_walks_where_in_the_demo():
    found = by_ends(answers().ask(walk_paths))
    assert found["201", "204"].openings == ("D7", "D10")  # [C] by the plan
    assert found["201", "204"].rooms == ("201", "206", "206b", "204")
    assert found["208", "209"].openings == ("D14",)
    assert found["103", "102"].openings == ("O3",)
    assert found["107", "102"].openings == ("D3",)
    assert found["201", "out"].openings == ("D7", "D1")  # down the stair
    assert {s.level for s in found["201", "out"].stretches} == {"1", "2"}
    assert found["201", "204"].tightest.width == 28  # its last door
    assert ("201", "203") not in found  # through somebody else's bedroom
    laundry = {p.verdict.word for ends, p in found.items() if ends[1] == "207"}
    assert laundry == {Word.BLOCKED}  # the washer stands before D12
    washer = found["201", "207"]
    assert (washer.tightest.between, washer.tightest.width) == (("washer U1", "jamb of D12"), 0)
    rest = [p for ends, p in found.items() if ends[1] != "207"]
    assert all(p.verdict.word is Word.FITS for p in rest)


def test_a_piece_in_the_way_makes_the_path_short_and_names_the_place():
    chest = Piece(id="C9", room="103", kind="chest", width=30, depth=20, height=34, x=204, y=60)
    found = by_ends(answers(chest).ask(walk_paths))
    path = found["103", "102"]
    wide = math.hypot(243 - 219, 82 - 70)  # [C] from the chest to the first treads, aslant
    assert path.tightest.width == pytest.approx(wide)
    assert path.verdict.word is Word.SHORT
    assert path.verdict.by == pytest.approx(36 - wide)
    assert path.verdict.text.startswith("in 103, short")
    assert found["201", "204"].verdict.word is Word.FITS


def test_where_no_path_leads_the_answer_says_so():
    shed = Room(id="301", level="1", outline=((900, 0), (1000, 0), (1000, 90), (900, 90)))
    path = answers(shed).ask(walk_path, "301", "103")
    assert (path.verdict.word, path.tightest, path.openings) == (Word.MEASURE, None, ())
    assert "no walk path leads from 301 to 103 without going outside" in path.verdict.text
    told = as_json(WalkPaths((path,), ()))["paths"][0]
    assert (told["length_in"], told["tightest"], told["lines"]) == (None, None, [])
    with pytest.raises(ValueError, match="from one room to another"):
        answers().ask(walk_path, "103", "103")


def test_routes_and_main_ways_do_not_follow_furniture():
    chest = Piece(id="C9", room="103", kind="chest", width=30, depth=20, height=34, x=204, y=60)
    assert answers(chest).ask(main) == answers().ask(main)
    assert answers(chest).ask(graph) == answers().ask(graph)


def test_the_use_of_a_room_makes_its_paths_main():
    before = {(w.from_, w.to): w.figure for w in answers().ask(room_fit, "108").ways}
    assert before["D6", "O2"] == "walkway.other"
    walk = Walk(id="study > outside", from_use="study", to_use="outside")
    after = {(w.from_, w.to): w.figure for w in answers(walk).ask(room_fit, "108").ways}
    assert after["D6", "O2"] == "walkway.main"


def test_a_room_of_another_use():
    room = answers().facts.get(Room, "109")
    guest = room.model_copy(update={"use": "bedroom"})
    found = by_ends(answers(guest).ask(walk_paths))
    assert found["109", "out"].openings == ("D6", "O2", "D1")


def test_the_path_between_two_rooms_and_what_cannot_be():
    a = answers()
    path = a.ask(walk_path, "101", "211")
    assert path.openings[-1] == "D15"
    assert path.tightest.width == 24
    with pytest.raises(MissingFactError):
        a.ask(walk_path, "101", "999")
    with pytest.raises(ValueError, match="from one room to another"):
        a.ask(walk_path, "101", "101")


def test_saying_how_people_walk():
    a = answers()
    command = parse("say how people walk", {"from_use": "Kitchen", "to_use": "dining room",
                                            "standing": "other"})  # fmt: skip
    (change,) = command.changes(a.facts)
    assert (change.after.id, change.after.standing) == ("kitchen > dining", "other")
    said = a.supposing([change])
    habit = next(h for h in said.ask(walk_paths).habits if h.said)
    assert habit.standing == "other"
    again = parse("say how people walk", {"from_use": "dining", "to_use": "kitchen"})
    (back,) = again.changes(said.facts)
    assert back.after is None
    assert "main by common practice again" in again.work(said.facts, lambda _: []).sentence
    with pytest.raises(BadCommandError, match="no use that is known"):
        parse("say how people walk", {"from_use": "moat", "to_use": "kitchen"}).changes(a.facts)
    with pytest.raises(BadCommandError, match="name two"):
        parse("say how people walk", {"from_use": "hall bath", "to_use": "bath"}).changes(a.facts)


def test_json_and_text():
    found = answers().ask(walk_paths)
    told = as_json(found)
    assert len(told["paths"]) == len(found.paths)
    assert {p["standing"] for p in told["paths"]} == {"main", "other"}
    run = CliRunner()
    one = run.invoke(app, ["paths", DEMO, "--from", "201", "--to", "out"])
    assert one.exit_code == 0
    assert "D7, D1" in one.stdout
    assert run.invoke(app, ["paths", DEMO, "--from", "101", "--to", "101"]).exit_code == 2
    assert run.invoke(app, ["paths", DEMO, "--from", "999"]).exit_code == 2
