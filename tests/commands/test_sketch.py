"""Walls in words, the compass rule, and commands on walls, openings, windows and things."""

from datetime import date
from fractions import Fraction

import pytest

from roomwright import commands, shape
from roomwright.answers.sketch import chain, spread_over
from roomwright.answers.sketch_run import RunError, parse_run
from roomwright.commands import BadCommandError
from roomwright.job.entities import (
    Backdrop,
    Fixed,
    House,
    Opening,
    Piece,
    Reading,
    Room,
    Sketch,
    Wall,
    Window,
)
from roomwright.job.facts import Facts
from roomwright.job.rules import check

F = Fraction


def do(facts, name, /, **values):
    """Run a command on facts, holding the result against every rule."""
    changes = commands.parse(name, values).changes(facts)
    after = facts.changed(changes)
    assert check(after, changes) == []
    return after


def refused(facts, name, field, words, /, **values):
    with pytest.raises(BadCommandError) as no:
        commands.parse(name, values).changes(facts)
    assert field in [f for f, _ in no.value.problems]
    assert words in str(no.value)


@pytest.fixture
def house():
    facts = do(Facts(), "begin house", name="Mine", on=date(2027, 1, 4))
    facts = do(facts, "first room", level="1", room="101", width="12' 6", depth="10'", name="Den")
    return do(facts, "add room", room="102", beside="101", side="east", width="9'", depth="10'")


# ------------------------------------------------------------------------------------------- words


@pytest.mark.parametrize(
    ("text", "lengths", "headings"),
    [
        ("12 4 1/2 east, 9 south", ["297/2", "108"], [0, 270]),
        ("148 1/2 e; 9 s\n148 1/2 w", None, None),  # nine what?
        ("148 east, 9 south", ["148", "9"], [0, 270]),
        ("east 12' 4, then 9\" left, 3' right", ["148", "9", "36"], [0, 90, 0]),
        ("twelve feet four and a half east, six feet north", ["297/2", "72"], [0, 90]),
        ("8' 2 at 30 degrees, left 45, 6'", ["98", "72"], [30, 75]),
        ("8' ne, 2' straight, 1' at 12.5°", ["96", "24", "12"], [45, 45, 12.5]),
        ("4.66 m west", None, None),
    ],
)
def test_walls_in_words(text, lengths, headings):
    if lengths is None:
        if "m west" in text:
            assert float(parse_run(text).steps[0].length) == pytest.approx(183.4646, abs=1e-3)
            return
        with pytest.raises(RunError, match="two ways"):
            parse_run(text)
        return
    run = parse_run(text)
    assert [step.length for step in run.steps] == [F(x) for x in lengths]
    assert [float(step.heading) for step in run.steps] == headings
    assert [s.length for s in parse_run(run.said).steps] == [s.length for s in run.steps]


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("12 feet", "which way"),
        ("12' east, 9' up", "say which way"),
        ("12' east, close, 9' north", "after close"),
        ("left, 9' east", "need a wall before"),
        ("0' east", "longer than nothing"),
        ("-5' east", "longer than nothing"),
        ("12' east, 9' left 200", "less than 180"),
        ("9 east, 9 north", "two ways"),
        ("," * 3000, "too many"),
        ("1' east," * 101, "more than"),
        ("\x00 east", "not part of a length"),
    ],
)
def test_walls_that_cannot_be_read_say_why(text, words):
    with pytest.raises(RunError, match=words):
        parse_run(text)


def test_compass_rule_on_a_published_traverse():
    """Four courses of 80.40, 46.30, 72.80, 68.00: latitudes close by .285, departures by -.311.

    The published corrections of latitude are .0857, .0493, .0776, .0724 (their sum, .285). The
    directions follow from the course's latitude and departure as printed.
    """
    lengths = [80.40, 46.30, 72.80, 68.00]
    lat, dep = [19.451, -37.457, -35.294, 53.585], [78.012, 27.214, -63.672, -41.865]
    corners = [(F(0), F(0))]
    for x, y in zip(dep, lat, strict=True):
        corners.append((corners[-1][0] + F(str(x)), corners[-1][1] + F(str(y))))
    gap = corners[-1]
    assert float(gap[1]) == pytest.approx(0.285, abs=1e-9)
    moved = spread_over(tuple(corners), gap)
    assert [float(v) for v in moved[-1]] == [0, 0]
    published = [0.0857, 0.0493, 0.0776, 0.0724]
    gone = 0.0
    for k, (length, correction) in enumerate(zip(lengths, published, strict=True), 1):
        gone += correction
        assert float(corners[k][1] - moved[k][1]) == pytest.approx(gone, abs=1 / 128 + 1e-3)
        assert length / sum(lengths) * 0.285 == pytest.approx(correction, abs=6e-5)


