"""Commands on the tape: record, set aside, layers, and the outline taken from readings."""

from datetime import date
from fractions import Fraction

import pytest

from roomwright import commands
from roomwright.answers import Answers
from roomwright.answers.layers import finished
from roomwright.answers.mark_out_floor import built_in
from roomwright.answers.rooms import room_fit
from roomwright.answers.survey import survey_of
from roomwright.commands.outline import code_of
from roomwright.exchange.folder import read_files, read_folder
from roomwright.exchange.samples import example_path
from roomwright.exchange.writer import to_files
from roomwright.job import rules
from roomwright.job.entities import Fixed, Opening, Piece, Reading, Room, Wall, Window
from roomwright.job.facts import Facts
from roomwright.job.store import Store

DEMO = read_folder(example_path("tern-hollow")).facts
DAY = date(2027, 3, 29)


def do(facts: Facts, name: str, /, **values) -> Facts:
    """The facts after a command that the store would take."""
    changes = commands.parse(name, values).changes(facts)
    new = facts.changed(changes)
    assert rules.check(new, changes) == []
    return new


def says(facts: Facts, name: str, /, **values) -> str:
    return commands.parse(name, values).work(facts, lambda _: []).sentence


def refuses(facts: Facts, name: str, /, **values) -> dict[str, str]:
    with pytest.raises(commands.BadCommandError) as no:
        commands.parse(name, values).changes(facts)
    return dict(no.value.problems)


HOW = {"on": "2027-03-29", "by": "Ana", "face": "board"}


def test_many_readings_are_recorded_as_they_were_said():
    text = "A to B 162 1/8\nbravo charlie twelve feet six; A-C 18 5 1/8 again\n"
    text += "middle to ceiling 107 7/8"
    new = do(DEMO, "record readings", room="101", text=text, **HOW)
    made = [new.get(Reading, id) for id in new.ids(Reading) if id not in DEMO.ids(Reading)]
    assert {(r.id, r.from_corner, r.to_corner, r.length, r.kind) for r in made} == {
        ("101/A-B/3", "A", "B", Fraction(1297, 8), "wall"),
        ("101/B-C/3", "B", "C", 150, "wall"),
        ("101/A-C/3", "A", "C", Fraction(1769, 8), "diagonal"),
        ("101/middle-ceiling/1", "middle", "ceiling", Fraction(863, 8), "height"),
    }
    assert {(r.on, r.by, r.face) for r in made} == {(DAY, "Ana", "board")}


def test_an_offset_runs_to_an_edge_of_an_opening():
    door = next(o.id for o in DEMO.all(Opening) if "204" in (o.from_room, o.to_room))
    new = do(DEMO, "record readings", room="204", text=f"B to {door} near 38 1/2", **HOW)
    made = new.get(Reading, f"204/B-{door} near/1")
    assert (made.to_corner, made.kind) == (f"{door} near", "offset")


BAD = [
    # text, what the builder is told
    ("A to B 162 1/8; A to Q 90", "Q"),
    ("A to B", "no length"),
    ("A to A 90", "itself"),
    ("A to D4 38", "D4"),
    ("A to B -5", ""),
]


@pytest.mark.parametrize(("text", "told"), BAD)
def test_a_text_that_is_not_understood_is_refused_whole(text, told):
    problems = refuses(DEMO, "record readings", room="101", text=text, **HOW)
    assert list(problems) == ["text"]
    assert told in problems["text"]


def test_nothing_is_recorded_without_day_and_face():
    assert set(refuses(DEMO, "record readings", room="101", text="A to B 162")) == {"on", "face"}
    assert "nobody" in str(refuses(DEMO, "record readings", room="nobody", text="A B 9", **HOW))


def test_a_reading_is_set_aside_taken_back_and_removed():
    bad = "101/B-C/1"
    aside = do(DEMO, "set aside", reading=bad, note="hook slipped")
    assert aside.get(Reading, bad).aside == "yes"
    assert Answers(aside, as_of=DAY).ask(survey_of, "101").suspects == ()
    assert commands.parse("set aside", {"reading": bad}).changes(aside) == []
    again = do(aside, "use reading", reading=bad)
    assert Answers(again, as_of=DAY).ask(survey_of, "101").suspects[0].fact.id == bad
    assert do(DEMO, "remove reading", reading=bad).find(Reading, bad) is None


