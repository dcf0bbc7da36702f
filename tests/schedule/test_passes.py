"""Small cases worked by hand: progress, as-of date, promises, lags over a weekend, crews."""

from __future__ import annotations

from datetime import date

import pytest

from roomwright.days import Calendar, HorizonError
from roomwright.schedule import Activity, Link, Network, NetworkError, Progress, passes

MONDAY = date(2027, 3, 1)
HOUSE = Calendar(MONDAY)
CHAIN = Network(
    [Activity("A", 3, "Hang"), Activity("B", 2, "Tape"), Activity("C", 4, "Sand")],
    [Link("A", "B"), Link("B", "C")],
)


def day(n: int) -> date:
    return HOUSE.date(n)


def spans(found) -> dict[str, tuple[float, float]]:
    return {i: (d.early_start, d.early_finish) for i, d in found.dates.items()}


def test_plain_chain() -> None:
    found = passes(CHAIN, HOUSE)
    assert spans(found) == {"A": (0, 3), "B": (3, 5), "C": (5, 9)}
    assert found.finish == date(2027, 3, 11)
    assert found.start_date("B") == date(2027, 3, 4)
    assert found.last_day("B") == date(2027, 3, 5)
    assert found["C"].driven_by == ("B",)
    assert {d.state for d in found.dates.values()} == {"to do"}


def test_no_activities() -> None:
    found = passes(Network([]), HOUSE)
    assert found.working_days == 0
    assert found.critical == ()


def test_nothing_unstarted_begins_before_the_as_of_date() -> None:
    found = passes(CHAIN, HOUSE, day(4))
    assert spans(found) == {"A": (4, 7), "B": (7, 9), "C": (9, 13)}
    assert found["A"].driven_by == ()  # the day itself holds it
    weekend = passes(CHAIN, HOUSE, date(2027, 3, 6))
    assert weekend["A"].early_start == 5


def test_an_as_of_date_before_the_site_start_does_not_pull_work_ahead() -> None:
    assert passes(CHAIN, HOUSE, date(2026, 12, 1)).working_days == 9


def test_finished_work_stands_and_started_work_goes_on() -> None:
    told = {
        "A": Progress(day(1), day(5)),  # began a day late, took two days longer
        "B": Progress(day(7), None, 1.5),
    }
    found = passes(CHAIN, HOUSE, day(8), told)
    assert spans(found) == {"A": (1, 6), "B": (7, 9.5), "C": (9.5, 13.5)}
    assert found["B"].state == "started"
    assert found["C"].driven_by == ("B",)
    assert found.critical == ("A", "B", "C")
    assert found["A"].total_float == 1  # B began a day later than A let it
    assert found["B"].late_finish == 9.5


def test_days_left_that_nobody_said() -> None:
    found = passes(CHAIN, HOUSE, day(1), {"A": Progress(day(0))})
    assert found["A"].early_finish == 3  # three planned, one gone
    overdue = passes(CHAIN, HOUSE, day(7), {"A": Progress(day(0))})
    assert overdue["A"].early_finish == 7.5  # at least half a day, as it is not done


def test_only_the_finish_was_recorded() -> None:
    found = passes(CHAIN, HOUSE, day(6), {"A": Progress(None, day(4))})
    assert spans(found)["A"] == (2, 5)


def test_started_out_of_order_goes_on_and_the_overtaken_link_binds_nothing() -> None:
    told = {"B": Progress(day(1), None, 1)}
    found = passes(CHAIN, HOUSE, day(2), told)
    assert spans(found) == {"A": (2, 5), "B": (1, 3), "C": (3, 7)}
    assert found["A"].total_float == 2  # only the end of the work holds it
    assert not found["A"].critical


def test_a_finish_link_still_holds_work_that_has_started() -> None:
    net = Network([Activity("A", 6), Activity("B", 2)], [Link("A", "B", "finish to finish", 1)])
    found = passes(net, HOUSE, day(1), {"B": Progress(day(0), None, 1)})
    assert spans(found)["B"] == (0, 8)
    assert found["A"].critical


def test_a_start_link_from_work_that_has_started_no_longer_limits_it() -> None:
    net = Network([Activity("A", 9), Activity("B", 5)], [Link("A", "B", "start to start", 2)])
    plan = passes(net, HOUSE)
    assert plan["A"].total_float == 0
    found = passes(net, HOUSE, day(3), {"A": Progress(day(0), None, 1)})
    assert found["A"].total_float == found["B"].early_finish - 4


def test_the_chain_among_finished_work_is_what_held_the_next() -> None:
    net = Network(
        [Activity("slow", 5), Activity("fast", 2), Activity("next", 3)],
        [Link("slow", "next"), Link("fast", "next")],
    )
    told = {"slow": Progress(day(0), day(6)), "fast": Progress(day(0), day(3))}
    found = passes(net, HOUSE, day(9), told)
    assert found.critical == ("slow", "next")
    both_done = {**told, "next": Progress(day(7), day(9))}
    assert passes(net, HOUSE, day(10), both_done).critical == ("slow", "next")


