"""The simulation against a loop over single passes, itself without compiled code, and itself."""

from __future__ import annotations

import subprocess
import sys
import threading
from datetime import date

import numpy as np
import pytest
from tests.chances.houses import FACTORS, house
from tests.chances.one_by_one import lasting, one_pass
from tests.schedule.random_networks import HOUSE

from roomwright.chances import (
    ChancesError,
    Factor,
    Prepared,
    Spread,
    Stopped,
    Uncertain,
    quick_pass,
    simulate,
    warm,
    without,
)
from roomwright.days import Calendar, HorizonError
from roomwright.schedule import Activity, Link, Network, NetworkError, Progress, passes

MONDAY = Calendar(date(2027, 3, 1))


@pytest.mark.parametrize("seed", range(120))
def test_the_quick_pass_is_the_pass(seed: int) -> None:
    case = house(seed)
    want = passes(case.network, HOUSE, case.as_of, case.progress, not_before=case.not_before)
    ready = Prepared(case.network, HOUSE, case.as_of, case.progress, not_before=case.not_before)
    for compiled in (True, False):
        found = quick_pass(ready, compiled=compiled)
        assert found.finish == want.working_days
        for a in case.network:
            one = want[a.id]
            assert found.early(a.id) == (one.early_start, one.early_finish), a.id
            if one.state != "done":
                assert found.late(a.id) == (one.late_start, one.late_finish), a.id
                assert found.total_float(a.id) == one.total_float, a.id


@pytest.mark.parametrize("seed", range(48))
def test_each_sample_equals_a_pass_of_its_own(seed: int) -> None:
    case, count = house(seed, (3, 25)), 12
    ids = [a.id for a in case.network]
    found = simulate(
        case.network, case.uncertain, FACTORS, samples=count, per_day=2, late=ids, **case.settings
    )
    given = {"as_of": case.as_of, "told": case.progress}
    critical, ends, days = dict.fromkeys(ids, 0), [], []
    for sample in range(count):
        left = lasting(case.network, HOUSE, case.uncertain, FACTORS, sample, seed=2027, **given)
        want = one_pass(case.network, HOUSE, left, not_before=case.not_before, **given)
        assert found.finishes[sample] == want.working_days
        for id in ids:
            start, finish = found.of.samples(id)
            one = want[id]
            assert (start[sample], finish[sample]) == (one.early_start, one.early_finish), id
            if one.state != "done":
                last, end = found.late.samples(id)
                assert (last[sample], end[sample]) == (one.late_start, one.late_finish), id
            critical[id] += one.total_float <= 0 and one.state != "done"
        ends.append(want.working_days)
        days.append(left)
    assert found.criticality == {i: c / count for i, c in critical.items()}
    for id, got in found.cruciality.items():
        own = [d[id] for d in days]
        if np.std(own) > 0 and np.std(ends) > 0:
            assert got == pytest.approx(abs(np.corrcoef(own, ends)[0, 1])), id
        else:
            assert got == 0


@pytest.mark.parametrize("per_day", [2, 64])
@pytest.mark.parametrize("seed", range(40))
def test_days_caused_equal_the_same_luck_without_lateness(seed: int, per_day: int) -> None:
    case = house(seed)
    given = {"samples": 200, "per_day": per_day, **case.settings}
    found = simulate(case.network, case.uncertain, FACTORS, **given)
    for id in list(found.expected_days)[:8]:
        held = without(id, case.network, case.uncertain, FACTORS, **given)
        gained = found.finishes - held.finishes
        assert found.expected_days[id] == pytest.approx(gained.mean(), abs=1e-12), id
        se = gained.std() / np.sqrt(len(gained))
        assert found.expected_days_se[id] == pytest.approx(se, abs=1e-9), id


@pytest.mark.parametrize("seed", range(12))
def test_days_caused_by_a_group(seed: int) -> None:
    case = house(seed)
    ids = [u.activity for u in case.uncertain][:4]
    given = {"samples": 200, **case.settings}
    found = simulate(case.network, case.uncertain, FACTORS, causes={"the order": ids}, **given)
    held = without(ids, case.network, case.uncertain, FACTORS, **given)
    assert list(found.expected_days) == ["the order"]
    gained = (found.finishes - held.finishes).mean()
    assert found.expected_days["the order"] == pytest.approx(gained, abs=1e-12)


@pytest.mark.parametrize("seed", range(16))
def test_without_compiled_code_the_numbers_are_the_same(seed: int) -> None:
    case = house(seed)
    one, other = (
        simulate(
            case.network, case.uncertain, FACTORS, samples=1500, compiled=c,
            late=[a.id for a in case.network], **case.settings,
        )
        for c in (True, False)
    )  # fmt: skip
    assert np.array_equal(one.finishes, other.finishes)
    assert one.finish == other.finish
    assert one.criticality == other.criticality
    assert one.cruciality == other.cruciality
    assert one.expected_days == other.expected_days
    assert one.expected_days_se == other.expected_days_se
    assert dict(one.of) == dict(other.of)
    assert dict(one.late) == dict(other.late)


