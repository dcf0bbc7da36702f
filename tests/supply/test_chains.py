"""Lead chains in the network of the site work, and what happened in place of estimates."""

from __future__ import annotations

from datetime import date
from itertools import permutations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from roomwright.days import Calendar
from roomwright.schedule import Activity, CycleError, Link, Network, NetworkError, Progress, passes
from roomwright.supply.chains import STEPS, ChainError, LeadChain, Plan, lead_chain, merged
from roomwright.supply.history import (
    Acknowledged,
    Damaged,
    Done,
    Event,
    Followed,
    Placed,
    Promised,
    Received,
    Returned,
    Shipped,
    follow,
)
from roomwright.supply.measure import Condition

HOUSE = Calendar(date(2027, 3, 1))  # a Monday
SITE = Network(
    [Activity("TILE", 20), Activity("CURB", 1), Activity("GLASS", 2), Activity("END", 0)],
    [Link("TILE", "CURB"), Link("CURB", "GLASS"), Link("GLASS", "END")],
)
MADE = Plan({"decide": 2, "submit": 3, "approve": 2, "make": 10, "ship": 3, "receive": 1})
GLASS = Plan({"measure": 1, "make": 10, "ship": 2, "receive": 1}, condition=Condition(
    ("TILE",), spoiled_by=("CURB",), words="tile grouted"))  # fmt: skip


def seen(told: Followed, as_of: date, site: dict[str, Progress] | None = None):
    return passes(
        merged(SITE, [told.chain]), HOUSE, as_of, {**(site or {}), **told.progress},
        not_before=told.not_before,
    )  # fmt: skip


def test_the_last_safe_day_to_order_is_the_need_less_the_chain() -> None:
    chain = lead_chain("L1", "GLASS", MADE)
    found = passes(merged(SITE, [chain]), HOUSE)
    assert found[chain.order].late_start == 21 - (3 + 2 + 10 + 3 + 1)
    assert found[chain.order].early_start == 2  # after deciding
    assert found[chain.order].total_float == 0
    assert found["L1:make"].critical
    assert found.working_days == 23


def test_a_measured_part_waits_for_its_condition_and_holds_the_house() -> None:
    chain = lead_chain("L1", "GLASS", GLASS)
    found = passes(merged(SITE, [chain]), HOUSE)
    assert found["L1:measure"].early_start == 20
    assert found["GLASS"].early_start == 20 + 1 + 10 + 2 + 1
    assert found["GLASS"].driven_by == ("L1:receive",)


def test_ids_are_the_line_and_the_step_whatever_else_changes() -> None:
    assert [a.id for a in lead_chain("L1", "GLASS", MADE, "Pan").activities] == [
        "L1:decide", "L1:order", "L1:submit", "L1:approve", "L1:make", "L1:ship", "L1:arrive",
        "L1:receive",
    ]  # fmt: skip
    late = Plan(MADE.days, order_before="make")
    ids = [a.id for a in lead_chain("L1", "GLASS", late).activities]
    assert ids.index("L1:order") == ids.index("L1:make") - 1


def test_a_stock_part_has_an_order_and_an_arrival_all_the_same() -> None:
    chain = lead_chain("L1", "GLASS", Plan())
    assert [a.id for a in chain.activities] == ["L1:order", "L1:arrive"]
    assert passes(merged(SITE, [chain]), HOUSE)["L1:order"].late_start == 21


def test_vendor_steps_run_on_the_vendors_days() -> None:
    shut = Calendar(HOUSE.start, days_off=frozenset(date(2027, 3, d) for d in range(8, 13)))
    own = Plan({"make": 10}, vendor=shut)
    found = passes(merged(SITE, [lead_chain("L1", "GLASS", own)]), HOUSE)
    assert found["L1:arrive"].early_start == 15  # a week shut, in days of the house
    assert found["L1:order"].late_start == 11  # ten of his days back from 21


