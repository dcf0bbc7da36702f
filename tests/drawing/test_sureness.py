"""The dots of an end: countable, apart, readable without color."""

from __future__ import annotations

from datetime import date, timedelta

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from tests.drawing.svg import SVG, overlaps, parse

from roomwright.drawing import ink
from roomwright.drawing.sureness import dots_of_an_end

AS_OF = date(2027, 3, 29)
DAYS = st.integers(0, 900).map(lambda n: AS_OF + timedelta(days=n))


def circles(svg: str) -> list[tuple[float, float, bool]]:
    return [
        (float(c.get("cx")), float(c.get("cy")), c.get("fill") != "#fff")
        for c in parse(svg).iter(f"{SVG}circle")
    ]


@settings(max_examples=60, deadline=None)
@given(
    st.lists(DAYS, min_size=1, max_size=20), DAYS, DAYS,
    st.sampled_from([340.0, 720.0, 1180.0]), st.booleans(),
)  # fmt: skip
def test_each_future_is_a_dot_and_no_two_touch(ends, plan, promise, width, paper) -> None:
    drawing = dots_of_an_end(ends, plan, promise, 80, AS_OF, width=width, paper=paper)
    found = circles(drawing.svg)
    assert len(found) == len(ends)
    assert sum(full for *_, full in found) == sum(e <= promise for e in ends)
    places = {(round(x, 1), round(y, 1)) for x, y, _ in found}
    assert len(places) == len(ends)
    for x, y, _ in found:
        assert 0 <= x <= width
        assert 0 <= y <= drawing.height
    assert overlaps(drawing.boxes) == []
    for words, (x0, _, x1, _) in drawing.boxes:
        assert x0 >= -0.01, words
        assert x1 <= width + 0.01, words


def test_words_say_what_the_dots_show() -> None:
    ends = [AS_OF + timedelta(days=90 + 4 * n) for n in range(20)]
    drawing = dots_of_an_end(ends, ends[0], ends[15], 80, AS_OF)
    assert "16 of 20 are over by" in drawing.svg
    assert [w for w, _ in drawing.boxes if "sure by" in w] == ["80 % sure by Aug 26"]


def test_on_paper_there_is_black_only() -> None:
    ends = [AS_OF + timedelta(days=9 * n) for n in range(20)]
    svg = dots_of_an_end(ends, ends[0], ends[15], 80, AS_OF, paper=True).svg
    assert ink.ACCENT not in svg


def test_nothing_is_refused() -> None:
    with pytest.raises(ValueError, match="nothing to draw"):
        dots_of_an_end([], AS_OF, AS_OF, 80, AS_OF)
