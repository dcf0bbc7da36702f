"""The page Walls and heights, its sheet and its JSON."""

import pytest
from tests.answers.demo_house import facts

from roomwright.job.entities import Room, Window


@pytest.mark.parametrize("room", [room.id for room in facts().all(Room)])
def test_every_room_has_its_walls(reading, room):
    page = reading.get(f"/h/tern-hollow/room/{room}/walls")
    assert page.status_code == 200
    walls = len(facts().get(Room, room).outline)
    assert page.text.count("<title id=") == 2 * walls  # wide and narrow
    assert "follow local code and licensed practice" in page.text.lower()


def test_the_page_says_what_heights_decide(reading):
    html = reading.get("/h/tern-hollow/room/101/walls").text
    assert "the sill of W1 and W2 is 1&#39;-10 1/2&#34; to 2&#39;-4&#34; below your eye" in html
    bath = reading.get("/h/tern-hollow/room/204/walls").text
    assert "Is the glass of window W14 safety glazing?" in bath
    assert "R308.4.5" in bath
    bedroom = reading.get("/h/tern-hollow/room/202/walls").text
    assert "No window of Bedroom 3 is an escape by what is known" in bedroom


def test_the_room_leads_there_and_a_room_that_is_not_there_is_told(reading):
    assert "/room/101/walls" in reading.get("/h/tern-hollow/room/101").text
    assert reading.get("/h/tern-hollow/room/999/walls").status_code == 404
    assert reading.get("/h/tern-hollow/room/999/walls.pdf").status_code == 404


def test_the_sheet_is_the_same_bytes_twice(reading):
    first, again = (reading.get("/h/tern-hollow/room/102/walls.pdf") for _ in range(2))
    assert first.headers["content-type"] == "application/pdf"
    assert first.content == again.content
    assert first.content.startswith(b"%PDF")


def record(client, window, width, height, nonce="a"):
    data = {"window": window, "clear_width": width, "clear_height": height, "_nonce": nonce,
            "_back": "/h/tern-hollow/room/202/walls"}  # fmt: skip
    return client.post("/h/tern-hollow/do/edit-window", data=data)


def test_a_clear_opening_recorded_on_the_page_comes_before_what_is_usual(client, store):
    assert "Record it" in client.get("/h/tern-hollow/room/202/walls").text
    answer = record(client, "W12", "33", "25")
    assert answer.status_code == 303
    found = store.facts("tern-hollow").get(Window, "W12")
    assert (found.clear_width, found.clear_height) == (33, 25)
    html = client.get(answer.headers["location"]).text
    assert "5.7 sq ft, sill 2&#39;-4&#34;: meets the figures; the inspector decides" in html
    assert "No window of Bedroom 3 is an escape" not in html


def test_a_clear_opening_larger_than_its_window_is_refused(client, store):
    for width, height, says in (("37", "25", "wider"), ("33", "55", "higher")):
        answer = record(client, "W12", width, height, nonce=says)
        assert 400 <= answer.status_code < 500
        assert f"its clear opening can&#39;t be {says}" in answer.text
    assert store.facts("tern-hollow").get(Window, "W12").clear_width is None
