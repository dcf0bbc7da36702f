"""Calendars of the house, its trades and makers: what each follows; the dates they give."""

from __future__ import annotations

from datetime import date, timedelta
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from roomwright.answers import Answers, calendars
from roomwright.answers.dates import calendar, dates
from roomwright.commands import BadCommandError, parse
from roomwright.exchange.folder import FolderError, read_files
from roomwright.exchange.shift import shift_weeks
from roomwright.exchange.writer import to_files
from roomwright.job.entities import Activity, Fact, House, Link, Vendor, WorkCalendar
from roomwright.job.facts import Facts
from roomwright.job.rules import check, examine

MONDAY = date(2027, 3, 1)
HOUSE = House(name="A", site_start=MONDAY, days_off=(date(2027, 3, 5),))
WORK = (
    Activity(id="A", days_likely=Fraction(3), trade="Tile"),
    Activity(id="B", days_likely=Fraction(2), trade="tile / plumber"),
    Link(id="A > B", before="A", after="B"),
)


def house(*facts: Fact) -> Answers:
    return Answers(Facts([HOUSE, *WORK, *facts]), as_of=MONDAY)


def spans(answers: Answers) -> list[tuple[date, date]]:
    return [(a.first_day, a.last_day) for a in answers.ask(dates).activities]


def march(*days: int) -> list[date]:
    return [date(2027, 3, d) for d in days]


def test_without_calendars_all_work_by_the_house() -> None:
    assert house().ask(calendars.of_trade, "Tile") is None
    assert spans(house()) == [tuple(march(1, 3)), tuple(march(4, 8))]  # the 5th is off


def test_a_crew_keeps_the_days_off_of_the_house_as_well() -> None:
    crew = WorkCalendar(id="tile", mornings="sat", closed="2027-03-02")
    assert spans(house(crew)) == [tuple(march(1, 4)), tuple(march(8, 9))]
    alone = WorkCalendar(id="TILE", mornings="sat", follows_house="no")
    # Alone, the tile setter works on the 5th and on Saturday; with the plumber only as both do.
    assert spans(house(alone)) == [tuple(march(1, 3)), tuple(march(4, 8))]
    three = Activity(id="A", days_likely=Fraction(11, 2), trade="Tile")
    facts = Facts([HOUSE, three, alone])
    assert spans(Answers(facts, as_of=MONDAY)) == [tuple(march(1, 6))]


def test_the_row_of_the_house_adds_to_it() -> None:
    own = WorkCalendar(id="house", holidays="usual six", mornings="2027-03-02", closed="every 3-3")
    found = house(own).ask(calendar)
    assert not found.is_working(date(2027, 3, 5))  # from the house itself
    assert not found.is_working(date(2028, 3, 3))
    assert not found.is_working(date(2027, 5, 31))
    assert found.number(date(2027, 3, 4)) == 1.5
    assert spans(house(own)) == [tuple(march(1, 8)), tuple(march(8, 10))]
    rows = house(own).ask(dates).activities
    assert (rows[0].dates.early_finish, rows[1].dates.early_start) == (3, 3)


def test_a_vendor_names_its_calendar_or_its_own_name_finds_it() -> None:
    facts = (
        WorkCalendar(id="the shop", closed="every Jul 1 to Jul 15"),
        WorkCalendar(id="acme", holidays="federal"),
        Vendor(id="Maple", calendar="The Shop"),
    )
    answers = house(*facts)
    shop = answers.ask(calendars.of_maker, "Maple")
    assert not shop.is_working(date(2028, 7, 5))
    acme = answers.ask(calendars.of_maker, "ACME")
    assert not acme.is_working(date(2027, 10, 11))
    assert answers.ask(calendars.of_maker, "nobody") is None


def test_trades_that_share_no_weekday() -> None:
    early = WorkCalendar(id="tile", work_week="mon; tue")
    late = WorkCalendar(id="plumber", work_week="thu")
    found = house(early, late).ask(calendars.of_trade, "tile / plumber")
    assert found.work_week == {0, 1}


