"""Events as an iCalendar stream (RFC 5545, with NAME and REFRESH-INTERVAL of RFC 7986)."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from datetime import UTC, datetime, timedelta

from icalendar import Calendar as ICalendar
from icalendar import Event as IEvent

from roomwright.feed.events import Event

NAME = "House dates"
"""The name of every feed: a house's own name may tell who lives there."""

OFTEN = timedelta(hours=6)
"""How often a calendar is asked to read the feed again."""


def calendar(
    events: Iterable[Event], *, name: str, numbers: Mapping[str, int], stamp: datetime
) -> bytes:
    r"""Return the stream: lines folded at 75 octets, ended by CR LF.

    Parameters
    ----------
    name : str
        of the feed, the same for ever: with an event's key it makes the UID
    numbers : mapping of str to int
        the SEQUENCE of each event by its key; 0 where there is none
    stamp : datetime
        DTSTAMP of every event: when the journal last changed

    Examples
    --------
    >>> from datetime import date
    >>> one = Event("k1", "visit", date(2027, 4, 1), date(2027, 4, 2), "Tile: floor", "Room 101.")
    >>> on = datetime(2027, 3, 29, tzinfo=UTC)
    >>> made = calendar([one], name="n1", numbers={"k1": 2}, stamp=on)
    >>> print(made.decode().replace("\r", ""))
    BEGIN:VCALENDAR
    ...
    UID:k1@n1.roomwright.invalid
    ...
    """
    made = ICalendar()
    made.add("version", "2.0")
    made.add("prodid", "-//Roomwright//House dates//EN")
    made.add("calscale", "GREGORIAN")
    made.add("method", "PUBLISH")
    made.add("name", NAME)
    made.add("x-wr-calname", NAME)
    made.add("refresh-interval", OFTEN, parameters={"VALUE": "DURATION"})
    for each in events:
        made.add_component(_event(each, name, numbers.get(each.key, 0), stamp))
    return bytes(made.to_ical())


def _event(each: Event, name: str, number: int, stamp: datetime) -> IEvent:
    made = IEvent()
    made.add("uid", f"{each.key}@{name}.roomwright.invalid")
    made.add("sequence", number)
    made.add("dtstamp", stamp.astimezone(UTC).replace(microsecond=0))
    made.add("dtstart", each.first)
    made.add("dtend", each.last + timedelta(days=1))  # the day after the last one
    made.add("summary", _plain(each.title))
    if each.detail:
        made.add("description", _plain(each.detail))
    made.add("categories", [each.kind.upper()])
    made.add("class", "PRIVATE")
    made.add("transp", "TRANSPARENT")  # takes nobody's hours
    return made


def _plain(text: str) -> str:
    """Return text without what no content line may hold (RFC 5545, 3.1: control characters)."""
    return "".join(c if c >= " " and c != "\x7f" else " " for c in text)
