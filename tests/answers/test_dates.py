"""Dates of the demo house against its answer key, and dates of houses that lack things."""

from __future__ import annotations

import json
from datetime import date
from fractions import Fraction

import pytest
from tests.answers.demo_house import WRITTEN, answers, facts

from roomwright.answers import Answers
from roomwright.answers.dates import dates, health
from roomwright.answers.schedule_check import schedule_check
from roomwright.job.entities import Activity, House, Link, Progress
from roomwright.job.facts import Facts

CRITICAL = """
R010 R020 R030 R050 R060 R070 R080 R085 A010 A020 A025 A030 A035 A080 A085 A090 A095
A100 A105 A110 A115 A180 A250 A255 A265 A270 A275 A280 A375 A390 A440 A450 A455 A485 A490 A495 A505
A510 A515"""
FLOAT = """
A045 4, A050 4, A140 4, A150 4, A165 15, A175 4, A185 4, A190 1, A205 1, A240 13, A245 12,
A285 14, A300 7, A318 22, A320 22, A330 1, A340 1, A360 4, A400 6, A405 1, A410 3, A130 9
"""


def test_size_length_and_last_day() -> None:
    found = answers().ask(dates)
    assert len(found.activities) == 102
    assert len(facts().all(Link)) == 166
    assert found.working_days == 115
    assert found.finish == date(2027, 6, 28)
    board = next(a for a in found.activities if a.id == "A010")
    assert found.working_days - board.dates.early_start == 85


def test_critical() -> None:
    assert list(answers().ask(dates).critical) == CRITICAL.split()


@pytest.mark.parametrize("pair", FLOAT.split(","))
def test_total_float(pair: str) -> None:
    id, days = pair.split()
    one = next(a for a in answers().ask(dates).activities if a.id == id)
    assert one.dates.total_float == int(days)
    assert one.dates.late_start - one.dates.early_start == int(days)


@pytest.mark.parametrize(
    ("activity", "days", "slips"), [("A200", 19, 9), ("A125", 20, 0), ("A125", 25, 1)]
)
def test_a_shop_that_takes_longer(activity: str, days: int, slips: int) -> None:
    """Stone in 19 days, not 9, slips move-in by 9; glass five days late by nothing."""
    longer = facts().get(Activity, activity).model_copy(update={"days_likely": Fraction(days)})
    base, late = answers().ask(dates), answers(longer).ask(dates)
    assert late.working_days - base.working_days == slips


def test_a_day_later_with_nothing_recorded_slips_the_end_by_a_day() -> None:
    found = answers(as_of=date(2027, 3, 30)).ask(dates)
    assert found.working_days == 116
    assert found.finish == date(2027, 6, 29)


def test_recording_moves_the_dates() -> None:
    told = Progress(id="A080", started=date(2027, 3, 24), days_left=Fraction(3))
    assert answers(told).ask(dates).working_days == 117


def test_json_has_the_documented_fields() -> None:
    found = json.loads(json.dumps(answers().ask(dates).as_json()))
    assert (found["working_days"], found["finish"]) == (115, "2027-06-28")
    first = found["activities"][0]
    wanted = {"id", "early_start", "early_finish", "late_start", "late_finish"}
    assert wanted | {"total_float", "free_float", "critical"} <= set(first)
    by_id = {a["id"]: a for a in found["activities"]}
    assert by_id["A515"]["early_finish"] == 115
    assert by_id["A515"]["last_day"] == "2027-06-29"  # a milestone falls on the day after the work
    assert by_id["A510"]["last_day"] == "2027-06-28"
    assert by_id["A165"]["first_day"] == "2027-04-01"


def test_the_demo_is_healthy_but_for_notes() -> None:
    assert {f.weight for f in answers().ask(health)} == {"note"}


def test_a_kept_answer_equals_a_full_recompute() -> None:
    kept = answers()
    kept.ask(dates)
    told = Progress(id="A080", started=date(2027, 3, 24), finished=date(2027, 4, 1))
    changed = answers(told)
    moved = kept.moved(changed.facts, as_of=date(2027, 4, 2))
    assert moved.ask(dates) == answers(told, as_of=date(2027, 4, 2)).ask(dates)


def house(*more: object, **told: object) -> Answers:
    start = House(name="A", site_start=date(2027, 3, 1), **told)
    return Answers(Facts([start, *more]), as_of=WRITTEN)  # type: ignore[list-item]


