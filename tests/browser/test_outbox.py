"""Nothing typed is lost: without signal it waits on the device, refused it is parked in sight."""

from playwright.sync_api import Page, Route, expect

from roomwright.job.entities import Piece, Receipt


def facts(server, house: str):
    return server.store.facts(house.rsplit("/", 1)[1])


def test_moves_wait_for_signal_and_are_each_written_once(page: Page, house: str, server):
    page.goto(f"{house}/room/101")
    expect(page.locator(".room.live")).to_be_visible()
    page.context.set_offline(True)
    piece = page.locator("figure:visible .piece[data-piece=T1]")
    for _ in range(3):
        piece.focus()
        page.keyboard.press("ArrowLeft")
        page.wait_for_timeout(900)  # each comes to rest, and is kept by itself
    expect(page.locator("#waiting")).to_contain_text("3 waiting for signal")
    assert facts(server, house).get(Piece, "T1").x == 81
    page.context.set_offline(False)
    expect(page.locator("#waiting")).to_be_hidden(timeout=15_000)
    assert facts(server, house).get(Piece, "T1").x == 78
    moves = server.store.last(house.rsplit("/", 1)[1], 20, command="move")
    assert len(moves) == 3


def test_a_form_without_signal_is_sent_by_itself_later(page: Page, house: str, server):
    page.goto(f"{house}/orders/L011")
    page.context.set_offline(True)
    page.get_by_label("What you saw when it was opened").fill("two doors scratched")
    page.get_by_role("button", name="Record the receipt").click()
    expect(page.locator("#waiting")).to_contain_text("1 waiting for signal")
    page.context.set_offline(False)
    expect(page.locator(".message.done")).to_be_visible(timeout=15_000)
    expect(page.locator("#waiting")).to_be_hidden()
    came = facts(server, house).where(Receipt, "line", "L011")
    assert [r.note for r in came] == ["two doors scratched"]


def test_what_waits_outlives_its_page(page: Page, house: str, server):
    page.goto(f"{house}/orders/L011")
    page.route("**/do/receive", lambda route: route.abort())
    page.get_by_role("button", name="Record the receipt").click()
    expect(page.locator("#waiting")).to_contain_text("1 waiting for signal")
    page.unroute("**/do/receive")
    page.goto(f"{house}/today")  # any page of the program sends it
    for _ in range(50):
        if came := facts(server, house).where(Receipt, "line", "L011"):
            break
        page.wait_for_timeout(100)
    assert len(came) == 1
    expect(page.locator("#waiting")).to_be_hidden()


def test_lost_acknowledgement_does_not_write_twice(page: Page, house: str, server):
    page.goto(f"{house}/orders/L011")
    lost = []

    def lose_the_first(route: Route) -> None:
        if lost:
            route.continue_()
        else:
            lost.append(route.fetch())  # the server has it, the page never hears
            route.abort()

    page.route("**/do/receive", lose_the_first)
    page.get_by_role("button", name="Record the receipt").click()
    expect(page.locator(".message.done")).to_be_visible(timeout=15_000)
    assert len(facts(server, house).where(Receipt, "line", "L011")) == 1


def test_what_is_refused_stays_in_the_form_with_its_reason(page: Page, house: str, server):
    page.goto(f"{house}/orders/L011")
    page.get_by_label("How many").first.fill("900")
    page.get_by_role("button", name="Record the receipt").click()
    expect(page.locator(".error")).to_contain_text("too many")
    expect(page.get_by_label("How many").first).to_have_value("900")
    expect(page.get_by_label("How many").first).to_have_attribute("aria-invalid", "true")
    expect(page.locator("#waiting")).to_be_hidden()
    assert facts(server, house).where(Receipt, "line", "L011") == ()


def test_a_refused_move_is_parked_in_sight_until_let_go(page: Page, house: str, server):
    page.goto(f"{house}/room/101")
    expect(page.locator(".room.live")).to_be_visible()
    page.route(
        "**/do/move",
        lambda route: route.fulfill(
            status=422, content_type="application/json", body='{"message": "no room for it"}'
        ),
    )
    page.locator("figure:visible .piece[data-piece=T1]").focus()
    page.keyboard.press("ArrowLeft")
    expect(page.locator("#waiting")).to_contain_text("no room for it")
    page.goto(f"{house}/today")
    expect(page.locator("#waiting")).to_contain_text("Nothing was written")
    page.get_by_role("button", name="let it go").click()
    expect(page.locator("#waiting")).to_be_hidden()
