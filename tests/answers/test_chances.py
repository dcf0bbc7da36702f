"""Chances of the demo: held to second simulations with the same random numbers, and to its key."""

from __future__ import annotations

import json
from datetime import date, timedelta

import numpy as np
import pytest
from tests.answers.demo_house import WRITTEN, answers

from roomwright import schedule
from roomwright.answers import Answers, dates
from roomwright.answers.chances import at_once, chances, other_strengths, together
from roomwright.answers.chances_model import ChancesAnswer
from roomwright.answers.futures import SEED, futures, subnetwork, watched
from roomwright.answers.whole_network import whole
from roomwright.chances import Stopped, simulate
from roomwright.days import Calendar
from roomwright.job.entities import House, Progress
from roomwright.job.facts import Facts

FEW = 600
"""Futures enough for what must be equal to the last digit."""


@pytest.fixture(scope="module")
def demo() -> Answers:
    return answers()


@pytest.fixture(scope="module")
def found(demo: Answers) -> ChancesAnswer:
    return demo.ask(chances, FEW)


def again(given: Answers, network: schedule.Network, **settings: object) -> np.ndarray:
    """Return the end of each future of a simulation that is written out here."""
    all_ = given.ask(whole)
    return simulate(
        network,
        [u for u in all_.uncertain if u.activity in network.index],
        all_.factors,
        calendar=given.ask(dates.calendar),
        as_of=given.as_of,
        progress={i: p for i, p in all_.progress.items() if i in network.index},
        not_before={i: n for i, n in all_.not_before.items() if i in network.index},
        samples=FEW,
        seed=SEED,
        causes={},
        compiled=False,
        **settings,  # type: ignore[arg-type]
    ).finishes


@pytest.mark.parametrize("part_class", ["RANGE", "HOOD", "CABB", "F_TABLE", "TBAR", "SCONCE"])
def test_days_caused_are_those_of_a_second_run_with_the_part_in_time(
    demo: Answers, found: ChancesAnswer, part_class: str
) -> None:
    line = next(r for r in found.lines if r.part_class == part_class)
    steps, _ = together(demo.ask(whole))[line.line]
    network = at_once(demo.ask(whole))
    gained = again(demo, network) - again(demo, network, perfect=steps)
    assert gained.max() > 0
    assert line.caused.days == pytest.approx(gained.mean(), abs=1e-9)
    assert line.caused.se == pytest.approx(gained.std() / FEW**0.5, abs=1e-9)


@pytest.mark.parametrize("part_class", ["RANGE", "HOOD", "CABB", "F_TABLE", "TBAR", "TOPK"])
def test_what_a_line_costs_alone_is_a_run_of_the_site_with_it(
    demo: Answers, found: ChancesAnswer, part_class: str
) -> None:
    line = next(r for r in found.lines if r.part_class == part_class)
    all_ = demo.ask(whole)
    steps = {s for w in all_.ways.values() for s in w.steps}
    site = set(all_.network.index) - steps
    with_it = subnetwork(all_.network, site | set(all_.ways[line.line].steps))
    more = again(demo, with_it) - again(demo, subnetwork(all_.network, site))
    assert line.alone.days == pytest.approx(more.mean(), abs=1e-9)


def test_work_under_way_waits_for_its_part() -> None:
    """A part for work that was begun holds what is left of it, future by future."""
    given = answers(Progress(id="A330", started=WRITTEN, days_left=3))
    all_, ahead = given.ask(whole), given.ask(futures, FEW)
    line = next(w.line for w in all_.ways.values() if w.need == "A330")
    steps = {s for w in all_.ways.values() for s in w.steps}
    site = set(all_.network.index) - steps
    with_it = subnetwork(all_.network, site | set(all_.ways[line].steps))
    more = again(given, with_it) - again(given, subnetwork(all_.network, site))
    # the lag of the link is what is left by plan, so days of work under way are compared by mean
    assert ahead.days(line).mean() == pytest.approx(more.mean(), abs=0.6)


