"""Rooms: planted errors named, clean rooms left alone, the demo, and the corners where it hurts."""

import csv
import math
from dataclasses import replace
from datetime import date
from pathlib import Path

import numpy as np
import pytest
from scipy.stats import binom
from tests.survey.rooms import TAPE, Built, plant, readings, room

from roomwright.lengths import parse
from roomwright.survey import Observation, Survey, SurveyError, Tape, survey
from roomwright.survey.following import diagonals
from roomwright.survey.start import turns_of

DEMO = Path(__file__).resolve().parents[2] / "examples" / "tern-hollow" / "readings.csv"
PLAN = {
    "101": ((0, 0), (162, 0), (162, 150), (0, 150)),
    "108": ((283.5, 0), (468, 0), (468, 216), (283.5, 216)),
    "204": ((0, 184), (102, 184), (102, 264), (0, 264)),
}
SQUARE = ((0, 0), (162, 0), (162, 150), (0, 150))


def demo(name):
    with DEMO.open(newline="") as file:
        rows = [r for r in csv.DictReader(file) if r["room"] == name]
    return [
        Observation(f"{k}", r["from"], r["to"], float(parse(r["length"])), face=r["face"],
                    on=date.fromisoformat(r["on"]), by=r["by"])
        for k, r in enumerate(rows, 1)
    ]  # fmt: skip


def taken(*rows):
    return [Observation(f"{k}", *row) for k, row in enumerate(rows, 1)]


def rectangle(a=162.0, b=150.0, across=("AC", "BD")):
    pairs = [("A", "B", a), ("B", "C", b), ("C", "D", a), ("D", "A", b)]
    return taken(*pairs, *[(p[0], p[1], math.hypot(a, b)) for p in across])


def known(built, seed):
    """A plan for every other room, else the turns."""
    return {"plan": built.plan} if seed % 2 else {"turns": turns_of(built.plan)}


def test_500_rooms_with_one_planted_error():
    """[C] 3 to 12 in. on a random reading, named where it is above its detectable error."""
    asked = named = alone = alarms = clean = 0
    for seed in range(500):
        built = room(seed)
        found = readings(built, seed)
        before = survey(built.names, found, **known(built, seed))
        alarms += len(before.suspects())
        clean += len(found)
        bad, who, error = plant(found, seed)
        after = survey(built.names, bad, **known(built, seed))
        least = next(t.detectable for t in before.readings if t.observation.id == who)
        if least < abs(error):
            asked += 1
            suspects = [t.observation.id for t in after.suspects()]
            named += who in suspects
            alone += suspects == [who]
    assert asked >= 400
    assert named / asked >= 0.95, f"{named} of {asked}"
    assert alone / asked >= 0.95, f"{alone} of {asked}"
    assert alarms <= binom.ppf(0.999, clean, 0.001), f"{alarms} alarms in {clean} readings"


@pytest.mark.parametrize("lean", [1, 2, 3])
def test_a_room_that_leans_is_no_alarm(lean):
    """Rooms out of square as a whole by 1 to 3 degrees, drawn square."""
    alarms = readings_in_all = 0
    for seed in range(0, 90):
        built = room(seed, skewed=False)
        tan = math.tan(math.radians(lean if seed % 2 else -lean))
        built = replace(built, true=built.true @ np.array([[1, 0], [tan, 1]]))
        found = readings(built, seed)
        done = survey(built.names, found, plan=built.plan)
        alarms += len(done.suspects())
        readings_in_all += len(found)
    assert alarms <= binom.ppf(0.999, readings_in_all, 0.001)


def test_a_leaning_room_says_so():
    tan = math.tan(math.radians(2.5))
    true = np.array(SQUARE, dtype=float) @ np.array([[1, 0], [tan, 1]])
    built = Built(tuple("ABCD"), SQUARE, true, False)
    done = survey("ABCD", readings(built, 1, across=[(0, 2), (1, 3), (0, 2)]), plan=SQUARE)
    assert not done.suspects()
    assert not done.square_trusted
    assert any("out of square" in n for n in done.notes)


def test_demo_101_names_the_first_b_c():
    done = survey("ABCD", demo("101"), plan=PLAN["101"])
    [bad] = done.suspects()
    assert bad.observation.line() == "B-C"
    assert bad.observation.on == date(2027, 3, 24)
    assert bad.error == pytest.approx(3, abs=0.2)
    assert not bad.rivals
    assert "too long" in " ".join(done.notes)


