"""Promises, holds, paths one by one, and the days of crews with calendars of their own."""

from __future__ import annotations

from datetime import date
from itertools import pairwise

import pytest
from tests.schedule.random_networks import HOUSE, network

from roomwright.days import Calendar, closings
from roomwright.days.rota import Rota
from roomwright.schedule import (
    Activity,
    Constraint,
    Driver,
    Link,
    Network,
    Path,
    Progress,
    health,
    out_of_sequence,
    passes,
    paths,
)

MONDAY = date(2027, 3, 1)
PLAIN = Calendar(MONDAY)
FORK = Network(
    [Activity(i, d) for i, d in {"A": 3, "B": 2, "C": 4, "D": 1}.items()],
    [Link("A", "B"), Link("A", "C", lag_days=1, reason="dry"), Link("B", "D"), Link("C", "D")],
)


def march(day: int) -> date:
    return date(2027, 3, day)


def test_promise_float_counts_to_the_nearest_promise_that_is_reached() -> None:
    found = passes(FORK, PLAIN, promises={"B": march(4), "D": march(12)})
    spare = {i: d.promise_float for i, d in found.dates.items()}
    # B ends on Mar 5, a day over; D ends Mar 11, a day before its own promise.
    assert spare == {"A": -1, "B": -1, "C": 1, "D": 1}
    assert found.promise_float == -1
    assert {i: d.total_float for i, d in found.dates.items()} == {"A": 0, "B": 3, "C": 0, "D": 0}
    none = passes(FORK, PLAIN)
    assert none.promise_float is None
    tail = passes(FORK, PLAIN, promises={"A": march(10)})
    assert {i: d.promise_float for i, d in tail.dates.items()} == {
        "A": 5, "B": None, "C": None, "D": None,
    }  # fmt: skip


@pytest.mark.parametrize("seed", range(60))
def test_promise_float_of_the_last_equals_total_float_against_that_day(seed: int) -> None:
    """Promising everything for one day is the pass against that day, whatever the calendars."""
    net = network(7000 + seed, size=(2, 14), elapsed=seed % 3 == 0, crews=seed % 2 == 1, longest=4)
    day = date(2027, 2, 5)
    one = passes(net, HOUSE, promised=day)
    all_ = passes(net, HOUSE, promises={a.id: day for a in net})
    for id, found in all_.dates.items():
        assert found.promise_float == one[id].total_float


def test_a_hold_on_what_has_begun_and_on_what_has_not() -> None:
    told = {"A": Progress(MONDAY, None, 2, resumes=march(8))}
    found = passes(FORK, PLAIN, march(3), told, not_before={"B": 12})
    assert found.last_day("A") == march(9)
    assert found["B"].early_start == 12
    assert found["C"].drivers == (Driver("A", "finish to start", 1.0, "working"),)
    assert found["B"].drivers == ()  # its day holds it, no link
    own = Network([Activity("A", 3, calendar=Calendar(MONDAY, frozenset(range(6))))], [])
    later = passes(own, PLAIN, march(3), {"A": Progress(MONDAY, None, 2, resumes=march(13))})
    assert later.last_day("A") == march(15)  # Saturday and Monday


def test_a_crew_that_works_saturdays_shows_its_own_days() -> None:
    six = Calendar(MONDAY, frozenset(range(6)), frozenset({march(3)}))
    net = Network([Activity("A", 5, calendar=six), Activity("B", 1)], [Link("A", "B")])
    found = passes(net, PLAIN)
    assert (found.start_date("A"), found.last_day("A")) == (march(1), march(6))
    assert found.start_date("B") == march(8)
    assert found.last_safe_start("A") == march(1)
    assert found.last_safe_end("A") == march(6)
    alone = passes(Network([Activity("A", 5, calendar=six)], []), PLAIN)
    assert alone.finish == march(6)


