"""Forms run one command: once however often they are sent, or not at all and in words."""

import pytest
from tests.web.conftest import HOUSE

from roomwright.exchange.changes import compare
from roomwright.job.entities import Opening, Order, Piece, Posting, Progress, Receipt

JSON = {"accept": "application/json"}


def at(store, id="T1"):
    piece = store.facts("tern-hollow").get(Piece, id)
    return piece.x, piece.y


def move(client, nonce="a", **values):
    return client.post(f"{HOUSE}/do/move", data={"piece": "T1", "_nonce": nonce, **values})


def test_a_form_goes_back_to_its_page_and_says_what_was_done(client, store):
    answer = move(client, dx="-5", _back=f"{HOUSE}/room/101?piece=T1")
    assert answer.status_code == 303
    assert answer.headers["location"].startswith(f"{HOUSE}/room/101?piece=T1&done=")
    assert at(store) == (76, 84)
    text = client.get(answer.headers["location"]).text
    assert "Dining table T1 moved 5&#34; west" in text


def test_sent_twice_it_is_done_once(client, store):
    for _ in range(2):
        assert move(client, dx="-5").status_code == 303
    assert at(store) == (76, 84)


def test_gone_back_to_and_changed_it_is_done_again(client, store):
    move(client, dx="-5")
    move(client, dx="-1")
    assert at(store) == (75, 84)


def test_the_outbox_is_answered_in_json(client):
    answer = client.post(f"{HOUSE}/do/move", headers=JSON,
                         data={"piece": "T1", "dx": "-5", "_nonce": "n"})  # fmt: skip
    said = answer.json()
    assert said["sentence"].startswith("Dining table T1 moved")
    assert said["goto"].startswith(HOUSE)
    assert said["repeated"] is False


@pytest.mark.parametrize(
    ("command", "values", "field"),
    [
        ("move", {"piece": "T1", "dx": "five"}, "dx"),  # no number
        ("move", {"piece": "T1", "dx": "15 3"}, "dx"),  # can be read two ways
        ("move", {"piece": "T9", "dx": "5"}, "piece"),  # no such piece
        ("move", {"piece": "T1"}, "x"),  # nothing said
        ("move", {"piece": "T1", "dx": "5", "speed": "9"}, "speed"),  # no such field
        ("resize", {"piece": "T1", "width": "0"}, "width"),
        ("start", {"activity": "A165", "on": "tomorrow"}, "on"),
        ("start", {"activity": "A165", "on": "2099-01-01"}, "on"),
        ("days-left", {"activity": "A165", "days": "2"}, "activity"),  # not started
        ("receive", {"order": "PO-105", "line": "L011", "qty": "99", "on": "2027-03-29"}, "qty"),
        ("place-order", {"order": "PO-9", "placed": "2027-03-29"}, "lines"),
        ("set-use", {"piece": "T1", "side": "up"}, "side"),
        ("fly", {"piece": "T1"}, "command"),
        ("load", {"folder": "/etc"}, ""),
    ],
)
def test_what_can_not_be_is_refused_with_its_field(client, store, command, values, field):
    before = store.facts("tern-hollow").sequence
    answer = client.post(f"{HOUSE}/do/{command}", data=values, headers=JSON)
    assert answer.status_code == 422
    assert answer.json()["message"]
    if field:
        assert answer.json()["field"] == field
    page = client.post(f"{HOUSE}/do/{command}", data=values)
    assert page.status_code == 422
    assert "text/html" in page.headers["content-type"]
    assert store.facts("tern-hollow").sequence == before


def test_a_stale_form_is_a_conflict_that_shows_both_values(client, store):
    seen = store.facts("tern-hollow").version("piece", "T1")
    move(client, dx="-5")
    answer = client.post(f"{HOUSE}/do/move", headers=JSON, data={
        "piece": "T1", "x": "90", "_nonce": "b", "_expect": f"piece T1 {seen}"})  # fmt: skip
    assert answer.status_code == 409
    assert answer.json()["problems"]
    assert at(store) == (76, 84)


@pytest.mark.parametrize(
    "expect", ["piece", "piece T1 x", "T1 3", "piece T1 -1", "zzz T1 3", "piece T1 " + "9" * 5000]
)
def test_a_broken_expectation_is_refused(client, expect):
    assert move(client, dx="1", _expect=expect).status_code == 422


def test_undo_and_undo_of_undo(client, store):
    move(client, dx="-5")
    sequence = store.facts("tern-hollow").sequence
    assert (
        client.post(f"{HOUSE}/undo", data={"sequence": sequence, "_nonce": "u"}).status_code == 303
    )
    assert at(store) == (81, 84)
    assert (
        client.post(f"{HOUSE}/undo", data={"sequence": sequence + 1, "_nonce": "v"}).status_code
        == 303
    )
    assert at(store) == (76, 84)