def test_a_house_without_activities() -> None:
    found = house().ask(dates)
    assert (found.finish, found.activities, found.critical) == (None, (), ())
    assert found.as_json()["finish"] is None


def test_days_left_of_work_that_nobody_began_are_not_used() -> None:
    found = house(
        Activity(id="A", days_likely=Fraction(4)), Progress(id="A", days_left=Fraction(1))
    ).ask(dates)
    assert found.activities[0].dates.state == "to do"
    assert found.working_days == 24


def test_other_work_weeks_and_half_days() -> None:
    six = House(name="A", site_start=date(2027, 3, 1), work_week=("mon", "tue", "sat"))
    found = Answers(
        Facts([six, Activity(id="A", days_likely=Fraction(7, 2))]), as_of=date(2027, 3, 1)
    ).ask(dates)
    assert found.working_days == 3.5
    assert found.finish == date(2027, 3, 8)
    assert found.as_json()["activities"][0]["early_finish"] == 3.5


def test_dates_and_holds_of_activities() -> None:
    """A date holds what has not begun, a hold what has; a promise is kept or broken."""
    found = house(
        Activity(id="A", days_likely=Fraction(2), not_before=date(2027, 4, 1)),
        Activity(id="B", days_likely=Fraction(3), hold="a notice", hold_until=date(2027, 4, 6)),
        Activity(id="C", days_likely=Fraction(1), promised_by=date(2027, 4, 7)),
        Progress(id="B", started=date(2027, 3, 22), days_left=Fraction(2)),
        Link(id="B > C", before="B", after="C", lag_days=Fraction(1), reason="cure"),
    ).ask(dates)
    rows = {row.id: row for row in found.activities}
    assert rows["A"].first_day == date(2027, 4, 1)
    assert rows["B"].last_day == date(2027, 4, 7)
    assert rows["C"].first_day == date(2027, 4, 9)
    assert (rows["C"].over_promise, rows["B"].over_promise, rows["A"].over_promise) == (2, 2, 0)
    told = found.as_json()
    assert told["promise_float"] == -2
    assert told["paths"][0] == {"activities": ["B", "C"], "slack": 0}
    row = next(r for r in told["activities"] if r["id"] == "C")
    assert row["driving_links"] == [
        {"before": "B", "kind": "finish to start", "lag_days": 1, "lag_counts": "working"}
    ]
    assert (row["promised_by"], row["promise_float"]) == ("2027-04-07", -2)


def test_schedule_check_names_what_to_do() -> None:
    answers = house(
        Activity(id="A", name="Tape", days_likely=Fraction(2)),
        Activity(id="B", name="Paint", days_likely=Fraction(3), hold="color not chosen"),
        Activity(id="C", name="Move in", days_likely=Fraction(0), promised_by=date(2027, 3, 30)),
        Progress(id="A", started=date(2027, 3, 22), days_left=Fraction(1)),
        Progress(id="B", started=date(2027, 3, 23), days_left=Fraction(3)),
        Link(id="A > B", before="A", after="B"),
        Link(id="B > C", before="B", after="C"),
    )
    found = answers.ask(schedule_check)
    checks = {f.check: f for f in found.findings}
    assert set(checks) == {"open hold", "out of sequence", "promise broken", "length index",
                           "work done"}  # fmt: skip
    assert checks["promise broken"].activities == ("B", "C")
    assert not found.passes
    assert found.critical == ("B", "C")
    assert found.near_critical == ("A",)
    assert [(o.before, o.after) for o in found.out_of_sequence] == [("A", "B")]
    told = found.as_json()
    assert (told["activities"], told["left"], told["links"], told["dated"]) == (3, 3, 2, 1)
    assert told["kinds"][0] == {"kind": "finish to start", "links": 2}
    assert told["near_days"] == 5
    assert "common practice" in told["near_source"]
    near = house(
        Activity(id="A", days_likely=Fraction(9)),
        Activity(id="B", days_likely=Fraction(3)),
        overrides={"schedule.near": "6"},
    )
    assert near.ask(schedule_check).near_critical == ("B",)
    usual = house(
        Activity(id="A", days_likely=Fraction(9)), Activity(id="B", days_likely=Fraction(3))
    )
    assert usual.ask(schedule_check).near_critical == ()