def test_half_days_of_the_house_and_of_a_crew() -> None:
    house = Rota(mornings=closings("2027-03-03")).calendar(MONDAY)
    found = passes(Network([Activity("A", 3), Activity("B", 1)], [Link("A", "B")]), house)
    assert (found["A"].early_finish, found["B"].early_start) == (3, 3)
    assert found.last_day("A") == march(4)  # until noon
    assert (found.start_date("B"), found.last_day("B")) == (march(4), march(5))
    assert found.working_days == 4
    crew = Calendar(MONDAY, half_week=frozenset({2, 5}))
    mixed = Network([Activity("A", 3, calendar=crew), Activity("B", 1)], [Link("A", "B")])
    there = passes(mixed, PLAIN)
    assert there.last_day("A") == march(4)
    assert there["A"].early_finish == 3.5
    assert (there.start_date("B"), there.last_day("B")) == (march(4), march(5))


def test_all_critical_paths_and_the_near_ones() -> None:
    net = Network(
        [Activity(i, d) for i, d in {"A": 3, "B": 4, "C": 4, "D": 2, "E": 8}.items()],
        [
            Link("A", "B"),
            Link("A", "C"),
            Link("B", "D"),
            Link("C", "D"),
            Link("A", "D", lag_days=1),
        ],
    )
    found, more = paths(net, PLAIN, within=3)
    assert found == (
        Path(("A", "B", "D"), 0), Path(("A", "C", "D"), 0), Path(("E",), 1), Path(("A", "D"), 3),
    )  # fmt: skip
    assert not more
    assert paths(net, PLAIN)[0] == found[:2]
    assert paths(net, PLAIN, within=3, most=2) == (found[:2], True)


def test_a_path_begins_with_what_can_be_done_now() -> None:
    told = {"A": Progress(MONDAY, march(3)), "B": Progress(march(4), None, 9)}
    found, _ = paths(FORK, PLAIN, march(5), told, within=9)
    assert found == (Path(("B", "D"), 0), Path(("C", "D"), 5))
    held, _ = paths(FORK, PLAIN, not_before={"C": 20}, within=0)
    assert held == (Path(("C", "D"), 0),)


def test_ten_doublings_are_a_thousand_paths_and_few_are_listed() -> None:
    activities, links = [Activity("N0", 1)], []
    for n in range(10):
        activities += [Activity(f"L{n}", 1), Activity(f"R{n}", 1), Activity(f"N{n + 1}", 1)]
        for side in "LR":
            links += [Link(f"N{n}", f"{side}{n}"), Link(f"{side}{n}", f"N{n + 1}")]
    found, more = paths(Network(activities, links), PLAIN)
    assert len(found) == 20
    assert more
    assert len(set(found)) == 20


def slack_of(net: Network, chain: tuple[str, ...], finish: float) -> float:
    """Length of a chain by its tightest links, and what that leaves to the end."""
    start = 0.0
    for one, other in pairwise(chain):
        best = None
        for link in net.links:
            if (link.before, link.after) == (one, other):
                d, lag = float(net[one].days), float(link.lag_days)
                d_after = float(net[other].days)
                w = {"finish to start": d + lag, "start to start": lag,
                     "finish to finish": d + lag - d_after, "start to finish": lag - d_after}[
                    link.kind
                ]  # fmt: skip
                best = w if best is None else max(best, w)
        start += best
    return finish - start - float(net[chain[-1]].days)


@pytest.mark.parametrize("seed", range(60))
def test_paths_equal_every_chain_tried_one_by_one(seed: int) -> None:
    net = network(8000 + seed, size=(3, 9))
    found = passes(net, HOUSE)
    within = 4
    listed, more = paths(net, HOUSE, within=within, most=500)
    assert not more
    for path in listed:
        assert slack_of(net, path.activities, found.working_days) == path.slack <= within
    on_paths = {i for path in listed for i in path.activities}
    for id, one in found.dates.items():
        if id in on_paths:
            assert one.total_float <= within
    tight = {i for path in listed if path.slack == 0 for i in path.activities}
    assert tight <= set(found.critical)
    assert tight == set(found.critical)


