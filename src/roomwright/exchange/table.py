"""Comma-separated text as rows with line numbers, forgiving the habits of spreadsheets."""

from __future__ import annotations

import csv
import difflib
import re
from collections.abc import Iterator
from dataclasses import dataclass, field

from roomwright.exchange.cells import unquote
from roomwright.exchange.problems import Problems
from roomwright.exchange.source import clip

MOST_COLUMNS = 64
MOST_LINES_A_ROW = 60  # one row over more lines has a quote that was never closed


@dataclass(frozen=True, slots=True)
class Row:
    """One row: its first line in the file, and text by column name; empty cells are left out."""

    line: int
    cells: dict[str, str]
    extra: dict[str, str]


@dataclass(slots=True)
class Table:
    """The rows of one file. `names` maps a column's name to how the header spells it."""

    file: str
    names: dict[str, str] = field(default_factory=dict)
    rows: list[Row] = field(default_factory=list)


def key(name: str) -> str:
    """Return a column name as it is compared: case, blanks, dashes and underscores aside.

    >>> key(" From  Room* ")
    'from_room'
    """
    return re.sub(r"[\s_\-]+", "_", name.strip().strip("*").strip().lower())


class _Lines:
    """Lines for the reader of csv; knows whether a new row begins, and skips comments there."""

    def __init__(self, lines: list[str], start: int) -> None:
        self.lines, self.at = lines, start
        self.fresh, self.first, self.cut = True, start + 1, False

    def __iter__(self) -> Iterator[str]:
        return self

    def __next__(self) -> str:
        while self.at < len(self.lines):
            line = self.lines[self.at]
            self.at += 1
            if self.fresh and (not line.strip() or line.lstrip().startswith("#")):
                continue
            if self.fresh:
                self.first, self.fresh = self.at, False
            if self.at - self.first > MOST_LINES_A_ROW:
                break
            return line + "\n"
        self.cut = not self.fresh
        raise StopIteration


def read_table(
    text: str,
    file: str,
    known: dict[str, str],
    needed: set[str],
    problems: Problems,
    most: int = 20_000,
) -> Table | None:
    """Return the rows of a file, or None after noting what is wrong with its frame.

    Parameters
    ----------
    text : str
        the file, its lines ended by one newline each
    known : dict
        every accepted spelling of a column, as `key` gives it -> the column's name
    needed : set
        names of columns without which the file cannot be read
    most : int
        more rows than this are refused
    """
    lines = text.split("\n")
    start, separator = _separator(lines, known)
    source = _Lines(lines, start)
    reader = csv.reader(source, delimiter=separator, skipinitialspace=True)
    header: list[str] | None = None
    table = Table(file)
    columns: list[str | None] = []
    while True:
        source.fresh = True
        try:
            cells = [cell.strip() for cell in next(reader)]
        except StopIteration:
            break
        except csv.Error as no:
            wrong = f"this row cannot be read ({no})"
            problems.error(file, source.first, "", wrong, "check its quotes and its length")
            return None
        if source.cut:
            problems.error(file, source.first, "", "a quote that opens here is never closed",
                           'close it with ", or write inches as in')  # fmt: skip
            break
        if not any(cells) or cells[0].startswith("#"):
            continue
        if header is None:
            header = cells
            named = _columns(cells, source.first, file, known, needed, problems, table)
            if named is None:
                return None
            columns = named
            continue
        row = _row(cells, columns, source.first, file, problems)
        if row is not None:
            table.rows.append(row)
        if len(table.rows) > most:
            problems.error(file, source.first, "", f"has more than {most} rows",
                           "a house has fewer: check what was saved")  # fmt: skip
            return None
    if header is None:
        problems.error(file, None, "", "is empty", f"begin with a row of column names: "
                       f"{', '.join(sorted(needed))} ...")  # fmt: skip
        return None
    return table


def _separator(lines: list[str], known: dict[str, str]) -> tuple[int, str]:
    """Return where the table begins and what separates its cells: comma, semicolon or tab."""
    for number, line in enumerate(lines):
        if not line.strip() or line.lstrip().startswith("#"):
            continue
        told = re.fullmatch(r"\s*\"?sep=(.)\"?\s*", line)
        if told:
            return number + 1, told[1]
        counts = {
            s: sum(key(cell.strip().strip('"')) in known for cell in line[:10_000].split(s))
            for s in ",;\t"
        }
        return number, max(",;\t", key=lambda s: (counts[s], line.count(s)))
    return 0, ","


def _columns(
    cells: list[str],
    line: int,
    file: str,
    known: dict[str, str],
    needed: set[str],
    problems: Problems,
    table: Table,
) -> list[str | None] | None:
    """Return the column of each cell of the header: a known name, = and an extra name, or None."""
    while cells and not cells[-1]:
        cells.pop()
    if len(cells) > MOST_COLUMNS:
        problems.error(file, line, "", f"has more than {MOST_COLUMNS} columns",
                       "keep the columns of a house folder")  # fmt: skip
        return None
    columns: list[str | None] = []
    fine = True
    for cell in cells:
        name = known.get(key(cell))
        column = None if not cell else name or f"={cell[:80]}"
        if column is not None and column in columns:
            problems.error(file, line, clip(cell), "this column is there twice", "keep one of them")
            fine = False
        columns.append(column)
        if name is not None:
            table.names[name] = clip(cell)
        elif cell:
            near = difflib.get_close_matches(key(cell), [*known], n=1, cutoff=0.75)
            do = f"rename it to {near[0]} if it is that" if near else "nothing reads it"
            problems.warn(file, line, clip(cell), "unknown column, kept as it is", do)
    for name in sorted(needed - set(table.names)):
        problems.error(file, line, name, "this column is missing", f"add a column named {name}")
        fine = False
    return columns if fine else None


def _row(
    cells: list[str], columns: list[str | None], line: int, file: str, problems: Problems
) -> Row | None:
    surplus = [cell for cell in cells[len(columns) :] if cell]
    if surplus:
        problems.error(file, line, "", f"has {len(cells)} cells under {len(columns)} column names",
                       'put a cell that holds a comma in quotes, "like, this"')  # fmt: skip
        return None
    row = Row(line, {}, {})
    for column, cell in zip(columns, cells, strict=False):
        if not cell:
            continue
        if column is None:
            problems.error(file, line, "", f"“{clip(cell, 30)}” stands under no column name",
                           "name the column or clear the cell")  # fmt: skip
        elif column.startswith("="):
            row.extra[column[1:]] = unquote(cell)
        else:
            row.cells[column] = cell
    return row
