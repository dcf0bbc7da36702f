"""Every kind of disagreement, and what must not be one."""

from datetime import date
from fractions import Fraction

import pytest

from roomwright.counts import (
    KINDS,
    Came,
    Door,
    Drawn,
    KitPart,
    Line,
    Measure,
    Ordered,
    Plan,
    Work,
    expand,
    questions,
    reconcile,
)

TODAY = date(2027, 3, 29)
PAST, LATER = date(2027, 3, 1), date(2027, 5, 1)


def line(id="L1", qty=2, **more):
    held = {"room": "1", "part_class": "C", "name": "Towel bar", **more}
    return Line(id, qty=qty, **held)


def order(id="P1", line="L1", qty=2, **more):
    return Ordered(id, line, qty, **{"maker": "Quill", "placed": PAST, "promised": LATER, **more})


def found(*lines, ordered=(), came=(), doors=(), drawn=()):
    plan = Plan(lines, tuple(ordered), tuple(came), tuple(doors), tuple(drawn))
    return reconcile(plan, TODAY, {"1": "Hall", "2": "Den"}).disagreements


def kinds(*args, **more):
    return [(d.kind, d.by) for d in found(*args, **more)]


def test_what_agrees():
    assert kinds(line(), ordered=[order()]) == []
    assert kinds(line(), ordered=[order(qty=1), order("P2", qty=1)]) == []
    assert kinds(line()) == []  # nothing ordered yet, and nothing says that it should be
    assert kinds(line(qty=0)) == []


def test_short_when_fewer_are_ordered():
    short = found(line(), ordered=[order(qty=1)])[0]
    assert (short.kind, short.by, short.plan, short.ordered) == ("short", 1, 2, 1)
    assert (short.text, short.do) == ("1 of 2 ordered", "order 1 more from Quill")


def test_short_when_fewer_came_and_the_promise_is_past():
    came = [Came("R1", "P1", "L1", 1, PAST)]
    assert kinds(line(), ordered=[order()], came=came) == []
    late = found(line(), ordered=[order(promised=date(2027, 3, 10))], came=came)[0]
    assert (late.kind, late.by, late.receipts) == ("short", 1, ("R1",))
    assert late.text == "1 of 2 came, though P1 was promised for Mar 10"
    assert "nothing of 2 came" in found(line(), ordered=[order(promised=PAST)])[0].text


def test_promised_for_today_is_not_yet_late():
    assert kinds(line(), ordered=[order(promised=TODAY)]) == []


def test_over():
    over = found(line(), ordered=[order(), order("P2")])[0]
    assert (over.kind, over.by) == ("over", 2)
    assert "on P1 and P2" in over.text


def test_left_out_when_most_of_its_like_are_ordered():
    lines = [line(f"L{i}") for i in range(1, 5)]
    ordered = [order(line=f"L{i}") for i in range(1, 4)]
    left = found(*lines, ordered=ordered)
    assert [(d.kind, d.line, d.by) for d in left] == [("left out", "L4", 2)]
    assert left[0].do == "order 2 now from Quill"
    # ordering has only begun: one of four says nothing about the others
    assert kinds(*lines, ordered=ordered[:1]) == []
    assert kinds(*lines) == []


def test_left_out_when_the_work_that_needs_it_is_done():
    done = Work("A1", "Rough wiring: boxes", PAST, PAST)
    left = found(line(work=done))[0]
    assert left.kind == "left out"
    assert "Rough wiring, which needs it, was finished on Mar 1" in left.text
    assert kinds(line(work=Work("A1", "Rough wiring"))) == []


def test_what_waits_for_a_measure_is_not_left_out():
    measure = Measure("M", "Measure")
    lines = [line(f"L{i}", measure=measure) for i in range(1, 4)]
    ordered = [order(line=f"L{i}", placed=PAST) for i in range(1, 3)]
    assert [k for k, _ in kinds(*lines, ordered=ordered)] == ["void", "void"]


def test_void_before_its_measure():
    assert kinds(line(measure=Measure("M", "Measure")), ordered=[order()]) == [("void", 2)]
    late = Measure("M", "Measure", date(2027, 3, 5))
    assert kinds(line(measure=late), ordered=[order()]) == [("void", 2)]
    assert kinds(line(measure=late), ordered=[order(placed=None)]) == []  # nobody wrote down when
    early = Measure("M", "Measure", date(2027, 2, 20))
    assert kinds(line(measure=early), ordered=[order()]) == []
    assert kinds(line(measure=Measure("M", "Measure", PAST)), ordered=[order()]) == []


DOOR = Door("D1", ("1", "2"), "swing", 32, 80, "2", "left", "hinges at your left")


def doorline(note="", id="L1", **more):
    return line(id, 1, name="Interior door, prehung", note=note, **more)


def test_wrong_hand_in_an_order():
    wrong = found(doorline(), ordered=[order(qty=1, note="ordered right hand")], doors=[DOOR])[0]
    assert (wrong.kind, wrong.by, wrong.orders) == ("wrong hand", 1, ("P1",))
    assert wrong.text == "ordered right hand, but D1 is left hand: hinges at your left"
    assert "before it ships" in wrong.do
    assert kinds(doorline(), ordered=[order(qty=1, note="LH")], doors=[DOOR]) == []


def test_wrong_hand_on_a_line_and_a_receipt():
    assert kinds(doorline("32 x 80 RH"), doors=[DOOR]) == [("wrong hand", 1)]
    came = [Came("R1", "P1", "L1", 1, PAST, "came RH")]
    wrong = found(doorline(), ordered=[order(qty=1)], came=came, doors=[DOOR])
    assert [(d.kind, d.receipts) for d in wrong] == [("wrong hand", ("R1",))]


