"""Lead chains, measures, events: what orders and the whole network say of them."""

from datetime import date

import pytest
from tests.answers.a_glass_house import FILES, TILED, glass_house

from roomwright import schedule
from roomwright.answers import dates
from roomwright.answers.counts import counts
from roomwright.answers.happened import story
from roomwright.answers.lead_chains import chain_of, chained, measured, steps_of_line
from roomwright.answers.line_chain import line_way
from roomwright.answers.orders import OrderRow, orders
from roomwright.answers.today import today
from roomwright.answers.whole_network import whole

MEASURED = (
    "class,line,after,expires_by,words,on\nPANEL,,TILE,CURB,tile grouted,\n,L1,,,,2027-03-22\n"
)
P1 = "P1,Quarry,L1,2,2027-03-23,2027-04-06\n"


def row(given, line: str) -> OrderRow:
    return next(r for r in given.ask(orders).lines if r.line == line)


def day(given, activity: str) -> date:
    found = given.ask(whole)
    run = schedule.passes(found.network, given.ask(dates.calendar), given.as_of, found.progress,
                          not_before=found.not_before)  # fmt: skip
    return run.start_date(activity)


def test_a_line_takes_its_classs_steps_with_what_it_says_itself():
    given = glass_house(steps=(
        "class,line,step,days_likely,skip\nPANEL,,make,10,\nPANEL,,ship,2,\nPANEL,,decide,1,\n"
        ",L1,make,35,\n,L1,decide,,yes\n"
    ))  # fmt: skip
    assert [(s.step, s.days_likely) for s in given.ask(steps_of_line, "L1")] == [
        ("make", 35), ("ship", 2)]  # fmt: skip
    assert given.ask(steps_of_line, "L2") == ()
    assert given.ask(chained) == {"L1"}  # the measure of its class, too
    assert given.ask(chain_of, "L2") is None


def test_a_measure_waits_for_its_condition():
    given = glass_house()
    assert given.ask(measured, "L1").standing.stand == "can't be taken yet"
    assert day(given, "L1:measure") == date(2027, 4, 12)  # tile: Mar 29 to Apr 9
    assert day(given, "GLASS") == date(2027, 4, 30)  # 1 + 10 + 2 + 1 days after
    found = row(given, "L1")
    assert found.state.state == "can't be ordered yet"
    assert "field measure can't be taken yet: first: TILE Tile shower" in found.as_json()["why"]
    assert found.state.move_in_days > 0  # its lead is in no activity of the network


def test_a_measure_that_holds_lets_it_be_ordered():
    given = glass_house(progress=TILED, measures=MEASURED)
    assert given.ask(measured, "L1").standing.holds
    assert day(given, "L1:order") == date(2027, 3, 29)
    assert row(given, "L1").state.state == "order now"


@pytest.mark.parametrize("finished", ["2027-03-23", ""])
def test_later_work_spoils_the_measure_and_the_order(finished):
    given = glass_house(progress=f"{TILED}CURB,2027-03-23,{finished}\n", measures=MEASURED,
                        orders=P1)  # fmt: skip
    found = row(given, "L1")
    assert found.state.state == "void"
    assert any("CURB Stone curb was worked on since: measure again" in w
               for w in found.as_json()["why"])  # fmt: skip
    assert day(given, "L1:measure") > date(2027, 3, 29)
    assert given.ask(whole).progress.get("L1:order") is None


def test_a_promise_that_moved_is_told_and_the_last_one_stands():
    given = glass_house(
        progress=TILED, measures=MEASURED, orders=P1.replace("04-06", "04-15"),
        events=("E1,promised,P1,L1,,2027-03-23,2027-04-01\n"
                "E2,promised,P1,L1,,2027-03-25,2027-04-06\n"
                "E3,promised,P1,L1,,2027-03-26,2027-04-15\n"),
    )  # fmt: skip
    says = "promise of P1 moved twice, 10 working days later: from Apr 1 to Apr 15"
    assert says in row(given, "L1").as_json()["why"]
    assert day(given, "GLASS") == date(2027, 4, 15)
    told = given.ask(story, "L1")
    assert told.orders[0].moved == 2
    assert told.said("P1") == date(2027, 3, 26)
    assert [h.what for h in told.happened] == ["ordered", "promised", "promised"]
    (spread,) = [u for u in given.ask(whole).uncertain if u.activity == "L1:ship"]
    assert spread.factors == ("maker Quarry",)
    assert spread.spread.low < 13 < spread.spread.high  # days to Apr 15


def test_a_promise_on_the_order_that_no_event_has_is_the_last():
    given = glass_house(
        progress=TILED, measures=MEASURED, orders=P1,
        events="E1,promised,P1,L1,,2027-03-25,2027-04-01\n",
    )  # fmt: skip
    assert day(given, "GLASS") == date(2027, 4, 6)


