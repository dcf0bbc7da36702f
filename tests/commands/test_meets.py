"""A door that led outside leads to the room that is drawn against its wall."""

from datetime import date

import pytest
from tests.commands.test_sketch import do

from roomwright import commands
from roomwright.job.entities import Opening
from roomwright.job.facts import Facts
from roomwright.job.store import Store


@pytest.fixture
def den():
    """A room 150 x 120 with a door in its east wall, out of it, and one in its north wall."""
    facts = do(Facts(), "begin house", name="Mine", on=date(2027, 1, 4))
    facts = do(facts, "first room", level="1", room="101", width="12' 6", depth="10'", name="Den")
    door = {"room": "101", "width": "32", "hand": "left"}
    facts = do(facts, "add opening", wall="B", from_corner="20", swings="out", **door)
    return do(facts, "add opening", wall="C", from_corner="20", **door)


def said(facts, name, /, **values):
    work = commands.parse(name, values).work(facts, lambda _: [])
    return work.sentence, facts.changed(work.changes)


@pytest.mark.parametrize("way", ["beside", "walls", "walls the other way"])
def test_the_door_joins_the_new_room_whichever_way_it_is_drawn(den, way):
    if way == "beside":
        sentence, facts = said(den, "add room", room="102", name="Hall", beside="101", side="east",
                               width="9'", depth="10'")  # fmt: skip
    else:
        run = {"walls": "9' east, 10' north, 9' west, close",
               "walls the other way": "10' north, 9' east, 10' south, close"}[way]  # fmt: skip
        sentence, facts = said(den, "draw room", level="1", room="102", name="Hall", walls=run,
                               start="101 B, 4 1/2 east")  # fmt: skip
    assert sentence.endswith("D1 leads to Hall now, no longer outside.")
    door = facts.get(Opening, "D1")
    assert (door.from_room, door.to_room, door.swings_into) == ("101", "102", "102")
    assert door.hinge is not None
    assert (door.hinge[0], door.a[0]) == (154.5, 150), "flush with the room that it swings into"
    assert door.hinge[1] in (door.a[1], door.b[1])
    assert facts.get(Opening, "D2") == den.get(Opening, "D2")


def test_a_room_that_is_not_behind_the_door_is_not_joined(den):
    far = {"room": "102", "beside": "101", "side": "east", "width": "9'", "depth": "10'"}
    assert said(den, "add room", wall="25", **far)[1].get(Opening, "D1").to_room == "out"
    assert said(den, "add room", along="60", **far)[1].get(Opening, "D1").to_room == "out"
    walls = "9' east, 10' north, 9' west, close"
    upstairs = {"level": "2", "room": "201", "walls": walls, "start": "101 B, 4 1/2 east"}
    other, _ = said(den, "draw room", **upstairs)
    assert "leads to" not in other


def test_one_undo_takes_the_room_and_the_way_to_it_back(tmp_path, den):
    with Store(f"sqlite:///{tmp_path / 'h.db'}") as store:
        store.create("mine", "Mine")
        commands.run(store, "mine", commands.Load(facts=tuple(den)), who="t", command_id="1")
        command = commands.parse(
            "add room",
            {"room": "102", "beside": "101", "side": "east", "width": "9'", "depth": "10'"},
        )
        done = commands.run(store, "mine", command, who="t", command_id="2")
        assert store.facts("mine").get(Opening, "D1").to_room == "102"
        store.undo("mine", done.sequence, who="t", command_id="3")
        assert store.facts("mine").get(Opening, "D1") == den.get(Opening, "D1")


def test_a_door_drawn_out_of_a_room_hangs_on_the_far_face(den):
    beside = {"room": "102", "beside": "101", "side": "west", "width": "9'", "depth": "10'"}
    _, facts = said(den, "add room", **beside)
    door = {"room": "101", "wall": "D", "from_corner": "20", "width": "32", "hand": "left"}
    _, out = said(facts, "add opening", swings="out", **door)
    _, into = said(facts, "add opening", swings="in", **door)
    assert out.get(Opening, "D3").hinge[0] == -4.5
    assert into.get(Opening, "D3").hinge[0] == 0
    _, turned = said(out, "edit opening", opening="D3", swings="in")
    assert turned.get(Opening, "D3").hinge[0] == 0