# --- layers ---------------------------------------------------------------------------------------


def test_the_first_layers_of_a_finished_outline_move_nothing_the_next_do():
    """A dearer tile on the bath's walls: the toilet loses at that wall what the tile gains."""
    cheap = do(DEMO, "set wall", room="204", wall="A", board="1/2", finish="3/8", note="tile")
    assert cheap.get(Wall, "204/A-B").finish == Fraction(3, 8)
    before, now = (Answers(f, as_of=DAY).ask(finished, "204") for f in (DEMO, cheap))
    assert before == now
    dear = do(cheap, "set wall", room="204", wall="A", finish="7/8", note="stone")
    assert dear.get(Wall, "204/A-B").board == Fraction(1, 2), "what is not said stays"
    assert dear.get(Room, "204").face == "board"
    after = Answers(dear, as_of=DAY).ask(finished, "204")
    assert after[0][1] == before[0][1] + 0.5
    assert after[2:] == before[2:]
    assert "is kept at the board now" in says(cheap, "set wall", room="204", wall="A", finish="7/8")


def test_windows_go_onto_the_board_with_the_outline():
    room = DEMO.all(Window)[0].room
    for wall in "ABCD":
        cheap = do(DEMO, "set wall", room=room, wall=wall, finish="3/4")
        dear = do(cheap, "set wall", room=room, wall=wall, finish="1 1/2")
        for window in dear.where(Window, "room", room):
            assert off(dear.get(Room, room).outline, window.a) < 1 / 32
        shown = Answers(dear, as_of=DAY).ask(room_fit, room)
        assert not [f for f in shown.findings if f.kind == "opening off the wall"]


def test_layers_are_forgotten_and_refused():
    cheap = do(DEMO, "set wall", room="204", wall="A", finish="3/8")
    assert do(cheap, "set wall", room="204", wall="A").find(Wall, "204/A-B") is None
    assert "finish" in refuses(DEMO, "set wall", room="204", wall="A")
    assert "wall" in refuses(DEMO, "set wall", room="204", wall="Z", finish="3/8")
    assert "finish" in refuses(DEMO, "set wall", room="204", wall="A", finish="13")
    assert "finish" in refuses(DEMO, "set wall", room="204", wall="A", finish="-1/2")


# --- the outline ----------------------------------------------------------------------------------


def test_accepting_writes_the_room_as_taped_and_keeps_what_was_drawn():
    new = do(DEMO, "accept outline", room="108")
    room, was = new.get(Room, "108"), DEMO.get(Room, "108")
    assert room.outline == Answers(DEMO, as_of=DAY).ask(survey_of, "108").outline
    assert room.planned == was.outline
    assert (room.measured_on, room.measured_by, room.face) == (
        date(2027, 3, 24),
        "builder",
        "board",
    )
    assert room.ceiling == was.ceiling
    told = says(DEMO, "accept outline", room="108")
    assert 'Wall B is 5/8" longer than planned' in told
    assert "Not used, since the others contradict it: A to C 23'-2 5/8\"" in told


def test_accepting_twice_keeps_the_first_plan_and_moves_nothing():
    once = do(DEMO, "accept outline", room="108")
    twice = do(once, "accept outline", room="108")
    assert twice.get(Room, "108").planned == DEMO.get(Room, "108").outline
    a, b = (f.get(Room, "108").outline for f in (once, twice))
    assert max(
        abs(p - q) for u, v in zip(a, b, strict=True) for p, q in zip(u, v, strict=True)
    ) <= Fraction(1, 16)


def test_the_lowest_height_is_the_ceiling():
    text = "A to ceiling 108 1/4; middle to ceiling 107 7/8"
    taped = do(DEMO, "record readings", room="108", text=text, **{**HOW, "face": "finished"})
    new = do(taped, "accept outline", room="108")
    assert new.get(Room, "108").ceiling == Fraction(863, 8)
    assert "the lowest height taped" in says(taped, "accept outline", room="108")


def sizes(facts: Facts, id: str) -> float:
    each = facts.get(Opening, id)
    return sum(float(p - q) ** 2 for p, q in zip(each.a, each.b, strict=True)) ** 0.5


