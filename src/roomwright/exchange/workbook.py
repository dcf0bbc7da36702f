"""Workbooks (.xlsx, ISO/IEC 29500) as plain cells, read by openpyxl once they are found harmless.

A workbook is a zip of XML: before it is opened its entries are counted, what they unpack to is
measured, and what could grow without bound (entities, merged areas, cells) is looked for.
"""

from __future__ import annotations

import re
import warnings
import zipfile
from datetime import date, datetime, time
from io import BytesIO
from typing import Any

from roomwright.exchange.grids import MOST_CELLS, Grid, Note, SheetError, bounded
from roomwright.exchange.source import clip

LARGEST = 4 * 1024 * 1024
"""A workbook with more is no list of work [bytes]."""
UNPACKED = 24 * 1024 * 1024
"""What its parts may unpack to [bytes]."""
MOST_PARTS = 300
MOST_SHEETS = 20
MOST_MERGED = 20_000
"""So many cells may lie in merged areas."""

_CELL = re.compile(rb"<(?:[A-Za-z0-9]{1,20}:)?c[\s/>]")
_ROW = re.compile(rb"<(?:[A-Za-z0-9]{1,20}:)?row[\s/>]")
_MERGED = re.compile(
    rb"<(?:[A-Za-z0-9]{1,20}:)?mergeCell\s[^>]{0,200}?ref\s*=\s*[\"']([^\"']{1,40})"
)
_MERGE = re.compile(rb"<(?:[A-Za-z0-9]{1,20}:)?mergeCell[\s/>]")
_DOCTYPE = re.compile(rb"<!\s*(DOCTYPE|ENTITY)", re.IGNORECASE)
_AREA = re.compile(r"([A-Z]{1,3})([0-9]{1,7})(?::([A-Z]{1,3})([0-9]{1,7}))?")


def read_workbook(body: bytes) -> list[Grid]:
    """Return the sheets of a workbook.

    Raises
    ------
    SheetError
        if it is damaged, too large, or built to harm.
    """
    examine(body)
    try:
        with warnings.catch_warnings():
            warnings.simplefilter("ignore")  # what of its looks is not read does not matter
            from openpyxl import load_workbook

            values = load_workbook(BytesIO(body), data_only=True, keep_links=False)
            formulas = load_workbook(BytesIO(body), data_only=False, keep_links=False)
    except Exception as no:  # whatever a stranger's file makes a library raise
        raise SheetError(
            f"This workbook can't be read ({clip(str(no) or type(no).__name__)}): open it in a "
            "spreadsheet and save it again as .xlsx, or as CSV."
        ) from None
    found = [
        _grid(sheet, formulas[sheet.title]) for sheet in values.worksheets[:MOST_SHEETS]
        if sheet.sheet_state == "visible"
    ]  # fmt: skip
    found = [grid for grid in found if grid.rows]
    if not found:
        raise SheetError("This workbook has no sheet with anything in it.")
    return found


def examine(body: bytes) -> None:
    """Refuse a workbook that would cost more to open than any list of work is worth.

    Raises
    ------
    SheetError
        naming what is too much.
    """
    if len(body) > LARGEST:
        raise SheetError(f"This workbook is larger than {LARGEST >> 20} MB: keep the sheets that "
                         "are read.")  # fmt: skip
    try:
        with zipfile.ZipFile(BytesIO(body)) as packed:
            entries = packed.infolist()
            if len(entries) > MOST_PARTS:
                raise SheetError(f"This workbook has {len(entries)} parts: {MOST_PARTS} at most.")
            if any(e.flag_bits & 1 for e in entries):
                raise SheetError("This workbook has a password: save it without one.")
            left, cells, merged = UNPACKED, 0, 0
            for entry in entries:
                with packed.open(entry) as part:
                    data = part.read(left + 1)  # what it says of its size is not believed
                left -= len(data)
                if left < 0:
                    raise SheetError(
                        f"This workbook unpacks to more than {UNPACKED >> 20} MB: it is no list of "
                        "work."
                    )
                if not entry.filename.lower().endswith((".xml", ".rels", ".vml")):
                    continue
                if _DOCTYPE.search(data) or b"\0" in data:
                    raise SheetError(
                        f"{clip(entry.filename)} in this workbook holds what no spreadsheet writes."
                    )
                cells += len(_CELL.findall(data)) + len(_ROW.findall(data))
                merged += sum(
                    _area(ref.decode("ascii", "replace")) for ref in _MERGED.findall(data)
                )
    except (zipfile.BadZipFile, NotImplementedError, EOFError, OSError, ValueError) as no:
        if isinstance(no, SheetError):
            raise
        raise SheetError(f"This workbook is damaged ({clip(str(no))}): save it again.") from None
    except Exception as no:  # zlib and its kin
        raise SheetError(f"This workbook is damaged ({clip(str(no))}): save it again.") from None
    if cells > 4 * MOST_CELLS:
        raise SheetError(f"This workbook has more than {4 * MOST_CELLS:,} cells: split it.")
    if merged > MOST_MERGED:
        raise SheetError(f"More than {MOST_MERGED:,} cells of this workbook are merged: take the "
                         "merging out.")  # fmt: skip


