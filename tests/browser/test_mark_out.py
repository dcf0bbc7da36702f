"""The mark-out page in a browser: axe, targets, keyboard, ticks that stay, print, no script."""

import pytest
from playwright.sync_api import Page, expect
from tests.browser.conftest import sideways, violations
from tests.browser.test_pages import LARGE, SMALL, TOO_SMALL

PAGES = (
    "/room/101/mark-out", "/room/101/mark-out?method=baseline&words=aloud",
    "/room/102/mark-out?piece=K2&piece=K3&with=clearances&standing=K3", "/room/103/mark-out",
)  # fmt: skip


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
        for details in page.locator("main details").all():
            details.evaluate("d => { d.open = true; }")
        assert page.evaluate(TOO_SMALL, SMALL) == [], address
        rows = page.locator(".steps label, .asked-for .choice").all()
        least = min((r.bounding_box()["height"] for r in rows), default=LARGE)
        assert least >= LARGE


def test_another_method_by_keyboard(page: Page, house: str):
    page.goto(f"{house}/room/101/mark-out")
    summary = page.get_by_text("What to mark, and how")
    summary.focus()
    page.keyboard.press("Enter")
    page.get_by_label("by two ties").focus()
    page.keyboard.press("ArrowDown")
    expect(page.get_by_label("from a baseline")).to_be_checked()
    page.get_by_role("button", name="Lay it out so").focus()
    page.keyboard.press("Enter")
    expect(page.get_by_role("heading", name="along the north wall")).to_be_visible()
    assert "method=baseline" in page.url


def test_ticked_steps_stay_ticked(page: Page, house: str):
    page.goto(f"{house}/room/101/mark-out")
    boxes = page.locator(".steps input")
    boxes.nth(0).check()
    boxes.nth(2).check()
    page.reload()
    expect(boxes.nth(0)).to_be_checked()
    expect(boxes.nth(1)).not_to_be_checked()
    expect(boxes.nth(2)).to_be_checked()
    page.goto(f"{house}/room/101/mark-out?method=baseline")
    expect(boxes.nth(0)).not_to_be_checked()


def test_it_prints_the_steps_and_not_the_form(page: Page, house: str):
    page.goto(f"{house}/room/101/mark-out")
    page.emulate_media(media="print")
    expect(page.get_by_text("Hold the end of the tape").first).to_be_visible()
    expect(page.get_by_role("link", name="Print the sheet")).to_be_hidden()


def test_without_script(browser, house: str):
    context = browser.new_context(java_script_enabled=False)
    page = context.new_page()
    page.goto(f"{house}/room/101/mark-out")
    page.get_by_text("What to mark, and how").click()
    page.get_by_label("where the chair backs are").check()
    page.get_by_role("button", name="Lay it out so").click()
    expect(page.get_by_text("line of chair backs").first).to_be_visible()
    context.close()
