"""The page Walls and heights in a browser: axe, targets, no sideways scroll, print, keyboard."""

import pytest
from playwright.sync_api import Page, expect
from tests.browser.conftest import sideways, violations
from tests.browser.test_pages import SMALL, TOO_SMALL

PAGES = ("/room/101/walls", "/room/202/walls", "/room/204/walls", "/room/108/walls")


@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_axe_finds_nothing_and_nothing_scrolls_sideways(page: Page, house: str, scheme, quiet):
    page.emulate_media(color_scheme=scheme)
    for address in PAGES:
        page.goto(house + address)
        for details in page.locator("details").all():
            details.evaluate("d => { d.open = true; }")
        assert violations(page) == [], address
        assert sideways(page) == 0, address


def test_targets_are_large(page: Page, house: str, device: str):
    for address in PAGES:
        page.goto(house + address)
        assert page.evaluate(TOO_SMALL, SMALL) == [], address


def test_from_the_room_by_keyboard_and_back(page: Page, house: str):
    page.goto(f"{house}/room/101")
    page.get_by_role("link", name="Walls and heights").focus()
    page.keyboard.press("Enter")
    expect(page.get_by_role("heading", name="Walls and heights")).to_be_visible()
    page.get_by_role("link", name="The plan", exact=True).focus()
    page.keyboard.press("Enter")
    expect(page).to_have_url(f"{house}/room/101")


def test_print_leaves_the_buttons_out_and_keeps_the_walls(page: Page, house: str):
    page.goto(f"{house}/room/204/walls")
    page.emulate_media(media="print")
    expect(page.get_by_role("link", name="Print the walls")).to_be_hidden()
    expect(page.locator(".plan svg:visible").first).to_be_visible()
