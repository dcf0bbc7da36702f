"""The page of chances, and the end of the house on the front page and on Today."""

from __future__ import annotations

import re
import time

import pytest
from tests.web.conftest import HOUSE

from roomwright.web import chances as page
from roomwright.web import simulations as sims


def waited(client, url):
    """Ask until the simulation behind a page is done."""
    for _ in range(600):
        answer = client.get(url)
        assert answer.status_code == 200
        assert "refresh" not in answer.headers, "no page is taken away from who reads it"
        if "data-follow" not in answer.text:
            return answer.text
        time.sleep(0.1)
    raise AssertionError("the simulation does not end")


@pytest.fixture
def few(monkeypatch):
    monkeypatch.setattr(sims, "SAMPLES", 300)
    monkeypatch.setattr(page, "SAMPLES", 300)


def test_the_page_waits_without_holding_others_up_and_then_tells(client, few):
    first = client.get(f"{HOUSE}/chances")
    if "data-follow" in first.text:
        assert "<progress" in first.text
        assert ">Look again</a>" in first.text, "without script"
        assert "300 futures" in first.text
        assert "/chances/stop" in first.text
        assert "http-equiv" not in first.text
    text = waited(client, f"{HOUSE}/chances")
    assert "How sure is it?" in text
    assert "Done by Jun 28 by the plan; 80 % sure by" in text
    assert text.count("<circle") >= 40  # twenty dots, wide and narrow
    assert "a guess, not history" in text
    assert "Range 30, gas or electric" in text
    assert not re.search(r"\d\.\d+ days?", text), "whole days only"


def test_another_confidence(client, few):
    waited(client, f"{HOUSE}/chances")
    text = waited(client, f"{HOUSE}/chances?sure=95")
    assert "95 % sure by" in text
    assert client.get(f"{HOUSE}/chances?sure=100").status_code == 422


def test_front_page_and_today_say_how_sure(client, few):
    waited(client, f"{HOUSE}/chances")
    for url in (f"{HOUSE}", f"{HOUSE}/today"):
        text = client.get(url).text
        assert "Move-in by Jun 28 by the plan" in text
        assert "80 % sure by" in text


def test_a_stopped_simulation_says_so_and_begins_again(client, few, monkeypatch):
    def slow(self, made, at, own=True):
        while not made.stop:
            time.sleep(0.01)
        made.done.set()

    monkeypatch.setattr(sims.Simulations, "_run", slow)
    monkeypatch.setattr(sims, "quick", lambda facts: False)
    assert "<progress" in client.get(f"{HOUSE}/chances").text
    assert "being worked out" in client.get(f"{HOUSE}/today").text
    said = client.post(f"{HOUSE}/chances/stop")
    assert said.status_code in (200, 303)
    text = client.get(f"{HOUSE}/chances").text
    assert "was stopped" in text
    assert client.get(f"{HOUSE}/today").status_code == 200
    monkeypatch.undo()
    monkeypatch.setattr(sims, "SAMPLES", 300)
    waited(client, f"{HOUSE}/chances?again=1")


def test_a_house_that_changes_is_simulated_anew(client, few):
    before = waited(client, f"{HOUSE}/chances")
    later = waited(client, f"{HOUSE}/chances?as_of=2027-04-12")
    assert before != later


def test_the_page_that_waits_asks_how_far_it_is(client, few, monkeypatch):
    monkeypatch.setattr(sims, "quick", lambda facts: False)
    seen = client.get(f"{HOUSE}/chances").text
    at = re.search(r'data-follow="([^"]+)"', seen)[1]
    assert "js/chances.js" in seen
    for _ in range(600):
        told = client.get(at).json()
        assert 0 <= told["share"] <= 1
        if told["done"]:
            break
    assert told == {"share": 1.0, "done": True}
    assert "80 % sure by" in client.get(f"{HOUSE}/chances").text


def test_what_breaks_a_simulation_is_for_the_log_and_not_for_the_page(client, monkeypatch, caplog):
    def broken(*_args):
        raise RuntimeError("0x7f: core fell out")

    monkeypatch.setattr(sims, "watched", broken)
    monkeypatch.setattr(sims, "quick", lambda facts: True)
    text = client.get(f"{HOUSE}/chances").text
    assert "The simulation failed" in text
    assert "core fell out" not in text
    assert "core fell out" in caplog.text
