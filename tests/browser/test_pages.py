"""Every page on both devices: axe finds nothing, nothing scrolls sideways, fingers find targets."""

import pytest
from playwright.sync_api import Page, expect
from tests.browser.conftest import sideways, violations

from roomwright.chances import warm

PAGES = (
    "/", "/today", "/chances", "/orders", "/orders/L011", "/orders/L019", "/orders?show=all",
    "/counts", "/counts?room=102", "/history", "/sheets", "/work", "/journal", "/check",
    "/room/101", "/room/102", "/room/204", "/room/103", "/room/210", "/room/101/what-fits",
    "/room/101/survey", "/room/108/survey", "/room/102/survey", "/room/101/mark-out",
    "/room/208/mark-out", "/room/102/walls", "/room/204/walls", "/walk-paths", "/draw/1",
    "/draw/1?pick=room:101", "/nowhere",
    "/terms", "/terms?calendar=tile&maker=Marlowe+Forge&of=L019&steps=RANGE",
)  # fmt: skip
OUTSIDE = ("/houses", "/try", "/start", "/load", "/h/nobody")
SMALL = 44
LARGE = 60

TOO_SMALL = """(least) => [...document.querySelectorAll(
    'button, input:not([type=hidden]), select, summary, nav a, a.button, .nav a, main a')]
  .filter(e => e.checkVisibility() && !e.closest('svg') && !e.closest('.skip'))
  .filter(e => !['radio', 'checkbox'].includes(e.type))
  .filter(e => !(e.tagName === 'A' && getComputedStyle(e).display === 'inline'))
  .map(e => [e, e.getBoundingClientRect()])
  .filter(([e, r]) => r.width > 0 && (r.height < least || r.width < least))
  .map(([e, r]) => `${e.tagName} ${e.className} "${e.textContent.trim().slice(0, 30)}" ` +
                   `${Math.round(r.width)} x ${Math.round(r.height)}`)"""


@pytest.fixture(autouse=True, scope="module")
def compiled() -> None:
    """Simulations take a blink, so no page waits for one and comes again by itself."""
    assert warm()


def addresses(server, house: str) -> list[str]:
    return [house + p.removesuffix("/") for p in PAGES] + [server.address + p for p in OUTSIDE]


@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_axe_finds_nothing(page: Page, house: str, server, scheme: str):
    page.emulate_media(color_scheme=scheme)
    wrong = {}
    for address in addresses(server, house):
        page.goto(address)
        for details in page.locator("details").all()[:6]:
            details.evaluate("d => { d.open = true; }")
        if found := violations(page):
            wrong[address] = found
    assert wrong == {}


def test_bright_screen_is_clean_too(page: Page, house: str, server):
    page.goto(house)
    page.get_by_role("button", name="bright").click()
    expect(page.locator("html")).to_have_attribute("data-theme", "bright")
    for address in (house, f"{house}/room/101", f"{house}/orders"):
        page.goto(address)
        assert violations(page) == []
        assert sideways(page) == 0


def test_nothing_scrolls_sideways(page: Page, house: str, server):
    wide = {a: w for a in addresses(server, house) if page.goto(a) and (w := sideways(page))}
    assert wide == {}


def test_targets_are_large_enough(page: Page, house: str, server, device: str):
    small = {}
    for address in addresses(server, house):
        page.goto(address)
        if found := page.evaluate(TOO_SMALL, SMALL):
            small[address] = found
    assert small == {}
    if device == "phone":
        page.goto(f"{house}/room/101")
        for target in page.locator(".nav a, button.main, a.button").all():
            if target.is_visible():
                assert target.bounding_box()["height"] >= LARGE


def test_letters_are_17_px_or_more(page: Page, house: str, server):
    small = """() => [...document.querySelectorAll('main *, header *, footer *')]
      .filter(e => e.checkVisibility() && !e.closest('svg, .unseen') &&
              [...e.childNodes].some(n => n.nodeType === 3 && n.textContent.trim()))
      .filter(e => parseFloat(getComputedStyle(e).fontSize) < 17)
      .map(e => `${e.tagName} ${e.className}: ${e.textContent.trim().slice(0, 30)}`)"""
    for address in addresses(server, house):
        page.goto(address)
        assert page.evaluate(small) == [], address


def test_every_page_has_one_heading_and_a_title(page: Page, house: str, server):
    for address in addresses(server, house):
        page.goto(address)
        assert page.locator("h1").count() == 1, address
        assert page.title()


def test_the_keyboard_reaches_a_room_from_the_plan(page: Page, house: str):
    page.goto(house)
    link = page.locator("figure:visible a[href$='/room/101']").first
    link.focus()
    page.keyboard.press("Enter")
    expect(page.get_by_role("heading", level=1)).to_contain_text("Dining")
