"""Commands on pieces: what they change, what they say, what they refuse and in which field."""

from fractions import Fraction

import pytest
from tests.job import a_house

from roomwright import commands
from roomwright.job.entities import Light, Piece
from roomwright.job.errors import ConflictError
from roomwright.job.store import Store


@pytest.fixture
def house(sqlite_store: Store) -> Store:
    a_house.build(sqlite_store)
    return sqlite_store


def run(store, name, **values):
    return commands.run(store, "test-house", commands.parse(name, values), who="Ana")


def piece(store, id="T1") -> Piece:
    return store.facts("test-house").get(Piece, id)


SAID = [
    ("move", {"piece": "T1", "dx": "-5"}, 'Dining table T1 moved 5" west, to 6\'-4", 7\'-0".'),
    (
        "move",
        {"piece": "T1", "dx": '2 1/2"', "dy": "-1'"},
        'Dining table T1 moved 2 1/2" east and 1\'-0" south, to 6\'-11 1/2", 6\'-0".',
    ),
    ("move", {"piece": "T1", "y": "2.5 m"}, "Dining table T1 moved 1'-2 7/16\" north, to"),
    ("move", {"piece": "T1", "x": 81}, "Dining table T1 stays where it is, at 6'-9\", 7'-0\"."),
    (
        "move",
        {"piece": "T1", "room": "102", "y": "20'"},
        "Dining table T1 now stands in 102 at 6'-9\", 20'-0\".",
    ),
    ("turn", {"piece": "T1", "by": 90}, "Dining table T1 turned 90° counterclockwise, to 90°."),
    ("turn", {"piece": "T1", "by": "-22.5"}, "turned 22 1/2° clockwise, to 337 1/2°."),
    ("turn", {"piece": "T1", "to": 360}, "Dining table T1 is turned 0° already."),
    (
        "resize",
        {"piece": "T1", "width": "6'", "depth": "42"},
        "Dining table T1 resized: width 6'-0\" (was 7'-0\").",
    ),
    ("resize", {"piece": "T1", "height": '30"'}, "Dining table T1 resized: height 2'-6\"."),
    ("resize", {"piece": "T1", "depth": "3'6"}, "Dining table T1 has that size already."),
    (
        "add piece",
        {"room": "101", "kind": "arm chair", "width": 24, "depth": 24},
        "Arm chair C2 put into 101 at 6'-9\", 6'-3\".",
    ),
    ("remove piece", {"piece": "T1"}, "Light C1: no longer centered on anything."),
    (
        "set use",
        {"piece": "T1", "side": "east", "use": "walk past"},
        "East side of dining table T1: people walk past, on your word.",
    ),
    (
        "describe",
        {"piece": "T1", "features": "legs pedestal;  leaf 18"},
        "Dining table T1: legs pedestal; leaf 18.",
    ),
    (
        "arrange",
        {"piece": "T1", "x": 76, "width": 80, "turn": 0},
        'Dining table T1: width 6\'-8" (was 7\'-0"), moved 5" west, to 6\'-4", 7\'-0".',
    ),
]


@pytest.mark.parametrize(("name", "values", "said"), SAID, ids=[s[2][:50] for s in SAID])
def test_says_what_was_done(house: Store, name, values, said):
    before = house.facts("test-house")
    if name == "add piece":  # a light has the id C1: ids of pieces go by pieces and fixed things
        a_house.write(house, a_house.new(Piece(id="C1", room="101", kind="chair")), "m0")
    done = run(house, name, **values)
    assert said in done.sentence
    last = house.last("test-house", 1)[0]
    if done.changes:
        assert (last.command, last.sentence, last.who) == (name, done.sentence, "Ana")
    else:
        assert house.facts("test-house") is before


def test_a_move_is_exact(house: Store):
    run(house, "move", piece="T1", dx="1/3")
    run(house, "move", piece="T1", dx="1/3")
    run(house, "move", piece="T1", dx="1/3")
    assert piece(house).x == 82


def test_a_removed_piece_frees_its_light_and_comes_back_with_undo(house: Store):
    run(house, "remove piece", piece="T1")
    assert house.facts("test-house").get(Light, "C1").centred_on is None
    house.undo("test-house", who="Ana", command_id="u1")
    assert house.facts("test-house").get(Light, "C1").centred_on == "T1"
    assert piece(house).width == 84


def test_a_use_is_given_back_to_the_routes(house: Store):
    run(house, "set use", piece="T1", side="east", use="rise")
    assert piece(house).uses == {"east": "rise"}
    run(house, "set use", piece="T1", side="east")
    assert piece(house).uses == {}


