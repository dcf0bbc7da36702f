"""Decisions about single lines of the demo, held to runs with the line ordered later."""

from __future__ import annotations

import json
from datetime import date, timedelta

import numpy as np
import pytest
from tests.answers.demo_house import WRITTEN, answers

from roomwright.answers import Answers, dates
from roomwright.answers.futures import SEED, futures, subnetwork
from roomwright.answers.line_chain import whole_passes
from roomwright.answers.order_by import Offer, chases, decision
from roomwright.answers.order_by_model import DecisionError
from roomwright.answers.whole_network import whole
from roomwright.chances import simulate
from roomwright.job.entities import House, Part
from roomwright.job.facts import Change

FEW = 800


def line_of(given: Answers, part_class: str) -> str:
    found = given.ask(whole)
    return next(i for i in found.ways if given.facts.get(Part, i).part_class == part_class)


def ends(given: Answers, line: str, ordered: float | None) -> np.ndarray:
    """Return the end of each future with one line's way and no other, ordered on a day."""
    found = given.ask(whole)
    others = {s for w in found.ways.values() if w.line != line for s in w.steps}
    network = subnetwork(found.network, set(found.network.index) - others)
    return simulate(
        network,
        [u for u in found.uncertain if u.activity in network.index],
        found.factors,
        calendar=given.ask(dates.calendar),
        as_of=given.as_of,
        progress={i: p for i, p in found.progress.items() if i in network.index},
        not_before={} if ordered is None else {found.ways[line].order: ordered},
        samples=FEW, seed=SEED, causes={}, compiled=False,
    ).finishes  # fmt: skip


@pytest.mark.parametrize("part_class", ["RANGE", "HOOD", "F_TABLE"])
def test_a_weeks_wait_costs_what_a_run_with_the_order_a_week_later_costs(part_class: str) -> None:
    given = answers()
    line = line_of(given, part_class)
    found = given.ask(decision, line, 80, FEW)
    assert found is not None
    assert found.wait is not None
    now = given.ask(dates.calendar).number(WRITTEN)
    more = ends(given, line, now + 5) - ends(given, line, None)
    assert found.wait.days.value == pytest.approx(more.mean(), abs=1e-9)
    assert found.wait.money.value == pytest.approx(310 * more.mean(), abs=1e-6)
    assert found.wait.verdict == "order today"
    assert found.by is not None
    assert found.by.day is None  # even today is too late to be 80 % sure


@pytest.mark.parametrize("part_class", ["RECPT", "DISP", "BELL"])
def test_the_last_day_to_order_keeps_the_confidence_and_the_next_does_not(part_class: str) -> None:
    given = answers()
    line = line_of(given, part_class)
    found = given.ask(decision, line, 80, FEW)
    assert found is not None
    assert found.by is not None
    assert found.by.day is not None
    calendar, ahead = given.ask(dates.calendar), given.ask(futures, FEW)
    ordered = calendar.number(found.by.day) - calendar.number(WRITTEN)
    need = ahead.need[line] - found.inspect_days
    assert np.mean(ahead.lands[line] + ordered <= need) >= 0.8
    assert np.mean(ahead.lands[line] + ordered + 1 <= need) < 0.8
    surer = given.ask(decision, line, 95, FEW)
    assert surer is not None
    assert surer.by is not None
    assert surer.by.day is not None
    assert surer.by.day < found.by.day
    assert found.jointly is not None
    assert found.visit > 1
    assert found.jointly.asked == pytest.approx(0.8 ** (1 / found.visit))
    assert found.jointly.day is not None
    assert found.jointly.day <= found.by.day


def test_a_line_ordered_already_is_chased_and_not_ordered() -> None:
    given = answers()
    found = given.ask(decision, line_of(given, "CABB"), 80, FEW)
    assert found is not None
    assert not found.to_order
    assert found.by is None
    assert found.wait is None
    assert found.chase is not None
    assert found.chase.saved.value < found.chase.days.value  # the promise itself is too late
    first = given.ask(chases, FEW)[0]
    assert (first.vendor, first.line) == ("Oskar & Rye Millwork", line_of(given, "CABB"))