def test_wood_acclimates_on_sundays() -> None:
    hold = Plan({"hold": 5}, hold_counts="elapsed")
    chain = lead_chain("L1", "GLASS", hold)
    found = passes(merged(SITE, [chain]), HOUSE, not_before={chain.arrive: 19})
    assert found["L1:arrive"].early_start == 19  # Friday, Mar 26
    assert HOUSE.date(found["GLASS"].early_start) == date(2027, 3, 31)  # Wednesday, not Friday


def test_two_lines_of_one_id_and_a_chain_to_nowhere_are_refused() -> None:
    one = lead_chain("L1", "GLASS", MADE)
    with pytest.raises(NetworkError, match="two activities have the id 'L1:decide'"):
        merged(SITE, [one, one])
    with pytest.raises(NetworkError, match="no activity 'GONE'"):
        merged(SITE, [lead_chain("L1", "GONE", MADE)])


def test_a_measure_that_waits_for_the_part_itself_is_a_ring_by_name() -> None:
    ring = Plan({"measure": 1}, condition=Condition(("GLASS",)))
    with pytest.raises(CycleError, match="L1:measure"):
        merged(SITE, [lead_chain("L1", "GLASS", ring)])


@pytest.mark.parametrize(
    ("wrong", "says"),
    [
        ({"days": {"paint": 1}}, "no step 'paint'"),
        ({"order_before": "hold"}, "not placed before 'hold'"),
        ({"condition": Condition(("TILE",))}, "no measure"),
    ],
)
def test_a_plan_that_cannot_be(wrong: dict[str, object], says: str) -> None:
    with pytest.raises(ChainError, match=says):
        Plan(**wrong)  # type: ignore[arg-type]


def test_a_line_overrides_its_class() -> None:
    own = GLASS.overridden({"make": 15, "measure": None})
    assert own.days == {"make": 15, "ship": 2, "receive": 1}
    assert own.condition is None


# What happened


def told(chain: LeadChain, events: list[Event], as_of: date, **more: object) -> Followed:
    return follow(chain, events, HOUSE, as_of, **more)  # type: ignore[arg-type]


def test_a_promise_stands_as_it_is_and_the_last_one_counts() -> None:
    chain = lead_chain("L1", "GLASS", MADE)
    events: list[Event] = [
        Promised(date(2027, 3, 10), date(2027, 4, 9)),
        Placed(date(2027, 3, 1)),
        Acknowledged(date(2027, 3, 2)),
        Promised(date(2027, 3, 3), date(2027, 4, 2)),
    ]
    found = told(chain, events, date(2027, 3, 15))
    assert found.promise == date(2027, 4, 9)
    assert found.notes == ("promise moved 5 working days later, from Apr 2 to Apr 9",)
    dates = seen(found, date(2027, 3, 15), {"TILE": Progress(started=date(2027, 3, 1))})
    assert HOUSE.date(dates["GLASS"].early_start) == date(2027, 4, 9)  # no inspect days added
    assert dates["L1:decide"].state == "done"


def test_a_promise_that_has_passed_counts_as_today() -> None:
    chain = lead_chain("L1", "GLASS", MADE)
    found = told(chain, [Promised(date(2027, 3, 3), date(2027, 3, 5))], date(2027, 3, 15))
    assert seen(found, date(2027, 3, 15))[chain.arrive].early_start == 10


def test_without_a_promise_making_goes_as_planned_since_the_order() -> None:
    chain = lead_chain("L1", "GLASS", Plan({"make": 10, "ship": 3, "receive": 1}))
    found = told(chain, [Placed(date(2027, 3, 1))], date(2027, 3, 10))
    assert seen(found, date(2027, 3, 10))[chain.arrive].early_start == 13
    later = told(chain, [Placed(date(2027, 3, 1))], date(2027, 4, 12))
    dates = seen(later, date(2027, 4, 12))
    assert dates["L1:make"].state == "done"
    assert dates[chain.arrive].early_start == 30.5  # overdue: half a day at least is left


