"""choices.csv, change-orders.csv and calls.csv: read, written back, refused where they must be."""

from decimal import Decimal

import pytest

from roomwright.exchange.folder import FolderError, read_files
from roomwright.exchange.writer import to_files
from roomwright.job.entities import Call, ChangeOrder, Choice
from roomwright.job.people_facts import amount

HOUSE = {
    "house.toml": "name = 'Ours'\nsite_start = 2027-01-18\n",
    "rooms.csv": 'room,level,outline\n101,1,"0 0, 100 0, 100 100, 0 100"\n',
    "activities.csv": "activity,days_likely\nA1,3\nA2,2\n",
    "classes.csv": "class,needed_by\nLAMP,A1\n",
    "parts.csv": "line,room,class,qty\nL1,101,LAMP,2\n",
}
CHOICES = (
    "choice,what,who,by,lines,class,activity,options,decided,decision\n"
    'C1,which lamp,owner,2027-02-01,L1,LAMP,A1,"brass, $120; steel, $1,080.50",,\n'
    "C2,paint,builder,,,,A2,,2027-01-20,white\n"
)
CHANGES = (
    "change_order,title,price,days,lines,activities,agreed_by,agreed_on\n"
    'CO-1,more lamps,"$1,240.50",2,L1,A1 A2,\n'
    "CO-2,less paint,-200,,,,Ana,2027-02-03\n"
)
CALLS = "call,activity,visit,on,said,day\nK1,A1,2027-02-01,2027-01-20,another day,2027-02-03\n"
ALL = {**HOUSE, "choices.csv": CHOICES, "change-orders.csv": CHANGES, "calls.csv": CALLS}


def read(files):
    return read_files({name: text.encode() for name, text in files.items()}).facts


def test_they_are_read_and_written_back():
    facts = read(ALL)
    assert facts.get(Choice, "C1").lines == ("L1",)
    assert facts.get(ChangeOrder, "CO-1").price == Decimal("1240.50")
    assert facts.get(ChangeOrder, "CO-1").days == 2
    assert facts.get(ChangeOrder, "CO-2").price == -200
    assert facts.get(Call, "K1").day.day == 3
    again = read(to_files(facts))
    assert list(again) == list(facts)


@pytest.mark.parametrize(
    ("file", "old", "new", "says"),
    [
        ("choices.csv", "2027-01-20,white", "2027-01-20,", "but not what"),
        ("choices.csv", "2027-01-20,white", ",white", "but not when"),
        ("choices.csv", "L1,LAMP", "L9,LAMP", "no line “L9”"),
        ("choices.csv", "2027-02-01,L1", "2072-02-01,L1", "many years"),
        ("change-orders.csv", "Ana,2027-02-03", "Ana,", "no day"),
        ("change-orders.csv", "Ana,2027-02-03", ",2027-02-03", "by whom"),
        ("change-orders.csv", "A1 A2", "", "no work that takes them"),
        ("change-orders.csv", "-200", "twelve", "is no amount of money"),
        ("change-orders.csv", ",2,L1", ",900,L1", "over 365"),
        ("calls.csv", "another day", "confirmed", "another day"),
        ("calls.csv", "K1,A1", "K1,A9", "no activity “A9”"),
    ],
)
def test_what_cannot_be_is_refused_by_line(file, old, new, says):
    assert old in ALL[file]
    with pytest.raises(FolderError) as refused:
        read({**ALL, file: ALL[file].replace(old, new, 1)})
    (problem,) = [p for p in refused.value.problems if p.severity == "error"]
    assert problem.file == file
    assert problem.line
    assert says in str(problem)


@pytest.mark.parametrize(
    "text", ["", "a lot", "1,24", "1.240,50", "--5", "$", "1e5", "12.345", "9" * 12]
)
def test_what_is_no_amount_is_refused(text):
    with pytest.raises(ValueError, match="no amount of money"):
        amount(text)
