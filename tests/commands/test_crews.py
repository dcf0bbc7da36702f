"""Crews, drying rooms and bookings: said by command or folder, and refused in words."""

from datetime import date

import pytest

from roomwright.commands import BadCommandError, parse, run
from roomwright.exchange.folder import FolderError, read_files
from roomwright.exchange.writer import to_files
from roomwright.job.entities import Activity, Booking, Crew, Drying, House
from roomwright.job.errors import StoreError
from roomwright.job.facts import Change, Facts
from roomwright.job.store import Store

HOUSE = House(name="Ours", site_start=date(2027, 1, 18))
TILE = Activity(id="A1", name="Wall tile", days_likely=4, trade="tile")
GATE = Activity(id="A2", name="Move in", days_likely=0)


@pytest.fixture
def do(tmp_path):
    store = Store(f"sqlite:///{tmp_path}/houses.db")
    facts = [HOUSE, TILE, GATE]
    job, _ = store.begin(
        "Ours",
        lambda _: [Change(f.kind_name, f.id, None, f) for f in facts],
        command="test", payload={}, who="test", command_id="begun",
    )  # fmt: skip

    def say(name, /, **values):
        done = run(store, job, parse(name, values), who="test")
        return done.sentence, store.facts(job)

    yield say
    store.close()


def test_crews_are_said_bit_by_bit(do):
    sentence, _ = do("set crew", trade="tile", crews="1", a_room="1", wet="yes")
    assert sentence == "tile: one crew, alone in a room, works wet."
    sentence, facts = do("set crew", trade="tile", days="tue, Thursday")
    assert sentence == "tile: one crew, alone in a room, works wet, comes tue, thu."
    assert facts.get(Crew, "tile").days == ("tue", "thu")
    _, facts = do("set crew", trade="tile", a_room=None)
    assert facts.get(Crew, "tile").a_room is None
    assert facts.get(Crew, "tile").crews == 1


def test_bookings_move_and_are_cancelled(do):
    sentence, _ = do("book", activity="A1", first_day="2027-04-05", said_by="Ann", on="2027-03-01")
    assert sentence == "A1 Wall tile: tile booked for Apr 5, 2027."
    sentence, facts = do("book", activity="A1", first_day="2027-04-07")
    assert "(was Apr 5, 2027)" in sentence
    assert facts.get(Booking, "A1").said_by == "Ann"
    sentence, facts = do("cancel booking", activity="A1")
    assert facts.find(Booking, "A1") is None
    with pytest.raises(BadCommandError, match="nobody is booked"):
        do("cancel booking", activity="A1")


def test_a_day_on_which_nobody_can_begin_is_said_and_kept(do):
    booked = {"activity": "A1", "on": "2027-03-01"}
    sentence, facts = do("book", **booked, first_day="2027-04-03")
    assert sentence == (
        "A1 Wall tile: tile booked for Apr 3, 2027. Saturday, Apr 3 is a day off of tile: "
        "the next day of work is Monday, Apr 5. Kept all the same."
    )
    assert facts.get(Booking, "A1").first_day == date(2027, 4, 3)
    do("set calendar", calendar="tile", mornings="sat", closed="2027-04-05")
    sentence, _ = do("book", **booked, first_day="2027-04-03")
    assert sentence == "A1 Wall tile: tile booked for Apr 3, 2027."
    sentence, _ = do("book", **booked, first_day="2027-04-05")
    assert "Monday, Apr 5 is a day off of tile: the next day of work is Tuesday, Apr 6." in sentence
    do("add activity", activity="A0", name="Backer board", days_likely="10", before="A1")
    sentence, _ = do("book", **booked, first_day="2027-03-02")
    assert sentence == (
        "A1 Wall tile: tile booked for Mar 2, 2027 (was Apr 5, 2027). As things stand it can't "
        "start before Mar 13, 2027, after A0 Backer board. Kept all the same."
    )
    sentence, _ = do("book", activity="A1", first_day="2027-03-03")
    assert "start before" in sentence  # still agreed on Mar 1
    do("start", activity="A1", on="2027-03-01")
    sentence, _ = do("book", **booked, first_day="2027-03-02")
    assert "start before" not in sentence


def test_rooms_dry(do):
    sentence, facts = do("set drying", activity="A1", days="1 1/2")
    assert facts.get(Drying, "A1").days * 2 == 3
    assert "stay closed 1 1/2 days" in sentence
    _, facts = do("set drying", activity="A1")
    assert facts.find(Drying, "A1") is None


@pytest.mark.parametrize(
    ("name", "values", "says"),
    [
        ("book", {"activity": "A9", "first_day": "2027-04-05"}, "there is no activity A9"),
        ("book", {"activity": "A1", "first_day": "2072-04-05"}, "years away"),
        ("book", {"activity": "A2", "first_day": "2027-04-05"}, "is a milestone"),
        ("book", {"activity": "A1", "first_day": "2027-04-05", "days": "0"}, "can't be"),
        (
            "book",
            {"activity": "A1", "first_day": "2027-04-05", "on": "2027-04-06"},
            "after the day itself",
        ),
        ("set crew", {"trade": "tile/floor"}, "two trades"),
        ("set crew", {"trade": "tile", "crews": "0"}, "1 or more"),
        ("set crew", {"trade": "tile", "days": "tue someday"}, "no weekday"),
        ("set drying", {"activity": "A1", "days": "0.3"}, "whole or half"),
    ],
)
def test_what_is_refused(do, name, values, says):
    with pytest.raises((BadCommandError, StoreError, ValueError), match=says):
        do(name, **values)


def test_the_folder_says_the_same():
    files = to_files(Facts([
        HOUSE, TILE,
        Crew(id="tile", crews=1, a_room=1, wet="yes", days=("tue", "thu")),
        Drying(id="A1", days=2, note="grout"),
        Booking(id="A1", first_day=date(2027, 4, 5), said_by="Ann", on=date(2027, 3, 1)),
    ]))  # fmt: skip
    assert "tile,1,1,yes,tue; thu," in files["crews.csv"]
    files["rooms.csv"] = "room,level,width,depth\n101,1,120,120\n"
    loaded = read_files({n: t.encode() for n, t in files.items()})
    assert loaded.facts.get(Crew, "tile").days == ("tue", "thu")
    assert loaded.facts.get(Booking, "A1").first_day == date(2027, 4, 5)
    files["crews.csv"] = "trade,crews,days\ntile,0,tue\nstone,1,noday\n"
    files["bookings.csv"] = "activity,first_day\nA7,2027-04-05\nA1,2207-04-05\n"
    with pytest.raises(FolderError) as wrong:
        read_files({n: t.encode() for n, t in files.items()})
    told = str(wrong.value)
    for words in ("crews.csv", "line 2", "no weekday", "bookings.csv", "A7", "2207-04-05"):
        assert words in told