@pytest.mark.parametrize("plan", [None, PLAN["108"]], ids=["walked", "planned"])
def test_demo_108_names_a_c_with_what_else_it_could_be(plan):
    done = survey("ABCD", demo("108"), plan=plan)
    [bad] = done.suspects()
    assert bad.observation.line() == "A-C"
    assert bad.error == pytest.approx(-6, abs=0.3)
    lines = {o.id: o.line() for o in demo("108")}
    assert {lines[r] for r in bad.rivals} == {"A-B", "B-C", "C-D", "D-A", "B-D"}
    assert (done.next_diagonal.from_, done.next_diagonal.to) == ("A", "C")
    assert done.next_diagonal.detectable_after < done.next_diagonal.detectable_before
    assert done.next_diagonal.length == pytest.approx(284.75, abs=0.25)
    again = [*demo("108"), Observation("again", "A", "C", 284.625)]
    settled = survey("ABCD", again, plan=plan)
    assert [(t.observation.id, t.rivals) for t in settled.suspects()] == [(bad.observation.id, ())]


def test_demo_204_is_clean():
    done = survey("ABCD", demo("204"), plan=PLAN["204"])
    assert not done.suspects()
    assert done.degrees == 1
    assert 0.2 < done.variance_factor < 4
    assert done.can_name


def test_walls_alone_cannot_name():
    done = survey("ABCD", rectangle(across=()))
    assert not done.can_name
    assert any("take a diagonal" in n for n in done.notes)
    assert done.next_diagonal is not None


def test_one_diagonal_against_square_corners_blames_nobody():
    """Either the room leans or the diagonal is wrong: say so, and take the other one."""
    done = survey("ABCD", taken(("A", "B", 162), ("B", "C", 150), ("C", "D", 162), ("D", "A", 150),
                                ("A", "C", 215)), plan=SQUARE)  # fmt: skip
    assert not done.suspects()
    assert any("out of square" in n and "A to C" in n for n in done.notes)
    assert {done.next_diagonal.from_, done.next_diagonal.to} == {"B", "D"}


def test_two_equal_readings_are_not_set_aside_for_being_equal():
    twice = [*rectangle(), *[replace(o, id=o.id + "again") for o in rectangle()]]
    assert not survey("ABCD", twice).suspects()


def test_two_readings_of_one_wall_that_disagree_name_the_wrong_one():
    good = rectangle()
    done = survey("ABCD", [*good, Observation("bad", "B", "A", 165.0)])
    assert [t.observation.id for t in done.suspects()] == ["bad"]
    assert done.suspects()[0].error == pytest.approx(3, abs=0.1)


def test_both_of_two_equal_wrong_readings_are_found():
    """Hooked on the same nail twice: the same 4 in. in both readings of a wall."""
    twice = [*rectangle(), *[replace(o, id=o.id + "again") for o in rectangle()]]
    bad = [replace(o, length=166.0) if o.line() == "A-B" else o for o in twice]
    done = survey("ABCD", bad, plan=SQUARE)
    assert {t.observation.id for t in done.suspects()} == {"1", "1again"}


def test_two_planted_errors():
    good = rectangle(across=("AC", "BD", "AC", "BD"))
    wrong = {"2": 156.0, "5": 214.0}
    done = survey("ABCD", [replace(o, length=wrong.get(o.id, o.length)) for o in good], plan=SQUARE)
    assert {t.observation.id for t in done.suspects()} == {"2", "5"}


def test_the_builder_sets_aside():
    found = rectangle()
    found[4] = replace(found[4], length=300.0, set_aside=True)
    done = survey("ABCD", found)
    told = done.readings[4]
    assert told.aside
    assert not told.suspect
    assert told.error == pytest.approx(300 - math.hypot(162, 150), abs=0.2)
    assert done.outline[2] == pytest.approx((162, 150), abs=0.2)


def test_nobody_would_notice():
    """A corner hung on two readings and no square corner: no redundancy."""
    plan = ((0, 0), (160, 20), (130, 170), (-30, 120))
    pairs = [("A", "B"), ("B", "C"), ("C", "D"), ("D", "A"), ("A", "C")]
    spot = dict(zip("ABCD", plan, strict=True))
    found = taken(*[(a, b, math.dist(spot[a], spot[b])) for a, b in pairs])
    loose = survey("ABCD", found, plan=plan, tape=Tape(square=50))
    assert max(t.detectable for t in loose.readings) > 24
    assert any("Nobody would notice" in n for n in loose.notes)
    assert loose.degrees == 0


