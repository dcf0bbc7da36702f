"""Sloped ceilings and stairs by commands, and slopes on a plan."""

from datetime import date
from fractions import Fraction

import pytest
from tests.commands.test_sketch import do, refused

from roomwright import commands
from roomwright.answers import Answers
from roomwright.answers.plans import plan
from roomwright.answers.sketch_level import drawn_level
from roomwright.drawing.draft import draft
from roomwright.drawing.options import PlanOptions
from roomwright.drawing.plan import room_plan
from roomwright.exchange.folder import read_files
from roomwright.exchange.writer import to_files
from roomwright.job.entities import Fixed, Slope, Stair
from roomwright.job.facts import Facts

F = Fraction


@pytest.fixture
def attic():
    facts = do(Facts(), "begin house", name="Mine", on=date(2027, 1, 4))
    facts = do(facts, "first room", level="2", room="201", width="14'", depth="12'", ceiling="96")
    return do(facts, "first room", level="1", room="101", width="14'", depth="12'", ceiling="96")


def drawn(facts, **options):
    this = Answers(facts, as_of=date(2027, 1, 4)).ask(plan, "201")
    return this, room_plan(this, PlanOptions(**options))


def test_a_slope_by_its_rise_or_by_where_it_is_level(attic):
    facts = do(attic, "add slope", room="201", wall="a", low="4'", pitch="9 in 12")
    assert facts.get(Slope, "SL1").pitch == 9
    assert facts.get(Slope, "SL1").a == (0, 0)
    assert facts.get(Slope, "SL1").b == (168, 0)
    other = do(attic, "add slope", room="201", wall="A", low="4'", reach="64")
    assert other.get(Slope, "SL1") == facts.get(Slope, "SL1")
    again = read_files({n: t.encode() for n, t in to_files(facts).items()}).facts
    assert again.get(Slope, "SL1") == facts.get(Slope, "SL1")


def test_part_of_a_wall_leaves_a_dormer_out(attic):
    facts = do(attic, "add slope", room="201", wall="A", low="48", pitch="8",
               from_corner="B 10", width="40")  # fmt: skip
    slope = facts.get(Slope, "SL1")
    assert {slope.a, slope.b} == {(F(118), F(0)), (F(158), F(0))}
    facts = do(facts, "edit slope", slope="SL1", low="50", pitch="8 1/2 in 12")
    assert (facts.get(Slope, "SL1").low, facts.get(Slope, "SL1").pitch) == (50, F(17, 2))
    assert {facts.get(Slope, "SL1").a, facts.get(Slope, "SL1").b} == {slope.a, slope.b}
    facts = do(facts, "edit slope", slope="SL1", wall="C")
    assert facts.get(Slope, "SL1").a == (168, 144)
    assert do(facts, "remove slope", slope="SL1").ids(Slope) == ()


@pytest.mark.parametrize(
    ("field", "words", "values"),
    [
        ("wall", "A to D", {"wall": "E", "low": "48", "pitch": "8"}),
        ("pitch", "rises in 12", {"wall": "A", "low": "48"}),
        ("pitch", "1/4 to 48", {"wall": "A", "low": "48", "pitch": "0"}),
        ("pitch", "1/4 to 48", {"wall": "A", "low": "48", "pitch": "-3"}),
        ("pitch", "8 in 12", {"wall": "A", "low": "48", "pitch": "steep"}),
        ("reach", "not both", {"wall": "A", "low": "48", "pitch": "8", "reach": "30"}),
        ("reach", "more than nothing", {"wall": "A", "low": "48", "reach": "0"}),
        ("low", "not under the ceiling", {"wall": "A", "low": "8'", "pitch": "8"}),
        ("low", "0 or more", {"wall": "A", "low": "-1", "pitch": "8"}),
        ("width", "how wide", {"wall": "A", "low": "48", "pitch": "8", "from_corner": "10"}),
        ("width", "reaches past", {"wall": "A", "low": "48", "pitch": "8", "width": "170"}),
    ],
)
def test_what_is_no_slope_is_refused(attic, field, words, values):
    refused(attic, "add slope", field, words, room="201", **values)


