"""Try a room and Start a house, as a builder would, on both devices."""

import re

from playwright.sync_api import Page, expect


def test_try_a_room(page: Page, server, device: str, quiet):
    page.goto(f"{server.address}/houses")
    page.get_by_role("link", name="Try a room").first.click()
    expect(page.locator("#answer")).to_contain_text("fits")  # a verdict before anything is typed
    page.get_by_label("Width east to west").first.fill("12' 0")
    expect(page.locator("#answer")).to_contain_text("12'-0\" × 12'-6\"")
    page.get_by_label("Width east to west").nth(1).fill("108")
    expect(page.locator("#answer")).to_contain_text("short")
    second = page.get_by_role("group", name="Second opening")
    second.get_by_label("In wall").select_option("D")
    second.get_by_label("From the corner").fill("20")
    second.get_by_label("Width").fill("36")
    second.get_by_label("Hand").select_option("right")
    expect(page.locator("#answer")).to_contain_text("walk path")
    second.get_by_label("Width").fill("36 feet")
    expect(page.locator("#answer")).to_contain_text("past the end of wall D")
    second.get_by_label("Width").fill("36")
    expect(page.locator("#answer svg").first).to_be_attached()
    page.get_by_label("Its name").fill(f"Supper room {device}")
    page.get_by_role("button", name="Keep this room").click()
    expect(page.get_by_role("heading", level=1)).to_contain_text("Supper room")
    assert re.search(r"/h/supper-room-(desktop|phone)(-\d+)?/room/1", page.url)
    expect(page.locator(".room.live .piece.held").first).to_be_attached()


def test_a_tried_room_can_be_gone_back_to(page: Page, server, quiet):
    page.goto(f"{server.address}/try")
    page.get_by_label("Depth south to north").fill("11'")
    expect(page.locator("#answer")).to_contain_text("11'-0\"")
    page.reload()
    expect(page.get_by_label("Depth south to north")).to_have_value("11'")


def test_start_a_house(page: Page, server, device: str, quiet):
    page.goto(f"{server.address}/start")
    page.get_by_label("What do you call it?").fill(f"Heron {device}")
    page.get_by_label("1", exact=True).first.check()
    page.get_by_label("gas", exact=True).check()
    page.goto(f"{server.address}/try")
    page.goto(f"{server.address}/start")  # what was typed is still there
    expect(page.get_by_label("What do you call it?")).to_have_value(f"Heron {device}")
    expect(page.get_by_label("gas", exact=True)).to_be_checked()
    page.get_by_role("button", name="Make the house").click()
    expect(page.locator(".message.done")).to_contain_text("started")
    expect(page.locator("figure:visible svg").first).to_be_visible()
    page.get_by_text("Add a room beside another").click()
    form = page.locator("form[action$='/do/add-room']")
    form.get_by_label("Number").fill("190")
    form.get_by_label("Name").fill("Porch")
    form.get_by_label("Width").fill("8'")
    form.get_by_label("Depth").fill("10'")
    form.get_by_label("On the").select_option("south")
    form.get_by_role("button", name="Add the room").click()
    expect(page.locator("main")).to_contain_text("190")
    page.goto(f"{page.url.split('?')[0]}/check")
    expect(page.locator(".state.blocked")).to_have_count(0)


def test_a_wrong_answer_is_said_in_place(page: Page, server):
    page.goto(f"{server.address}/start")
    page.get_by_label("What do you call it?").fill("Nowhere")
    page.locator("[name=board_date]").fill("some day")
    page.get_by_role("button", name="Make the house").click()
    expect(page.locator(".error")).to_contain_text("is no date")
    expect(page.locator("[name=board_date]")).to_be_focused()
    expect(page.get_by_label("What do you call it?")).to_have_value("Nowhere")


def test_back_finds_what_was_typed(page: Page, server):
    page.goto(f"{server.address}/load")
    page.goto(f"{server.address}/start")
    page.locator("[name=board_date]").fill("in 9 weeks")
    page.goto(f"{server.address}/houses")
    page.go_back()
    expect(page.locator("[name=board_date]")).to_have_value("in 9 weeks")
