"""The strip of weeks: arrival windows against days of need, readable without color."""

import re
from dataclasses import replace
from datetime import date, timedelta

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from tests.drawing.svg import SVG, overlaps, parse

from roomwright.answers.arrival_windows import arrival_windows
from roomwright.answers.dates import calendar
from roomwright.answers.futures import futures
from roomwright.answers.orders import orders
from roomwright.drawing import Row, rows_of, strip_of_weeks
from roomwright.drawing.lanes import Heading, between

AS_OF = date(2027, 3, 29)


@pytest.fixture(scope="module")
def rows(demo):
    return rows_of(demo.ask(orders).lines, demo.ask(calendar), AS_OF)


def by_line(rows):
    return {row.id: row for row in rows}


def test_rows_of_the_demo(rows):
    found = by_line(rows)
    cabinets = found["L011"]
    assert (cabinets.promised, cabinets.earliest) == (date(2027, 4, 29), None)
    assert (cabinets.not_before, cabinets.last_safe) == (date(2027, 4, 1), date(2027, 4, 22))
    assert (cabinets.state, cabinets.cost) == ("late 20 days", "5 days of move-in")
    range_ = found["L019"]
    assert range_.earliest == AS_OF + timedelta(weeks=4)
    assert range_.latest > date(2027, 7, 18)
    assert range_.cost == "36 days of move-in (a guess)"
    glass = found["L218"]
    assert glass.word == "blocked"
    assert glass.earliest > date(2027, 4, 29), "its window begins after its measure"
    assert cabinets.said == "promised Apr 29, PO-105"
    fan = next(row for row in rows if row.state == "promise passed")
    assert fan.said == "PO-103, not here", "its promise was for another day than today"


@pytest.mark.parametrize("width", [340, 360, 760, 1100])
def test_no_words_touch(rows, width):
    drawing = strip_of_weeks(rows, AS_OF, width=width)
    assert overlaps(drawing.boxes) == []
    for words, (x0, _, x1, y1) in drawing.boxes:
        assert x0 >= -0.01, words
        assert x1 <= width + 0.01 or len(words) > 40, words
        assert y1 <= drawing.height, words


def test_late_days_are_hatched_and_said(rows):
    row = by_line(rows)["L011"]
    root = parse(strip_of_weeks([row], AS_OF).svg)
    (lane,) = [g for g in root.iter(f"{SVG}g") if g.get("data-line") == "L011"]
    kinds = [p.get("class") for p in lane.iter(f"{SVG}path")]
    assert {"spare", "late", "promise", "not-before", "last-safe"} <= set(kinds)
    assert "late 20 days" in [t.text for t in lane.iter(f"{SVG}text")]
    said = root.find(f"{SVG}desc").text
    assert "Kitchen base cabinet" in said
    assert "needed from Apr 1, last safe day Apr 22" in said


def test_in_time_is_not_hatched(rows):
    row = by_line(rows)["L003"]
    root = parse(strip_of_weeks([row], AS_OF).svg)
    kinds = {p.get("class") for p in root.iter(f"{SVG}path")}
    assert "promise" in kinds
    assert not {"spare", "late"} & kinds


def test_what_came_has_a_tick(demo):
    lines = [r for r in demo.ask(orders).lines if r.line == "L015"]
    (row,) = rows_of(lines, demo.ask(calendar), AS_OF, {"L015": date(2027, 3, 1)})
    assert row.received == date(2027, 3, 1)
    root = parse(strip_of_weeks([row], AS_OF).svg)
    lane = next(g for g in root.iter(f"{SVG}g") if g.get("data-line"))
    assert "came" in [p.get("class") for p in lane.iter(f"{SVG}path")]


def test_names_can_be_links(rows):
    root = parse(strip_of_weeks(rows[:3], AS_OF, link=lambda line: f"/orders#{line}").svg)
    links = list(root.iter(f"{SVG}a"))
    assert [a.get("href") for a in links] == [f"/orders#{row.id}" for row in rows[:3]]
    assert all(a.get("aria-label") for a in links)
    assert root.get("role") == "group"


def test_paper_has_no_color(rows):
    svg = strip_of_weeks(rows, AS_OF, width=540, text=10, paper=True).svg
    assert {c.lower() for c in re.findall(r"#[0-9A-Fa-f]{3,6}\b", svg)} <= {"#000", "#fff"}


def test_nothing_to_show_is_refused():
    with pytest.raises(ValueError, match="no row has a day"):
        strip_of_weeks([Row("L1", "Table", "", "due")], AS_OF)


def test_a_lens_is_cut_at_the_day_of_need():
    ring = [(0, 0), (10, -5), (20, 0), (10, 5)]
    part = between(ring, 10, 99)
    assert min(x for x, _ in part) == 10
    assert max(x for x, _ in part) == 20
    assert between(ring, 30, 40) == []