@pytest.mark.parametrize("room", ["101", "108", "204"])
def test_openings_windows_and_built_in_things_go_with_their_walls(room):
    new = do(DEMO, "accept outline", room=room)
    before, after = (Answers(f, as_of=DAY).ask(room_fit, room) for f in (DEMO, new))
    assert {p.piece.id for p in before.pieces} == {p.piece.id for p in after.pieces}
    mine = [o for o in new.all(Opening) if room in (o.from_room, o.to_room)]
    for each in mine:
        assert sizes(new, each.id) == pytest.approx(sizes(DEMO, each.id), abs=1 / 32)
    outline = new.get(Room, room).outline
    for window in new.where(Window, "room", room):
        assert off(outline, window.a) < 1 / 16
        assert off(outline, window.b) < 1 / 16
    for piece in new.where(Piece, "room", room):
        was = DEMO.get(Piece, piece.id)
        assert built_in(piece.kind) or piece == was, "what stands free stays"
        assert abs(piece.x - was.x) <= 1
        assert abs(piece.y - was.y) <= 1
    assert read_files({n: t.encode() for n, t in to_files(new).items()}).facts is not None


def test_a_fixture_stays_against_its_wall():
    """Tub, toilet and vanity of the bath stand at a wall as drawn, and as taped."""
    new = do(DEMO, "accept outline", room="204")

    def backs(facts):
        fit = Answers(facts, as_of=DAY).ask(room_fit, "204")
        return {p.piece.id: {s.side: s.clear for s in p.sides if s.clear == 0 or s.side == "back"}
                for p in fit.pieces}  # fmt: skip

    was, now = backs(DEMO), backs(new)
    for id, sides in was.items():
        for side, clear in sides.items():
            if clear == 0:
                assert now[id].get(side, 0) == pytest.approx(0, abs=0.13)


def off(outline, p) -> float:
    from roomwright import shape

    ring = [(float(x), float(y)) for x, y in outline]
    at = float(p[0]), float(p[1])
    return min(shape.distance_to(at, wall) for wall in shape.walls(ring))


def square(width: float, depth: float, **more) -> Facts:
    """A house of one room by its size, taped at another."""
    base = commands.parse(
        "try a room", {"width": width, "depth": depth, "on": "2027-03-29", "openings": [
            {"wall": "A", "from_corner": "30", "width": "32", "hand": "left"}]},
    )  # fmt: skip
    return Facts().changed(base.changes(Facts()))


TAPED = "A B 161; B C 150; C D 161; D A 150; A C 220 1/16; B D 220 1/16"


def counter(id: str, *corners) -> Fixed:
    return Fixed(id=id, room="1", name="counter", outline=corners)


def with_fixed(*things: Fixed) -> Facts:
    from roomwright.commands.base import add

    made = square(162, 150).changed([add(t) for t in things])
    return do(made, "record readings", room="1", text=TAPED, **HOW)


def test_a_counter_from_wall_to_wall_is_scribed_to_both():
    facts = with_fixed(counter("X1", (0, 125), (162, 125), (162, 150), (0, 150)))
    new = do(facts, "accept outline", room="1")
    ring = new.get(Fixed, "X1").outline
    xs = sorted({round(float(x), 1) for x, _ in ring})
    assert float(max(x for x, _ in ring) - min(x for x, _ in ring)) == pytest.approx(161, abs=0.13)
    assert len(xs) == 2
    depth = float(max(y for _, y in ring) - min(y for _, y in ring))
    assert depth == pytest.approx(25, abs=0.1)


def test_a_counter_in_a_corner_keeps_its_size_and_an_island_stays():
    corner = counter("X1", (0, 50), (0, 0), (25, 0), (25, 50))
    island = counter("X2", (60, 60), (100, 60), (100, 90), (60, 90))
    facts = with_fixed(corner, island)
    new = do(facts, "accept outline", room="1")
    ring = [(float(x), float(y)) for x, y in new.get(Fixed, "X1").outline]
    assert max(x for x, _ in ring) - min(x for x, _ in ring) == pytest.approx(25, abs=0.1)
    assert max(y for _, y in ring) - min(y for _, y in ring) == pytest.approx(50, abs=0.1)
    assert new.get(Fixed, "X2") == facts.get(Fixed, "X2")


