"""The parts of a workbook looked through before anything opens them: what they hold, and how much.

Each part is read once by expat, event by event and without a tree, whatever it is called and
however its names are spelt; what would cost too much is refused at the element where it does.
"""

from __future__ import annotations

import re
import zipfile
from dataclasses import dataclass, field
from xml.parsers import expat

from roomwright.exchange.grids import MOST_CELLS, SheetError
from roomwright.exchange.source import clip

UNPACKED = 24 * 1024 * 1024
"""What the parts of a workbook may unpack to [bytes]."""
MOST_PARTS = 300
MOST_ELEMENTS = 1_000_000
"""So many elements of XML may all parts hold together."""
MOST_DEEP = 100
MOST_MERGED = 20_000
"""So many cells may lie in merged areas."""
MOST_AREAS = 50_000
"""So many areas may rules and checks of cells name, which the library reads one by one."""
MOST_DOWN = 20_000
"""Nothing may stand further down than this row, whatever is above it."""

_AREA = re.compile(r"\$?([A-Z]{1,3})\$?([0-9]{1,7})(?::\$?([A-Z]{1,3})\$?([0-9]{1,7}))?")
_NUMBER = re.compile(r"[0-9]{1,7}")
_OTHER_CODINGS = (b"\xff\xfe\0\0", b"\0\0\xfe\xff", b"\x4c\x6f\xa7\x94")


@dataclass(slots=True)
class Seen:
    """What one part holds that bears on its cells; rows and columns count from 1."""

    merged: list[tuple[int, int, int, int]] = field(default_factory=list)
    """Merged areas: first row, first column, last row, last column."""
    formulas: set[tuple[int, int]] = field(default_factory=set)
    """Where a formula stands, by (row, column)."""
    rows: int = 0
    columns: int = 0
    """The last column in which a cell holds something."""


@dataclass(slots=True)
class Spent:
    """What all parts together have held so far."""

    bytes: int = 0
    elements: int = 0
    cells: int = 0
    merged: int = 0
    areas: int = 0


def look_through(packed: zipfile.ZipFile) -> dict[str, Seen]:
    """Return what each part of a workbook holds.

    Raises
    ------
    SheetError
        naming what is too much, or what no spreadsheet writes.
    """
    entries = packed.infolist()
    if len(entries) > MOST_PARTS:
        raise SheetError(f"This workbook has {len(entries)} parts: {MOST_PARTS} at most.")
    if any(e.flag_bits & 1 for e in entries):
        raise SheetError("This workbook has a password: save it without one.")
    if len({e.filename for e in entries}) < len(entries):
        raise SheetError("This workbook holds two parts of one name: save it again.")
    spent = Spent()
    seen = {}
    for entry in entries:
        with packed.open(entry) as part:
            data = part.read(UNPACKED - spent.bytes + 1)  # what it says of its size isn't believed
        spent.bytes += len(data)
        if spent.bytes > UNPACKED:
            raise SheetError(
                f"This workbook unpacks to more than {UNPACKED >> 20} MB: it is no list of work."
            )
        if _is_xml(data, entry.filename):
            seen[entry.filename] = _Look(entry.filename, spent).through(data)
    return seen


def area(ref: str) -> tuple[int, int, int, int] | None:
    """Return an area as first row, first column, last row, last column, counted from 1.

    >>> area("B3"), area("C4:A2"), area("&#65;1")
    ((3, 2, 3, 2), (2, 1, 4, 3), None)
    """
    found = _AREA.fullmatch(ref.strip().upper()) if len(ref) < 60 else None
    if found is None:
        return None
    first, row, last, row2 = found.groups()
    columns = sorted((_column(first), _column(last or first)))
    rows = sorted((int(row), int(row2 or row)))
    return rows[0], columns[0], rows[1], columns[1]


def _column(name: str) -> int:
    number = 0
    for letter in name:
        number = number * 26 + ord(letter) - 64
    return number


