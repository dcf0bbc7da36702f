"""A tile that is thicker makes a room narrower: layers from facts to clearances, on the demo."""

from fractions import Fraction

import pytest
from tests.answers.demo_house import answers, facts

from roomwright.answers.layers import Ceiling, at_face, ceiling, finished
from roomwright.answers.plans import plan
from roomwright.answers.rooms import room_fit, space_of
from roomwright.job.entities import Floor, Reading, Room, Wall, Window

BATH = "204"
HALF, DEAR = Fraction(3, 8), Fraction(7, 8)


def bath(**values) -> Room:
    return facts().get(Room, BATH).model_copy(update=values)


def wall(a: str, b: str, board=None, finish=None, room=BATH) -> Wall:
    return Wall(
        id=f"{room}/{a}-{b}", room=room, from_corner=a, to_corner=b, board=board, finish=finish
    )


def clear(of, piece: str) -> dict[str, float]:
    fit = of.ask(room_fit, BATH)
    each = next(p for p in fit.pieces if p.piece.id == piece)
    return {side.side: side.clear for side in each.sides if side.clear is not None}


def toilet(of) -> str:
    return next(p.piece.id for p in of.ask(room_fit, BATH).pieces if "toilet" in p.piece.kind)


def walls_of(side_moves: str) -> list[Wall]:
    return [wall(side_moves, chr(ord(side_moves) + 1), Fraction(1, 2), HALF)]


def test_nothing_recorded_changes_nothing():
    room = facts().get(Room, BATH)
    assert answers().ask(finished, BATH) == tuple((float(x), float(y)) for x, y in room.outline)
    of_board = answers(bath(face="board"))
    assert of_board.ask(room_fit, BATH) == answers().ask(room_fit, BATH)


def test_layers_on_a_finished_outline_change_nothing():
    layered = answers(*(wall(a, b, HALF, DEAR) for a, b in ("AB", "BC", "CD", "DA")))
    assert layered.ask(room_fit, BATH) == answers().ask(room_fit, BATH)


@pytest.mark.parametrize("ends", ["BC", "CD", "DA"])
def test_a_dearer_tile_moves_the_toilet_s_clearances_by_its_thickness(ends):
    """Whatever of the toilet's sides is bound by that wall loses exactly what the tile gained."""
    cheap = answers(bath(face="board"), wall(*ends, HALF, HALF))
    dear = answers(bath(face="board"), wall(*ends, HALF, DEAR))
    id = toilet(cheap)
    lost = {k: v - clear(dear, id)[k] for k, v in clear(cheap, id).items() if k in clear(dear, id)}
    moved = {round(v, 6) for v in lost.values()} - {0.0}
    assert moved <= {float(DEAR - HALF)}


def test_a_tile_behind_the_toilet_meets_its_back():
    """What stood against the wall now stands in the tile, and that is told; its front stays."""
    dear = answers(bath(face="board"), wall("A", "B", HALF, DEAR))
    id = toilet(dear)
    assert clear(dear, id)["north"] == clear(answers(), id)["north"]
    assert clear(dear, id) == clear(answers(), id)  # all sides that stand in the room, too
    told = [f.text for f in dear.ask(room_fit, BATH).findings if id in f.ids]
    assert any('sticks 7/8" into the wall' in text for text in told)


def test_some_wall_does_move_the_toilet():
    id = toilet(answers())
    before = clear(answers(bath(face="board")), id)
    found = []
    for ends in ("AB", "BC", "CD", "DA"):
        after = clear(answers(bath(face="board"), wall(*ends, None, DEAR)), id)
        found += [side for side in before if after.get(side) == before[side] - float(DEAR)]
    assert found, "a tile on none of the four walls reached the toilet's sides"


def test_from_the_studs_board_and_finish_both_count():
    of = answers(bath(face="stud"), wall("A", "B", HALF, DEAR))
    drawn = [(float(x), float(y)) for x, y in facts().get(Room, BATH).outline]
    south = min(y for _, y in drawn)
    assert min(y for _, y in of.ask(finished, BATH)) == south + float(HALF + DEAR)
    assert min(y for _, y in of.ask(at_face, BATH, "board")) == south + float(HALF)
    assert of.ask(space_of, (BATH,)).room(BATH).outline == of.ask(finished, BATH)


def test_the_plan_shows_the_same_faces_as_the_fit():
    of = answers(bath(face="board"), wall("A", "B", None, DEAR))
    assert of.ask(plan, BATH).outline == of.ask(finished, BATH)


def test_a_window_is_seen_on_the_new_face():
    window = next(w for w in facts().all(Window) if w.height and w.sill)
    room = facts().get(Room, window.room).model_copy(update={"face": "board"})
    walls = [wall(a, b, None, DEAR, room.id) for a, b in ("AB", "BC", "CD", "DA")]

    def shown(of):
        found = next(w for w in of.ask(space_of, (room.id,)).windows if w.id == window.id)
        return *found.a, *found.b

    before, after = shown(answers()), shown(answers(room, *walls))
    moved = {round(abs(p - q), 6) for p, q in zip(before, after, strict=True)}
    assert moved == {0.0, float(DEAR)}


def height(length, face, at="A", n=1) -> Reading:
    return Reading(id=f"h{n}", room=BATH, from_corner=at, to_corner="ceiling", length=length,
                   kind="height", face=face)  # fmt: skip


def test_a_floor_build_up_moves_a_ceiling_taped_from_the_subfloor():
    from datetime import date

    room = bath(measured_on=date(2027, 3, 24))
    high, low = height(Fraction(865, 8), "board"), height(108, "board", "C", 2)
    said = answers(room, high, low).ask(ceiling, BATH)
    build_up = facts().get(Floor, room.floor).build_up
    assert (said.height, said.build_up) == (108 - build_up, build_up)
    assert "subfloor" in said.words
    thicker = Floor(id=room.floor, build_up=build_up + Fraction(1, 2))
    of = answers(room, high, low, thicker)
    assert of.ask(ceiling, BATH).height == 108 - build_up - Fraction(1, 2)
    assert of.ask(space_of, (BATH,)).room(BATH).ceiling == float(108 - build_up) - 0.5


def test_a_ceiling_taped_from_the_finished_floor_stays():
    from datetime import date

    room = bath(measured_on=date(2027, 3, 24))
    assert answers(room, height(107, "finished")).ask(ceiling, BATH).height == 107
    assert answers(height(107, "finished")).ask(ceiling, BATH) == Ceiling(
        room.ceiling, "as recorded"
    )
