"""What is centered on what: by hand, on turned and moved rooms, and after the move that is told."""

import math
from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st
from tests.fit.demo_rooms import NEEDS, demo_space

from roomwright import shape
from roomwright.fit.centring import chains, moves
from roomwright.fit.centring_table import cost
from roomwright.fit.centring_told import off_centre
from roomwright.fit.evaluate import room_fit
from roomwright.fit.model import Body, Light, Opening, Piece, Room, Space, Window, Word

WALLS = ((0, 0), (240, 0), (240, 180), (0, 180))


def room(*, pieces=(), lights=(), fixed=(), windows=(), openings=()):
    return Space(
        (Room("1", "Room", WALLS),), WALLS, pieces=tuple(pieces), lights=tuple(lights),
        fixed=tuple(fixed), windows=tuple(windows), openings=tuple(openings),
    )  # fmt: skip


def piece(id, kind, width, depth, x, y, turn=0.0, on="", **more):
    return Piece(id, kind, kind, width, depth, 30, x, y, turn, "1", centred_on=on, **more)


def links(space):
    return {link.ids: link for chain in chains(space, NEEDS) for link in chain.links}


def cures(space):
    return [shift.ids for chain in chains(space, NEEDS) for shift in chain.cure]


def test_demo_box_over_the_moved_table_and_pendants_over_the_island():
    dining = demo_space("101")
    assert off_centre(dining, replace_figure(9)) == ()
    (found,) = off_centre(dining, NEEDS)
    assert 'move it 9" north' in found.text  # [C] answer key: 9 north of the room's center
    table = next(p for p in dining.pieces if p.id == "T1")
    west = replace(dining, pieces=(replace(table, x=76.0), *dining.pieces[1:]))
    (found,) = off_centre(west, NEEDS)
    assert 'move it 5" west and 9" north' in found.text  # [C] answer key
    assert found.by == pytest.approx(math.hypot(5, 9))
    (chain,) = chains(demo_space("102"), NEEDS)
    (link,) = chain.links
    assert (link.ids, link.on, link.off) == (("C2", "C3", "C4"), "X5", 0)  # [C]
    assert (link.gaps, link.ends) == ((21, 21), (21, 21))  # [C] island 197 to 281


def replace_figure(value):
    return replace(NEEDS, figures={**NEEDS.figures, "light.center_tolerance": value})


@pytest.mark.parametrize(("off", "told"), [(0.25, False), (0.25 + 1 / 64, True), (-0.26, True)])
def test_a_quarter_inch_is_let_pass_and_no_more(off, told):
    table = piece("T1", "dining table", 72, 36, 120, 90)
    space = room(pieces=[table], lights=[Light("C1", "chandelier box", 120 + off, 90, "T1", "1")])
    assert bool(off_centre(space, NEEDS)) is told


def test_a_hood_is_taken_to_belong_to_the_range_below_and_counts_along_the_wall_only():
    stove = piece("K1", "range", 30, 28, 120, 166, 180)
    hood = piece("H1", "range hood", 36, 20, 118.5, 170, 180)
    (found,) = off_centre(room(pieces=[stove, hood]), NEEDS)
    assert "taken to belong to" in found.text
    assert 'move it 1 1/2" east' in found.text  # [C] and nothing north or south
    assert found.by == 1.5
    link = links(room(pieces=[stove, hood]))["H1",]
    assert (link.taken, link.moves) == (True, ((1.5, "east"),))
    assert cures(room(pieces=[stove, hood])) == [("H1",)]
    far = replace(hood, x=20.0)
    assert chains(room(pieces=[stove, far]), NEEDS) == ()