def _area(ref: str) -> int:
    """Return how many cells a merged area covers; one that can't be read counts as too many."""
    found = _AREA.fullmatch(ref.strip().upper())
    if found is None:
        return MOST_MERGED + 1
    first, row, last, row2 = found.groups()
    if last is None:
        return 1
    return (abs(_column(last) - _column(first)) + 1) * (abs(int(row2) - int(row)) + 1)


def _column(name: str) -> int:
    number = 0
    for letter in name:
        number = number * 26 + ord(letter) - 64
    return number


def _grid(sheet: Any, formulas: Any) -> Grid:
    """Return one sheet; merged areas are filled with their value, formulas taken by theirs."""
    name = clip(str(sheet.title), 31)
    held: dict[tuple[int, int], Any] = {
        (row - 1, column - 1): cell.value
        for (row, column), cell in sheet._cells.items()  # no padding: only cells that are there
        if cell.value is not None
    }
    rows = max((r for r, _ in held), default=-1) + 1
    if rows > 20_000:
        raise SheetError(f"{name} goes down to row {rows:,}: clear what stands far below.")
    columns = max((c for _, c in held), default=-1) + 1
    plain = Grid(name, ())
    notes: list[Note] = []
    bad: dict[tuple[int, int], Note] = {}
    for (row, column), cell in formulas._cells.items():
        at = (row - 1, column - 1)
        if cell.data_type != "f":
            continue
        ref = plain.ref(*at)
        if at in held:
            notes.append(Note(ref, "is a formula: its value as it was last saved is taken",
                              "look at it"))  # fmt: skip
        else:
            bad[at] = Note(ref, "is a formula that was saved without its value",
                           "type the value, or save the sheet in a spreadsheet")  # fmt: skip
            rows, columns = max(rows, row), max(columns, column)
    for (row, column), cell in sheet._cells.items():
        if cell.data_type == "e":
            at = (row - 1, column - 1)
            bad[at] = Note(plain.ref(*at), f"says {clip(str(cell.value), 12)}", "mend it")
    for area in sheet.merged_cells.ranges:
        first = (area.min_row - 1, area.min_col - 1)
        if first not in held:
            continue
        for row in range(area.min_row - 1, min(area.max_row, rows)):
            for column in range(area.min_col - 1, min(area.max_col, columns)):
                held.setdefault((row, column), held[first])
        notes.append(Note(f"{name}!{area.coord}", "is merged: its value is taken for each cell",
                          "look at it"))  # fmt: skip
    filled = [
        tuple(_text(held.get((row, column))) for column in range(min(columns, 200)))
        for row in range(rows)
    ]
    return bounded(name, filled, sorted(notes), bad)


def _text(value: Any) -> str:
    """Return a value as a person reads it.

    >>> _text(2.0), _text(0.1 + 0.2), _text(date(2027, 3, 29)), _text(True), _text(None)
    ('2', '0.3', '2027-03-29', 'yes', '')
    """
    if value is None:
        return ""
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, float):
        return str(int(value)) if value.is_integer() and abs(value) < 1e15 else f"{value:.12g}"
    if isinstance(value, datetime):
        midnight = value.time() == time()
        return value.date().isoformat() if midnight else value.isoformat(" ", "minutes")
    if isinstance(value, date):
        return value.isoformat()
    return " ".join(str(value).split())