def test_a_triangle_has_no_spare():
    done = survey("ABC", taken(("A", "B", 90), ("B", "C", 120), ("C", "A", 150)),
                  turns=(90, 126.87, 143.13))  # fmt: skip
    assert done.next_diagonal is None
    assert done.degrees == 0


def test_laid_on_the_plan_and_else_on_the_first_wall():
    done = survey("ABCD", rectangle())
    assert done.outline[0] == (0, 0)
    assert done.outline[1][1] == pytest.approx(0, abs=1e-12)
    plan = tuple((x + 40.0, y - 7.0) for x, y in SQUARE)
    laid = survey("ABCD", rectangle(), plan=plan)
    assert np.array(laid.outline) == pytest.approx(np.array(plan), abs=1e-6)


def test_a_clockwise_plan_is_as_good():
    clockwise = ((0, 0), (0, 150), (162, 150), (162, 0))
    found = taken(("A", "B", 150), ("B", "C", 162), ("C", "D", 150), ("D", "A", 162),
                  ("A", "C", 220.75), ("B", "D", 220.75))  # fmt: skip
    done = survey("ABCD", found, plan=clockwise)
    assert np.array(done.outline) == pytest.approx(np.array(clockwise), abs=0.1)


def test_ellipses_turn_with_the_plan():
    angle = math.radians(30)
    turn = np.array([[math.cos(angle), -math.sin(angle)], [math.sin(angle), math.cos(angle)]])
    plain = survey("ABCD", rectangle(240, 96), plan=((0, 0), (240, 0), (240, 96), (0, 96)))
    turned_plan = tuple(map(tuple, (np.array(plain.outline) @ turn.T).tolist()))
    other = survey("ABCD", rectangle(240, 96), plan=turned_plan)
    for a, b in zip(plain.corners, other.corners, strict=True):
        assert b.ellipse.a == pytest.approx(a.ellipse.a, rel=1e-3)
        assert b.ellipse.b == pytest.approx(a.ellipse.b, rel=1e-3)
        off = (b.ellipse.angle - a.ellipse.angle - 30 + 90) % 180 - 90
        assert off == pytest.approx(0, abs=0.5)


@pytest.mark.parametrize("seed", [s for s in range(40) if len(room(s, skewed=False).names) > 4])
def test_corners_that_jut_in_are_found_without_turns(seed):
    built = room(seed, skewed=False)
    found = readings(built, seed, extra=4)
    done = survey(built.names, found)
    if any("suits the walls nearly as well" in n for n in done.notes):
        return
    wanted = np.sign(turns_of(built.plan))
    assert np.sign(turns_of(done.outline)).tolist() == wanted.tolist()


@pytest.mark.parametrize("seed", range(30))
def test_the_next_diagonal_does_what_it_says(seed):
    """Taking it (as the room is) gives the detectable error that was promised."""
    built = room(seed)
    done = survey(built.names, readings(built, seed), **known(built, seed))
    nxt = done.next_diagonal
    if nxt is None:
        return
    pair = tuple(sorted((built.names.index(nxt.from_), built.names.index(nxt.to))))
    assert pair in diagonals(np.array(done.outline))
    used = [t.observation for t in done.readings if not t.aside]
    more = [*used, Observation("next", nxt.from_, nxt.to, nxt.length)]
    after = survey(built.names, more, **known(built, seed))
    worst = max(t.detectable for t in after.readings)
    assert worst == pytest.approx(nxt.detectable_after, rel=0.02)
    assert nxt.detectable_after < nxt.detectable_before


def test_diagonals_run_over_the_floor():
    notched = np.array([(0, 0), (200, 0), (200, 80), (100, 80), (100, 160), (0, 160)], dtype=float)
    found = diagonals(notched)
    assert (2, 4) not in found  # through the notch
    assert (1, 4) not in found  # past the inside corner
    assert {(0, 3), (1, 3), (3, 5)} <= set(found)
    straight = np.array([(0, 0), (80, 0), (160, 0), (160, 120), (0, 120)], dtype=float)
    assert (0, 2) not in diagonals(straight)  # along a wall


