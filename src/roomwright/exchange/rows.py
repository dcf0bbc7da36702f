"""Rows of a table become facts; what cannot become one is named with its line and column."""

from __future__ import annotations

import hashlib
from collections import Counter
from dataclasses import dataclass, field
from fractions import Fraction
from typing import Any

from pydantic import ValidationError

from roomwright import lengths
from roomwright.exchange import place
from roomwright.exchange.cells import CellError, corner, order_of, read, said
from roomwright.exchange.columns import Form
from roomwright.exchange.forms import OPENINGS, ROOMS
from roomwright.exchange.problems import Problems
from roomwright.exchange.table import Row, Table
from roomwright.job.entities import Fact, Outline, Room, owner_id

LONGEST_ID = 80


@dataclass(slots=True)
class Draft:
    """All facts read so far, where each stands, and what is known of rows that are no facts."""

    problems: Problems
    facts: dict[tuple[str, str], Fact] = field(default_factory=dict)
    lines: dict[tuple[str, str], tuple[str, int]] = field(default_factory=dict)
    unread: dict[tuple[str, str], dict[str, Any]] = field(default_factory=dict)
    """What could be read of a row that could not become a fact, by field."""
    unread_kinds: set[str] = field(default_factory=set)
    rooms: dict[str, Outline] = field(default_factory=dict)
    names: dict[str, dict[str, str]] = field(default_factory=dict)
    """Kind of fact -> column's name -> how the header spells it."""

    def lines_of(self, kind: str) -> int:
        """Return how many rows of a kind were seen."""
        return sum(held == kind for held, _ in self.lines)

    def lacks(self, kind: str, id: str) -> bool:
        """Return whether there is surely no such row, read or not."""
        return (kind, id) not in self.lines and kind not in self.unread_kinds


@dataclass(slots=True)
class _Read:
    """A row whose cells have been read: values by column name; `fine` while nothing is wrong."""

    row: Row
    values: dict[str, Any]
    fine: bool


def read_rows(form: Form, table: Table, draft: Draft) -> None:
    """Turn the rows of one file into facts. Rooms come before what needs their outlines."""
    dates = [c.name for c in form.columns if c.kind == "date"]
    order = order_of(row.cells[n] for row in table.rows for n in dates if n in row.cells)
    if order:
        draft.problems.warn(form.file, None, "", f"its dates are read {order}",
                            "write dates as 2027-03-29 to be sure")  # fmt: skip
    read_ = [_cells(form, table, row, order, draft) for row in table.rows]
    seen: Counter[str] = Counter()
    ids = [_id(form, one.values, seen) for one in read_]
    if form is ROOMS:
        _stand_rooms(table, read_, ids, draft)
    for one, id in zip(read_, ids, strict=True):
        if form is OPENINGS and one.fine:
            _place_opening(table, one, draft)
        elif form.file in ("windows.csv", "slopes.csv") and one.fine:
            _ends(table, one, draft)
        _keep(form, table, one, id, draft)


def _cells(form: Form, table: Table, row: Row, order: Any, draft: Draft) -> _Read:
    one = _Read(row, {}, fine=True)
    for column in form.columns:
        text = row.cells.get(column.name)
        if text is None:
            if column.needed:
                _refuse(table, one, column.name, "is empty", "fill it in", draft)
            continue
        try:
            one.values[column.name] = read(column, text, order)
        except CellError as no:
            _refuse(table, one, column.name, str(no), no.do, draft)
    return one


def _refuse(table: Table, one: _Read, column: str, wrong: str, do: str, draft: Draft) -> None:
    draft.problems.error(table.file, one.row.line, table.names.get(column, column), wrong, do)
    one.fine = False


def short_id(text: str) -> str:
    """Return an id made from several cells, kept to the length an id may have.

    >>> short_id("DOORI/hinges")
    'DOORI/hinges'
    """
    if len(text) <= LONGEST_ID:
        return text
    return f"{text[:66]}~{hashlib.sha256(text.encode()).hexdigest()[:12]}"


