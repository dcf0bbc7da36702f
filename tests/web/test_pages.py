"""Every page says what its query says, links hold, and a wrong address helps."""

import re
from datetime import date
from html.parser import HTMLParser

import pytest
from tests.web.conftest import HOUSE

from roomwright.job.entities import House, Room
from roomwright.job.facts import Change

PAGES = (
    "", "/today", "/chances", "/orders", "/orders?show=all", "/orders?room=102", "/orders/L011",
    "/orders/L172", "/work", "/work?show=all", "/work/A090", "/network", "/who", "/crews",
    "/look-ahead", "/choices", "/calls", "/change-orders", "/starter-work", "/import-work",
    "/counts", "/counts?room=102", "/sheets", "/journal", "/check", "/history",
)  # fmt: skip
OUTSIDE = ("/houses", "/try", "/start", "/load")


class Links(HTMLParser):
    """Collects what a page points to, and what does not belong under a strict policy."""

    def __init__(self, html: str) -> None:
        super().__init__()
        self.links: set[str] = set()
        self.forms: set[str] = set()
        self.inline: list[str] = []
        self.ids: list[str] = []
        self.feed(html)

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        held = dict(attrs)
        if tag == "a" and held.get("href"):
            self.links.add(held["href"])
        if tag == "form":
            self.forms.add(held.get("action") or "")
        if tag in ("script", "link"):
            self.links.add(held.get("src") or held.get("href") or "")
        if tag == "style" or (tag == "script" and not held.get("src")):
            self.inline.append(tag)
        self.inline += [name for name in held if name == "style" or name.startswith("on")]
        if held.get("id"):
            self.ids.append(held["id"])


@pytest.mark.parametrize(
    ("path", "words"),
    [
        ("/work", ("Jun 28", "longest chain of work", "Backer + waterproofing")),
        ("/counts", ("1684", "times the pieces of its lines")),
        ("/orders/L019", ("Order by", "16 weeks", "guess")),
        ("/today", ("Days of move-in on average", "At the long end of the lead 36 days")),
    ],
)
def test_numbers_of_a_page_say_why(reading, path, words):
    text = reading.get(HOUSE + path).text
    assert "why?" in text or 'class="because"' in text
    for word in words:
        assert word in text, word


@pytest.mark.parametrize("path", PAGES)
def test_each_page_of_the_house_is_there(reading, path):
    answer = reading.get(HOUSE + path)
    assert answer.status_code == 200
    assert "done <b" in answer.text
    assert "Jun 28" in answer.text


@pytest.mark.parametrize("path", OUTSIDE)
def test_each_page_without_a_house_is_there(reading, path):
    assert reading.get(path).status_code == 200


def test_every_room_has_its_page(reading, demo):
    for room in demo.all(Room):
        for tail in ("", "/what-fits"):
            assert reading.get(f"{HOUSE}/room/{room.id}{tail}").status_code == 200, room.id


def test_links_hold_and_nothing_is_inline(reading):
    """Every link of every page leads somewhere, no id stands twice, no script or style inline."""
    seen: set[str] = set()
    todo = [HOUSE, *OUTSIDE, *(HOUSE + p for p in PAGES), f"{HOUSE}/room/101"]
    for address in todo:
        page = Links(reading.get(address).text)
        assert page.inline == [], address
        assert len(page.ids) == len(set(page.ids)), address
        assert all(form.startswith("/") for form in page.forms), address
        seen |= {link for link in page.links if link.startswith("/")}
        assert not [link for link in page.links if link.startswith(("http", "//"))], address
    for link in sorted(seen):
        if "sheet.pdf" not in link:
            assert reading.get(link.split("#")[0]).status_code in (200, 307), link


def test_the_only_house_is_opened_at_once(reading):
    answer = reading.get("/")
    assert (answer.status_code, answer.headers["location"]) == (307, HOUSE)


def test_the_room_says_what_the_query_says(reading):
    text = reading.get(f"{HOUSE}/room/101").text
    plain = re.sub(r"<[^>]+>", "", text).replace("&#34;", '"').replace("&#39;", "'")
    for words in (
        'short 5"', "3'-3\" there, 3'-8\" wanted", "Five inches west clears it",
        "3'-8\" east, 2'-10\" west", "eight seats", "move it 5\" west and 9\" north",
        "Measure on site before you cut",
    ):  # fmt: skip
        assert words in plain, words


def test_a_why_names_figure_source_and_edition(reading):
    text = reading.get(f"{HOUSE}/room/101").text
    assert re.search(r"Wanted</dt><dd>44.+?edition|Wanted</dt><dd>44.+?20\d\d", text)
    assert "Room taped Mar 25 by the builder" in text


