"""Site work and lead chains as one network, held to the plain dates of orders and of the demo."""

from __future__ import annotations

from datetime import date, timedelta
from fractions import Fraction

import pytest
from tests.answers.demo_house import WRITTEN, answers, facts

from roomwright import schedule
from roomwright.answers import dates
from roomwright.answers.lead_spreads import promises
from roomwright.answers.orders import OrderRow, orders
from roomwright.answers.whole_network import Whole, whole
from roomwright.job.entities import Order, PartClass, Progress


def alone(line: str, found: Whole, given: object) -> float:
    """Return the end of the site work with one line's way in it and no other."""
    site = given.ask(dates.network)  # type: ignore[attr-defined]
    steps = set(found.ways[line].steps) if line in found.ways else set()
    keep = steps | set(site.index)
    network = schedule.Network(
        (a for a in found.network if a.id in keep),
        (k for k in found.network.links if k.before in keep and k.after in keep),
    )
    run = schedule.passes(
        network, given.ask(dates.calendar), given.as_of,  # type: ignore[attr-defined]
        {i: p for i, p in found.progress.items() if i in keep},
    )  # fmt: skip
    # a part that comes after the house is done and that nothing waits for any more moves nobody
    return max(run[a.id].early_finish for a in site)


def by_line(given: object) -> dict[str, OrderRow]:
    return {r.line: r for r in given.ask(orders).lines}  # type: ignore[attr-defined]


@pytest.mark.parametrize("days", [0, 24, 60])
def test_each_line_alone_moves_the_end_as_orders_say(days: int) -> None:
    """The passes over the network give the days of move-in of the plain rule, line by line."""
    given = answers(as_of=WRITTEN + timedelta(days=days))
    found, rows = given.ask(whole), by_line(given)
    plain = given.ask(dates.passes).working_days
    costs = {r.need.activity for r in rows.values() if r.need and r.state.move_in_days}
    assert costs
    for line, row in rows.items():
        if line in found.ways:
            assert alone(line, found, given) - plain == row.state.move_in_days, line
        else:
            assert not row.state.move_in_days, line


def test_the_slips_of_the_answer_key() -> None:
    given = answers()
    found, rows = given.ask(whole), by_line(given)
    slips = {
        rows[line].part_class: alone(line, found, given) - 115
        for line in found.ways
        if rows[line].part_class in {"RANGE", "HOOD", "F_TABLE", "CABB", "CABT"}
    }
    assert slips == {"RANGE": 36, "HOOD": 23, "F_TABLE": 18, "CABB": 5, "CABT": 5}


def test_what_is_here_and_what_nothing_waits_for_has_no_way() -> None:
    given = answers()
    found = given.ask(whole)
    for line, row in by_line(given).items():
        waits = row.need is not None and row.need.state != "done"
        assert (line in found.ways) == (waits and row.state.state != "on hand"), line


def test_every_uncertain_step_is_of_the_network_and_shares_its_maker() -> None:
    found = answers().ask(whole)
    names = {f.name for f in found.factors}
    for one in found.uncertain:
        assert one.activity in found.network.index
        assert set(one.factors) <= names
    (range_,) = (u for u in found.uncertain if u.luck == "to order RANGE")
    assert (range_.spread.low, range_.spread.high) == (20, 80)  # 4 to 16 weeks
    trucks = {u.luck for u in found.uncertain if "Oskar & Rye Millwork 2026-12-09" in u.luck}
    assert len(trucks) == 1  # three orders, one promise: one truck


def test_work_under_way_waits_with_what_is_left_of_it() -> None:
    given = answers(Progress(id="A400", started=WRITTEN, days_left=Fraction(1)))
    found = given.ask(whole)
    (range_,) = (r for r in by_line(given).values() if r.part_class == "RANGE")
    (link,) = (k for k in found.network.links if k.before == found.ways[range_.line].on_site)
    assert (link.after, link.kind, link.lag_days) == ("A400", "finish to finish", 1)


def test_a_measure_that_waits_for_the_part_itself_is_told_and_breaks_nothing() -> None:
    part_class = facts().get(PartClass, "RANGE").model_copy(update={"order_after": "A510"})
    found = answers(part_class).ask(whole)
    assert any("choose another measure or need" in note for note in found.notes)


def test_a_promise_that_passed_counts_as_coming_today() -> None:
    order = facts().get(Order, "PO-105/L011").model_copy(update={"promised": date(2027, 3, 1)})
    found = answers(order).ask(whole)
    way = found.ways["L011"]
    assert found.network["L011:make"].days == 0
    (one,) = (u for u in found.uncertain if u.activity == "L011:make")
    assert one.spread.high > 0
    assert way.order in found.progress


def test_history_of_a_maker_counts_trucks_and_leaves_a_short_order_aside() -> None:
    known = answers().ask(promises)
    forge = known.belief("F_SOFA", "Marlowe Forge")
    lines = [o for o in facts().all(Order) if o.maker == "Marlowe Forge"]
    trucks = {(o.order, o.promised) for o in lines if o.promised and o.promised < WRITTEN}
    assert 0 < forge.deliveries <= len(trucks) < len(lines)
    assert forge.ratio(0.5) == pytest.approx(1, abs=0.03)  # all came on the day