def test_faucet_on_bowl_on_drain_is_a_chain_whose_small_errors_add_up():
    drain = Body("D1", "drain", "drain", "fixed", shape.rectangle(120, 170, 2, 2), room="1")
    bowl = piece("V1", "bowl", 20, 16, 120 + 3 / 16, 170)
    faucet = piece("F1", "faucet", 6, 4, 120 + 6 / 16, 177)
    space = room(fixed=[drain], pieces=[bowl, faucet])
    (chain,) = chains(space, NEEDS)
    assert (chain.anchor, [link.on for link in chain.links]) == ("D1", ["V1", "D1"])
    assert chain.off == pytest.approx(3 / 8)
    assert [link.verdict.word for link in chain.links] == [Word.FITS, Word.FITS]
    (found,) = off_centre(space, NEEDS)
    assert '3/8" off the drain D1' in found.text
    assert found.ids == ("F1", "V1", "D1")
    near = replace(faucet, x=120.0)  # opposite errors of two pairs do not add up
    assert off_centre(room(fixed=[drain], pieces=[bowl, near]), NEEDS) == ()
    wrong = replace(bowl, x=122.0)
    told = off_centre(room(fixed=[drain], pieces=[wrong, replace(faucet, x=122.0)]), NEEDS)
    assert ["F1" in f.ids for f in told] == [False]  # the faucet follows its bowl
    assert 'it is 2" too far east' in told[0].text
    assert 'move the bowl V1 and the faucet F1 2" west, before' in told[0].text
    assert cost("fixed", "drain", True).rank > cost("piece", "bowl", True).rank


def test_a_faucet_belongs_to_the_nearest_bowl_of_two():
    vanity = piece("M1", "vanity double", 72, 21, 120, 169.5, 180)
    first, second = piece("F1", "faucet", 6, 4, 102, 176), piece("F2", "faucet", 6, 4, 139, 176)
    found = links(room(pieces=[vanity, first, second]))
    assert found["F1",].off == 0  # [C] quarter points at 102 and 138
    assert found["F2",].moves == ((1.0, "west"),)
    small = piece("R1", "mirror", 24, 1, 103, 179.5)
    assert links(room(pieces=[vanity, small]))["R1",].moves == ((1.0, "west"),)
    wide = piece("R1", "mirror", 60, 1, 121, 179.5)
    assert links(room(pieces=[vanity, wide]))["R1",].moves == ((1.0, "west"),)


def test_a_pair_of_sconces_is_centered_by_its_middle():
    mirror = piece("R1", "mirror", 30, 1, 120, 179.5)
    pair = [
        Light("S1", "sconce box", 102, 178, "", "1"),
        Light("S2", "sconce box", 140, 178, "", "1"),
    ]
    (link,) = links(room(pieces=[mirror], lights=pair)).values()
    assert (link.ids, link.on, link.taken, link.moves) == (
        ("S1", "S2"),
        "R1",
        True,
        ((1.0, "west"),),
    )
    (found,) = off_centre(room(pieces=[mirror], lights=pair), NEEDS)
    assert "sconce boxes S1 and S2" in found.text
    assert "they are taken to belong to" in found.text
    bed = piece("B1", "nightstand", 24, 18, 20, 20)
    apart = [replace(each, y=20.0, x=20.0) for each in pair]
    assert chains(room(pieces=[mirror, bed], lights=apart), NEEDS) == ()


def test_a_sink_under_its_window_and_a_table_before_an_opening():
    window = Window("W1", (100, 180), (140, 180), 36, 42, "casement", "1")
    sink = piece("K5", "sink", 33, 22, 121, 168, 180)
    link = links(room(pieces=[sink], windows=[window]))["K5",]
    assert (link.on, link.taken, link.moves) == ("W1", True, ((1.0, "west"),))
    assert cures(room(pieces=[sink], windows=[window])) == [("K5",)]
    beside = replace(sink, x=60.0)
    assert chains(room(pieces=[beside], windows=[window]), NEEDS) == ()
    door = Opening("O1", (0, 60), (0, 120), "2", "cased", 60, room="1")
    table = piece("T1", "dining table", 72, 36, 150, 93, on="O1")
    assert links(room(pieces=[table], openings=[door]))["T1",].moves == ((3.0, "south"),)


def test_of_two_pieces_that_stand_apart_only_the_way_between_their_sides_counts():
    sofa = piece("L1", "sofa", 84, 36, 120, 20)
    low = piece("L2", "coffee table", 48, 24, 122, 66, on="L1")
    assert links(room(pieces=[sofa, low]))["L2",].moves == ((2.0, "west"),)
    end = piece("L3", "side table", 20, 20, 180, 25, on="L1")
    assert links(room(pieces=[sofa, end]))["L3",].moves == ((5.0, "south"),)
    rug = piece("R9", "rug", 120, 90, 122, 66, on="L2")
    assert links(room(pieces=[sofa, replace(low, centred_on=""), rug]))["R9",].off == 0