def test_a_folder_gives_the_same_calendars_back() -> None:
    own = WorkCalendar(id="tile", work_week="tue,mon", mornings="Sat; every 12-24",
                       holidays="Usual  Six", closed="2027-07-09 .. 2027-07-12; 2027-08-02",
                       follows_house="no", note="one setter")  # fmt: skip
    days = Fraction(1)
    held = Activity(id="C", days_likely=days, trade="tile", not_before=date(2027, 3, 9),
                    promised_by=date(2027, 3, 19), hold="notice",
                    hold_until=date(2027, 3, 12))  # fmt: skip
    facts = Facts([HOUSE, *WORK, own, held])
    files = to_files(facts)
    again = read_files({n: t.encode() for n, t in files.items()} | {"rooms.csv": ROOMS}).facts
    assert again.get(WorkCalendar, "tile") == own
    assert again.get(Activity, "C") == held
    moved = shift_weeks(facts, 2)
    assert moved.get(WorkCalendar, "tile").closed == ("2027-07-23 to 2027-07-26", "2027-08-16")
    assert moved.get(WorkCalendar, "tile").mornings == ("sat", "every 12-24")
    assert moved.get(Activity, "C").hold_until == date(2027, 3, 26)


ROOMS = b'room,level,outline\n1,1,"0 0, 100 0, 100 80"\n'
HEAD = "calendar,work_week,mornings,holidays,closed\n"


@pytest.mark.parametrize(
    ("row", "words"),
    [
        ("tile,mond,,,", "no weekday 'mond'"),
        ("tile,,2027-13-01,,", "there is no such day"),
        ("tile,,,moon,", "no holiday set “moon”: use eves, federal"),
        ("tile,,,,July", "no day or run of days"),
        ("tile,,,,every 01-01 to 06-30; every 07-01 to 12-31", "hardly a working day in 2022"),
    ],
)
def test_bad_calendars_are_refused_with_line_and_column(row: str, words: str) -> None:
    files = to_files(Facts([HOUSE, *WORK])) | {"calendars.csv": HEAD + row + "\n"}
    with pytest.raises(FolderError, match=r"calendars\.csv, line 2") as no:
        read_files({n: t.encode() for n, t in files.items()} | {"rooms.csv": ROOMS})
    assert words in str(no.value)


def test_dates_that_hold_an_activity_agree() -> None:
    held = Activity(
        id="A", days_likely=Fraction(1), not_before=MONDAY, promised_by=date(2027, 2, 1)
    )
    (told,) = [p for p in examine(Facts([HOUSE, held])) if p.kind == "activity"]
    assert told.field == "promised_by"
    far = Activity(id="A", days_likely=Fraction(1), not_before=date(2072, 3, 1))
    assert "check its year" in str(examine(Facts([HOUSE, far]))[0])
    for days in (-1800, 3640):  # as far as can be said, dates can still be worked out
        edge = Activity(id="A", days_likely=Fraction(1), not_before=MONDAY + timedelta(days))
        assert not examine(Facts([HOUSE, edge]))
        assert Answers(Facts([HOUSE, edge]), as_of=MONDAY).ask(dates).finish is not None


def done(facts: Facts, **values: object) -> tuple[Facts, str]:
    command = parse("set calendar", values)
    work = command.work(facts, lambda _: [])
    after = facts.changed(work.changes)
    assert not check(after, list(work.changes))
    return after, work.sentence


def test_the_command() -> None:
    facts = Facts([HOUSE, *WORK])
    facts, said = done(facts, calendar="tile", mornings="sat", closed="2027-03-02")
    assert said == "Tile works by a calendar of its own: mornings sat; closed 2027-03-02."
    assert facts.ids(WorkCalendar) == ("Tile",)
    facts, said = done(facts, calendar="TILE", closed="")
    assert facts.get(WorkCalendar, "Tile").mornings == ("sat",)
    _, said = done(facts, calendar="tile", mornings="sat")
    assert said == "The calendar of Tile says so already."
    facts, said = done(facts, calendar="tile", whole="yes")
    assert said == "Tile works by the calendar of the house again."
    assert not facts.all(WorkCalendar)
    facts, _ = done(facts, calendar="House", holidays=["usual six", "eves"])
    assert facts.get(WorkCalendar, "house").holidays == ("usual six", "eves")
    with pytest.raises(BadCommandError, match="no trade, maker or vendor is called “roofer”"):
        done(facts, calendar="roofer", mornings="sat")
    with pytest.raises(BadCommandError, match="no weekday"):
        done(facts, calendar="tile", work_week="never")


@given(st.text(max_size=40))
def test_any_words_are_read_or_refused(text: str) -> None:
    for field in ("work_week", "mornings", "holidays", "closed"):
        try:
            made = WorkCalendar(id="a", **{field: text})
        except ValueError:
            continue
        assert WorkCalendar.model_validate(made.model_dump(mode="json")) == made
        made.rota.calendar(MONDAY)
