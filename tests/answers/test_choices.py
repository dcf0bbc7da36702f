"""When a choice must be made and what a late answer costs, held against orders and dates."""

from datetime import date, timedelta
from decimal import Decimal
from fractions import Fraction

import pytest
from tests.answers.a_glass_house import glass_house
from tests.answers.demo_house import answers, facts

from roomwright.answers import Answers
from roomwright.answers.change_orders import ChangeOrderAnswer, carried, change_order
from roomwright.answers.choices import choices, undecided
from roomwright.answers.choices_words import owners_page
from roomwright.answers.dates import calendar, dates
from roomwright.answers.orders import orders
from roomwright.job.entities import Activity, ChangeOrder, Choice, House, Part
from roomwright.job.facts import Change, Facts

AS_OF = date(2027, 3, 29)


def one(**values):
    choice = Choice(id="C1", what="something", **values)
    (found,) = answers(choice).ask(choices)
    return found


LINES = {r.line: r for r in answers().ask(orders).lines}
OPEN = [r.line for r in LINES.values() if r.state.to_order and r.need and r.state.order_by
        and r.need.state != "done"]  # fmt: skip


@pytest.mark.parametrize("line", OPEN[::7])
def test_the_last_safe_day_is_the_order_by_date_of_its_line(line):
    found = one(lines=(line,))
    assert found.by == found.last_safe == LINES[line].state.order_by
    days = [on for on, _ in found.chain]
    assert days == sorted(days, reverse=True), "the chain goes back from the work to the choice"
    assert days[0] == LINES[line].need.on
    assert days[-1] == found.by


def test_of_several_lines_the_first_and_of_a_class_all():
    part = facts().get(Part, OPEN[0])
    both = one(lines=("L007", OPEN[-1]), part_class=part.part_class)
    every = ["L007", OPEN[-1], *(p for p in OPEN if LINES[p].part_class == part.part_class)]
    assert both.last_safe == min(LINES[p].state.order_by for p in every)
    assert set(both.lines) >= set(every)


def test_what_is_on_hand_asks_for_nothing():
    here = next(r.line for r in LINES.values() if r.state.state == "on hand")
    found = one(lines=(here,))
    assert (found.by, found.late, found.state) == (None, (), "open")


def test_a_day_that_was_given_stands_and_the_last_safe_day_is_told():
    found = one(lines=("L007",), by=date(2027, 4, 20))
    assert (found.by, found.given, found.last_safe) == (
        date(2027, 4, 20), True, date(2027, 2, 10),
    )  # fmt: skip
    choice = Choice(id="C1", what="table", lines=("L007",), by=date(2027, 4, 20))
    (item,) = owners_page(answers(choice)).open
    assert item.asked.endswith("Wed Feb 10 is the last safe day.")


@pytest.mark.parametrize(("line", "days"), [("L007", 18), ("L019", 36), ("L020", 23)])
def test_answered_today_it_costs_what_the_answer_key_has(line, days):
    late = one(lines=(line,)).late[0]
    assert (late.on, late.days, late.money) == (AS_OF, days, Decimal(310) * days)


@pytest.mark.parametrize("id", ["A250", "A360", "A490", "A300", "A180"])
def test_late_for_work_is_what_the_end_moves_if_the_work_begins_the_day_after(id):
    base = answers()
    found = one(activity=id)
    days = base.ask(calendar)
    for late in found.late:
        work = facts().get(Activity, id)
        begins = days.add(late.on, 1) if days.is_working(late.on) else days.add(late.on, 0)
        held = work.model_copy(update={"not_before": begins})
        moved = answers(held).ask(dates).working_days - base.ask(dates).working_days
        assert late.days == moved, (id, late.on)
    assert found.late[0].days == 0, "on the last safe day it costs nothing"


def test_later_never_costs_less():
    for line in OPEN[::5]:
        cost = [late.days for late in one(lines=(line,)).late]
        assert cost == sorted(cost)


def test_without_a_cost_of_a_day_there_is_no_money():
    house = facts().get(House, "house").model_copy(update={"cost_per_day": None})
    choice = Choice(id="C1", what="table", lines=("L007",))
    (found,) = answers(house, choice).ask(choices)
    assert {late.money for late in found.late} == {None}
    assert "$" not in " ".join(owners_page(answers(house, choice)).notes)


def test_a_decided_choice_holds_nothing_and_comes_last():
    made = Choice(id="C1", what="a", lines=("L007",), decided=AS_OF, decision="oak")
    left = Choice(id="C2", what="b", lines=("L007",))
    found = answers(made, left).ask(choices)
    assert [c.state for c in found] == ["overdue", "decided"]
    state = answers(made).facts
    assert undecided(state, state.get(Part, "L007")) == []


