"""Each health check finds its planted fault, says what to do, and is silent on sound networks."""

from __future__ import annotations

from datetime import date

import pytest
from tests.schedule.random_networks import network

from roomwright.days import Calendar
from roomwright.schedule import (
    Activity,
    Finding,
    Link,
    Network,
    Progress,
    examine,
    health,
    health_dates,
    passes,
)
from roomwright.schedule import network as schedule_network
from roomwright.schedule.health_dates import Constraint
from roomwright.schedule.network import cycles

MONDAY = date(2027, 3, 1)
HOUSE = Calendar(MONDAY)
ACTIVITIES = [
    Activity("go", 0, "Board on site"),
    Activity("A", 3, "Hang"),
    Activity("B", 2, "Tape"),
    Activity("in", 0, "Move in"),
]
GONE = {"go": Progress(MONDAY, MONDAY)}
LINKS = [Link("go", "A"), Link("A", "B"), Link("B", "in")]


def of(check: str, activities=ACTIVITIES, links=LINKS, **told) -> list[Finding]:
    return [f for f in examine(activities, links, HOUSE, **told) if f.check == check]


def test_a_sound_network_has_no_findings() -> None:
    assert examine(ACTIVITIES, LINKS, HOUSE) == ()


def test_broken_networks_are_findings_too() -> None:
    assert of("cycle", links=[*LINKS, Link("B", "A")])[0].activities == ("A", "B")
    assert "no activity 'X'" in of("reference", links=[*LINKS, Link("B", "X")])[0].text


def test_missing_logic_names_all_but_the_one_beginning_and_the_one_end() -> None:
    found = of("missing logic", activities=[*ACTIVITIES, Activity("C", 1, "Mirror")])
    assert [f.activities for f in found] == [("C",), ("C",)]
    assert "C Mirror starts without waiting" in found[0].text
    assert "C Mirror ends without" in found[1].text


def test_dangling_ends() -> None:
    links = [Link("go", "A", "finish to finish"), Link("A", "B", "start to start"), LINKS[2]]
    (start,) = of("dangling start", links=links)
    (finish,) = of("dangling finish", links=links)
    assert start.activities == finish.activities == ("A",)


def test_leads_lags_and_start_to_finish() -> None:
    links = [
        LINKS[0],
        Link("A", "B", lag_days=-1.5),
        Link("B", "in", "start to finish", 2),
        Link("A", "in", lag_days=1, reason="curing"),
    ]
    assert "by 1 1/2 days" in of("lead", links=links)[0].text
    assert [f.activities for f in of("lag without reason", links=links)] == [("B", "in")]
    assert of("start to finish", links=links)[0].activities == ("B", "in")


def test_redundant_link_names_the_way_round() -> None:
    (found,) = of("redundant link", links=[*LINKS, Link("go", "B")])
    assert found.activities == ("go", "B")
    assert "by way of A Hang" in found.text
    assert of("redundant link", links=[*LINKS, Link("go", "B", lag_days=3, reason="dry")])
    assert not of("redundant link", links=[*LINKS, Link("go", "B", lag_days=3.5, reason="dry")])


def test_taking_a_redundant_link_out_changes_no_date() -> None:
    seen = 0
    for seed in range(60):
        net = network(seed, size=(8, 30), kinds=("finish to start",))
        base = passes(net, HOUSE)
        for finding in health(net, HOUSE):
            if finding.check != "redundant link":
                continue
            seen += 1
            rest = [
                k
                for k in net.links
                if (k.before, k.after) != finding.activities or k.kind != "finish to start"
            ]
            assert passes(Network(net.activities, rest), HOUSE).working_days == base.working_days
    assert seen > 20


@pytest.mark.parametrize("seed", range(80))
def test_nor_where_crews_have_days_of_their_own(seed: int) -> None:
    """Every date stays, by the passes, when one link after another is taken out."""
    net = network(seed, size=(8, 20), kinds=("finish to start",), crews=True)
    base = passes(net, HOUSE)
    redundant = {f.activities for f in health(net, HOUSE) if f.check == "redundant link"}
    for link in net.links:
        if (link.before, link.after) not in redundant:
            continue
        direct = [k for k in net.links if (k.before, k.after) == (link.before, link.after)]
        rest = Network(net.activities, [k for k in net.links if k not in direct])
        after = passes(rest, HOUSE)
        assert {i: (d.early_start, d.early_finish) for i, d in after.dates.items()} == {
            i: (d.early_start, d.early_finish) for i, d in base.dates.items()
        }


def test_a_wait_for_drying_is_not_made_up_for_by_a_weekend() -> None:
    """B works Saturday to Monday: C is held by the 3 days of drying, Mar 8 to 10."""
    seven = Calendar(MONDAY, frozenset(range(7)))
    works = [Activity("A", 5), Activity("B", 3, calendar=seven), Activity("C", 1)]
    links = [Link("A", "B"), Link("B", "C"), Link("A", "C", lag_days=3, reason="dry")]
    assert not of("redundant link", works, links)
    assert passes(Network(works, links), HOUSE).start_date("C") == date(2027, 3, 11)
    assert passes(Network(works, links[:2]), HOUSE).start_date("C") == date(2027, 3, 9)
    plain = [*links[:2], Link("A", "C")]  # with nothing to wait for, the way round is enough
    assert [f.activities for f in of("redundant link", works, plain)] == [("A", "C")]