def test_three_pendants_are_evenly_spaced_and_in_line():
    island = Body("X5", "island", "island", "fixed", shape.rectangle(120, 90, 42, 84), room="1")
    boxes = [Light(f"C{k}", "pendant box", 120, y, "", "1") for k, y in enumerate((70, 92, 110), 1)]
    found = off_centre(room(fixed=[island], lights=boxes), NEEDS)
    told = next(f for f in found if "Evenly spaced" in f.text)
    assert 'are 22" and 1\'-6" apart' in told.text or "1'-10\" and 1'-6\" apart" in told.text
    assert 'move C2 2" south' in told.text  # [C] 70, 90, 110
    out = [replace(boxes[0], x=123.0), boxes[1], replace(boxes[2], x=117.0)]
    told = [f for f in off_centre(room(fixed=[island], lights=out), NEEDS) if "one line" in f.text]
    assert 'C1 3" west' in told[0].text
    assert 'C3 3" east' in told[0].text


def test_what_has_no_place_is_measured():
    table = replace(piece("T1", "dining table", 72, 36, 0, 0), x=None, y=None)
    (found,) = off_centre(room(pieces=[table], lights=[Light("C1", "box", 9, 9, "T1", "1")]), NEEDS)
    assert found.severity is Word.MEASURE
    gone = room(lights=[Light("C1", "chandelier box", 9, 9, "T7", "1")])
    assert off_centre(gone, NEEDS)[0].severity is Word.MEASURE
    lost = replace(piece("H1", "mirror", 30, 1, 0, 0, on="T2"), x=None)
    both = room(pieces=[piece("T2", "vanity", 30, 20, 60, 60), lost])
    assert "it has no place yet" in off_centre(both, NEEDS)[0].text


def test_what_is_cheaper_depends_on_whether_the_board_is_up():
    table = piece("T1", "dining table", 72, 36, 120, 90)
    island = Body("X5", "island", "island", "fixed", shape.rectangle(120, 90, 42, 84), room="1")
    over = Light("C1", "pendant box", 123, 90, "X5", "1")
    assert cures(room(fixed=[island], lights=[over])) == [("C1",)]
    over = replace(over, centred_on="T1")
    (chain,) = chains(room(pieces=[table], lights=[over]), NEEDS)
    assert [(shift.ids, shift.moves) for shift in chain.cure] == [(("T1",), ((3.0, "east"),))]
    for closed in (True, False):
        space = replace(room(pieces=[table], lights=[over]), closed=closed)
        text = off_centre(space, NEEDS)[0].text
        assert "Cheaper now: move the dining table T1" in text
    mirror = piece("R1", "mirror", 30, 1, 120, 179.5)
    bar = room(pieces=[mirror], lights=[Light("S1", "vanity light", 121, 178, "R1", "1")])
    assert cures(bar) == [("R1",)]  # a patch costs more than a hanger
    assert cures(replace(bar, closed=False)) == [("S1",)]


spots = st.floats(-6, 6).map(lambda v: round(v * 16) / 16)


@given(spots, spots, st.floats(0, 359), st.sampled_from(["T1", "W1", "K1"]))
def test_turning_the_whole_room_turns_the_moves_and_after_them_nothing_is_off(dx, dy, turn, on):
    def space(moved=(0.0, 0.0), angle=turn):
        def at(x, y):
            ((u, v),) = shape.turned(((x, y),), angle)
            return u, v

        table = piece("T1", "dining table", 72, 36, *at(120, 90), angle)
        stove = piece("K1", "range", 30, 28, *at(200, 166), angle)
        window = Window("W1", at(40, 180), at(76, 180), 36, 42, "", "1")
        base = {"T1": (120, 90), "K1": (200, 168), "W1": (58, 170)}[on]
        x, y = at(base[0] + dx, base[1] + dy)
        thing = piece("H1", "range hood" if on == "K1" else "stand", 10, 10, x + moved[0],
                      y + moved[1], angle, on=on)  # fmt: skip
        walls = shape.turned(WALLS, angle)
        made = room(pieces=[table, stove, thing], windows=[window])
        return replace(made, rooms=(Room("1", "Room", walls),), outline=walls)

    link = links(space())["H1",]
    expected = math.hypot(dx, dy) if on == "T1" else abs(dx)
    assert link.off == pytest.approx(expected, abs=1e-6)
    assert link.off == pytest.approx(links(space(angle=0.0))["H1",].off, abs=1e-6)
    (ax, ay), (bx, by) = link.at
    assert links(space((bx - ax, by - ay)))["H1",].off == pytest.approx(0, abs=1e-6)


