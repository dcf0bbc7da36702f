"""Before the site starts: leads run from today on, and order days lie before day 0.

The glass house begins on Mar 1, 2027; its oak is needed on Mar 29, day 20, and parts are to be
there five days sooner.
"""

from __future__ import annotations

import math
from datetime import date

import pytest
from scipy.stats import lognorm, norm, triang
from tests.answers.a_glass_house import glass_house

from roomwright.answers import Answers, dates
from roomwright.answers.joint_orders import order_plan
from roomwright.answers.line_chain import line_way
from roomwright.answers.order_by import decision
from roomwright.answers.order_by_model import Decision
from roomwright.commands import parse
from roomwright.job.entities import House
from roomwright.job.facts import Change

WORK = (
    "activity,name,days_likely,trade,rooms,not_before\nTILE,Tile shower,10,tile,1,\n"
    "CURB,Stone curb,1,tile,1,\nGLASS,Set glass,1,glazier,1,\n"
    "FLOOR,Lay oak,5,floors,1,{day}\nDONE,Move in,0,,1,\n"
)
CLASSES = (
    "class,name,needed_by,lead_weeks_low,lead_weeks_high,basis\n"
    "PANEL,Shower glass,GLASS,8,10,a guess\nOAK,Oak floor,FLOOR,8,10,a guess\n"
)
EARLY = date(2026, 12, 7)
FEW = 4000


def house(as_of: date, steps: str = "", day: str = "2027-03-29") -> Answers:
    return glass_house(
        as_of,
        classes=CLASSES,
        activities=WORK.format(day=day),
        measures="class,line,after\n",
        steps="class,line,step,days_low,days_likely,days_high,counts\n" + steps,
    )


def decided(given: Answers) -> Decision:
    found = given.ask(decision, "L2", 80, FEW)
    assert found is not None
    return found


@pytest.mark.parametrize("as_of", [EARLY, date(2027, 1, 4)])
def test_a_lead_is_ordered_as_long_before_as_its_days_say(as_of: date) -> None:
    """40 to 50 working days, one in ten under and over: 48.1 with 80 %, before day 20 - 5."""
    given = house(as_of)
    found = decided(given)
    sigma = math.log(50 / 40) / (2 * norm.ppf(0.9))
    days = lognorm.ppf(0.8, sigma, scale=math.sqrt(40 * 50))
    calendar = given.ask(dates.calendar)
    assert found.by is not None
    assert found.by.day is not None
    assert abs(calendar.number(found.by.day) - math.floor(20 - 5 - days)) <= 1
    assert found.by.day.year == 2027
    assert 0.8 <= found.by.sure < 0.9


def test_a_day_before_the_start_may_be_too_late() -> None:
    """Feb 1 is day -20: 40 days are left, and one in ten takes no longer."""
    found = decided(house(date(2027, 2, 1)))
    assert found.by is not None
    assert found.by.day is None
    assert found.sure_today == pytest.approx(0.1, abs=0.02)


def test_steps_of_a_chain_run_before_the_start_too() -> None:
    """45 days of making, 50 at most, from day -60: on day -10 it is there, weeks before day 20."""
    given = house(EARLY, "OAK,,make,40,45,50,\n")
    found = decided(given)
    assert found.sure_today == 1
    assert found.late == 0
    assert found.days.value == 0
    days = triang.ppf(0.8, 0.5, loc=40, scale=10)
    assert found.by is not None
    assert found.by.day is not None
    calendar = given.ask(dates.calendar)
    assert abs(calendar.number(found.by.day) - math.floor(20 - 5 - days)) <= 1
    steps = {s.step: s for s in given.ask(line_way, "L2").steps}
    assert steps["make"].first == EARLY
    assert steps["make"].last == date(2027, 2, 5)  # Dec 7 and 44 working days after it
    assert steps["order"].last_safe == date(2027, 1, 25)  # 45 working days before Mar 29


def test_the_way_of_a_line_says_the_last_day_by_its_whole_lead() -> None:
    """Ten weeks before Mar 29 is Jan 18; from Dec 7 there are 30 working days till then."""
    (order,) = (s for s in house(EARLY).ask(line_way, "L2").steps if s.step == "order")
    assert (order.last_safe, order.spare) == (date(2027, 1, 18), 30)


def test_what_is_in_the_house_waits_for_the_start() -> None:
    """Made in 5 days from Dec 7 it is here on Dec 14, and lies in the house from Mar 1 on."""
    given = house(EARLY, "OAK,,make,5,5,5,\nOAK,,hold,,7,,elapsed\n")
    steps = {s.step: s for s in given.ask(line_way, "L2").steps}
    assert steps["arrive"].first == date(2026, 12, 14)
    assert "hold" not in steps or steps["hold"].first >= date(2027, 3, 1)


def test_a_need_years_away_has_a_last_day_near_it() -> None:
    """8 to 10 weeks before Jan 8, 2029, and not at the edge of what is looked at."""
    given = house(date(2027, 3, 29), day="2029-01-08")
    found = decided(given)
    assert found.by is not None
    assert found.by.day is not None
    calendar = given.ask(dates.calendar)
    need = calendar.number(date(2029, 1, 8))
    assert need - 5 - 50 <= calendar.number(found.by.day) <= need - 5 - 47
    assert 0.8 <= found.by.sure < 0.9
    told = {"storage": "20", "room_most": 1000}  # it costs to keep it: nobody orders it years ahead
    old = given.facts.get(House, "house")
    state = given.facts.changed(
        [Change("house", "house", old, old.model_copy(update={"cost_per_day": 300}))]
    )
    state = state.changed(parse("set keeping", told).changes(state))
    planned = Answers(state, as_of=given.as_of).ask(order_plan)
    assert planned is not None
    (day,) = (d for line, d, _ in planned.days if line == "L2")
    assert need - 60 <= calendar.number(day) <= need - 40