@pytest.mark.parametrize(
    ("walls", "closing", "size"),
    [
        ("12' east, 9' north, 12' west, 9' south", "exactly", 144 * 108),
        ("12' east, 9' north, 12' west, close", "by a wall", 144 * 108),
        ("12' east, 9' north, 12' west, 9' 0 1/2 south", "nearly", None),
        ("12' east, 9' north, close", "by a wall", 144 * 54),
        ("12' east, 9' north", "open", None),
        ("12' east, close", "too short", None),
        ("10' east, 10' left, 10' left, 10' left", "exactly", 14400),
        ("10' at 20 degrees, 10' left, 10' left, 10' left", "exactly", 14400),
    ],
)
def test_how_a_chain_closes(walls, closing, size):
    this = chain(parse_run(walls))
    assert this.closing in (closing, "nearly" if "20 degrees" in walls else closing)
    ring = this.ring(spread="20 degrees" in walls)
    if size is None:
        assert ring is None
    else:
        assert shape.signed_area([(float(x), float(y)) for x, y in ring]) == pytest.approx(
            size, abs=3
        )


def test_what_fails_to_close_is_said_before_it_is_spread(house):
    walls = "12' north, 9' east, 12' south, 9' 0 1/2 west"
    start = '102 D, 6" north'
    refused(house, "draw room", "walls", '1/2" west of its start', level="1", room="201",
            walls=walls, start=start)  # fmt: skip
    after = do(house, "draw room", level="1", room="201", walls=walls, start=start, spread="yes")
    assert len(after.get(Room, "201").outline) == 4


def test_an_open_chain_is_saved_and_becomes_a_room(house):
    after = do(house, "save sketch", level="2", walls="12' east, 9' north", name="Loft")
    assert after.get(Sketch, "S1").walls == "12' east, 9' north"
    after = do(after, "save sketch", level="2", walls="12' east, 9' north, 2' west", sketch="S1")
    after = do(after, "draw room", level="2", room="201", sketch="S1",
               walls="12' east, 9' north, 12' west, close")  # fmt: skip
    assert after.find(Sketch, "S1") is None
    assert after.get(Room, "201").level == "2"


def test_a_room_drawn_over_another_is_refused(house):
    values = {"level": "1", "room": "9", "walls": "12' east, 9' north, 12' west, close"}
    changes = commands.parse("draw room", values).changes(house)
    assert "lies over room" in check(house.changed(changes), changes)[0].message


# ------------------------------------------------------------------------------------------- walls


def test_a_wall_gets_another_length_and_what_is_in_it_goes_along(house):
    house = do(house, "add window", room="101", wall="C", from_corner="20", width="30")
    house = do(house, "add window", room="101", wall="D", from_corner="20", width="30")
    house = do(house, "add fixed", room="101", name="counter", width="60", depth="25",
               place="on wall C, 0 from corner C")  # fmt: skip
    after = do(house, "wall length", room="101", wall="B", length="9' 6")
    assert after.get(Room, "101").outline[2:] == ((F(150), F(114)), (F(0), F(114)))
    assert after.get(Window, "W1").a[1] == 114
    assert after.get(Window, "W2") == house.get(Window, "W2").model_copy(
        update={"a": (F(0), F(94)), "b": (F(0), F(64))}
    )
    assert max(y for _, y in after.get(Fixed, "C1").outline) == 114
    back = do(after, "wall length", room="101", wall="B", length="10'")
    assert back.get(Room, "101") == house.get(Room, "101")


def test_a_slanted_wall_moves_parallel():
    facts = do(Facts(), "begin house", name="Mine", on=date(2027, 1, 4))
    facts = do(facts, "draw room", level="1", room="1",
               walls="10' east, 8' north, 5' at 150 degrees, 6' west, close")  # fmt: skip
    after = do(facts, "wall length", room="1", wall="A", length="11'")
    was, now = facts.get(Room, "1").outline, after.get(Room, "1").outline
    assert now[1] == (F(132), F(0))
    assert now[2][0] == 132
    slope = [(r[3][1] - r[2][1]) / (r[3][0] - r[2][0]) for r in (was, now)]
    assert float(slope[0]) == pytest.approx(float(slope[1]), abs=1e-3)


