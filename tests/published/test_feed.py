"""The calendar feed against RFC 5545: line by line, and by a reader of other hands (ical)."""

import re
from datetime import UTC, date, datetime, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st
from ical.calendar_stream import IcsCalendarStream
from tests.answers.demo_house import answers, facts

from roomwright.feed import Event, calendar, events
from roomwright.job.entities import Contact, House, Order, Part
from roomwright.job.entities import Event as Event_
from roomwright.job.feeds import key_of

STAMP = datetime(2027, 3, 29, 12, 30, 5, 999, tzinfo=UTC)
NAME = "a" * 24


def made(found, numbers=None):
    return calendar(found, name=NAME, numbers=numbers or {}, stamp=STAMP)


def unfolded(stream: bytes) -> list[str]:
    """Content lines, each physical line checked on the way (RFC 5545, 3.1)."""
    assert stream.endswith(b"\r\n")
    assert b"\n" not in stream.replace(b"\r\n", b""), "every line ends with CR LF"
    assert b"\r" not in stream.replace(b"\r\n", b"")
    for line in stream.split(b"\r\n"):
        assert len(line) <= 75, "75 octets at most, the end of the line not counted"
        line.decode("utf-8")  # no character is cut in two
        assert not re.search(rb"[\x00-\x08\x0b-\x1f\x7f]", line), "no control characters"
    return stream.decode("utf-8").replace("\r\n ", "").split("\r\n")[:-1]


ONCE = {"UID", "DTSTAMP", "DTSTART", "DTEND", "SEQUENCE", "SUMMARY", "CLASS", "TRANSP"}
"""Required in an event, or allowed no more than once (3.6.1)."""


def checked(stream: bytes) -> list[dict[str, str]]:
    """The events by their properties, after what RFC 5545 asks of the stream."""
    lines = unfolded(stream)
    assert lines[0] == "BEGIN:VCALENDAR"
    assert lines[-1] == "END:VCALENDAR"
    head = lines[: lines.index("BEGIN:VEVENT")] if "BEGIN:VEVENT" in lines else lines
    assert sum(x.startswith("PRODID:") for x in head) == 1
    assert head.count("VERSION:2.0") == 1
    found: list[dict[str, str]] = []
    inside = False
    for line in lines:
        assert re.match(r"[A-Z][A-Z0-9-]*([;:])", line), line
        if line == "BEGIN:VEVENT":
            assert not inside
            found.append({})
            inside = True
        elif line == "END:VEVENT":
            inside = False
        elif inside:
            name = re.split("[;:]", line)[0]
            assert name not in found[-1], f"{name} stands twice"
            found[-1][name] = line
    for each in found:
        assert set(each) >= ONCE
        first, after = (
            date.fromisoformat(each[n].removeprefix(f"{n};VALUE=DATE:"))
            for n in ("DTSTART", "DTEND")
        )
        assert first < after, "DTEND is later than DTSTART (3.8.2.2)"
        assert re.fullmatch(r"DTSTAMP:\d{8}T\d{6}Z", each["DTSTAMP"]), "in UTC (3.8.7.2)"
        assert re.fullmatch(r"SEQUENCE:\d+", each["SEQUENCE"])
    assert len({e["UID"] for e in found}) == len(found), "UIDs are unique (3.8.4.7)"
    return found


def test_the_demo_by_the_rules_and_by_another_reader():
    found = events(answers())
    stream = made(found)
    assert len(checked(stream)) == len(found) > 60
    (other,) = IcsCalendarStream.from_ics(stream.decode()).calendars
    read = {e.uid.partition("@")[0]: e for e in other.events}
    assert len(read) == len(found)
    for each in found:
        event = read[each.key]
        assert (event.dtstart, event.dtend) == (each.first, each.last + timedelta(days=1))
        assert event.summary == each.title
        assert (event.description or "") == each.detail
        assert event.dtstamp == STAMP.replace(microsecond=0)
        assert event.sequence == 0
    assert {e.kind for e in found} == {"order by", "landing", "inspection", "visit"}


TEXT = st.text(st.characters(codec="utf-8"), max_size=120)
DAY = st.dates(date(2020, 1, 1), date(2040, 1, 1))


