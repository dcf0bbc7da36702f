"""Try a room, Start a house, load a folder: from nothing to a house, once, or nothing and why."""

import re

import pytest
from tests.web.conftest import DEMO, HOUSE

from roomwright.job.entities import House, Opening, Piece, Room

JSON = {"accept": "application/json"}
ROOM = {
    "width": "15' 1", "depth": "13'", "table.width": "108", "table.depth": "42",
    "openings.0.wall": "B", "openings.0.from_corner": "20", "openings.0.width": "36",
    "openings.0.kind": "swing", "openings.0.hand": "left", "openings.0.swings": "in",
    "openings.3.wall": "C", "openings.3.from_corner": "C 24", "openings.3.width": "5'",
    "openings.3.kind": "cased",
}  # fmt: skip


def plain(text: str) -> str:
    text = re.sub(r"<[^>]+>", " ", text).replace("&#34;", '"').replace("&#39;", "'")
    return re.sub(r"\s+", " ", text)


# ------------------------------------------------------------------------------------ try a room


def test_the_first_page_has_a_verdict_already(reading):
    text = plain(reading.get("/try").text)
    assert "Dining table 84 × 42, eight seats" in text
    assert "fits" in text


def test_a_tried_room_is_answered_and_not_kept(client, store):
    before = len(store.jobs())
    text = plain(client.get("/try", params=ROOM).text)
    assert "15'-1\" × 13'-0\"" in text
    assert "Dining table 108 × 42, ten seats" in text
    assert "walk path" in text
    assert len(store.jobs()) == before


@pytest.mark.parametrize(
    ("change", "words", "field"),
    [
        ({"width": "wide"}, "not part of a length", "width"),
        ({"width": ""}, "needed", "width"),
        ({"width": "0"}, "no size", "width"),
        ({"openings.0.from_corner": "170"}, "past the end of wall B", "openings.0.width"),
        ({"openings.0.hand": "north"}, "left or right", "openings.0.hand"),
        ({"openings.3.wall": "Q"}, "no wall", "openings.3.from_corner"),  # row 3, the second filled
        ({"table.depth": ""}, "needed", "table.depth"),
        ({"width": "1e9999"}, "", "width"),
        ({"depth": "1" * 500}, "too long", "depth"),
    ],
)
def test_what_can_not_be_is_said_beside_its_field(client, change, words, field):
    said = {k: v for k, v in {**ROOM, **change}.items() if v}
    answer = client.get("/try", params=said)
    assert answer.status_code == 200
    assert words in plain(answer.text)
    assert f'id="e-{field}"' in answer.text
    for name, value in said.items():  # what was typed still stands there
        if not name.endswith((".wall", ".kind", ".hand", ".swings")):
            assert f'name="{name}" value="{value[:10]}'.replace("'", "&#39;") in answer.text


def test_a_cure_is_offered_as_a_link(client):
    said = {"width": "13' 6", "depth": "12' 6", "table.width": "84", "table.depth": "42",
            "table.x": "86", "table.y": "75"}  # fmt: skip
    text = client.get("/try", params={**said, "table.x": "120"}).text
    link = re.search(r'id="cure" href="([^"]+)"', text)
    assert link
    after = client.get(link[1].replace("&amp;", "&")).text
    assert 'id="cure"' not in after


def test_a_kept_room_is_a_house_of_one_room_made_once(client, store):
    sent = {**ROOM, "name": "Our dining room", "_nonce": "n1"}
    first = client.post("/try", data=sent)
    assert first.status_code == 303
    assert re.match(r"/h/our-dining-room/room/1\?done=1", first.headers["location"])
    again = client.post("/try", data=sent)
    assert again.headers["location"] == first.headers["location"]
    facts = store.facts("our-dining-room")
    assert len(facts.all(Room)) == 1
    assert len(facts.all(Opening)) == 2
    assert facts.get(Piece, "T1").width == 108
    assert client.get(first.headers["location"]).status_code == 200


def test_a_room_that_can_not_be_leaves_no_house(client, store):
    before = len(store.jobs())
    sent = {**ROOM, "width": "0", "_nonce": "n1"}
    answer = client.post("/try", data=sent, headers=JSON)
    assert (answer.status_code, answer.json()["field"]) == (422, "width")
    assert len(store.jobs()) == before
    assert store.removed() == []


# --------------------------------------------------------------------------------- start a house


def test_start_a_house_makes_one_that_passes_check(client):
    page = client.get("/start").text
    assert page.count("<fieldset>") + page.count("board_date") >= 10
    sent = {"name": "Heron Lot", "floors": "1", "fuel": "gas", "_nonce": "s"}
    first = client.post("/start", data=sent)
    assert first.status_code == 303
    assert first.headers["location"] == "/h/heron-lot?done=1"
    assert client.post("/start", data=sent).headers["location"] == first.headers["location"]
    check = plain(client.get("/h/heron-lot/check").text)
    assert "wrong" not in check.split("Check What was done")[0].replace("What is wrong", "")
    for path in ("", "/today", "/orders", "/counts", "/sheets", "/work"):
        assert client.get(f"/h/heron-lot{path}").status_code == 200


