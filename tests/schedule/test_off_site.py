"""What goes on off the site begins before it: a vendor does not wait for the first day of work."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

import pytest

from roomwright.chances import Spread, Uncertain, simulate
from roomwright.chances.quick import quick_pass
from roomwright.days import Calendar
from roomwright.schedule import Activity, Link, Network, Progress, passes

HOUSE = Calendar(date(2027, 3, 1))
EARLY = date(2027, 2, 1)
"""Twenty working days before the start."""


def house(own: bool, made: float = 25) -> Network:
    """Ordering and making off the site, then laying; with and without a calendar of one's own."""
    saturdays = Calendar(HOUSE.start, frozenset(range(6)))
    return Network(
        [
            Activity("order", 0, off_site=True),
            Activity("make", made, off_site=True),
            Activity("floor", 5),
            Activity("other", 2, calendar=saturdays if own else None),
        ],
        [Link("order", "make"), Link("make", "floor")],
    )


@pytest.mark.parametrize("own", [False, True])
def test_what_is_made_off_the_site_goes_on_before_it_starts(own: bool) -> None:
    network = house(own)
    found = passes(network, HOUSE, EARLY)
    assert (found["order"].early_start, found["make"].early_finish) == (-20, 5)
    assert found["floor"].early_start == 5  # 25 days from day -20
    assert found["other"].early_start == 0  # the crew is not there before day 0
    assert found.start_date("make") == EARLY
    assert found.last_day("make") == date(2027, 3, 5)
    quick = quick_pass(network, HOUSE, EARLY)
    assert quick.early("make") == (-20, 5)
    assert quick.early("other")[0] == 0
    # three weeks sooner than needed: the last safe day to order lies before the start
    short = passes(house(own, 10), HOUSE, EARLY, not_before={"floor": 0})
    assert short["order"].total_float == 10
    assert short.last_safe_start("order") == date(2027, 2, 15)


@pytest.mark.parametrize("own", [False, True])
def test_so_it_does_in_every_sample(own: bool) -> None:
    network, spread = house(own), Spread("triangular", 15, 25, 40)
    luck = [Uncertain("make", spread)]
    found = simulate(network, luck, calendar=HOUSE, as_of=EARLY, samples=400, compiled=False)
    start, finish = found.of.samples("make")
    assert set(start) == {-20}
    assert finish.min() < 0 < finish.max()
    assert (found.of.samples("floor")[0] == finish.clip(0)).all()


def test_begun_off_the_site_it_has_its_days_behind_it_by_the_as_of_day() -> None:
    """Ten of 25 days are gone by day -20: 15 are left, so it is there at the end of day -6."""
    told = {"order": Progress(finished=date(2027, 1, 18)), "make": Progress(date(2027, 1, 18))}
    found = passes(house(own=False), HOUSE, EARLY, told)
    assert found["make"].early_finish == -5


def test_once_the_site_has_started_it_makes_no_difference() -> None:
    network = house(own=False)
    on_site = Network((replace(a, off_site=False) for a in network), network.links)
    later = date(2027, 3, 10)
    assert passes(network, HOUSE, later).dates == passes(on_site, HOUSE, later).dates