def test_damage_is_made_anew_and_claimed_in_time():
    texts = {"progress": TILED, "measures": MEASURED, "orders": P1,
             "receipts": "R1,P1,L1,2,2027-04-06\n"}  # fmt: skip
    whole_ = glass_house(date(2027, 4, 7), **texts)
    assert row(whole_, "L1").state.state == "on hand"
    assert "L1" not in whole_.ask(whole).ways
    broken = glass_house(date(2027, 4, 7), **texts, events="E1,damaged,P1,L1,1,2027-04-07,\n")
    found = row(broken, "L1")
    assert (found.state.state, found.state.received) == ("promise passed", 1)
    assert "1 of P1 damaged, not claimed: claim by Apr 11" in found.as_json()["why"]
    assert day(broken, "GLASS") == date(2027, 4, 26)  # 10 + 2 days, and 1 to receive
    claimed = "E1,damaged,P1,L1,1,2027-04-07,\nE2,claimed,P1,L1,1,2027-04-08,\n"
    told = row(glass_house(date(2027, 4, 9), **texts, events=claimed), "L1").as_json()["why"]
    assert not any("claim" in w for w in told)
    late = claimed.replace("04-08", "04-12")
    told = row(glass_house(date(2027, 4, 13), **texts, events=late), "L1").as_json()["why"]
    assert "1 of P1 damaged, claimed Apr 12: after the window closed Apr 11" in told


def test_what_has_come_still_acclimates():
    texts = {"orders": "P2,Mill,L2,10,2027-03-10,2027-03-24\n"}
    given = glass_house(**texts, receipts="R1,P2,L2,10,2027-03-26\n")
    assert day(given, "FLOOR") == date(2027, 4, 2)  # seven elapsed days
    later = glass_house(date(2027, 4, 20), **texts, receipts="R1,P2,L2,10,2027-03-26\n")
    assert day(later, "FLOOR") == date(2027, 4, 20)


def test_working_days_of_a_hold_are_over_when_they_are_over():
    steps = "class,line,step,days_likely\nOAK,,make,5\nOAK,,hold,5\n"
    texts = {"orders": "P2,Mill,L2,10,2027-03-10,2027-03-24\n", "steps": steps,
             "receipts": "R1,P2,L2,10,2027-03-26\n"}  # fmt: skip
    assert day(glass_house(**texts), "FLOOR") == date(2027, 4, 2)
    assert day(glass_house(date(2027, 4, 20), **texts), "FLOOR") == date(2027, 4, 20)


def test_shipped_leaves_only_the_way():
    given = glass_house(progress=TILED, measures=MEASURED, orders="P1,Quarry,L1,2,2027-03-23,\n",
                        events="E1,shipped,P1,L1,,2027-03-29,\n")  # fmt: skip
    assert day(given, "L1:arrive") == date(2027, 3, 31)


def test_part_of_a_line_on_no_order_is_still_to_order():
    given = glass_house(progress=TILED, measures=MEASURED, orders=P1.replace("L1,2", "L1,1"))
    found = given.ask(whole)
    assert "L1:order" not in found.progress
    assert "L1:make 2" in found.ways["L1"].steps
    assert day(given, "L1:make 2") == date(2027, 3, 29)


def test_work_under_way_waits_for_the_rest():
    given = glass_house(
        progress=TILED + "GLASS,2027-03-26,\n", measures=MEASURED, orders=P1,
    )  # fmt: skip
    link = next(k for k in given.ask(whole).network.links if k.after == "GLASS" and ":" in k.before)
    assert (link.kind, link.before) == ("finish to finish", "L1:receive")


def test_a_measure_that_waits_for_the_part_itself_is_told():
    given = glass_house(measures="class,after\nPANEL,GLASS\n")
    found = given.ask(whole)
    assert any("which needs the part" in n for n in found.notes)


def test_a_house_without_such_facts_has_no_chains():
    given = glass_house(steps="class,line,step\n", measures="class,line,after\n")
    assert given.ask(chained) == frozenset()
    assert list(given.ask(whole).ways["L1"].steps) == ["L1:order", "L1:make", "L1:arrive"]


def test_damage_stands_in_the_counts_as_in_the_orders():
    texts = {"progress": TILED, "measures": MEASURED, "orders": P1,
             "receipts": "R1,P1,L1,2,2027-04-06\n"}  # fmt: skip
    events = "E1,damaged,P1,L1,1,2027-04-07,\n"
    given = glass_house(date(2027, 4, 9), **texts, events=events)
    found = {d.kind: d for d in given.ask(counts).disagreements if d.line == "L1"}
    assert (found["damaged"].by, found["damaged"].received) == (1, 1)
    assert "came on Apr 6, 1 damaged" in found["damaged"].text
    assert found["short"].received == row(given, "L1").state.received == 1
    texts["receipts"] += "R2,P1,L1,1,2027-04-08\n"
    given = glass_house(date(2027, 4, 9), **texts, events=events)
    assert not [d for d in given.ask(counts).disagreements if d.line == "L1"]
    assert row(given, "L1").state.state == "on hand"