BAD = [
    (taken(("A", "B", math.nan)), "not|nan"),
    (taken(("A", "B", math.inf)), "inf"),
    (taken(("A", "B", -3)), "more than 0"),
    (taken(("A", "B", 0)), "more than 0"),
    (taken(("A", "B", 1e9)), "less than a mile"),
    (taken(("A", "A", 5)), "to itself"),
    (taken(("A", "Z", 5)), "corner Z"),
    ([Observation("1", "A", "B", 5), Observation("1", "B", "C", 5)], "two readings are called 1"),
    ([Observation("1", "A", "B", 5, sigma=0)], "sigma"),
    ([], "No reading yet"),
    ([Observation("1", "A", "B", 5, set_aside=True)], "No reading yet"),
    (taken(("A", "B", 162), ("A", "C", 220)), "Not taped: B-C, C-D, D-A"),
    (
        taken(("A", "B", 500), ("B", "C", 150), ("C", "D", 162), ("D", "A", 150)),
        "cannot close: A-B",
    ),
]


@pytest.mark.parametrize(("found", "words"), BAD, ids=[w for _, w in BAD])
def test_bad_readings_are_refused_in_words(found, words):
    with pytest.raises(SurveyError, match=f"(?i){words}"):
        survey("ABCD", found)


@pytest.mark.parametrize(
    ("corners", "extra", "words"),
    [
        ("AB", {}, "three corners or more"),
        ("ABCA", {}, "named twice"),
        ([f"C{k}" for k in range(500)], {}, "too many"),
        ("ABCD", {"plan": SQUARE[:3]}, "plan has 3 corners"),
        ("ABCD", {"plan": ((0, 0), (1, 0), (2, 0), (3, 0))}, "no area"),
        ("ABCD", {"plan": ((0, 0), (math.nan, 0), (2, 9), (3, 0))}, "no area"),
        ("ABCD", {"plan": ((0, 0), (0, 0), (162, 150), (0, 150))}, "A and B lie on each other"),
        ("ABCD", {"plan": ((0, 0), (162, 150), (162, 0), (0, 151))}, "cross each other"),
        ("ABCD", {"turns": (90, 90, 90)}, "3 turns for 4"),
        ("ABCD", {"turns": (90, 90, 90, -90)}, "add to 180"),
        ("ABCD", {"turns": (90, 90, 90, math.nan)}, "between -180 and 180"),
        ("ABCDE", {}, "give the turn"),
    ],
)
def test_bad_rooms_are_refused_in_words(corners, extra, words):
    with pytest.raises(SurveyError, match=words):
        survey(corners, rectangle(), **extra)


def test_a_tape_that_is_none():
    for wrong in ({"sigma": 0}, {"scale": -1}, {"square": math.nan}, {"built": -0.1}):
        with pytest.raises(SurveyError):
            Tape(**wrong)


@pytest.mark.parametrize("wrong", [15.0, 1944.0, 262.0, 126.0, 16.2])
@pytest.mark.parametrize("which", range(6))
def test_a_gross_slip_is_named_or_refused(wrong, which):
    """Feet for inches, a lost digit: named, or refused by name; never a hang or a crash."""
    found = rectangle(across=("AC", "BD", "AC", "BD"))
    bad = [replace(o, length=wrong) if k == which else o for k, o in enumerate(found)]
    said = ""
    try:
        suspects = [t.observation for t in survey("ABCD", bad, plan=SQUARE).suspects()]
    except SurveyError as error:
        said, suspects = str(error), []
    assert found[which].line() in said or [o.id for o in suspects] == [found[which].id]


def test_what_is_missing_is_asked_for_and_not_what_was_taken():
    """Diagonals alone: the walls are named, not the two diagonals again."""
    with pytest.raises(SurveyError, match="Take A-B, B-C, C-D, D-A") as error:
        survey("ABCD", taken(("A", "C", 220.75), ("B", "D", 220.75)), plan=SQUARE)
    assert "A-C" not in str(error.value)


def test_walls_alone_name_no_single_wall():
    """Opposite walls 6 in. apart: any of the four may be wrong, and all are said."""
    done = survey("ABCD", taken(("A", "B", 106), ("B", "C", 80), ("C", "D", 100), ("D", "A", 80)))
    [said] = [n for n in done.notes if "If it is square" in n]
    assert "one of" in said
    assert "A to B" in said
    assert "C to D" in said


