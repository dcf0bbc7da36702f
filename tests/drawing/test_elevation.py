"""Walls from inside: to scale, mirrored the right way, no text on another, black on paper."""

import re

import pytest
from tests.answers.demo_house import answers, facts
from tests.drawing.svg import SVG, overlaps, parse

from roomwright.answers.elevations import room_walls
from roomwright.drawing.elevation import elevation
from roomwright.drawing.options import PlanOptions
from roomwright.job.entities import Room, Slope

ROOMS = [room.id for room in facts().all(Room)]
SIZES = [PlanOptions(width=720, height=620), PlanOptions(width=358, height=520, text=15),
         PlanOptions(width=540, height=280, paper=True, text=9.5)]  # fmt: skip


@pytest.mark.parametrize("room", ROOMS)
@pytest.mark.parametrize("options", SIZES, ids=["wide", "narrow", "paper"])
def test_no_text_stands_on_another_and_all_stay_on_the_drawing(room, options):
    found = answers().ask(room_walls, room)
    for view in found.walls:
        made = elevation(found, view, options)
        assert overlaps(made.boxes) == []
        for name, (x0, y0, x1, y1) in made.boxes:
            assert min(x0, y0) >= 0, name
            assert x1 <= made.width + 0.01, name
            assert y1 <= made.height + 0.01, name
        parse(made.svg)


def test_the_window_stands_at_its_place_to_scale():
    found = answers().ask(room_walls, "102")
    north = next(v for v in found.walls if v.side == "north")
    made = elevation(found, north, PlanOptions(width=720, height=620))
    (box,) = [
        p for p in parse(made.svg).iter(f"{SVG}path")
        if p.get("data-id") == "W3" and "dasharray" not in str(p.attrib)
    ]  # fmt: skip
    x0, y1, y0, x1 = map(float, re.findall(r"-?[\d.]+", box.get("d"))[:4])
    at = [(x / made.scale + made.left, made.top - y / made.scale) for x, y in ((x0, y0), (x1, y1))]
    # W3 runs from x 63 to 99 on a wall of 162 that one sees with the west at the left: 63 to 99
    assert at[0] == pytest.approx((63, 42), abs=0.02)
    assert at[1] == pytest.approx((99, 84), abs=0.02)


def test_a_south_wall_is_seen_with_east_at_the_left():
    # the refrigerator K3 stands at the west end of the kitchen's south wall
    found = answers().ask(room_walls, "102")
    south = next(v for v in found.walls if v.side == "south")
    assert south.start == (162, 154.5)
    (fridge,) = [s for s in south.things if s.id == "K3"]
    assert (fridge.left, fridge.right) == (132, 162)


def test_paper_is_black():
    found = answers().ask(room_walls, "208")
    for view in found.walls:
        svg = elevation(found, view, SIZES[2]).svg
        assert set(re.findall(r"#[0-9A-Fa-f]{3,6}\b", svg)) <= {"#000", "#fff"}


def test_what_covers_a_window_leaves_it_dashed():
    found = answers().ask(room_walls, "208")
    north = next(v for v in found.walls if v.side == "north")
    svg = parse(elevation(found, north, SIZES[0]).svg)
    drawn = [p for p in svg.iter(f"{SVG}path") if p.get("data-id") == "W16"]
    assert [bool(p.get("stroke-dasharray")) for p in drawn] == [False, True]


def near(line, wanted):
    return len(line) == len(wanted) and all(
        p == pytest.approx(q, abs=1 / 16) for p, q in zip(line, wanted, strict=True)
    )


def test_a_slope_bends_the_ceiling_of_the_walls_it_meets():
    # from 48 over the south wall, 9 in 12: flat 96 is reached 64 in. in
    slope = Slope(id="SL1", room="201", a=(0, 0), b=(162, 0), low=48, pitch=9)
    found = answers(slope).ask(room_walls, "201")
    south, east, north, west = found.walls
    assert south.ceiling == ((0, 48), (162, 48))
    assert north.ceiling == ((0, 96), (162, 96))
    assert near(east.ceiling, [(0, 96), (80, 96), (144, 48)])
    assert near(west.ceiling, [(0, 48), (64, 96), (144, 96)])
    for view in found.walls:
        made = elevation(found, view, SIZES[0])
        assert overlaps(made.boxes) == []


def test_an_unknown_ceiling_is_to_be_measured_and_draws_open():
    bare = facts().get(Room, "201").model_copy(update={"ceiling": None})
    found = answers(bare).ask(room_walls, "201")
    assert "Measure the height of the ceiling." in found.unmeasured
    assert all(view.ceiling == () for view in found.walls)
    parse(elevation(found, found.walls[0], SIZES[1]).svg)
