"""The strip of weeks on the Orders page: dearest first, by room, by visit."""

import re
from datetime import date

import pytest
from tests.answers.demo_house import answers
from tests.web.conftest import HOUSE

from roomwright.answers.orders import orders
from roomwright.job.entities import Receipt
from roomwright.web.orders_strip import last_came


def headings(page):
    wide = page.partition('class="strip wide-only"')[2].partition("</figure>")[0]
    return re.findall(r'class="heading" data-group="([^"]*)"', wide)


def test_without_a_grouping_there_are_no_headings(reading):
    page = reading.get(f"{HOUSE}/orders").text
    assert headings(page) == []
    assert "8 times of 10, or by its lead" in page, "some have windows, some a lead only"


def test_by_room_the_room_that_costs_most_comes_first(reading):
    found = every_page(reading, "room", headings)
    assert found[:2] == ["102", "101"], "range and hood, then the table"
    rooms = {r.room for r in not_here()}
    assert set(found) == rooms
    assert len(found) - len(rooms) <= 2, "a room that goes on is headed again, no other"


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


def not_here():
    return [r for r in answers().ask(orders).lines if r.state.state != "on hand" and r.qty]


def lanes(page):
    wide = page.partition('class="strip wide-only"')[2].partition("</figure>")[0]
    return re.findall(r'data-line="([^"]+)"', wide)


def every_page(reading, by, part):
    found = []
    for n in (1, 2, 3):
        page = reading.get(f"{HOUSE}/orders?by={by}&page={n}").text
        assert f"<strong>page {n}</strong>" in page
        found += part(page)
    return found


@pytest.mark.parametrize("by", ["room", "visit"])
def test_every_line_that_is_not_here_has_one_lane(reading, by):
    wanted = [r.line for r in not_here() if by == "room" or r.need]
    found = every_page(reading, by, lanes)
    assert len(found) == len(set(found))
    assert set(found) == set(wanted)
    first = reading.get(f"{HOUSE}/orders?by={by}").text
    assert f"Lines 1 to 70 of {len(wanted)} that are not here" in first


def test_dearest_first_says_for_how_many_lines_it_stands(reading):
    page = reading.get(f"{HOUSE}/orders").text
    drawn, asking = re.search(r"(\d+) of (\d+) lines that ask for something: the", page).groups()
    assert int(drawn) == len(lanes(page)) == 14
    states = {"on hand", "in time", "due"}
    assert int(asking) == sum(r.state.state not in states for r in answers().ask(orders).lines)


def test_the_last_of_a_line_came_on_the_latest_day_whatever_the_ids():
    came = [
        Receipt(id=id, order="P", line="L", qty=1, on=on)
        for id, on in (("R1", date(2027, 3, 9)), ("R2", date(2027, 2, 1)), ("R3", None))
    ]
    assert last_came(came) == {"L": date(2027, 3, 9)}
