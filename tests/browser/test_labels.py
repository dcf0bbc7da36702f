"""No two texts of a drawing lie over each other as the browser sets them."""

import pytest
from playwright.sync_api import Page

OVER = """() => {
  const found = [];
  const texts = [...document.querySelectorAll("figure svg text")].filter((t) => t.textContent.trim()
    && t.getClientRects().length).map((t) => ({ svg: t.ownerSVGElement, words: t.textContent.trim(),
      box: t.getBoundingClientRect() }));
  const slack = 1.5; // px: the boxes are of the font, its letters are lower
  for (let i = 0; i < texts.length; i += 1) {
    for (let j = i + 1; j < texts.length; j += 1) {
      const [a, b] = [texts[i], texts[j]];
      if (a.svg !== b.svg || a.words === b.words && a.box.x === b.box.x) continue;
      const low = 0.2; // of a line's height is above and below its letters
      const wide = Math.min(a.box.right, b.box.right) - Math.max(a.box.left, b.box.left);
      const high = Math.min(a.box.bottom, b.box.bottom) - Math.max(a.box.top, b.box.top);
      const upright = (t) => t.box.height > t.box.width * 1.5 && t.words.length > 2;
      const dx = [a, b].reduce((sum, t) => sum + (upright(t) ? low * t.box.width : slack / 2), 0);
      const dy = [a, b].reduce((sum, t) => sum + (upright(t) ? slack / 2 : low * t.box.height), 0);
      if (wide > dx && high > dy) found.push(`${a.words} | ${b.words}`);
    }
  }
  return found;
}"""


def over(page: Page, address: str) -> list[str]:
    page.goto(address)
    page.evaluate("document.fonts.ready")
    return [f"{address.rpartition('/h/')[2]}: {each}" for each in page.evaluate(OVER)]


ROOMS = ("101", "102", "104", "108", "109", "201", "204", "205", "206", "207", "208", "209", "211")


def test_no_label_of_a_level_touches_another(page: Page, house: str, device: str):
    found = []
    for level, rooms in (("1", ("101", "102", "105", "107")), ("2", ("201", "206", "209", "211"))):
        for pick in ("", *(f"?pick=room:{room}" for room in rooms)):
            found += over(page, f"{house}/draw/{level}{pick}")
    assert found == []


def test_no_label_of_a_wall_touches_another(page: Page, house: str, device: str):
    assert [each for room in ROOMS for each in over(page, f"{house}/room/{room}/walls")] == []


@pytest.mark.parametrize("device", ["phone"], indirect=True)
def test_no_label_of_a_room_touches_another(page: Page, house: str, device: str):
    assert [each for room in ROOMS for each in over(page, f"{house}/room/{room}")] == []
