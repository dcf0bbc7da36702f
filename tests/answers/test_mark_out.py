"""The mark-out of the demo's rooms: which pieces and points, what hinders, in which words."""

import math
from dataclasses import replace
from fractions import Fraction

import pytest
from tests.answers.demo_house import answers, facts

from roomwright.answers.mark_out import mark_out
from roomwright.answers.mark_out_json import as_json
from roomwright.answers.mark_out_model import Asked
from roomwright.answers.mark_out_words import lead
from roomwright.answers.rooms import room_fit
from roomwright.job.entities import Fixed, Piece, Room
from roomwright.job.facts import MissingFactError
from roomwright.markout.model import MarkoutError

ROOMS = facts().ids(Room)
EVERYTHING = ("chairs", "clearances", "lights")


@pytest.fixture(scope="module")
def demo():
    return answers()


def room(demo, id, **asked):
    return demo.ask(mark_out, id, Asked(**asked))


def changed(id, **values):
    piece = facts().get(Piece, id)
    return piece.model_copy(update=values)


# --- room 101 ------------------------------------------------------------------------------------


def test_the_table_is_what_is_marked(demo):
    found = room(demo, "101")
    assert [c.id for c in found.choices if c.chosen] == ["T1"]
    assert {t.at for t in found.targets} == {(39, 63), (123, 63), (123, 105), (39, 105)}
    assert {t.name for t in found.targets} == {
        "southwest corner", "southeast corner", "northeast corner", "northwest corner",
    }  # fmt: skip
    assert len(found.fixes) == 4
    assert found.baselines == ()
    assert found.troubles == ()
    assert 0.4 < found.worst < 0.6


def test_off_a_wall(demo):
    found = room(demo, "101", method="baseline")
    (line,) = found.baselines
    assert found.fixes == ()
    assert sorted((o.along, o.off) for o in line.offsets) == [
        (39, 45), (39, 87), (123, 45), (123, 87),
    ]  # fmt: skip
    assert found.rounding == 0


def test_sticks_are_the_clearances_that_the_rooms_verdict_uses(demo):
    found = room(demo, "101")
    cut = {(s.length, s.figure): s.count for s in found.sticks}
    table = [(k, n) for k, n in cut.items() if k[1].startswith("dining")]
    assert table == [
        ((32, "dining.rise"), 1), ((36, "dining.edge_past"), 1), ((44, "dining.walk_past"), 2),
    ]  # fmt: skip
    ways = {(w.needs, w.figure) for w in demo.ask(room_fit, "101").ways if w.needs}
    assert {k for k in cut if k[1].startswith("walkway")} == ways  # one, carried along the paths
    assert all(cut[k] == 1 for k in ways)
    assert all(s.source for s in found.sticks)


def test_chairs_clearances_and_lights(demo):
    found = room(demo, "101", extras=EVERYTHING)
    purposes = [t.purpose for t in found.targets]
    assert (purposes.count("chair line"), purposes.count("clearance"), purposes.count("light")) == (
        8, 8, 1,
    )  # fmt: skip
    light = next(t for t in found.targets if t.purpose == "light")
    assert light.at == next((b.x, b.y) for b in found.plan.boxes)
    backs = [t.at for t in found.targets if t.purpose == "chair line"]
    assert {y for x, y in backs if x in (39, 123)} == {45, 123}  # 18 in. out of the long sides
    east = [t.id for t in found.targets if t.at[0] == 123 + 44]
    assert len(east) == 2  # the east end is short: its clearance ends behind the wall
    assert all(any(f"Point {i}," in t and "not that much room" in t for t in found.troubles)
               for i in east)  # fmt: skip
    assert not set(east) & set(found.ellipses)


def test_what_stands_there_is_gone_round_or_named(demo):
    found = room(demo, "101", method="baseline", standing=("S1",))
    assert all(b.faces != "south" for b in found.baselines)
    moved = answers(changed("S1", y=Fraction(60)))
    found = moved.ask(mark_out, "101", Asked(standing=("S1",)))
    assert any("stands on it" in t for t in found.troubles) or not found.troubles
    over = answers(changed("S1", x=Fraction(39), y=Fraction(63)))
    found = over.ask(mark_out, "101", Asked(standing=("S1",)))
    (told,) = [t for t in found.troubles if "sideboard" in t]
    assert told.startswith("Point 1, the southwest corner of the dining table T1, is not marked")
    assert "1" not in found.ellipses


def test_a_piece_that_stands_where_its_chalk_goes(demo):
    found = room(demo, "101", standing=("T1",))
    assert any("stands where its chalk goes" in t for t in found.troubles)
    assert any(c.key == "heavy" for c in found.cautions)


def test_a_round_table_is_a_center_and_a_string():
    found = answers(changed("T1", kind="round dining table", width=Fraction(60),
                            depth=Fraction(60))).ask(mark_out, "101", Asked())  # fmt: skip
    assert [(t.name, t.at) for t in found.targets] == [("center", (81, 84))]
    assert found.figures[0].radius == 30
    text = " ".join(s.text for _, steps in found.steps for s in steps)
    assert "Hold a string on 1 and strike the circle of the round dining table T1, 2'-6\"" in text


# --- every room, every method --------------------------------------------------------------------


@pytest.mark.parametrize("id", ROOMS)
@pytest.mark.parametrize("method", ["ties", "baseline"])
def test_every_point_of_every_room_is_marked_or_told(demo, id, method):
    found = room(demo, id, method=method, extras=EVERYTHING)
    done = list(found.ellipses)
    assert len(done) == len(set(done))
    told = " ".join(found.troubles)
    for target in found.targets:
        assert (target.id in done) != (f"Point {target.id}, " in told), target
    body = as_json(found)
    assert [p["id"] for p in body["points"]] == [t.id for t in found.targets]
    assert all(math.isfinite(v) for v in (body["worst_error_in"], body["worst_rounding_in"]))
    assert lead(found)
    words = " ".join(s.text + s.aloud for _, steps in found.steps for s in steps)
    assert "None" not in words


