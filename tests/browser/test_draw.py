"""A house drawn from nothing in a real browser: by keyboard alone, by touch, and by tracing."""

import io
import json
import re

import pytest
import typst
from PIL import Image
from playwright.sync_api import Locator, Page, expect
from tests.browser.conftest import sideways, violations

from roomwright.job.entities import Backdrop, Fixed, Opening, Piece, Room, Sketch, Window

MOST_TABS = 220


def tab_to(page: Page, target: Locator) -> None:
    """Press Tab until something has the focus, as a person without a mouse does."""
    wanted = target.element_handle()
    for _ in range(MOST_TABS):
        page.keyboard.press("Tab")
        if page.evaluate("e => document.activeElement === e", wanted):
            return
    raise AssertionError(f"the Tab key does not reach {target}")


def typed(page: Page, label: str, text: str, within: Locator | None = None) -> None:
    """Go to a field by Tab and type into it."""
    tab_to(page, (within or page).get_by_label(label).first)
    page.keyboard.press("Control+A")
    page.keyboard.type(text)


def opened(page: Page, summary: str) -> None:
    """Unfold what a heading holds, by Tab and Enter."""
    tab_to(page, page.locator("summary", has_text=re.compile(summary)).first)
    page.keyboard.press("Enter")


def done(page: Page, words: str) -> None:
    expect(page.locator(".message.done")).to_contain_text(words)
    page.wait_for_load_state("networkidle")


def shown(page: Page, kind: str, id: str) -> Locator:
    return page.locator(f'figure:visible .thing[data-kind="{kind}"][data-id="{id}"]')


def begun(page: Page, server, name: str) -> str:
    """Begin an empty house; return its id."""
    page.goto(f"{server.address}/houses")
    page.get_by_label("What do you call it?").fill(name)
    page.get_by_role("button", name="Begin with nothing").click()
    page.wait_for_url("**/draw/1**")
    return page.url.split("/h/")[1].split("/")[0]