@pytest.mark.parametrize("seed", range(40))
def test_the_path_test_is_a_plain_trial_of_each_critical_activity(seed: int) -> None:
    net = network(seed, size=(6, 16), elapsed=seed % 2 == 1, crews=seed % 4 > 1)
    held = {a.id: Constraint(not_before=HOUSE.date(4 * n)) for n, a in enumerate(net) if n % 5 == 2}
    before = {id: HOUSE.number(c.not_before) for id, c in held.items()}
    base = passes(net, HOUSE, not_before=before)

    def end(id: str, more: int) -> float:
        longer = net.lasting({id: net[id].days + more})
        return passes(longer, HOUSE, not_before=before).working_days - base.working_days

    wanted = {
        id for id in base.critical
        if net[id].days and net[id].calendar is None and (end(id, 1) < 0 or end(id, 100) < 90)
    }  # fmt: skip
    found = health(net, HOUSE, constraints=held)
    assert {f.activities[0] for f in found if f.check == "path test"} == wanted


def test_the_path_test_tries_only_what_may_not_move_the_end(monkeypatch) -> None:
    tried = []
    run_of = health_dates.run_of
    monkeypatch.setattr(health_dates, "run_of", lambda *a: tried.append(1) or run_of(*a))
    ids = [f"A{n}" for n in range(60)]
    links = [*map(Link, ids, ids[1:]), Link("A0", "A1", "start to start")]
    assert not of("path test", [Activity(id, 1) for id in ids], links)
    assert len(tried) < 5


def test_rings_are_looked_for_only_where_there_are_some(monkeypatch) -> None:
    asked = []
    look = schedule_network._ring_through
    monkeypatch.setattr(
        schedule_network, "_ring_through", lambda s, *a: asked.append(s) or look(s, *a)
    )
    chain = [(f"A{n}", f"A{n + 1}") for n in range(200)]
    assert cycles([*chain, ("X", "Y"), ("Y", "X"), ("Y", "A7"), ("Z", "Z")]) == [("X", "Y"), ("Z",)]
    assert len(asked) == 2


def test_long_activity() -> None:
    (found,) = of("long activity", activities=[*ACTIVITIES[:2], Activity("B", 15), ACTIVITIES[3]])
    assert "15 days" in found.text
    assert found.weight == "note"


def test_progress_out_of_sequence() -> None:
    told = GONE | {"A": Progress(MONDAY, None, 1), "B": Progress(date(2027, 3, 2))}
    (found,) = of("out of sequence", as_of=date(2027, 3, 3), progress=told)
    assert found.text == "B Tape started Mar 2, but A Hang has not finished."
    done = GONE | {
        "A": Progress(MONDAY, date(2027, 3, 3)),
        "B": Progress(date(2027, 3, 3), None, 1),
    }
    (found,) = of("out of sequence", as_of=date(2027, 3, 4), progress=done)
    assert found.text == "B Tape started Mar 3, but A Hang finished Mar 3."
    kept = GONE | {
        "A": Progress(MONDAY, date(2027, 3, 3)),
        "B": Progress(date(2027, 3, 4), None, 1),
    }
    assert not of("out of sequence", as_of=date(2027, 3, 4), progress=kept)


def test_a_drying_time_that_was_cut_short_is_out_of_sequence() -> None:
    links = [LINKS[0], Link("A", "B", lag_days=2, reason="drying"), LINKS[2]]
    told = GONE | {
        "A": Progress(MONDAY, date(2027, 3, 3)),
        "B": Progress(date(2027, 3, 5), None, 1),
    }
    (found,) = of("out of sequence", links=links, as_of=date(2027, 3, 5), progress=told)
    assert found.text.endswith("finished Mar 3 and 2 days to wait.")
    elapsed = [LINKS[0], Link("A", "B", lag_days=1, lag_counts="elapsed"), LINKS[2]]
    assert not of("out of sequence", links=elapsed, as_of=date(2027, 3, 5), progress=told)


def test_records_ahead_of_time_and_days_left_unknown() -> None:
    told = GONE | {"A": Progress(MONDAY, date(2027, 3, 9)), "B": Progress(date(2027, 3, 10))}
    ahead = of("date ahead", as_of=date(2027, 3, 5), progress=told)
    assert [f.activities for f in ahead] == [("A",), ("B",)]
    assert of("days left unknown", as_of=date(2027, 3, 10), progress=told)[0].activities == ("B",)


def test_the_weighty_come_first() -> None:
    told = GONE | {"A": Progress(MONDAY, date(2027, 3, 9))}
    found = examine(ACTIVITIES, [*LINKS, Link("go", "B")], HOUSE, date(2027, 3, 5), told)
    assert [f.weight for f in found] == ["wrong", "note"]


def test_work_done_against_work_due() -> None:
    """Twenty works of a day each, one after another: by day 20 all twenty are due."""
    row = Network(
        [Activity(f"A{i:02}", 1) for i in range(25)],
        [Link(f"A{i:02}", f"A{i + 1:02}") for i in range(24)],
    )
    now = HOUSE.date(20)

    def told(done: int) -> list[Finding]:
        days = {f"A{i:02}": Progress(HOUSE.date(i), HOUSE.date(i)) for i in range(done)}
        return [f for f in health(row, HOUSE, now, days) if f.check == "work done"]

    assert told(20) == told(19) == []  # 19 of 20 is 0.95
    (found,) = told(18)
    assert found.activities == ("A18", "A19")
    assert "18 activities are done of 20 that would be by" in found.text
