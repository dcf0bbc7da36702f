"""Activities and links out of a stranger's sheet: its columns named by a person, errors by cell."""

from __future__ import annotations

import re
from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass, field
from fractions import Fraction
from typing import Any, Final, Literal

from roomwright.exchange import cells
from roomwright.exchange.cells import CellError
from roomwright.exchange.grids import Grid, Note
from roomwright.exchange.table import key

Use = Literal["activities", "links", ""]

ACTIVITY_FIELDS: Final[dict[str, str]] = {
    "activity": "its id",
    "name": "what is done",
    "days_likely": "working days",
    "days_low": "days at best",
    "days_high": "days at worst",
    "trade": "who does it",
    "rooms": "rooms",
    "note": "note",
    "not_before": "not before (a day)",
    "promised_by": "promised by (a day)",
    "after": "waits for (ids, or names)",
}
LINK_FIELDS: Final[dict[str, str]] = {
    "before": "comes first",
    "after": "waits",
    "kind": "how it holds",
    "lag_days": "days between",
    "lag_counts": "working or elapsed",
    "reason": "why",
}
_GUESSES: Final[dict[str, tuple[str, ...]]] = {
    "activity": ("activity", "id", "no", "number", "code", "task_id", "activity_id", "ref", "#"),
    "name": ("name", "what", "task", "description", "work", "activity_name", "task_name", "item"),
    "days_likely": ("days_likely", "days", "duration", "likely", "working_days", "workdays"),
    "days_low": ("days_low", "low", "best", "min", "at_best", "optimistic"),
    "days_high": ("days_high", "high", "worst", "max", "at_worst", "pessimistic"),
    "trade": ("trade", "who", "crew", "by", "sub", "subcontractor", "contractor", "resource"),
    "rooms": ("rooms", "room", "where", "location", "area"),
    "note": ("note", "notes", "remarks", "comment", "comments"),
    "after": ("after", "waits_for", "follows", "predecessor", "predecessors", "depends_on"),
    "not_before": ("not_before", "earliest_start", "not_earlier_than"),
    "promised_by": ("promised_by", "promised", "due", "due_by", "deadline"),
    "before": ("before", "first", "from", "predecessor", "comes_first"),
    "kind": ("kind", "type", "how", "link_type", "relation"),
    "lag_days": ("lag_days", "lag", "wait", "days_between"),
    "lag_counts": ("lag_counts", "counts"),
    "reason": ("reason", "why"),
}
_TO_LINK = {"after": ("after", "to", "then", "successor", "waits")}
KINDS: Final = ("finish to start", "start to start", "finish to finish", "start to finish")
_UNITS = re.compile(r"(?i)\s*(working\s*)?(days?|d)\.?$")
MOST_NOTES = 200
MOST_COMPARED = 20_000
"""So many words are compared, in all, to find what a misspelt one may have meant."""


@dataclass(frozen=True, slots=True)
class Mapped:
    """How a sheet is read: what its rows are, which row is the header, what each column is.

    `head` counts rows from 0; `columns` is column -> field.
    """

    use: Use = ""
    head: int = 0
    columns: Mapping[int, str] = field(default_factory=dict)

    def where(self, name: str) -> int | None:
        """Return the column of a field."""
        return next((c for c, f in self.columns.items() if f == name), None)


@dataclass(slots=True)
class Found:
    """What was read: rows as commands take them, the cell of each field, errors and notes."""

    activities: list[dict[str, Any]] = field(default_factory=list)
    links: list[dict[str, Any]] = field(default_factory=list)
    errors: list[Note] = field(default_factory=list)
    notes: list[Note] = field(default_factory=list)
    cells: dict[str, str] = field(default_factory=dict)
    """``activities.3.rooms`` -> ``Plan!F9``."""
    compared: int = 0

    def error(self, cell: str, wrong: str, do: str) -> None:
        """Note what keeps all from being taken."""
        if len(self.errors) < MOST_NOTES:
            self.errors.append(Note(cell, wrong, do))

    def unknown(self, cell: str, wrong: str, text: str, words: Sequence[str], do: str) -> None:
        """Note a word that is not known, with the nearest that is while there is time to look."""
        if len(self.errors) >= MOST_NOTES:
            return
        self.compared += len(words)
        self.error(cell, wrong, cells.near(text, words, do) if self.compared <= MOST_COMPARED
                   else do)  # fmt: skip


