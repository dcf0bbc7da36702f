"""The strip of weeks on the Orders page: dearest first, by room, by visit."""

import re

import pytest
from tests.web.conftest import HOUSE


def headings(page):
    wide = page.partition('class="strip wide-only"')[2].partition("</figure>")[0]
    return re.findall(r'class="heading" data-group="([^"]*)"', wide)


def test_without_a_grouping_there_are_no_headings(reading):
    page = reading.get(f"{HOUSE}/orders").text
    assert headings(page) == []
    assert "lands in it 8 times of 10" in page


def test_by_room_the_room_that_costs_most_comes_first(reading):
    found = headings(reading.get(f"{HOUSE}/orders?by=room").text)
    assert found[:2] == ["102", "101"], "range and hood, then the table"
    assert len(found) == len(set(found)) > 5


def test_by_visit_in_the_order_of_the_days(reading):
    page = reading.get(f"{HOUSE}/orders?by=visit").text
    assert len(headings(page)) > 5
    assert "Cabinet" in page


def test_a_room_by_visit(reading):
    page = reading.get(f"{HOUSE}/orders?room=101&by=visit").text
    assert headings(page)
    assert "?by=room&amp;room=101" in page


@pytest.mark.parametrize("by", ["nothing", "<script>", ""])
def test_another_grouping_is_none(reading, by):
    answer = reading.get(f"{HOUSE}/orders", params={"by": by})
    assert answer.status_code == 200
    assert headings(answer.text) == []
