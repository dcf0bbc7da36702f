"""Whatever is typed: a room is judged without a crash, and the answers agree among themselves."""

import math

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from tests.fit.demo_rooms import NEEDS

from roomwright.fit.evaluate import room_fit
from roomwright.fit.kinds import table
from roomwright.fit.model import Body, Light, Piece, Room, Window, Word
from roomwright.fit.spaces import Contents, Door, space

lengths = st.one_of(st.integers(0, 300).map(float), st.floats(0, 300))
sizes = st.one_of(st.none(), st.floats(0, 120), st.integers(0, 120).map(float))
points = st.tuples(lengths, lengths)

ROOMS = (
    ((0, 0), (200, 0), (200, 160), (0, 160)),
    ((0, 0), (200, 0), (200, 90), (120, 90), (120, 160), (0, 160)),
    ((0, 0), (180, 10), (200, 160), (20, 150)),
    ((0, 160), (200, 160), (200, 0), (0, 0)),  # clockwise
)

pieces = st.builds(
    Piece,
    id=st.sampled_from([f"P{i}" for i in range(9)]),
    kind=st.sampled_from([*sorted(table()), "pipe organ", ""]),
    name=st.just("thing"),
    width=sizes,
    depth=sizes,
    height=sizes,
    x=st.one_of(st.none(), lengths),
    y=lengths,
    turn=st.one_of(st.sampled_from([0.0, 90.0, 180.0, 270.0, -90.0, 720.0]), st.floats(-400, 400)),
    room=st.just("1"),
)


@st.composite
def doors(draw, number):
    outline = draw(st.just(ROOMS[draw(st.integers(0, len(ROOMS) - 1))]))
    wall = draw(st.integers(0, len(outline) - 1))
    (ax, ay), (bx, by) = outline[wall], outline[(wall + 1) % len(outline)]
    s, t = sorted((draw(st.floats(0, 1)), draw(st.floats(0, 1))))
    a = (ax + s * (bx - ax), ay + s * (by - ay))
    b = (ax + t * (bx - ax), ay + t * (by - ay))
    kind = draw(st.sampled_from(["swing", "swing pair", "pocket", "cased", "open", "bifold"]))
    hinge = draw(st.sampled_from([None, a, b, (50.0, 50.0)]))
    return Door(f"D{number}", "1", draw(st.sampled_from(["out", "2"])), kind, a, b,
                math.dist(a, b), 80.0, hinge, draw(st.sampled_from(["1", "2", None])))  # fmt: skip


@st.composite
def spaces(draw):
    outline = draw(st.sampled_from(ROOMS))
    found = {piece.id: piece for piece in draw(st.lists(pieces, max_size=6))}
    fixed = [
        Body(f"X{i}", name, name, "fixed", tuple(corners), room="1")
        for i, (name, corners) in enumerate(
            draw(
                st.lists(
                    st.tuples(
                        st.sampled_from(["counter", "island", "reach-in closet", "shower", "post"]),
                        st.lists(points, min_size=3, max_size=6),
                    ),
                    max_size=3,
                )
            )
        )
    ]
    contents = Contents(
        windows=(Window("W1", (40, 0), (76, 0), 48, 24, "casement", "1"),),
        fixed=tuple(fixed),
        pieces=tuple(found.values()),
        lights=(Light("C1", "box", 80, 75, draw(st.sampled_from(["P0", "X0", "Z9", ""])), "1"),),
    )
    openings = [draw(doors(i)) for i in range(draw(st.integers(0, 3)))]
    return space(
        [Room("1", draw(st.sampled_from(["Den", "Bedroom"])), outline)], openings, contents
    )


@settings(max_examples=300, deadline=None, suppress_health_check=[HealthCheck.too_slow])
@given(spaces())
def test_any_room_is_judged_and_its_answers_agree(given_space):
    fit = room_fit(given_space, NEEDS)
    assert {p.piece.id for p in fit.pieces} == {p.id for p in given_space.pieces}
    widths = {opening.id: opening.width for opening in given_space.openings}
    for way in fit.ways:
        assert 0 <= way.tightest <= min(widths[way.from_], widths[way.to]) + 1e-6
    for piece in fit.pieces:
        assert piece.verdict.text
        assert piece.seats == len(piece.chairs) or not piece.piece.placed
        for side in piece.sides:
            assert (side.needs is None) == (side.verdict is None)
            if side.clear is None:
                continue
            assert side.clear >= 0
            if side.shut is not None:
                assert side.shut >= side.clear
            if side.needs is not None and side.margin is not None:
                assert side.margin == side.clear - side.needs
                assert (side.verdict.word is Word.SHORT) == (side.margin < -1e-6)
            if side.at is not None and side.use not in ("sit", "wash"):
                assert math.dist(*side.at) <= side.clear + 1e-6
        ranks = [s.verdict.word.rank for s in piece.sides if s.verdict]
        assert piece.verdict.word.rank >= max(ranks, default=0)


@pytest.mark.parametrize("dust", [2.2250738585072014e-308, 1e-200, 1e-160])
@pytest.mark.parametrize("far", [161.0, 163.0, 273.0])
def test_a_coordinate_that_is_as_good_as_none(dust, far):
    """Cut at the wall it gets a side too short to divide by: judged still, without a warning."""
    thin = Body("X0", "counter", "counter", "fixed", ((0, 0), (0, far), (dust, 1)), room="1")
    door = Door("D0", "1", "out", "swing", (0, 0), (200, 0), 200, 80, None, None)
    room_fit(space([Room("1", "Den", ROOMS[0])], [door], Contents(fixed=(thin,))), NEEDS)