days = st.dates(date(2026, 6, 1), date(2028, 6, 1))


@settings(max_examples=60, deadline=None)
@given(
    st.lists(
        st.builds(
            Row,
            id=st.text(min_size=1, max_size=5),
            name=st.text(min_size=1, max_size=60),
            said=st.text(max_size=40),
            state=st.sampled_from(["late 20 days", "in time", "order now"]),
            earliest=days,
            latest=days,
            promised=st.none() | days,
            not_before=st.none() | days,
            last_safe=st.none() | days,
        ),
        min_size=1,
        max_size=6,
    ),
    st.sampled_from([340, 900]),
)
def test_no_words_of_random_rows_touch(rows, width):
    rows = [replace(r, latest=max(r.earliest, r.latest)) for r in rows]
    drawing = strip_of_weeks(rows, AS_OF, width=width)
    assert overlaps(drawing.boxes) == []
    parse(drawing.svg)


def test_arrival_windows_are_the_tenth_and_the_ninetieth_of_the_futures(demo):
    windows, ahead, days = demo.ask(arrival_windows), demo.ask(futures), demo.ask(calendar)
    assert set(windows) >= {"L011", "L019", "L007"}
    for line in ("L011", "L019", "L007", "L003"):
        lands = np.array([days.date(x).toordinal() for x in ahead.lands[line]])
        found = windows[line]
        before = float(np.mean(lands < found.first.toordinal()))
        after = float(np.mean(lands > found.last.toordinal()))
        assert before <= 0.10 + 1e-9, line
        assert after <= 0.10 + 1e-9, line
        assert float(np.mean(lands <= found.first.toordinal())) >= 0.10
    assert "L015" not in windows, "what is here has none"


@pytest.mark.parametrize("width", [340, 358, 760, 1180])
@pytest.mark.parametrize("many", [3, 9])
def test_groups_have_headings_and_no_words_touch(demo, width, many):
    lines = [r for r in demo.ask(orders).lines if r.state.state != "on hand"]
    made = rows_of(lines, demo.ask(calendar), AS_OF, None, demo.ask(arrival_windows))
    rows = []
    for n in range(many):
        name = "Appliances delivered, uncrated, inspected" if n % 2 else f"Room {n}"
        rows += [Heading(f"g{n}", name, "May 5 to May 19"), *made[n * 6 : n * 6 + 6]]
    drawing = strip_of_weeks(rows, AS_OF, width=width)
    assert overlaps(drawing.boxes) == []
    for words, (x0, _, x1, y1) in drawing.boxes:
        assert x0 >= -0.01, words
        assert x1 <= width + 0.01, words
        assert y1 <= drawing.height, words
    root = parse(drawing.svg)
    assert len([g for g in root.iter(f"{SVG}g") if g.get("class") == "heading"]) == many
    said = root.find(f"{SVG}desc").text
    assert "eight times of ten it lands from" in said
    assert any(t.text == "lands in it 8 times of 10" for t in root.iter(f"{SVG}text"))


def test_a_strip_of_headings_alone_is_refused():
    with pytest.raises(ValueError, match="no row has a day"):
        strip_of_weeks([Heading("g", "Kitchen")], AS_OF)


def test_a_promise_stands_in_its_window(demo):
    lines = [r for r in demo.ask(orders).lines if r.line == "L011"]
    (row,) = rows_of(lines, demo.ask(calendar), AS_OF, None, demo.ask(arrival_windows))
    assert row.likely
    assert row.earliest < row.promised < row.latest
    root = parse(strip_of_weeks([row], AS_OF).svg)
    kinds = {p.get("class") for p in root.iter(f"{SVG}path")}
    assert {"window", "promise"} <= kinds


@pytest.mark.parametrize(
    ("likely", "words"),
    [
        ((True, True), "lands in it 8 times of 10"),
        ((False, False), "would come if ordered now"),
        ((True, False), "8 times of 10, or by its lead"),
        ((), "would come if ordered now"),
    ],
)
def test_the_legend_tells_what_every_lens_is(likely, words):
    days = [date(2027, 4, 1), date(2027, 4, 20)]
    rows = [
        Row("P", "Promised", "promised", "in time", promised=days[0]),
        *(Row(f"L{n}", "Lens", "not ordered", "due", earliest=days[0], latest=days[1], likely=one)
          for n, one in enumerate(likely)),
    ]  # fmt: skip
    drawing = strip_of_weeks(rows, AS_OF, width=358)
    assert words in [t.text for t in parse(drawing.svg).iter(f"{SVG}text")]
    assert all(box[2] <= 358 for _, box in drawing.boxes)