def test_a_wall_is_split_and_joined_and_letters_follow(house):
    facts = house.changed(
        commands.parse(
            "record readings",
            {"room": "101", "text": "A to B 150; B to C 120; C to D 150; D to A 120; A to C 192",
             "on": "2027-01-05", "face": "finished"},
        ).changes(house)
    )  # fmt: skip
    facts = do(facts, "set wall", room="101", wall="B", board="1/2")
    split = do(facts, "add corner", room="101", wall="B", from_corner="40")
    assert split.get(Room, "101").outline[2] == (F(150), F(40))
    pairs = {(r.from_corner, r.to_corner) for r in split.all(Reading)}
    assert pairs == {("A", "B"), ("B", "D"), ("D", "E"), ("E", "A"), ("A", "D")}
    assert {w.id for w in split.all(Wall)} == {"101/B-C", "101/C-D"}
    moved = do(split, "move corner", room="101", corner="C", by='2" west')
    assert moved.get(Room, "101").outline[2] == (F(148), F(40))
    back = do(split, "remove corner", room="101", corner="C")
    assert back.get(Room, "101").outline == facts.get(Room, "101").outline
    assert {(r.from_corner, r.to_corner) for r in back.all(Reading)} == {
        (r.from_corner, r.to_corner) for r in facts.all(Reading)
    }


@pytest.mark.parametrize(
    ("name", "field", "words", "values"),
    [
        ("wall length", "wall", "A to D", {"room": "101", "wall": "Q", "length": "9'"}),
        ("wall length", "length", "longer", {"room": "101", "wall": "A", "length": "0"}),
        ("move corner", "by", "which way", {"room": "101", "corner": "A", "by": "9'"}),
        ("add corner", "from_corner", "not within", {"room": "101", "wall": "A",
                                                     "from_corner": "400"}),
        ("edit room", "build_up", "how thick", {"room": "101", "floor": "slate"}),
        ("put", "place", "in a wall", {"room": "101", "kind": "bed", "width": "60", "depth": "80",
                                       "place": "1 from the north wall, 100 from the east wall"}),
        ("put", "place", "not understood", {"room": "101", "kind": "bed", "width": "60",
                                            "depth": "80", "place": "somewhere"}),
        ("add window", "width", "past the end", {"room": "101", "wall": "A", "from_corner": "140",
                                                 "width": "36"}),
        ("choose figures", "figures", "", {"figures": "nobody's"}),
        ("set figure", "key", "", {"key": "no such", "value": "3"}),
        ("set points", "level", "no backdrop", {"level": "1", "ax": "0", "ay": "0", "bx": "9",
                                                "by": "9", "distance": "9'"}),
    ],
)  # fmt: skip
def test_what_cannot_be_says_why(house, name, field, words, values):
    refused(house, name, field, words, **values)


# ------------------------------------------------------------------------------ what stands in it


def test_openings_are_moved_changed_and_taken_out(house):
    house = do(house, "add opening", room="101", wall="B", from_corner="20", width="32",
               hand="left")  # fmt: skip
    assert house.get(Opening, "D1").to_room == "102"
    moved = do(house, "edit opening", opening="D1", from_corner="C 10")
    assert {moved.get(Opening, "D1").a, moved.get(Opening, "D1").b} == {
        (F(150), F(110)), (F(150), F(78))}  # fmt: skip
    wide = do(house, "edit opening", opening="D1", width="36", hand="right")
    was, now = house.get(Opening, "D1"), wide.get(Opening, "D1")
    assert (was.hinge, now.hinge) in (((was.a), (now.b)), ((was.b), (now.a)))
    same = commands.parse("edit opening", {"opening": "D1"}).changes(house)
    assert same == []
    refused(do(house, "add window", room="101", wall="B", from_corner="60", width="30"),
            "edit opening", "from_corner", "lies over window W1", opening="D1",
            from_corner="50")  # fmt: skip
    assert do(house, "remove opening", opening="D1").find(Opening, "D1") is None


def test_things_are_placed_in_words(house):
    house = do(house, "put", room="101", kind="dining table", width="60", depth="36",
               place="36 from the north wall, 12 from the east wall")  # fmt: skip
    table = house.get(Piece, "T1")
    assert (table.x, table.y) == (F(150) - 12 - 30, F(120) - 36 - 18)
    house = do(house, "place", thing="piece", id="T1", place="on wall D, 10 from corner D")
    assert (house.get(Piece, "T1").turn, house.get(Piece, "T1").x) == (F(270), F(18))
    house = do(house, "place", thing="piece", id="T1", x="75", y="60")
    house = do(house, "add light", room="101", kind="pendant", centred_on="T1",
               place="60 from the south wall, 75 from the west wall")  # fmt: skip
    house = do(house, "add fixed", room="101", name="hearth", outline="40 east, 16 north, 40 west, "
               "close", start="A, 20 east")  # fmt: skip
    assert house.get(Fixed, "H1").outline[0] == (F(20), F(0))
    after = do(house, "remove piece", piece="T1")
    after = do(after, "remove fixed", fixed="H1")
    assert after.find(Fixed, "H1") is None


