"""Plans of every demo room, on page and paper, and of random rooms: nothing ever collides."""

import re
from datetime import date
from fractions import Fraction

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from tests.drawing.svg import SVG, dim_texts, overlaps
from tests.drawing.svg import parse as parse_svg

from roomwright.answers.engine import Answers
from roomwright.answers.plan_model import Box, Dim, Piece, Plan
from roomwright.answers.plans import plan
from roomwright.drawing.options import EVERY_DIM, PlanOptions
from roomwright.drawing.plan import room_plan
from roomwright.job import entities
from roomwright.job.facts import Facts
from roomwright.lengths import parse, tape

STYLES = {
    "desktop": PlanOptions(),
    "phone": PlanOptions(width=360, height=640),
    "paper": PlanOptions.on_paper(540, 380),
    "held": PlanOptions(interactive=True),
    "everything": PlanOptions(dims=EVERY_DIM),
}


def check(drawing):
    assert overlaps(drawing.boxes) == []
    for name, (x0, y0, x1, y1) in drawing.boxes:
        assert x0 >= -0.01, name
        assert y0 >= -0.01, name
        assert x1 <= drawing.width + 0.01, name
        assert y1 <= drawing.height + 0.01, name


@pytest.mark.parametrize("style", STYLES)
def test_no_text_of_the_demo_touches_another(demo, rooms, style):
    for room in rooms:
        drawing = room_plan(demo.ask(plan, room), STYLES[style])
        check(drawing)


def test_every_dimension_is_on_the_drawing_once_and_as_printed(demo, rooms):
    options = PlanOptions(dims=frozenset({"wall", "clear", "way", "box"}))
    for room in rooms:
        this = demo.ask(plan, room)
        texts = dim_texts(room_plan(this, options).svg)
        wanted = {d.key: [d.text] for d in this.dims if d.kind in options.dims}
        assert texts == wanted


def test_dimensions_print_what_they_measure(demo, rooms):
    for room in rooms:
        for dim in demo.ask(plan, room).dims:
            length = ((dim.p[0] - dim.q[0]) ** 2 + (dim.p[1] - dim.q[1]) ** 2) ** 0.5
            assert abs(float(parse(dim.text)) - length) <= 1 / 32 + 1e-9, (room, dim.key)
            for p, q in dim.elsewhere:
                there = ((p[0] - q[0]) ** 2 + (p[1] - q[1]) ** 2) ** 0.5
                assert abs(there - length) <= 1 / 32 + 1e-9, (room, dim.key)


def test_dining_room(demo):
    """The four sides of the table, the short one bold, framed and hatched."""
    drawing = room_plan(demo.ask(plan, "101"))
    texts = dim_texts(drawing.svg)
    assert [texts[f"T1 {s}"] for s in ("north", "south", "east", "west")] == [
        ["3'-9\""],
        ["3'-9\""],
        ["3'-3\""],
        ["3'-3\""],
    ]
    assert texts["wall A"] == ["13'-6\""]
    assert texts["wall B"] == ["12'-6\""]
    root = parse_svg(drawing.svg)
    short = [g for g in root.iter(f"{SVG}g") if "short" in (g.get("class") or "").split()]
    bold = [t.text for g in short for t in g.findall(f"{SVG}text") if t.get("font-weight")]
    assert "3'-3\"" in bold
    assert any("zone" in (p.get("class") or "") for p in root.iter(f"{SVG}path"))
    named = {t.text for t in root.iter(f"{SVG}text")}
    assert {"Kitchen", "Entry", "dining table 84 × 42", "seats 8", "N", "A", "B", "C", "D"} <= named


def test_the_walk_path_and_the_east_end_are_one_dimension(demo):
    """The way O1-O4 is tightest where the east end is short: one line says both."""
    this = demo.ask(plan, "101")
    (east,) = [d for d in this.dims if d.key == "T1 east"]
    assert "tightest of walk path" in east.what
    assert [d for d in this.dims if d.kind == "way"] == []


