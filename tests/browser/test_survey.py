"""Taping a room in the browser: Enter adds, what was understood is read back, nothing is lost."""

from playwright.sync_api import Page, expect

AT = "/room/108/survey"


def test_enter_adds_a_reading_and_the_next_can_be_typed(page: Page, house: str):
    page.goto(house + AT)
    field = page.get_by_label("Readings")
    field.fill("A to C 23 8 3/4")
    expect(page.locator("[data-heard] li")).to_have_text("A to C 23'-8 3/4\"")
    field.press("Enter")
    expect(page.get_by_role("status").first).to_contain_text("Reading of Living recorded")
    expect(page.get_by_label("Readings")).to_have_value("")


def test_shift_enter_begins_a_new_line(page: Page, house: str):
    page.goto(house + AT)
    field = page.get_by_label("Readings")
    field.fill("A to C 23 8 3/4")
    field.press("Shift+Enter")
    field.type("middle to ceiling 107 7/8")
    expect(page.locator("[data-heard] li")).to_have_count(2)


def test_what_is_wrong_is_told_while_it_is_typed_and_stays_when_sent(page: Page, house: str):
    page.goto(house + AT)
    field = page.get_by_label("Readings")
    field.fill("A to Q 90")
    expect(page.locator("[data-heard] .bad")).to_contain_text("Reading 1")
    field.press("Enter")
    expect(page.get_by_role("alert")).to_contain_text("Reading 1")
    expect(field).to_have_value("A to Q 90")


def test_half_typed_readings_are_still_there_after_leaving(page: Page, house: str):
    page.goto(house + AT)
    page.get_by_label("Readings").fill("A to C 23 8")
    page.goto(house + "/today")
    page.goto(house + AT)
    expect(page.get_by_label("Readings")).to_have_value("A to C 23 8")
    expect(page.locator("[data-heard] li")).to_have_text("A to C 23'-8\"")


def test_without_signal_a_reading_waits_on_the_device(page: Page, house: str):
    page.goto(house + AT)
    page.context.set_offline(True)
    page.get_by_label("Readings").fill("A to C 23 8 3/4")
    page.get_by_label("Readings").press("Enter")
    expect(page.locator("#waiting")).to_contain_text("1 waiting for signal")
    page.context.set_offline(False)
    expect(page.get_by_role("status").first).to_contain_text("Reading of Living recorded")


def test_taking_the_room_as_taped_and_undoing_it(page: Page, house: str):
    page.goto(house + AT)
    page.get_by_role("button", name="Take it as taped").click()
    expect(page.get_by_text("taped to the board face by builder, Mar 24").first).to_be_visible()
    page.get_by_role("button", name="Undo").click()
    expect(page.get_by_text("drawn to the finished faces, not taped yet")).to_be_visible()
