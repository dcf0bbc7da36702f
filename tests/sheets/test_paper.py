"""Wall sheets on paper: true to scale, black only, readable by a phone, one with their drawing."""

import io
import json
from dataclasses import replace

import cv2
import numpy as np
import pypdf
import pytest
from tests.answers.demo_house import answers, facts
from tests.drawing.svg import SVG, dim_texts, overlaps, parse

from roomwright.answers import sheets
from roomwright.answers.sheet_cautions import ENDING
from roomwright.answers.sheet_model import News, PartRow
from roomwright.job.entities import Contact, House, Part, Piece, Room
from roomwright.sheets import paper

URL = "http://192.168.1.20:8000/house/tern-hollow/room/101"
ROOMS = facts().ids(Room)


@pytest.fixture(scope="module")
def demo():
    return answers()


def text_of(pdf):
    """All words of a PDF, blanks made one."""
    pages = pypdf.PdfReader(io.BytesIO(pdf)).pages
    return " ".join(" ".join(page.extract_text() for page in pages).split())


def picture(png):
    return cv2.imdecode(np.frombuffer(png, np.uint8), cv2.IMREAD_COLOR)


# --- table and drawing ---------------------------------------------------------------------------


@pytest.mark.parametrize("room", ROOMS)
def test_table_and_drawing_say_the_same(demo, room):
    """Each row of the table stands on the drawing once, with the same text, and no other does."""
    sheet = demo.ask(sheets.sheet, room, "")
    drawing, _, _ = paper.drawn(sheet)
    assert {row.key: [row.drawn] for row in sheet.dims} == dim_texts(drawing.svg)
    assert overlaps(drawing.boxes) == []


def test_a_table_that_differs_from_its_drawing_would_be_seen(demo):
    sheet = demo.ask(sheets.sheet, "101", "")
    wrong = replace(sheet.dims[0], drawn="13'-7\"")
    off = replace(sheet, dims=(wrong, *sheet.dims[1:]))
    drawing, _, _ = paper.drawn(off)
    assert {row.key: [row.drawn] for row in off.dims} != dim_texts(drawing.svg)


def test_the_print_holds_every_row(demo):
    for room in ("101", "102", "209", "211"):
        sheet = demo.ask(sheets.sheet, room, "")
        words = text_of(paper.pdf(sheet, page_url=URL)).replace(" ", "")
        for row in sheet.dims:
            assert row.drawn.replace(" ", "") in words, row
            for line in row.taped.split("; "):
                assert line.replace(" ", "") in words, row
        for part in sheet.parts:
            assert part.name.replace(" ", "") in words, part
        for caution in sheet.cautions:
            assert caution.text.replace(" ", "") in words, caution
        assert ENDING.replace(" ", "") in words
        assert sheet.code in words
        assert "Measureonsitebeforeyoucut." in words
        assert "555-0140" in words


# --- paper ---------------------------------------------------------------------------------------


@pytest.mark.parametrize("room", ROOMS)
def test_letter_paper_one_or_two_pages(demo, room):
    sheet = demo.ask(sheets.sheet, room, "")
    pages = pypdf.PdfReader(io.BytesIO(paper.pdf(sheet, page_url=URL))).pages
    assert len(pages) == paper.drawn(sheet)[2]
    for page in pages:
        assert (float(page.mediabox.width), float(page.mediabox.height)) == (612, 792)


def test_the_same_sheet_is_the_same_bytes(demo):
    sheet = demo.ask(sheets.sheet, "101", "")
    first = paper.pdf(sheet, page_url=URL)
    paper.pdf(demo.ask(sheets.sheet, "102", ""), page_url=URL)
    assert paper.pdf(sheet, page_url=URL) == first
    fresh = answers().ask(sheets.sheet, "101", "")
    assert paper.pdf(fresh, page_url=URL) == first


def test_black_only(demo):
    for room in ("101", "204", "207"):
        for png in paper.png(demo.ask(sheets.sheet, room, ""), page_url=URL, ppi=60):
            blue, green, red = cv2.split(picture(png).astype(int))
            assert abs(blue - green).max() == 0
            assert abs(green - red).max() == 0


@pytest.mark.parametrize("room", ["101", "102", "211"])
def test_a_phone_reads_the_code(demo, room):
    url = f"http://192.168.1.20:8000/h/tern-hollow/room/{room}?sheet=haddock-ostrich-pea"
    page = picture(paper.png(demo.ask(sheets.sheet, room, ""), page_url=url, ppi=150)[0])
    found, _, _ = cv2.QRCodeDetector().detectAndDecode(page)
    assert found == url


