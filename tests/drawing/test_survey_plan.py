"""The drawing of a survey: what is doubtful shows without color, ellipses are as large as said."""

import re

import pytest
from tests.answers.demo_house import answers, facts
from tests.drawing.svg import SVG
from tests.drawing.svg import parse as parsed

from roomwright.answers.survey import survey_of
from roomwright.commands import parse
from roomwright.drawing.survey_plan import LARGEST, survey_plan
from roomwright.job.entities import Room

ROOMS = [room.id for room in facts().all(Room)]


def drawn(room: str, width: float = 720.0):
    made = survey_plan(answers().ask(survey_of, room), width=width)
    return made, parsed(made.svg)


@pytest.mark.parametrize("room", ROOMS)
@pytest.mark.parametrize("width", [720.0, 358.0])
def test_every_room_is_drawn_with_its_corners_inside_the_paper(room, width):
    made, svg = drawn(room, width)
    letters = [c for c in svg.iter(f"{SVG}circle") if c.get("class") == "corner"]
    assert len(letters) == len(facts().get(Room, room).outline)
    for c in letters:
        assert 0 < float(c.get("cx")) < made.width
        assert 0 < float(c.get("cy")) < made.height


def test_a_doubtful_reading_is_dashed_marked_and_named():
    _, svg = drawn("108")
    line = next(p for p in svg.iter(f"{SVG}path") if p.get("class") == "doubtful")
    assert line.get("stroke-dasharray")
    assert any("mark short" in (p.get("class") or "") for p in svg.iter(f"{SVG}path"))
    assert "doubtful 23'-2 5/8\"" in [t.text for t in svg.iter(f"{SVG}text")]
    assert "doubtful" in next(svg.iter(f"{SVG}desc")).text


@pytest.mark.parametrize("room", ["101", "108", "204"])
def test_ellipses_are_so_many_times_too_large_as_said(room):
    made, svg = drawn(room)
    found = answers().ask(survey_of, room).found
    ellipses = list(svg.iter(f"{SVG}ellipse"))
    assert len(ellipses) == len(found.corners)
    west = min(c.x for c in found.corners)
    east = max(c.x for c in found.corners)
    xs = [float(e.get("cx")) for e in ellipses]
    scale = (max(xs) - min(xs)) / (east - west)
    for e, c in zip(ellipses, found.corners, strict=True):
        assert float(e.get("rx")) == pytest.approx(c.ellipse.a * scale * made.times, abs=0.05)
        assert float(e.get("rx")) <= LARGEST


def test_every_reading_of_the_demo_has_its_place():
    for room in ("101", "108", "204"):
        _, svg = drawn(room)
        texts = " ".join(t.text or "" for t in svg.iter(f"{SVG}text"))
        lines = {
            frozenset((r.fact.from_corner, r.fact.to_corner))
            for r in answers().ask(survey_of, room).reads
        }
        assert len(re.findall(r"\d'-", texts)) >= len(lines)


def test_a_room_with_many_corners():
    ring = [(0, 0), (120, 0), (120, 60), (200, 60), (200, 160), (90, 160), (90, 110), (0, 110)]
    room = Room(id="L", level="9", name="L <b>", outline=tuple(ring))
    of = answers(room)
    text = "; ".join(
        f"{a} {b} {((p[0] - q[0]) ** 2 + (p[1] - q[1]) ** 2) ** 0.5:.2f}"
        for a, b, p, q in (
            (chr(65 + i), chr(65 + j), ring[i], ring[j])
            for i, j in [(k, (k + 1) % 8) for k in range(8)] + [(0, 2), (2, 4), (2, 6), (0, 6)]
        )
    )
    how = {"room": "L", "text": text, "on": "2027-03-29", "by": "Ana", "face": "board"}
    after = of.supposing(parse("record readings", how).changes(of.facts))
    this = after.ask(survey_of, "L")
    assert not this.trouble
    svg = parsed(survey_plan(this).svg)
    assert len(list(svg.iter(f"{SVG}ellipse"))) == 8