def test_an_l_shaped_room_asks_which_north_wall():
    facts = do(Facts(), "begin house", name="Mine", on=date(2027, 1, 4))
    facts = do(facts, "draw room", level="1", room="1",
               walls="20' east, 10' north, 8' west, 6' north, 12' west, close")  # fmt: skip
    place = "12 from the north wall, 12 from the west wall"
    after = do(facts, "put", room="1", kind="desk", width="60", depth="30", place=place)
    assert after.get(Piece, "D1").y == 192 - 12 - 15
    place = "12 from wall C, 12 from the east wall"
    after = do(facts, "put", room="1", kind="desk", width="60", depth="30", place=place)
    assert after.get(Piece, "D1").y == 120 - 12 - 15


def test_a_room_goes_with_what_belongs_to_it_once_that_was_seen(house):
    house = do(house, "add opening", room="101", wall="B", from_corner="20", width="32",
               hand="left")  # fmt: skip
    house = do(house, "put", room="101", kind="desk", width="60", depth="30")
    refused(house, "remove room", "agreed", "desk D1", room="101")
    after = do(house, "remove room", room="101", agreed="yes")
    assert after.find(Room, "101") is None
    door = after.get(Opening, "D1")
    assert (door.from_room, door.to_room) == ("102", "out")
    assert after.find(Piece, "D1") is None


def test_figures_and_facts_of_a_room_are_changed(house):
    after = do(house, "choose figures", figures="accessible")
    assert after.get(House, "house").figures == "accessible"
    after = do(house, "set figure", key="dining.rise", value="30", room="101")
    assert after.get(House, "house").overrides == {"101:dining.rise": "30"}
    assert do(after, "set figure", key="dining.rise", room="101").get(
        House, "house").overrides == {}  # fmt: skip
    after = do(house, "edit room", room="101", name="Study", ceiling="8'", floor="oak",
               build_up="3/4")  # fmt: skip
    assert (after.get(Room, "101").name, after.get(Room, "101").floor) == ("Study", "oak")


def test_a_backdrop_gets_its_scale(house):
    sha = "0" * 64
    house = do(house, "lay backdrop", level="1", picture=sha, wide="1000", high="800")
    after = do(house, "set points", level="1", ax="100", ay="700", bx="501", by="690",
               distance="10'", at="101 A")  # fmt: skip
    assert after.get(Backdrop, "1").runs == 0
    refused(house, "set points", "bx", "too near", level="1", ax="1", ay="1", bx="2", by="2",
            distance="9'")  # fmt: skip
    refused(house, "set points", "by", "off the picture", level="1", ax="1", ay="1", bx="2",
            by="900", distance="9'")  # fmt: skip
    for huge in ("1e999999999", "1/0", "nan", "12345.5"):
        refused(house, "set points", "runs", "degrees", level="1", ax="1", ay="1", bx="99",
                by="1", distance="9'", runs=huge)  # fmt: skip


@pytest.mark.parametrize(
    ("name", "values", "words"),
    [
        ("edit room", {"room": "101", "name": "Study"}, "name “Study” (was “Den”)."),
        ("edit room", {"room": "101", "ceiling": "8'"}, "ceiling 8'-0\" (was not said)."),
        ("set figure", {"key": "dining.rise", "value": "34"}, "34, your own (was 30)."),
        ("set figure", {"key": "dining.rise"}, "as the set says (was 30)."),
        ("edit window", {"window": "W1", "sill": "30"}, "sill was 2'-0\", is now 2'-6\"."),
        ("place", {"thing": "piece", "id": "T1", "x": "60", "y": "50"},
         "(center was 6'-3\", 5'-0\", is now 5'-0\", 4'-2\")."),
    ],
)  # fmt: skip
def test_what_is_changed_says_what_it_was_and_what_it_is_now(house, name, values, words):
    facts = do(house, "add window", room="101", wall="D", from_corner="30", width="36", sill="24")
    facts = do(facts, "put", room="101", kind="dining table", width="60", depth="36")
    facts = do(facts, "set figure", key="dining.rise", value="30")
    assert commands.parse(name, values).work(facts, lambda _: []).sentence.endswith(words)
