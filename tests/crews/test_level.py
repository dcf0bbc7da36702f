"""Levelled plans: sound by the checker, no worse than usual rules, equal to all plans tried."""

import random
from datetime import date, timedelta
from fractions import Fraction
from itertools import pairwise

import pytest
from tests.crews.houses import HOUSE, limits, network, shortest_by_trying

from roomwright.crews import Effort, LevelError, Limit, Use, choices, clashes, faults, level
from roomwright.crews.serial import end_of, heuristic
from roomwright.crews.stock import stocks
from roomwright.crews.timeline import Timeline
from roomwright.days import Calendar, show_days
from roomwright.schedule import Activity, Link, Network, NetworkError, Progress, passes

KINDS_OF_HOUSE = (
    {"size": (4, 14)},
    {"size": (4, 14), "elapsed": True},
    {"size": (4, 12), "elapsed": True, "crews": True},
)
QUICK = Effort(work=0.2)


@pytest.mark.parametrize("how", KINDS_OF_HOUSE)
def test_without_limits_it_is_the_passes(how):
    for seed in range(40):
        net = network(seed, **how)
        early = passes(net, HOUSE)
        found = level(net, HOUSE)
        assert found.working_days == early.working_days
        for activity in net:
            placed, dates = found[activity.id], early[activity.id]
            assert (placed.start, placed.finish) == (dates.early_start, dates.early_finish)
        assert found.finish == early.finish


@pytest.mark.parametrize("how", KINDS_OF_HOUSE)
def test_plans_are_sound_and_no_worse_than_rules_of_thumb(how):
    dearer = 0
    for seed in range(24):
        net = network(seed, **how)
        some = limits(seed, net)
        found = level(net, HOUSE, limits=some, effort=QUICK)
        assert faults(found, net, HOUSE, limits=some) == []
        line = Timeline(net, HOUSE)
        early = line.earliest()
        binding = [s for s in stocks(some, line, early) if s.takes]
        rules = end_of(line, heuristic(line, binding, early, end_of(line, early))) / 2
        assert found.plain_days <= found.steps[0].bound <= found.working_days <= rules
        dearer += found.costs > 0
        plain = level(net, HOUSE)
        clash = clashes(plain, some)
        # the checker counts half days one by one: it finds fault where a clash is told, only there
        assert bool(clash) == bool(faults(plain, net, HOUSE, limits=some))
        loose = [Limit(k.name, sum(u.amount for u in k.uses), k.uses) for k in some]
        assert level(net, HOUSE, limits=loose).placed == plain.placed
    assert dearer > 6  # the limits bound in some of them


def test_the_checker_sees_what_is_broken():
    net = network(3, size=(10, 10))
    some = limits(3, net)
    plain = level(net, HOUSE)
    assert {f.kind for f in faults(plain, net, HOUSE, limits=some)} == {"limit"}
    longer = net.lasting({a.id: a.days + 1 for a in net})
    assert "days" in {f.kind for f in faults(plain, longer, HOUSE)}
    one, two = (f(net, key=lambda a: plain[a.id].start).id for f in (min, max))
    assert plain[one].finish > plain[one].start
    tied = Network([Activity(a.id, a.days) for a in net], [Link(two, one)])
    assert "link" in {f.kind for f in faults(plain, tied, HOUSE)}
    assert "day" in {f.kind for f in faults(plain, net, HOUSE, not_before={one: 40})}


@pytest.mark.parametrize("seed", range(25))
def test_small_ones_equal_every_plan_tried(seed):
    pick = random.Random(seed)
    lasts = [pick.randint(1, 3) for _ in range(4)]
    most = pick.randint(1, 3)
    amounts = [pick.randint(1, most) for _ in lasts]
    net_links, after = [], []
    for i in range(4):
        for j in range(i + 1, 4):
            if pick.random() < 0.3:
                lag = pick.choice((0, 0, 1))
                net_links.append(Link(f"N{i}", f"N{j}", lag_days=lag))
                after.append((i, j, lasts[i] + lag))
    net = Network([Activity(f"N{i}", d) for i, d in enumerate(lasts)], net_links)
    limit = Limit("crew", most, tuple(Use(f"N{i}", a) for i, a in enumerate(amounts)))
    found = level(net, HOUSE, limits=[limit])
    tried = shortest_by_trying(lasts, after, most, amounts, int(found.working_days) + 1)
    assert found.steps[0].proved
    assert found.working_days == tried


def test_two_crews_of_a_trade_do_twice():
    net = Network([Activity(f"bath {i}", 3) for i in range(4)])
    for crews, days in ((1, 12), (2, 6), (4, 3)):
        tile = Limit("tile", crews, tuple(Use(a.id) for a in net))
        assert level(net, HOUSE, limits=[tile]).working_days == days


