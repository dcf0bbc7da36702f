"""A search that takes long shows how far it is and can be stopped; the best so far is shown."""

import time
from dataclasses import dataclass, field

import pytest
from playwright.sync_api import Page, expect
from tests.browser.conftest import sideways, violations

from roomwright.fit import search_whole

STEPS = 400


@dataclass
class Slow:
    """A long look round before the search itself, once it is on; at which step it was stopped."""

    on: bool = False
    stopped_at: list[int] = field(default_factory=list)


@pytest.fixture
def slow(monkeypatch):
    real, held = search_whole.find, Slow()

    def find(*args, progress=None, stop=None, **more):
        for step in range(STEPS if held.on else 0):
            progress(step / STEPS, f"place {step}")
            if stop():
                held.stopped_at.append(step)
                break
            time.sleep(0.05)
        return real(*args, progress=progress, stop=stop, **more)

    monkeypatch.setattr(search_whole, "find", find)
    return held


def test_a_long_search_shows_how_far_it_is_and_is_stopped(
    page: Page, house: str, device: str, quiet, slow
):
    page.goto(f"{house}/room/109/what-fits?kind=desk&width=48&depth=24")
    page.evaluate("document.querySelectorAll('details').forEach((d) => { d.open = true; })")
    slow.on = True
    page.locator("form[data-search] [name=width]").fill("36..72")
    page.locator("form[data-search] button.main").click()
    bar = page.locator("[data-waiting] progress")
    expect(bar).to_be_visible()
    expect(page.locator("[data-doing]")).to_contain_text("Looking: place")
    first = bar.evaluate("bar => bar.value")
    page.wait_for_function(
        "was => document.querySelector('[data-waiting] progress').value > was", arg=first
    )
    assert violations(page) == []
    assert sideways(page) <= 0
    stop = page.locator("[data-stop]")
    assert stop.bounding_box()["height"] >= (60 if device == "phone" else 44)
    stop.focus()
    page.keyboard.press("Enter")  # by keyboard as by touch
    page.wait_for_url("**search=**")
    (step,) = slow.stopped_at
    assert 0 < step < STEPS - 1
    expect(page.locator("main")).to_contain_text("topped")  # it says that it was stopped