def test_out_of_sequence_is_listed_and_nothing_is_re_ordered() -> None:
    told = {"A": Progress(MONDAY, None, 4), "C": Progress(march(2), None, 1)}
    (one,) = out_of_sequence(FORK, PLAIN, told)
    assert (one.before, one.after, one.kind) == ("A", "C", "finish to start")
    found = passes(FORK, PLAIN, march(3), told)
    assert found["C"].early_finish == 3  # goes on, though A is not done
    assert found["B"].early_start == 6


def of(check: str, net: Network, constraints: dict[str, Constraint], **told):
    return [f for f in health(net, PLAIN, constraints=constraints, **told) if f.check == check]


def test_health_of_dates() -> None:
    net = Network(
        [*FORK.activities, Activity("M", 0, "Range on site")], [*FORK.links, Link("M", "D")]
    )
    (delivery,) = of("date for a delivery", net, {"M": Constraint(not_before=march(3))})
    assert delivery.activities == ("M",)
    assert not of("date for a delivery", net, {"A": Constraint(not_before=march(3))})
    (reason,) = of("date without reason", net, {"A": Constraint(not_before=march(3))})
    assert "may not start before Mar 3" in reason.text
    assert not of("date without reason", net, {"A": Constraint(march(3), reason="the mason")})
    (many,) = of("many dates", net, {i: Constraint(march(3), reason="x") for i in "AB"})
    assert many.activities == ("A", "B")


def test_health_of_holds() -> None:
    (open_,) = of("open hold", FORK, {"B": Constraint(hold="notice of the inspector")})
    assert open_.text == (
        "B is on hold (notice of the inspector), and nobody knows until when: the dates are as if "
        "it went on Mar 1. It has 3 days to spare."
    )
    held = {"B": Constraint(hold="notice", hold_until=march(9))}
    assert not of("open hold", FORK, held)
    assert not of("hold over", FORK, held)
    assert of("hold over", FORK, held, as_of=march(9))[0].activities == ("B",)
    done = {"A": Progress(MONDAY, march(3)), "B": Progress(march(4), march(5))}
    assert not of("open hold", FORK, {"B": Constraint(hold="x")}, as_of=march(8), progress=done)


def test_health_of_promises() -> None:
    promised = {"D": Constraint(promised_by=march(9))}
    (broken,) = of("promise broken", FORK, promised)
    assert broken.activities == ("A", "C", "D")
    assert (
        "is promised by Mar 9 and ends Mar 11, 2 days over. What holds it: A > C > D."
        in broken.text
    )
    (index,) = of("length index", FORK, promised)
    assert "an index of 0.78" in index.text
    assert not of("promise broken", FORK, {"D": Constraint(promised_by=march(11))})


def test_high_float_merge_and_shares() -> None:
    net = Network(
        [Activity("A", 20), Activity("B", 1), Activity("C", 1)], [Link("B", "C"), Link("A", "C")]
    )
    (high,) = of("high float", net, {})
    assert high.activities == ("B",)
    wide = Network(
        [Activity(f"N{i}", 1) for i in range(7)], [Link(f"N{i}", "N6") for i in range(6)]
    )
    (merge,) = of("merge point", wide, {})
    assert merge.activities[0] == "N6"
    chain = [Link(f"N{i}", f"N{i + 1}", "start to start", 1, reason="x") for i in range(24)]
    long = Network([Activity(f"N{i}", 2) for i in range(25)], chain)
    assert len(of("kinds of link", long, {})[0].activities) == 25
    assert of("many lags", long, {})


def test_the_path_test_finds_what_does_not_hang_on_the_links() -> None:
    """Lengthening what is critical by its finish tie alone makes the whole no longer [reverse]."""
    net = Network(
        [Activity("A", 5), Activity("B", 4), Activity("C", 3)],
        [Link("A", "B", "finish to finish", 1), Link("B", "C", "start to start", 6)],
    )
    assert passes(net, PLAIN)["B"].critical
    (found,) = of("path test", net, {})
    assert found.activities == ("B",)
    assert "the end would come 1 day sooner" in found.text
    held = Network([Activity("A", 1), Activity("B", 1)], [Link("A", "B")])
    date_holds = {"B": Constraint(not_before=march(31), reason="the owner is away")}
    assert of("path test", held, date_holds) == []  # B moves the end, and A is not critical