@pytest.mark.parametrize("device", ["desktop"], indirect=True)
def test_two_rooms_by_keyboard_alone(page: Page, server, device: str, quiet):
    page.goto(f"{server.address}/houses")
    typed(page, "What do you call it?", "By keys")
    page.keyboard.press("Enter")
    page.wait_for_url("**/draw/1**")
    id = page.url.split("/h/")[1].split("/")[0]

    typed(page, "The walls, one after another", "12 4 1/2 east, 9 north, 12 4 1/2 west, close")
    expect(page.locator("[data-chain]")).to_contain_text("Closed by a wall of 9'-0\", south")
    typed(page, "Name", "Den")
    page.keyboard.press("Tab")
    tab_to(page, page.get_by_role("button", name="Make the room"))
    page.keyboard.press("Enter")
    done(page, "Room 101, Den, drawn")

    opened(page, "^Width and depth")
    beside = page.locator("form[action$='/do/add-room']")
    typed(page, "Name", "Kitchen", beside)
    typed(page, "Width", "10'", beside)
    typed(page, "Depth", "9'", beside)
    page.keyboard.press("Enter")
    done(page, "Room 102, Kitchen, added east of 101")

    tab_to(page, shown(page, "room", "101"))
    page.keyboard.press("Enter")
    page.wait_for_url("**pick=room**")
    opened(page, "door or an opening")
    door = page.locator("form[action$='/do/add-opening']")
    tab_to(page, door.get_by_label("In wall"))
    page.keyboard.press("B")
    typed(page, "From its corner", "20", door)
    typed(page, "Width", "32", door)
    page.keyboard.press("Enter")
    done(page, "Door D1, 2'-8\", put into wall B of Den, to Kitchen")

    page.goto(f"{server.address}/h/{id}/draw/1?pick=room:101")
    opened(page, "Put in a window")
    window = page.locator("form[action$='/do/add-window']")
    tab_to(page, window.get_by_label("In wall"))
    page.keyboard.press("D")
    typed(page, "From its corner", "30", window)
    typed(page, "Width", "36", window)
    typed(page, "Sill", "30", window)
    page.keyboard.press("Enter")
    done(page, "Window W1")

    tab_to(page, shown(page, "room", "102"))
    page.keyboard.press("Enter")
    page.wait_for_url("**pick=room%3A102**")
    opened(page, "Build in a counter")
    counter = page.locator("form[action$='/do/add-fixed']")
    typed(page, "What is it?", "counter", counter)
    typed(page, "Width", "60", counter)
    typed(page, "Depth", "25", counter)
    typed(page, "Where", "on wall C, 0 from corner C", counter)
    page.keyboard.press("Enter")
    done(page, "C1 built into Kitchen")

    tab_to(page, shown(page, "room", "101"))
    page.keyboard.press("Enter")
    page.wait_for_url("**pick=room%3A101**")
    opened(page, "Put in a piece")
    table = page.locator("form[action$='/do/put']")
    typed(page, "What is it?", "dining table", table)
    typed(page, "Width", "60", table)
    typed(page, "Depth", "36", table)
    typed(page, "Where", "36 from the north wall, 24 from the west wall", table)
    page.keyboard.press("Enter")
    done(page, "Dining table T1 put into Den")

    expect(shown(page, "piece", "T1")).to_have_class(re.compile("held"))
    tab_to(page, shown(page, "piece", "T1"))
    page.keyboard.press("ArrowRight")
    page.keyboard.press("ArrowRight")
    page.keyboard.press("Shift+ArrowDown")
    expect(shown(page, "piece", "T1")).to_have_attribute("data-x", "56.000000")
    facts = server.store.facts(id)
    assert len(facts.get(Room, "101").outline) == 4
    assert facts.get(Opening, "D1").to_room == "102"
    assert facts.get(Window, "W1").sill == 30
    assert facts.get(Fixed, "C1").room == "102"
    piece = facts.get(Piece, "T1")
    assert (float(piece.x), float(piece.y)) == (24 + 30 + 2, 108 - 36 - 18 - 0.25)

    tab_to(page, page.locator("[data-undo]"))
    page.keyboard.press("Enter")
    done(page, "Undone")
    assert float(server.store.facts(id).get(Piece, "T1").x) == 54
    tab_to(page, page.locator("[data-redo]"))
    page.keyboard.press("Enter")
    done(page, "Done again")
    assert float(server.store.facts(id).get(Piece, "T1").x) == 56


def touch_drag(page: Page, target: Locator, dx: float, dy: float) -> None:
    """Drag a thing with a finger."""
    box = target.bounding_box()
    x, y = box["x"] + box["width"] / 2, box["y"] + box["height"] / 2
    session = page.context.new_cdp_session(page)

    def send(kind, *points):
        session.send("Input.dispatchTouchEvent", {"type": kind, "touchPoints": list(points)})

    send("touchStart", {"x": x, "y": y})
    for k in range(1, 6):
        send("touchMove", {"x": x + dx * k / 5, "y": y + dy * k / 5})
    send("touchEnd")