def test_a_house_without_work_has_choices_and_change_orders_too():
    house = House(name="Bare", site_start=date(2027, 1, 18))
    state = Facts([house, Choice(id="C1", what="paint"), ChangeOrder(id="CO-1", title="more")])
    bare = Answers(state, as_of=AS_OF)
    (found,) = bare.ask(choices)
    assert (found.by, found.chain) == (None, ())
    assert change_order(bare, "CO-1").moves_words.startswith("This house has no activities")
    assert owners_page(bare).open[0].by.startswith("No day yet")


@pytest.mark.parametrize("days", [1, 3, 10])
@pytest.mark.parametrize("id", ["A250", "A300", "A130"])
def test_a_change_moves_the_end_by_its_days_less_the_float(id, days):
    order = ChangeOrder(id="CO-1", title="more", days=days, activities=(id,))
    base = answers()
    row = next(a for a in base.ask(dates).activities if a.id == id)
    found = change_order(answers(order), "CO-1")
    assert found.moves == max(0, days - row.dates.total_float)
    assert found.without_it == base.ask(dates).finish


def test_signed_or_not_the_change_does_the_same():
    order = ChangeOrder(id="CO-1", title="more", days=4, activities=("A250",))
    before = change_order(answers(order), "CO-1")
    made, wrong = carried(facts(), order, 4)
    assert not wrong
    signed = order.model_copy(update={"agreed_by": "Ana", "agreed_on": AS_OF})
    after = change_order(answers(signed, *(c.after for c in made)), "CO-1")
    assert (after.with_it, after.without_it, after.moves) == (
        before.with_it, before.without_it, before.moves,
    )  # fmt: skip


def test_fewer_days_move_the_end_nearer():
    order = ChangeOrder(id="CO-1", title="less", days=-1, activities=("A250",), price="-200")
    found = change_order(answers(order), "CO-1")
    assert found.moves <= 0
    assert found.price_words == "-$200 (a credit)"
    if found.moves:
        assert "earlier" in found.moves_words
        assert "saves" in found.moves_words


def test_weeks_after_a_day_gone_by_are_counted_from_today():
    late = one(lines=("L007",)).late
    assert [x.on for x in late] == [AS_OF + timedelta(weeks=w) for w in (0, 1, 2, 4)]


def test_weeks_that_steps_add_up_to_are_said_in_plain_figures():
    """Oak: 8 days of making at most, 1.6 weeks; 7 days of waiting are ours."""
    house = glass_house(choices="choice,what,class\nC2,Oak,OAK\n")
    (row,) = house.ask(choices)
    (ordered,) = [words for _, words in row.chain if "can take" in words]
    assert ordered == "ordered, as it can take 1.6 weeks to make and ship"
    oak = next(r for r in house.ask(orders).lines if r.line == "L2")
    assert oak.lead.high_weeks == Fraction(8, 5)


NICHE = {
    "activities": "activity,name,days_likely,trade,rooms\nA,Frame niche,8,carp,1\n"
    "B,Tile bath,10,tile,1\nDONE,Move in,0,,1\n",
    "links": "before,after\nA,B\nB,DONE\n",
    "classes": "class,name,needed_by\n", "parts": "line,room,class,qty\n",
    "steps": "class,line,step\n",
    "measures": "class,line,after\n",
}  # fmt: skip


def niche(progress: str, **values: object) -> ChangeOrderAnswer:
    house = glass_house(
        date(2027, 3, 15), **NICHE, progress=f"activity,started,finished\n{progress}"
    )
    change = ChangeOrder(id="C1", title="Niche", activities=("A", "B"), **values)
    made = house.facts.changed([Change("change_order", "C1", None, change)])
    return change_order(Answers(made, as_of=date(2027, 3, 15)), "C1")


@pytest.mark.parametrize("said", [{}, {"taken_by": "A"}])
def test_days_of_a_signed_change_are_not_taken_from_work_that_did_not_get_them(said):
    """Signed before the niche was framed: its 3 days are in the framing, which is done."""
    found = niche("A,2027-03-01,2027-03-10\n", days=3, agreed_by="Bo",
                  agreed_on=date(2027, 3, 1), **said)  # fmt: skip
    assert found.days_words == "3 days more for Frame niche"
    assert found.moves is None
    assert found.moves_words == (
        "Frame niche took its days and was done Mar 10: what they moved can no longer be told."
    )
    assert found.as_json()["move_in_days"] is None


def test_signed_after_the_first_was_done_the_next_took_the_days():
    """B has 10 days, 3 of them by the change: without it all ends 3 days sooner."""
    found = niche("A,2027-03-01,2027-03-10\n", days=3, agreed_by="Bo",
                  agreed_on=date(2027, 3, 11))  # fmt: skip
    assert found.days_words == "3 days more for Tile bath"
    assert found.moves == 3


def test_fewer_days_than_the_work_has_are_told():
    found = niche("A,2027-03-01,2027-03-10\n", days=-20)
    assert found.moves is None
    assert found.moves_words.startswith("B Tile bath has 10 days: 20 fewer is less than none.")
    assert found.delay_cost is None
