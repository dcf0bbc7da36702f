"""Wall sheets: what each says, its code, and whether the paper that hangs is still true."""

from __future__ import annotations

import json
from collections.abc import Sequence
from dataclasses import replace
from typing import Any

from roomwright import shape
from roomwright.answers import sheet_code
from roomwright.answers.calendars import known
from roomwright.answers.engine import Ask, query
from roomwright.answers.plan_model import Dim, Plan
from roomwright.answers.plans import plan
from roomwright.answers.sheet_cautions import ENDING, cautions
from roomwright.answers.sheet_model import (
    Call,
    DimRow,
    Hung,
    PartRow,
    Sheet,
    SheetRow,
    SheetState,
)
from roomwright.answers.sheet_news import news
from roomwright.answers.sheet_taped import taped
from roomwright.days import show_date
from roomwright.job.entities import (
    Activity,
    Contact,
    Fixed,
    House,
    Opening,
    Order,
    Part,
    PartClass,
    Posting,
    Receipt,
    Room,
    Stair,
)
from roomwright.job.facts import natural
from roomwright.lengths import tape
from roomwright.trades import key_of, trades_of

VERSION = 1
"""Of the form of a sheet's content."""

BY_EYE = "hung before this program kept contents; check by eye"
KINDS = frozenset({"wall", "clear", "way", "box"})
"""Dimensions that a sheet for all trades prints; each is in its table and on its drawing."""


@query("sheet")
def sheet(ask: Ask, room: str, trade: str) -> Sheet:
    """One wall sheet, for one trade or ("") for all.

    Raises
    ------
    MissingFactError
        If there is no such room.
    """
    this = ask.fact(Room, room)
    drawn = ask(plan, room)
    drawn = replace(drawn, dims=tuple(d for d in drawn.dims if d.kind in KINDS), centers=())
    house = ask.find(House, "house")
    rows = tuple(_dim_row(ask, room, each) for each in drawn.dims)
    lines = _lines(ask, room, trade)
    parts = tuple(_part_row(ask, each) for each in lines)
    names = [part.name for part in parts] + [p.kind for p in drawn.pieces]
    names += [t.name for t in drawn.things] + [f"{b.name} light" for b in drawn.boxes]
    said = cautions([*names, *(part.note for part in parts)])
    papers = _documents(ask, lines)
    notes = _notes(ask, this, drawn)
    content = _content(this, trade, rows, parts, [c.text for c in said], papers, notes, drawn)
    code = sheet_code.code(content)
    hanging = hung(ask, room, trade)
    return Sheet(
        room=room,
        name=this.name or room,
        level=this.level,
        house=house.name if house else "",
        trade=trade,
        as_of=ask.as_of,
        plan=drawn,
        dims=rows,
        parts=parts,
        cautions=said,
        documents=papers,
        notes=notes,
        calls=_calls(ask, trade),
        news=news(ask, room, {part.line for part in parts}),
        content=content,
        code=code,
        revision=_revision(ask, room, trade, code, hanging),
        hung=hanging,
        changed=changes(hanging.content, content) if hanging else (),
    )


def hung(ask: Ask, room: str, trade: str) -> Hung | None:
    """The sheet of a room and trade that hangs now; the last one if the facts hold several."""
    found = [p for p in _postings(ask, room, trade) if p.taken_down is None]
    if not found:
        return None
    last = max(found, key=lambda p: (p.posted is not None, p.posted, natural(p.revision)))
    return Hung(last.revision, last.posted, last.code, last.content, last.note)


def _postings(ask: Ask, room: str, trade: str) -> list[Posting]:
    return [p for p in ask.where(Posting, "room", room) if p.trade == trade]


def _revision(ask: Ask, room: str, trade: str, code: str, hanging: Hung | None) -> str:
    """The letter to print: that of the paper which hangs if it still holds, else the next."""
    if hanging is not None and hanging.content and hanging.code == code:
        return hanging.revision
    used = [p.revision for p in _postings(ask, room, trade)]
    letters = [r for r in used if r.isascii() and r.isalpha() and r.isupper() and len(r) < 3]
    return shape.letter(max(map(shape.index_of, letters), default=-1) + 1)


# --- what it says ------------------------------------------------------------------------------


def _dim_row(ask: Ask, room: str, dim: Dim) -> DimRow:
    read = taped(ask, room, dim) if dim.kind == "wall" else ""
    return DimRow(dim.key, dim.what, dim.text, read, dim.word)


def _lines(ask: Ask, room: str, trade: str) -> list[Part]:
    """The lines of the plan for a room; for one trade, those that its work puts in."""
    found = ask.where(Part, "room", room)
    if not trade:
        return list(found)
    return [part for part in found if _of_trade(ask, part, trade)]