@pytest.mark.parametrize("device", ["phone"], indirect=True)
def test_two_rooms_by_touch(page: Page, server, device: str, quiet):
    page.goto(f"{server.address}/houses")
    page.get_by_label("What do you call it?").fill("By touch")
    page.get_by_role("button", name="Begin with nothing").tap()
    page.wait_for_url("**/draw/1**")
    id = page.url.split("/h/")[1].split("/")[0]
    page.get_by_label("The walls, one after another").fill("12' east, 10' north, 12' west, close")
    page.get_by_role("button", name="Make the room").tap()
    done(page, "Room 101")
    page.locator("summary", has_text="Width and depth").tap()
    beside = page.locator("form[action$='/do/add-room']")
    beside.get_by_label("Width").fill("9'")
    beside.get_by_label("Depth").fill("10'")
    beside.get_by_role("button").tap()
    done(page, "Room 102")
    shown(page, "room", "101").tap()
    page.wait_for_url("**pick=room**")
    for summary, fields in (
        ("Put in a door", {"From its corner": "20", "Width": "32"}),
        ("Put in a window", {"From its corner": "70", "Width": "30"}),
        ("Build in a counter", {"What is it?": "counter", "Width": "60", "Depth": "25",
                                "Where": "on wall A, 0 from corner A"}),
        ("Put in a piece", {"What is it?": "table", "Width": "40", "Depth": "30"}),
    ):  # fmt: skip
        fold = page.locator("details", has=page.locator("summary", has_text=summary)).last
        fold.locator("summary").tap()
        for label, text in fields.items():
            fold.get_by_label(label).first.fill(text)
        fold.locator("button.main").tap()
        expect(page.locator(".message.done")).to_be_visible()
        page.goto(f"{server.address}/h/{id}/draw/1?pick=room:101")
    facts = server.store.facts(id)
    assert [len(facts.ids(k)) for k in (Opening, Window, Fixed, Piece)] == [1, 1, 1, 1]
    shown(page, "piece", "T1").tap()
    page.wait_for_url("**pick=piece**")
    before = float(facts.get(Piece, "T1").x)
    table = shown(page, "piece", "T1")
    scale = float(page.locator("figure:visible svg").get_attribute("data-scale"))
    touch_drag(page, table, 24 * scale, 0)
    expect(table).to_have_attribute("data-x", re.compile(rf"^{before + 24:.0f}|^9[4-8]\."))
    assert float(server.store.facts(id).get(Piece, "T1").x) == pytest.approx(before + 24, abs=1)
    assert sideways(page) <= 0


def plan_pdf() -> tuple[bytes, list[tuple[float, float]]]:
    """A plan at 1/4 in. to the foot: a room of 18 ft x 13 ft with a bay, in inches of house."""
    truth = [(0, 0), (216, 0), (216, 156), (120, 156), (120, 120), (0, 120)]
    points = ", ".join(f"({3 + x / 48}in, {6 - y / 48}in)" for x, y in truth)
    source = (
        "#set page(width: 11in, height: 8.5in, margin: 0pt)\n"
        f"#place(polygon(stroke: 1pt, {points}))\n"
        "#place(dx: 3in, dy: 7in, line(length: 4.5in))\n"
    )
    return typst.compile(source.encode()), [(float(x), float(y)) for x, y in truth]


def test_a_room_is_traced_within_half_an_inch(page: Page, server, device: str, quiet, tmp_path):
    id = begun(page, server, f"Traced {device}")
    body, truth = plan_pdf()
    (tmp_path / "plan.pdf").write_bytes(body)
    page.locator("summary", has_text="Trace over a scanned plan").click()
    page.locator("#t-plan").set_input_files(tmp_path / "plan.pdf")
    page.get_by_role("button", name="Lay it under this level").click()
    done(page, "lies under level 1")
    held = server.store.facts(id).get(Backdrop, "1")
    kept = Image.open(io.BytesIO(server.store.blob(id, held.picture).body)).convert("L")
    dots = held.wide / 11  # pixels an inch of paper

    for x, y in truth:  # the corners are where the plan says, in the picture that is kept
        u, v = round((3 + x / 48) * dots), round((6 - y / 48) * dots)
        assert kept.getpixel((u, v)) < 128

    def at(u: float, v: float) -> dict[str, float]:
        """Where a pixel of the plan is on the screen."""
        return page.evaluate(
            """([u, v]) => { const image = [...document.querySelectorAll("image[data-under]")]
                .find((i) => i.closest("figure").offsetParent !== null);
              const p = new DOMPoint(u, v).matrixTransform(image.getScreenCTM());
              return {x: p.x, y: p.y}; }""",
            [u, v],
        )

    def click(u: float, v: float, slip: int = 0) -> None:
        """Click on a pixel of the plan, a hand's slip [px of the screen] beside it."""
        figure = page.locator("figure:visible")
        page.evaluate(
            """([f, u, v]) => { const image = f.querySelector("image");
              const p = new DOMPoint(u, v).matrixTransform(image.getScreenCTM());
              const box = f.getBoundingClientRect();
              f.scrollBy(p.x - box.x - box.width / 2, p.y - box.y - box.height / 2);
              f.scrollIntoView({block: "center"}); }""",
            [figure.element_handle(), u, v],
        )
        p = at(u, v)
        page.mouse.click(p["x"] + slip, p["y"] - slip)

    for _ in range(3 if device == "desktop" else 4):
        page.get_by_role("button", name="Larger").click()
    page.get_by_role("button", name="Set two points", exact=True).click()
    click(3 * dots, 7 * dots)
    click(7.5 * dots, 7 * dots)
    page.get_by_label("How far apart in the house").fill("18'")
    page.get_by_role("button", name="Set the scale").click()
    done(page, "to scale")
    for _ in range(3 if device == "desktop" else 4):
        page.get_by_role("button", name="Larger").click()
    page.get_by_role("button", name="Tap corners").click()
    for k, (x, y) in enumerate([*truth, truth[0]]):
        click((3 + x / 48) * dots, (6 - y / 48) * dots, slip=(-1, 0, 1)[k % 3])
        page.wait_for_load_state("networkidle")
        page.wait_for_timeout(120)
    expect(page.locator("[data-chain]")).to_contain_text("Close")
    page.get_by_label("Name").first.fill("Traced")
    form = page.locator("form[data-walls]")
    form.get_by_label("If it nearly closes").check()
    form.get_by_role("button", name="Make the room").click()
    done(page, "drawn: 6 walls")
    ring = server.store.facts(id).get(Room, "101").outline
    x0, y0 = float(ring[0][0]), float(ring[0][1])
    made = [(float(x) - x0, float(y) - y0) for x, y in ring]
    worst = max(max(abs(a - c), abs(b - d)) for (a, b), (c, d) in zip(made, truth, strict=True))
    print(json.dumps({"device": device, "worst_in": round(worst, 3)}))
    assert worst <= 0.5


