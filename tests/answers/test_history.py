"""What makers and crews did so far: trucks, moved promises, overdue orders, past 80 % days."""

import math
from datetime import date, timedelta

import pytest
from scipy.stats import t
from tests.answers.a_glass_house import FILES, glass_house
from tests.answers.demo_house import answers

from roomwright.answers import lead_spreads
from roomwright.answers.crew_history import crews
from roomwright.answers.crew_history import guess_of as guess_of_crews
from roomwright.answers.history import (
    believed,
    consignments,
    guess_of,
    history,
    kept,
    of_order,
    said,
)
from roomwright.answers.history_page import history_page
from roomwright.answers.whole_network import whole
from roomwright.days import Calendar
from roomwright.job.entities import Part
from roomwright.job.facts import Change
from roomwright.supply.learning import Delivery, Open, of_class, with_open

HOUSE = Calendar(date(2027, 3, 1))
PARTS = "line,room,class,qty\n" + "".join(
    f"L{i},1,{'PANEL' if i < 40 else 'OAK'},1\n" for i in range(1, 60)
)
PLAIN = {"parts": PARTS, "steps": "class,line,step\n", "measures": "class,line,after\n"}


def house(as_of=date(2027, 3, 29), **texts):
    return glass_house(as_of, **PLAIN, **texts)


def ordered(rows):
    """Orders and receipts from (order, maker, line, placed, promised, came)."""
    orders = "".join(f"{o},{m},{n},1,{a},{b}\n" for o, m, n, a, b, _ in rows)
    receipts = "".join(f"R{i},{o},{n},1,{c}\n" for i, (o, _, n, _, _, c) in enumerate(rows) if c)
    return {"orders": orders, "receipts": receipts}


def test_lines_of_an_order_on_one_truck_are_one_delivery():
    rows = [
        ("P1", "Quarry", "L1", "2027-01-04", "2027-01-25", "2027-02-01"),
        ("P1", "Quarry", "L2", "2027-01-04", "2027-01-25", "2027-02-01"),
        ("P1", "Quarry", "L3", "2027-01-04", "2027-01-25", "2027-02-08"),
        ("P1", "Quarry", "L4", "2027-01-04", "2027-02-01", "2027-02-08"),
        ("P2", "Quarry", "L5", "2027-01-04", "2027-01-04", "2027-01-04"),  # over the counter
    ]
    found = house(**ordered(rows)).ask(consignments)
    assert [(c.lines, c.whole, c.took) for c in found] == [
        (("L1", "L2"), 15, 20), (("L3",), 15, 25), (("L4",), 20, 25),
    ]  # fmt: skip


def test_a_moved_promise_counts_from_the_first():
    texts = ordered([("P1", "Quarry", "L1", "2027-01-04", "2027-02-15", "2027-02-15")])
    events = ("E1,promised,P1,L1,,2027-01-04,2027-01-25\n"
              "E2,promised,P1,L1,,2027-01-20,2027-02-15\n")  # fmt: skip
    (one,) = house(**texts, events=events).ask(consignments)
    assert (one.promised, one.whole, one.took, one.moved) == (date(2027, 1, 25), 15, 30, 1)


def test_belief_is_that_of_the_engine():
    rows = [
        ("P1", "Quarry", "L1", "2027-01-04", "2027-01-25", "2027-02-01"),  # 15, took 20
        ("P2", "Quarry", "L41", "2027-01-04", "2027-02-01", "2027-02-08"),  # 20, took 25: oak
        ("P3", "Mill", "L2", "2027-01-04", "2027-01-18", "2027-01-18"),  # 10, took 10
        ("P4", "Quarry", "L3", "2027-02-01", "2027-02-22", ""),  # 15, 40 days and not here
        ("P5", "Quarry", "L4", "2027-03-22", "2027-05-17", ""),  # not due
    ]
    given = house(**ordered(rows))
    guess = given.ask(guess_of)
    of = of_class([[Delivery(10, 10)]], guess, guess.strength)
    mine = of.after([Delivery(15, 20), Delivery(20, 25)])
    wanted = with_open(mine, [Open(15, 40)])
    found = given.ask(history).belief("PANEL", "Quarry")
    for share in (0.5, 0.8, 0.95):
        assert found.ratio(share) == pytest.approx(wanted.ratio(share), rel=1e-6)
    assert found.deliveries == 2
    assert given.ask(of_order, "P5", "L4") == given.ask(history).belief("PANEL", "Quarry")
    assert given.ask(of_order, "", "L50") == guess
    # the overdue one is no evidence about itself: that it is not here is reckoned with there
    assert given.ask(of_order, "P4", "L3") == mine