def _of_trade(ask: Ask, part: Part, trade: str) -> bool:
    kind = ask.find(PartClass, part.part_class)
    work = ask.find(Activity, kind.needed_by) if kind else None
    return work is not None and key_of(trade) in trades_of(work.trade, ask(known))


def _part_row(ask: Ask, part: Part) -> PartRow:
    kind = ask.find(PartClass, part.part_class)
    return PartRow(
        line=part.id,
        name=(kind.name if kind else "") or part.part_class,
        note=part.note,
        plan=part.qty,
        ordered=sum(order.qty for order in ask.where(Order, "line", part.id)),
        received=sum(receipt.qty for receipt in ask.where(Receipt, "line", part.id)),
    )


def _documents(ask: Ask, lines: Sequence[Part]) -> tuple[str, ...]:
    """The cut sheets that belong behind this sheet: one a class that has facts to find on it."""
    found: dict[str, None] = {}
    for part in lines:
        kind = ask.find(PartClass, part.part_class)
        if kind is not None and kind.facts:
            found[kind.name or kind.id] = None
    return tuple(found)


def _notes(ask: Ask, room: Room, drawn: Plan) -> tuple[str, ...]:
    """Heights and datums that the plan cannot show."""
    told = []
    if room.ceiling is not None:
        told.append(f"Ceiling {tape(room.ceiling)} above finished floor.")
    if room.floor:
        told.append(f"Finished floor: {room.floor}.")
    fixed = ask.where(Fixed, "room", room.id)
    told += [f"{_capital(each.name)}: {each.note}." for each in fixed if each.note]
    for each in ask.where(Stair, "from_room", room.id):
        told.append(f"Stair {each.id}: {each.risers} risers over {tape(each.rise)}, subfloors.")
    return tuple(told)


def _capital(text: str) -> str:
    return text[:1].upper() + text[1:]


def _calls(ask: Ask, trade: str) -> tuple[Call, ...]:
    """Whom to call: the builder first, then the trade."""
    wanted = ["builder", *([trade] if trade else [])]
    have = {key_of(each.id): each for each in ask.all(Contact)}
    found = [have[key_of(who)] for who in wanted if key_of(who) in have]
    return tuple(Call(each.id, each.name, each.phone) for each in found if each.phone)


# --- content, code, changes ----------------------------------------------------------------------


def _content(
    room: Room,
    trade: str,
    dims: Sequence[DimRow],
    parts: Sequence[PartRow],
    said: Sequence[str],
    papers: Sequence[str],
    notes: Sequence[str],
    drawn: Plan,
) -> str:
    """What the sheet tells people to build, as printed, as canonical JSON."""
    standing = {
        f"{p.id} {' '.join(p.lines[:1])}": f"at {tape(p.x)}, {tape(p.y)}, turned {p.turn:g}"
        for p in drawn.pieces
    }
    standing |= {f"opening {o.id}": f"{o.kind}, {tape(o.width)}" for o in drawn.openings}
    standing |= {f"window {w.id}": _at(w.near) for w in drawn.windows}
    standing |= {f"{t.id} {t.name}".strip(): _at(t.outline) for t in drawn.things}
    value: dict[str, Any] = {
        "version": VERSION,
        "room": room.id,
        "name": room.name,
        "trade": trade,
        "dimensions": {row.key: [row.what, row.drawn, row.taped] for row in dims},
        "counts": {row.line: [row.name, row.plan, row.note] for row in parts},
        "cautions": [*said, ENDING],
        "documents": list(papers),
        "notes": list(notes),
        "standing": standing,
    }
    return json.dumps(value, sort_keys=True, separators=(",", ":"), ensure_ascii=False)


def _at(points: Sequence[tuple[float, float]]) -> str:
    return ", ".join(f"{tape(x)} {tape(y)}" for x, y in points)


def changes(old: str, new: str) -> tuple[str, ...]:
    """What differs between two contents, in words; empty if the old one was not kept.

    >>> changes('{"counts":{"L1":["Pulls",50,""]}}', '{"counts":{"L1":["Pulls",52,""]}}')
    ('Pulls: 50 is now 52',)
    """
    try:
        before, after = json.loads(old), json.loads(new)
    except ValueError:
        return ()
    if not isinstance(before, dict) or before.get("version", VERSION) != VERSION:
        return ()
    told: list[str] = []
    for part, told_of in (("dimensions", _dim_change), ("counts", _count_change)):
        was, now = before.get(part) or {}, after.get(part) or {}
        for key in sorted({*was, *now}, key=natural):
            told += told_of(was.get(key), now.get(key))
    was, now = before.get("standing") or {}, after.get("standing") or {}
    for key in sorted({*was, *now}, key=natural):
        if key not in was:
            told.append(f"{key} is new")
        elif key not in now:
            told.append(f"{key} is gone")
        elif was[key] != now[key]:
            told.append(f"{key} has moved")
    for part, name in (("cautions", "caution"), ("documents", "cut sheet"), ("notes", "note")):
        was_, now_ = before.get(part) or [], after.get(part) or []
        told += [f"{name} added: {each}" for each in now_ if each not in was_]
        told += [f"{name} taken out: {each}" for each in was_ if each not in now_]
    return tuple(told)


