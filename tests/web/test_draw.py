"""Drawing by plain forms: every way, what is refused, and files from strangers."""

import io
import re
import struct
import time
import zlib
from fractions import Fraction

import pytest
import typst
from tests.web.conftest import client_over

from roomwright.job.entities import (
    Backdrop,
    Fixed,
    Opening,
    Piece,
    Room,
    Sketch,
    Slope,
    Window,
)
from roomwright.job.store import Store
from roomwright.sheets import picture

JSON = {"accept": "application/json"}
PAGE = b"#set page(width: 11in, height: 8.5in, margin: 0pt)\n#place(dx: 1in, dy: 1in, rect())"


@pytest.fixture
def drawn(tmp_path):
    url = f"sqlite:///{tmp_path / 'houses.db'}"
    with client_over(url) as client, Store(url) as store:
        sent = client.post("/begin", data={"name": "Mine", "_nonce": "1"})
        assert sent.headers["location"] == "/h/mine/draw/1?done=1"
        yield client, store


def post(client, command, **fields):
    sent = client.post(f"/h/mine/do/{command}", data={"_nonce": repr(fields), **fields})
    assert sent.status_code == 303, sent.text[-400:]
    return sent


def lay(client, body, name="plan.pdf", page="1", level="1", **more):
    return client.post(
        f"/h/mine/draw/{level}/backdrop",
        files={"plan": (name, body, "text/html")},
        data={"page": page, "_nonce": name + page},
        headers={**JSON, **more},
    )