REFUSED = [
    ("move", {"piece": "T1"}, "x", "say where to (x, y) or how far (dx, dy)"),
    ("move", {"piece": "T1", "x": 3, "dx": 3}, "dx", "not both"),
    ("move", {"piece": "T9", "x": 3}, "piece", "there is no piece T9 here"),
    ("move", {"piece": "T1", "x": 3, "room": "9"}, "room", "there is no room 9 here"),
    ("move", {"piece": "T1", "x": "3 fathoms"}, "x", "“3 fathoms”"),
    ("move", {"piece": "T1", "x": "31/2"}, "x", "can be read two ways"),
    ("move", {"piece": "T1", "x": "1e400"}, "x", "exponent"),
    ("move", {"x": "3"}, "piece", "this is needed"),
    ("move", {"piece": "T1", "x": 3, "z": 3}, "z", "not known here"),
    ("move", {"piece": "", "x": 3}, "piece", "can't be empty"),
    ("move", {"piece": "T" * 81, "x": 3}, "piece", "at most 80 characters"),
    ("turn", {"piece": "T1"}, "to", "one of them"),
    ("turn", {"piece": "T1", "to": "1/0"}, "to", "“1/0” is not a number"),
    ("turn", {"piece": "T1", "to": "1e999999999"}, "to", "is not a number"),
    ("turn", {"piece": "T1", "to": "nan"}, "to", "is not a number"),
    ("resize", {"piece": "T1"}, "width", "say the new width, depth or height"),
    ("resize", {"piece": "T1", "width": "-3"}, "width", '-3" is no size'),
    ("resize", {"piece": "T1", "depth": "0"}, "depth", '0" is no size'),
    ("add piece", {"room": "101", "kind": ""}, "kind", "can't be empty"),
    ("add piece", {"room": "101", "kind": "bed", "x": 3}, "y", "give both x and y"),
    ("add piece", {"room": "101", "kind": "bed", "piece": "T1"}, "piece", "already"),
    ("add piece", {"room": "101", "kind": "bed", "line": "L9"}, "line", "no line L9"),
    ("describe", {"piece": "T1", "features": "golden legs"}, "features", "“golden legs”"),
    ("describe", {"piece": "T1", "features": "chaise left 36 x 90"}, "features", "deeper than"),
    ("set use", {"piece": "T1", "side": "up", "use": "rise"}, "side", "choose 'north'"),
    ("set use", {"piece": "T1", "side": "east", "use": "jump"}, "use", "'walk past'"),
    ("mvoe", {}, "command", "Did you mean move?"),
]


@pytest.mark.parametrize(
    ("name", "values", "field", "said"),
    REFUSED,
    ids=[f"{r[0]} {r[2]} {r[3][:20]}" for r in REFUSED],
)
def test_refused_with_the_field(house: Store, name, values, field, said):
    with pytest.raises(commands.BadCommandError) as caught:
        run(house, name, **values)
    assert [f for f, _ in caught.value.problems] == [field]
    assert said in str(caught.value)
    assert house.facts("test-house").sequence == 1


def test_every_bad_field_is_named_at_once():
    with pytest.raises(commands.BadCommandError) as caught:
        commands.parse("add piece", {"kind": "bed", "width": "x", "depth": "1,234"})
    assert [f for f, _ in caught.value.problems] == ["room", "width", "depth"]


def test_a_piece_without_a_place_is_placed_not_moved(house: Store):
    a_house.write(house, a_house.new(Piece(id="B1", room="101", kind="bed")), "m0")
    with pytest.raises(commands.BadCommandError, match="has no place yet"):
        run(house, "move", piece="B1", dx=3)
    assert run(house, "move", piece="B1", x=30, y=40).sentence == (
        "Bed B1 now stands at 2'-6\", 3'-4\"."
    )


def test_a_stale_drag_is_a_conflict(house: Store):
    seen = {("piece", "T1"): house.facts("test-house").version("piece", "T1")}
    move = commands.Move(piece="T1", x=Fraction(60))
    commands.run(house, "test-house", move, who="Ana", expect=seen)
    with pytest.raises(ConflictError, match=r"You saw x 6'-9\"; it is now 5'-0\"; you want"):
        commands.run(house, "test-house", commands.Move(piece="T1", x=70), who="Ben", expect=seen)


def test_the_same_command_id_does_it_once(house: Store):
    move = commands.Move(piece="T1", dx=5)
    first = commands.run(house, "test-house", move, who="Ana", command_id="phone-1")
    again = commands.run(house, "test-house", move, who="Ana", command_id="phone-1")
    assert (again.repeated, again.sentence) == (True, first.sentence)
    assert piece(house).x == 86
