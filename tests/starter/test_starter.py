"""Start a house: every mix of answers makes a house that holds together."""

import csv
import itertools
from collections import defaultdict
from datetime import date, timedelta
from io import StringIO

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from roomwright import figures
from roomwright.answers.dates import dates, health
from roomwright.answers.engine import Answers
from roomwright.answers.rooms import room_fit
from roomwright.days import Calendar, holidays
from roomwright.exchange.folder import read_files
from roomwright.job.entities import (
    Activity,
    House,
    Link,
    Opening,
    Part,
    PartClass,
    Piece,
    Progress,
    Room,
)
from roomwright.starter import QUESTIONS, StarterError, build, settle
from roomwright.starter.takeoff import FLOOR_CLASS
from roomwright.starter.work import SITE_RESTS, closed

MONDAY = "2027-03-01"
CHOICES = {q.id: q.choices for q in QUESTIONS if q.kind == "choice"}


def pairwise_mixes():
    """Mixes of answers in which every pair of answers to two questions occurs (greedy)."""
    left = {
        frozenset([(a, x), (b, y)])
        for a, b in itertools.combinations(CHOICES, 2)
        for x in CHOICES[a]
        for y in CHOICES[b]
    }
    mixes = []
    while left:
        mix = dict(sorted(min(left, key=sorted)))  # a set has no order of its own
        for q in CHOICES:
            if q not in mix:
                mix[q] = max(
                    CHOICES[q],
                    key=lambda c, q=q, mix=mix: sum(
                        frozenset([(q, c), pair]) in left for pair in mix.items()
                    ),
                )
        left -= {frozenset(p) for p in itertools.combinations(mix.items(), 2)}
        mixes.append(mix)
    return mixes


MIXES = pairwise_mixes()
PLANS = [
    dict(zip(("floors", "bedrooms", "full_baths", "half_baths"), mix, strict=True))
    for mix in itertools.product(
        *(CHOICES[q] for q in ("floors", "bedrooms", "full_baths", "half_baths"))
    )
]


def loaded(answers):
    files = build({"board_date": MONDAY, **answers}, today=date(2026, 11, 9))
    return read_files({name: text.encode() for name, text in files.items()})


def short(mix):
    return "-".join(v.split()[0] for v in mix.values())


def test_ten_questions_and_their_usual_answers():
    assert len(QUESTIONS) == 10
    for q in QUESTIONS:
        assert q.default in q.choices or q.kind == "date"
        assert q.text.rstrip(")")[-1] in "?.sof" or "?" in q.text
    a = settle({}, date(2027, 1, 5))
    assert (a.floors, a.bedrooms, a.board_date) == (2, 3, date(2027, 4, 27))
    assert len(MIXES) >= 16


@pytest.mark.parametrize("mix", MIXES, ids=short)
def test_every_mix_reads_without_a_warning_and_holds_together(mix):
    house = loaded(mix)
    assert house.warnings == ()
    facts = house.facts
    activities = {a.id for a in facts.all(Activity)}
    after, before = defaultdict(set), defaultdict(set)
    for link in facts.all(Link):
        after[link.before].add(link.after)
        before[link.after].add(link.before)
    assert {a for a in activities if not before[a]} == {"P10"}  # one start
    assert {a for a in activities if not after[a]} == {"Z99"}  # one end, so all lead there
    assert all(a.days_low <= a.days_likely <= a.days_high for a in facts.all(Activity))
    answers = Answers(facts, as_of=facts.get(House, "house").site_start)
    assert [h for h in answers.ask(health) if h.weight != "note"] == []
    found = {d.id: d for d in answers.ask(dates).activities}
    assert found["B10"].first_day == date(2027, 3, 1)
    assert found["P10"].dates.early_start == 0
    for part in facts.all(Part):
        assert facts.find(PartClass, part.part_class)
    used = {p.part_class for p in facts.all(Part)}
    assert {c.id for c in facts.all(PartClass)} == used


@pytest.mark.parametrize("plan", PLANS, ids=short)
def test_every_plan_leaves_the_room_that_the_figures_ask_for(plan):
    facts = loaded(plan).facts
    answers = Answers(facts, as_of=date(2027, 1, 4))
    words = []
    for room in facts.all(Room):
        fit = answers.ask(room_fit, room.id)
        words += [w.verdict.word for w in fit.ways if w.verdict]
        for piece in fit.pieces:
            words += [s.verdict.word for s in piece.sides if s.verdict]
        words += [f.severity for f in fit.findings]
    assert len(words) > 20
    assert set(words) <= {"fits", "meets"}


