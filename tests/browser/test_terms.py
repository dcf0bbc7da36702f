"""Days and terms by hand: what is refused stays typed, what is emptied is emptied."""

from playwright.sync_api import Page, expect


def test_what_is_refused_stays_and_what_is_emptied_goes(page: Page, house: str, quiet: list[str]):
    page.goto(f"{house}/terms?calendar=tile")
    form = page.locator("#calendar")
    form.get_by_label("Tue").check()
    form.get_by_label("Other days off").fill("someday")
    form.get_by_label("Note").fill("Ann")
    form.get_by_role("button", name="Keep these days").click()
    expect(page.locator(".error")).to_contain_text("no day or run of days")
    expect(form.get_by_label("Other days off")).to_have_value("someday")
    expect(form.get_by_label("Tue")).to_be_checked()
    expect(form.get_by_label("Note")).to_have_value("Ann")
    quiet.clear()  # the browser writes down that a form was refused
    form.get_by_label("Other days off").fill("2027-04-19 to 2027-04-23\nevery Dec 24 to Jan 1")
    form.get_by_role("button", name="Keep these days").click()
    expect(page.locator(".message.done")).to_contain_text("tile works by a calendar of its own")
    expect(page.locator("#calendars .rows")).to_contain_text("Dec 24 to Jan 1 each year")
    form = page.locator("#calendar")
    expect(form.get_by_label("Tue")).to_be_checked()
    form.get_by_label("Tue").uncheck()
    form.get_by_label("Other days off").fill("")
    form.get_by_label("Note").fill("")
    form.get_by_role("button", name="Keep these days").click()
    expect(page.locator(".message.done")).to_contain_text("by the calendar of the house again")
    expect(page.locator("#calendar").get_by_label("Other days off")).to_have_value("")