def test_drawings_that_nobody_approved_hold_the_making() -> None:
    chain = lead_chain("L1", "GLASS", MADE)
    found = told(chain, [Placed(date(2027, 3, 1))], date(2027, 3, 22))
    dates = seen(found, date(2027, 3, 22))
    assert dates["L1:submit"].state == "started"
    assert dates["L1:make"].early_start >= 15
    known = [Done(date(2027, 3, 4), "submit"), Done(date(2027, 3, 8), "approve")]
    approved = told(chain, [Placed(date(2027, 3, 1)), *known], date(2027, 3, 22))
    assert seen(approved, date(2027, 3, 22))["L1:make"].early_finish == 16  # from Mar 9


def test_shipped_leaves_only_the_way() -> None:
    chain = lead_chain("L1", "GLASS", MADE)
    found = told(chain, [Placed(date(2027, 3, 1)), Shipped(date(2027, 3, 12))], date(2027, 3, 15))
    dates = seen(found, date(2027, 3, 15))
    assert dates["L1:make"].state == "done"
    assert dates[chain.arrive].early_start == 12


def test_all_received_is_here() -> None:
    chain = lead_chain("L1", "GLASS", MADE)
    events: list[Event] = [
        Placed(date(2027, 3, 1)), Received(date(2027, 3, 8), 1), Received(date(2027, 3, 12), 2),
    ]  # fmt: skip
    part = told(chain, events[:2], date(2027, 3, 15), qty=3)
    assert part.on_hand == 1
    assert chain.arrive not in part.progress
    full = told(chain, events, date(2027, 3, 15), qty=3)
    assert full.progress[chain.arrive].finished == date(2027, 3, 12)
    assert all(seen(full, date(2027, 3, 15))[a.id].state == "done" for a in chain.activities)


def test_damage_is_made_anew_until_there_is_a_new_promise() -> None:
    chain = lead_chain("L1", "GLASS", MADE)
    events: list[Event] = [
        Placed(date(2027, 3, 1)), Promised(date(2027, 3, 1), date(2027, 3, 9)),
        Received(date(2027, 3, 9), 1), Damaged(date(2027, 3, 10), 1),
    ]  # fmt: skip
    found = told(chain, events, date(2027, 3, 15), claim_days=5)
    assert found.promise is None
    assert found.notes == ("1 damaged, not claimed: the window closed Mar 14",)
    assert seen(found, date(2027, 3, 15))[chain.arrive].early_start == 10 + 10 + 3
    anew = [*events, Promised(date(2027, 3, 12), date(2027, 3, 24))]
    assert seen(told(chain, anew, date(2027, 3, 15)), date(2027, 3, 15))[
        chain.arrive
    ].early_start == 17  # fmt: skip


@pytest.mark.parametrize(
    ("claimed", "window", "says"),
    [
        (date(2027, 3, 12), 5, None),
        (date(2027, 3, 15), 5, "1 damaged, claimed Mar 15: after the window closed Mar 14"),
        (None, 10, "1 damaged, not claimed: claim by Mar 19"),
        (None, None, "1 damaged: claim it; the vendor's window is unknown"),
    ],
)
def test_claims(claimed: date | None, window: int | None, says: str | None) -> None:
    chain = lead_chain("L1", "GLASS", MADE)
    events: list[Event] = [Received(date(2027, 3, 9), 1), Damaged(date(2027, 3, 10), 1, claimed)]
    found = told(chain, events, date(2027, 3, 15), claim_days=window)
    assert found.notes == (() if says is None else (says,))


def test_what_goes_back_is_not_here() -> None:
    chain = lead_chain("L1", "GLASS", MADE)
    events: list[Event] = [Received(date(2027, 3, 9), 2), Returned(date(2027, 3, 10), 1)]
    found = told(chain, events, date(2027, 3, 15), qty=2)
    assert found.on_hand == 1
    assert chain.arrive not in found.progress


