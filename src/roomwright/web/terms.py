"""Days and terms: who works on which days, makers' terms, what days and early parts cost."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction
from typing import Annotated, Final

from fastapi import APIRouter, Query, Request
from starlette.responses import Response

from roomwright.answers import terms
from roomwright.answers.lead_chains import steps_of
from roomwright.commands.keeping import FIELDS, LIMITS
from roomwright.days import holiday_sets, weekday
from roomwright.job.entities import (
    House,
    Keeping,
    LeadStep,
    Part,
    PartClass,
    Vendor,
    WorkCalendar,
    owner_id,
)
from roomwright.job.facts import Facts
from roomwright.job.people_facts import dollars
from roomwright.job.rules_of_calendars import HOUSE
from roomwright.supply.chains import STEPS
from roomwright.trades import key_of
from roomwright.web.desk import AtDesk, AtHouse
from roomwright.web.house_page import house_page
from roomwright.web.trouble import NotHereError

router = APIRouter()

WEEK: Final = ("mon", "tue", "wed", "thu", "fri", "sat", "sun")
Name = Annotated[str, Query(max_length=80)]
STEP_WORDS: Final = {
    "decide": "somebody chooses", "measure": "we measure on site", "submit": "drawings are made",
    "approve": "drawings are looked at and approved", "make": "it is made",
    "ship": "it is on its way", "receive": "we receive, open and check it",
    "hold": "it rests in the room, or is finished there",
}  # fmt: skip
COSTS: Final = (
    ("price", "Price of all its pieces", "like $2,600"),
    ("deposit", "Paid with the order, of the price, %", "like 30"),
    ("rate", "What money costs a year, %", "like 8"),
    ("storage", "Storing it, a week", "like 25"),
    ("damage_chance", "Chance of damage in a week here, %", "like 1"),
    ("damage", "What damage costs", "else the price"),
    ("room", "Room that it takes, pallets or square feet", "like 2"),
)
HOUSE_LIMITS: Final = (
    ("room_most", "Room for what waits, in the same unit", "like 8"),
    ("cash_most", "Money laid out at most", "like 40,000"),
    ("receipts_most", "Deliveries in a day at most", "like 2"),
)


@dataclass(frozen=True, slots=True)
class Kept:
    """What keeping costs in one form: of what, each field as typed, and what holds where empty."""

    owner: str
    title: str
    part_class: str
    line: str
    rows: tuple[tuple[str, str, str, str], ...]
    """Field, label, what is said here, what holds if that is left empty."""
    note: str
    seen: str


def plain_money(amount: Decimal | Fraction | None) -> str:
    """Return an amount as it is typed: cents only where there are some.

    >>> plain_money(Decimal("2600.00")), plain_money(Fraction(901, 2)), plain_money(None)
    ('2600', '450.50', '')
    """
    return "" if amount is None else dollars(amount).replace("$", "").replace(",", "")


def typed(field: str, value: object) -> str:
    """Return a value of keeping as it is typed."""
    if isinstance(value, Decimal):
        return plain_money(value)
    if isinstance(value, Fraction):
        return f"{float(value):g}"
    return "" if value is None else str(value)


def seen(facts: Facts, kind: str, id: str) -> str:
    """Return the version of a fact that a form shows; empty where it is not there yet."""
    version = facts.version(kind, id)
    return f"{kind} {id} {version}" if version else ""


def keeping_of(facts: Facts, of: str) -> Kept:
    """Return the form of what keeping costs: of a line or class by its id, or of the house.

    Raises
    ------
    NotHereError
        where no line or class has that id
    """
    wanted = of.strip().lower()
    line = next((p for p in facts.all(Part) if p.id.lower() == wanted), None) if wanted else None
    part_class = next((c for c in facts.all(PartClass) if c.id.lower() == wanted), None)
    if wanted and line is None and part_class is None:
        raise NotHereError(f"No line and no class is called “{of}”: type L019, say, or a class.",
                           [("Orders, with every line", "orders?show=all")])  # fmt: skip
    chain = ["house"]
    if line is not None:
        chain = [owner_id("", line.id), owner_id(line.part_class, ""), "house"]
    elif part_class is not None:
        chain = [owner_id(part_class.id, ""), "house"]
    held = [facts.find(Keeping, id) for id in chain]
    rows = []
    for field, label, example in COSTS + (() if wanted else HOUSE_LIMITS):
        above = next((f"{typed(field, v)}, as {_whose(id)} says" for id, k in
                      zip(chain[1:], held[1:], strict=True)
                      if k is not None and (v := getattr(k, field)) is not None), "")  # fmt: skip
        own = typed(field, getattr(held[0], field)) if held[0] is not None else ""
        rows.append((field, label, own, f"else {above}" if above else example))
    title = "everything in the house"
    of_line = facts.find(PartClass, line.part_class) if line is not None else None
    if line is not None:
        title = f"{line.id}, {of_line.name if of_line else line.part_class}"
    elif part_class is not None:
        title = f"each line of {part_class.id}, {part_class.name}"
    return Kept(
        chain[0], title, part_class.id if part_class is not None and line is None else "",
        line.id if line is not None else "", tuple(rows),
        held[0].note if held[0] is not None else "", seen(facts, "keeping", chain[0]),
    )  # fmt: skip


def _whose(id: str) -> str:
    return "the house" if id == HOUSE else id


def told(one: Keeping) -> str:
    """Return what a line, class or the house says of keeping, in words."""
    said = [
        _in_words(label, field, value)
        for field, label, _ in COSTS + HOUSE_LIMITS
        if (value := getattr(one, field)) is not None
    ]
    return "; ".join([*said, *([one.note] if one.note else [])])


def _in_words(label: str, field: str, value: object) -> str:
    name = f"{label[:1].lower()}{label[1:]}"
    if isinstance(value, Decimal):
        return f"{name} {dollars(value)}"
    share = name.removesuffix(", %")
    return f"{share} {typed(field, value)} %" if share != name else f"{name} {typed(field, value)}"


def chosen_days(found: tuple[terms.Days, ...], name: str) -> terms.Days:
    """Return whose days the form is for; the house's where nobody is named."""
    wanted = key_of(name) or HOUSE
    for one in found:
        if key_of(one.id) == wanted:
            return one
    raise NotHereError(f"No trade and no maker is called “{name}” here.",
                       [("Days and terms", "terms")])  # fmt: skip