def test_a_door_keeps_its_distance_from_the_wall_s_first_corner_and_its_hinge():
    facts = with_fixed()
    new = do(facts, "accept outline", room="1")
    door, room = new.all(Opening)[0], new.get(Room, "1")
    assert float(door.a[0] - room.outline[0][0]) == pytest.approx(30, abs=0.07)
    was = facts.all(Opening)[0]
    assert door.hinge in (door.a, door.b)
    assert (door.hinge == door.a) == (was.hinge == was.a)


def test_a_taped_offset_places_the_door():
    facts = do(with_fixed(), "record readings", room="1", text="A to D1 near 33", **HOW)
    new = do(facts, "accept outline", room="1")
    door, room = new.all(Opening)[0], new.get(Room, "1")
    assert float(min(door.a[0], door.b[0]) - room.outline[0][0]) == pytest.approx(33, abs=0.07)
    assert sizes(new, "D1") == pytest.approx(32, abs=0.05)


def test_what_was_looked_at_is_what_is_accepted():
    facts = with_fixed()
    code = code_of(Answers(facts, as_of=DAY).ask(survey_of, "1"))
    assert do(facts, "accept outline", room="1", seen=code).get(Room, "1").measured_on == DAY
    more = do(facts, "record readings", room="1", text="A B 161 1/2", **HOW)
    assert "seen" in refuses(more, "accept outline", room="1", seen=code)


def test_rooms_may_not_lie_over_each_other_as_taped():
    facts = DEMO
    for line, longer in (("A B", 172), ("C D", 172), ("B C", 150), ("D A", 150)):
        facts = do(facts, "record readings", room="103", text=f"{line} {longer}", **HOW)
    told = refuses(facts, "accept outline", room="103")
    assert "into" in told["room"]
    assert "no wall left between them" in told["room"]


def test_nothing_taped_is_nothing_to_accept():
    assert "taped" in refuses(DEMO, "accept outline", room="102")["room"]
    lone = do(DEMO, "record readings", room="102", text="A B 900", **HOW)
    assert refuses(lone, "accept outline", room="102")["room"]


def test_undo_brings_the_drawn_room_back(sqlite_store: Store):
    sqlite_store.create("mine", "Mine")
    load = commands.Load(facts=tuple(DEMO), folder="demo", kinds=frozenset())
    commands.run(sqlite_store, "mine", load, who="Ana")
    done = commands.run(
        sqlite_store, "mine", commands.parse("accept outline", {"room": "108"}), who="Ana"
    )
    changed = {(c.kind, c.id) for c in done.changes}
    assert ("room", "108") in changed
    sqlite_store.undo("mine", done.sequence, who="Ana", command_id="u")
    back = sqlite_store.facts("mine")
    assert all(back.fact(kind, id) == DEMO.fact(kind, id) for kind, id in changed)


def test_readings_may_not_run_to_what_is_not_there():
    from roomwright.commands.base import add

    stray = Reading(id="r", room="101", from_corner="A", to_corner="D99 near", length=9)
    broken = rules.check(DEMO.changed([add(stray)]), [add(stray)])
    assert [(p.kind, p.field) for p in broken] == [("reading", "to_corner")]
    far = Wall(id="w", room="101", from_corner="A", to_corner="C", finish=1)
    broken = rules.check(DEMO.changed([add(far)]), [add(far)])
    assert [(p.kind, p.field) for p in broken] == [("wall", "to_corner")]
    thick = Wall(id="w", room="204", from_corner="A", to_corner="B", board=24, finish=60)
    assert rules.check(DEMO.changed([add(thick)]), [add(thick)])


def test_stairs_are_said_to_stay():
    """A stair has no place of its own on the plan: its figures are to be measured again."""
    ring = DEMO.get(Room, "104").outline
    letters = [chr(65 + k) for k in range(len(ring))]
    lines = []
    for k, (a, b) in enumerate(zip(ring, (*ring[1:], ring[0]), strict=True)):
        length = abs(a[0] - b[0]) + abs(a[1] - b[1])  # [C] its walls are square to each other
        more = Fraction(1, 4) if a[1] == b[1] else 0  # those that run east and west
        lines.append(f"{letters[k]} to {letters[(k + 1) % len(ring)]} {float(length + more)}")
    taped = do(DEMO, "record readings", room="104", text="\n".join(lines), **HOW)
    said = says(taped, "accept outline", room="104")
    assert "Stair S1 stays as recorded" in said
    assert "headroom" in said
    assert "Stair" not in says(DEMO, "accept outline", room="101")