def _dim_change(was: list[str] | None, now: list[str] | None) -> list[str]:
    if was is None or now is None:
        what, drawn, _ = was or now or ["", "", ""]
        return [f"{what}: {drawn} is {'gone' if now is None else 'new'}"]
    told = []
    if was[1] != now[1]:
        told.append(f"{now[0]}: {was[1]} is now {now[1]}")
    elif was[2] != now[2]:
        told.append(f"{now[0]}: taped anew, {now[2] or 'no reading'}")
    elif was[0] != now[0]:
        told.append(f"{was[0]} is now {now[0]}")
    return told


def _count_change(was: list[Any] | None, now: list[Any] | None) -> list[str]:
    if was is None or now is None:
        name, count, _ = was or now or ["", 0, ""]
        return [f"{count} {name} {'gone' if now is None else 'new'}"]
    if was[:2] == now[:2]:
        return [] if was[2:] == now[2:] else [f"{now[0]}: note is now “{now[2]}”"]
    if was[0] != now[0]:
        return [f"{was[1]} {was[0]} is now {now[1]} {now[0]}"]
    return [f"{now[0]}: {was[1]} is now {now[1]}"]


# --- all sheets ----------------------------------------------------------------------------------


@query("sheets")
def sheets(ask: Ask) -> tuple[SheetRow, ...]:
    """Every sheet that hangs or should, in the order in which one walks the house.

    A room has one sheet for all trades, and one more for each trade that has one hanging there.
    """
    found = []
    for room in ask(walking_order):
        hanging = [p for p in ask.where(Posting, "room", room) if p.taken_down is None]
        trades = sorted({p.trade for p in hanging} - {""}, key=natural)
        for trade in ("", *trades):
            found.append(_row(ask(sheet, room, trade)))
    return tuple(found)


def _row(this: Sheet) -> SheetRow:
    state, text = _state(this)
    hanging = this.hung
    return SheetRow(
        room=this.room,
        name=this.name,
        level=this.level,
        trade=this.trade,
        state=state,
        text=text,
        revision=this.revision,
        code=this.code,
        posted=hanging.posted if hanging else None,
        changed=this.changed,
    )


def _state(this: Sheet) -> tuple[SheetState, str]:
    hanging = this.hung
    if hanging is None:
        return "not hung", f"not hung yet; print revision {this.revision}"
    since = f" since {show_date(hanging.posted, this.as_of)}" if hanging.posted else ""
    if not hanging.content:
        note = f"; noted: {hanging.note}" if hanging.note else ""
        return "by eye", f"{hanging.revision} hangs{since}: {BY_EYE}, or hang {this.revision}{note}"
    if hanging.code == this.code:
        return "current", f"{hanging.revision} hangs{since} and still holds"
    return "changed", f"{hanging.revision} hangs{since}; take it down and hang {this.revision}"


@query("walking order")
def walking_order(ask: Ask) -> tuple[str, ...]:
    """All rooms as one walks them: in by the first outside door, each time through the next door.

    A room's doors are taken in the order of their ids, stairs after the storey's own doors.
    """
    rooms = ask.all(Room)
    beside: dict[str, list[str]] = {room.id: [] for room in rooms}
    doors = ask.all(Opening)
    for door in doors:
        for a, b in ((door.from_room, door.to_room), (door.to_room, door.from_room)):
            if a in beside and b in beside:
                beside[a].append(b)
    up: dict[str, list[str]] = {room.id: [] for room in rooms}
    for stair in ask.all(Stair):
        for a, b in ((stair.from_room, stair.to_room), (stair.to_room, stair.from_room)):
            if a in up and b in up:
                up[a].append(b)
    outside = [r for d in doors for r in (d.from_room, d.to_room) if r in beside
               and "out" in (d.from_room, d.to_room)]  # fmt: skip
    order: dict[str, None] = {}
    starts = [*outside, *(room.id for room in rooms)]
    while starts:
        storey: list[str] = []
        _walk(starts.pop(0), beside, order, storey)
        above = [other for room in storey for other in up[room] if other not in order]
        starts = [*above, *starts]
    return tuple(order)


def _walk(
    start: str, beside: dict[str, list[str]], order: dict[str, None], storey: list[str]
) -> None:
    stack = [start]
    while stack:
        room = stack.pop()
        if room in order:
            continue
        order[room] = None
        storey.append(room)
        stack += [other for other in reversed(beside[room]) if other not in order]
