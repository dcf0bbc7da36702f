"""What fits on its page: a search that the page waits for, the page for the owner, taking it."""

import html
import re
from fractions import Fraction

import pytest

from roomwright.job.entities import Piece
from roomwright.lengths import parse
from roomwright.web.searches import KEPT, Search, Searches
from roomwright.web.trouble import RefusedError

HOUSE = "/h/tern-hollow"
SMALL = "bookcase; sizes: 36 x 12, 24 x 12; place: against"


def begun(client, room="102", wanted=SMALL):
    answer = client.post(f"{HOUSE}/room/{room}/what-fits/searches", data={"wanted": wanted})
    assert answer.status_code == 201
    told = answer.json()
    for _ in range(400):
        if told["done"]:
            return told
        told = client.get(told["follow"]).json()
    raise AssertionError("the search does not end")


def test_a_search_is_followed_to_its_answer(client):
    told = begun(client)
    assert (told["share"], told["wrong"]) == (1, "")
    page = client.get(told["goto"])
    assert page.status_code == 200
    assert "Put it there" in page.text
    assert client.get(f"/h/other/room/102/what-fits/searches/{told['id']}").status_code == 404


def test_a_search_answers_for_its_own_room_and_state_only(client, store, monkeypatch):
    told = begun(client)
    asked = []
    answer = Searches.answer

    def counted(self, answers, room, wanted):
        asked.append(room)
        return answer(self, answers, room, wanted)

    monkeypatch.setattr(Searches, "answer", counted)
    client.get(told["goto"])
    assert asked == [], "what the page waited for is shown as it is"
    client.get(told["goto"].replace("/102/", "/101/"))
    assert asked == ["101"], "another room has another answer"
    form = {"piece": "T1", "dx": "3"}
    assert client.post(f"{HOUSE}/do/move", data=form).status_code == 303
    client.get(told["goto"])
    assert asked == ["101", "102"], "the house has changed since"


def test_searches_that_run_are_not_forgotten_nor_more_than_two():
    kept = Searches()
    for n in range(KEPT + 5):
        kept._searches[f"{n}"] = Search(f"{n}", "h", "r", None, None)
        if n > 1:
            kept._searches[f"{n}"].done.set()

    class Nothing:
        facts = None

    with pytest.raises(RefusedError, match="Two searches run"):
        kept.start(Nothing(), "h", "r", None)
    kept._searches["0"].done.set()
    search = kept.start(Nothing(), "h", "r", None)
    assert search.done.wait(10)
    assert search.wrong.startswith("The search failed"), "no raw error on a page"
    assert "attribute" not in search.wrong
    assert len(kept._searches) == KEPT
    assert not kept._searches["1"].done.is_set(), "it runs still: it can be stopped"


def test_put_there_in_one_step_and_undone_in_one(client, store):
    page = client.get(f"{HOUSE}/room/102/what-fits", params={"wanted": SMALL}).text
    form = re.search(r'<form[^>]*do/put-what-fits".*?</form>', page, re.DOTALL)[0]
    fields = dict(re.findall(r'name="([^"]+)" value="([^"]*)"', form))
    fields = {name: html.unescape(value) for name, value in fields.items()}
    before = tuple(store.facts("tern-hollow"))
    done = client.post(f"{HOUSE}/do/put-what-fits", data=fields)
    assert done.status_code == 303, done.text
    after = store.facts("tern-hollow")
    new = [p for p in after.all(Piece) if p.kind == "bookcase" and p.room == "102"]
    assert [(p.x, p.y, p.turn) for p in new] == [
        tuple(Fraction(parse(fields[name])) for name in ("x", "y", "turn"))
    ]
    last = store.last("tern-hollow", 1)[0]
    assert last.command == "put what fits"
    store.undo("tern-hollow", last.sequence, who="test", command_id="undo")
    assert tuple(store.facts("tern-hollow")) == before


@pytest.mark.parametrize(("wanted", "drawn"), [(SMALL, True), ("sofa; sizes: 590 x 590", False)])
def test_the_owners_page_and_paper(client, wanted, drawn):
    """Also where nothing fits."""
    wish = {"wanted": wanted}
    page = client.get(f"{HOUSE}/room/102/what-fits/owner", params=wish)
    assert page.status_code == 200
    assert ("<svg" in page.text) == drawn
    paper = client.get(f"{HOUSE}/room/102/what-fits.pdf", params=wish)
    assert paper.content.startswith(b"%PDF-")
    assert paper.headers["content-type"] == "application/pdf"


@pytest.mark.parametrize(
    "wanted",
    ["<script>alert(1)</script>; width: 3; depth: 3", "bed; turn: nan", "bed; sizes: 0 x 0",
     "bed; place: against <b>", ";" * 500, "x" * 600, "bed; slides: <i> 6"],
)  # fmt: skip
def test_hostile_wishes_are_refused_or_answered_without_markup(client, wanted):
    page = client.get(f"{HOUSE}/room/102/what-fits", params={"wanted": wanted})
    assert page.status_code in (200, 422)
    assert "<script>alert" not in page.text
    assert "against <b>" not in page.text
    assert "<i> 6" not in page.text
    api = client.get("/api/v1/houses/tern-hollow/rooms/102/what-fits", params={"wanted": wanted})
    assert api.status_code in (200, 422)


def test_a_page_that_nobody_can_stop_gives_the_best_so_far(client, monkeypatch):
    wish = {"wanted": "dining table"}
    address = "/api/v1/houses/tern-hollow/rooms/101/what-fits"
    monkeypatch.setattr("roomwright.web.searches.PATIENCE", -1.0)
    hurried = client.get(address, params=wish).json()
    assert "stopped" in hurried["stopped"]
    monkeypatch.setattr("roomwright.web.searches.PATIENCE", 60.0)
    patient = client.get(address, params=wish).json()
    assert not patient["stopped"], "what was cut short is not kept"
