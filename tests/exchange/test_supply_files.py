"""Vendors, lead steps, events and measures of a house folder: read, written, refused."""

import pytest
from tests.exchange.houses import GOOD, read, wrong

from roomwright.exchange.folder import read_files
from roomwright.exchange.writer import to_files
from roomwright.job.entities import Event, FieldMeasure, LeadStep, Vendor
from roomwright.job.rules import examine

VENDORS = "vendor,name,phone,claim_days,note\nUs,Us & Sons,555-0141,5,\n"
STEPS = (
    "class,line,step,days_low,days_likely,days_high,counts,order_here,skip\n"
    "DESK,,make,5,10,20,,,\nDESK,,hold,,3,,elapsed,,\n,L1,hold,,,,,,yes\n"
)
EVENTS = (
    "event,what,order,line,qty,on,day,note\n"
    "E1,promised,P1,L1,,2027-03-24,2027-03-30,\nE2,promised,P1,L1,,2027-03-26,2027-04-01,\n"
    "E3,damaged,P1,L1,1,2027-03-27,,corner crushed\n"
)
MEASURES = "class,line,after,expires_by,words,on,by\nDESK,,A1,A2,walls plumb,2027-03-22,Ida\n"
ALL = {"vendors": VENDORS, "steps": STEPS, "events": EVENTS, "measures": MEASURES}


def test_they_are_read_and_written_as_they_stand():
    loaded = read(**ALL)
    facts = loaded.facts
    assert facts.get(Vendor, "Us").claim_days == 5
    assert facts.get(LeadStep, "class DESK/make").days_high == 20
    assert facts.get(LeadStep, "line L1/hold").skip == "yes"
    assert facts.get(Event, "E3").qty == 1
    assert facts.get(FieldMeasure, "class DESK").after == ("A1",)
    assert examine(facts) == []
    assert not loaded.warnings
    again = read_files({n: t.encode() for n, t in to_files(facts).items()})
    assert list(again.facts) == list(facts)


def test_a_house_without_them_has_no_such_files():
    files = to_files(read().facts)
    assert not {"vendors.csv", "steps.csv", "events.csv", "measures.csv"} & set(files)


BAD = [
    ("steps", "class,line,step,days_likely\nDESK,L1,make,3\n", "both a class and a line"),
    ("steps", "class,line,step,days_likely\n,,make,3\n", "no class and no line is named"),
    ("steps", "class,line,step,days_likely\nDESK,,bake,3\n", "bake"),
    ("steps", "class,line,step,days_low,days_likely\nDESK,,make,5,3\n", "more than days_likely"),
    ("steps", "class,line,step,days_likely,skip\n,L1,make,3,yes\n", "and yet has days"),
    ("steps", "class,line,step,days_likely,skip\nDESK,,make,,yes\n", "by not having it"),
    ("steps", "class,line,step,days_likely,order_here\nDESK,,hold,2,yes\n", "no order is placed"),
    ("steps", "class,line,step,days_likely\nSOFA,,make,3\n", "there is no class"),
    ("measures", "class,line,after\n,L9,A1\n", "there is no line"),
    ("measures", "class,line,after\nDESK,,A9\n", "there is no activity"),
    ("events", "event,what,order,line,on\nE1,promised,P1,L1,2027-03-24\n", "needs the day"),
    ("events", "event,what,order,line,day\nE1,shipped,P1,L1,2027-03-24\n", "only a promise"),
    ("events", "event,what,order,line\nE1,shipped,,L1\n", "no order is named"),
    ("events", "event,what,order,line\nE1,shipped,P9,L1\n", "P9 has no line L1"),
    ("events", "event,what,order,line\nE1,damaged,P1,L1\n", "how many were damaged"),
    ("events", "event,what,order,line,qty\nE1,damaged,P1,L1,2\n", "only 1 good"),
    ("events", "event,what,order,line,qty,on\nE1,damaged,P1,L1,1,2027-03-24\n", "only 0 good"),
    ("events", "event,what,order,line,qty\nE1,installed,P1,L1,2\n", "installed, but only 1 good"),
    ("events", "event,what,order,line,on\nE1,shipped,P1,L1,2027-03-01\n", "before the order"),
    ("events", "event,what,order,line,on\nE1,shipped,P1,L1,2072-03-01\n", "many years"),
    ("vendors", "vendor,claim_days\nUs,-3\n", "-3"),
]  # fmt: skip


@pytest.mark.parametrize(("file", "text", "said"), BAD)
def test_what_can_not_be_is_refused_by_cell(file, text, said):
    errors = wrong(**{file: text})
    assert errors
    assert all(e.startswith(f"{file}.csv, line 2") for e in errors), errors
    assert any(said in e for e in errors), errors


def test_a_measure_taken_too_soon_is_told():
    text = "class,line,after,on\nDESK,,A2,2027-03-22\n"
    assert any("A2 was not done by then" in str(w) for w in read(measures=text).warnings)


def test_an_order_that_could_not_be_read_is_no_second_error():
    bad = GOOD["orders.csv"].replace("L1,2,", "L1,two,")
    errors = wrong(orders=bad, events=EVENTS)
    assert len(errors) == 1
    assert errors[0].startswith("orders.csv, line 2, qty")