def test_the_entry_that_began_the_house_is_not_taken_back(client, store):
    room = client.get(f"{HOUSE}/room/101").text
    assert ">Undo<" not in room  # nothing was done yet but to load the whole house
    assert client.post(f"{HOUSE}/undo", data={"sequence": 1, "_nonce": "u"}).status_code == 422
    assert client.post(f"{HOUSE}/undo", data={"_nonce": "v"}).status_code == 422
    assert client.get(HOUSE).status_code == 200
    assert ">Undo<" not in client.get(f"{HOUSE}/journal").text


def test_undo_in_a_room_goes_further_and_further_back(client, store):
    for n in range(2):
        move(client, nonce=str(n), dx="-5")
    first = store.facts("tern-hollow").sequence - 1
    client.post(f"{HOUSE}/undo", data={"sequence": first + 1, "_nonce": "u"})
    room = client.get(f"{HOUSE}/room/101").text
    assert f'name="sequence" value="{first}"><button>Undo' in room


def test_undo_of_what_changed_since_is_refused(client, store):
    move(client, dx="-5")
    first = store.facts("tern-hollow").sequence
    move(client, nonce="b", dx="-1")
    answer = client.post(f"{HOUSE}/undo", data={"sequence": first, "_nonce": "u"}, headers=JSON)
    assert answer.status_code == 409
    assert at(store) == (75, 84)


def test_place_measures_from_the_rooms_own_walls(client, store):
    sent = {"piece": "L1", "west": "7' 8 1/2", "south": "100", "turn": "90", "_nonce": "p"}
    assert client.post(f"{HOUSE}/room/108/place", data=sent).status_code == 303
    assert [float(v) for v in at(store, "L1")] == [283.5 + 92.5, 100]
    assert store.facts("tern-hollow").get(Piece, "L1").turn == 90


@pytest.mark.parametrize(("field", "value"), [("west", "far"), ("turn", "left"), ("width", "0")])
def test_place_names_the_field_that_is_wrong(client, field, value):
    answer = client.post(
        f"{HOUSE}/room/101/place", headers=JSON, data={"piece": "T1", field: value}
    )
    assert answer.status_code == 422
    assert answer.json()["field"] == field


def test_order_receipt_promise(client, store):
    order = {"order": "PO-900", "maker": "Marlowe Forge", "placed": "2027-03-29",
             "promised": "2027-05-03", "lines.0.line": "L019", "lines.0.qty": "1",
             "lines.1.line": "L020", "_nonce": "o"}  # fmt: skip
    assert client.post(f"{HOUSE}/do/place-order", data=order).status_code == 303
    facts = store.facts("tern-hollow")
    assert [o.qty for o in facts.where(Order, "order", "PO-900")] == [1, 1]
    promise = {"order": "PO-900", "line": "L019", "promised": "2027-05-10"}
    assert client.post(f"{HOUSE}/do/promise", data=promise).status_code == 303
    came = {"order": "PO-900", "line": "L019", "qty": "1", "on": "2027-03-29", "note": "a dent"}
    assert client.post(f"{HOUSE}/do/receive", data=came).status_code == 303
    facts = store.facts("tern-hollow")
    assert facts.where(Receipt, "order", "PO-900")[0].note == "a dent"
    assert "a dent" in client.get(f"{HOUSE}/orders/L019").text


def test_start_days_left_finish(client, store):
    for command, values in (
        ("start", {"on": "2027-03-29"}),
        ("days-left", {"days": "2 1/2"}),
        ("days-left", {"days": "2.5"}),
        ("finish", {"on": "2027-03-29"}),
    ):
        answer = client.post(f"{HOUSE}/do/{command}", data={"activity": "A065", **values})
        assert answer.status_code in (303, 422), command
    told = store.facts("tern-hollow").get(Progress, "A065")
    assert told.finished is not None


def test_what_is_still_to_come_has_not_happened(client, store):
    before = store.facts("tern-hollow").sequence
    for command, values in (
        ("start", {"activity": "A065", "on": "2027-03-30"}),
        ("finish", {"activity": "A065", "on": "2027-04-20"}),
        ("receive", {"order": "PO-105", "line": "L004", "qty": "1", "on": "2027-03-30"}),
        ("place-order", {"order": "PO-900", "lines.0.line": "L019", "placed": "2027-05-01"}),
    ):
        answer = client.post(f"{HOUSE}/do/{command}", data=values)
        assert answer.status_code == 422, command
        assert "is still to come" in answer.text, command
    assert store.facts("tern-hollow").sequence == before