@pytest.mark.parametrize("plan", PLANS, ids=short)
def test_every_plan_has_the_rooms_that_were_asked_for(plan):
    facts = loaded(plan).facts
    names = [r.name for r in facts.all(Room)]
    count = {k: int(v) for k, v in plan.items()}
    assert len({r.level for r in facts.all(Room)}) == count["floors"]
    assert sum("edroom" in n for n in names) == count["bedrooms"]
    assert names.count("Half bath") == count["half_baths"]
    bathing = {p.room for p in facts.all(Piece) if p.kind == "alcove tub"}
    showers = {r.id for r in facts.all(Room) if r.name == "Primary bath"}
    assert len(bathing | showers) == count["full_baths"]
    # every room is reached from the front door, on two floors by the stair
    near = defaultdict(set)
    for o in facts.all(Opening):
        near[o.from_room].add(o.to_room)
        near[o.to_room].add(o.from_room)
    if count["floors"] == 2:
        near["102"].add("205")
    seen, front = {"out"}, ["out"]
    while front:
        new = near[front.pop()] - seen
        seen |= new
        front += new
    assert {r.id for r in facts.all(Room)} <= seen


def test_bedrooms_are_habitable_rooms():
    """IRC R304: 70 sq ft and 7 ft at least [from memory]."""
    for plan in PLANS:
        for room in loaded(plan).facts.all(Room):
            xs, ys = zip(*room.outline, strict=True)
            width, depth = max(xs) - min(xs), max(ys) - min(ys)
            if "edroom" in room.name:
                assert width * depth >= 70 * 144
                assert min(width, depth) >= 84


@given(st.dates(date(2025, 1, 1), date(2031, 12, 31)))
@settings(max_examples=25, deadline=None)
def test_boards_start_on_their_day_or_the_next_that_is_worked(day):
    early = day - timedelta(weeks=20)  # nothing has begun
    files = build({"board_date": day.isoformat(), "fuel": "gas"}, today=early)
    facts = read_files({n: t.encode() for n, t in files.items()}).facts
    house = facts.get(House, "house")
    start = Calendar(house.site_start, days_off=frozenset(house.days_off))
    assert start.is_working(house.site_start)
    found = {d.id: d for d in Answers(facts, as_of=house.site_start).ask(dates).activities}
    boards = found["B10"].first_day
    off = holidays(SITE_RESTS, day.year - 1, day.year + 1)
    wanted = day
    while wanted.weekday() > 4 or wanted in off:
        wanted += timedelta(days=1)
    assert boards == wanted
    assert f"boards start on {wanted}" in files["house.toml"]
    assert ("is not worked" in files["house.toml"]) == (wanted != day)


@pytest.mark.parametrize(
    ("today", "begun", "left"),
    [
        (date(2026, 11, 9), 0, 0),  # the site starts in two months
        (date(2027, 1, 20), 2, 1),  # windows are being set: one more day
        (date(2027, 2, 10), 5, 5),  # wiring has two of its seven days behind it
        (date(2027, 3, 1), 9, 0),  # boards start today: all before is done
        (date(2027, 3, 20), 9, 0),  # they should have started; nobody has said so
    ],
)
def test_work_before_the_boards_is_taken_as_planned(today, begun, left):
    files = build({"board_date": MONDAY}, today=today)
    loaded_ = read_files({n: t.encode() for n, t in files.items()})
    assert loaded_.warnings == ()
    facts = loaded_.facts
    told = {p.id: p for p in facts.all(Progress)}
    assert len(told) == begun
    assert sum(p.days_left or 0 for p in told.values()) == left
    assert facts.get(House, "house").written_as_of == (today if begun else None)
    answers = Answers(facts, as_of=today)
    assert [h for h in answers.ask(health) if h.weight != "note"] == []
    boards = {d.id: d for d in answers.ask(dates).activities}["B10"].first_day
    assert boards == max(date(2027, 3, 1), Calendar(today).date(0))
    # what begun work needed is in the house: nothing waits to be ordered for it
    assert not {c.needed_by for c in facts.all(PartClass)} & set(told)


def test_what_is_left_out_leaves_no_hole():
    with_gas, without = (
        {a.id: a for a in loaded({"fuel": f}).facts.all(Activity)} for f in ("gas", "electric")
    )
    assert set(with_gas) - set(without) == {"P34", "M60"}
    assert {"range-gas", "heater-gas"} <= _classes({"fuel": "gas"})
    assert not any(c.endswith("-gas") for c in _classes({"fuel": "electric"}))
    assert "D35" not in {a.id for a in loaded({"floors": "1"}).facts.all(Activity)}
    assert not {"G10", "T25"} & {a.id for a in loaded({"full_baths": "1"}).facts.all(Activity)}


