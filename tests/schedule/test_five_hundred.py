"""Five hundred random networks of every kind against a clock that walks the half days one by one.

All kinds of link, lags and leads in working and elapsed days, crews with weeks, days off and half
days of their own, houses with half days. Dates must be equal; total and free float are what an
activity can be delayed by, found by delaying it. The compiled passes of the chances give the same.
"""

from __future__ import annotations

import random
from datetime import timedelta

import pytest
from tests.schedule.halfday_clock import end_of, simulate, worked, works
from tests.schedule.random_networks import HOUSE, SHORT, START, network

from roomwright.chances import quick_pass
from roomwright.days import Calendar, day_tick
from roomwright.schedule import Network, Progress, passes

FLOOR = day_tick(START)
BATCH = 25


def made(seed: int) -> tuple[Network, Calendar]:
    house = SHORT if seed % 4 else HOUSE
    net = network(
        20_000 + seed,
        size=(2, 11),
        elapsed=seed % 3 != 0,
        crews=seed % 2 == 1,
        halves=True,
        longest=3 + seed % 3,
    )
    return net, house


def settled(net: Network, house: Calendar, id: str, end: int) -> int:
    """The moment of an end; a milestone of Monday morning is there at the end of Friday's work."""
    while net[id].days == 0 and not works(house, end - 1):
        end -= 1
    return end


@pytest.mark.parametrize("batch", range(500 // BATCH))
def test_dates_equal_the_clock(batch: int) -> None:
    for seed in range(batch * BATCH, (batch + 1) * BATCH):
        net, house = made(seed)
        zero = house.axis().opens(0)
        found = passes(net, house)
        for id, ends in simulate(net, house, FLOOR).items():
            one = found[id]
            want = tuple(worked(house, zero, tick) / 2 for tick in ends)
            assert (one.early_start, one.early_finish) == want, (seed, id)
            if net[id].days:
                own = net[id].calendar
                first, last = ends[0], ends[1] - 1
                assert found.start_date(id).toordinal() == first // 2, (seed, id)
                if own is not None:
                    assert found.last_day(id).toordinal() == last // 2, (seed, id)


@pytest.mark.parametrize("batch", range(500 // BATCH))
def test_float_is_what_an_activity_can_be_delayed_by(batch: int) -> None:
    """Total float: the end stays, half a day more moves it. Free float: no other one moves."""
    for seed in range(batch * BATCH, (batch + 1) * BATCH):
        net, house = made(seed)
        found = passes(net, house)
        base = simulate(net, house, FLOOR)
        finish = max(end for _, end in base.values())
        for activity in random.Random(seed).sample(net.activities, min(2, len(net))):
            if activity.days == 0:
                continue  # a milestone between two worked half days has no one place to start
            own, id, one = activity.calendar or house, activity.id, found[activity.id]

            def delayed(
                days: float, own=own, id=id, net=net, house=house, base=base
            ) -> dict[str, tuple[int, int]]:
                """Start so many worked half days of its own later; the rest follows."""
                start = end_of(own, base[id][0], int(2 * days) + 1) - 1
                return simulate(net, house, FLOOR, {id: start})

            def moved(ends, id=id, base=base) -> bool:
                return any(ends[i] != base[i] for i in ends if i != id)

            def end(ends, net=net, house=house) -> int:
                return max(settled(net, house, i, e) for i, (_, e) in ends.items())

            assert end(delayed(one.total_float)) <= finish, (seed, id)
            assert end(delayed(one.total_float + 0.5)) > finish, (seed, id)
            kept = delayed(one.free_float)
            assert not moved(kept), (seed, id)
            assert end(kept) <= finish, (seed, id)
            more = delayed(one.free_float + 0.5)
            assert moved(more) or end(more) > finish, (seed, id)


@pytest.mark.parametrize("batch", range(200 // BATCH))
def test_the_compiled_passes_agree_where_work_has_begun_and_stands_still(batch: int) -> None:
    as_of = START + timedelta(7)
    for seed in range(batch * BATCH, (batch + 1) * BATCH):
        net, house = made(seed)
        pick = random.Random(seed)
        told = {
            activity.id: Progress(
                START + timedelta(pick.randint(0, 6)),
                None,
                pick.choice([1, 2]),
                pick.choice([None, START + timedelta(12)]),
            )
            for activity in net
            if activity.days and pick.random() < 0.3
        }
        found, quick = passes(net, house, as_of, told), quick_pass(net, house, as_of, told)
        assert quick.finish == found.working_days, seed
        for id, one in found.dates.items():
            assert quick.early(id) == (one.early_start, one.early_finish), (seed, id)
            assert quick.late(id) == (one.late_start, one.late_finish), (seed, id)
            assert quick.total_float(id) == one.total_float, (seed, id)
