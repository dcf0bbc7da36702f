"""What spreadsheets and editors do to files is accepted: it means the same."""

import csv
import io
from datetime import date
from fractions import Fraction

import pytest
from tests.exchange.houses import GOOD, read, swap

from roomwright.exchange.folder import read_files
from roomwright.job.entities import Activity, Contact, House, Link, Opening, Order, Part, Room

PLAIN = list(read().facts)


def facts(**texts):
    return list(read(**texts).facts)


def semicolons(text: str) -> str:
    out = io.StringIO()
    csv.writer(out, delimiter=";").writerows(csv.reader(io.StringIO(text)))
    return out.getvalue()


@pytest.mark.parametrize("name", ["rooms", "parts", "links"])
@pytest.mark.parametrize(
    "habit",
    [
        lambda t: "\ufeff" + t,
        lambda t: ("\ufeff" + t).encode("utf-16-le"),
        lambda t: ("\ufeff" + t).encode("utf-16-be"),
        lambda t: t.encode("utf-16-le"),
        lambda t: t.replace("\n", "\r\n"),
        lambda t: t.replace("\n", "\r"),
        lambda t: t.rstrip("\n"),
        semicolons,
        lambda t: "sep=;\n" + semicolons(t),
        lambda t: semicolons(t).replace('"', "").replace(";", "\t"),
        lambda t: t.replace("\n", "  \n"),
        lambda t: t.replace("\n", ",,,\n"),
        lambda t: t.replace(",", ", "),
        lambda t: "# a comment, with a comma\n\n" + t.replace("\n", "\n\n#x\n,,\n", 1),
        lambda t: t.split("\n", 1)[0].upper().replace("_", " ") + " \n" + t.split("\n", 1)[1],
    ],
    ids=["mark", "utf-16-le", "utf-16-be", "utf-16 unmarked", "crlf", "cr", "no last end",
         "semicolons", "sep", "tabs", "trailing blanks", "empty columns", "blanks after commas",
         "comments and blank rows", "header in capitals"],
)  # fmt: skip
def test_habits_of_spreadsheets_change_nothing(name, habit):
    assert facts(**{name: habit(GOOD[f"{name}.csv"])}) == PLAIN


@pytest.mark.parametrize(
    "said", ["5'-0\"", '60"', "5'", "5 ft", "60.0", "60 in", "152.4 cm", "1524 mm", "5’-0”"]
)
def test_lengths_in_any_notation_of_the_tape(said):
    quoted = '"' + said.replace('"', '""') + '"'
    assert facts(**swap("pieces", "60,30,30", f"{quoted},30,30")) == PLAIN


@pytest.mark.parametrize(
    "said",
    ["2027-3-26", "2027/03/26", "20270326", "Mar 26 2027", '"March 26, 2027"', "26-Mar-2027",
     "26 Mar 2027", "3/26/2027", "26.03.2027", "2027-03-26 00:00:00"],
)  # fmt: skip
def test_dates_as_they_are_written(said):
    assert facts(**swap("receipts", "2027-03-26", said)) == PLAIN


def test_one_plain_date_tells_how_the_others_are_meant():
    rows = "order,line,qty,placed,promised\nP1,L1,2,3/4/2027,3/25/2027\n"
    order = read(orders=rows).facts.all(Order)[0]
    assert (order.placed, order.promised) == (date(2027, 3, 4), date(2027, 3, 25))


def test_numbers_as_they_are_written():
    for said in ("2.0", "2", " 2 ", '"2,0"'):
        assert facts(**swap("parts", "DESK,2", f"DESK,{said}")) == PLAIN
    activity = read(**swap("activities", "make,1,2,3", "make,1,2 1/2,3½")).facts.get(Activity, "A2")
    assert (activity.days_likely, activity.days_high) == (Fraction(5, 2), Fraction(7, 2))


def test_unknown_columns_and_keys_are_kept():
    loaded = read(
        **swap("parts", "qty,note\nL1,2,DESK,2,", "qty,note,Shop Color\nL1,2,DESK,2,,red"),
        **swap("house", "name", 'owner = "E. B."\nname'),
    )
    assert loaded.facts.get(Part, "L1").extra == {"Shop Color": "red"}
    assert loaded.facts.get(House, "house").extra == {"owner": "E. B."}
    assert len(loaded.warnings) == 2


def test_an_apostrophe_marks_plain_text():
    part = read(**swap("parts", "DESK,2,", "DESK,2,'=A1 says oak")).facts.get(Part, "L1")
    assert part.note == "=A1 says oak"