def test_the_vendors_steps_run_on_his_days():
    calendars = "calendar,closed\nQuarry,2027-03-29 to 2027-04-09\n"
    orders_ = "P1,Quarry,L1,2,2027-03-29,\n"
    plain = glass_house(progress=TILED, measures=MEASURED, orders=orders_)
    closed = glass_house(progress=TILED, measures=MEASURED, orders=orders_, calendars=calendars)
    assert day(plain, "L1:arrive") == date(2027, 4, 14)
    assert day(closed, "L1:arrive") == date(2027, 4, 28)


def test_today_names_the_measure_that_can_be_taken():
    def tasks(**texts):
        return [t for t in glass_house(**texts).ask(today).tasks if t.kind == "measure"]

    assert tasks() == []  # the tile is not done
    (one,) = tasks(progress=TILED)
    assert one.title == "Measure: Shower glass"
    assert one.lines == ("L1",)
    assert "made to a measure with tile grouted: measure now" in one.why[0]
    assert tasks(progress=TILED, measures=MEASURED) == []
    (again,) = tasks(progress=TILED + "CURB,2027-03-23,2027-03-23\n", measures=MEASURED)
    assert "CURB Stone curb was worked on since: measure again" in again.why[0]
    assert tasks(progress=TILED + "CURB,2027-03-23,\n", measures=MEASURED) == []  # under way
    assert tasks(progress=TILED, parts="line,room,class,qty,bought_by\nL1,1,PANEL,2,glazier\n"
                 "L2,1,OAK,10,\n") == []  # fmt: skip


def test_today_says_by_when_to_claim():
    given = glass_house(
        date(2027, 4, 9), progress=TILED, measures=MEASURED, orders=P1,
        receipts="R1,P1,L1,2,2027-04-06\n", events="E1,damaged,P1,L1,1,2027-04-07,\n",
    )  # fmt: skip
    whys = [w for t in given.ask(today).tasks if t.kind == "check" for w in t.why]
    assert any("1 damaged, not claimed: claim by Apr 11" in w for w in whys)


def test_a_measure_without_work_beside_one_of_the_network():
    """The network's own measure still holds the order where the line's own waits for nothing."""
    classes = FILES["classes.csv"].replace("lead_weeks_low", "order_after,lead_weeks_low")
    classes = classes.replace("GLASS,2,4", "GLASS,TILE,2,4").replace("FLOOR,1,2", "FLOOR,,1,2")
    given = glass_house(classes=classes, measures="class,words\nPANEL,tile grouted\n")
    found = given.ask(whole)
    assert any((k.before, k.after) == ("TILE", "L1:order") for k in found.network.links)
    assert row(given, "L1").state.state == "can't be ordered yet"


def test_a_lines_way_is_late_against_the_plan_of_the_site():
    given = glass_house(progress=TILED, measures=MEASURED, orders=P1.replace("04-06", "04-15"))
    way = given.ask(line_way, "L1")
    assert [s.step for s in way.steps] == ["decide", "measure", "order", "ship", "arrive"]
    late = way.steps[-1]
    assert late.first == date(2027, 4, 15)
    assert late.spare == -row(given, "L1").state.move_in_days == -9
    assert late.last_safe == row(given, "L1").need.last_safe
    told = way.as_json()
    assert told["measure"]["state"] == "holds"
    assert told["chain"][0]["state"] == "done"


@pytest.mark.parametrize(("by", "who"), [
    ("", "builder"), ("Builder", "builder"), ("builder/owner", "builder"),
    ("owner", "owner"), ("Owner", "owner"), ("glazier", None),
])  # fmt: skip
def test_the_measure_is_theirs_who_buy(by, who):
    parts = f"line,room,class,qty,bought_by\nL1,1,PANEL,2,{by}\n"
    given = glass_house(progress=TILED, parts=parts)
    found = [(t.who, t.title) for t in given.ask(today).tasks if t.kind == "measure"]
    title = {"builder": "Measure: Shower glass", "owner": "Owner to measure: Shower glass"}
    assert found == ([] if who is None else [(who, title[who])])


def test_owner_and_builder_measure_apart():
    parts = "line,room,class,qty,bought_by\nL1,1,PANEL,2,\nL3,1,PANEL,1,owner\n"
    given = glass_house(progress=TILED, parts=parts)
    tasks = [(t.who, t.lines) for t in given.ask(today).tasks if t.kind == "measure"]
    assert sorted(tasks) == [("builder", ("L1",)), ("owner", ("L3",))]


def test_a_line_that_waits_for_a_second_maker_goes_by_his_days():
    """Quarry's part of it is here; what is still to come is Mill's, who is closed in April."""
    given = glass_house(
        orders="P1,Quarry,L2,4,2027-03-01,2027-03-10\nP2,Mill,L2,6,2027-03-20,2027-05-10\n",
        receipts="R1,P1,L2,4,2027-03-10\n",
        calendars="calendar,closed\nMill,2027-04-01 to 2027-04-30\n",
    )
    told = given.ask(chain_of, "L2")
    assert told.waiting == "P2"
    assert told.vendor is not None
    assert not told.vendor.is_working(date(2027, 4, 14))
    found = given.ask(whole)
    assert found.ways["L2"].maker == "Mill"
    assert {f for u in found.uncertain if u.activity.startswith("L2") for f in u.factors} == {
        "maker Mill"
    }