def test_an_overdue_order_makes_a_maker_slower():
    rows = [("P1", "Quarry", "L1", "2027-01-04", "2027-01-25", "2027-01-25"),
            ("P2", "Quarry", "L2", "2027-01-04", "2027-01-25", "")]  # fmt: skip
    given = house(**ordered(rows))
    without = house(**ordered(rows[:1]))
    late = given.ask(history).belief("PANEL", "Quarry").ratio(0.8)
    assert late > without.ask(history).belief("PANEL", "Quarry").ratio(0.8) + 0.1


def test_what_was_said_then_is_computed_as_of_then():
    """Deliveries that came later change nothing of what was 80 % sure when an order was placed."""
    start = date(2027, 1, 4)
    rows = []
    for i in range(12):
        placed = start + timedelta(days=2 * i)
        rows.append((f"P{i}", "Quarry", f"L{i + 1}", placed, placed + timedelta(days=14),
                     placed + timedelta(days=28)))  # fmt: skip
    given = house(**ordered(rows))
    told = given.ask(said)
    guess = given.ask(guess_of)
    assert told[0].quote.said == -int(-told[0].consignment.whole * guess.ratio(0.8) // 1)
    late = told[-1]
    then = believed(
        [s.consignment for s in told[:-1]], "PANEL", "Quarry", guess, late.consignment.placed,
        HOUSE,
    )  # fmt: skip
    assert late.quote.said == -int(-late.consignment.whole * then.ratio(0.8) // 1)
    fewer = house(**ordered(rows[:6])).ask(said)
    assert [s.quote.said for s in fewer] == [s.quote.said for s in told[:6]]
    assert told[-1].quote.said > told[0].quote.said  # it has learned that he is slow
    assert given.ask(kept).of == 12
    assert given.ask(kept).verdict == "too hopeful"


def test_ten_deliveries_make_a_history():
    start = date(2026, 10, 5)
    rows = [
        (f"P{i}", "Quarry", f"L{i + 1}", start + timedelta(days=7 * i),
         start + timedelta(days=7 * i + 14), start + timedelta(days=7 * i + 21))
        for i in range(10)
    ]  # fmt: skip
    nine = house(**ordered(rows[:9])).ask(history_page)
    ten = house(**ordered(rows)).ask(history_page)
    assert nine.makers[0].text == "a guess, not history: 9 of 10 so far"
    assert ten.makers[0].text == "history of 10"
    # 10 days promised, 15 taken, ten times; the guess of 1.05 weighs as four
    assert ten.makers[0].typical == pytest.approx((1.05**4 * 1.5**10) ** (1 / 14))
    assert ten.as_json()["makers"][0]["history"] is True


def test_the_simulation_reads_this_history():
    rows = [("P1", "Quarry", "L1", "2027-01-04", "2027-01-25", "2027-03-15"),
            ("P2", "Quarry", "L2", "2027-03-22", "2027-04-19", "")]  # fmt: skip
    given = house(**ordered(rows))
    assert given.ask(lead_spreads.promises).belief("PANEL", "Quarry") == given.ask(
        of_order, "P2", "L2"
    )
    (one,) = [u for u in given.ask(whole).uncertain if u.activity == "L2:make"]
    bare = house(**ordered(rows[1:]))
    (other,) = [u for u in bare.ask(whole).uncertain if u.activity == "L2:make"]
    assert one.spread.likely > other.spread.likely


def test_crews_planned_against_taken():
    work = "activity,name,days_likely,trade,rooms\n" + "".join(
        f"W{i},work,2 1/2,tile / plumber,1\n" for i in range(12)
    )
    start = date(2026, 12, 7)
    told = "activity,started,finished\n" + "".join(
        f"W{i},{start + timedelta(days=7 * i)},{start + timedelta(days=7 * i + 4)}\n"
        for i in range(12)
    )
    given = house(
        activities=FILES["activities.csv"] + work.split("\n", 1)[1], progress=told,
        orders="", receipts="",
    )  # fmt: skip
    found = given.ask(crews)
    assert len(found.works) == 12
    one = found.works[0]
    assert (one.planned, one.took) == (3, 5)
    guess = given.ask(guess_of_crews)
    wanted = guess.after([Delivery(3, 5)] * 12)
    assert found.paces["tile"].ratio(0.5) == pytest.approx(wanted.ratio(0.5))
    assert found.paces["plumber"].is_history
    assert found.pace(["tile"]) == pytest.approx(wanted.ratio(0.5))
    assert found.pace(["painter"]) == 1
    assert found.works[-1].sure > found.works[0].sure  # it has learned
    assert {t.name: t.came for t in given.ask(history_page).crews} == {"tile": 12, "plumber": 12}
    tile = next(u for u in given.ask(whole).uncertain if u.activity == "TILE")
    assert tile.spread.likely == pytest.approx(10 * wanted.ratio(0.5))


def test_the_demo_so_far():
    page = answers().ask(history_page)
    assert [(m.name, m.came) for m in page.makers[:3]] == [
        ("Quillwater", 13), ("Marlowe Forge", 11), ("Oskar & Rye Millwork", 10),
    ]  # fmt: skip
    assert page.kept.came == page.kept.of == 36
    assert all(not c.history for c in page.crews)


def test_a_promise_that_moved_counts_from_the_day_it_was_given():
    texts = ordered([("P1", "Quarry", "L1", "2027-01-04", "2027-04-19", "")])
    plain = house(**texts)
    events = ("E1,promised,P1,L1,,2027-01-04,2027-02-01\n"
              "E2,promised,P1,L1,,2027-03-26,2027-04-19\n")  # fmt: skip
    moved = house(**texts, events=events)

    def wide(given):
        (one,) = [u for u in given.ask(whole).uncertain if u.activity == "L1:make"]
        return one.spread.high - one.spread.low

    assert wide(moved) < wide(plain)  # 16 days ahead are surer than 75
    assert moved.ask(consignments)[0].promised == date(2027, 2, 1)


def test_a_house_with_an_overdue_order_is_reckoned_again_after_a_change():
    """What is kept is compared with what is new: beliefs with open orders in them as well."""
    rows = [("P1", "Quarry", "L1", "2027-01-04", "2027-01-25", "")]
    given = house(**ordered(rows))
    first = given.ask(history)
    again = house(**ordered(rows)).ask(history)
    assert first == again
    assert len({first.belief("PANEL", "Quarry"), again.belief("PANEL", "Quarry")}) == 1
    part = given.facts.get(Part, "L50")
    moved = given.supposing([Change("part", "L50", part, part.model_copy(update={"qty": 2}))])
    assert moved.ask(history) == first
    later = given.moved(given.facts, as_of=date(2027, 4, 30))
    assert later.ask(history) != first


def made(given, line):
    (one,) = [u for u in given.ask(whole).uncertain if u.activity == f"{line}:make"]
    return one.spread


def test_what_is_overdue_is_drawn_as_what_is_left_of_its_promise():
    """20 days promised and 40 gone: Student's t of the guess above twice the promise, by scipy."""
    given = house(**ordered([("P1", "Quarry", "L1", "2027-02-01", "2027-03-01", "")]))
    ratio = t(4, math.log(1.05), 0.25 * math.sqrt(5 / 4))
    left = ratio.sf(math.log(2))
    spread = made(given, "L1")
    wanted = [20 * math.exp(ratio.isf((1 - q) * left)) - 40 for q in (0.1, 0.5, 0.8, 0.9)]
    for share, days in zip((0.1, 0.5, 0.8, 0.9), wanted, strict=True):
        assert spread.quantile(share) == pytest.approx(days, rel=0.01)
    (wait,) = given.ask(whole).ways["L1"].rests
    assert (wait.inputs.low, wait.inputs.likely, wait.inputs.high) == (1, 8, 42)


def test_the_days_shown_are_those_that_are_drawn():
    """With another order overdue as well the belief is a mixture: it is drawn as it stands."""
    rows = [("P1", "Quarry", "L1", "2027-02-01", "2027-03-01", ""),
            ("P2", "Quarry", "L2", "2027-03-01", "2027-03-22", "")]  # fmt: skip
    given = house(**ordered(rows))
    known = given.ask(of_order, "P1", "L1")
    left = 1 - known.chance_by(2)
    (wait,) = given.ask(whole).ways["L1"].rests
    told = wait.inputs.low, wait.inputs.likely, wait.inputs.high
    for share, days in zip((0.1, 0.5, 0.9), told, strict=True):
        wanted = 20 * known.ratio(1 - (1 - share) * left) - 40
        assert wait.spread.quantile(share) == pytest.approx(wanted, rel=0.02, abs=0.02)
        assert round(wait.spread.quantile(share)) == days


def test_moved_promises_are_learned_apart_from_first_ones():
    """Promised in 20 days, moved on the 15th to the 40th, here on the 40th, twelve times.

    A promise that was moved so is kept to the day; a first one is taken for twice its days.
    """
    rows, events, number = [], "", 0

    def word(order, line, on, day):
        nonlocal events, number
        number += 1
        events += f"E{number},promised,{order},{line},,{on},{day}\n"

    def order(i, placed, came):
        day = placed + timedelta(days=56)
        rows.append((f"P{i}", "Quarry", f"L{i}", placed, day, day if came else ""))
        word(f"P{i}", f"L{i}", placed, placed + timedelta(days=28))
        word(f"P{i}", f"L{i}", placed + timedelta(days=21), day)

    for i in range(1, 13):
        order(i, date(2026, 3, 2) + timedelta(days=14 * i), came=True)
    order(20, date(2027, 3, 1), came=False)
    rows.append(("P21", "Quarry", "L21", date(2027, 3, 29), date(2027, 4, 26), ""))
    given = house(**ordered(rows), events=events)
    moved, first = made(given, "L20"), made(given, "L21")
    # ratios of 1, twelve times over a guess of 1.05 that weighs as four; on day 5 of 25
    assert pytest.approx(moved.likely, rel=0.01) == 25 * 1.05 ** (4 / 16) - 5
    assert 16 < moved.low < moved.high < 26
    # ratios of 2 over the same guess
    assert pytest.approx(first.likely, rel=0.01) == 20 * (1.05**4 * 2**12) ** (1 / 16)


def test_a_promise_moved_after_the_as_of_day_has_not_moved():
    texts = ordered([("P1", "Quarry", "L1", "2027-01-04", "2027-04-19", "")])
    events = ("E1,promised,P1,L1,,2027-01-04,2027-02-01\n"
              "E2,promised,P1,L1,,2027-03-26,2027-04-19\n")  # fmt: skip
    (before,) = house(date(2027, 3, 25), **texts, events=events).ask(consignments)
    (after,) = house(date(2027, 3, 26), **texts, events=events).ask(consignments)
    assert (before.moved, after.moved) == (0, 1)


def test_a_lead_from_nothing_is_shown_as_it_is_drawn():
    """0 to 4 weeks: a tenth of 20 days at the short end, sqrt(2 x 20) in the middle."""
    given = house(
        classes=FILES["classes.csv"].replace("OAK,Oak floor,FLOOR,1,2", "OAK,Oak,FLOOR,0,4")
    )
    (wait,) = given.ask(whole).ways["L50"].rests
    assert (wait.inputs.low, wait.inputs.likely, wait.inputs.high) == (2, 6, 20)
    assert wait.basis.startswith("a guess, not history: 2, 6 or 20 days (a guess)")
    for share, days in ((0.1, 2), (0.5, math.sqrt(40)), (0.9, 20)):
        assert wait.spread.quantile(share) == pytest.approx(days, rel=0.001)


def slow(deliveries, days=56, maker="Quarry", line=1):
    """Deliveries that took 40 working days, one every second week."""
    start = date(2026, 3, 2)
    return [
        (f"P{maker}{i}", maker, f"L{line + i}", placed, placed + timedelta(days=days),
         placed + timedelta(days=days))
        for i in range(deliveries)
        if (placed := start + timedelta(days=14 * i))
    ]  # fmt: skip


def test_what_came_corrects_the_lead_of_what_is_to_be_ordered():
    """Glass takes 2 to 4 weeks, it is said: 14.1 days in the middle. Twelve took 40 each."""
    given = house(**ordered(slow(12)))
    way = given.ask(whole).ways["L20"]
    (wait,) = way.rests
    assert (way.maker, way.basis, way.guess) == ("Quarry", "history of 12 deliveries", False)
    middle = math.sqrt(10 * 20)
    assert wait.spread.likely == pytest.approx(middle * (40 / middle) ** (12 / 16), rel=0.001)
    assert wait.planned == 20  # plain dates stay those of the lead
    (few,) = house(**ordered(slow(3))).ask(whole).ways["L20"].rests
    assert few.spread.likely == pytest.approx(middle * (40 / middle) ** (3 / 7), rel=0.001)
    assert few.basis.endswith("3 of 10 deliveries so far")
    (none,) = house().ask(whole).ways["L20"].rests
    assert (none.spread.low, none.spread.high) == (10, 20)
    assert none.basis.endswith("0 of 10 deliveries so far")


def test_a_maker_slow_with_one_class_is_taken_for_slow_with_another():
    """Quarry's glass came late; his oak, never delivered, is 1 to 2 weeks as others have it."""
    rows = [*slow(12), ("PX", "Quarry", "L41", date(2027, 3, 22), "", "")]
    found = house(**ordered(rows)).ask(whole).ways
    (oak,) = found["L50"].rests  # to order, from who has oak on order: Quarry
    assert found["L50"].maker == "Quarry"
    middle = math.sqrt(5 * 10)
    assert oak.spread.likely == pytest.approx(
        middle * (40 / math.sqrt(200)) ** (12 / 16), rel=0.001
    )
    (coming,) = found["L41"].rests  # on order without a promise, 5 days gone
    assert coming.spread.likely == pytest.approx(oak.spread.likely - 5, rel=0.05)
    assert coming.basis == "history of 12 deliveries"


def test_what_came_on_the_day_of_an_order_was_not_known_when_it_was_placed():
    """Ten came three times as late as promised, all on the day on which the next was ordered."""
    day = date(2027, 3, 22)
    late = [(f"P{i}", "Quarry", f"L{i}", date(2027, 2, 8), date(2027, 2, 22), day)
            for i in range(1, 11)]  # fmt: skip
    rows = [*late, ("PX", "Quarry", "L20", day, day + timedelta(days=14), "")]
    told = {s.consignment.order: s for s in house(**ordered(rows)).ask(said)}
    rows[-1] = ("PX", "Quarry", "L20", day + timedelta(days=1), day + timedelta(days=15), "")
    next_day = {s.consignment.order: s for s in house(**ordered(rows)).ask(said)}
    assert told["PX"].guess
    assert not next_day["PX"].guess
    # Student's t after ten ratios of 3, by the formulas of the model
    rate = 4 / 2 * 0.25**2 + 4 * 10 * (math.log(3) - math.log(1.05)) ** 2 / 14 / 2
    center = (4 * math.log(1.05) + 10 * math.log(3)) / 14
    scale = math.sqrt(rate * (14 + 1) / (7 * 14))
    assert next_day["PX"].quote.said == math.ceil(10 * math.exp(center + scale * t(14).ppf(0.8)))
