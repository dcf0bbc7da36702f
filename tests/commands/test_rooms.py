"""A room of one's own and rooms beside a neighbor: where walls, openings and hinges end up."""

from datetime import date
from fractions import Fraction

import pytest

from roomwright import commands
from roomwright.answers.live import Live
from roomwright.answers.rooms import room_fit
from roomwright.job.entities import House, Opening, Piece, Room
from roomwright.job.store import Store

TRY = {"width": "13' 6", "depth": "12' 6", "on": "2027-03-29"}
TABLE = {"width": 84, "depth": 42}


def run(store, name, /, **values):
    return commands.run(store, "mine", commands.parse(name, values), who="Ana")


@pytest.fixture
def store(sqlite_store: Store) -> Store:
    sqlite_store.create("mine", "Mine")
    return sqlite_store


def opening(store, id) -> Opening:
    return store.facts("mine").get(Opening, id)


def test_a_room_of_ones_own(store: Store):
    door = {"wall": "A", "from_corner": "24", "width": "36", "hand": "left"}
    done = run(store, "try a room", **TRY, name="Dining", openings=[door], table=TABLE)
    assert done.sentence == (
        "Dining: a room 13'-6\" x 12'-6\" with 1 opening and a dining table 7'-0\" x 3'-6\"."
    )
    facts = store.facts("mine")
    assert facts.get(House, "house").site_start == date(2027, 3, 29)
    assert facts.get(Room, "1").outline == ((0, 0), (162, 0), (162, 150), (0, 150))
    table = facts.get(Piece, "T1")
    assert (table.x, table.y, table.width, table.depth) == (81, 75, 84, 42)


WALLS = [
    # wall, from_corner, ends of a 30 in opening in a 162 x 150 room
    ("A", "24", ((24, 0), (54, 0))),
    ("B", "24", ((162, 24), (162, 54))),
    ("C", "24", ((138, 150), (108, 150))),
    ("D", "2'", ((0, 126), (0, 96))),
    ("a", "B 24", ((108, 0), (138, 0))),
    ("D", "A 24", ((0, 54), (0, 24))),
]


@pytest.mark.parametrize(("wall", "corner", "ends"), WALLS)
def test_an_opening_stands_where_the_tape_says(store: Store, wall, corner, ends):
    one = {"wall": wall, "from_corner": corner, "width": 30, "kind": "cased"}
    run(store, "try a room", **TRY, openings=[one])
    made = opening(store, "O1")
    assert {made.a, made.b} == set(ends)
    assert (made.from_room, made.to_room) == ("1", "out")


HANDS = [
    # hand, swings, hinge in wall A from 24 to 54, swings into
    # one pushes into the room facing north: the left is west
    ("left", "in", (24, 0), "1"),
    ("right", "in", (54, 0), "1"),
    # one pushes out of the room facing south: the left is east
    ("left", "out", (54, 0), "out"),
    ("RH", "out", (24, 0), "out"),
]


@pytest.mark.parametrize(("hand", "swings", "hinge", "into"), HANDS)
def test_a_hand_is_told_from_where_one_pushes(store: Store, hand, swings, hinge, into):
    door = {"wall": "A", "from_corner": "24", "width": 30, "hand": hand, "swings": swings}
    run(store, "try a room", **TRY, openings=[door])
    made = opening(store, "D1")
    assert (made.hinge, made.swings_into) == (hinge, into)


BAD_ROOMS = [
    ({"width": "0"}, "width", "is no size"),
    ({"depth": "-3'"}, "depth", "is no size"),
    ({"on": "soon"}, "on", "type a date like"),
    ({"openings": [{"wall": "E", "from_corner": 1, "width": 30}]}, "openings.0.from_corner", ""),
    ({"openings": [{"wall": "A", "from_corner": "1", "width": 30}]}, "openings.0.hand", "left or"),
    (
        {"openings": [{"wall": "A", "from_corner": "140", "width": 30, "hand": "left"}]},
        "openings.0.width", "past the end of wall A",
    ),
    (
        {"openings": [{"wall": "A", "from_corner": "C 3", "width": 30, "hand": "left"}]},
        "openings.0.from_corner", "no corner C",
    ),
    (
        {"openings": [{"wall": "A", "from_corner": "9", "width": 30, "kind": "cased"},
                      {"wall": "A", "from_corner": "30", "width": 30, "kind": "cased"}]},
        "openings.1.from_corner", "over opening O1",
    ),
    ({"table": {"width": 0, "depth": 40}}, "table.width", "is no size"),
    ({"table": {"width": "wide", "depth": 40}}, "table.width", "not part of a length"),
    ({"table": {"width": 9, "depth": 40, "x": 3}}, "table.y", "give both"),
]  # fmt: skip


@pytest.mark.parametrize(("values", "field", "said"), BAD_ROOMS, ids=[b[1] for b in BAD_ROOMS])
def test_a_bad_room_is_refused_with_the_field(store: Store, values, field, said):
    openings = values.get("openings", [])
    for one in openings:
        one["from_corner"] = str(one["from_corner"])
    with pytest.raises(commands.BadCommandError) as caught:
        run(store, "try a room", **{**TRY, **values})
    assert field in [f for f, _ in caught.value.problems]
    assert said in str(caught.value)
    assert len(store.facts("mine")) == 0


def test_two_openings_that_meet_in_a_corner_are_fine(store: Store):
    openings = [
        {"wall": "A", "from_corner": "B 0", "width": 30, "kind": "cased"},
        {"wall": "B", "from_corner": "0", "width": 30, "kind": "cased"},
    ]
    assert len(run(store, "try a room", **TRY, openings=openings).changes) == 4


