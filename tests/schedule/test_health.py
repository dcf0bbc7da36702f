"""Each health check finds its planted fault, says what to do, and is silent on sound networks."""

from __future__ import annotations

from datetime import date

from tests.schedule.random_networks import network

from roomwright.days import Calendar
from roomwright.schedule import Activity, Finding, Link, Network, Progress, examine, health, passes

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
