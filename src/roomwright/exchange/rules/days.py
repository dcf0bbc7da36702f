"""Days and dates that follow one another: low to high, started to finished, placed to promised."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date
from fractions import Fraction
from itertools import pairwise

from roomwright import days as calendar
from roomwright.exchange.rules.broken import Broken, Lacks
from roomwright.job.entities import (
    Activity,
    Booking,
    Call,
    ChangeOrder,
    Choice,
    Event,
    Fact,
    FieldMeasure,
    House,
    Order,
    PartClass,
    Posting,
    Progress,
    Receipt,
)
from roomwright.job.facts import Facts

_DATED: dict[type[Fact], tuple[str, ...]] = {
    Progress: ("started", "finished"),
    Order: ("placed", "promised"),
    Receipt: ("on",),
    Posting: ("posted", "taken_down"),
    Event: ("on", "day"),
    FieldMeasure: ("on",),
    Choice: ("by", "decided"),
    ChangeOrder: ("asked_on", "agreed_on"),
    Call: ("on", "visit", "day"),
    Booking: ("first_day", "on"),
}
_TO_COME = ("promised", "day", "by", "visit", "first_day")
"""Days that may lie ahead of the day the files describe."""

_PAIRS: tuple[tuple[type[Fact], str, str, str], ...] = (
    (Progress, "started", "finished", "was finished on {}, before it started on {}"),
    (Order, "placed", "promised", "is promised for {}, before it was placed on {}"),
    (Posting, "posted", "taken_down", "was taken down on {}, before it was hung on {}"),
)


def days(facts: Facts, lacks: Lacks) -> Iterator[Broken]:
    """Estimates rise from low to high, dates follow one another and lie in the house's years."""
    for activity in facts.all(Activity):
        yield from _rising(activity, "working days", ("days_low", "days_likely", "days_high"))
    for part in facts.all(PartClass):
        yield from _rising(part, "weeks", ("lead_weeks_low", "lead_weeks_high"))
    for kind, first, then, said in _PAIRS:
        for fact in facts.all(kind):
            a, b = getattr(fact, first), getattr(fact, then)
            if a and b and b < a:
                yield Broken(kind.kind_name, fact.id, then, "error", said.format(b, a),
                             "correct one of the two dates")  # fmt: skip
    yield from _progress(facts)
    yield from _receipts(facts)
    house = facts.find(House, "house")
    if house is not None:
        yield from _years(facts, house)
        if house.written_as_of is not None:
            yield from _to_come(facts, house.written_as_of)


def _rising(fact: Fact, unit: str, fields: tuple[str, ...]) -> Iterator[Broken]:
    known = [(f, getattr(fact, f)) for f in fields if getattr(fact, f) is not None]
    for (low, a), (high, b) in pairwise(known):
        if a > b:
            yield Broken(fact.kind_name, fact.id, low, "error",
                         f"{low} is {_plain(a)} {unit if a > 1 else unit[:-1]}, more than "
                         f"{high}, which is {_plain(b)}",
                         "swap them or correct one")  # fmt: skip


def _plain(value: Fraction) -> str:
    whole, rest = divmod(value, 1)
    return f"{whole} {rest}" if whole and rest else str(value)


def _progress(facts: Facts) -> Iterator[Broken]:
    for told in facts.all(Progress):
        if told.finished and told.days_left:
            yield Broken("progress", told.id, "days_left", "error",
                         f"is finished, but has {_plain(told.days_left)} days left",
                         "clear the one that is not so")  # fmt: skip
        elif told.finished and not told.started:
            yield Broken("progress", told.id, "started", "warning",
                         "is finished, but nobody wrote when it started",
                         "fill in its first day")  # fmt: skip


def _receipts(facts: Facts) -> Iterator[Broken]:
    placed = {(o.order, o.line): o.placed for o in facts.all(Order) if o.placed}
    for receipt in facts.all(Receipt):
        ordered = placed.get((receipt.order, receipt.line))
        if receipt.on and ordered and receipt.on < ordered:
            yield Broken("receipt", receipt.id, "on", "error",
                         f"came on {receipt.on}, before it was ordered on {ordered}",
                         "correct one of the two dates")  # fmt: skip


def _years(facts: Facts, house: House) -> Iterator[Broken]:
    """A date far from the start of work is a slip of the pen, such as 2072 for 2027."""
    start = house.site_start.year
    first, last = start - calendar.YEARS_BEFORE, start + calendar.YEARS_AFTER

    def far(day: date | None) -> bool:
        return day is not None and not first <= day.year <= last

    do = f"check its year: work starts on {house.site_start}"
    for kind, fields in _DATED.items():
        for fact in facts.all(kind):
            for field in fields:
                if far(getattr(fact, field)):
                    wrong = f"{getattr(fact, field)} is many years from the start of work"
                    yield Broken(kind.kind_name, fact.id, field, "error", wrong, do)
    for field in ("written_as_of", "days_off"):
        value = getattr(house, field)
        for day in value if isinstance(value, tuple) else (value,):
            if far(day):
                wrong = f"{day} is many years from the start of work"
                yield Broken("house", "house", field, "error", wrong, do)


def _to_come(facts: Facts, as_of: date) -> Iterator[Broken]:
    """What has happened has happened by the day the files describe."""
    for kind, fields in _DATED.items():
        for fact in facts.all(kind):
            for field in fields:
                day = getattr(fact, field)
                if field not in _TO_COME and day is not None and day > as_of:
                    yield Broken(kind.kind_name, fact.id, field, "warning",
                                 f"{day} is after {as_of}, the day these files describe",
                                 "correct it, or written_as_of")  # fmt: skip