def _id(form: Form, values: dict[str, Any], seen: Counter[str]) -> str | None:
    """Return the id of a row's fact; None where the cells that make it could not be read."""

    def made(*names: str) -> list[str] | None:
        return [str(values[n]) for n in names] if all(n in values for n in names) else None

    match form.file:
        case "links.csv":
            kind = values.get("kind", "finish to start")
            both = made("before", "after")
            return short_id(f"{both[0]} > {both[1]} ({kind})") if both else None
        case "companions.csv":
            both = made("class", "part")
            when = f" ({values['when']})" if "when" in values else ""
            return short_id("/".join(both) + when) if both else None
        case "walls.csv":
            three = made("room", "from", "to")
            return short_id(f"{three[0]}/{three[1]}-{three[2]}") if three else None
        case "walks.csv":
            both = made("from_use", "to_use")
            return short_id(" > ".join(both)) if both else None
        case "steps.csv" | "measures.csv":
            owner = owner_id(str(values.get("class", "")), str(values.get("line", "")))
            step = made("step") if form.file == "steps.csv" else []
            return None if step is None else short_id("/".join([owner, *step]))
        case "orders.csv":
            both = made("order", "line")
            return short_id("/".join(both)) if both else None
        case "posted.csv":
            room = values.get("room")
            said_ = [str(values.get(n, "")) for n in ("trade", "revision")]
            return room and short_id("/".join([room, *said_]))
        case "readings.csv":
            if "reading" in values:
                return str(values["reading"])
            three = made("room", "from", "to")
            if three is None:
                return None
            stem = f"{three[0]}/{three[1]}-{three[2]}"
            seen[stem] += 1
            return short_id(f"{stem}/{seen[stem]}")
        case _:
            return values.get(form.columns[0].name)


def _keep(form: Form, table: Table, one: _Read, id: str | None, draft: Draft) -> None:
    kind = form.kind.kind_name
    if id is None:
        draft.unread_kinds.add(kind)
        return
    key = (kind, id)
    if key in draft.lines:
        line = draft.lines[key][1]
        draft.problems.error(table.file, one.row.line, table.names.get(form.columns[0].name, ""),
                             f"{said(id)} is on line {line} already",
                             "give each row an id of its own, or remove one")  # fmt: skip
        return
    draft.lines[key] = (table.file, one.row.line)
    values = {c.fills: one.values[c.name] for c in form.columns if c.fills and c.name in one.values}
    if not one.fine:
        draft.unread[key] = values
        return
    values |= {end: one.values[end] for end in ("a", "b") if end in one.values}
    for column in form.columns:  # what a fact may not lack, but a row may
        if column.needed and column.fills and column.fills not in values:
            return
    try:
        fact = draft.facts[key] = form.kind(**{**values, "id": id, "extra": one.row.extra})
        if isinstance(fact, Room):
            draft.rooms[id] = fact.outline
    except ValidationError as no:
        draft.unread[key] = values
        for error in no.errors(include_url=False, include_input=False):
            name = form.column_of(str(error["loc"][0])) if error["loc"] else ""
            wrong = error["msg"].removeprefix("Value error, ")
            draft.problems.error(table.file, one.row.line, name, wrong, "change it")


def _stand_rooms(table: Table, read_: list[_Read], ids: list[str | None], draft: Draft) -> None:
    """Give every room its outline: its own, or from width and depth beside a neighbor."""
    outlines: dict[str, Outline] = {}
    sized: dict[str, place.Sized] = {}
    rows: dict[str, _Read] = {}
    for one, id in zip(read_, ids, strict=True):
        if id is None or id in rows:
            continue
        rows[id] = one
        _room_id(table, one, id, draft)
        if "outline" in one.values:
            outlines[id] = one.values["outline"]
            _agree(table, one, draft)
        elif "outline" not in one.row.cells and one.fine:
            size = _sized(table, one, draft)
            if size is not None:
                sized[id] = size

    def refuse(room: str, wrong: str, do: str) -> None:
        _refuse(table, rows[room], "beside", wrong, do, draft)

    unread = frozenset(id for id in rows if id not in outlines and id not in sized)
    stood = place.stand_all(outlines, sized, refuse, unread)
    for id, size in sized.items():
        if id in stood:
            rows[id].values["outline"] = stood[id]
            _same_level(table, rows, id, size, draft)
        else:
            rows[id].fine = False


def _room_id(table: Table, one: _Read, id: str, draft: Draft) -> None:
    bad = next((c for c in ",;:/" if c in id), "")
    if bad or id.lower() in ("all", "out"):
        _refuse(table, one, "room", f"{said(id)} cannot be a room's id",
                f"leave out the {bad}" if bad else "that word means more here", draft)  # fmt: skip


def _agree(table: Table, one: _Read, draft: Draft) -> None:
    """Width and depth may stand beside an outline if they say the same."""
    west, south, east, north = place.extent(one.values["outline"])
    if "beside" in one.values:
        _refuse(table, one, "beside", "the room has an outline already", "keep one of them", draft)
    for name, has in (("width", east - west), ("depth", north - south)):
        if name in one.values and abs(one.values[name] - has) > Fraction(1, 16):
            _refuse(table, one, name, f"the outline is {lengths.tape(has)} that way, not "
                    f"{lengths.tape(one.values[name])}", "correct one of them", draft)  # fmt: skip