def test_only_house_and_rooms_are_needed():
    rooms = GOOD["rooms.csv"].replace(",oak", ",")
    loaded = read_files({"house.toml": GOOD["house.toml"].encode(), "rooms.csv": rooms.encode()})
    assert loaded.kinds == {"house", "room"}


def test_rooms_by_size_beside_a_neighbor():
    rooms = (
        "room,level,width,depth,beside\n"
        '3,1,60,50,"2 north, wall 6 1/2, along 1\'"\n2,1,90,80,1 East\n1,1,100,80,\n'
        "4,2,100,80,1 above\n5,1,40,40,1 west\n6,1,40,40,1 south\n"
    )
    bare = dict.fromkeys((), "")
    loaded = read_small(rooms, **bare)
    assert loaded.get(Room, "1").outline[0] == (0, 0)
    west, east = Fraction(209, 2), Fraction(389, 2)
    assert loaded.get(Room, "2").outline == ((west, 0), (east, 0), (east, 80), (west, 80))
    assert loaded.get(Room, "3").outline[0] == (Fraction(233, 2), Fraction(173, 2))
    assert loaded.get(Room, "4").outline[0] == (0, 0)
    assert loaded.get(Room, "5").outline[0] == (Fraction(-89, 2), 0)
    assert loaded.get(Room, "6").outline[0] == (0, Fraction(-89, 2))


def read_small(rooms: str):
    files = {"house.toml": GOOD["house.toml"], "rooms.csv": rooms}
    return read_files({n: t.encode() for n, t in files.items()}).facts


HEAD = "opening,from_room,to_room,kind,wall,from_corner,width,hinge,swings_into\n"


@pytest.mark.parametrize(
    ("row", "a", "b", "hinge"),
    [
        # wall B of room 1 runs north; pushing east into 2, the left hand is north
        ("D1,1,2,swing,B,20,32,left,2", (100, 20), (100, 52), (100, 52)),
        ("D1,1,2,swing,b,B 20,32,RH,2", (100, 20), (100, 52), (100, 20)),
        # into 1 one pushes west, and the left hand is south
        ("D1,1,2,swing,B,20,32,left hand,1", (100, 20), (100, 52), (100, 20)),
        ("D1,1,2,swing,B,C 28,32,left,2", (100, 20), (100, 52), (100, 52)),
        # a door that swings out is pushed from inside: south, and the left hand is east
        ("D1,1,out,swing,A,10,36,left,out", (10, 0), (46, 0), (46, 0)),
        ("D1,out,1,swing,A,10,36,left,1", (10, 0), (46, 0), (10, 0)),
    ],
)
def test_openings_by_wall_corner_and_hand(row, a, b, hinge):
    opening = read(openings=HEAD + row + "\n").facts.get(Opening, "D1")
    assert (opening.a, opening.b, opening.hinge) == (a, b, hinge)


def test_an_opening_may_lie_anywhere_through_the_wall():
    for x in ("100", "102 1/4", "104.5"):
        text = GOOD["openings.csv"].replace("100,20,100,52", f"{x},20,{x},52")
        text = text.replace("100 20", f"{x} 20")
        assert read(openings=text).warnings == ()


def test_defaults_and_lists():
    held = read().facts
    links = {link.id: link for link in held.all(Link)}
    assert links["A1 > A2 (finish to start)"].lag_counts == "working"
    assert links["A2 > A3 (start to start)"].lag_counts == "elapsed"
    assert held.get(Activity, "A2").rooms == ("1", "2")
    assert held.get(Activity, "A1").rooms == ("all",)
    assert held.get(Contact, "us").phone == "555-0140"
    rooms = swap("activities", "us,1 2", 'us,"1, 2"')
    assert read(**rooms).facts.get(Activity, "A2").rooms == ("1", "2")


def test_what_a_house_may_say():
    house = (
        'name = "Ours"\nsite_start = "2027-01-18"\nwork_week = ["Monday", "tue"]\n'
        "days_off = [2027-05-31]\ncost_per_day = 310.5\ninspect_days = 4\ntape_sigma = 0.125\n"
        'figures = "Common Practice"\n[overrides]\ndining.rise = 30\n"1:dining.walk_past" = "44"\n'
    )
    read_ = read(house=house).facts.get(House, "house")
    assert read_.work_week == ("mon", "tue")
    assert read_.overrides == {"dining.rise": "30", "1:dining.walk_past": "44"}
    assert read_.cost_per_day == Fraction(621, 2)
