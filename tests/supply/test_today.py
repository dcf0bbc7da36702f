"""Today: what saves most first, one maker together, only what is the builder's or the owner's."""

from __future__ import annotations

from datetime import date

from roomwright.days import Calendar
from roomwright.supply import Lead, Need, OrderLine, Received, Wanted, Work, line_state, today
from roomwright.supply.today import days_in_words

HOUSE = Calendar(date(2027, 1, 18))
AS_OF = date(2027, 3, 29)
NEED = Need("A1", "Set cabinets, level them", date(2027, 4, 26), date(2027, 4, 26), 70, 0)


def wanted(
    line: str, name: str, *, weeks: int = 2, promised: date | None = None, qty: int = 1,
    maker: str = "", bought_by: str = "", note: str = "", came: bool = False, need: Need = NEED,
) -> Wanted:  # fmt: skip
    orders = [OrderLine("PO-" + line, maker, qty, AS_OF, promised)] if promised or came else []
    receipts = [Received("PO-" + line, qty, AS_OF, note)] if came else []
    lead = Lead(1, weeks)
    found = line_state(line, qty, need, lead, HOUSE, AS_OF, orders=orders, receipts=receipts)
    return Wanted(line, "101", name, found, need, lead, maker, bought_by)


def kinds(*lines: Wanted, site: tuple[Work, ...] = ()) -> list[str]:
    return [t.kind for t in today(lines, site, HOUSE, AS_OF)]


def test_the_dearest_stands_first() -> None:
    tasks = today(
        [
            wanted("L1", "Range", weeks=6),
            wanted("L2", "Hood", weeks=9),
            wanted("L3", "Tall cabinet", promised=date(2027, 5, 5), maker="Oskar"),
        ],
        [],
        HOUSE,
        AS_OF,
    )
    assert [t.days for t in tasks] == [25, 10, 7]
    assert tasks[0].title == "Order: Hood"
    assert tasks[2].title == "Chase Oskar: Tall cabinet"
    assert tasks[2].why == (
        "Tall cabinet: late by 7 working days: promised May 5, needed Apr 26; "
        "Set cabinets has 0 days to spare, so move-in slips 7 days",
    )
    assert days_in_words(tasks[0], AS_OF) == "25 days of move-in (a guess)"
    assert days_in_words(tasks[2], AS_OF) == "7 days of move-in"


def test_what_one_maker_gets_is_said_together() -> None:
    (task,) = today(
        [
            wanted("L1", "Base cabinet", promised=date(2027, 5, 3), maker="Oskar", qty=9),
            wanted("L2", "Wall cabinet", promised=date(2027, 5, 5), maker="Oskar"),
            wanted("L3", "Base cabinet", promised=date(2027, 5, 3), maker="Oskar"),
        ],
        [],
        HOUSE,
        AS_OF,
    )
    assert task.title == "Chase Oskar: Base cabinet (10), Wall cabinet"
    assert task.days == 7
    assert task.lines == ("L1", "L2", "L3")
    assert task.orders == ("PO-L1", "PO-L2", "PO-L3")
    assert len(task.why) == 2  # the two that share a promise are one sentence
    assert task.why[0].startswith("Wall cabinet")


def test_another_makers_things_and_unknown_makers_stay_apart() -> None:
    tasks = today(
        [wanted("L1", "Range"), wanted("L2", "Hood"), wanted("L3", "Sink", maker="Forge")],
        [], HOUSE, AS_OF,
    )  # fmt: skip
    assert {t.title for t in tasks} == {"Order: Range", "Order: Hood", "Order from Forge: Sink"}


def test_many_names_are_cut_short() -> None:
    lines = [wanted(f"L{i}", f"Thing {i}", maker="Forge") for i in range(6)]
    (task,) = today(lines, [], HOUSE, AS_OF)
    assert task.title == "Order from Forge: Thing 0, Thing 1, Thing 2 and 3 more"


def test_what_other_trades_buy_or_do_is_not_on_the_list() -> None:
    assert kinds(wanted("L1", "Boot", weeks=20, bought_by="HVAC")) == []
    assert kinds(wanted("L1", "Boot", weeks=20, bought_by="Owner")) == ["order"]
    assert kinds(wanted("L1", "Boot", weeks=20, bought_by="builder/HVAC")) == ["order"]


def test_what_the_owner_buys_is_the_owners_task() -> None:
    """The builder and the owner each call the same maker."""
    mine = wanted("L1", "Sink", weeks=20, maker="Forge")
    theirs = wanted("L2", "Lamp", weeks=20, maker="Forge", bought_by="owner")
    damaged = wanted("L3", "Chair", came=True, note="dented", bought_by="owner")
    found = today([mine, theirs, damaged], [], HOUSE, AS_OF)
    assert sorted((t.title, t.who) for t in found) == [
        ("Order from Forge: Sink", "builder"),
        ("Owner to look at what came: Chair, room 101", "owner"),
        ("Owner to order from Forge: Lamp", "owner"),
    ]
    begun = date(2027, 3, 24)
    site = (
        Work("A1", "Hold the climate", "builder", "started", begun, begun, 4, 3),
        Work("A2", "Tile sign-off", "tile/owner", "to do", AS_OF, AS_OF, 0, 1),
        Work("A3", "Paint", "painter", "started", begun, begun, 0, 2),
        Work("A4", "Walk", "builder", "to do", date(2027, 3, 30), date(2027, 3, 30), 0, 1),
        Work("A5", "Blocking", "builder", "done", begun, begun, 0, 0),
    )
    tasks = today([], site, HOUSE, AS_OF)
    assert [(t.activity, t.days) for t in tasks] == [("A2", 1), ("A1", 0)]
    assert tasks[0].why == (
        "Can begin, 1 day left, 0 days to spare: each day it waits is a day of move-in",
    )


def test_due_stands_here_only_within_the_week() -> None:
    assert kinds(wanted("L1", "Sink", weeks=1)) == []  # order by Apr 8
    near = Need("A1", "Set", date(2027, 4, 20), date(2027, 4, 20), 66, 0)
    (task,) = today([wanted("L1", "Sink", weeks=1, need=near)], [], HOUSE, AS_OF)
    assert task.title == "Order this week: Sink"
    assert days_in_words(task, AS_OF) == "by Apr 2"


def test_what_came_with_a_note() -> None:
    (task,) = today([wanted("L1", "Tub", came=True, note="apron scratched")], [], HOUSE, AS_OF)
    assert (task.kind, task.why) == ("check", ("Tub: apron scratched",))
    assert kinds(wanted("L1", "Tub", came=True)) == []


def test_every_task_has_a_why() -> None:
    gone = Need("R1", "Rough", date(2027, 2, 1), date(2027, 2, 1), 10, 0, "done")
    tasks = today(
        [
            wanted("L1", "Can", need=gone),
            wanted("L2", "Fan", need=gone, promised=date(2027, 2, 1), maker="Forge"),
        ],
        [],
        HOUSE,
        AS_OF,
    )
    assert [t.kind for t in tasks] == ["ask", "left out"]
    assert all(t.why and t.why[0] for t in tasks)
