"""Storeys of the demo: every room a way in, each with its worst verdict."""

import pytest
from tests.drawing.svg import SVG, overlaps, parse

from roomwright.answers.plan_model import Storey
from roomwright.answers.plans import levels, storey
from roomwright.drawing.options import PlanOptions
from roomwright.drawing.storey import house_plan
from roomwright.job.entities import Room


def test_levels_from_the_top(demo):
    assert demo.ask(levels) == ("2", "1")


@pytest.mark.parametrize("level", ["1", "2"])
@pytest.mark.parametrize("width", [360, 480, 600, 640, 680, 720, 760, 1100])
def test_every_room_is_named_and_linked(demo, level, width):
    this = demo.ask(storey, level)
    drawing = house_plan(this, PlanOptions(width=width), link=lambda room: f"/room/{room}")
    assert drawing.unplaced == ()
    assert overlaps(drawing.boxes) == []
    root = parse(drawing.svg)
    links = list(root.iter(f"{SVG}a"))
    ids = {room.id for room in demo.facts.where(Room, "level", level)}
    assert {a.get("href") for a in links} == {f"/room/{room}" for room in ids}
    for a in links:
        assert a.find(f"{SVG}title").text
        assert a.find(f"{SVG}g/{SVG}text").text
        assert any(p.get("pointer-events") == "all" for p in a.iter(f"{SVG}path"))


def test_the_worst_verdict_is_a_word_a_mark_and_a_hatch(demo):
    this = demo.ask(storey, "2")
    (laundry,) = [r for r in this.rooms if r.id == "207"]
    assert (laundry.word, laundry.state) == ("blocked", "1 blocked")
    root = parse(house_plan(this, PlanOptions(width=900), link=str).svg)
    (link,) = [a for a in root.iter(f"{SVG}a") if a.get("data-room") == "207"]
    assert "1 blocked" in [t.text for t in link.iter(f"{SVG}text")]
    assert [p for p in link.iter(f"{SVG}path") if "mark" in (p.get("class") or "")]
    hatched = [p for p in root.iter(f"{SVG}path") if p.get("class") == "floor blocked"]
    assert hatched
    assert all(p.get("fill").startswith("url(") for p in hatched)


def test_without_links_it_is_a_picture(demo):
    root = parse(house_plan(demo.ask(storey, "1")).svg)
    assert root.get("role") == "img"
    assert list(root.iter(f"{SVG}a")) == []
    assert "Dining" in root.find(f"{SVG}desc").text


def test_on_paper_without_color(demo):
    svg = house_plan(demo.ask(storey, "2"), PlanOptions.on_paper(540, 420)).svg
    assert "#B3400E" not in svg
    assert "#0B5563" not in svg


def test_a_level_without_rooms_is_refused():
    with pytest.raises(ValueError, match="outline"):
        house_plan(Storey("9", "Roof", (), ()))