def test_wrong_size_of_a_door():
    wrong = found(doorline("30 x 80"), doors=[DOOR])[0]
    assert (wrong.kind, wrong.text) == (
        "wrong size", 'the line says 30 x 80, but D1 is drawn 32" x 80"')  # fmt: skip


def test_doors_find_their_lines():
    wide = Door("D2", ("1", "2"), "swing", 36, 80, "2")
    lines = doorline("36 x 80", "L1"), doorline("32 x 80", "L2")
    assert found(*lines, doors=[DOOR, wide]) == ()
    named = doorline("for D2", "L1"), doorline("for D1", "L2")
    plan = Plan(named, doors=(DOOR, wide))
    assert reconcile(plan, TODAY).bought_as == {"D1": "L2", "D2": "L1"}


def test_doors_without_a_line_and_lines_without_a_door():
    other = Door("D2", ("2", "3"), "swing", 36)
    said = found(doorline(), doors=[DOOR, other])
    assert [(d.kind, d.room) for d in said] == [("no line", "3")]
    assert "between 2 Den and 3, but no line buys it" in said[0].text
    outside = Door("D4", ("2", "out"), "swing", 36)
    assert kinds(doorline(), doors=[DOOR, outside]) == []  # no line buys any outside door
    assert kinds(doorline(), doorline(id="L2"), doors=[DOOR]) == [("not drawn", 1)]
    assert kinds(doorline(), doorline(id="L2")) == []  # a house without drawn doors
    assert kinds(line(), doors=[DOOR]) == []  # a house whose lines buy no doors
    cased = Door("D3", ("1", "2"), "cased", 60)
    assert kinds(doorline(), doors=[DOOR, cased]) == []


def test_damaged_and_substituted():
    damaged = found(
        line(), ordered=[order()], came=[Came("R1", "P1", "L1", 2, PAST, "one cracked")]
    )
    assert [(d.kind, d.by, d.receipts) for d in damaged] == [("damaged", 2, ("R1",))]
    assert "settle it with Quill (P1)" in damaged[0].do
    assert kinds(line(), ordered=[order(note="nickel substituted")]) == [("substituted", 2)]


@pytest.mark.parametrize(
    ("note", "drawn", "wrong"),
    [
        ("84 x 42", (84, 42), False),
        ("84 x 42", (42, 84), False),
        ("84 x 42", (72, 42), True),
        ("84 w", (84, 40), False),
        ("sectional 112 x 88, 38 d", (112, 38), True),
        ("one 18 leaf", (84, 42), False),
        ("two lamps 8 x 8, sofa 80 w", (80, 38), False),
    ],
)
def test_wrong_size_of_a_piece(note, drawn, wrong):
    sofa = line(qty=1, name="Sofa / sectional", note=note)
    piece = Drawn("S1", "1", "sofa sectional", *drawn)
    assert (("wrong size", 1) in kinds(sofa, drawn=[piece])) is wrong


def test_pieces_find_their_lines():
    lines = (
        line("L1", 1, name="Range 30, gas or electric"),
        line("L2", 1, name="Range hood"),
        line("L3", 1, name="Vanity top", note="24"),
        line("L4", 1, name="Vanity cabinet", note="24 x 18"),
        line("L5", 3, name="Dresser / bookcase", note="two nightstands 26 w, dresser 66"),
    )
    drawn = (
        Drawn("K1", "1", "range", 30, 28),
        Drawn("V1", "1", "vanity", 24, 18),
        Drawn("B1", "1", "nightstand", 26, 18),
        Drawn("X1", "1", "organ", 60, 30),
        Drawn("X2", "1", "organ", 60, 30, line="L5"),
        Drawn("Y1", "2", "range", 30, 28),
    )
    assert reconcile(Plan(lines, drawn=drawn), TODAY).bought_as == {
        "K1": "L1", "V1": "L4", "B1": "L5", "X2": "L5",
    }  # fmt: skip


KIT = (
    KitPart("posts", Fraction(2), brought_by="builder"),
    KitPart("blocking", stage="framing", brought_by="framer"),
    KitPart("jig", kind="work"),
    KitPart("anchor", Fraction(1, 2), when="over 30 lb load"),
)


def test_kits_and_totals():
    plan = Plan((line(kit=KIT), line("L2", 1)), (order(),), (Came("R1", "P1", "L1", 1),),
                class_rows=4)  # fmt: skip
    answer = reconcile(plan, TODAY)
    total = answer.totals
    assert (total.lines, total.pieces) == (2, 3)
    assert (total.class_companion_rows, total.line_companion_rows) == (4, 4)
    assert (total.companion_parts, total.companion_work, total.unanswered) == (6, 2, 1)
    assert (total.ordered_lines, total.ordered_pieces) == (1, 2)
    assert (total.received_lines, total.received_pieces) == (1, 1)
    assert total.parts_by_who == {"builder": 4, "framer": 2}
    assert total.parts_by_stage == {"finish": 4, "framing": 2}
    assert [k.qty for k in expand(plan.lines[0])] == [4, 2, 2, None]
    assert expand(plan.lines[0])[3].if_so == 1


def test_questions_with_hints():
    heavy = line(kit=KIT, note="40 lb load each")
    asked = questions([heavy, line("L2", kit=KIT)])
    assert [(q.part, q.when, q.lines) for q in asked] == [
        ("anchor", "over 30 lb load", ("L1", "L2"))
    ]
    assert asked[0].hint == "Line L1 says 40 lb: over 30, so it looks needed."


def test_every_kind_is_tested_here():
    text = __import__("pathlib").Path(__file__).read_text(encoding="utf-8")
    assert [kind for kind in KINDS if f'"{kind}"' not in text] == []
