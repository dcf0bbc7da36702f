"""Counts that must agree: plan lines and kits, orders, receipts and what is drawn."""

from __future__ import annotations

import math
from collections import defaultdict
from collections.abc import Iterator
from dataclasses import replace
from fractions import Fraction
from typing import Any

from roomwright import counts as engine
from roomwright import supply
from roomwright.answers import dates, happened, orders
from roomwright.answers.engine import Ask, query
from roomwright.counts.hands import hand_of, hinged_at
from roomwright.days import HorizonError
from roomwright.job.entities import (
    Activity,
    Companion,
    Event,
    House,
    Opening,
    Order,
    Outline,
    Part,
    PartClass,
    Piece,
    Progress,
    Receipt,
    Room,
)
from roomwright.shape import Outline as Ring
from roomwright.shape import Point


@query("counts")
def counts(ask: Ask) -> engine.Counts:
    """Return all counts of the house; each disagreement with the days of move-in it threatens."""
    rooms = {r.id: r for r in ask.all(Room)}
    plan = engine.Plan(
        lines=_lines(ask),
        ordered=tuple(
            engine.Ordered(o.order, o.line, o.qty, o.maker, o.placed, o.promised, o.note)
            for o in ask.all(Order)
        ),
        came=tuple(_came(ask)),
        doors=tuple(_door(o, rooms) for o in ask.all(Opening)),
        drawn=tuple(_drawn(p) for p in ask.all(Piece)),
        class_rows=len(ask.all(Companion)),
    )
    found = engine.reconcile(plan, ask.as_of, {id: room.name for id, room in rooms.items()})
    disagreements = tuple(
        replace(d, move_in_days=_again(ask, d) if d.kind in ORDER_AGAIN else None)
        for d in found.disagreements
    )
    return replace(found, disagreements=disagreements)


def _came(ask: Ask) -> Iterator[engine.Came]:
    """Yield what came, without what was damaged or sent back; it is looked for from the last on."""
    lost = {e.line for e in ask.all(Event) if e.what in ("damaged", "returned")}
    left: dict[tuple[str, str], list[int]] = {}
    found = []
    for r in reversed(ask.all(Receipt)):
        one = engine.Came(r.id, r.order, r.line, r.qty, r.on, r.note)
        if r.line in lost:
            story = ask(happened.story, r.line).order(r.order)
            gone, bad = left.setdefault(
                (r.order, r.line),
                [story.lost, min(story.damaged, story.qty - story.good)] if story else [0, 0],
            )
            here = min(r.qty, gone)
            told = max(0, min(here, bad))
            left[r.order, r.line] = [gone - here, bad - told]
            said = ", ".join([f"{told} damaged", *(t for _, t in story.claims)]) if story else ""
            one = replace(one, qty=r.qty - here, damaged=told, damage=said)
        found.append(one)
    yield from reversed(found)


ORDER_AGAIN: frozenset[engine.Kind] = frozenset({"short", "left out", "wrong hand", "damaged"})
"""Disagreements whose worst case is that pieces are ordered again today: a guess by lead time."""


def _again(ask: Ask, d: engine.Disagreement) -> float | None:
    """Return the days of move-in if the missing pieces are ordered today at the high lead."""
    kind = ask.find(PartClass, d.part_class)
    need, measure = ask(orders.needs).get(d.part_class, (None, None))
    if kind is None or need is None:
        return None
    lead = supply.Lead(kind.lead_weeks_low, kind.lead_weeks_high, kind.basis)
    try:
        state = supply.line_state(
            d.line, d.by, need, lead, ask(dates.calendar), ask.as_of, orders=(), receipts=(),
            measure=measure, inspect_days=ask.fact(House, "house").inspect_days,
        )  # fmt: skip
    except HorizonError:
        return None
    return state.move_in_days


def _lines(ask: Ask) -> tuple[engine.Line, ...]:
    classes = {c.id: c for c in ask.all(PartClass)}
    work = {a.id: a for a in ask.all(Activity)}
    done = {p.id: p for p in ask.all(Progress)}
    kits: dict[str, list[engine.KitPart]] = defaultdict(list)
    for c in ask.all(Companion):
        kits[c.part_class].append(
            engine.KitPart(c.part, c.per_item, c.when, c.stage, c.brought_by, c.kind)
        )
    return tuple(
        _line(part, classes.get(part.part_class), work, done, tuple(kits[part.part_class]))
        for part in ask.all(Part)
    )