@given(
    title=TEXT,
    detail=TEXT,
    first=DAY,
    more=st.integers(0, 60),
    key=st.text("0123456789abcdef", min_size=1, max_size=24),
    number=st.integers(0, 10_000),
)
def test_any_words_keep_to_the_rules_and_are_read_back(title, detail, first, more, key, number):
    event = Event(key, "visit", first, first + timedelta(days=more), title, detail)
    stream = made([event], {key: number})
    (found,) = checked(stream)
    assert found["SEQUENCE"] == f"SEQUENCE:{number}"
    plain = "".join(c if c >= " " and c != "\x7f" else " " for c in title)
    value = found["SUMMARY"].removeprefix("SUMMARY:")
    assert re.sub(r"\\(.)", r"\1", value) == plain, "backslash, comma and semicolon (3.3.11)"


def test_it_holds_no_personal_data():
    state = facts()
    text = "\n".join(unfolded(made(events(answers())))).lower()
    secret = {c.name for c in state.all(Contact)} | {c.phone for c in state.all(Contact)}
    secret |= {o.maker for o in state.all(Order)} | {state.get(House, "house").name}
    secret |= {o.note for o in state.all(Order)} | {"$"}
    for word in secret - {"", "site"}:
        assert word.lower() not in text, word


@pytest.mark.parametrize("moved", [False, True])
def test_the_same_thing_keeps_its_uid_when_its_day_moves(moved):
    before = {e.key: e for e in events(answers())}
    order = next(o for o in facts().all(Order) if o.order == "PO-105")
    later = [
        o.model_copy(update={"promised": o.promised + timedelta(days=7 * moved)})
        for o in facts().all(Order)
        if o.order == order.order
    ]
    after = {e.key: e for e in events(answers(*later))}
    part = facts().get(Part, order.line)
    landing = [key_of("landing", order.order, part.part_class)]
    assert set(after) == set(before)
    for key in landing:
        assert (after[key].first - before[key].first).days == 7 * moved


BATH = "PO-101", "L172"
"""An order and its line that came whole, promised for Feb 2."""


def happening(id, what, on, **more):
    order, line = BATH
    return Event_(id=id, what=what, order=order, line=line, on=on, **more)


def landing_of_the_bath(*more):
    key = key_of("landing", "PO-101", facts().get(Part, "L172").part_class)
    return next((e for e in events(answers(*more)) if e.key == key), None)


def test_what_was_damaged_lands_again_on_the_day_that_was_promised_since():
    assert landing_of_the_bath() is None, "it is here"
    harm = happening("E1", "damaged", date(2027, 3, 20), qty=1)
    assert landing_of_the_bath(harm) is None, "the promise of February is not for a new one"
    order = next(o for o in facts().all(Order) if (o.order, o.line) == BATH)
    again = order.model_copy(update={"promised": date(2027, 4, 20)})
    words = [
        happening("E0", "promised", order.placed, day=order.promised),
        happening("E2", "promised", date(2027, 3, 22), day=date(2027, 4, 20)),
    ]
    found = landing_of_the_bath(harm, again, *words)
    assert (found.first, found.title[:6]) == (date(2027, 4, 20), "Lands:")
    older = words[1].model_copy(update={"on": date(2027, 3, 1)})
    assert landing_of_the_bath(harm, again, words[0], older) is None, "said before it broke"


def test_what_is_overdue_stands_on_the_day_of_the_feed():
    """The order-by dates of the answer key that are over on Mar 29: hood, range, dining table."""
    found = [e for e in events(answers()) if e.kind == "order by"]
    late = {e.title: e.first for e in found if e.title.startswith("Overdue")}
    for since, what in (("Jan 28", "hood"), ("Jan 7", "Range"), ("Feb 10", "table")):
        (title,) = (t for t in late if since in t and what in t)
        assert title.startswith(f"Overdue since {since}, order: ")
        assert late[title] == date(2027, 3, 29)
    assert all(e.first >= date(2027, 3, 29) for e in found)
    assert all(e.first > date(2027, 3, 29) or "Overdue" in e.title or "by today" in e.title
               for e in found)  # fmt: skip


def test_nobody_comes_for_what_is_made_in_a_shop_or_goes_on_by_itself():
    titles = " ".join(e.title for e in events(answers()) if e.kind == "visit")
    assert "Countertop template" in titles
    assert not re.search("fabrication|Acclimation", titles)
