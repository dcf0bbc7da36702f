"""Texts as a browser really sets them: none touches another, each stays on its plate."""

import base64
from datetime import date

import pytest
from playwright.sync_api import Browser
from tests.browser.conftest import DEMO

from roomwright.answers.dates import calendar
from roomwright.answers.engine import Answers
from roomwright.answers.orders import orders
from roomwright.answers.plans import levels, plan, storey
from roomwright.drawing import PlanOptions, house_plan, room_plan, rows_of, strip_of_weeks
from roomwright.drawing.typeface import FONTS
from roomwright.exchange.folder import read_folder

DAY = date(2027, 3, 29)
CAPS = 0.7
"""A line's box holds room for accents and tails; capitals and figures take this much of it."""

MEASURE = """() => [...document.querySelectorAll('text')].map(text => {
  const box = text.getBoundingClientRect()
  const plates = text.parentElement.querySelectorAll(':scope > .plate')
  const on = plates.length === 1 && plates[0].getBoundingClientRect()
  return {words: text.textContent, turned: !!text.getAttribute('transform'),
          box: [box.left, box.top, box.right, box.bottom],
          plate: on && [on.left, on.top, on.right, on.bottom]}
})"""


def face(name, weight):
    data = base64.b64encode((FONTS / name).read_bytes()).decode()
    return (
        f"@font-face {{font-family: Overpass; font-weight: {weight}; "
        f"src: url(data:font/woff2;base64,{data})}}"
    )


@pytest.fixture(scope="module")
def drawings():
    demo = Answers(read_folder(DEMO).facts, as_of=DAY)
    found = {
        f"{room} at {width}": room_plan(demo.ask(plan, room), PlanOptions(width=width)).svg
        for room in ("101", "102", "107", "204", "209", "211")
        for width in (360, 760)
    }
    for level in demo.ask(levels):
        found[f"storey {level}"] = house_plan(demo.ask(storey, level), link=str).svg
    rows = rows_of(demo.ask(orders).lines, demo.ask(calendar), DAY)
    found["weeks"] = strip_of_weeks(rows, DAY).svg
    return found


def ink(text):
    """The box of the capitals of a text, without the room above and below them."""
    x0, y0, x1, y1 = text["box"]
    if text["turned"]:
        trim = (x1 - x0) * (1 - CAPS) / 2
        return x0 + trim, y0, x1 - trim, y1
    trim = (y1 - y0) * (1 - CAPS) / 2
    return x0, y0 + trim, x1, y1 - trim


def test_texts_in_a_browser_touch_nothing(browser: Browser, drawings):
    page = browser.new_page()
    style = face("Overpass-Regular.woff2", 400) + face("Overpass-Bold.woff2", 700)
    for name, svg in drawings.items():
        page.set_content(f"<style>{style} body {{margin: 0}}</style>{svg}")
        page.evaluate("document.fonts.ready")
        assert page.evaluate("document.fonts.check('17px Overpass')")
        texts = page.evaluate(MEASURE)
        assert texts
        boxes = [ink(text) for text in texts]
        for i, (a, p) in enumerate(zip(texts, boxes, strict=True)):
            for b, q in zip(texts[i + 1 :], boxes[i + 1 :], strict=True):
                apart = p[2] <= q[0] + 0.5 or q[2] <= p[0] + 0.5
                apart |= p[3] <= q[1] + 0.5 or q[3] <= p[1] + 0.5
                assert apart, (name, a["words"], b["words"])
            on = a["plate"]
            if on:
                assert on[0] - 1 <= p[0], (name, a["words"])
                assert p[2] <= on[2] + 1, (name, a["words"])
                assert on[1] - 1 <= p[1], (name, a["words"])
                assert p[3] <= on[3] + 1, (name, a["words"])
    page.close()