def test_milestones() -> None:
    net = Network(
        [Activity("go", 0), Activity("A", 2), Activity("in", 0)],
        [Link("go", "A"), Link("A", "in")],
    )
    found = passes(net, HOUSE, day(1), {"go": Progress(day(0), day(0))})
    assert spans(found) == {"go": (0, 0), "A": (1, 3), "in": (3, 3)}
    assert found.last_day("in") == day(3)
    started = passes(net, HOUSE, day(1), {"go": Progress(day(0))})
    assert started["go"].state == "done"


def test_a_promise_that_cannot_be_kept_shows_as_negative_float() -> None:
    found = passes(CHAIN, HOUSE, promised=day(6))
    assert {d.total_float for d in found.dates.values()} == {-2}
    assert found.working_days == 9
    assert len(found.critical) == 3
    easy = passes(CHAIN, HOUSE, promised=day(10))
    assert {d.total_float for d in easy.dates.values()} == {2}
    assert len(easy.critical) == 3  # still the longest chain


def test_working_lag_skips_the_weekend_and_elapsed_lag_does_not() -> None:
    friday = [Activity("pour", 5), Activity("walk", 1)]
    for counts, starts in (("working", 7), ("elapsed", 5)):
        net = Network(friday, [Link("pour", "walk", lag_days=2, lag_counts=counts)])
        assert passes(net, HOUSE)["walk"].early_start == starts
    net = Network(friday, [Link("pour", "walk", lag_days=3, lag_counts="elapsed")])
    assert passes(net, HOUSE)["walk"].early_start == 6


def test_float_across_an_elapsed_lag_counts_working_days() -> None:
    net = Network(
        [Activity("pour", 4), Activity("walk", 1), Activity("other", 6)],
        [Link("pour", "walk", lag_days=3, lag_counts="elapsed")],
    )
    found = passes(net, HOUSE)  # pour ends Thursday, three days on is Sunday: walk on Monday
    assert spans(found)["walk"] == (5, 6)
    assert found["pour"].total_float == 0  # ending Friday would mean walking on Tuesday
    assert found["walk"].total_float == 0
    early = Network(
        [Activity("pour", 3), *net.activities[1:]], net.links
    )  # ends Wednesday, Saturday: still Monday, so pour has a day of its own
    assert passes(early, HOUSE)["pour"].free_float == 1


def test_a_crew_that_works_saturdays() -> None:
    crew = Calendar(MONDAY, frozenset(range(6)))
    net = Network(
        [Activity("A", 5), Activity("B", 1, calendar=crew), Activity("C", 1)],
        [Link("A", "B"), Link("B", "C")],
    )
    found = passes(net, HOUSE)
    assert found.working_days == 6  # B fills the Saturday
    assert spans(found)["B"] == (5, 5)


@pytest.mark.parametrize(
    ("told", "words"),
    [
        (Progress(day(3), day(1)), "before it started"),
        (Progress(day(1), day(3), 2), "days are left"),
        (Progress(None, None, 2), "fill in the start"),
        (Progress(day(1), None, -1), "use 0 or more"),
    ],
)
def test_progress_that_contradicts_itself(told: Progress, words: str) -> None:
    with pytest.raises(NetworkError, match=words) as caught:
        passes(CHAIN, HOUSE, day(5), {"A": told})
    assert "A Hang" in str(caught.value)


def test_progress_for_no_activity() -> None:
    with pytest.raises(NetworkError, match="'Z', which is no activity"):
        passes(CHAIN, HOUSE, day(5), {"Z": Progress(day(1))})


def test_a_schedule_without_end_is_a_mistake() -> None:
    net = Network(
        [Activity(f"{i}", 1500) for i in range(4)], [Link(f"{i}", f"{i + 1}") for i in range(3)]
    )
    with pytest.raises(HorizonError, match="check the durations"):
        passes(net, HOUSE)


def test_days_that_were_worked_at_a_weekend_stand_as_they_were_recorded() -> None:
    """Saturday's work was done on Saturday, and a house that ended on one ended on that day."""
    house = Calendar(date(2027, 3, 1))
    walls = Network([Activity("paint", 2), Activity("keys", 0)], [Link("paint", "keys")])
    told = {"paint": Progress(date(2027, 3, 6), date(2027, 3, 7))}
    found = passes(walls, house, date(2027, 3, 8), told)
    assert found.start_date("paint") == date(2027, 3, 6)
    assert found.last_day("paint") == date(2027, 3, 7)
    assert found.finish == date(2027, 3, 7)
    under_way = passes(walls, house, date(2027, 3, 8), {"paint": Progress(date(2027, 3, 6))})
    assert under_way.start_date("paint") == date(2027, 3, 6)
    handed = passes(walls, house, date(2027, 3, 8), {"keys": Progress(finished=date(2027, 3, 6))})
    assert handed.start_date("keys") == handed.last_day("keys") == date(2027, 3, 6)