def test_hang_and_take_down(client, store):
    page = client.get(f"{HOUSE}/sheets").text
    assert "electrician" in page
    sent = {"room": "101", "trade": "", "posted": "2027-03-29", "_nonce": "h"}
    assert client.post(f"{HOUSE}/sheets/hang", data=sent).status_code == 303
    hung = [p for p in store.facts("tern-hollow").where(Posting, "room", "101") if not p.trade]
    assert hung[0].code
    assert '"counts"' in hung[0].content, "kept as printed"
    current = client.get(f"{HOUSE}/room/101?sheet={hung[0].code}").text
    assert f"The paper {hung[0].code} still holds." in current
    move(client, dx="-5")
    changed = client.get(f"{HOUSE}/room/101?sheet={hung[0].code}").text
    assert "no longer holds" in changed
    assert "has moved" in changed
    wrong = {**sent, "code": hung[0].code, "_nonce": "i"}
    answer = client.post(f"{HOUSE}/sheets/hang", data=wrong, headers=JSON)
    assert (answer.status_code, answer.json()["field"]) == (422, "code")
    down = {"room": "101", "on": "2027-03-30"}
    assert client.post(f"{HOUSE}/do/take-down-sheet", data=down).status_code == 303


def test_files_are_not_taken_where_text_belongs(client):
    answer = client.post(f"{HOUSE}/do/move", files={"piece": ("x.csv", b"T1")})
    assert answer.status_code in (400, 422)


def test_too_many_fields_are_refused(client):
    sent = {f"f{n}": "1" for n in range(500)}
    assert client.post(f"{HOUSE}/do/move", data=sent).status_code in (400, 422)


def test_preview_writes_nothing(client, store):
    before = store.facts("tern-hollow").sequence
    sent = {"piece": "T1", "x": 76, "y": 84,
            "over": {"scale": 3.5, "left": -8.0, "top": 170.0, "base": "plan"}}  # fmt: skip
    said = client.post(f"{HOUSE}/room/101/preview", json=sent).json()
    assert "3&#39;-8&#34;" in said["verdicts"]
    assert 'data-side="east"' in said["parts"]
    assert said["fields"]["west"] == "6'-4\""
    whole = client.post(f"{HOUSE}/room/101/preview", json={"piece": "T1", "west": "6' 4"}).json()
    assert whole["plan"].startswith("<svg")
    assert whole["verdicts"] != ""
    assert store.facts("tern-hollow").sequence == before


@pytest.mark.parametrize(
    "sent",
    [
        {"piece": "T9", "x": 1},
        {"piece": "T1", "x": "15 3"},
        {"piece": "T1", "x": 1e308},
        {"piece": "T1", "width": -1},
        {"piece": "T1", "x": 1, "drawn": "wide"},
        {"piece": "T1", "x": 1, "over": {"scale": 0, "left": 0, "top": 0, "base": "x"}},
        {"piece": "T1", "x": 1, "over": {"scale": 1, "left": 0, "top": 0, "base": '"><script>'}},
        {},
        [],
        "T1",
    ],
)
def test_a_bad_preview_is_refused_in_words(client, sent):
    answer = client.post(f"{HOUSE}/room/101/preview", json=sent, headers=JSON)
    assert answer.status_code == 422
    assert answer.json()["message"]


def test_a_piece_just_added_is_the_one_in_hand(client):
    sent = {"room": "101", "kind": "hutch", "width": "48", "depth": "18", "_nonce": "h"}
    answer = client.post(f"{HOUSE}/do/add-piece", data={**sent, "_back": f"{HOUSE}/room/101"})
    assert "Place and size of the hutch" in client.get(answer.headers["location"]).text


def test_a_door_is_put_into_a_wall_by_the_form_of_the_room(client, store):
    sent = {"room": "109", "wall": "C", "from_corner": "12", "width": "30", "kind": "swing",
            "hand": "left", "swings": "out", "_nonce": "d"}  # fmt: skip
    before = set(store.facts("tern-hollow").ids(Opening))
    answer = client.post(f"{HOUSE}/do/add-opening", data={**sent, "_back": f"{HOUSE}/room/109"})
    assert answer.status_code == 303
    (new,) = set(store.facts("tern-hollow").ids(Opening)) - before
    assert (
        f"Door {new}, 2&#39;-6&#34;, put into wall C" in client.get(answer.headers["location"]).text
    )


def test_a_house_taken_along_as_files_loads_as_the_same_house(client, store):
    assert f'href="{HOUSE}/folder.zip"' in client.get(HOUSE).text
    sent = client.get(f"{HOUSE}/folder.zip")
    assert sent.headers["content-type"] == "application/zip"
    assert sent.headers["content-disposition"] == 'attachment; filename="tern-hollow.zip"'
    files = {"files": ("tern-hollow.zip", sent.content, "application/zip")}
    done = client.post("/load", files=files, data={"into": "", "_nonce": "z"})
    assert done.status_code == 303, done.text[-300:]
    other = done.headers["location"].split("/")[2].split("?")[0]
    assert other != "tern-hollow"
    assert compare(store.facts("tern-hollow"), store.facts(other)) == []
    bad = client.post("/load", files={"files": ("a.zip", b"no", "")}, data={"_nonce": "y"})
    assert bad.status_code == 422
    assert "cannot be read" in bad.text