def test_a_plan_shows_where_the_ceiling_is_how_high_and_which_way_it_rises(attic):
    facts = do(attic, "add slope", room="201", wall="A", low="48", pitch="9")
    this, page = drawn(facts)
    # 9 in 12 from 48: 80 in. after 42 2/3, 96 after 64
    assert [(c.text, {round(y, 3) for _, y in c.points}) for c in this.contours] == [
        ("6'-8\"", {round(32 * 12 / 9, 3)}),
        ("8'-0\"", {64.0}),
    ]
    assert [r.text for r in this.rises] == ["ceiling 4'-0\", rises 9 in 12"]
    (x, y), (u, v) = this.rises[0].foot, this.rises[0].head
    assert (x, u) == (84, 84)
    assert 0 < y < v <= 64
    for words in ("ceiling 6'-8\"", "ceiling 8'-0\"", "ceiling 4'-0\", rises 9 in 12"):
        assert words.replace('"', "&quot;") in page.svg or words in page.svg
    assert "Sloped ceiling 4'-0\", rises 9 in 12." in this.said
    level = Answers(facts, as_of=date(2027, 1, 4)).ask(drawn_level, "2")
    assert draft(level, 860, link=lambda k, i: "").count('class="contour"') == 2


def test_two_slopes_meet_in_their_valley_and_a_flat_ceiling_shows_nothing(attic):
    this, page = drawn(attic)
    assert (this.contours, this.rises) == ((), ())
    assert 'class="slopes"' not in page.svg
    facts = do(attic, "add slope", room="201", wall="A", low="48", pitch="12")
    facts = do(facts, "add slope", room="201", wall="B", low="48", pitch="12")
    this, _ = drawn(facts)
    (low,) = [c for c in this.contours if c.height == 80]
    assert (136.0, 32.0) in [(round(x, 3), round(y, 3)) for x, y in low.points]


def test_a_stair_is_told_drawn_changed_and_taken_away(attic):
    facts = do(attic, "add stair", from_room="101", to_room="201", rise="10' 2", risers="16",
               width="36", run="10", place="on wall A, 0 from corner A")  # fmt: skip
    stair = facts.get(Stair, "S1")
    assert (stair.rise, stair.risers, stair.run) == (122, 16, 10)
    (built,) = facts.all(Fixed)
    xs, ys = zip(*built.outline, strict=True)
    assert (built.name, max(xs) - min(xs), max(ys) - min(ys)) == ("stair", 150, 36)
    across = do(attic, "add stair", from_room="101", to_room="201", rise="10' 2", risers="12",
                width="36", run="10", runs="south to north",
                place="6 from the west wall, 6 from the south wall")  # fmt: skip
    xs, ys = zip(*across.all(Fixed)[0].outline, strict=True)
    assert (max(xs) - min(xs), max(ys) - min(ys)) == (36, 110)
    command = commands.parse("edit stair", {"stair": "S1", "risers": "17", "width": "38"})
    said = command.work(facts, lambda _: []).sentence
    assert "risers was 16, is now 17" in said
    assert "width was 3'-0\", is now 3'-2\"" in said
    facts = do(facts, "remove stair", stair="S1")
    assert (facts.ids(Stair), len(facts.ids(Fixed))) == ((), 1)


@pytest.mark.parametrize(
    ("field", "words", "values"),
    [
        ("to_room", "another than at its foot", {"to_room": "101"}),
        ("to_room", "no room 999", {"to_room": "999"}),
        ("rise", "no size", {"rise": "0"}),
        ("width", "needed to draw it", {"place": "on wall A"}),
        ("place", "", {"place": "somewhere", "width": "36"}),
    ],
)
def test_what_is_no_stair_is_refused(attic, field, words, values):
    given = {"from_room": "101", "to_room": "201", "rise": "122", "risers": "16", **values}
    refused(attic, "add stair", field, words, **given)