def test_events_of_one_day_in_any_order() -> None:
    """Two came and one was broken, all on Mar 9, however it was written down: one is good."""
    events: list[Event] = [
        Damaged(date(2027, 3, 9), 1, date(2027, 3, 9)), Received(date(2027, 3, 9), 2),
        Placed(date(2027, 3, 1)),
    ]  # fmt: skip
    for order in permutations(events):
        found = told(lead_chain("L1", "GLASS", MADE), list(order), date(2027, 3, 15), qty=2)
        assert found.on_hand == 1
        assert found.notes == ()


def test_a_window_that_never_closes() -> None:
    events: list[Event] = [Received(date(2027, 3, 9), 1), Damaged(date(2027, 3, 10), 1)]
    found = told(lead_chain("L1", "GLASS", MADE), events, date(2027, 3, 15), claim_days=10**8)
    assert found.notes == ("1 damaged, not claimed: claim by Dec 31, 9999",)


@pytest.mark.parametrize(
    ("events", "says"),
    [
        ([Received(date(2027, 3, 9), 1), Damaged(date(2027, 3, 10), 2)], "more pieces damaged"),
        ([Placed(date(2027, 3, 16))], "placed on Mar 16 lies after Mar 15"),
        ([Received(date(2027, 3, 9), 0)], "0 pieces"),
    ],
)
def test_events_that_cannot_be(events: list[Event], says: str) -> None:
    with pytest.raises(ChainError, match=says):
        told(lead_chain("L1", "GLASS", MADE), events, date(2027, 3, 15))


def test_an_order_on_a_measure_that_does_not_hold_is_void() -> None:
    chain = lead_chain("L1", "GLASS", GLASS)
    as_of = date(2027, 4, 12)
    site = {"TILE": Progress(date(2027, 3, 1), date(2027, 3, 26))}
    good: list[Event] = [Done(date(2027, 3, 29), "measure"), Placed(date(2027, 3, 29))]
    assert not told(chain, good, as_of, site=site).void
    for events, done in (
        ([Placed(date(2027, 3, 15))], site),
        ([Placed(date(2027, 3, 15)), Done(date(2027, 3, 29), "measure")], site),
        (good, {**site, "CURB": Progress(date(2027, 3, 30), date(2027, 3, 30))}),
    ):
        found = told(chain, events, as_of, site=done)
        assert found.void
        assert chain.order not in found.progress
        assert any(n.startswith("void: ordered") for n in found.notes)
    fitted = {**site, "CURB": Progress(date(2027, 3, 30), date(2027, 3, 30)),
              "GLASS": Progress(date(2027, 4, 9))}  # fmt: skip
    assert not told(chain, good, as_of, site=fitted).void


@settings(deadline=None)
@given(
    st.dictionaries(st.sampled_from(STEPS), st.integers(0, 15), min_size=1),
    st.lists(st.tuples(st.integers(0, 9), st.integers(0, 40), st.integers(1, 2)), max_size=6),
)
def test_any_history_gives_a_network_that_runs(days: dict, raw: list[tuple[int, int, int]]) -> None:
    chain = lead_chain("L1", "GLASS", Plan(days))
    as_of = HOUSE.date(40)
    kinds = {
        0: lambda d, q: Placed(d), 1: lambda d, q: Acknowledged(d),
        2: lambda d, q: Promised(d, HOUSE.add(d, 7 * q)), 3: lambda d, q: Shipped(d),
        4: Received, 5: Received, 6: Damaged, 7: Returned, 8: lambda d, q: Done(d, "approve"),
        9: lambda d, q: Done(d, "make"),
    }  # fmt: skip
    events = [kinds[k](HOUSE.date(n), q) for k, n, q in raw]
    try:
        found = told(chain, events, as_of)
    except ChainError:
        return
    dates = seen(found, as_of)
    if found.on_hand >= 1:
        assert dates[chain.arrive].state == "done"
    elif found.promise is not None:
        want = max(HOUSE.number(found.promise), 40)
        assert dates[chain.arrive].early_start >= want
        late_own = [
            s for s in days if s in ("decide", "measure") and f"L1:{s}" not in found.progress
        ]
        if not late_own:
            assert dates[chain.arrive].early_start <= want + 0.5
    else:
        assert dates[chain.arrive].early_start >= 40
