"""Rules of crews, drying rooms and bookings. The reader of folders holds the same."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from fractions import Fraction

from roomwright.job.entities import Activity, Booking, Crew, Drying
from roomwright.job.errors import Problem
from roomwright.job.facts import Change, Facts
from roomwright.job.rules_of_supply import Fault
from roomwright.job.words import day, named, number
from roomwright.trades import key_of

MOST_DRYING = 60
"""A room closed for longer is a slip of the pen [days]."""


def faults(facts: Facts) -> Iterator[Fault]:
    """Yield all that is wrong with crews, drying and bookings."""
    for crew in facts.all(Crew):
        yield from of_crew(facts, crew)
    for drying in facts.all(Drying):
        yield from of_drying(drying)
    for booking in facts.all(Booking):
        yield from of_booking(facts, booking)


def of_crew(facts: Facts, crew: Crew) -> Iterator[Fault]:
    """A crew is one trade: work of two trades names both with a stroke between.

    A trade is told once, however it is written.
    """
    same = (c.id for c in facts.all(Crew) if key_of(c.id) == key_of(crew.id) and c.id != crew.id)
    for other in same:
        yield Fault("crew", crew.id, "id", f"is the trade {other} again",
                    "say all of it in one row: capitals make no other trade")  # fmt: skip
    if "/" in crew.id:
        first, _, second = crew.id.partition("/")
        yield Fault("crew", crew.id, "id", "names two trades",
                    f"write a row for {first.strip()} and one for {second.strip()}")  # fmt: skip


def of_drying(drying: Drying) -> Iterator[Fault]:
    """Rooms are closed for whole or half days, and not for a season."""
    if not 0 < drying.days <= MOST_DRYING or not _halves(drying.days):
        yield Fault("drying", drying.id, "days", f"{number(drying.days)} days can't be",
                    f"give 1/2 to {MOST_DRYING} elapsed days, whole or half")  # fmt: skip


def of_booking(facts: Facts, booking: Booking) -> Iterator[Fault]:
    """Who is booked works some days, and was not booked after they were to come."""
    work = facts.find(Activity, booking.id)
    if work is not None and not work.days_likely:
        yield Fault("booking", booking.id, "id", f"{booking.id} is a milestone: nobody comes to it",
                    "book the work before or after it")  # fmt: skip
    if booking.days is not None and (not 0 < booking.days <= 2000 or not _halves(booking.days)):
        yield Fault("booking", booking.id, "days", f"{number(booking.days)} days can't be",
                    "give 1/2 to 2000 days, whole or half, or leave it empty")  # fmt: skip
    if booking.on is not None and booking.on > booking.first_day:
        text = f"it was said on {day(booking.on)}, after the day itself, {day(booking.first_day)}"
        yield Fault("booking", booking.id, "on", text, "correct one of the two dates")


def _halves(days: Fraction) -> bool:
    return (days * 2).denominator == 1


def crews_make_sense(facts: Facts, changes: Sequence[Change]) -> Iterator[Problem]:
    """What is written of crews, drying and bookings can be so."""
    for c in changes:
        f = c.after
        found: Iterator[Fault] = iter(())
        if isinstance(f, Crew):
            found = of_crew(facts, f)
        elif isinstance(f, Drying):
            found = of_drying(f)
        elif isinstance(f, Booking):
            found = of_booking(facts, f)
        elif isinstance(f, Activity) and not f.days_likely:
            booking = facts.find(Booking, f.id)
            found = iter(()) if booking is None else of_booking(facts, booking)
        for one in found:
            text = f"{named(None, one.kind, one.id)}: {one.wrong}; {one.do}."
            yield Problem(one.kind, one.id, one.field, text)


crew_rules = (crews_make_sense,)
