"""The piece in hand is judged as the whole room judges it, wherever it is put."""

import random
from dataclasses import replace

import pytest
from tests.answers import demo_house

from roomwright.answers.in_hand import in_hand
from roomwright.answers.plans import plan
from roomwright.answers.rooms import room_fit
from roomwright.commands import Move
from roomwright.job.entities import House, Piece


def told(findings):
    """Findings by what they are and about: an overlap may be told from either piece."""
    return {(f.kind, f.severity, frozenset(f.ids)) for f in findings}


@pytest.mark.parametrize("room", ["101", "102", "108", "204", "208"])
def test_equal_to_the_room_at_any_place(room):
    base = demo_house.answers()
    rng = random.Random(room)
    for piece in base.facts.where(Piece, "room", room):
        for _ in range(6):
            move = Move(piece=piece.id, dx=rng.randint(-30, 30), dy=rng.randint(-30, 30))
            there = base.supposing(move.changes(base.facts))
            whole, held = there.ask(room_fit, room), there.ask(in_hand, room, piece.id)
            one = next(p for p in whole.pieces if p.piece.id == piece.id)
            assert held.fit.pieces == (replace(one, cure=None),)
            assert held.fit.ways == whole.ways
            assert (held.fit.area, held.fit.perimeter) == (whole.area, whole.perimeter)
            assert told(held.fit.findings) <= told(whole.findings)
            about = [f for f in whole.findings if piece.id in f.ids or not f.ids]
            neighbors = {f for f in about if f.kind == "spacing" and f.ids[0] != piece.id}
            assert told(set(about) - neighbors) <= told(held.fit.findings)
            assert held.fit.goals == whole.goals
            reached = {f for f in whole.findings if f.kind == "goal"}
            assert reached <= set(held.fit.findings)
            drawn = there.ask(plan, room)
            assert held.zones == tuple(z for z in drawn.zones if z.piece == piece.id)
            assert [w.points for w in held.ways] == [w.points for w in drawn.ways]


def test_the_accessible_set_is_asked_too():
    house = demo_house.facts().get(House, "house").model_copy(update={"figures": "accessible"})
    base = demo_house.answers(house)
    whole, held = base.ask(room_fit, "204"), base.ask(in_hand, "204", "V3")
    asked = {f for f in whole.findings if f.kind.startswith("access ")}
    assert asked
    assert asked <= set(held.fit.findings)


def test_a_rooms_own_figures_hold():
    house = demo_house.facts().get(House, "house")
    own = house.model_copy(update={"overrides": {"101:dining.walk_past": "38"}})
    answers = demo_house.answers(own)
    held = answers.ask(in_hand, "101", "T1").fit.pieces[0]
    east = next(s for s in held.sides if s.side == "east")
    assert (east.needs, east.margin) == (38, 1)


def test_a_piece_of_another_room_is_refused():
    with pytest.raises(KeyError):
        demo_house.answers().ask(in_hand, "101", "L1")
