"""What a wall sheet says, as plain frozen values: the one source of its tables and its drawing."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from typing import Literal

from roomwright.answers.plan_model import Plan, Word

MEASURE = "measure"
"""Printed in place of a reading that has no date, no person or no face, or that is missing."""

SheetState = Literal["current", "changed", "by eye", "not hung"]


@dataclass(frozen=True, slots=True)
class DimRow:
    """A row of the dimension table: what it is, as drawn, and as the tape read it.

    `key` is that of the dimension on the drawing. `taped` is empty where no tape reading belongs
    to it (a clear distance follows from the others).
    """

    key: str
    what: str
    drawn: str
    taped: str = ""
    word: Word = ""


@dataclass(frozen=True, slots=True)
class PartRow:
    """A line of the plan: how many are wanted, ordered and here."""

    line: str
    name: str
    note: str
    plan: int
    ordered: int
    received: int


@dataclass(frozen=True, slots=True)
class Caution:
    """Where the work can hurt someone, and where that is written."""

    key: str
    text: str
    source: str


@dataclass(frozen=True, slots=True)
class Call:
    """Whom to call."""

    who: str
    name: str
    phone: str


@dataclass(frozen=True, slots=True)
class Hung:
    """The sheet that hangs there now."""

    revision: str
    posted: date | None
    code: str
    content: str
    note: str = ""


@dataclass(frozen=True, slots=True)
class News:
    """One dated line: true on the day it was printed, and not part of the code."""

    when: str
    text: str


@dataclass(frozen=True, slots=True)
class Sheet:
    """One wall sheet, complete.

    `code` is that of `content`, which holds what the sheet tells people to build: dimensions,
    wanted counts, cautions, documents and what stands where. How many are ordered and here,
    arrivals and who works are dated: they change without making the paper wrong.
    """

    room: str
    name: str
    level: str
    house: str
    trade: str
    as_of: date
    plan: Plan
    dims: tuple[DimRow, ...]
    parts: tuple[PartRow, ...]
    cautions: tuple[Caution, ...]
    documents: tuple[str, ...]
    notes: tuple[str, ...]
    calls: tuple[Call, ...]
    news: tuple[News, ...]
    content: str
    code: str
    revision: str
    hung: Hung | None
    changed: tuple[str, ...]
    """What differs from the sheet that hangs there, in words."""

    @property
    def title(self) -> str:
        """The room's name and number."""
        return self.name if self.name == self.room else f"{self.name} {self.room}"

    @property
    def for_whom(self) -> str:
        """The trade it is for."""
        return self.trade[:1].upper() + self.trade[1:] if self.trade else "All trades"


@dataclass(frozen=True, slots=True)
class SheetRow:
    """A sheet in the list of all: whether what hangs is still true."""

    room: str
    name: str
    level: str
    trade: str
    state: SheetState
    text: str
    revision: str
    """Of the sheet that hangs, or of the one to print where none hangs or it has changed."""
    code: str
    posted: date | None
    changed: tuple[str, ...]