def test_paper_has_no_color(demo, rooms):
    for room in rooms:
        svg = room_plan(demo.ask(plan, room), PlanOptions.on_paper(540, 380)).svg
        colors = {c.lower() for c in re.findall(r"#[0-9A-Fa-f]{3,6}", svg)}
        assert colors <= {"#000", "#fff"}, room


def test_scale_is_true(demo):
    """At 1/4 in to the foot the 13'-6" wall is 3 3/8 in of paper: 243 points."""
    options = PlanOptions(width=540, height=500, paper=True, scale=1.5, text=10)
    drawing = room_plan(demo.ask(plan, "101"), options)
    root = parse_svg(drawing.svg)
    (floor,) = [p for p in root.iter(f"{SVG}path") if p.get("class") == "floor"]
    xs = [float(x) for x in re.findall(r"[ML](-?[\d.]+) ", floor.get("d"))]
    assert max(xs) - min(xs) == pytest.approx(162 * 1.5, abs=0.02)


def test_a_point_of_the_page_is_a_point_of_the_house(demo):
    drawing = room_plan(demo.ask(plan, "101"))
    root = parse_svg(drawing.svg)
    (piece,) = [g for g in root.iter(f"{SVG}g") if g.get("data-piece") == "T1" and g.get("data-x")]
    assert (piece.get("data-x"), piece.get("data-y"), piece.get("data-turn")) == (
        "81.0",
        "84.0",
        "0.0",
    )
    body = next(p for p in piece if p.get("class") == "body")
    x, y = map(float, re.match(r"M(\S+) ([^L]+)", body.get("d")).groups())
    scale, left, top = (float(root.get(f"data-{k}")) for k in ("scale", "left", "top"))
    assert (x / scale + left, top - y / scale) == pytest.approx((39, 63), abs=0.01)


def test_screen_readers_get_words(demo):
    root = parse_svg(room_plan(demo.ask(plan, "101")).svg)
    assert root.get("role") == "img"
    assert root.find(f"{SVG}title").text == "Plan of Dining"
    assert "13 feet 6 inches east to west" in root.find(f"{SVG}desc").text
    held = parse_svg(room_plan(demo.ask(plan, "101"), PlanOptions(interactive=True)).svg)
    assert held.get("role") == "group"
    grips = [g for g in held.iter(f"{SVG}g") if g.get("role") == "button"]
    assert len(grips) == 2
    assert all(g.get("tabindex") == "0" and g.get("aria-label") for g in grips)


def test_names_from_strangers_stay_text():
    evil = '<script>alert("x")</script> & \x00\x0b]]>'
    outline = ((0.0, 0.0), (120.0, 0.0), (120.0, 90.0), (0.0, 90.0))
    table = Piece(evil, evil, evil, ((30, 30), (80, 30), (80, 60), (30, 60)), 55, 45, 0, 50, 30,
                  lines=(evil,))  # fmt: skip
    this = Plan(evil, evil, outline, (), pieces=(table,), boxes=(Box(evil, evil, 10, 10),),
                dims=(Dim(evil, "clear", (80, 45), (120, 45), tape(40), evil),))  # fmt: skip
    root = parse_svg(room_plan(this).svg)
    assert [e for e in root.iter() if e.tag.endswith("script")] == []


def test_a_room_without_an_outline_is_refused():
    with pytest.raises(ValueError, match="outline"):
        room_plan(Plan("1", "Attic", (), ()))


@pytest.mark.parametrize(
    "wrong", [{"width": 10}, {"text": 2}, {"scale": 0}, {"scale": -1}, {"height": 20}]
)
def test_options_refuse_what_cannot_be_drawn(wrong):
    with pytest.raises(ValueError, match="drawing"):
        PlanOptions(**wrong)


# --- random rooms --------------------------------------------------------------------------------

sizes = st.integers(40, 320).map(lambda n: Fraction(n) + Fraction(n % 16, 16))
turns = st.sampled_from([0, 90, 180, 270, 37, 12])
kinds = st.sampled_from(
    ["dining table", "sideboard", "toilet", "vanity", "bed queen", "round dining table", "sofa"]
)


