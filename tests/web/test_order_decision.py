"""The decision on a line's page: by when, a week's wait, an offer compared."""

from __future__ import annotations

import re

import pytest
from tests.web.conftest import HOUSE

from roomwright.web import order_decision


@pytest.fixture(autouse=True)
def few(monkeypatch):
    monkeypatch.setattr(order_decision, "SAMPLES", 300)


def test_a_line_to_order_says_by_when_and_what_a_week_costs(reading):
    text = reading.get(f"{HOUSE}/orders/L019").text
    assert "too late to be 80 % sure" in text
    assert "A week’s wait" in text
    assert "a guess, not history" in text
    decide = text[text.index('id="decide"') : text.index("</details>", text.index('id="decide"'))]
    assert not re.search(r"\d\.\d+ days?", decide), "whole days only"
    due = reading.get(f"{HOUSE}/orders/L001").text
    assert re.search(r"<strong>May \d+</strong> to be 80 % sure", due)
    costs = re.search(r"A week’s wait</dt><dd>costs (\d) days of move-in, ([\d,]+)\.", text)
    assert costs is not None
    assert int(costs[1]) == round(int(costs[2].replace(",", "")) / 310)  # 310 a day of the house
    # needed in eight weeks and here in one, and nobody has said what early costs
    assert re.search(r"A week’s wait</dt><dd>costs nothing\.", due)


def test_an_offer_is_compared_with_doing_nothing(reading):
    text = reading.get(
        f"{HOUSE}/orders/L011?hurry_days=10&hurry_price=350&other_days=2&other_price=9,000"
    ).text
    rows = re.findall(r'<tr><th scope="row">(let it|hurry|another)', text)
    assert rows == ["hurry", "let it", "another"]
    assert 'value="9,000"' in text


@pytest.mark.parametrize(
    ("asked", "says"),
    [
        ("sure=0", "from 1 to 99"),
        ("hurry_days=soon", "whole number"),
        ("hurry_days=3&hurry_price=much", "no price"),
        ("hurry_days=3&hurry_price=1e9", "no price"),
        ("other_days=-1", "whole number"),
        ("sure=000000001" + "0" * 5000, "from 1 to 99"),
        ("hurry_days=000000005999&hurry_price=1", "from 1 to 400"),
        ("hurry_days=5&hurry_price=" + "0" * 14 + "9" * 400, "no price"),
        ("hurry_days=5&hurry_price=" + "0" * 400, "no price"),
        ("hurry_days=5&hurry_price=10000000.01", "no price"),
        ("hurry_days=²", "whole number"),
    ],
)
def test_nonsense_is_refused_in_words(reading, asked, says):
    answer = reading.get(f"{HOUSE}/orders/L011?{asked}")
    assert answer.status_code == 422
    assert says in answer.text


def test_what_is_here_has_nothing_to_decide(reading):
    assert 'id="decide"' not in reading.get(f"{HOUSE}/orders/L217").text
