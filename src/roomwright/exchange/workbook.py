"""Workbooks (.xlsx, ISO/IEC 29500) as plain cells, read by openpyxl once they are found harmless.

A workbook is a zip of XML. Its parts are looked through first (`workbook_parts`); then openpyxl
streams the values of each sheet and nothing else: merged areas and formulas are known from the
look, and links, pictures and the rest are never opened.
"""

from __future__ import annotations

import warnings
import zipfile
from datetime import date, datetime, time
from io import BytesIO
from typing import Any

from roomwright.exchange.grids import Grid, Note, SheetError, bounded, letters
from roomwright.exchange.source import clip
from roomwright.exchange.workbook_parts import MOST_DOWN, Seen, look_through

LARGEST = 4 * 1024 * 1024
"""A workbook with more is no list of work [bytes]."""
MOST_SHEETS = 20
MOST_ACROSS = 200
"""Nothing may stand further right than this column."""


def read_workbook(body: bytes) -> list[Grid]:
    """Return the sheets of a workbook.

    Raises
    ------
    SheetError
        if it is damaged, too large, or built to harm.
    """
    seen = examine(body)
    found = []
    try:
        with warnings.catch_warnings():
            warnings.simplefilter("ignore")  # what of its looks is not read does not matter
            from openpyxl import load_workbook

            book = load_workbook(BytesIO(body), read_only=True, data_only=True, keep_links=False)
            try:
                shown = [s for s in book.worksheets if s.sheet_state == "visible"]
                if len(shown) > MOST_SHEETS:
                    raise SheetError(
                        f"This workbook has {len(shown)} sheets: {MOST_SHEETS} at most. Keep "
                        "those that hold work, or hide the others."
                    )
                for sheet in shown:
                    found.append(_grid(sheet, seen.get(sheet._worksheet_path, Seen())))
            finally:
                book.close()
    except SheetError:
        raise
    except Exception as no:  # whatever a stranger's file makes a library raise
        raise SheetError(
            f"This workbook can't be read ({clip(str(no) or type(no).__name__)}): open it in a "
            "spreadsheet and save it again as .xlsx, or as CSV."
        ) from None
    found = [grid for grid in found if grid.rows]
    if not found:
        raise SheetError("This workbook has no sheet with anything in it.")
    return found


def examine(body: bytes) -> dict[str, Seen]:
    """Return what the parts of a workbook hold; refuse one that would cost more than it is worth.

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
            return look_through(packed)
    except SheetError:
        raise
    except Exception as no:  # zipfile, zlib and their kin
        raise SheetError(f"This workbook is damaged ({clip(str(no))}): save it again.") from None


def _grid(sheet: Any, seen: Seen) -> Grid:
    """Return one sheet; merged areas are filled with their value, formulas taken by theirs."""
    name = clip(str(sheet.title), 31)
    if seen.rows > MOST_DOWN:
        raise SheetError(f"{name} goes down to row {seen.rows:,}: clear what stands far below.")
    if seen.columns > MOST_ACROSS:
        raise SheetError(f"{name} goes across to column {letters(seen.columns - 1)}: clear what "
                         "stands far to the right.")  # fmt: skip
    plain = Grid(name, ())
    held: dict[tuple[int, int], Any] = {}
    bad: dict[tuple[int, int], Note] = {}
    sheet.reset_dimensions()  # what it says of its size is not believed
    for row in sheet.iter_rows(max_col=max(seen.columns, 1)):
        for cell in row:
            if cell.value is None:
                continue
            at = (cell.row - 1, cell.column - 1)
            held[at] = cell.value
            if cell.data_type == "e":
                bad[at] = Note(plain.ref(*at), f"says {clip(str(cell.value), 12)}", "mend it")
    notes: list[Note] = []
    for row_, column_ in seen.formulas:
        at = (row_ - 1, column_ - 1)
        if at in held:
            notes.append(Note(plain.ref(*at), "is a formula: its value as it was last saved is "
                              "taken", "look at it"))  # fmt: skip
        else:
            bad[at] = Note(plain.ref(*at), "is a formula that was saved without its value",
                           "type the value, or save the sheet in a spreadsheet")  # fmt: skip
    rows = max((r for r, _ in [*held, *bad]), default=-1) + 1
    columns = max((c for _, c in [*held, *bad]), default=-1) + 1
    if rows > MOST_DOWN:
        raise SheetError(f"{name} goes down to row {rows:,}: clear what stands far below.")
    for top, left, bottom, right in seen.merged:
        first = (top - 1, left - 1)
        if first not in held:
            continue
        for row_ in range(top - 1, min(bottom, rows)):
            for column_ in range(left - 1, min(right, columns)):
                held.setdefault((row_, column_), held[first])
        ends = f"{letters(left - 1)}{top}:{letters(right - 1)}{bottom}"
        notes.append(Note(f"{name}!{ends}", "is merged: its value is taken for each cell",
                          "look at it"))  # fmt: skip
    filled = [
        tuple(_text(held.get((row_, column_))) for column_ in range(min(columns, MOST_ACROSS)))
        for row_ in range(rows)
    ]
    return bounded(name, filled, sorted(notes), bad)


def _text(value: Any) -> str:
    """Return a value as a person reads it.

    Line breaks stay: they part what stands in one cell.

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
    lines = (" ".join(line.split()) for line in str(value).splitlines())
    return "\n".join(filter(None, lines))