def png(wide, high, body=b""):
    """A PNG whose head says any size; its pixels are what they are."""

    def chunk(name, data):
        whole = name + data
        return struct.pack(">I", len(data)) + whole + struct.pack(">I", zlib.crc32(whole))

    head = struct.pack(">IIBBBBB", wide, high, 1, 0, 0, 0, 0)
    row = b"\0" * ((wide + 7) // 8 + 1)
    packed = body or zlib.compress(row * min(high, 20_000), 9)
    return (
        b"\x89PNG\r\n\x1a\n" + chunk(b"IHDR", head) + chunk(b"IDAT", packed) + chunk(b"IEND", b"")
    )


def test_a_house_from_nothing_by_plain_forms(drawn):
    client, store = drawn
    assert client.get("/h/mine").status_code == 200
    assert client.get("/h/mine/draw", follow_redirects=True).status_code == 200
    post(client, "first-room", level="1", room="101", width="12' 6", depth="10'", name="Den")
    post(client, "add-room", room="102", beside="101", side="east", width="9'", depth="10'")
    post(client, "add-opening", room="101", wall="B", from_corner="20", width="32", hand="left")
    post(client, "add-window", room="101", wall="D", from_corner="30", width="36", sill="30")
    post(client, "add-fixed", room="102", name="counter", width="60", depth="25",
         place="on wall C, 0 from corner C")  # fmt: skip
    post(client, "put", room="101", kind="dining table", width="60", depth="36")
    facts = store.facts("mine")
    assert (len(facts.ids(Room)), len(facts.ids(Window)), len(facts.ids(Opening))) == (2, 1, 1)
    assert facts.ids(Fixed) == ("C1",)
    for pick in ("room:101", "opening:D1", "window:W1", "fixed:C1", "piece:T1", "room:no"):
        page = client.get("/h/mine/draw/1", params={"pick": pick})
        assert page.status_code == 200
        assert ("Nothing chosen" in page.text) == (pick != "room:no")
    for href in re.findall(r'href="(/h/mine/draw/1\?pick=[^"]+)"', page.text):
        assert client.get(href).status_code == 200
    client.post("/h/mine/undo", data={"_nonce": "u"})
    assert store.facts("mine").find(Piece, "T1") is None
    assert "Do it again" in client.get("/h/mine/draw/1").text
    assert client.get("/h/mine/room/101").status_code == 200


def test_walls_are_tried_without_being_kept(drawn):
    client, store = drawn
    walls = "12' east, 9' north, 12' 0 1/2 west, 9' south"
    said = client.get("/h/mine/draw/1/try", params={"walls": walls}).json()
    assert said["closing"] == "nearly"
    assert '1/2"' in said["said"]
    page = client.get("/h/mine/draw/1", params={"walls": walls}).text
    assert "Fails to close by" in page
    assert "data-tried><path" in page
    bad = client.get("/h/mine/draw/1/try", params={"walls": "12 feet up"}).json()
    assert "trouble" in bad
    assert len(store.facts("mine")) == 1


def test_a_refused_room_says_why_and_keeps_nothing(drawn):
    client, store = drawn
    sent = client.post("/h/mine/do/draw-room", headers=JSON, data={
        "level": "1", "room": "101", "walls": "12' east, 9' north, 12' 0 1/2 west, 9' south",
    })  # fmt: skip
    assert sent.status_code == 422
    assert sent.json()["field"] == "walls"
    assert "Fails to close" in sent.json()["message"]
    assert len(store.facts("mine")) == 1


def test_an_open_chain_is_saved(drawn):
    client, store = drawn
    sent = client.post("/h/mine/draw/Attic/sketch", data={
        "walls": "12' east, 9' north", "room": "301", "name": "Loft", "spread": "yes",
        "_nonce": "s",
    })  # fmt: skip
    assert sent.status_code == 303
    assert store.facts("mine").get(Sketch, "S1").level == "Attic"
    page = client.get("/h/mine/draw/Attic?pick=sketch:S1").text
    assert "12&#39; east, 9&#39; north</textarea>" in page


def test_a_page_is_laid_under_a_level_and_served_as_a_picture_of_ours(drawn):
    client, store = drawn
    sent = lay(client, typst.compile(PAGE), name='"><script>.pdf')
    assert sent.status_code == 200, sent.text
    held = store.facts("mine").get(Backdrop, "1")
    assert (held.wide, held.high) == (picture.LONG_SIDE, round(picture.LONG_SIDE * 8.5 / 11))
    assert "<" not in held.file
    got = client.get(f"/h/mine/draw/1/picture/{held.picture}")
    assert got.headers["content-type"] == "image/png"
    assert got.headers["x-content-type-options"] == "nosniff"
    assert "sandbox" in got.headers["content-security-policy"]
    assert got.content.startswith(b"\x89PNG")
    assert client.get("/h/mine/draw/1").text.count("<image ") == 2
    assert client.get(f"/h/mine/draw/1/picture/{'0' * 64}").status_code == 404
    assert client.get("/h/mine/draw/1/picture/..%2Fx").status_code == 404
    post(client, "set-points", level="1", ax="218", ay="218", bx="1309", by="218", distance="20'")
    assert "Its two points" in client.get("/h/mine/draw/1").text
    post(client, "show-backdrop", level="1", shows="0")
    assert 'visibility="hidden"' in client.get("/h/mine/draw/1").text
    client.post("/h/mine/undo", data={"_nonce": "a"})
    client.post("/h/mine/undo", data={"_nonce": "b"})
    client.post("/h/mine/undo", data={"_nonce": "c"})
    assert store.facts("mine").find(Backdrop, "1") is None
    assert store.blob("mine", held.picture) is not None  # so that undo can be undone


@pytest.mark.parametrize(
    ("body", "name", "words"),
    [
        (b"<!doctype html><script>alert(1)</script>", "plan.png", "by its content"),
        (b"<svg xmlns='http://www.w3.org/2000/svg'/>", "plan.png", "by its content"),
        (png(60_000, 60_000), "bomb.png", "60000 x 60000"),
        (png(0, 10), "empty.png", "damaged"),
        (png(300, 300, b"not packed"), "torn.png", "can't be opened"),
        (b"\x89PNG\r\n\x1a\n", "head.png", "damaged"),
        (b"\xff\xd8\xff\xe0\x00\x10JFIF", "head.jpg", "damaged"),
        (b"\xff\xd8\xff" + b"\xff" * 5000, "ones.jpg", "damaged"),
        (b"\xff\xd8\xff\xc0\x00\x11\x08\xff\xff\xff\xff\x03" + b"\0" * 40, "wide.jpg", "65535"),
        (b"%PDF-1.7\nnothing", "torn.pdf", "can't be opened"),
        (b"%PDF-1.7\n" + b"0" * (picture.LARGEST + 1), "huge.pdf", ""),
        (b"", "none.pdf", "empty"),
    ],
    ids=lambda v: v if isinstance(v, str) and "." in v else None,
)  # fmt: skip
def test_hostile_files_are_refused_in_words(drawn, body, name, words):
    client, store = drawn
    before = time.monotonic()
    sent = lay(client, body, name=name)
    assert sent.status_code in (413, 422)
    if words:
        assert words in sent.json()["message"]
    assert time.monotonic() - before < 40  # a hang, not a speed
    assert store.facts("mine").find(Backdrop, "1") is None


def test_a_pdf_of_ten_thousand_pages_gives_its_page(drawn):
    from pypdf import PdfWriter

    whole, out = PdfWriter(), io.BytesIO()
    for _ in range(10_000):
        whole.add_blank_page(612, 792)
    whole.write(out)
    client, store = drawn
    assert lay(client, out.getvalue(), page="1999").status_code == 200
    assert store.facts("mine").get(Backdrop, "1").page == 1999
    for page in ("0", "10001", "-1", "one", "999999"):
        assert lay(client, out.getvalue(), page=page).status_code == 422
    two = typst.compile(PAGE)
    assert "no page 2" in lay(client, two, page="2").json()["message"]


def test_a_packed_picture_that_unpacks_to_much_stays_in_bounds(drawn):
    client, _ = drawn
    sent = lay(client, png(9_900, 9_900), name="white.png")
    assert sent.status_code in (200, 422)


def test_another_site_cannot_send_a_plan(drawn):
    client, store = drawn
    sent = lay(client, typst.compile(PAGE), origin="http://evil.test")
    assert sent.status_code == 403
    assert store.facts("mine").find(Backdrop, "1") is None


@pytest.mark.parametrize("level", ["%20", "a" * 41, "1%0A2"])
def test_a_level_has_a_name_that_can_be_read(drawn, level):
    client, _ = drawn
    assert client.get(f"/h/mine/draw/{level}").status_code in (404, 422)


def test_ceilings_layers_and_stairs_by_plain_forms(drawn):
    client, store = drawn
    post(client, "first-room", level="1", room="101", width="14'", depth="12'")
    post(client, "first-room", level="2", room="201", width="14'", depth="12'")
    post(client, "edit-room", room="201", level="2", ceiling="8'")
    page = client.get("/h/mine/draw/2", params={"pick": "room:201"}).text
    for name in ("add-slope", "set-wall", "add-stair"):
        assert f'action="/h/mine/do/{name}"' in page
    post(client, "add-slope", room="201", wall="A", low="4'", pitch="9 in 12")
    post(client, "set-wall", room="201", wall="B", board="1/2", finish="3/8")
    post(client, "add-stair", from_room="101", to_room="201", rise="122", risers="16")
    page = client.get("/h/mine/draw/2", params={"pick": "room:201"}).text
    assert "level at 8&#39;-0&#34; after 5&#39;-4&#34;" in page
    assert 'class="contour"' in page
    assert 'name="stair" value="S1"' in page
    assert 'value="3/8"' in page
    pitch = re.search(r'name="pitch" value="([^"]+)"', page)[1]
    post(client, "edit-slope", slope="SL1", low="4'", pitch=pitch)
    assert store.facts("mine").get(Slope, "SL1").pitch == 9
    post(client, "remove-slope", slope="SL1")
    post(client, "remove-stair", stair="S1")
    assert 'class="contour"' not in client.get("/h/mine/draw/2").text


def test_twelve_what_is_asked_and_8_6_is_feet_and_inches(drawn):
    client, store = drawn
    for width in ("12", "9", "35.5"):
        sent = client.post(
            "/h/mine/do/first-room", headers=JSON,
            data={"level": "1", "room": "101", "width": width, "depth": "10'", "_nonce": width},
        )  # fmt: skip
        assert sent.status_code == 422
        assert sent.json()["field"] == "width"
        assert f'{width} what? Type {width}" for {width} in.' in sent.json()["message"]
    assert store.facts("mine").ids(Room) == ()
    post(client, "first-room", level="1", room="101", width="12 6", depth="9'", ceiling="8 6")
    room = store.facts("mine").get(Room, "101")
    assert (room.outline[2], room.ceiling) == ((150, 108), 102)
    post(client, "add-room", room="102", beside="101", side="east", width='30"', depth="40")
    assert store.facts("mine").get(Room, "102").outline[2][0] - Fraction("154.5") == 30
    for command, field, more in (
        ("edit-room", "ceiling", {"level": "1"}), ("wall-length", "length", {"wall": "A"}),
    ):  # fmt: skip
        fields = {"room": "101", field: "8", "_nonce": command, **more}
        sent = client.post(f"/h/mine/do/{command}", headers=JSON, data=fields)
        assert (sent.status_code, sent.json()["field"]) == (422, field)
    post(client, "add-opening", room="101", wall="A", from_corner="20", width="2 8", hand="left",
         height="6 8")  # fmt: skip
    assert (door := store.facts("mine").get(Opening, "D1")).height == 80
    assert door.width == 32


def test_a_refused_plan_is_told_on_the_drawing_beside_its_field(drawn):
    client, _ = drawn
    for files, page, field, words in (
        ({"plan": ("notes.txt", b"hello", "text/plain")}, "1", "plan", "no PDF, PNG or JPEG"),
        ({"plan": ("a.pdf", typst.compile(PAGE), "application/pdf")}, "2", "plan", "no page 2"),
        ({"plan": ("a.pdf", typst.compile(PAGE), "application/pdf")}, "two", "page", "number"),
    ):
        sent = client.post(
            "/h/mine/draw/1/backdrop", files=files, data={"page": page, "_nonce": page}
        )
        assert sent.status_code == 422
        assert "<h1>Draw: Downstairs</h1>" in sent.text
        told = re.search(r'<span class="error" id="t-(\w+)-error" role="alert">([^<]+)', sent.text)
        assert told[1] == field
        assert words in told[2]
        assert f'value="{page}"' in sent.text
    again = client.get("/h/mine/draw/1/backdrop")
    assert (again.status_code, again.headers["location"]) == (307, "/h/mine/draw/1")
