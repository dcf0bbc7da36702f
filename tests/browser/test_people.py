"""Choices, change orders, calls and the calendar in a real browser, on both devices."""

import pytest
from playwright.sync_api import Page, expect
from tests.browser.conftest import sideways, violations
from tests.browser.test_pages import SMALL, TOO_SMALL

from roomwright import commands

PAGES = (
    "/choices", "/choices?who=", "/calls", "/change-orders", "/change-orders/CO-1", "/feed",
    "/orders?by=room", "/orders?by=visit", "/orders/L007", "/today",
)  # fmt: skip


@pytest.fixture
def busy(house: str, server) -> str:
    """The address of a house in which people have decided, changed and said things."""
    id = house.rpartition("/")[2]
    for name, values in (
        ("add choice", {"what": "dining table", "lines": "L007", "options": "oak, $4,200; walnut"}),
        ("add choice", {"what": "paint", "activity": "A250"}),
        ("add change order", {"title": "Heated floor", "price": "1850", "days": "2",
                              "activities": "A250", "lines": "L007"}),
    ):  # fmt: skip
        commands.run(server.store, id, commands.parse(name, values), who="test")
    return house


@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_axe_finds_nothing(page: Page, busy: str, scheme: str):
    page.emulate_media(color_scheme=scheme)
    wrong = {}
    for path in PAGES:
        page.goto(busy + path)
        for details in page.locator("main details").all()[:4]:
            details.evaluate("d => { d.open = true; }")
        if found := violations(page):
            wrong[path] = found
    assert wrong == {}


def test_nothing_scrolls_sideways_and_fingers_find_targets(page: Page, busy: str):
    wrong = {}
    for path in PAGES:
        page.goto(busy + path)
        if found := [sideways(page)] * bool(sideways(page)) + page.evaluate(TOO_SMALL, SMALL):
            wrong[path] = found
    assert wrong == {}


def test_a_choice_is_decided(page: Page, busy: str, quiet):
    page.goto(f"{busy}/choices")
    one = page.locator("#C1")
    one.get_by_label("What", exact=True).fill("oak")
    one.get_by_role("button", name="Decided").click()
    expect(page.get_by_role("status").first).to_contain_text("dining table: oak, decided Mar 29")
    expect(page.locator("#C1")).to_contain_text("oak, decided Mar 29")


def test_a_call_is_recorded_by_keyboard_alone(page: Page, busy: str, quiet):
    page.goto(f"{busy}/calls")
    one = page.locator("#A165-cabinet")
    one.locator("summary").focus()
    page.keyboard.press("Enter")
    one.get_by_label("no answer").focus()
    page.keyboard.press("Space")
    one.get_by_role("button", name="Record the call").focus()
    page.keyboard.press("Enter")
    expect(page.get_by_role("status").first).to_contain_text("did not answer")
    expect(page.locator("#A165-cabinet")).to_contain_text("No answer on Mar 29.")


def test_a_change_order_is_signed_and_taken_back(page: Page, busy: str, quiet):
    page.goto(f"{busy}/change-orders/CO-1")
    page.get_by_label("By", exact=True).fill("Ana")
    page.get_by_role("button", name="Record it").click()
    expect(page.locator("main")).to_contain_text("by Ana, Mar 29")
    expect(page.locator("header")).to_contain_text("Jun 30")
    page.get_by_role("button", name="Undo").click()
    expect(page.get_by_role("button", name="Record it")).to_be_visible()
    expect(page.locator("header")).to_contain_text("Jun 28")


def test_the_address_of_the_calendar_is_renewed(page: Page, busy: str, quiet):
    page.goto(f"{busy}/feed")
    old = page.get_by_label("The address").input_value()
    assert page.request.get(old).ok
    page.get_by_role("button", name="Renew the address").click()
    expect(page.get_by_label("The address")).not_to_have_value(old)
    assert page.request.get(old).status == 404