@st.composite
def houses(draw):
    wide, deep = draw(sizes), draw(sizes)
    cut_x, cut_y = draw(st.integers(0, 30)), draw(st.integers(0, 30))
    skew = draw(st.integers(-3, 3))
    corners = [(0, 0), (wide, 0), (wide + skew, deep), (0, deep)]
    if cut_x and cut_y and wide > 80 and deep > 80:
        corners = [(0, 0), (wide, 0), (wide, deep - cut_y), (wide - cut_x, deep - cut_y)]
        corners += [(wide - cut_x, deep), (0, deep)]
    outline = tuple((Fraction(x), Fraction(y)) for x, y in corners)
    facts = [
        entities.House(name="Try", site_start=date(2027, 1, 4)),
        entities.Room(id="1", name=draw(st.text(max_size=30)), level="1", outline=outline),
        entities.Opening(id="O1", from_room="1", to_room="out", kind="cased",
                         a=(Fraction(2), Fraction(0)), b=(Fraction(34), Fraction(0))),
        entities.Opening(id="O2", from_room="1", to_room="out", kind="swing",
                         a=(Fraction(0), Fraction(4)), b=(Fraction(0), Fraction(32)),
                         hinge=(Fraction(0), Fraction(4)), swings_into="1"),
    ]  # fmt: skip
    for number in range(draw(st.integers(0, 7))):
        facts.append(
            entities.Piece(
                id=f"P{number}", room="1", kind=draw(kinds),
                width=Fraction(draw(st.integers(14, 90))),
                depth=Fraction(draw(st.integers(14, 50))),
                x=Fraction(draw(st.integers(0, int(wide)))),
                y=Fraction(draw(st.integers(0, int(deep)))),
                turn=Fraction(draw(turns)),
            )
        )  # fmt: skip
    return Facts(facts)


@settings(max_examples=60, deadline=None)
@given(houses(), st.sampled_from(sorted(STYLES)))
def test_no_text_of_a_random_room_touches_another(facts, style):
    this = Answers(facts, as_of=date(2027, 3, 29)).ask(plan, "1")
    drawing = room_plan(this, STYLES[style])
    check(drawing)
    texts = dim_texts(drawing.svg)
    assert {d.key for d in this.dims if d.kind in STYLES[style].dims} == set(texts)


@pytest.mark.parametrize("size", [1, 40, 600, 100_000])
@pytest.mark.parametrize("style", ["desktop", "phone"])
def test_any_size_of_room_goes_on_the_drawing(size, style):
    outline = ((0.0, 0.0), (size, 0.0), (size, 0.7 * size), (0.0, 0.7 * size))
    drawing = room_plan(Plan("1", "Room", outline, ()), STYLES[style])
    assert drawing.width == STYLES[style].width
    assert drawing.height <= STYLES[style].height + 1


def test_a_swing_is_drawn_over_the_piece_that_it_hits(demo):
    svg = room_plan(demo.ask(plan, "207")).svg
    assert svg.index('data-opening="D12"') > svg.index('data-piece="U1"')


def test_what_is_off_center_is_marked_and_dimensioned(demo):
    this = demo.ask(plan, "101")
    assert this.centers == ((81.0, 84.0),)
    (dim,) = [d for d in this.dims if d.kind == "center"]
    assert (dim.p, dim.q, dim.text, dim.word) == ((81, 75), (81, 84), '9"', "short")
    drawn = room_plan(this)
    marks = [e for e in parse_svg(drawn.svg).iter() if e.get("class") == "center-mark"]
    assert len(marks) == 1
    x, y = (float(v) for v in re.findall(r"-?[\d.]+", marks[0].get("d"))[:2])
    arm = 0.9 * PlanOptions().text  # the cross reaches so far west of its middle
    at = (81 - drawn.left) * drawn.scale, (drawn.top - 84) * drawn.scale
    assert (x + arm, y) == pytest.approx(at, abs=0.02)
    assert dim_texts(drawn.svg)[dim.key] == ['9"']
    assert "center-mark" not in room_plan(this, PlanOptions(dims=frozenset({"wall"}))).svg
    assert demo.ask(plan, "102").centers == ()