@given(spots, spots)
def test_the_way_that_is_told_leads_there(dx, dy):
    units = {"east": (1, 0), "west": (-1, 0), "north": (0, 1), "south": (0, -1)}
    way = moves((3, 4), (3 + dx, 4 + dy))
    assert sum(by * units[w][0] for by, w in way) == pytest.approx(dx)
    assert sum(by * units[w][1] for by, w in way) == pytest.approx(dy)


def test_chains_are_part_of_the_rooms_answer():
    fit = room_fit(demo_space("102"), NEEDS, "102")
    assert [chain.anchor for chain in fit.chains] == ["X5"]
    assert room_fit(demo_space("103"), NEEDS, "104").chains == ()


def test_a_table_is_not_told_to_move_where_it_is_short():
    # [C] the demo's table five inches west clears its ends; back east it would be short again
    dining = demo_space("101")
    table = next(p for p in dining.pieces if p.id == "T1")
    moved = replace(dining, pieces=tuple(
        replace(p, x=76.0) if p is table else p for p in dining.pieces))  # fmt: skip
    (chain,) = room_fit(moved, NEEDS, "101").chains
    assert ([shift.ids for shift in chain.cure], chain.held) == ([("C1",)], ("T1",))
    (found,) = [f for f in room_fit(moved, NEEDS, "101").findings if f.kind == "light"]
    assert 'move it 5" west and 9" north' in found.text
    assert "Moving the dining table T1 instead would leave it" in found.text
    (chain,) = room_fit(dining, NEEDS, "101").chains
    assert ([shift.ids for shift in chain.cure], chain.held) == ([("T1",)], ())  # nine inches south


def test_things_that_are_centered_on_each_other_in_a_ring_are_told():
    first = piece("T1", "dining table", 72, 36, 120, 90, on="R9")
    rug = piece("R9", "rug", 120, 90, 121, 90, on="T1")
    space = room(pieces=[first, rug])
    assert links(space)["T1",].off == 1.0
    told = off_centre(space, NEEDS)
    assert [f.severity for f in told] == [Word.SHORT, Word.MEASURE]
    assert "say which of them stays" in told[1].text
    alone = replace(first, centred_on="T1")
    (found,) = off_centre(room(pieces=[alone]), NEEDS)
    assert "say which of them stays" in found.text


def test_what_is_usual_makes_no_ring_with_what_is_said():
    # the range is said to stand under its hood; the hood is not taken to hang over the range then
    stove = piece("K1", "range", 30, 28, 120, 166, 180, on="H1")
    hood = piece("H1", "range hood", 36, 20, 118.5, 170, 180)
    (chain,) = chains(room(pieces=[stove, hood]), NEEDS)
    assert (chain.anchor, chain.links[0].ids, chain.links[0].moves) == (
        "H1", ("K1",), ((1.5, "west"),),
    )  # fmt: skip


def test_a_hood_over_an_island_counts_both_ways():
    stove = piece("K1", "range", 30, 28, 120, 90, 180)
    hood = piece("H1", "range hood", 36, 20, 118.5, 92, 180)
    assert links(room(pieces=[stove, hood]))["H1",].moves == ((1.5, "east"), (2.0, "south"))


def test_one_move_centers_a_whole_chain():
    drain = Body("D1", "drain", "drain", "fixed", shape.rectangle(120, 170, 2, 2), room="1")
    bowl, faucet = piece("V1", "bowl", 20, 16, 122, 170), piece("F1", "faucet", 6, 4, 120, 177)
    space = room(fixed=[drain], pieces=[bowl, faucet])
    (chain,) = chains(space, NEEDS)
    assert (chain.off, len(chain.links)) == (0.0, 2)
    assert [(shift.ids, shift.moves) for shift in chain.cure] == [(("V1",), ((2.0, "west"),))]
    told = off_centre(space, NEEDS)
    assert len(told) == 2  # the bowl against its drain, the faucet against its bowl
    text = {f.ids: f.text for f in told}
    assert 'move it 2" west. That is the cheaper' in text["V1", "D1"]
    assert 'it is 2" too far west. Cheapest now' in text["F1", "V1"]
    assert 'move the bowl V1 2" west, before' in text["F1", "V1"]