def test_what_waits_for_a_measure_cannot_be_ordered() -> None:
    given = answers()
    found = given.ask(decision, line_of(given, "TOPK"), 80, FEW)
    assert found is not None
    assert not found.to_order


def test_offers_stand_among_the_answers_the_cheapest_first() -> None:
    given = answers()
    line = line_of(given, "CABB")
    offers = (Offer("expedite", 10, 350.0), Offer("substitute", 2, 9000.0))
    found = given.ask(decision, line, 80, FEW, offers)
    assert found is not None
    kinds = [a.option.kind for a in found.answers]
    assert kinds == ["expedite", "nothing", "substitute"]
    worth = dict(found.hurry)[10].money.value
    nothing = found.answers[1].money.value
    assert found.answers[0].money.value == pytest.approx(nothing - worth + 350)
    assert found.unawaited is not None
    assert found.unawaited.value <= found.answers[1].days.value
    json.dumps(found.as_json(), allow_nan=False)


def test_other_work_first_is_one_of_the_answers() -> None:
    """Its work may wait five days more, never beyond the end of the house: future by future."""
    given = answers()
    line = line_of(given, "CABB")
    found = given.ask(decision, line, 80, FEW, (Offer("resequence", 5, 120.0),))
    assert found is not None
    (other,) = (a for a in found.answers if a.option.kind == "resequence")
    ahead, way = given.ask(futures, FEW), given.ask(whole).ways[line]
    work = float(given.ask(whole).network[way.need].days)
    costs = []
    for n in range(FEW):
        wait = max(ahead.last[line][n], min(ahead.last[line][n] + 5, ahead.finish[n] - work))
        costs.append(max(0.0, ahead.lands[line][n] - wait))
    assert other.days.value == pytest.approx(sum(costs) / FEW)
    assert other.days.value < found.days.value
    far = given.ask(decision, line, 80, FEW, (Offer("resequence", 400, 0.0),))
    assert far is not None
    assert far.unawaited is not None
    (most,) = (a for a in far.answers if a.option.kind == "resequence")
    assert most.days.value == pytest.approx(far.unawaited.value)


def test_what_is_here_has_no_decision_and_nonsense_is_refused() -> None:
    given = answers()
    assert given.ask(decision, "L217", 80, FEW) is None
    with pytest.raises(DecisionError, match="use 1 to 99"):
        given.ask(decision, line_of(given, "RANGE"), 100, FEW)


def test_without_a_cost_of_a_day_there_are_days_and_no_money() -> None:
    state = answers().facts
    house = state.get(House, "house").model_copy(update={"cost_per_day": None})
    given = answers(house)
    found = given.ask(decision, line_of(given, "RANGE"), 80, FEW)
    assert found is not None
    told = found.as_json()
    assert told["wait_a_week"]["money"] is None
    assert told["wait_a_week"]["days"]["mean"] > 0


def test_before_the_site_starts_a_lead_begins_today() -> None:
    """A long lead may be under way before day 0: 80 days from day -20 are over on day 60."""
    early = date(2027, 1, 18) - timedelta(weeks=4)
    given = answers(as_of=early)
    found = given.ask(whole)
    line = line_of(given, "RANGE")
    make = f"{line}:make"
    run = given.ask(whole_passes)
    assert found.network[make].days == 80
    assert (run[make].early_start, run[make].early_finish) == (-20, 60)


def test_kept_answers_compare_after_a_change() -> None:
    """What was decided is asked again after another fact has changed, and equals a fresh answer."""
    given = answers()
    line = line_of(given, "CABB")
    offers = (Offer("expedite", 10, 350.0),)
    before = given.ask(decision, line, 80, FEW, offers)
    house = given.facts.get(House, "house").model_copy(update={"cost_per_day": 400})
    later = given.supposing([Change("house", "house", given.facts.get(House, "house"), house)])
    after = later.ask(decision, line, 80, FEW, offers)
    assert after is not None
    assert after != before
    assert after == answers(house).ask(decision, line, 80, FEW, offers)
    assert later.ask(futures, FEW) == answers(house).ask(futures, FEW)
    assert given.ask(futures, FEW) != given.ask(futures, FEW + 1)