def guess(grid: Grid) -> Mapped:
    """Return how a sheet is likely meant: its header is the row, of the first, that names most.

    >>> found = guess(Grid("Plan", (("Our house",), ("Task", "Duration", "Who"))))
    >>> found.use, found.head, found.columns
    ('activities', 1, {0: 'name', 1: 'days_likely', 2: 'trade'})
    """
    best = Mapped()
    for row in range(min(len(grid.rows), 30)):
        for use, fields in (("activities", ACTIVITY_FIELDS), ("links", LINK_FIELDS)):
            named = _named(grid.rows[row], fields, use)
            needed = {"days_likely"} if use == "activities" else {"before", "after"}
            if needed <= set(named.values()) and len(named) > len(best.columns):
                best = Mapped("activities" if use == "activities" else "links", row, named)
    return best


def _named(header: Sequence[str], fields: Mapping[str, str], use: str) -> dict[int, str]:
    found: dict[int, str] = {}
    spelt = {k: v for k, v in _GUESSES.items() if k in fields}
    if use == "links":
        spelt |= _TO_LINK
    for name, words in spelt.items():
        for word in words:
            at = next((i for i, cell in enumerate(header) if i not in found and key(cell) == word),
                      None)  # fmt: skip
            if at is not None:
                found[at] = name
                break
    return dict(sorted(found.items()))


def read_work(
    grids: Sequence[Grid],
    mapped: Sequence[Mapped],
    known: Mapping[str, str],
    rooms: Collection[str] | None = None,
) -> Found:
    """Return the activities and links of all sheets, or every error by its cell.

    Parameters
    ----------
    known : mapping
        id -> name of the activities that are in the house already; links may lead to them
    rooms : collection of str, optional
        ids of the rooms that there are; not looked at if not given

    A row without an id gets one; what a row waits for may be said by id or by its exact name.
    """
    found = Found()
    names: dict[str, list[str]] = {}
    ids = dict(known)
    waits: list[tuple[str, str, str]] = []
    for id, name in known.items():
        names.setdefault(name.casefold(), []).append(id)
    taken = {*known, *_own_ids(grids, mapped)}
    for grid, how in zip(grids, mapped, strict=True):
        if how.use:
            found.notes += list(grid.notes)
        if how.use == "activities":
            _activities(grid, how, found, ids, names, waits, taken)
    _here_already(found, known)
    if rooms is not None:
        _rooms_are_there(found, rooms)
    words = [*ids, *filter(None, ids.values())]
    for cell, id, text in waits:
        for before in _ended(text, ids, names, cell, found, words):
            found.cells[f"links.{len(found.links)}.after"] = cell
            found.links.append({"before": before, "after": id})
    for grid, how in zip(grids, mapped, strict=True):
        if how.use == "links":
            _links(grid, how, found, ids, names)
    if not found.activities and not found.links and not found.errors:
        found.error(grids[0].name if grids else "the file", "holds no work that could be read",
                    "say for a sheet what its rows are, and which columns hold what")  # fmt: skip
    return found