def test_what_costs_most_is_what_a_reader_of_the_demo_expects(found: ChancesAnswer) -> None:
    first = list(dict.fromkeys(r.part_class for r in found.lines))[:6]
    assert {"RANGE", "HOOD", "F_TABLE", "CABB", "CABW", "CABT"} == set(first)
    cabinets = next(r for r in found.lines if r.part_class == "CABB")
    assert cabinets.late > 0.95
    assert not cabinets.guess  # ten trucks of that maker stand behind it
    range_ = next(r for r in found.lines if r.part_class == "RANGE")
    assert range_.guess
    assert range_.rests[0].inputs is not None
    assert (range_.rests[0].inputs.low, range_.rests[0].inputs.high) == (20, 80)


def test_the_plan_is_too_early_and_the_orders_are_most_of_it(found: ChancesAnswer) -> None:
    assert found.end is not None
    assert found.site is not None
    assert found.plan is not None
    assert found.plan < found.site.p50 < found.end.p50 < found.end.p80 < found.end.p90
    assert found.bias > 10
    assert found.sure_by(0.8) == found.end.p80
    assert found.chance_by(found.end.p80) >= 0.8
    assert found.chance_by(found.plan) < 0.1
    assert [m.id for m in found.milestones][-1] == "A515"


def test_no_trade_in_common_is_more_hopeful_than_twice_as_much(demo: Answers) -> None:
    (none, narrow), (twice, wide) = demo.ask(other_strengths, FEW)
    assert (none, twice) == (0, 2)
    assert (wide.p90 - wide.p50) >= (narrow.p90 - narrow.p50)


def test_the_same_facts_give_the_same_chances(found: ChancesAnswer) -> None:
    assert answers().ask(chances, FEW).as_json() == found.as_json()
    json.dumps(found.as_json(), allow_nan=False)


def test_a_line_that_is_recorded_as_here_costs_nothing_and_moves_no_other_luck(
    demo: Answers,
) -> None:
    """Common random numbers: another activity changes nobody's days."""
    before = demo.ask(futures, FEW)
    part = next(r for r in demo.ask(chances, FEW).lines if r.part_class == "RANGE")
    kept = {u.activity: u for u in demo.ask(whole).uncertain}
    assert part.line in before.lands
    later = answers(Progress(id="A045", started=WRITTEN, finished=WRITTEN)).ask(futures, FEW)
    assert np.array_equal(before.lands[part.line], later.lands[part.line])
    assert kept


def test_a_house_without_work_has_no_chances() -> None:
    found = Answers(Facts([House(name="Bare", site_start=WRITTEN)]), as_of=WRITTEN).ask(
        chances, FEW
    )
    assert (found.plan, found.end, found.lines) == (None, None, ())
    assert found.sure_by(0.8) is None
    json.dumps(found.as_json())


def test_it_can_be_stopped_and_tells_how_far_it_is() -> None:
    told: list[float] = []
    with watched(told.append, lambda: True), pytest.raises(Stopped):
        answers().ask(chances, FEW)
    with watched(told.append, lambda: False):
        answers().ask(chances, FEW)
    assert told[-1] == 1


def test_a_day_counts_until_its_evening() -> None:
    """Fridays until noon: 4.5 days are over on Friday, 5 and 5.5 on Monday, 5.6 on Tuesday."""
    days = Calendar(date(2027, 3, 1), half_week=frozenset({4}))
    ends = np.array([4.5, 5.0, 5.5, 5.6])
    found = ChancesAnswer(days.start, None, 0, None, None, (), (), 4, 1, (), days, ends)
    chances = [found.chance_by(date(2027, 3, 4) + timedelta(days=n)) for n in range(6)]
    assert chances == [0, 0.25, 0.25, 0.25, 0.75, 1]  # Thursday to Tuesday
