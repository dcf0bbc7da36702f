"""The network in a browser: pointing at two, filters and keys, axe, 500 activities."""

import time

import pytest
from playwright.sync_api import Page, expect
from tests.browser.conftest import sideways, violations

from roomwright import commands
from roomwright.job.entities import Link

WORK = "/work"


@pytest.mark.parametrize(
    "path", ["/network?pick=A175", "/network?many=0&trade=tile", WORK + "/A175", "/who?days=7",
             "/starter-work?what=kitchen&rooms=102", "/import-work"],
)  # fmt: skip
def test_axe_finds_nothing_and_nothing_runs_off(page: Page, house: str, quiet: list, path: str):
    page.goto(house + path)
    assert violations(page) == []
    assert sideways(page) == 0


def test_two_are_linked_by_pointing_at_them(page: Page, house: str, server, quiet: list):
    page.goto(f"{house}/network")
    page.get_by_role("button", name="Point at the two").click()
    svg = page.locator("#drawing svg")
    svg.locator('a[data-activity="A150"]').dispatch_event("click")
    expect(page.locator("[data-told]")).to_contain_text("Now tap the one that waits")
    svg.locator('a[data-activity="A360"]').dispatch_event("click")
    expect(page.locator("#link-before")).to_have_value("A150")
    expect(page.locator("#link-after")).to_have_value("A360")
    page.keyboard.press("Enter")  # the button has the focus
    expect(page.locator(".done")).to_contain_text("starts after A150")
    id = house.rpartition("/")[2]
    assert server.store.facts(id).find(Link, "A150 > A360 (finish to start)") is not None


def test_a_loop_is_said_beside_the_form(page: Page, house: str):
    page.goto(f"{house}/network")
    page.select_option("#link-before", "A360")
    page.select_option("#link-after", "A150")
    page.get_by_role("button", name="Link them").click()
    expect(page.locator("#link .error")).to_contain_text("wait for each other in a ring")


def test_five_hundred_activities_open_and_scroll(page: Page, house: str, server, device: str):
    id = house.rpartition("/")[2]
    rows = [{"activity": f"Q{i}", "name": f"Work number {i}", "days_likely": str(1 + i % 5),
             "trade": f"crew {i % 12}"} for i in range(400)]  # fmt: skip
    links = [{"before": f"Q{i}", "after": f"Q{i + 1 + i % 7}"} for i in range(392)]
    command = commands.parse("import work", {"activities": rows, "links": links})
    commands.run(server.store, id, command, who="test")
    page.goto(f"{house}/network")
    assert page.locator("#drawing svg a").count() == 502
    began = time.perf_counter()
    frames = page.evaluate(
        """() => new Promise((done) => {
          const held = document.querySelector(".held"); let n = 0; const at = [];
          const step = (t) => { at.push(t); held.scrollLeft += 40; held.scrollTop += 20;
            if (++n < 40) requestAnimationFrame(step);
            else done(Math.max(...at.slice(1).map((v, i) => v - at[i]))); };
          requestAnimationFrame(step); })"""
    )
    print(f"{device}: slowest frame of 40 while scrolling {frames:.0f} ms, "
          f"{time.perf_counter() - began:.1f} s in all")  # fmt: skip