def test_a_room_stays_closed_while_a_floor_dries():
    house = Calendar(date(2027, 3, 1))
    net = Network([Activity("finish floor", 2), Activity("paint", 1), Activity("later", 9)],
                  [Link("finish floor", "later")])  # fmt: skip
    room = Limit("room 108", 2, (Use("finish floor", 2, after=3), Use("paint", 1)))
    found = level(net, house, limits=[room])
    # before the floor costs a day of the long chain; after it three days pass, a weekend among them
    assert found.working_days == 11
    assert found["paint"].first_day == date(2027, 3, 8)
    assert found["paint"].held[0].by == ("finish floor",)
    assert found["paint"].waits == 5


def test_an_inspector_who_comes_on_two_days():
    house = Calendar(date(2027, 3, 1))
    comes = Calendar.of(house.start, ("tue", "thu"))
    net = Network([Activity("rough", 2), Activity("inspection", 1, calendar=comes),
                   Activity("close", 1)],
                  [Link("rough", "inspection"), Link("inspection", "close")])  # fmt: skip
    found = level(net, house)
    assert found["inspection"].first_day == date(2027, 3, 4)
    assert found["close"].first_day == date(2027, 3, 5)
    one = Limit("inspector", 1, (Use("inspection"), Use("rough")))
    assert faults(level(net, house, limits=[one]), net, house, limits=[one]) == []


def test_progress_stands_and_work_that_has_begun_keeps_its_crew():
    house, day = Calendar(date(2027, 3, 1)), date(2027, 3, 4)
    net = Network([Activity(i, 4) for i in ("a", "b", "c")])
    told = {"a": Progress(date(2027, 3, 2)), "b": Progress(date(2027, 3, 1), date(2027, 3, 3))}
    tile = Limit("tile", 1, tuple(Use(i) for i in "abc"))
    found = level(net, house, day, told, limits=[tile])
    assert found["a"].last_day == date(2027, 3, 5)
    assert found["c"].first_day == date(2027, 3, 8)
    assert found["b"].first_day, found["b"].last_day == (date(2027, 3, 1), date(2027, 3, 3))
    assert faults(found, net, house, told, limits=[tile]) == []


def test_work_that_stands_still_goes_on_when_it_is_said_to():
    house, day = Calendar(date(2027, 3, 1)), date(2027, 3, 4)
    net = Network([Activity("a", 4), Activity("b", 1)])
    told = {"a": Progress(date(2027, 3, 2), days_left=1, resumes=date(2027, 3, 10))}
    tile = Limit("tile", 1, (Use("a"), Use("b")))
    found = level(net, house, day, told, limits=[tile])
    assert found["a"].last_day == date(2027, 3, 10)
    assert found["b"].last_day == date(2027, 3, 4)
    assert faults(found, net, house, told, limits=[tile]) == []


def test_two_that_have_begun_with_one_crew_are_told_and_stand():
    house, day = Calendar(date(2027, 3, 1)), date(2027, 3, 4)
    net = Network([Activity(i, 4) for i in ("a", "b", "c")])
    told = {i: Progress(date(2027, 3, 2)) for i in "ab"}
    tile = Limit("tile", 1, tuple(Use(i) for i in "abc"))
    found = level(net, house, day, told, limits=[tile])
    assert found.over == ("tile",)
    assert found["c"].first_day == date(2027, 3, 8)


# Bookings


def test_after_a_slip_the_end_is_kept_and_the_fewest_bookings_change():
    house = Calendar(date(2027, 3, 1))
    ids = ("hall", "primary", "powder", "laundry")
    baths = (Activity(i, 2) for i in ids)
    net = Network([*baths, Activity("glass", 3)], [Link("primary", "glass")])
    tile = Limit("tile", 1, tuple(Use(i) for i in ids))
    booked = {i: house.date(2 * n) for n, i in enumerate(ids)}
    held = level(net, house, limits=[tile], bookings=booked)
    assert held.moved == ()
    assert held.working_days == 8
    # the primary bath slips: it cannot start before day 6
    slip = {"primary": 6}
    free = level(net, house, limits=[tile], bookings=booked, not_before=slip)
    assert free.working_days == 11
    assert {m.activity for m in free.moved} == {"laundry", "primary"}
    assert faults(free, net, house, limits=[tile], not_before=slip) == []
    calm = level(net, house, limits=[tile], bookings=booked, not_before=slip, later=2)
    assert calm.working_days == 13
    assert [(m.activity, m.booked, m.now) for m in calm.moved] == [
        ("primary", house.date(2), house.date(8))
    ]
    assert all(s.proved for s in (*free.steps, *calm.steps))


@pytest.mark.parametrize("seed", range(12))
def test_fewest_bookings_equal_every_choice_tried(seed):
    """Holding a set of bookings by force: no smaller set of changes reaches the same end."""
    pick = random.Random(seed)
    net = network(seed, size=(5, 7), kinds=("finish to start",))
    some = limits(seed, net, most=1)
    plan = level(net, HOUSE, limits=some)
    booked = {
        a.id: plan[a.id].first_day + timedelta(pick.choice((-4, 0, 0, 3, 7))) for a in net if a.days
    }
    found = level(net, HOUSE, limits=some, bookings=booked)
    assert all(s.proved for s in found.steps)
    assert found.working_days == plan.working_days
    fewest = min(
        len(booked) - bin(mask).count("1")
        for mask in range(2 ** len(booked))
        if _reaches(net, some, [b for k, b in enumerate(booked.items()) if mask >> k & 1], plan)
    )
    assert len(found.moved) == fewest