def _sized(table: Table, one: _Read, draft: Draft) -> place.Sized | None:
    values = one.values
    lacking = [name for name in ("width", "depth") if name not in values]
    if lacking:
        name = "outline" if len(lacking) == 2 else lacking[0]
        _refuse(table, one, name, "is empty", "give an outline, or width and depth", draft)
        return None
    try:
        beside = place.read_beside(values["beside"]) if "beside" in values else None
    except CellError as no:
        _refuse(table, one, "beside", str(no), no.do, draft)
        return None
    return place.Sized(values["width"], values["depth"], beside)


def _same_level(
    table: Table, rows: dict[str, _Read], id: str, size: place.Sized, draft: Draft
) -> None:
    if size.beside is None or size.beside.side in ("above", "below"):
        return
    other = rows[size.beside.room].values.get("level")
    if other is not None and other != rows[id].values.get("level"):
        _refuse(table, rows[id], "beside", f"{size.beside.room} is on level {other}",
                "name a neighbor on the same level, or say above or below", draft)  # fmt: skip


_XY = ("ax", "ay", "bx", "by")


def _ends(table: Table, one: _Read, draft: Draft) -> bool:
    """Put the two ends of an opening or window together."""
    lacking = [n for n in _XY if n not in one.values]
    for name in lacking:
        wrong = "is empty" if name in table.names else "this column is missing"
        _refuse(table, one, name, wrong, "give both ends, ax ay and bx by", draft)
    if not lacking:
        ax, ay, bx, by = (one.values[n] for n in _XY)
        one.values["a"], one.values["b"] = (ax, ay), (bx, by)
    return not lacking


def _place_opening(table: Table, one: _Read, draft: Draft) -> None:
    values = one.values
    if "wall" in values or "from_corner" in values:
        if any(n in values for n in _XY):
            _refuse(table, one, "wall", "the opening has its ends already",
                    "give ax ay bx by, or wall and from_corner", draft)  # fmt: skip
            return
        if not _by_wall(table, one, draft):
            return
    elif not _ends(table, one, draft):
        return
    if "hinge" not in values:
        return
    try:
        hand = place.read_hand(values["hinge"])
        if hand is None:
            values["hinge"] = corner(values["hinge"])
        else:
            _by_hand(table, one, hand, draft)
    except CellError as no:
        _refuse(table, one, "hinge", str(no), no.do, draft)


def _by_wall(table: Table, one: _Read, draft: Draft) -> bool:
    values = one.values
    lacking = [n for n in ("wall", "from_corner", "width") if n not in values]
    for name in lacking:
        _refuse(table, one, name, "is empty", "give wall, from_corner and width", draft)
    outline = draft.rooms.get(_face(values))
    if lacking or outline is None:
        one.fine = False  # a room that is not there is named with the references
        if not lacking:
            _missing_room(table, one, draft)
        return False
    try:
        letter, distance = place.read_from_corner(values["from_corner"])
    except CellError as no:
        _refuse(table, one, "from_corner", str(no), no.do, draft)
        return False
    try:
        ends = place.along_wall(outline, values["wall"], letter, distance, values["width"])
    except CellError as no:
        _refuse(table, one, "wall", str(no), no.do, draft)
        return False
    values["a"], values["b"] = ends
    return True


def _face(values: dict[str, Any]) -> str:
    """Return the room on whose face an opening is given: outdoors has none."""
    return str(values["to_room"] if values["from_room"] == "out" else values["from_room"])


def _missing_room(table: Table, one: _Read, draft: Draft) -> None:
    room = _face(one.values)
    if draft.lacks("room", room):
        column = "to_room" if one.values["from_room"] == "out" else "from_room"
        one.values.pop(column)
        _refuse(table, one, column, f"there is no room {said(room)}",
                "name a room of rooms.csv", draft)  # fmt: skip


def _by_hand(table: Table, one: _Read, hand: str, draft: Draft) -> None:
    values, outlines = one.values, draft.rooms
    into = values.get("swings_into")
    if into is None:
        _refuse(table, one, "swings_into", "is empty, so the hand means nothing",
                "name the room that it swings into", draft)  # fmt: skip
        return
    room = _face(values) if into == "out" else into
    if room not in outlines:
        one.fine = False
        if room == _face(values):
            _missing_room(table, one, draft)
        elif draft.lacks("room", room):
            _refuse(table, one, "swings_into", f"there is no room {said(room)}",
                    "name a room of rooms.csv", draft)  # fmt: skip
        return
    values["hinge"] = place.hinge_of(hand, values["a"], values["b"], outlines[room],
                                     away=into == "out")  # fmt: skip
