"""One lettering everywhere: corner A is the first point that was recorded, and on as recorded."""

import pytest
from tests.answers.demo_house import answers, facts

from roomwright import shape
from roomwright.answers.elevations import room_walls
from roomwright.answers.mark_out_floor import floor_of
from roomwright.answers.plans import plan
from roomwright.answers.rooms import space_of
from roomwright.answers.sheet_taped import ends_of
from roomwright.answers.survey import corners_of
from roomwright.fit.search_rules import runs
from roomwright.job.entities import Room
from roomwright.markout.baseline import _lines
from roomwright.markout.reach import Reach

BATH = facts().get(Room, "204")
CLOCKWISE = BATH.model_copy(update={"outline": (BATH.outline[0], *reversed(BATH.outline[1:]))})
BOTH = pytest.mark.parametrize("room", [BATH, CLOCKWISE], ids=["as drawn", "clockwise"])


def ends(room: Room) -> dict[str, set[shape.Point]]:
    """Each wall's two corners, straight from the recorded points."""
    ring = [(float(x), float(y)) for x, y in room.outline]
    return {shape.letter(k): {ring[k], ring[(k + 1) % len(ring)]} for k in range(len(ring))}


def corners(room: Room) -> dict[str, shape.Point]:
    return {shape.letter(k): (float(x), float(y)) for k, (x, y) in enumerate(room.outline)}


@BOTH
def test_walls_of_the_plan_and_of_the_views(room):
    of = answers(room)
    drawn = of.ask(plan, "204")
    assert {name: set(side) for name, side in drawn.letters} == ends(room)
    for _, (a, b) in drawn.letters:  # the room is on the left, so that its letter is drawn inside
        (mx, my), (ox, oy) = shape.middle((a, b)), shape.outward((a, b))
        assert shape.inside((mx - ox, my - oy), drawn.outline)
    views = of.ask(room_walls, "204").walls
    assert {view.letter: {view.start, view.end} for view in views} == ends(room)
    at = corners(room)
    assert all((at[v.corners[0]], at[v.corners[1]]) == (v.start, v.end) for v in views)


@BOTH
def test_dimensions_start_at_the_corner_they_name(room):
    drawn = answers(room).ask(plan, "204")
    at = corners(room)
    from_corner = [d for d in drawn.dims if ", from corner " in d.what]
    assert from_corner
    assert all(d.p == at[d.what.rsplit(" ", 1)[1]] for d in from_corner)
    walls = [d for d in drawn.dims if d.kind == "wall"]
    assert all({d.p, d.q} == ends(room)[d.letter.split()[0]] for d in walls)


@BOTH
def test_fixed_points_and_baselines_of_the_mark_out(room):
    floor = floor_of(answers(room).ask(plan, "204"), (), (), 2.0)
    hooks = {h.id: h.at for h in floor.hooks if h.kind == "corner"}
    assert hooks == corners(room)
    assert all(h.name.startswith("inside corner") for h in floor.hooks if h.kind == "corner")
    lines = {wall: {p, q} for wall, _, _, p, q, _ in _lines(Reach(floor), 24.0)}
    assert lines == {name: at for name, at in ends(room).items() if name in lines}
    assert lines


@BOTH
def test_walls_that_pieces_are_put_against_and_readings(room):
    (this,) = answers(room).ask(space_of, ("204",)).rooms
    assert {wall.name: set(wall.side) for wall in runs(this.outline)} == ends(room)
    at = corners(room)
    assert {name: {at[end] for end in ends_of(room, name)} for name in at} == ends(room)
    assert list(corners_of(room)) == list(at)


def test_walls_that_go_on_straight_are_one_either_way_round():
    ring = ((0.0, 0.0), (60.0, 0.0), (120.0, 0.0), (120.0, 90.0), (0.0, 90.0))
    back = (ring[0], *reversed(ring[1:]))
    assert runs(ring)[0].name == "AB"
    assert [(w.name, w.side) for w in runs(back)][-1] == ("DE", ((0.0, 0.0), (120.0, 0.0)))