def _is_xml(data: bytes, name: str) -> bool:
    """Whether a part would be read as XML, in UTF-8 or UTF-16, told by how it begins."""
    head = data[:4]
    if head.startswith(_OTHER_CODINGS) or (head.count(b"\0") == 3 and b"<" in head):
        raise SheetError(f"{clip(name)} in this workbook is in a coding no spreadsheet writes.")
    if head[:2] in (b"\xff\xfe", b"\xfe\xff", b"<\0", b"\0<"):
        return True
    return data.removeprefix(b"\xef\xbb\xbf").lstrip()[:1] == b"<"


class _Look:
    """One pass through one part."""

    def __init__(self, name: str, spent: Spent) -> None:
        self.name, self.spent, self.seen = name, spent, Seen()
        self.path: list[str] = []
        self.row = self.column = 0

    def through(self, data: bytes) -> Seen:
        parser = expat.ParserCreate(namespace_separator=" ")
        parser.StartElementHandler = self._start
        parser.EndElementHandler = self._end
        parser.StartDoctypeDeclHandler = self._doctype
        try:
            parser.Parse(data, True)
        except (expat.ExpatError, ValueError, LookupError) as no:
            if isinstance(no, SheetError):
                raise
            # what is broken here is broken for the library too, which says so if it needs it
        return self.seen

    def _doctype(self, *_: object) -> None:
        raise SheetError(f"{clip(self.name)} in this workbook holds what no spreadsheet writes.")

    def _start(self, name: str, attributes: dict[str, str]) -> None:
        spent, path = self.spent, self.path
        spent.elements += 1
        if spent.elements > MOST_ELEMENTS:
            raise SheetError("This workbook holds far too much: keep the sheets that are read.")
        if len(path) >= MOST_DEEP:
            raise SheetError(f"{clip(self.name)} in this workbook is nested without end.")
        spent.areas += attributes.get("sqref", "").count(" ")
        if spent.areas > MOST_AREAS:
            raise SheetError("This workbook has rules for far too many areas: save its values.")
        within = path[-1] if path else ""
        local = name.rpartition(" ")[2]
        if local == "row":
            self._row(attributes)
        elif within == "row":
            self._cell(attributes)
        elif len(path) > 1 and path[-2] == "row":
            self.seen.columns = max(self.seen.columns, self.column)
            if local == "f":
                self.seen.formulas.add((self.row, self.column))
        elif local == "c":
            self._counted()
        elif local == "mergeCell":
            self._merged(attributes.get("ref", ""))
        path.append(local)

    def _end(self, _: str) -> None:
        self.path.pop()

    def _row(self, attributes: dict[str, str]) -> None:
        self._counted()
        said = attributes.get("r", "")
        row = int(said) if _NUMBER.fullmatch(said) else self.seen.rows + 1
        if row <= self.seen.rows:
            raise SheetError(f"Row {row} in {clip(self.name)} of this workbook stands out of "
                             "order: open it in a spreadsheet and save it again.")  # fmt: skip
        self.row, self.column, self.seen.rows = row, 0, row

    def _cell(self, attributes: dict[str, str]) -> None:
        self._counted()
        at = area(attributes.get("r", ""))
        self.column += 1
        if at is not None:
            self.row, self.column = at[0], at[1]

    def _counted(self) -> None:
        self.spent.cells += 1
        if self.spent.cells > 4 * MOST_CELLS:
            raise SheetError(f"This workbook has more than {4 * MOST_CELLS:,} cells: split it.")

    def _merged(self, ref: str) -> None:
        at = area(ref)
        covers = MOST_MERGED + 1 if at is None else (at[2] - at[0] + 1) * (at[3] - at[1] + 1)
        self.spent.merged += covers
        if self.spent.merged > MOST_MERGED:
            raise SheetError(f"More than {MOST_MERGED:,} cells of this workbook are merged: take "
                             "the merging out.")  # fmt: skip
        if at is not None:
            self.seen.merged.append(at)