def test_a_tried_room_has_a_verdict_at_once(store: Store):
    openings = [
        {"wall": "A", "from_corner": "20", "width": 36, "hand": "left"},
        {"wall": "C", "from_corner": "20", "width": 36, "kind": "cased"},
    ]
    run(store, "try a room", **TRY, openings=openings, table=TABLE)
    fit = Live(store, today=lambda: date(2027, 3, 29)).answers("mine").ask(room_fit, "1")
    assert [p.piece.id for p in fit.pieces] == ["T1"]


SIDES = [
    ("north", (0, Fraction("154.5"))),
    ("south", (0, Fraction("-104.5"))),
    ("east", (Fraction("166.5"), 0)),
    ("west", (Fraction("-124.5"), 0)),
]


@pytest.mark.parametrize(("side", "corner"), SIDES)
def test_a_room_beside_its_neighbor(store: Store, side, corner):
    run(store, "try a room", **TRY, ceiling="9'")
    done = run(store, "add room", room="2", name="Den", beside="1", side=side,
               width=120, depth=100)  # fmt: skip
    room = store.facts("mine").get(Room, "2")
    assert room.outline[0] == corner
    assert (room.level, room.ceiling) == ("1", 108)
    assert done.sentence == (
        f'Room 2, Den, added {side} of 1: 10\'-0" x 8\'-4", behind a wall of 4 1/2".'
    )


def test_a_room_is_shifted_along_the_wall(store: Store):
    run(store, "try a room", **TRY)
    run(store, "add room", room="2", beside="1", side="north", width=60, depth=60, along="2'",
        wall="6 1/2")  # fmt: skip
    assert store.facts("mine").get(Room, "2").outline[0] == (24, Fraction("156.5"))


@pytest.mark.parametrize(
    ("values", "said"),
    [
        ({"room": "1"}, "there is a room 1 already"),
        ({"room": "a,b"}, "leave out the ,"),
        ({"room": "out"}, "means more here"),
        ({"beside": "9"}, "there is no room 9"),
        ({"wall": "-1"}, "0 or more"),
        ({"width": "0"}, "is no size"),
        ({"side": "up"}, "choose 'north'"),
    ],
)
def test_a_bad_neighbor_is_refused(store: Store, values, said):
    run(store, "try a room", **TRY)
    good = {"room": "2", "beside": "1", "side": "east", "width": 60, "depth": 60}
    with pytest.raises(commands.BadCommandError, match=said):
        run(store, "add room", **{**good, **values})


def test_rooms_added_over_each_other_are_refused(store: Store):
    run(store, "try a room", **TRY)
    run(store, "add room", room="2", beside="1", side="east", width=60, depth=60)
    with pytest.raises(commands.base.StoreError, match="Room 3 lies over room 2"):
        run(store, "add room", room="3", beside="1", side="east", width=60, depth=60)


def test_a_house_that_has_rooms_is_not_tried_or_started_over(store: Store):
    run(store, "try a room", **TRY)
    with pytest.raises(commands.BadCommandError, match="has rooms already"):
        run(store, "try a room", **TRY)
    with pytest.raises(commands.BadCommandError, match="started already"):
        run(store, "start house", answers={})


# --- an opening in a room that stands ------------------------------------------------------------


@pytest.fixture
def two(store: Store) -> Store:
    """A room and a pantry north of it, behind a wall of 4 1/2; both without a door."""
    run(store, "try a room", **TRY)
    run(
        store, "add room", room="2", name="Pantry", beside="1", side="north", width="60", depth="74"
    )
    return store


def test_a_door_leads_to_the_room_behind_its_wall(two: Store):
    done = run(two, "add opening", room="2", wall="A", from_corner="12", width="30", hand="left")
    assert done.sentence == "Door D1, 2'-6\", put into wall A of Pantry, to A room of my own."
    made = opening(two, "D1")
    assert (made.from_room, made.to_room, made.swings_into) == ("2", "1", "2")
    assert {tuple(map(float, p)) for p in (made.a, made.b)} == {(12.0, 154.5), (42.0, 154.5)}
    fit = Live(two).answers("mine").ask(room_fit, "2")
    assert not [f for f in fit.findings if "has no opening" in f.text]


def test_a_door_that_swings_out_swings_into_what_is_there(two: Store):
    asked = {"room": "2", "wall": "A", "from_corner": "12", "width": "30", "hand": "right"}
    run(two, "add opening", **asked, swings="out")
    assert opening(two, "D1").swings_into == "1"
    run(two, "add opening", **{**asked, "wall": "C"}, swings="out")
    made = opening(two, "D2")
    assert (made.to_room, made.swings_into) == ("out", "out")


@pytest.mark.parametrize(
    ("given", "field"),
    [
        ({"room": "9"}, "room"),
        ({"wall": "Q"}, "from_corner"),
        ({"from_corner": "50"}, "width"),  # past the wall's end
        ({"width": "0"}, "width"),
        ({"hand": ""}, "hand"),
        ({"from_corner": "20"}, "from_corner"),  # over the door that is there
    ],
)
def test_an_opening_that_can_not_be_is_refused(two: Store, given, field):
    asked = {"room": "2", "wall": "A", "from_corner": "6", "width": "30", "hand": "left"}
    run(two, "add opening", **asked)
    with pytest.raises(commands.BadCommandError) as caught:
        run(two, "add opening", **{**asked, **given})
    assert [f for f, _ in caught.value.problems] == [field]


def test_the_same_door_from_the_other_side_is_refused(two: Store):
    run(two, "add opening", room="2", wall="A", from_corner="12", width="30", hand="left")
    with pytest.raises(commands.BadCommandError, match="lies over opening D1"):
        run(two, "add opening", room="1", wall="C", from_corner="D 12", width="30", hand="left")
