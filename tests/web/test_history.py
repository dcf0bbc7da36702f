"""The page History, and the line of orders with what happened to it."""

import pytest
from tests.web.conftest import HOUSE


def test_history_says_what_stands_behind_it(reading):
    html = reading.get(f"{HOUSE}/history").text
    assert "Of 36 that were 80 % sure, 36 came in time" in html
    assert "too cautious" in html
    assert "history of 13" in html
    assert "a guess, not history: 2 of 10 so far" in html
    assert "PO-110" in html


@pytest.mark.parametrize("day", ["2026-10-01", "2027-06-01"])
def test_history_on_another_day(reading, day):
    done = reading.get(f"{HOUSE}/history?as_of={day}")
    assert done.status_code == 200


def test_orders_lead_there(reading):
    assert f"{HOUSE}/history" in reading.get(f"{HOUSE}/orders").text


def post(client, what, /, **fields):
    form = {"_nonce": f"n-{what}-{sorted(fields.items())}", "_back": f"{HOUSE}/history", **fields}
    return client.post(f"{HOUSE}/do/{what}", data=form, follow_redirects=True)


def test_a_line_shows_its_way(reading):
    html = reading.get(f"{HOUSE}/orders/L019").text
    assert 'class="chain"' in html
    assert "on site" in html
    assert "last safe day" in html or "late" in html
    assert f"{HOUSE}/do/record-event" in html


def test_a_line_that_is_here_shows_what_happened(reading):
    html = reading.get(f"{HOUSE}/orders/L172").text
    assert 'class="chain"' not in html
    assert "1 ordered from Marlowe Forge, promised Feb 2" in html
    assert "1 came" in html


def test_damage_by_form_makes_it_missing_again(client):
    said = post(client, "record-event", what="damaged", line="L172", on="2027-03-26", qty="1",
                note="cracked").text  # fmt: skip
    assert "1 of L172 of order PO-101 damaged" in said
    html = client.get(f"{HOUSE}/orders/L172").text
    assert "1 damaged: cracked" in html
    assert "not claimed: claim it" in html
    assert "It came" in html  # the form for what comes in its place
    again = post(client, "record-event", what="damaged", line="L172", on="2027-03-27", qty="1")
    assert "only 0 good of order PO-101 were here" in again.text


def test_a_promise_by_form_keeps_the_one_before(client):
    post(client, "promise", order="PO-105", line="L011", promised="2027-05-06", on="2027-03-29")
    html = client.get(f"{HOUSE}/orders/L011").text
    assert "promise of PO-105 moved once, 5 working days later: from Apr 29 to May 6" in (
        " ".join(html.split())
    ).replace("Promise", "promise")


def test_steps_and_measures_by_form(client):
    part = {"line": "L019"}
    post(client, "set-step", **part, step="make", days_low="30", days_likely="40", days_high="60")
    post(client, "set-step", **part, step="ship", days_likely="5")
    said = post(client, "set-measure", **part, after="A120", expires_by="A125", words="tile in")
    assert said.status_code == 200
    html = client.get(f"{HOUSE}/orders/L019").text
    assert "Field measure: tile in" in html
    refused = post(client, "record-measure", **part, on="2027-03-29")
    assert "is not done" in refused.text