@pytest.mark.parametrize("device", ["desktop"], indirect=True)
def test_tracing_by_keys(page: Page, server, device: str, quiet):
    begun(page, server, "Key trace")
    tab_to(page, page.get_by_role("button", name="Tap corners"))
    page.keyboard.press("Enter")
    for way, times in (("Right", 0), ("Right", 9), ("Up", 8), ("Left", 9)):
        for _ in range(times):
            page.keyboard.press(f"Control+Arrow{way}")
        page.keyboard.press("Enter")
        page.wait_for_timeout(150)
    walls = page.get_by_label("The walls, one after another")
    expect(walls).to_have_value("9'-0\" east, 8'-0\" north, 9'-0\" west")
    page.keyboard.press("Backspace")
    expect(walls).to_have_value("9'-0\" east, 8'-0\" north")
    page.keyboard.press("Escape")
    expect(page.get_by_role("button", name="Choose, move")).to_have_attribute(
        "aria-pressed", "true"
    )


def test_a_reload_loses_nothing_and_a_refusal_keeps_what_was_typed(page: Page, server, device: str):
    id = begun(page, server, f"Kept {device}")
    walls = page.get_by_label("The walls, one after another")
    walls.fill("12' east, 9' north, 12' 0 1/2 west, 9' south")
    page.get_by_label("Name").first.fill("Half done")
    page.reload()
    expect(walls).to_have_value("12' east, 9' north, 12' 0 1/2 west, 9' south")
    expect(page.get_by_label("Name").first).to_have_value("Half done")
    expect(page.locator("[data-chain]")).to_contain_text('Fails to close by 1/2"')
    page.get_by_role("button", name="Make the room").click()
    expect(page.locator("form[data-walls] .error")).to_contain_text("Fails to close")
    expect(walls).to_have_value("12' east, 9' north, 12' 0 1/2 west, 9' south")
    page.get_by_role("button", name="Save as a sketch").click()
    done(page, "saved")
    assert server.store.facts(id).get(Sketch, "S1").name == "Half done"
    page.get_by_label("If it nearly closes").check()
    page.get_by_role("button", name="Make the room").click()
    done(page, "compass rule")
    assert server.store.facts(id).find(Sketch, "S1") is None


