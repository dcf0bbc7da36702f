"""The pages Crews and Weeks ahead, their searches and their sheet."""

import re
import time

import pytest
from tests.answers.demo_house import answers

from roomwright.web import crew_searches
from roomwright.web.crews import later_of
from roomwright.web.trouble import RefusedError

HOUSE = "/h/tern-hollow"


def test_the_page_says_what_crews_cost_and_who_clashes(reading):
    html = reading.get(f"{HOUSE}/crews").text
    assert "Crews and rooms cost the house no day" in html
    assert "Proved: no plan does better" in html
    assert "one plumber crew" in html
    assert "supposed" in html
    assert "Nobody is booked yet" in html


def test_a_booking_is_kept_and_after_a_slip_somebody_is_called(client):
    def do(name, **fields):
        done = client.post(f"{HOUSE}/do/{name}", data={"_back": f"{HOUSE}/crews", **fields})
        assert done.status_code == 303, done.text

    do("book", activity="A095", first_day="2027-04-02", said_by="Ann")
    assert "the plan keeps every booking" in client.get(f"{HOUSE}/crews").text
    do("book", activity="A095", first_day="2027-03-30")  # before what it waits for
    html = client.get(f"{HOUSE}/crews").text
    assert re.search(r"Booked for\s+Mar 30", html)
    assert 'href="tel:555-0144"' in html
    do("cancel-booking", activity="A095")
    assert "Nobody is booked yet" in client.get(f"{HOUSE}/crews").text


def test_days_later_are_a_number_or_any(reading):
    assert reading.get(f"{HOUSE}/crews?later=3").status_code == 200
    assert reading.get(f"{HOUSE}/crews?later=any").status_code == 200
    assert reading.get(f"{HOUSE}/crews?later=-1").status_code == 422
    with pytest.raises(RefusedError, match="0 to 60"):
        later_of("61")


def test_a_longer_search_is_followed_and_its_plan_is_kept(client):
    begun = client.post(f"{HOUSE}/crews/searches", data={"later": "0"})
    assert begun.status_code == 201
    told = begun.json()
    for _ in range(200):
        if told["done"]:
            break
        told = client.get(told["follow"]).json()
        time.sleep(0.02)
    assert told["done"]
    assert told["wrong"] == ""
    assert client.get(told["goto"]).status_code == 200
    assert client.get(f"{HOUSE}/crews/searches/none").status_code == 404


def test_a_search_is_stopped_and_gives_the_best_so_far(client, monkeypatch):
    begun = client.post(f"{HOUSE}/crews/searches").json()
    stopped = client.post(f"{begun['follow']}/stop", headers={"accept": "application/json"}).json()
    assert stopped["done"]
    assert client.get(stopped["goto"]).status_code == 200
    monkeypatch.setattr(crew_searches, "RUNNING", 0)
    assert client.post(f"{HOUSE}/crews/searches").status_code == 429


def test_weeks_ahead_and_their_sheet(reading):
    html = reading.get(f"{HOUSE}/look-ahead").text
    assert "Mar 29 to Apr 16, 2027" in html
    assert html.count("<svg") == 4  # by crew and by room, wide and narrow
    assert "follow local code and licensed practice" in html.lower()
    assert reading.get(f"{HOUSE}/look-ahead?from=2027-04-26&weeks=2").status_code == 200
    assert reading.get(f"{HOUSE}/look-ahead?from=2072-04-26").status_code == 422
    assert reading.get(f"{HOUSE}/look-ahead?weeks=9").status_code == 422
    assert "Nobody works" in reading.get(f"{HOUSE}/look-ahead?from=2028-04-26").text
    first, again = (reading.get(f"{HOUSE}/look-ahead.pdf") for _ in range(2))
    assert first.headers["content-type"] == "application/pdf"
    assert first.content == again.content
    assert first.content.startswith(b"%PDF")


def test_what_the_clock_cut_short_says_so_and_is_kept(monkeypatch):
    searches, house = crew_searches.CrewSearches(), answers()
    monkeypatch.setattr(crew_searches, "PATIENCE", -1.0)
    first = searches.at_once(house, 0)
    assert any("seconds at most" in note for note in first.notes)
    assert "was stopped" not in " ".join(step.text for step in first.plan.steps)
    monkeypatch.setattr(crew_searches, "PATIENCE", 60.0)
    assert searches.at_once(house, 0) is first, "the next page does not pay again"
    whole = crew_searches.CrewSearches().at_once(house, 0)
    assert not any("seconds" in note for note in whole.notes)


def test_a_plan_of_a_longer_search_says_that_it_is():
    searches, house = crew_searches.CrewSearches(), answers()
    short = searches.at_once(house, 0)
    assert crew_searches.LONGER not in short.notes
    searches.at_once(house, 0, long=True)
    assert crew_searches.LONGER in searches.at_once(house, 0).notes
    assert crew_searches.LONGER not in searches.at_once(house, 0, long=True).notes


def test_what_breaks_a_search_is_for_the_log_and_not_for_the_page(monkeypatch, caplog):
    def broken(*_args, **_more):
        raise RuntimeError("0x7f: core fell out")

    searches = crew_searches.CrewSearches()
    monkeypatch.setattr(searches, "_answer", broken)
    search = searches.start(answers(), "h", 0)
    assert search.done.wait(10)
    assert search.wrong.startswith("The search failed")
    assert "core fell out" not in search.wrong
    assert "core fell out" in caplog.text