@pytest.mark.parametrize(
    ("address", "words", "link"),
    [
        ("/h/tern-holow", "No house", '/h/tern-hollow"'),
        (f"{HOUSE}/odrers", "no page at this address", f'{HOUSE}/orders"'),
        (f"{HOUSE}/room/999", "There is no room 999", f'{HOUSE}/room/101"'),
        (f"{HOUSE}/orders/L999", "There is no line L999", f"{HOUSE}/orders?show=all"),
        (f"{HOUSE}/counts?room=999", "There is no room 999", f'{HOUSE}/room/101"'),
        ("/strat", "no page at this address", '/start"'),
    ],
)
def test_a_wrong_address_helps(reading, address, words, link):
    answer = reading.get(address)
    assert answer.status_code == 404
    assert words in answer.text
    assert link in answer.text


@pytest.mark.parametrize(
    "address",
    [
        f"{HOUSE}/room/..%2f..%2fetc%2fpasswd",
        f"{HOUSE}/room/%00",
        "/static/..%2fapp.py",
        "/static/%2e%2e/app.py",
        f"{HOUSE}/orders/%3Cscript%3E",
        "/h/" + "x" * 5000,
        f"{HOUSE}/room/101?piece=" + "x" * 500,
        f"{HOUSE}?as_of=yesterday",
        f"{HOUSE}/journal?older=-5",
        f"{HOUSE}/journal?done=99999999999999999999",
        f"{HOUSE}?done=7777",
        f"{HOUSE}/room/101/what-fits?seats=-1",
    ],
)
def test_a_hostile_address_does_no_harm(reading, address):
    answer = reading.get(address)
    assert answer.status_code in (200, 404, 422)
    assert "<script>" not in answer.text
    assert "root:" not in answer.text
    assert "Traceback" not in answer.text


def test_another_day_may_be_asked_for(reading):
    answer = reading.get(f"{HOUSE}?as_of=2027-04-12")
    assert "Mon Apr 12" in answer.text


def test_the_screen_is_chosen_by_cookie(client):
    answer = client.post("/theme", data={"theme": "dark", "back": "/try"})
    assert (answer.status_code, answer.headers["location"]) == (303, "/try")
    assert "httponly" in answer.headers["set-cookie"].lower()
    assert 'data-theme="dark"' in client.get("/try").text
    client.cookies.set("theme", '"><script>')
    assert 'data-theme="auto"' in client.get("/try").text


@pytest.mark.parametrize("back", ["http://evil.test", "//evil.test", "/\\evil.test", "x", ""])
def test_no_form_leads_to_another_site(client, back):
    answer = client.post("/theme", data={"theme": "dark", "back": back})
    assert answer.headers["location"] == "/"


def test_a_house_with_nothing_but_its_name_opens(client, store):
    store.create("bare", "Bare")
    new = Change("house", "house", None, House(name="Bare", site_start=date(2027, 1, 18)))
    store.write("bare", lambda _: [new], command="load", payload={}, who="t", command_id="1")
    for path in ("", "/today", "/orders", "/work", "/counts", "/sheets", "/check", "/journal"):
        assert client.get(f"/h/bare{path}").status_code == 200, path


def test_a_house_without_anything_says_what_to_do(client, store):
    store.create("empty", "Empty")
    answer = client.get("/h/empty")
    assert answer.status_code == 404
    assert "/load?house=empty" in answer.text


def test_names_with_markup_are_shown_as_typed(client):
    sent = {"room": "999", "name": "<b>Loft</b>", "beside": "101", "side": "west",
            "width": "10'", "depth": "10'"}  # fmt: skip
    assert client.post(f"{HOUSE}/do/add-room", data=sent).status_code == 303
    for path in ("", "/room/999", "/counts", "/sheets", "/journal"):
        text = client.get(HOUSE + path).text
        assert "<b>Loft" not in text, path


def test_a_piece_far_outside_its_room_is_told_in_whole_sentences(client):
    client.post(f"{HOUSE}/do/move", data={"piece": "T1", "x": "1188", "y": "84", "_nonce": "far"})
    text = client.get(f"{HOUSE}/room/101").text
    assert "stands outside room 101" in text
    assert '<span class="told">,' not in text


def test_a_room_to_try_can_be_kept_once_what_was_wrong_is_mended(client):
    text = client.get("/try?width=fourteen&depth=12").text
    assert "is not part of a length" in text
    assert "Keep this room" in text
    assert (
        client.post("/try", data={"width": "fourteen", "depth": "12", "_nonce": "n"}).status_code
        == 422
    )