@pytest.mark.parametrize("device", ["desktop"], indirect=True)
def test_a_door_is_dragged_along_its_wall(page: Page, house: str, server, device: str, quiet):
    id = house.rpartition("/")[2]
    door = server.store.facts(id).get(Opening, "D1")
    page.goto(f"{house}/draw/1?pick=opening:{door.id}")
    thing = shown(page, "opening", door.id)
    before = float(thing.get_attribute("data-from"))
    page.mouse.wheel(0, 300)
    thing.scroll_into_view_if_needed()
    box = thing.locator(".body").bounding_box()
    x, y = box["x"] + box["width"] / 2, box["y"] + box["height"] / 2
    page.mouse.move(x, y)
    page.mouse.down()
    page.mouse.move(x + 9, y + 4, steps=4)
    page.mouse.up()
    expect(thing).not_to_have_attribute("data-from", f"{before:.6f}")
    moved = server.store.facts(id).get(Opening, door.id)
    assert (moved.a, moved.b) != (door.a, door.b)
    assert moved.width == door.width


def test_nothing_is_found_by_axe(page: Page, house: str, server, device: str, quiet):
    for pick in ("", "room:101", "piece:T1", "opening:D1"):
        page.goto(f"{house}/draw/1?pick={pick}")
        page.evaluate("document.querySelectorAll('details').forEach((d) => { d.open = true; })")
        assert violations(page) == []
        assert sideways(page) <= 0


def test_a_small_bare_side_asks_feet_or_inches(page: Page, server, device: str, quiet):
    id = begun(page, server, f"What {device}")
    page.locator("summary", has_text="Width and depth").scroll_into_view_if_needed()
    page.locator("#f-width").fill("12")
    page.get_by_role("button", name="12 ft").click()
    expect(page.locator("#f-width")).to_have_value("12'")
    page.locator("#f-depth").fill("9 6")
    expect(page.locator("#f-depth + .reading")).to_have_text("reads 9'-6\"")
    assert violations(page) == []
    page.get_by_role("button", name="Make the first room").click()
    done(page, "Room 101 drawn: 12'-0\" x 9'-6\"")
    assert server.store.facts(id).get(Room, "101").outline[2] == (144, 114)


def test_a_refused_plan_keeps_the_drawing_and_says_so_beside_the_field(
    page: Page, server, device: str, quiet, tmp_path
):
    begun(page, server, f"Refused {device}")
    page.get_by_label("The walls, one after another").fill("12' east, 9' north")
    (tmp_path / "plan.pdf").write_bytes(b"this is no plan")
    page.locator("summary", has_text="Trace over a scanned plan").click()
    page.locator("#t-plan").set_input_files(tmp_path / "plan.pdf")
    page.get_by_role("button", name="Lay it under this level").click()
    expect(page.locator("#t-plan + .error")).to_contain_text("no PDF, PNG or JPEG")
    expect(page.locator("#t-plan")).to_be_focused()
    assert page.url.split("?")[0].endswith("/draw/1")
    expect(page.get_by_label("The walls, one after another")).to_have_value("12' east, 9' north")
    expect(page.locator("[data-chain]")).to_contain_text("12'-0\"")
    assert violations(page) == []
    quiet[:] = [said for said in quiet if "422" not in said]  # the browser tells of the answer too


@pytest.mark.parametrize("device", ["desktop"], indirect=True)
def test_what_is_tapped_is_written_to_an_eighth(page: Page, server, device: str, quiet):
    begun(page, server, "Eighths")
    page.get_by_role("button", name="Tap corners").click()
    plan = page.locator("figure:visible svg")
    box = plan.bounding_box()
    walls = page.get_by_label("The walls, one after another")
    for x, y, last in ((0.2, 0.8, r"^$"), (0.613, 0.8, r"^[^,]+ east$"),
                       (0.613, 0.291, r"^[^,]+ east, [^,]+ north$")):  # fmt: skip
        plan.click(position={"x": box["width"] * x, "y": box["height"] * y})
        expect(walls).to_have_value(re.compile(last))
        page.wait_for_load_state("networkidle")
    parts = f"{page.locator('#d-start').input_value()}, {walls.input_value()}".split(", ")
    assert len(parts) == 4
    for part in parts:
        assert re.fullmatch(r"\d+'-\d+( \d/[248])?\" (east|west|north|south)", part), part