def calendar_form(facts: Facts, one: terms.Days) -> dict[str, object]:
    """Return what the form of a calendar shows: of the house its own days off as well."""
    vendor = facts.find(Vendor, one.id) if one.of == "maker" else None
    id = (vendor.calendar if vendor is not None else "") or one.id
    held = next((c for c in facts.all(WorkCalendar) if key_of(c.id) == key_of(id)), None)
    own = held or WorkCalendar(id=id)
    closed, week = own.closed, own.work_week
    house = facts.get(House, HOUSE)
    versions = [seen(facts, "calendar", own.id)] if held is not None else []
    if one.of == "house":
        closed = (*(d.isoformat() for d in house.days_off), *closed)
        week = week or tuple(WEEK[weekday(d)] for d in house.work_week)
        versions.append(seen(facts, "house", HOUSE))
    return {
        "id": own.id, "week": week, "mornings": own.mornings, "holidays": own.holidays,
        "closed": closed, "follows": own.follows_house, "note": own.note,
        "seen": "\n".join(versions),
    }  # fmt: skip


def need_class(facts: Facts, id: str) -> PartClass | None:
    """Return the class whose steps are asked for, if one is."""
    if not id.strip():
        return None
    for one in facts.all(PartClass):
        if one.id.lower() == id.strip().lower():
            return one
    raise NotHereError(f"No class is called “{id}” here.", [("Days and terms", "terms")])


@router.get("/h/{house}/terms")
def page_of_terms(
    request: Request, at: AtHouse, desk: AtDesk, calendar: Name = "", maker: Name = "",
    of: Name = "", steps: Name = "",
) -> Response:  # fmt: skip
    """Show days and terms, and the forms to change them."""
    facts = at.answers.facts
    everybody = at.answers.ask(terms.days)
    makers = at.answers.ask(terms.makers)
    picked = next((m for m in makers if key_of(m.id) == key_of(maker)), None)
    if maker.strip() and picked is None:
        raise NotHereError(
            f"No maker is called “{maker}” here.", [("Days and terms", f"{at.at}/terms")]
        )
    whose = chosen_days(everybody, calendar)
    part_class = need_class(facts, steps)
    held: tuple[LeadStep, ...] = ()
    if part_class is not None:
        held = at.answers.ask(steps_of, part_class.id)
    classes = facts.all(PartClass)
    stepped = {s.part_class for s in facts.all(LeadStep) if s.part_class}
    return house_page(
        request, desk, at, "terms.html", everybody=everybody, whose=whose,
        form=calendar_form(facts, whose), week=WEEK, sets=holiday_sets(), makers=makers,
        maker=picked, maker_seen=seen(facts, "vendor", picked.id) if picked else "",
        calendars=[c.id for c in facts.all(WorkCalendar) if c.id != HOUSE],
        fact=facts.get(House, HOUSE), house_seen=seen(facts, "house", HOUSE),
        kept=keeping_of(facts, of), keepings=[(k, told(k)) for k in facts.all(Keeping)],
        fields=" ".join(f for f in FIELDS if not of.strip() or f not in LIMITS),
        classes=classes, part_class=part_class, steps=STEPS, step_words=STEP_WORDS,
        held={s.step: s for s in held}, stepped=[c for c in classes if c.id in stepped],
        step_seen={s.step: seen(facts, "step", s.id) for s in held}, plain_money=plain_money,
    )  # fmt: skip
