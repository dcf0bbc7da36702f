"""The pages of the network: what they show, and what their forms do without script."""

import re

import pytest
from tests.web.conftest import HOUSE
from tests.web.test_pages import Links

from roomwright.job.entities import Activity, Link

WORK = "/work"
PAGES = (
    "/network", "/network?lanes=room", "/network?show=critical&links=all", "/network?room=102",
    "/network?trade=electrician&pick=A175", "/network?many=0", "/network?pick=nobody",
    "/starter-work", "/starter-work?what=kitchen&rooms=102&after=A175",
    "/starter-work?what=bath", WORK + "/A175", WORK + "/R010", "/who", "/who?on=2027-04-15",
    "/who?on=2027-04-15&room=101&days=7",
)  # fmt: skip


@pytest.mark.parametrize("path", PAGES)
def test_pages_open_and_keep_the_policy(reading, path):
    html = reading.get(HOUSE + path).text
    found = Links(html)
    assert not found.inline
    assert len(found.ids) == len(set(found.ids)), [i for i in found.ids if found.ids.count(i) > 1]
    for link in sorted(found.links)[:60]:
        if link.startswith(HOUSE):
            assert reading.get(link).status_code == 200, link


def test_the_drawing_marks_critical_by_word_and_mark(reading):
    html = reading.get(f"{HOUSE}/network").text
    assert html.count('class="bar critical"') > 10
    assert "Hang inside doors" in html or "critical</text>" in html
    assert "url(#network-critical)" in html
    assert html.count("data-link=") > 100


def test_filters_narrow_list_and_drawing_alike(reading):
    html = reading.get(f"{HOUSE}/network?trade=electrician").text
    drawn = set(re.findall(r'<a href="[^"]*"[^>]*aria-label="[^"]*" data-activity="([^"]*)"', html))
    listed = set(re.findall(r'#picked" data-activity="([^"]*)"', html))
    assert drawn == listed
    assert 3 < len(drawn) < 20


def form(client, path, **fields):
    return client.post(
        f"{HOUSE}/do/{path}", data={"_nonce": "n", "_back": f"{HOUSE}/network", **fields}
    )


def test_forms_add_link_split_and_remove(client, store):
    assert (
        form(
            client, "add-activity", name="Oil the stair", days_likely="1", after="A175"
        ).status_code
        == 303
    )
    facts = store.facts("tern-hollow")
    assert facts.get(Activity, "W1").name == "Oil the stair"
    assert form(client, "link", before="W1", after="A165").status_code == 422  # a loop, or none
    done = form(client, "split-activity", activity="W1", days="1/2")
    assert done.status_code == 303
    page = client.get(done.headers["location"]).text
    assert "W1 (1/2 day), W1-2 (1/2 day)" in page
    assert form(client, "remove-activity", activity="W1").status_code == 303
    assert store.facts("tern-hollow").find(Link, "A175 > W1-2 (finish to start)") is not None


def test_a_form_that_empties_fields_empties_them(client, store):
    had = store.facts("tern-hollow").get(Activity, "A175")
    assert had.days_high is not None
    shown = "name days_likely days_low days_high trade rooms note"
    said = {"name": "Set", "days_likely": "2", "days_high": "", "trade": "", "rooms": "102"}
    done = form(client, "edit-activity", activity="A175", **said, shown=shown)
    assert done.status_code == 303
    now = store.facts("tern-hollow").get(Activity, "A175")
    assert (now.days_high, now.trade, now.rooms) == (None, "", ("102",))


def test_many_rows_are_one_entry(client, store):
    page = client.get(f"{HOUSE}/network?trade=tile&many=0").text
    fields = dict(re.findall(r'name="(rows\.[^"]+)" value="([^"]*)"', page))
    fields["rows.0.days_likely"] = "4 1/2"
    before = store.facts("tern-hollow").sequence
    assert form(client, "edit-activities", **fields, shown="days_low days_high").status_code == 303
    assert store.facts("tern-hollow").sequence == before + 1


def test_a_loop_names_its_activities(client):
    said = client.post(f"{HOUSE}/do/link", data={"_nonce": "n", "before": "A020", "after": "R010"},
                       headers={"accept": "application/json"}).json()  # fmt: skip
    assert "R010 Framing complete" in said["message"]
    assert said["field"] == "after"


def test_an_activity_says_what_drives_it_and_what_needs_it(reading):
    page = reading.get(f"{HOUSE}{WORK}/A175").text
    for words in ("What drives it", "What it drives", "This sets the start", "tel:555-"):
        assert words in page
    assert "/orders/L" in reading.get(f"{HOUSE}{WORK}/A165").text
    assert reading.get(f"{HOUSE}{WORK}/nobody").status_code == 404


def test_history_comes_from_the_journal(client):
    form(client, "edit-activity", activity="A175", note="two men")
    page = client.get(f"{HOUSE}{WORK}/A175").text
    assert "note two men" in page


def test_who_is_where_by_room(reading):
    page = reading.get(f"{HOUSE}/who?on=2027-04-15").text
    assert "Thu Apr 15, 2027" in page
    assert "a day off" in reading.get(f"{HOUSE}/who?on=2027-04-17").text
    assert reading.get(f"{HOUSE}/who?room=999").status_code == 404
    assert reading.get(f"{HOUSE}/who?on=1999-01-01").status_code == 422


def test_the_api_says_who_is_where(reading):
    at = f"/api/v1{HOUSE.replace('/h/', '/houses/')}/who"
    found = reading.get(f"{at}?on=2027-04-15&room=101").json()
    assert found["schema"] == "roomwright/who"
    assert [a["activity"] for a in found["days"][0]["activities"]] == ["A150", "A285"]
    assert reading.get(f"{at}?room=999").status_code == 404
    assert reading.get(f"{at}?on=1999-01-01").status_code == 422


def test_an_activity_says_how_sure_it_is_once_that_takes_a_blink(reading, monkeypatch):
    from roomwright.web import activity, simulations

    monkeypatch.setattr(activity, "quick", lambda facts: True)
    monkeypatch.setattr(simulations, "quick", lambda facts: True)
    page = reading.get(f"{HOUSE}{WORK}/A175").text
    assert "80 % sure to be done by" in page
    assert "a guess, not history" in page
    assert "80 % sure" not in reading.get(f"{HOUSE}{WORK}/R010").text  # it is done