def _activities(
    grid: Grid, how: Mapped, found: Found, ids: dict[str, str], names: dict[str, list[str]],
    waits: list[tuple[str, str, str]], taken: set[str],
) -> None:  # fmt: skip
    if how.where("days_likely") is None:
        found.error(grid.ref(how.head, 0), "no column is named working days",
                    "say which column holds the days")  # fmt: skip
        return
    if how.where("activity") is None and how.where("name") is None:
        found.error(grid.ref(how.head, 0), "no column is named id or what is done",
                    "say which column holds one of the two")  # fmt: skip
        return
    here: dict[str, str] = {}
    for row in range(how.head + 1, len(grid.rows)):
        if not any(grid.rows[row]):
            continue
        said = _row(grid, how, row, found)
        if said is None:
            continue
        if not said.get("activity"):
            said["activity"] = _made(len(here) + 1, taken)
        id, cell = said["activity"], grid.ref(row, how.where("activity") or 0)
        if id in here:
            found.error(cell, f"{id} stands in {here[id]} too", "give each its own id")
            continue
        here[id] = cell
        number = len(found.activities)
        for column, name in how.columns.items():
            found.cells[f"activities.{number}.{name}"] = grid.ref(row, column)
        found.cells.setdefault(f"activities.{number}.activity", cell)
        if text := said.pop("after", ""):
            waits.append((grid.ref(row, how.where("after") or 0), id, text))
        found.activities.append(said)
        ids[id] = said.get("name", "")
        names.setdefault(ids[id].casefold(), []).append(id)


def _own_ids(grids: Sequence[Grid], mapped: Sequence[Mapped]) -> set[str]:
    """Return the ids that rows give themselves: no row without one is given one of these."""
    found = set()
    for grid, how in zip(grids, mapped, strict=True):
        column = how.where("activity") if how.use == "activities" else None
        if column is not None:
            found |= {grid.cell(row, column) for row in range(how.head + 1, len(grid.rows))}
    return found


def _here_already(found: Found, known: Mapping[str, str]) -> None:
    """Say of a row that is given a new id where work of its name is in the house already."""
    ids: dict[str, list[str]] = {}
    for id, name in known.items():
        ids.setdefault(name.casefold(), []).append(id)
    for number, said in enumerate(found.activities):
        same = ids.get(said.get("name", "").casefold(), []) if said.get("name") else []
        if same and said["activity"] not in known and len(found.notes) < MOST_NOTES:
            cell = found.cells[f"activities.{number}.name"]
            found.notes.append(Note(
                cell, f"{cells.said(said['name'])} is in the house already, as "
                f"{', '.join(same[:4])}: this adds it once more, as {said['activity']}",
                f"if it is the same work, give its row the id {same[0]}",
            ))  # fmt: skip


def _rooms_are_there(found: Found, rooms: Collection[str]) -> None:
    words = list(rooms)
    fallback = "name a room of the house, or all" if rooms else "clear it: no rooms yet"
    for number, said in enumerate(found.activities):
        for room in said.get("rooms", ()):
            if room != "all" and room not in rooms:
                cell = found.cells[f"activities.{number}.rooms"]
                wrong = f"there is no room {cells.said(room)}"
                found.unknown(cell, wrong, room, words, fallback)


def _made(number: int, taken: set[str]) -> str:
    while f"W{number}" in taken:
        number += 1
    taken.add(f"W{number}")
    return f"W{number}"


def _row(grid: Grid, how: Mapped, row: int, found: Found) -> dict[str, Any] | None:
    """Return the fields of one activity; None where a cell can't be read, which is then said."""
    said: dict[str, Any] = {}
    fine = True
    for column, name in how.columns.items():
        text, ref = grid.cell(row, column), grid.ref(row, column)
        if (row, column) in grid.bad:
            note = grid.bad[row, column]
            found.error(note.cell, note.wrong, note.do)
            fine = False
            continue
        if not text:
            continue
        try:
            said[name] = text if name == "after" else _value(name, text)
        except CellError as no:
            found.error(ref, str(no), no.do)
            fine = False
    if "days_likely" not in said and fine:
        found.error(grid.ref(row, how.where("days_likely") or 0), "no days are said",
                    "type working days, 0 for a milestone, or clear the row")  # fmt: skip
        fine = False
    if fine and not said.get("activity") and not said.get("name"):
        found.error(grid.ref(row, how.where("name") or 0), "nothing says what is done",
                    "name the work, or clear the row")  # fmt: skip
        fine = False
    return said if fine else None


