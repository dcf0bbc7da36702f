"""The tour: the house, the dining room, its table short of room, what fits, the move, the paper."""

import re

from playwright.sync_api import Page, expect

from roomwright.job.entities import Piece


def side(page: Page, name: str):
    return page.locator(f"[data-verdict={name}]").first


def clear(page: Page, name: str):
    return page.locator(f"[data-clear={name}]").first


def open_dining(page: Page, house: str) -> None:
    page.goto(house)
    page.locator("figure:visible a[href$='/room/101']").first.click()
    expect(page.get_by_role("heading", level=1)).to_contain_text("Dining")
    expect(page.locator(".room.live")).to_be_visible()


def place(server, house: str, piece: str = "T1"):
    fact = server.store.facts(house.rsplit("/", 1)[1]).get(Piece, piece)
    return float(fact.x), float(fact.y)


def test_house_to_dining_room(page: Page, house: str, quiet):
    open_dining(page, house)
    expect(side(page, "east")).to_contain_text('short 5"')
    expect(clear(page, "east")).to_have_text("3'-3\"")
    expect(page.get_by_text("Five inches west clears it")).to_be_visible()


def test_the_cure_is_one_press(page: Page, house: str, server, quiet):
    open_dining(page, house)
    page.get_by_role("button", name='Move it 5" west').click()
    expect(clear(page, "east")).to_have_text("3'-8\"")
    expect(clear(page, "west")).to_have_text("2'-10\"")
    expect(page.locator("[data-verdicts] .state.short").first).to_contain_text("short")  # the light
    expect(side(page, "east")).to_contain_text("tight")
    assert place(server, house) == (76, 84)
    page.locator(".message.done").get_by_role("button", name="Undo").click()
    expect(side(page, "east")).to_contain_text('short 5"')
    assert place(server, house) == (81, 84)


def test_move_by_keys(page: Page, house: str, server, quiet):
    open_dining(page, house)
    page.locator("figure:visible .piece[data-piece=T1]").focus()
    for _ in range(5):
        page.keyboard.press("ArrowLeft")
    expect(clear(page, "east")).to_have_text("3'-8\"")
    page.keyboard.press("Shift+ArrowLeft")
    expect(clear(page, "east")).to_have_text("3'-8 1/4\"")
    expect(page.locator("[data-undo]")).to_contain_text("5 1/4")
    assert place(server, house) == (75.75, 84)
    assert page.evaluate("document.activeElement.dataset.piece") == "T1"


def test_move_by_typed_number(page: Page, house: str, server, quiet):
    open_dining(page, house)
    field = page.get_by_label("West wall to center")
    field.fill("6 4 0/1 fathoms")
    expect(page.locator(".reading.bad").first).to_be_visible()
    field.fill("6' 4")
    expect(page.locator(".reading").first).to_have_text("reads 6'-4\"")
    expect(clear(page, "east")).to_have_text("3'-8\"")  # before anything is written
    assert place(server, house) == (81, 84)
    page.get_by_role("button", name="Put it there").click()
    expect(page.locator(".message.done")).to_contain_text('moved 5" west')
    assert place(server, house) == (76, 84)


def test_move_by_drag(page: Page, house: str, server, device: str, quiet):
    open_dining(page, house)
    piece = page.locator("figure:visible .piece[data-piece=T1] .body")
    piece.scroll_into_view_if_needed()
    box = piece.bounding_box()
    scale = box["width"] / 84
    x, y = box["x"] + box["width"] / 2, box["y"] + box["height"] / 3
    if device == "phone":
        touch(page, [(x - i * scale, y) for i in range(6)])
    else:
        page.mouse.move(x, y)
        page.mouse.down()
        for i in range(1, 6):
            page.mouse.move(x - i * scale, y)
        expect(clear(page, "east")).to_have_text(re.compile("3'-[78]"))  # follows while it moves
        page.mouse.up()
    expect(page.locator("[data-undo]")).to_contain_text("moved")
    moved, across = place(server, house)
    assert abs(moved - 76) <= 0.5
    assert abs(across - 84) <= 0.5
    assert moved * 4 == int(moved * 4), "a drag rests on quarters of an inch"


def touch(page: Page, points: list[tuple[float, float]]) -> None:
    """Drag a finger along some points."""
    session = page.context.new_cdp_session(page)
    for number, (x, y) in enumerate(points):
        kind = "touchMove" if number else "touchStart"
        session.send("Input.dispatchTouchEvent", {"type": kind, "touchPoints": [{"x": x, "y": y}]})
        page.wait_for_timeout(30)
    session.send("Input.dispatchTouchEvent", {"type": "touchEnd", "touchPoints": []})


def test_what_fits_and_put_it_there(page: Page, house: str, server, quiet):
    open_dining(page, house)
    page.get_by_role("link", name="What fits here?").click()
    expect(page.get_by_role("heading", name="Seats vs. room")).to_be_visible()
    expect(page.locator("#front")).to_be_visible()
    title = page.locator(".title h2").inner_text()
    assert "seats 8" in title
    page.locator("#put").click()
    expect(page.get_by_role("heading", level=1)).to_contain_text("Dining")
    expect(page.locator(".message.done")).to_be_visible()
    expect(page.locator("[data-verdict] .state.short")).to_have_count(0)


def test_the_sheet_is_a_pdf(page: Page, house: str):
    open_dining(page, house)
    link = page.get_by_role("link", name="Print the sheet").get_attribute("href")
    answer = page.request.get(f"{house.split('/h/')[0]}{link}")
    assert answer.status == 200
    assert answer.headers["content-type"] == "application/pdf"
    assert answer.body().startswith(b"%PDF-")


def test_orders_and_counts(page: Page, house: str, quiet):
    page.goto(house)
    page.get_by_role("navigation", name="House").get_by_role("link", name="Orders").click()
    expect(page.get_by_role("link", name="Range hood", exact=True)).to_be_visible()
    expect(page.locator("main")).to_contain_text("order now")
    page.get_by_role("link", name="Range hood", exact=True).click()
    expect(page.locator("main")).to_contain_text("23 days of move-in")
    page.get_by_role("button", name="Record the order").click()
    expect(page.locator(".message.done")).to_contain_text("Order PO-")
    page.get_by_role("navigation", name="House").get_by_role("link", name="Counts").click()
    for words in ("50 of 52 ordered", "left hand", "apron scratched"):
        expect(page.locator("main")).to_contain_text(words)


def test_why_opens_by_key_and_tap(page: Page, house: str, device: str, quiet):
    open_dining(page, house)
    why = page.locator(".side details.why summary").first
    if device == "phone":
        why.tap()
    else:
        why.focus()
        page.keyboard.press("Enter")
    expect(page.locator(".side .because").first).to_contain_text('44"')
    expect(page.locator(".side .because").first).to_contain_text("Room taped Mar 25")


def test_it_reads_and_writes_without_script(browser, house: str, server):
    context = browser.new_context(java_script_enabled=False)
    page = context.new_page()
    page.goto(f"{house}/room/101")
    expect(page.locator("[data-verdict=east]")).to_contain_text('short 5"')
    page.get_by_role("button", name='1" west').click()
    expect(page.locator(".message.done")).to_contain_text('moved 1" west')
    expect(page.locator("[data-verdict=east]")).to_contain_text('short 4"')
    page.get_by_role("button", name='Move it 4" west').click()
    assert place(server, house) == (76, 84)
    context.close()
