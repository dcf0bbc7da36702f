"""Sheets of strangers as plain cells: a workbook or comma-separated text, each cell by its name.

What cannot be trusted is refused before it is opened (`workbook`); what a spreadsheet adds to its
values (formulas, merged cells, dates) is turned into the text that a person sees, and said.
"""

from __future__ import annotations

import csv
import io
from collections.abc import Iterable
from dataclasses import dataclass, field

from roomwright.exchange.problems import Problems
from roomwright.exchange.source import clip, decode

MOST_ROWS = 3_000
MOST_COLUMNS = 60
MOST_CELLS = 60_000
LONGEST_CELL = 2_000


class SheetError(ValueError):
    """A file that is no sheet we read; the message says why and what to do."""


@dataclass(frozen=True, slots=True, order=True)
class Note:
    """Something about a cell: ``Plan!B7``, what is wrong with it, and what to do."""

    cell: str
    wrong: str
    do: str

    def __str__(self) -> str:
        return f"{self.cell}: {self.wrong} -> {self.do}"


@dataclass(frozen=True, slots=True)
class Grid:
    """One sheet: its name and its rows of cells as text; short rows end early.

    `bad` holds cells that have no value we may take, by (row, column); `notes` what was made
    plain on the way.
    """

    name: str
    rows: tuple[tuple[str, ...], ...]
    notes: tuple[Note, ...] = ()
    bad: dict[tuple[int, int], Note] = field(default_factory=dict)

    def cell(self, row: int, column: int) -> str:
        """Return the text of a cell; empty where there is none."""
        held = self.rows[row] if 0 <= row < len(self.rows) else ()
        return held[column] if 0 <= column < len(held) else ""

    def ref(self, row: int, column: int) -> str:
        """Return the name of a cell as spreadsheets have it.

        >>> Grid("Plan", ()).ref(6, 1), Grid("Plan", ()).ref(0, 27)
        ('Plan!B7', 'Plan!AB1')
        """
        return f"{self.name}!{letters(column)}{row + 1}"

    @property
    def width(self) -> int:
        """How many columns there are."""
        return max((len(row) for row in self.rows), default=0)


def letters(column: int) -> str:
    """Return the letters of a column that is counted from 0.

    >>> letters(0), letters(25), letters(26)
    ('A', 'Z', 'AA')
    """
    name = ""
    column += 1
    while column:
        column, rest = divmod(column - 1, 26)
        name = chr(65 + rest) + name
    return name


def read_sheets(file: str, body: bytes) -> list[Grid]:
    """Return the sheets of a file, told by what is in it, not by its name.

    Raises
    ------
    SheetError
        if it is none that we read, too large, or built to harm.
    """
    if body[:4] == b"PK\x03\x04":
        from roomwright.exchange.workbook import read_workbook  # here: few need it

        return read_workbook(body)
    if body[:4] == b"\xd0\xcf\x11\xe0":
        raise SheetError(
            f"{clip(file)} is a workbook of the old kind, or one with a password: save it as "
            ".xlsx without a password, or as CSV."
        )
    if body[:5] == b"%PDF-":
        raise SheetError(f"{clip(file)} is a PDF: save the table as .xlsx or CSV.")
    return [_text(file, body)]


def _text(file: str, body: bytes) -> Grid:
    problems = Problems()
    text = decode(body, clip(file), problems)
    if text is None:
        raise SheetError("; ".join(f"{p.wrong}: {p.do}" for p in problems.errors()))
    name = clip(file.rpartition("/")[2].rpartition("\\")[2].rpartition(".")[0], 31) or "Sheet"
    head = [line for line in text.split("\n")[:20] if line.strip()]
    separator = max(",;\t", key=lambda s: sum(line.count(s) for line in head))
    bad: dict[tuple[int, int], Note] = {}
    rows = _rows(text, separator)
    grid = bounded(name, rows, (), bad)
    for i, cells in enumerate(grid.rows):
        for j, cell in enumerate(cells):
            if cell.startswith(("=", "@")) or (cell[:1] in "+-" and not _plain(cell)):
                bad[i, j] = Note(grid.ref(i, j), f"“{clip(cell, 30)}” looks like a formula",
                                 "save the sheet with its values")  # fmt: skip
    return grid


_END = "(the end of the text)"


def _rows(text: str, separator: str) -> list[tuple[str, ...]]:
    """Return the rows of comma-separated text; a cell in quotes keeps its line breaks."""
    rows: list[tuple[str, ...]] = []
    begins = ends = 1
    # a last row of our own: within a quote that nobody closed it does not stand alone
    lines = csv.reader(io.StringIO(f"{text}\n{_END}", newline=""), delimiter=separator)
    try:
        for row in lines:
            begins, ends = ends, lines.line_num + 1
            rows.append(tuple(cell.strip() for cell in row))
            if len(rows) > MOST_ROWS + 1:
                return rows
    except csv.Error as no:
        raise SheetError(f"line {ends} can't be read ({no}): check its quotes.") from None
    if rows[-1] != (_END,):
        raise SheetError(
            f"a quote that begins on line {begins} or after it is never closed: close it, or "
            "take it out."
        )
    return rows[:-1]


def _plain(cell: str) -> bool:
    """Whether what begins with a sign is a number or words, not a formula."""
    rest = cell[1:].strip()
    return not rest or (rest[0] not in "=@(" and not any(c in rest for c in "()!"))


def bounded(
    name: str, rows: Iterable[tuple[str, ...]], notes: Iterable[Note],
    bad: dict[tuple[int, int], Note],
) -> Grid:  # fmt: skip
    """Return a grid whose rows end where something stands; refuse one that no house needs.

    Raises
    ------
    SheetError
        if it has too many rows, columns or cells, or a cell too long.
    """
    kept: list[tuple[str, ...]] = []
    for row in rows:
        cells = list(row)
        while cells and not cells[-1]:
            cells.pop()
        kept.append(tuple(cells))
    while kept and not kept[-1]:
        kept.pop()
    grid = Grid(name, tuple(kept), tuple(notes), bad)
    if len(kept) > MOST_ROWS:
        raise SheetError(f"{name} has more than {MOST_ROWS} rows: split it.")
    if grid.width > MOST_COLUMNS:
        raise SheetError(f"{name} has more than {MOST_COLUMNS} columns: keep those that are read.")
    if sum(len(row) for row in kept) > MOST_CELLS:
        raise SheetError(f"{name} has more than {MOST_CELLS:,} cells: split it.")
    for i, row in enumerate(kept):
        for j, cell in enumerate(row):
            if len(cell) > LONGEST_CELL:
                raise SheetError(f"{grid.ref(i, j)} holds {len(cell):,} characters: shorten it to "
                                 f"{LONGEST_CELL:,}.")  # fmt: skip
    return grid