def _value(name: str, text: str) -> Any:
    if name != "note":
        text = " ".join(text.split())
    if name in ("days_likely", "days_low", "days_high", "lag_days"):
        days = cells.number(_UNITS.sub("", text))
        least = -1000 if name == "lag_days" else 0
        if not least <= days <= 2000:
            raise CellError(f"{cells.said(text)} days can't be", f"type {least} to 2000 days")
        if (2 * days).denominator != 1:
            raise CellError(f"{cells.said(text)} is finer than half a day", "use halves")
        return str(Fraction(days))
    if name in ("not_before", "promised_by"):
        return cells.day(text).isoformat()
    if name == "activity":
        if len(text) > 80 or not text.isprintable():
            raise CellError(f"{cells.said(text)} can't be an id", "use up to 80 plain characters")
        return text
    if name == "rooms":
        plain = text.casefold()
        return ["all"] if plain in ("all", "whole house", "everywhere") else list(cells.ids(text))
    if name == "kind":
        plain = re.sub(r"[\s_\-]+", " ", text).lower()
        if plain not in KINDS:
            raise CellError(f"{cells.said(text)} is no kind of link", f"use {', '.join(KINDS)}")
        return plain
    if name == "lag_counts":
        if text.lower() not in ("working", "elapsed"):
            raise CellError(f"{cells.said(text)} is not known", "use working or elapsed")
        return text.lower()
    return cells.unquote(text)


def _ended(
    text: str, ids: Mapping[str, str], names: Mapping[str, list[str]], cell: str, found: Found,
    words: Sequence[str],
) -> list[str]:  # fmt: skip
    """Return the ids that a cell means: ids, or exact names, with commas or lines between."""
    whole = _one(" ".join(text.split()), ids, names)
    if whole:
        return [whole]
    ends = []
    parts = [" ".join(part.split()) for part in re.split(r"[,;\n]", text)]
    if all(one in ids for one in text.split()):
        parts = text.split()
    for part in filter(None, parts):
        id = _one(part, ids, names)
        if id:
            ends.append(id)
            continue
        same = names.get(part.casefold(), [])
        if same:
            found.error(cell, f"{len(same)} activities are called {cells.said(part)}",
                        f"use an id: {', '.join(same[:4])}")  # fmt: skip
        else:
            found.unknown(cell, f"there is no activity {cells.said(part)}", part, words,
                          "use ids or exact names, commas between")  # fmt: skip
    return list(dict.fromkeys(ends))


def _one(text: str, ids: Mapping[str, str], names: Mapping[str, list[str]]) -> str:
    if text in ids:
        return text
    same = names.get(text.casefold(), [])
    return same[0] if len(same) == 1 else ""


def _links(
    grid: Grid, how: Mapped, found: Found, ids: dict[str, str], names: dict[str, list[str]]
) -> None:
    for name in ("before", "after"):
        if how.where(name) is None:
            found.error(grid.ref(how.head, 0), f"no column is named {LINK_FIELDS[name]}",
                        "say which column holds it")  # fmt: skip
            return
    words = [*ids, *filter(None, ids.values())]
    for row in range(how.head + 1, len(grid.rows)):
        if not any(grid.cell(row, c) for c in how.columns):
            continue
        said: dict[str, Any] = {}
        fine = True
        for column, name in how.columns.items():
            text, ref = grid.cell(row, column), grid.ref(row, column)
            if (row, column) in grid.bad:
                note = grid.bad[row, column]
                found.error(note.cell, note.wrong, note.do)
                fine = False
            elif name in ("before", "after"):
                ends = _ended(text, ids, names, ref, found, words) if text else []
                if not text:
                    found.error(ref, "no activity is named", "name it, or clear the row")
                elif len(ends) > 1:
                    found.error(ref, "names more than one activity", "give each link its own row")
                fine = fine and len(ends) == 1
                said[name] = ends[0] if ends else ""
            elif text:
                try:
                    said[name] = _value(name, text)
                except CellError as no:
                    found.error(ref, str(no), no.do)
                    fine = False
        if fine:
            number = len(found.links)
            for column, name in how.columns.items():
                found.cells[f"links.{number}.{name}"] = grid.ref(row, column)
            found.links.append(said)
