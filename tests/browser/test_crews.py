"""Crews and Weeks ahead in a browser: axe, targets, no sideways scroll, print, a longer search."""

import pytest
from playwright.sync_api import Page, expect
from tests.browser.conftest import sideways, violations
from tests.browser.test_pages import SMALL, TOO_SMALL

PAGES = ("/crews", "/look-ahead", "/look-ahead?from=2027-04-26&weeks=2")


@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_axe_finds_nothing_and_nothing_scrolls_sideways(page: Page, house: str, scheme):
    page.emulate_media(color_scheme=scheme)
    for address in PAGES:
        page.goto(house + address)
        for details in page.locator("details").all()[:6]:
            details.evaluate("d => { d.open = true; }")
        assert violations(page) == [], address
        assert sideways(page) == 0, address


def test_targets_are_large(page: Page, house: str):
    for address in PAGES:
        page.goto(house + address)
        assert page.evaluate(TOO_SMALL, SMALL) == [], address


def test_a_booking_by_keyboard_is_on_the_weeks_ahead(page: Page, house: str):
    page.goto(f"{house}/work")
    page.get_by_role("link", name="Crews and bookings").focus()
    page.keyboard.press("Enter")
    row = page.locator("#plan-A095")
    row.locator("summary").focus()
    page.keyboard.press("Enter")
    row.get_by_role("button", name="Booked").focus()
    page.keyboard.press("Enter")
    expect(page.get_by_text("tile booked for Apr 2")).to_be_visible()
    expect(page.get_by_text("the plan keeps every booking")).to_be_visible()


def test_print_keeps_the_grids_and_leaves_the_buttons_out(page: Page, house: str):
    page.goto(f"{house}/look-ahead")
    page.emulate_media(media="print")
    expect(page.get_by_role("link", name="Print for the wall")).to_be_hidden()
    expect(page.locator(".strip svg:visible").first).to_be_visible()