def test_branches_of_one_anchor_are_told_apart():
    vanity = piece("M1", "vanity double", 72, 21, 120, 169.5, 180)
    mirror, tap = piece("R1", "mirror", 24, 1, 104, 179.5), piece("F1", "faucet", 6, 4, 139, 176)
    lights = [Light(f"S{k}", "sconce box", x, 179, "", "1") for k, x in enumerate((84, 120), 1)]
    told = off_centre(room(pieces=[vanity, mirror, tap], lights=lights), NEEDS)
    assert len(told) == 3
    assert all(("faucet F1" in f.text) != ("mirror R1" in f.text) for f in told)
    (pair,) = [f.text for f in told if "S1" in f.ids]
    assert 'they are 2" too far west' in pair  # [C] 102 against 104
    assert 'move the mirror R1 2" west, by its hangers' in pair


def test_all_that_hangs_on_one_anchor_moves_together():
    # a vanity moved 3 in. west of its mirror, sconces and faucet: the one move is the vanity's,
    # unless it costs more than the three others
    vanity = piece("V1", "vanity", 36, 21, 117, 169, 180)
    mirror = piece("R1", "mirror", 30, 1, 120, 179.5)
    lights = [Light(f"S{k}", "sconce box", x, 178, "", "1") for k, x in enumerate((102, 138), 1)]
    tap = piece("F1", "faucet", 6, 4, 120, 176)
    space = room(pieces=[vanity, mirror, tap], lights=lights)
    first, second = chains(space, NEEDS)
    assert first.cure == second.cure
    assert {i for s in first.cure for i in s.ids} == {"F1", "R1", "S1", "S2"}  # 5 and less under 6
    assert {chain.links[0].ids for chain in (first, second)} == {("S1", "S2"), ("F1",)}
    open_ = chains(replace(space, closed=False), NEEDS)[0]
    assert {i for s in open_.cure for i in s.ids} == {"F1", "R1", "S1", "S2"}  # 3 under 4


def test_three_sconces_beside_two_mirrors_share_the_middle_one():
    vanity = piece("M1", "vanity double", 72, 21, 120, 169.5, 180)
    mirrors = [piece(f"R{k}", "mirror", 24, 1, x, 179.5) for k, x in enumerate((102, 138), 1)]
    lights = [
        Light(f"S{k}", "sconce box", x, 179, "", "1") for k, x in enumerate((84, 120, 156), 1)
    ]
    found = links(room(pieces=[vanity, *mirrors], lights=lights))
    assert found["S1", "S2"].on == "R1"
    assert found["S2", "S3"].on == "R2"
    assert [found[ids].off for ids in (("S1", "S2"), ("S2", "S3"), ("R1",), ("R2",))] == [0] * 4
    assert found["R1",].on_name == "west bowl of the vanity double M1"
    assert not links(room(pieces=mirrors[:1], lights=lights[:1]))  # one alone belongs to nothing


def test_mirrors_and_lights_over_a_vanity_with_two_bowls():
    vanity = piece("M1", "vanity double", 72, 21, 120, 169.5, 180)  # [C] bowls at 102 and 138
    pair = [piece("R1", "mirror", 24, 1, 104, 179.5), piece("R2", "mirror", 24, 1, 136, 179.5)]
    found = links(room(pieces=[vanity, *pair]))
    assert found["R1",].moves == ((2.0, "west"),)  # the middle of both is right, each is off
    assert found["R2",].moves == ((2.0, "east"),)

    def lights(*xs):
        boxes = [Light(f"S{k}", "vanity light", x, 178, "M1", "1") for k, x in enumerate(xs, 1)]
        return links(room(pieces=[vanity], lights=boxes))

    assert lights(93, 113)["S1", "S2"].moves == ((1.0, "west"),)  # a pair at the west bowl
    assert lights(95, 147)["S1", "S2"].moves == ((1.0, "west"),)  # a pair at the middle
    four = lights(93, 113, 128, 148)
    assert four["S1", "S2"].moves == ((1.0, "west"),)
    assert four["S3", "S4"].off == 0
    assert lights(139)["S1",].moves == ((1.0, "west"),)


