"""Who is where: in which rooms, on which days, by whose calendar."""

from datetime import date

import pytest

from roomwright.answers import Answers
from roomwright.answers.who import who
from roomwright.days import HorizonError
from roomwright.job.entities import Activity, Contact, House, Link, Progress, Room
from roomwright.job.facts import Facts

SQUARE = ((0, 0), (100, 0), (100, 100), (0, 100))


def house(*more):
    return Answers(
        Facts([
            House(name="H", site_start=date(2027, 3, 29)),
            Room(id="101", name="Dining", level="1", outline=SQUARE),
            Room(id="102", level="1", outline=tuple((x + 200, y) for x, y in SQUARE)),
            Activity(id="A", name="Prime", days_likely=3, trade="painter", rooms=("101",)),
            Activity(id="B", name="Heat", days_likely=1, rooms=("all",)),
            Activity(id="C", name="Paint", days_likely=3, trade="painter", rooms=("101", "102")),
            Activity(id="M", name="Done", days_likely=0, rooms=("all",)),
            Link(id="A > C (finish to start)", before="A", after="C"),
            Contact(id="painter", name="Ana", phone="555-0100"),
            *more,
        ]),
        as_of=date(2027, 3, 29),
    )  # fmt: skip


def ids(day, room=""):
    return [one.activity for one in (day.within(room) if room else day.here)]


def test_each_is_there_from_its_first_to_its_last_day():
    found = house().ask(who, date(2027, 3, 29), 7).days
    assert [ids(d) for d in found] == [["B", "A"], ["A"], ["A"], ["C"], ["C"], [], []]
    assert [d.works for d in found] == [True] * 5 + [False] * 2
    assert ids(found[0], "102") == ["B"]
    assert ids(found[3], "102") == ["C"]
    assert found[0].here[1].people == (("painter", "Ana", "555-0100"),)


def test_a_day_off_that_was_worked_is_told():
    told = Progress(id="B", started=date(2027, 3, 27), finished=date(2027, 3, 27))
    (saturday,) = house(told).ask(who, date(2027, 3, 27)).days
    assert (saturday.works, ids(saturday)) == (False, ["B"])


def test_a_crew_with_days_of_its_own_is_there_on_its_saturday():
    from roomwright.job.entities import WorkCalendar

    week = ("mon", "tue", "wed", "thu", "fri", "sat")
    own = WorkCalendar(id="painter", work_week=week)
    found = house(own).ask(who, date(2027, 3, 29), 7).days
    assert [ids(d) for d in found][3:6] == [["C"], ["C"], ["C"]]
    assert not found[5].works


def test_a_day_years_away_is_refused():
    for day in (date.max, date.min, date(2300, 5, 1)):
        with pytest.raises(HorizonError, match="check the year"):
            house().ask(who, day, 28)