def _line(
    part: Part,
    kind: PartClass | None,
    work: dict[str, Activity],
    done: dict[str, Progress],
    kit: tuple[engine.KitPart, ...],
) -> engine.Line:
    needed = work.get(kind.needed_by) if kind else None
    first = work.get(kind.order_after or "") if kind else None
    told = done.get(needed.id) if needed else None
    measured = done.get(first.id) if first else None
    return engine.Line(
        id=part.id,
        room=part.room,
        part_class=part.part_class,
        name=(kind.name if kind else "") or part.part_class,
        qty=part.qty,
        note=part.note,
        work=engine.Work(
            needed.id, needed.name or needed.id,
            told.started if told else None, told.finished if told else None,
        ) if needed else None,
        measure=engine.Measure(
            first.id, first.name or first.id, measured.finished if measured else None
        ) if first else None,
        kit=kit,
        bought_by=part.bought_by.strip(),
    )  # fmt: skip


def _door(opening: Opening, rooms: dict[str, Room]) -> engine.Door:
    a, b = _point(opening.a), _point(opening.b)
    into = opening.swings_into or ""
    hand, text = None, ""
    if opening.kind == "swing" and opening.hinge is not None and into:
        hinge = _point(opening.hinge)
        hand = _hand(opening, a, b, hinge, rooms)
        if hand is not None:
            start = next(r for r in (opening.from_room, opening.to_room) if r != into)
            where, target = ("outdoors" if r == "out" else r for r in (start, into))
            text = (
                f"pushed from {where} into {target}, its hinges are at your {hand} "
                f"({hinged_at(a, b, hinge)} end)"
            )
    return engine.Door(
        id=opening.id,
        rooms=(opening.from_room, opening.to_room),
        kind=opening.kind,
        width=float(opening.width) if opening.width is not None else math.dist(a, b),
        height=_float(opening.height),
        into=into,
        hand=hand,
        hand_text=text,
    )


def _hand(
    opening: Opening, a: Point, b: Point, hinge: Point, rooms: dict[str, Room]
) -> engine.Hand | None:
    into = opening.swings_into or ""
    if into in rooms:
        return hand_of(a, b, hinge, _ring(rooms[into].outline))
    behind = next((r for r in (opening.from_room, opening.to_room) if r in rooms), None)
    if behind is None or into != "out":
        return None
    inward = hand_of(a, b, hinge, _ring(rooms[behind].outline))
    # pushed outward the same hinges are at the other hand
    if inward is None:
        return None
    return "right" if inward == "left" else "left"


def _drawn(piece: Piece) -> engine.Drawn:
    return engine.Drawn(
        piece.id, piece.room, piece.kind, _float(piece.width), _float(piece.depth),
        _float(piece.height), piece.line or "",
    )  # fmt: skip


def _float(value: Fraction | None) -> float | None:
    return None if value is None else float(value)


def _point(point: tuple[Fraction, Fraction]) -> Point:
    return float(point[0]), float(point[1])


def _ring(outline: Outline) -> Ring:
    return tuple(_point(p) for p in outline)


def plain(value: Fraction | float | None) -> int | float | None:
    """Return a count for JSON: whole where it is whole."""
    if value is None:
        return None
    return int(value) if value == int(value) else float(value)


def as_json(found: engine.Counts) -> dict[str, Any]:
    """Return the documented fields of `counts`."""
    total = found.totals
    return {
        "disagreements": [
            {
                "kind": d.kind, "room": d.room, "line": d.line, "class": d.part_class,
                "part": d.part, "by": d.by, "plan": d.plan, "ordered": d.ordered,
                "received": d.received, "text": d.text, "do": d.do, "owner": d.owner,
                "maker": d.maker, "orders": list(d.orders), "receipts": list(d.receipts),
                "move_in_days": plain(d.move_in_days),
            }
            for d in found.disagreements
        ],
        "questions": [
            {
                "class": q.part_class, "name": q.name, "part": q.part, "when": q.when,
                "lines": list(q.lines), "rooms": list(q.rooms), "hint": q.hint,
            }
            for q in found.questions
        ],
        "totals": {
            "lines": total.lines,
            "pieces": total.pieces,
            "class_companion_rows": total.class_companion_rows,
            "line_companion_rows": total.line_companion_rows,
            "companion_parts": plain(total.companion_parts),
            "companion_work": plain(total.companion_work),
            "unanswered": total.unanswered,
            "ordered_lines": total.ordered_lines,
            "ordered_pieces": total.ordered_pieces,
            "received_lines": total.received_lines,
            "received_pieces": total.received_pieces,
            "parts_by_who": {who: plain(n) for who, n in total.parts_by_who.items()},
            "parts_by_stage": {stage: plain(n) for stage, n in total.parts_by_stage.items()},
        },
    }  # fmt: skip