def test_scale_is_true_on_the_page(demo):
    """The 13'-6" wall of the dining room, measured on the rendered page by its two ends."""
    sheet = demo.ask(sheets.sheet, "101", "")
    drawing, scale, _ = paper.drawn(sheet)
    assert scale == '3/8" = 1\'-0"'
    ppi = 144
    page = cv2.cvtColor(picture(paper.png(sheet, page_url=URL, ppi=ppi)[0]), cv2.COLOR_BGR2GRAY)
    # the widest solid black run is the south wall between the outer faces of west and east walls
    dark = page[int(1.6 * ppi) : int(8 * ppi)] < 100  # between the head and the cautions
    wide = 0
    for row in dark:
        edges = np.flatnonzero(np.diff(np.concatenate(([0], row.view(np.int8), [0]))))
        runs = edges[1::2] - edges[::2]
        wide = max(wide, int(runs[runs < 7 * ppi].max(initial=0)))
    solid = [p for ring in sheet.plan.walls for p in ring[0]]
    house = max(x for x, _ in solid) - min(x for x, _ in solid)
    assert wide / ppi == pytest.approx(house / 12 * 3 / 8, abs=1.5 / ppi)
    assert drawing.scale == pytest.approx(3 / 8 * 72 / 12)


def test_too_large_for_any_scale_says_so(demo):
    barn = Room(id="900", name="Barn", level="9",
                outline=((0, 0), (30000, 0), (30000, 9000), (0, 9000)))  # fmt: skip
    sheet = answers(barn).ask(sheets.sheet, "900", "")
    _, scale, _ = paper.drawn(sheet)
    assert "not to scale" in scale
    assert "not to scale" in text_of(paper.pdf(sheet, page_url=URL))


def test_words_from_strangers_stay_words():
    """What people type is text to the typesetter, whatever it looks like."""
    evil = '#read("/etc/passwd") *bold* $x$ </svg> \\ "quote" @ref <label>'
    room = facts().get(Room, "101").model_copy(update={"name": "#panic() " * 4})
    sheet = answers(
        facts().get(House, "house").model_copy(update={"name": evil[:40]}),
        room,
        facts().get(Piece, "T1").model_copy(update={"kind": "dining table #x"}),
        facts().get(Part, "L001").model_copy(update={"note": evil}),
        Contact(id="builder", name=evil, phone="555-0140 #1"),
    ).ask(sheets.sheet, "101", "")
    words = text_of(paper.pdf(sheet, page_url=URL))
    assert '#read("/etc/passwd")' in words
    assert "#panic()" in words
    assert "555-0140#1" in words.replace(" ", "")


def test_much_flows_onto_more_pages(demo):
    sheet = demo.ask(sheets.sheet, "101", "")
    row = sheet.parts[0]
    many = tuple(PartRow(f"X{i}", f"Thing {i}", "with a note " * 8, i, i, 0) for i in range(150))
    news = tuple(News(f"Apr {i % 30}", "Something comes " * 5) for i in range(40))
    full = replace(sheet, parts=(row, *many), news=news, changed=("a changed thing",) * 20)
    pages = pypdf.PdfReader(io.BytesIO(paper.pdf(full, page_url=URL))).pages
    assert len(pages) > 2
    words = text_of(paper.pdf(full, page_url=URL))
    assert "Thing 149" in words


def test_a_bare_room_has_a_sheet():
    """No parts, no people, no calendar to speak of: still a plan, its walls and the last words."""
    hut = Room(id="901", name="Hut", level="8", outline=((0, 0), (96, 0), (96, 80), (0, 80)))
    sheet = answers(hut).ask(sheets.sheet, "901", "")
    assert sheet.parts == ()
    words = text_of(paper.pdf(sheet, page_url=URL))
    assert "Hut 901" in words
    assert ENDING in words
    assert "measure" in words


def test_head_says_what_it_replaces(demo):
    first = demo.ask(sheets.sheet, "101", "")
    assert paper.replaces(first) == "first sheet of this room"
    assert paper.replaces(demo.ask(sheets.sheet, "102", "electrician")) == "replaces B of Mar 15"


def test_qr_is_scalable_and_has_its_quiet_zone():
    root = parse(paper.qr("http://x/1"))
    assert root.tag == f"{SVG}svg"
    assert root.get("viewBox")
    assert root.get("width") is None


def test_content_is_canonical(demo):
    content = demo.ask(sheets.sheet, "101", "").content
    value = json.loads(content)
    again = json.dumps(value, sort_keys=True, separators=(",", ":"), ensure_ascii=False)
    assert again == content
    assert set(value) == {"version", "room", "name", "trade", "dimensions", "counts", "cautions",
                          "documents", "notes", "standing"}  # fmt: skip