def test_the_kept_answer_follows_a_moved_table(demo):
    before = room(demo, "101")
    after = answers(changed("T1", x=Fraction(76))).ask(mark_out, "101", Asked())
    assert {t.at[0] for t in after.targets} == {34, 118}
    assert before.targets != after.targets


# --- what cannot be marked -----------------------------------------------------------------------


def test_no_such_room(demo):
    with pytest.raises(MissingFactError):
        room(demo, "999")


def test_no_such_piece(demo):
    with pytest.raises(MarkoutError, match=r"no piece X9 in room 101\. Its pieces: S1, T1"):
        room(demo, "101", pieces=("X9",))
    with pytest.raises(MarkoutError, match="no piece B1"):
        room(demo, "101", standing=("B1",))


def test_a_room_without_pieces(demo):
    found = room(demo, "103")
    assert found.targets == ()
    assert found.steps == ()
    assert "Nothing in this room can be marked out" in found.troubles[0]
    assert lead(found) == "There is no point to mark."


@pytest.mark.parametrize(
    ("values", "said"),
    [
        ({"x": None, "y": None}, "has no place yet"),
        ({"width": None}, "has no size yet"),
    ],
)
def test_a_piece_without_place_or_size(values, said):
    found = answers(changed("T1", **values)).ask(mark_out, "101", Asked(pieces=("T1",)))
    assert found.targets == ()
    assert any(said in t for t in found.troubles)


def test_a_piece_outside_the_room():
    found = answers(changed("T1", x=Fraction(81), y=Fraction(600))).ask(
        mark_out, "101", Asked(pieces=("T1",))
    )
    assert found.ellipses == {}
    assert sum("it lies outside the room" in t for t in found.troubles) == 4


def test_what_hangs_high_is_no_obstacle_and_what_stands_is():
    def wall_of(low):
        ring = tuple(
            (Fraction(x), Fraction(y)) for x, y in ((0, 60), (162, 60), (162, 61), (0, 61))
        )
        return Fixed(id="F900", room="101", name="screen", outline=ring, low=low, high=Fraction(80))

    free = answers(wall_of(Fraction(30))).ask(mark_out, "101", Asked())
    held = answers(wall_of(Fraction(0))).ask(mark_out, "101", Asked())
    plain = answers().ask(mark_out, "101", Asked())
    assert [f.ties for f in free.fixes] == [f.ties for f in plain.fixes]
    assert not any(t.hook.id in ("A", "B") for f in held.fixes for t in f.ties)


def test_too_many_points_are_refused(monkeypatch):
    monkeypatch.setattr("roomwright.answers.mark_out.MOST_POINTS", 3)
    with pytest.raises(MarkoutError, match="more than 3 points"):
        answers().ask(mark_out, "101", Asked())


def test_heights_are_those_of_the_facts(demo):
    (pole,) = [p for p in room(demo, "101").poles if p.upright]
    marks = {m.label: m.at for m in pole.marks}
    assert marks["dining table T1"] == 30
    assert marks["sill W1, sill W2"] == 24
    assert pole.start == "the finished floor"


def test_the_tape_is_that_of_the_house():
    house = next(f for f in facts() if type(f).__name__ == "House")
    fine = answers(house.model_copy(update={"tape_sigma": Fraction(1, 16)}))
    assert fine.ask(mark_out, "101", Asked()).worst < answers().ask(mark_out, "101", Asked()).worst


def test_asked_is_a_key():
    assert hash(Asked()) == hash(replace(Asked(), pieces=()))


# --- what a builder can hold a tape on -----------------------------------------------------------


@pytest.mark.parametrize("id", ROOMS)
def test_no_tape_is_held_on_what_is_not_at_the_floor(demo, id):
    """A counter is drawn with its overhang: under it stands a toe kick, not a corner."""
    for asked in ({}, {"extras": EVERYTHING}):
        for hook in room(demo, id, **asked).floor.hooks:
            assert "counter" not in hook.name
            assert "island" not in hook.name


def test_a_counter_is_in_the_way_all_the_same(demo):
    assert "counter, sink wall" in {o.name for o in room(demo, "102").floor.obstacles}


def test_a_tub_in_the_corner_is_not_measured_where_the_corner_is(demo):
    """204: two corners of the tub are the room's corner and the end wall's."""
    found = room(demo, "204")
    assert len(found.there) == 3
    assert all(t.hook.at == t.target.at for t in found.there)
    assert {t.target.id for t in found.there} | {f.target.id for f in found.fixes} == set("1234")
    head, steps = found.steps[0]
    assert head == "Where they are already"
    assert all("nothing to measure" in s.text for s in steps)
    assert {s for step in steps for s in step.points} == {t.target.id for t in found.there}


@pytest.mark.parametrize("id", ROOMS)
def test_a_default_mark_out_is_five_minutes_work(demo, id):
    """The tape is held at three places at most, and no more than 12 tapings but for checks."""
    found = room(demo, id)
    assert len(found.stands) <= 3
    assert sum(len(s.arcs) for s in found.stands) <= 12


def test_flat_ties_give_way_to_a_wall(demo):
    """102: the refrigerator in its bay is seen from two jambs and a corner, all from one side."""
    found = room(demo, "102")
    assert not found.fixes
    (line,) = found.baselines
    assert len(line.offsets) == 4
    assert found.worst < 0.6
