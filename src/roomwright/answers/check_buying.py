"""Checks of what is bought: classes, the work that needs them, promises, what is drawn."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator
from datetime import date
from fractions import Fraction

from roomwright.answers import counts
from roomwright.answers.calendars import known
from roomwright.answers.check_finding import Finding
from roomwright.answers.engine import Ask
from roomwright.counts.notes import brief
from roomwright.job.entities import (
    Activity,
    Companion,
    Contact,
    Order,
    Part,
    PartClass,
    Piece,
    Room,
)
from roomwright.trades import key_of, named

WEEK_OVER = 1
"""A promise this many weeks past the high lead is looked at [our own figure]."""


def findings(ask: Ask) -> Iterator[Finding]:
    """Yield what is doubtful about what is bought."""
    parts, classes = ask.all(Part), {c.id: c for c in ask.all(PartClass)}
    yield from _classes(ask, parts, classes)
    yield from _rooms_of_work(ask, parts, classes)
    yield from _orders(ask, classes)
    yield from _drawn(ask, classes)
    yield from _questions(ask)
    yield from _phones(ask)


def _list(ids: list[str], most: int = 8) -> str:
    shown = ids[:most]
    more = f" and {len(ids) - most} more" if len(ids) > most else ""
    return ", ".join(shown) + more


def _classes(ask: Ask, parts: tuple[Part, ...], classes: dict[str, PartClass]) -> Iterator[Finding]:
    used = {p.part_class for p in parts}
    unused = [id for id in classes if id not in used]
    if unused and parts:
        wrong, do = f"No line buys from {_list(unused)}.", "Add the lines, or leave the class out."
        yield Finding("class not used", "note", wrong, do, "", "class", tuple(unused))
    leadless = [id for id in classes if id in used and classes[id].lead_weeks_high is None
                and classes[id].order_after is None]  # fmt: skip
    if leadless:
        lines = tuple(p.id for p in parts if p.part_class in set(leadless))
        yield Finding("no lead time", "look",
                      f"Nobody has said how long {_list(leadless)} take, so {len(lines)} "
                      f"line{'s have' if len(lines) > 1 else ' has'} no order-by date.",
                      "Ask the maker and fill in lead_weeks_low and lead_weeks_high.",
                      "", "class", tuple(leadless))  # fmt: skip
    kits = {c.part_class for c in ask.all(Companion)}
    bare = [id for id in classes if id in used and id not in kits]
    if kits and bare:
        yield Finding("no kit", "note", f"Nothing is said to go with {_list(bare)}.",
                      "If they come with nothing, fine; else add their companion parts.",
                      "", "class", tuple(bare))  # fmt: skip
    none = tuple(p.id for p in parts if p.qty == 0)
    if none:
        yield Finding("line of none", "note", f"{_list(list(none))} count nothing.",
                      "Give a quantity, or remove the line.", "", "part", none)  # fmt: skip


def _rooms_of_work(
    ask: Ask, parts: tuple[Part, ...], classes: dict[str, PartClass]
) -> Iterator[Finding]:
    """A line is in a room where the work that needs it, or its measure, goes."""
    work = {a.id: a for a in ask.all(Activity)}
    astray: dict[tuple[str, str], list[Part]] = defaultdict(list)
    for part in parts:
        kind = classes.get(part.part_class)
        for field in ("needed_by", "order_after"):
            activity = work.get(getattr(kind, field) or "") if kind else None
            if activity and activity.rooms and not {part.room, "all"} & set(activity.rooms):
                astray[activity.id, field].append(part)
    for (id, field), lines in astray.items():
        activity = work[id]
        told = ", ".join(f"{p.id} ({classes[p.part_class].name}, {p.room})" for p in lines[:6])
        more = f" and {len(lines) - 6} more" if len(lines) > 6 else ""
        verb = "needed by" if field == "needed_by" else "made to"
        places = sorted({p.room for p in lines})
        yield Finding(
            "work does not go there", "look",
            f"{id} {brief(activity.name)} does not go to {_list(places)}, but {told}{more} "
            f"{'is' if len(lines) == 1 else 'are'} {verb} it.",
            f"Add {_list(places)} to the rooms of {id}, or say which other work "
            f"{'it is' if len(lines) == 1 else 'they are'} for.",
            places[0] if len(places) == 1 else "", "part", tuple(p.id for p in lines),
        )  # fmt: skip


def _orders(ask: Ask, classes: dict[str, PartClass]) -> Iterator[Finding]:
    part_class = {p.id: p.part_class for p in ask.all(Part)}
    undated: dict[str, list[str]] = defaultdict(list)
    slow: dict[tuple[date, date, Fraction], list[Order]] = defaultdict(list)
    for order in ask.all(Order):
        if order.promised is None:
            undated[order.order].append(order.id)
        kind = classes.get(part_class.get(order.line, ""))
        high = kind.lead_weeks_high if kind else None
        if high is None or not (order.placed and order.promised):
            continue
        if Fraction((order.promised - order.placed).days, 7) > high + WEEK_OVER:
            slow[order.placed, order.promised, high].append(order)
    if undated:
        ids = tuple(id for of in undated.values() for id in of)
        wrong = f"Nobody has promised a day for {_list([*undated])}."
        do = "Call, and write the promised date into the order."
        yield Finding("no promise", "look", wrong, do, "", "order", ids)
    for (placed, promised, high), orders in slow.items():
        names = _list([*dict.fromkeys(o.order for o in orders)])
        things = _list([*dict.fromkeys(classes[part_class[o.line]].name for o in orders)], 4)
        yield Finding(
            "slower than its lead", "look",
            f"{things} ({names}): promised {round((promised - placed).days / 7)} weeks after "
            f"ordering; the lead was given as {high} weeks at most.",
            "Ask why, and correct the lead so that the next order is placed in time.",
            "", "order", tuple(o.id for o in orders),
        )  # fmt: skip


def _drawn(ask: Ask, classes: dict[str, PartClass]) -> Iterator[Finding]:
    """Pieces that no line buys, and lines of which fewer are drawn than bought."""
    found = ask(counts.counts)
    pieces = ask.all(Piece)
    parts = {p.id: p for p in ask.all(Part)}
    if not pieces or not parts:
        return
    for piece in pieces:
        if piece.id not in found.bought_as:
            yield Finding("piece not bought", "note",
                          f"No line buys {piece.kind} {piece.id} in {piece.room}.",
                          "Add a line for it, name its line, or leave it if it is there already.",
                          piece.room, "piece", (piece.id,))  # fmt: skip
    drawn: dict[str, int] = defaultdict(int)
    for piece in pieces:
        if piece.id in found.bought_as:
            drawn[found.bought_as[piece.id]] += 1
    shown = {parts[line].part_class for line in drawn}
    for part in parts.values():
        if part.part_class in shown and drawn[part.id] < part.qty:
            room = ask.find(Room, part.room)
            where = f"{part.room} {room.name}".strip() if room else part.room
            count = f"{drawn[part.id]} of {part.qty}" if part.qty > 1 else "not"
            note = f" ({part.note})" if part.note else ""
            yield Finding("not on the plan", "note",
                          f"{part.id} {classes[part.part_class].name}{note} is {count} drawn in "
                          f"{where}.", "Draw it to see whether it fits.",
                          part.room, "part", (part.id,))  # fmt: skip


def _questions(ask: Ask) -> Iterator[Finding]:
    for q in ask(counts.counts).questions:
        lines = _list(list(q.lines))
        yield Finding("unanswered", "note",
                      f"{q.name}: {q.part} goes with it {_if(q.when)}; not counted for {lines}. "
                      f"{q.hint}".strip(),
                      "Decide; to count it, clear the condition in companions.csv.",
                      q.rooms[0] if len(q.rooms) == 1 else "", "part", q.lines)  # fmt: skip


def _if(when: str) -> str:
    return f"“{when}”"


def _phones(ask: Ask) -> Iterator[Finding]:
    """Trades that work here and have no phone number: their sheets cannot print one."""
    contacts = ask.all(Contact)
    if not contacts:
        return
    have = {*(key_of(c.id) for c in contacts if c.phone), "all", "owner"}
    trades: dict[str, str] = {}
    for work in ask.all(Activity):
        trades = {**named(work.trade, ask(known)), **trades}
    lacking = sorted(name for key, name in trades.items() if key not in have)
    if lacking:
        yield Finding("no phone", "note", f"There is no phone number for {_list(lacking, 20)}.",
                      "Add them to contacts.csv: a wall sheet prints whom to call.",
                      "", "contact", tuple(lacking))  # fmt: skip