def test_a_light_at_the_wall_over_a_vanity_counts_along_the_wall():
    vanity = piece("V1", "vanity", 36, 21, 120, 169.5, 180)
    bar = Light("S1", "wall box", 121, 178, "V1", "1")
    assert links(room(pieces=[vanity], lights=[bar]))["S1",].moves == ((1.0, "west"),)


def test_a_name_is_known_by_its_longest_word():
    # a vanity light is no vanity, a range hood no range: a faucet and a hood belong to neither
    bar = piece("S1", "vanity light", 24, 4, 60, 176)
    tap = piece("F1", "faucet", 6, 4, 60, 176)
    assert chains(room(pieces=[bar, tap]), NEEDS) == ()


def test_things_behind_a_wall_belong_to_nothing_here():
    rooms = (Room("1", "Bath", WALLS), Room("2", "Bath", WALLS))
    vanity = piece("V1", "vanity", 36, 21, 120, 169, 180)
    mirror = replace(piece("R1", "mirror", 30, 1, 121, 179.5), room="2")
    assert chains(replace(room(pieces=[vanity, mirror]), rooms=rooms), NEEDS) == ()


def test_ids_that_two_sorts_share_and_ids_that_are_anything():
    odd = "C1'; <b>\u202e \" 1/2"
    table = piece("C1", "dining table", 72, 36, 120, 90)
    box = Light("C1", "chandelier box", 123, 90, "C1", "1")
    link = links(room(pieces=[table], lights=[box]))["C1",]
    assert (link.on, link.moves) == ("C1", ((3.0, "west"),))
    box = Light(odd, "chandelier box", 123, 90, odd + "x", "1")
    (found,) = off_centre(room(pieces=[table], lights=[box]), NEEDS)
    assert (found.severity, found.ids) == (Word.MEASURE, (odd, odd + "x"))


def test_things_without_size_or_place_do_no_harm():
    flat = Body("X1", "island", "island", "fixed", ((5, 5), (5, 5), (5, 5)), room="1")
    slit = Window("W1", (60, 180), (60, 180), 36, 42, "", "1")
    lights = [Light("C1", "pendant box", 9, 5, "X1", "1"), Light("C2", "box", 61, 180, "W1", "1")]
    found = links(room(fixed=[flat], windows=[slit], lights=lights))
    assert found["C1",].moves == ((4.0, "west"),)
    assert found["C2",].moves == ((1.0, "west"),)


def test_without_a_figure_nothing_is_off():
    table = piece("T1", "dining table", 72, 36, 120, 90)
    space = room(pieces=[table], lights=[Light("C1", "box", 150, 90, "T1", "1")])
    bare = replace(NEEDS, figures={})
    assert (chains(space, bare), off_centre(space, bare)) == ((), ())


@pytest.mark.parametrize(
    ("at", "by"),
    [
        ((70, 110), None),  # [C] island from 48 to 132: 40 apart, 22 from the ends: over half a gap
        ((69, 111), None),  # 42 apart, 21 from the ends: equal parts
        ((76, 104), None),  # 28 apart and from the ends: equal gaps
        ((64, 116), 10.0),  # 52 apart, 16 from the ends: 26 wanted
        ((80, 100), 12.0),  # 20 apart, 32 from the ends: 20 at most
    ],
)
def test_ends_of_a_row_of_pendants(at, by):
    island = Body("X5", "island", "island", "fixed", shape.rectangle(120, 90, 42, 84), room="1")
    lights = [Light(f"C{k}", "pendant box", 120, y, "", "1") for k, y in enumerate(at, 1)]
    found = off_centre(room(fixed=[island], lights=lights), NEEDS)
    assert [f.by for f in found] == ([] if by is None else [pytest.approx(by)])
    if by is not None:
        assert "Usual is 3'-6\" apart and 1'-9\" from the ends" in found[0].text
        assert "or 2'-4\" apart and from the ends" in found[0].text