def test_a_wrong_answer_keeps_the_others(client, store):
    sent = {"name": "Heron Lot", "floors": "1", "board_date": "some day", "_nonce": "s"}
    answer = client.post("/start", data=sent)
    assert answer.status_code == 422
    assert "is no date" in answer.text
    assert 'value="Heron Lot"' in answer.text
    assert re.search(r'name="floors" value="1" checked', answer.text)
    said = client.post("/start", data=sent, headers=JSON).json()
    assert said["field"] == "board_date"
    assert len(store.jobs()) == 1


def test_a_question_that_is_not_asked_is_refused(client):
    answer = client.post("/start", data={"name": "A", "pool": "yes", "_nonce": "s"})
    assert answer.status_code == 422


def test_a_room_is_added_beside_another(client, store):
    sent = {"room": "110", "name": "Porch", "beside": "101", "side": "west", "width": "8'",
            "depth": "12' 6", "_nonce": "r"}  # fmt: skip
    assert client.post(f"{HOUSE}/do/add-room", data=sent).status_code == 303
    assert store.facts("tern-hollow").get(Room, "110").outline[1][0] == -4.5
    over = {**sent, "room": "111", "side": "north", "_nonce": "q"}
    answer = client.post(f"{HOUSE}/do/add-room", data=over, headers=JSON)
    assert answer.status_code == 422
    assert "overlap" in answer.json()["message"] or "over" in answer.json()["message"]


# --------------------------------------------------------------------------------- load a folder


def folder(**changed: bytes | None):
    files = {p.name: p.read_bytes() for p in DEMO.iterdir()} | changed
    return [("files", (name, data)) for name, data in files.items() if data is not None]


def test_load_a_folder_as_a_new_house_once(client, store):
    sent = {"_nonce": "l"}
    first = client.post("/load", data=sent, files=folder())
    assert first.status_code == 303
    assert first.headers["location"] == "/h/tern-hollow-2?done=1"
    again = client.post("/load", data=sent, files=folder())
    assert again.headers["location"] == first.headers["location"]
    assert len(store.jobs()) == 2


def test_load_again_keeps_what_was_done_here(client, store):
    client.post(f"{HOUSE}/do/move", data={"piece": "T1", "dx": "-5", "_nonce": "m"})
    answer = client.post("/load", data={"into": "tern-hollow", "_nonce": "l"}, files=folder())
    assert answer.status_code == 303
    assert store.facts("tern-hollow").get(Piece, "T1").x == 76


def test_a_wrong_folder_loads_nothing_and_names_every_error(client, store):
    rooms = (DEMO / "rooms.csv").read_bytes().replace(b"0 0, 162 0", b"0 0, oak 0")
    pieces = (DEMO / "pieces.csv").read_bytes().replace(b"T1,101", b"T1,999")
    answer = client.post("/load", files=folder(**{"rooms.csv": rooms, "pieces.csv": pieces}))
    assert answer.status_code == 422
    text = plain(answer.text)
    assert "rooms.csv" in text
    assert "oak" in text
    assert "pieces.csv" in text
    assert len(store.jobs()) == 1
    said = client.post("/load", files=folder(**{"rooms.csv": rooms}), headers=JSON).json()
    assert said["problems"][0]["file"] == "rooms.csv"
    assert said["problems"][0]["do"]


@pytest.mark.parametrize(
    "files",
    [
        [],
        [("files", ("notes.txt", b"hello"))],
        [("files", ("../../house.toml", b'name = "x"'))],  # a name is a name, never a path
        [("files", ("house.toml", b"\x00\xff\xfe" * 100))],
        [("files", ("rooms.csv", b'room,level,outline\n"' * 1000))],
        [("files", ("rooms.csv", b"room\n")), ("files", ("a/rooms.csv", b"room\n"))],
        [("files", (f"{n}.csv", b"x")) for n in range(100)],
        [("files", ("<script>.csv", b"x"))],
        [("wrong", ("rooms.csv", b"room\n"))],
    ],
)
def test_hostile_files_are_refused_in_words(client, store, files):
    answer = client.post("/load", files=files or None, data=None if files else {"x": "y"})
    assert answer.status_code in (400, 422)
    assert "<script>." not in answer.text
    assert "Traceback" not in answer.text
    assert len(store.jobs()) == 1
    assert store.facts("tern-hollow").get(House, "house").name == "Tern Hollow"


def test_into_a_house_that_is_not_there(client, store):
    answer = client.post("/load", data={"into": "../x", "_nonce": "l"}, files=folder())
    assert answer.status_code == 404
    assert len(store.jobs()) == 1
