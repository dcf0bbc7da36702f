"""The mark-out's page and papers: what is asked in the address is what is shown."""

import io

import pypdf
import pytest
from tests.web.conftest import HOUSE

ROOM = f"{HOUSE}/room/101/mark-out"


def test_the_room_leads_to_its_mark_out(reading):
    assert f'href="{ROOM}"' in reading.get(f"{HOUSE}/room/101").text


def test_the_page_by_ties(reading):
    page = reading.get(ROOM)
    assert page.status_code == 200
    for words in (
        "Mark it out", "By two ties", "To read aloud", "Sticks to cut", "Caution",
        "Follow local code and licensed practice.", "Hold the end of the tape on the",
    ):  # fmt: skip
        assert words in page.text
    assert page.text.count('class="ellipse"') == 8  # four points, drawn wide and narrow


def test_the_page_off_a_wall_in_words(reading):
    page = reading.get(f"{ROOM}?method=baseline&words=aloud&with=lights").text
    assert "From corner C along the north wall (C)" in page
    assert "3 feet, 3 inches, mark" in page
    assert "point under the chandelier box" in page


def test_the_choice_stays_in_every_link(reading):
    page = reading.get(f"{ROOM}?piece=S1&method=baseline&with=chairs&standing=T1").text
    tail = "piece=S1&amp;method=baseline&amp;with=chairs&amp;standing=T1"
    assert f"/room/101/mark-out.pdf?{tail}" in page
    assert f"/room/101/pole.pdf?{tail}&amp;which=along" in page
    assert f"{tail}&amp;words=aloud" in page


def test_the_papers(reading):
    for address, words in (
        (f"{ROOM}.pdf", "Mark-out"),
        (f"{ROOM}.pdf?method=baseline", "3-4-5"),
        (f"{HOUSE}/room/101/pole.pdf", "Story pole, along the north wall"),
        (f"{HOUSE}/room/101/pole.pdf?which=heights", "Story pole, heights"),
    ):
        made = reading.get(address)
        assert made.status_code == 200
        assert made.headers["content-type"] == "application/pdf"
        reader = pypdf.PdfReader(io.BytesIO(made.content))
        assert words in " ".join(reader.pages[0].extract_text().split())


@pytest.mark.parametrize(
    ("address", "status", "words"),
    [
        (f"{HOUSE}/room/999/mark-out", 404, "There is no room 999"),
        (f"{HOUSE}/room/999/mark-out.pdf", 404, "There is no room 999"),
        (f"{ROOM}?piece=X9", 422, "There is no piece X9 in room 101. Its pieces: S1, T1."),
        (f"{ROOM}?standing=X9", 422, "There is no piece X9"),
        (f"{ROOM}?method=laser", 422, "method"),
        (f"{ROOM}?with=rugs", 422, "with"),
        (f"{HOUSE}/room/101/pole.pdf?which=sideways", 404, "There is no story pole sideways"),
        (f"{HOUSE}/room/103/pole.pdf?which=along", 404, "There is no story pole along"),
        (ROOM + "?" + "&".join(["piece=T1"] * 61), 422, "piece"),
    ],
)
def test_what_cannot_be_had_is_said(reading, address, status, words):
    page = reading.get(address)
    assert page.status_code == status
    assert words in page.text


def test_words_of_a_stranger_are_text(reading):
    page = reading.get(f"{ROOM}?piece=%3Cscript%3Ealert(1)%3C/script%3E")
    assert page.status_code == 422
    assert "<script>alert" not in page.text


def test_every_room_has_a_page_and_a_sheet(reading, demo):
    from roomwright.job.entities import Room

    for room in demo.ids(Room):
        assert reading.get(f"{HOUSE}/room/{room}/mark-out?with=clearances").status_code == 200
        assert reading.get(f"{HOUSE}/room/{room}/mark-out.pdf?method=baseline").status_code == 200
