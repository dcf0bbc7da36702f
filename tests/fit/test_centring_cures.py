"""What is told to move, moved: then all is centered; and nothing dearer moved than must."""

import cmath
import math
from dataclasses import replace
from itertools import combinations

import pytest
from hypothesis import given
from hypothesis import strategies as st
from tests.fit.demo_rooms import NEEDS

from roomwright import shape
from roomwright.fit.centring import chains
from roomwright.fit.centring_cure import Node, cure_of
from roomwright.fit.centring_table import Cost, cost
from roomwright.fit.model import Body, Light, Piece, Room, Space, Window

WALLS = ((0, 0), (240, 0), (240, 180), (0, 180))
TOLERANCE = 0.25
sixteenths = st.integers(-96, 96).map(lambda n: n / 16)
nothing_or = st.one_of(st.just(0.0), sixteenths)


def turned_room(turn, spots):
    """A turned kitchen: window, sink, faucet and drain; an island with two pendants."""
    spin = cmath.exp(1j * math.radians(turn))

    def at(x, y):
        z = complex(x, y) * spin
        return z.real, z.imag

    def thing(id, kind, width, depth, x, y):
        return Piece(id, kind, kind, width, depth, 36, *at(x, y), turn, "1")

    walls = tuple(at(*p) for p in WALLS)
    sink, faucet, hood, first, second = spots
    return Space(
        (Room("1", "Kitchen", walls),), walls,
        windows=(Window("W1", at(40, 180), at(76, 180), 36, 42, "", "1"),),
        fixed=(Body("X5", "island", "island", "fixed",
                    shape.rectangle(*at(120, 70), 84, 42, turn), room="1"),),
        pieces=(
            thing("K5", "sink", 33, 22, 58 + sink, 166),
            thing("F1", "faucet", 3, 4, 58 + sink + faucet, 177),
            thing("K1", "range", 30, 28, 180, 166),
            thing("H1", "range hood", 36, 20, 180 + hood, 170),
        ),
        lights=(
            Light("C1", "pendant box", *at(105 + first[0], 70 + first[1]), "X5", "1"),
            Light("C2", "pendant box", *at(135 + second[0], 70 + second[1]), "X5", "1"),
        ),
    )  # fmt: skip


pairs_of = st.tuples(sixteenths, sixteenths)


@given(st.floats(0, 359), st.tuples(nothing_or, nothing_or, nothing_or, pairs_of, pairs_of))
def test_in_a_turned_kitchen_offs_are_those_of_the_plain_one_and_moves_lead_there(turn, spots):
    space = turned_room(turn, spots)
    sink, faucet, hood, first, second = spots
    off = {link.ids: link.off for chain in chains(space, NEEDS) for link in chain.links}
    middle = ((first[0] + second[0]) / 2, (first[1] + second[1]) / 2)
    assert off == pytest.approx(
        {
            ("K5",): abs(sink),
            ("F1",): abs(faucet),
            ("H1",): abs(hood),
            ("C1", "C2"): math.hypot(*middle),
        },
        abs=1e-6,
    )
    moved = space
    for anchor, chain in {chain.anchor: chain for chain in chains(space, NEEDS)}.items():
        far = [abs(sink), abs(faucet), abs(sink + faucet)] if anchor == "W1" else [
            max(link.off for link in chain.links)]  # fmt: skip
        assert bool(chain.cure) == (max(far) > TOLERANCE + 1e-6)
        for shift in chain.cure:
            moved = after(moved, shift)
    for chain in chains(moved, NEEDS):
        assert chain.off <= TOLERANCE + 1e-6
        assert all(link.off <= TOLERANCE + 1e-6 for link in chain.links)


def after(space, shift):
    """A space with what a shift names moved by its told way alone: inches and compass words."""
    words = {"east": 0, "northeast": 45, "north": 90, "northwest": 135}
    words |= {"west": 180, "southwest": 225, "south": 270, "southeast": 315}
    assert {word for _, word in shift.moves} <= set(words)
    assert sum(by**2 for by, _ in shift.moves) == pytest.approx(
        shift.by[0] ** 2 + shift.by[1] ** 2, abs=0.5
    )

    def there(each):
        if each.id not in shift.ids:
            return each
        return replace(each, x=each.x + shift.by[0], y=each.y + shift.by[1])

    return replace(
        space, pieces=tuple(map(there, space.pieces)), lights=tuple(map(there, space.lights))
    )


@given(
    st.lists(
        st.tuples(st.integers(-3, 3).map(lambda n: n * 0.5), st.integers(1, 9)),
        min_size=2,
        max_size=5,
    )
)
def test_no_choice_of_things_to_move_has_a_milder_dearest(rows):
    nodes = [
        Node((str(i),), str(i), (0.0 if i == 0 else way, 0.0), None, Cost(rank, ""))
        for i, (way, rank) in enumerate(rows)
    ]
    found = cure_of(nodes, TOLERANCE, lambda way, _: ((abs(way[0]), "east"),))
    moved = {int(id_) for shift in found for id_ in shift.ids}

    # the brute way: any set may move if all that stay agree
    def agree(stay):
        return all(abs(nodes[a].way[0] - nodes[b].way[0]) <= 1e-9 for a in stay for b in stay)

    every = range(len(nodes))
    assert agree([i for i in every if i not in moved])
    dearest = [
        sorted((nodes[i].cost.rank for i in few), reverse=True)
        for count in range(len(nodes))
        for few in combinations(every, count)
        if agree([i for i in every if i not in few])
    ]
    assert sorted((nodes[i].cost.rank for i in moved), reverse=True) == min(dearest)


def test_what_is_cheaper_stands_in_this_order_once_the_board_is_up():
    order = [
        ("piece", "dining table"), ("piece", "mirror"), ("light", "chandelier box"),
        ("light", "sconce box"), ("fixed", "island"), ("window", "window"),
    ]  # fmt: skip
    ranks = [cost(what, name, True).rank for what, name in order]
    assert ranks == sorted(ranks)
    assert len(set(ranks)) == len(ranks)
    assert cost("fixed", "drain", True).rank >= ranks[-1]
    assert cost("light", "vanity light", True).rank == cost("light", "sconce box", True).rank


def test_many_things_and_long_chains_are_answered():
    pieces = [
        Piece(f"R{k}", "mirror", "mirror", 24, 1, 30, 50 + k % 20 * 90, 50 + k // 20 * 60, 0, "1")
        for k in range(200)
    ]
    lights = [
        Light(f"S{each.id}{by}", "sconce box", each.x + by, each.y, "", "1")
        for each in pieces
        for by in (-17, 16)
    ]
    walls = ((0, 0), (2000, 0), (2000, 2000), (0, 2000))
    space = Space((Room("1", "Hall", walls),), walls, pieces=tuple(pieces), lights=tuple(lights))
    made = chains(space, NEEDS)
    assert len(made) == 200
    assert all(chain.off == pytest.approx(0.5) for chain in made)
    row = [
        Piece(f"T{k}", "stand", "stand", 24, 24, 30, 50 + k / 16, 50, 0, "1",
              centred_on=f"T{k + 1}" if k < 299 else "")
        for k in range(300)
    ]  # fmt: skip
    (chain,) = chains(replace(space, pieces=tuple(row), lights=()), NEEDS)
    assert (len(chain.links), chain.off) == (299, pytest.approx(299 / 16))
    assert chain.cure
