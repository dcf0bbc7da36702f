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