def test_without_numba_it_still_answers() -> None:
    code = """
import sys
from datetime import date

sys.modules["numba"] = None
from roomwright.chances import *
from roomwright.days import Calendar
from roomwright.schedule import Activity, Network

days = Spread("triangular", 2, 3, 5)
wall = Network([Activity("A", 3)])
assert warm()
print(simulate(wall, [Uncertain("A", days)], calendar=Calendar(date(2027, 3, 1))).finish.p80)
"""
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    here = simulate(
        Network([Activity("A", 3)]),
        [Uncertain("A", Spread("triangular", 2, 3, 5))],
        calendar=MONDAY,
    )
    assert float(done.stdout) == here.finish.p80


def test_numba_stays_away_until_it_is_used() -> None:
    code = "import sys, roomwright.chances; sys.exit('numba' in sys.modules)"
    assert subprocess.run([sys.executable, "-c", code], check=False).returncode == 0


def test_another_activity_changes_no_numbers() -> None:
    spread = Spread("triangular", 2, 4, 9)
    ids = [f"N{i}" for i in range(6)]
    few = simulate(
        Network([Activity(i, 4) for i in ids[:5]]),
        [Uncertain(i, spread, ("f",)) for i in ids[:5]],
        [Factor("f", 0.2)],
        calendar=MONDAY,
    )
    more = simulate(
        Network([Activity(i, 4) for i in reversed(ids)]),
        [Uncertain(i, spread, ("g", "f")[i != "N5" :]) for i in reversed(ids)],
        [Factor("g", 0.3), Factor("f", 0.2)],
        calendar=MONDAY,
    )
    for id in ids[:5]:
        assert np.array_equal(few.of.samples(id)[1], more.of.samples(id)[1])


def test_fewer_samples_are_the_first_of_more() -> None:
    case = house(7)
    few = simulate(case.network, case.uncertain, FACTORS, samples=1000, **case.settings)
    more = simulate(case.network, case.uncertain, FACTORS, samples=5000, **case.settings)
    assert np.array_equal(few.finishes, more.finishes[:1000])
    other = simulate(case.network, case.uncertain, FACTORS, samples=1000, seed=1, **case.settings)
    assert not np.array_equal(few.finishes, other.finishes)


def test_the_same_luck_is_the_same_days() -> None:
    net = Network([Activity("sink", 4), Activity("range", 4), Activity("tub", 4)])
    spread = Spread("pert", 2, 4, 9)
    found = simulate(
        net,
        [Uncertain("sink", spread, luck="truck"), Uncertain("range", spread, luck="truck"),
         Uncertain("tub", spread)],
        calendar=MONDAY,
    )  # fmt: skip
    sink, oven, tub = (found.of.samples(i)[1] for i in ("sink", "range", "tub"))
    assert np.array_equal(sink, oven)
    assert abs(np.corrcoef(sink, tub)[0, 1]) < 4 / np.sqrt(10_000)


def test_the_plain_end_is_that_of_the_passes() -> None:
    for seed in range(24):
        case = house(seed)
        found = simulate(case.network, case.uncertain, FACTORS, samples=10, **case.settings)
        want = passes(case.network, HOUSE, case.as_of, case.progress, not_before=case.not_before)
        assert found.deterministic == want.working_days
        assert found.bias == found.finish.p50 - found.deterministic


def test_work_that_goes_on_takes_only_days_that_are_still_possible() -> None:
    net = Network([Activity("tile", 4)])
    spread = Spread("triangular", 2, 4, 10)
    found = simulate(
        net,
        [Uncertain("tile", spread)],
        calendar=MONDAY,
        as_of=date(2027, 3, 8),
        progress={"tile": Progress(date(2027, 3, 1))},
    )
    assert found.finishes.min() >= 5.5
    beyond = 1 - spread.chance_within(5)
    want = spread.quantile(1 - beyond / 2)  # the middle of what lies above five days
    assert abs(found.finish.p50 - want) < 4 * found.finish.p50_se + 1 / 64


def test_days_left_are_spread_in_proportion() -> None:
    found = simulate(
        Network([Activity("tile", 4)]),
        [Uncertain("tile", Spread("triangular", 2, 4, 10))],
        calendar=MONDAY,
        as_of=date(2027, 3, 8),
        progress={"tile": Progress(date(2027, 3, 1), None, 2)},
    )
    assert found.deterministic == 7
    assert found.finish.mean == pytest.approx(5 + (2 + 4 + 10) / 3 / 2, abs=0.05)