def _reaches(net, some, held, plan):
    """Whether all can end as soon with these bookings kept, each made a fixed place by hand."""
    for _, day in held:
        if not HOUSE.is_working(day) or day < HOUSE.start:
            return False
    # a booking kept: it starts not before its day, and half a day late is late already
    before = {i: HOUSE.number(day) for i, day in held}
    extra = [Activity("zero", 0), *(Activity(f"gate {i}", HOUSE.number(d)) for i, d in held)]
    links = [Link("zero", f"gate {i}") for i, _ in held]
    whole = Network([*net, *extra], [*net.links, *links])
    found = level(whole, HOUSE, limits=some, not_before=before, effort=Effort(work=2))
    return found.working_days <= plan.working_days and all(
        found[i].first_day == day for i, day in held
    )


@pytest.mark.parametrize("seed", range(8))
def test_choices_are_the_front_between_calls_and_days(seed):
    """Asked the other way round, fewest calls for that end, each choice is found again."""
    pick = random.Random(seed)
    net = network(seed, size=(5, 7), kinds=("finish to start",))
    some = limits(seed, net, most=1)
    booked = {a.id: HOUSE.date(pick.randint(0, 25)) for a in net if a.days}
    found = choices(net, HOUSE, limits=some, bookings=booked)
    assert all(c.proved for c in found)
    assert found[0].later == 0
    for one, fewer in pairwise(found):
        assert len(fewer.moved) < len(one.moved)
        assert fewer.later > one.later
    for one in found:
        again = level(net, HOUSE, limits=some, bookings=booked, later=one.later)
        assert len(again.moved) == len(one.moved)
        if one.later:
            sooner = level(net, HOUSE, limits=some, bookings=booked, later=one.later - 0.5)
            assert len(sooner.moved) > len(one.moved)


def test_a_booking_years_away_is_no_reason_to_look_past_the_calendar():
    baths = Network([Activity("hall", 2), Activity("primary", 2), Activity("powder", 2)])
    tile = Limit("one tile setter", 1, tuple(Use(a.id) for a in baths))
    for year in (2036, 2038):
        booked = {"primary": date(2027, 3, 3), "powder": date(year, 3, 5)}
        found = choices(baths, HOUSE, limits=[tile], bookings=booked, not_before={"primary": 60})
        assert [m.activity for m in found[0].moved] == ["powder", "primary"]
        assert [m.activity for m in found[-1].moved] == ["primary"]


def test_a_day_on_which_nobody_works_cannot_be_kept():
    house = Calendar(date(2027, 3, 1))
    net = Network([Activity("a", 1)])
    found = level(net, house, bookings={"a": date(2027, 3, 6)}, later=None)
    assert [m.activity for m in found.moved] == ["a"]


# What is refused, and how searches end


def test_bad_limits_are_refused():
    with pytest.raises(LevelError, match="takes 3 of 2"):
        Limit("crew", 2, (Use("a", 3),))
    with pytest.raises(LevelError, match="twice"):
        Limit("crew", 2, (Use("a"), Use("a")))
    net = Network([Activity("a", 1)])
    with pytest.raises(NetworkError, match="no activity 'x'"):
        level(net, HOUSE, limits=[Limit("crew", 1, (Use("x"),))])
    with pytest.raises(NetworkError, match="no activity"):
        level(net, HOUSE, bookings={"x": HOUSE.start})
    with pytest.raises(LevelError, match="days later"):
        level(net, HOUSE, later=-1)


def test_a_search_tells_and_is_stopped_and_the_gap_is_told():
    net = network(11, size=(40, 40), lags=False, kinds=("finish to start",))
    some = [Limit("one", 1, tuple(Use(a.id) for a in net if a.days))]
    said = []
    found = level(net, HOUSE, limits=some, stopping=lambda: True,
                  tell=lambda share, at: said.append((share, at)))  # fmt: skip
    assert said[0] == (0.0, "a first plan")
    assert faults(found, net, HOUSE, limits=some) == []
    days = sum(a.days for a in net)  # one after the other is all that can be done
    assert (found.working_days, found.plain_days) == (days, passes(net, HOUSE).working_days)
    gap = show_days(found.working_days - found.plain_days)
    assert not found.proved
    assert found.steps[0].text.endswith(f"at most {gap} are left to gain; the search was stopped")


def test_the_same_question_gets_the_same_answer():
    net = network(5, size=(20, 20))
    some = limits(5, net)
    one, two = (level(net, HOUSE, limits=some, effort=Effort(work=0.2)) for _ in range(2))
    assert one.placed == two.placed
    assert one.steps == two.steps


def test_half_days():
    net = Network([Activity("a", Fraction(1, 2)), Activity("b", Fraction(3, 2))])
    found = level(net, HOUSE, limits=[Limit("c", 1, (Use("a"), Use("b")))])
    assert found.working_days == 2
