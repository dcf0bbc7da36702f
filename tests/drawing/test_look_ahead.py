"""The grid of the weeks ahead: words keep clear of one another, nothing leaves the paper."""

import random
from datetime import date, timedelta
from itertools import combinations

import pytest
from tests.drawing.svg import SVG, parse

from roomwright.answers.look_ahead import Bar, Row
from roomwright.drawing import typeface
from roomwright.drawing.look_ahead import head_high, heights, look_ahead_grid

MONDAY = date(2027, 3, 29)
NAMES = ("Grout", "Floor tile: primary bath, hall bath, laundry, powder, mudroom", "Set & <test>")


def some(seed: int) -> tuple[list[Row], list[date]]:
    pick = random.Random(seed)
    days = [MONDAY + timedelta(n) for n in range(21) if n % 7 < 5]
    rows = []
    for r in range(pick.randint(1, 6)):
        bars = []
        for b in range(pick.randint(1, 7)):
            first = pick.randrange(len(days))
            last = min(len(days) - 1, first + pick.randint(0, 8))
            bars.append(
                Bar(f"A{r}{b}", pick.choice(NAMES), pick.choice(("", "Hall bath, Powder")),
                    pick.choice(("", "tile")), days[first], days[last],
                    pick.choice(("to do", "started")), pick.random() < 0.3, "")
            )  # fmt: skip
        bars.sort(key=lambda bar: bar.first_day)
        rows.append(Row(f"row {r}", f"crew {r}", pick.choice(("", "Plover 555-0144")), tuple(bars)))
    return rows, days


def plates(svg: str) -> list[tuple[str, tuple[float, float, float, float]]]:
    """Every text of a drawing with its plate, read from the drawing and not from its maker."""
    found = []
    for each in parse(svg).iter(f"{SVG}text"):
        size, x, y = (float(each.get(k)) for k in ("font-size", "x", "y"))
        wide = typeface.width(each.text, size, bold=each.get("font-weight") == "700")
        left = x - wide / 2 if each.get("text-anchor") == "middle" else x
        found.append((each.text, (left, y - 0.74 * size, left + wide, y + 0.2 * size)))
    return found


@pytest.mark.parametrize("seed", range(20))
@pytest.mark.parametrize(("width", "text"), [(720.0, 12.0), (1180.0, 17.0), (358.0, 15.0)])
def test_no_words_meet_and_none_leave_the_paper(seed, width, text):
    rows, days = some(seed)
    for by in ("crew", "room"):
        drawn = look_ahead_grid(rows, days, MONDAY, by=by, width=width, text=text, paper=True)
        found = plates(drawn.svg)
        said = [words for words, _ in found]
        assert said[-3:] == ["has begun", "to come", "booked"]
        assert sum("Plover" in words for words in said) == sum(bool(r.under) for r in rows)
        for words, (x0, y0, x1, y1) in found:
            assert -0.5 <= x0 <= x1 <= width + 0.5, words
            assert 0 <= y0 < y1 <= drawn.height, words
        for (a, one), (b, two) in combinations(found, 2):
            wide = min(one[2], two[2]) - max(one[0], two[0])
            high = min(one[3], two[3]) - max(one[1], two[1])
            assert wide <= 0.6 or high <= 0.6, (a, b)


def test_heights_are_those_drawn():
    rows, days = some(3)
    high = heights(rows, days, by="crew", width=720.0, text=12.0)
    drawn = look_ahead_grid(rows, days, MONDAY, by="crew", width=720.0, text=12.0)
    assert drawn.height == pytest.approx(sum(high) + head_high(12.0))


def test_paper_is_black_only_and_a_screen_reader_is_told():
    rows, days = some(5)
    drawn = look_ahead_grid(rows, days, MONDAY, by="crew", paper=True)
    colors = {w for w in drawn.svg.replace('"', " ").split() if w.startswith("#")}
    assert colors <= {"#000", "#fff"}
    assert "<desc" in drawn.svg
    assert "crew 0:" in drawn.svg
    linked = look_ahead_grid(rows, days, MONDAY, by="crew", link=lambda id: f'/w/{id}"')
    assert "/w/A00&quot;" in linked.svg


def test_nothing_to_draw_is_said():
    with pytest.raises(ValueError, match="nothing to put"):
        look_ahead_grid([], [MONDAY], MONDAY, by="crew")