def test_it_tells_how_far_it_is_and_can_be_stopped() -> None:
    case = house(3)
    heard: list[float] = []
    simulate(case.network, case.uncertain, FACTORS, report=heard.append, **case.settings)
    assert heard == sorted(heard)
    assert heard[-1] == 1
    for compiled in (True, False):
        with pytest.raises(Stopped):
            simulate(
                case.network, case.uncertain, FACTORS, stop=lambda: True, compiled=compiled,
                **case.settings,
            )  # fmt: skip


def test_several_may_ask_at_once() -> None:
    case, found = house(5), []

    def ask() -> None:
        found.append(simulate(case.network, case.uncertain, FACTORS, **case.settings))

    threads = [threading.Thread(target=ask) for _ in range(4)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert len(found) == 4
    assert all(np.array_equal(found[0].finishes, f.finishes) for f in found)
    assert all(found[0].expected_days == f.expected_days for f in found)


def test_warming_may_be_stopped_between_stages() -> None:
    asked = []

    def stop() -> bool:
        asked.append(True)
        return len(asked) == 3

    assert not warm(stop)
    assert len(asked) == 3
    assert warm()


def test_nothing_to_do_and_nothing_uncertain() -> None:
    for compiled in (True, False):
        empty = simulate(Network([]), [], calendar=MONDAY, samples=50, compiled=compiled)
        assert (empty.finish.p50, empty.deterministic, dict(empty.of)) == (0, 0, {})
        sure = simulate(Network([Activity("A", 2.5)]), [], calendar=MONDAY, compiled=compiled)
        assert (sure.finish.p10, sure.finish.sd, sure.bias) == (2.5, 0, 0)
        assert sure.criticality == {"A": 1}
        assert sure.of["A"].finish.p90_se == 0


def test_only_the_watched_are_kept() -> None:
    case = house(5)
    id = case.network.activities[0].id
    found = simulate(case.network, case.uncertain, FACTORS, watch=[id], **case.settings)
    whole = simulate(case.network, case.uncertain, FACTORS, **case.settings)
    assert list(found.of) == [id]
    assert found.of[id] == whole.of[id]
    assert len(whole.of) == len(case.network)
    with pytest.raises(KeyError):
        found.of["nothing"]


TWO = Network([Activity("A", 2), Activity("B", 3)], [Link("A", "B")])
DAYS = Spread("triangular", 1, 2, 4)


@pytest.mark.parametrize(
    ("uncertain", "factors", "settings", "words"),
    [
        ([Uncertain("C", DAYS)], [], {}, "'C', which is no activity"),
        ([Uncertain("A", DAYS)] * 2, [], {}, "two spreads are given for 'A'"),
        ([Uncertain("A", DAYS, ("x",))], [], {}, "shares 'x', which is no factor"),
        ([], [Factor("x", 0.1)] * 2, {}, "two factors are called 'x'"),
        ([], [], {"watch": ["C"]}, "no activity 'C'"),
        ([], [], {"causes": {"sink": ["A", "C"]}}, "no activity 'C'"),
        ([], [], {"perfect": ["C"]}, "no activity 'C'"),
        ([], [], {"samples": 0}, "0 samples"),
    ],
)
def test_what_contradicts_itself_is_refused(uncertain, factors, settings, words) -> None:
    with pytest.raises(ChancesError, match=words):
        simulate(TWO, uncertain, factors, calendar=MONDAY, **settings)


def test_other_refusals() -> None:
    with pytest.raises(NetworkError, match="'C', which is no activity"):
        simulate(TWO, [], calendar=MONDAY, not_before={"C": 3})
    with pytest.raises(ValueError, match="3 steps a day"):
        simulate(TWO, [], calendar=MONDAY, per_day=3)
    with pytest.raises(NetworkError, match="no activity 'C'"):
        quick_pass(TWO, MONDAY, lasting={"C": 1})
    with pytest.raises(NetworkError, match="use 0 to 2000"):
        quick_pass(TWO, MONDAY, lasting={"A": -1})
    with pytest.raises(TypeError, match="needs its calendar"):
        quick_pass(TWO)


@pytest.mark.parametrize("crew", [None, Calendar(date(2027, 3, 1), frozenset(range(6)))])
def test_years_beyond_the_calendar_are_refused(crew) -> None:
    long = [Activity(f"N{i}", 1900, calendar=crew) for i in range(4)]
    chain = Network(long, [Link(f"N{i}", f"N{i + 1}") for i in range(3)])
    wild = [Uncertain(a.id, Spread("lognormal", 100, 500, 2000), ("f",)) for a in long]
    for compiled in (True, False):
        with pytest.raises(HorizonError):
            simulate(chain, wild, [Factor("f", 2)], calendar=MONDAY, compiled=compiled)