def test_links_close_over_what_is_left_out():
    from fractions import Fraction

    from roomwright.starter.work import Link as Step

    def step(a, b, lag=0):
        return Step(a, b, Fraction(lag), "")

    chain = [step("a", "x", 1), step("x", "y"), step("y", "c"), step("a", "b"), step("b", "c")]
    # a > c through x and y would only repeat a > b > c
    assert [(k.before, k.after) for k in closed({"a", "b", "c"}, chain)] == [("a", "b"), ("b", "c")]
    assert [(k.before, k.after) for k in closed({"a", "c"}, chain)] == [("a", "c")]


def test_floors_as_answered():
    answers = {"living_floor": "carpet", "bedroom_floor": "wood plank", "bath_floor": "vinyl plank"}
    floors = {r.name: r.floor for r in loaded(answers).facts.all(Room)}
    assert floors["Living"] == "carpet"
    assert floors["Kitchen"] == floors["Hall bath"] == "vinyl plank"  # never carpet in a kitchen
    assert floors["Bedroom 2"] == "wood plank"
    assert _classes(answers) & set(FLOOR_CLASS.values()) == {"carpet", "vinyl", "wood"}


def test_who_buys_what():
    def owned(buys):
        parts = loaded({"buys": buys}).facts.all(Part)
        return {p.part_class for p in parts if p.bought_by == "owner"}

    builder, appliances, more = (owned(b) for b in CHOICES["buys"])
    assert builder == {"table", "chair", "bed", "sofa"}
    assert "refrigerator" in appliances - builder
    assert "toilet" not in appliances
    assert {"toilet", "fixture-table"} <= more - appliances


def test_treads_keep_every_riser_equal():
    code = figures.load().choose().get("stair.riser_max").value
    for floor in CHOICES["living_floor"]:
        files = build({"board_date": MONDAY, "living_floor": floor})
        stair = next(csv.DictReader(StringIO(files["stairs.csv"])))
        floors = {r["floor"]: r for r in csv.DictReader(StringIO(files["floors.csv"]))}
        assert stair["tread_thickness"] == floors[floor]["build_up"]
        assert 109.5 / int(stair["risers"]) <= code


def test_names_are_quoted_and_kept_plain():
    files = build({"name": 'Mill "A" \\ Lane\n[x]', "board_date": MONDAY})
    facts = read_files({n: t.encode() for n, t in files.items()}).facts
    assert facts.get(House, "house").name == 'Mill "A" \\ Lane [x]'


def test_guesses_are_called_guesses():
    facts = loaded({}).facts
    assert all("common practice" in c.basis for c in facts.all(PartClass))
    assert "guesses" in build({"board_date": MONDAY})["house.toml"]


@pytest.mark.parametrize(
    ("answers", "key", "says"),
    [
        ({"floors": "7"}, "floors", "1; 2"),  # not a choice: the choices are named
        ({"fuel": "coal"}, "fuel", "gas; electric"),
        ({"board_date": "soon"}, "board_date", "Mar 1 2027"),  # no date: formats are shown
        ({"board_date": "2027-02-30"}, "board_date", "no date"),  # a day there is not
        ({"board_date": "2072-03-01"}, "board_date", "check the year"),  # a slip of the pen
        ({"board_date": "Mrz 1 2027"}, "board_date", "no date"),
        ({"flors": "2"}, "flors", "did you mean floors"),  # a mistyped question
        ({"floors": "2" * 500}, "floors", "too long"),  # hostile
        ({"name": 5, "floors": None}, "floors", "not one of"),  # not text
    ],
)
def test_answers_that_are_refused(answers, key, says):
    with pytest.raises(StarterError) as caught:
        build({"board_date": MONDAY, **answers}, today=date(2027, 1, 4))
    assert says in caught.value.problems[key]


def test_all_refusals_at_once_and_answers_as_people_type_them():
    with pytest.raises(StarterError) as caught:
        build({"floors": "9", "fuel": "?", "board_date": "x"})
    assert set(caught.value.problems) == {"floors", "fuel", "board_date"}
    a = settle({"fuel": " GAS ", "living_floor": "Wood  Plank"}, date(2027, 1, 4))
    assert (a.fuel, a.living_floor) == ("gas", "wood plank")
    for text in ("2027-3-1", "Mar 1 2027", "March 1, 2027", "3/1/2027", "in 8 weeks"):
        assert settle({"board_date": text}, date(2027, 1, 4)).board_date == date(2027, 3, 1)
    assert settle({"board_date": "in 1 week"}, date(2027, 1, 2)).board_date == date(2027, 1, 11)


def _classes(answers):
    return {c.id for c in loaded(answers).facts.all(PartClass)}