def test_walls_that_cross_as_taped_are_said():
    plan = ((0, 0), (100, 0), (100, 80), (60, 80), (60, 20), (40, 20), (40, 80), (0, 80))
    pairs = [("ABCDEFGH"[k], "ABCDEFGH"[(k + 1) % 8]) for k in range(8)]
    spot = dict(zip("ABCDEFGH", ((0, 0), (100, 0), (100, 80), (60, 80), (60, -20), (40, -20),
                                 (40, 80), (0, 80)), strict=True))  # fmt: skip
    rows = [*pairs, ("A", "C"), ("B", "H"), ("A", "E"), ("B", "F"), ("C", "E"), ("H", "F")]
    found = taken(*[(a, b, math.dist(spot[a], spot[b])) for a, b in rows])
    assert survey("ABCDEFGH", found, plan=plan).notes[0].startswith("So taped, walls")


def test_the_largest_room_that_is_taken():
    """120 corners, thousands of readings, 15 of them bad: it ends, and names bad ones only."""
    rng = np.random.default_rng(1)
    ring = [(200 * math.cos(k * math.pi / 60), 200 * math.sin(k * math.pi / 60))
            for k in range(120)]  # fmt: skip
    pairs = [(k, (k + 1) % 120) for k in range(120)]
    pairs += [tuple(rng.choice(120, 2, replace=False).tolist()) for _ in range(1000)]
    found = []
    for k, (i, j) in enumerate(pairs):
        d = math.dist(ring[i], ring[j])
        off = 20 if k % 80 == 7 else 0
        seen = d + rng.normal(0, TAPE.sd(d)) + off
        found.append(Observation(f"r{k}", f"P{i}", f"P{j}", seen))
    done = survey([f"P{k}" for k in range(120)], found, plan=tuple(ring))
    named = {int(t.observation.id[1:]) for t in done.suspects()}
    assert len(named) == 12
    assert all(k % 80 == 7 for k in named)
    assert any("check the corner letters" in n for n in done.notes)


def test_thousands_of_readings():
    built = room(5)
    found = [replace(o, id=f"{o.id}.{k}") for k in range(600) for o in readings(built, k)]
    assert len(found) > 3000
    done = survey(built.names, found, plan=built.plan)
    assert isinstance(done, Survey)
    assert len(done.suspects()) <= 12


def test_nonsense_readings_end():
    """Random lengths: an answer or a refusal, and no more set aside than the bound."""
    for seed in range(40):
        rng = np.random.default_rng(seed)
        n = int(rng.integers(4, 13))
        names = [chr(65 + k) for k in range(n)]
        pairs = [(names[k], names[(k + 1) % n]) for k in range(n)]
        pairs += [tuple(rng.choice(names, 2, replace=False)) for _ in range(n)]
        found = taken(*[(a, b, float(rng.uniform(20, 300))) for a, b in pairs])
        ring = [(150 * math.cos(2 * math.pi * k / n), 150 * math.sin(2 * math.pi * k / n))
                for k in range(n)]  # fmt: skip
        try:
            done = survey(names, found, plan=tuple(ring))
        except SurveyError:
            continue
        assert len(done.suspects()) <= 12
        assert all(math.isfinite(v) for c in done.outline for v in c)


@pytest.mark.parametrize("times", [12, 1 / 12])
def test_feet_for_inches_in_rooms_of_any_shape(times):
    """Named, or the walls cannot close and it is named there; in 9 of 10 rooms."""
    right = asked = 0
    for seed in range(1, 120, 2):
        built = room(seed)
        found = readings(built, seed, extra=2)
        k = int(np.random.default_rng([seed, 7]).integers(len(found)))
        bad = [replace(o, length=o.length * times) if i == k else o for i, o in enumerate(found)]
        asked += 1
        try:
            done = survey(built.names, bad, plan=built.plan)
        except SurveyError as error:
            right += f"{found[k].line()} " in str(error)
        else:
            right += found[k].id in {t.observation.id for t in done.suspects()}
    assert right >= 0.9 * asked, f"{right} of {asked}"


def test_rooms_built_roughly_raise_few_alarms():
    """Every corner off by 0.6 in. (sd) each way, more than the tape is told: 1 in 200 at most."""
    alarms = count = 0
    for seed in range(200):
        built = room(seed, skewed=False)
        off = np.random.default_rng(seed).normal(0, 0.6, built.true.shape)
        found = readings(replace(built, true=built.true + off), seed)
        alarms += len(survey(built.names, found, plan=built.plan).suspects())
        count += len(found)
    assert alarms <= 0.005 * count, f"{alarms} alarms in {count} readings"
