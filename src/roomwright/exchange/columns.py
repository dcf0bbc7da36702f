"""What a column of a house folder is: its name, what stands in it, and within what bounds."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from typing import Literal

from roomwright.job import entities as e

CellKind = Literal[
    "id", "ids", "text", "choice", "length", "number", "count", "date", "point", "outline",
    "hinge", "uses", "words",
]  # fmt: skip


@dataclass(frozen=True, slots=True)
class Column:
    """One column. `field` is the fact's field it fills; "" where several columns make one field.

    `least` and `over` bound a length or number: at least, and more than.
    """

    name: str
    kind: CellKind
    says: str
    field: str | None = None
    needed: bool = False
    choices: tuple[str, ...] = ()
    least: Fraction | None = None
    over: Fraction | None = None
    most: Fraction | None = None
    halves: bool = False
    longest: int = 2000
    also: tuple[str, ...] = ()
    ours: bool = False
    """Written only where something stands in it, in any row of the file."""

    @property
    def fills(self) -> str:
        """The field of the fact that this column fills, or ""."""
        return self.name if self.field is None else self.field


@dataclass(frozen=True, slots=True)
class Form:
    """One file: its name, the fact that each of its rows is, and its columns."""

    file: str
    kind: type[e.Fact]
    says: str
    columns: tuple[Column, ...]
    required: bool = False
    most: int = 20_000
    """More rows than this are no house."""

    @property
    def needed(self) -> set[str]:
        """Columns that must be there."""
        return {c.name for c in self.columns if c.needed}

    @property
    def known(self) -> dict[str, str]:
        """Every accepted spelling of a column -> its name."""
        return {spelt: c.name for c in self.columns for spelt in (c.name, *c.also)}

    def column(self, name: str) -> Column:
        """Return the column of that name."""
        return next(c for c in self.columns if c.name == name)

    def column_of(self, field: str) -> str:
        """Return the name of the column that fills a field, or the field's own name."""
        return next((c.name for c in self.columns if c.fills == field), field)


ZERO = Fraction(0)
FAR = Fraction(24_000)  # [in] 2,000 ft: farther is a slip of units
LONG = Fraction(2_400)  # [in] 200 ft: no door, piece or reading is longer
MANY_DAYS = Fraction(2_000)


SIDES = ("north", "east", "south", "west", "northeast", "southeast", "southwest", "northwest")
USES = ("rise", "edge past", "walk past", "slide in")


def id_(name: str, says: str, field: str | None = None, *, needed: bool = True) -> Column:
    """A column that holds an id."""
    return Column(name, "id", says, field, needed, longest=80)


def text(name: str, says: str, field: str | None = None) -> Column:
    """A column of free text."""
    return Column(name, "text", says, field)


def size(name: str, says: str, *also: str, field: str | None = None) -> Column:
    """A length that is more than nothing."""
    return Column(name, "length", says, field, over=ZERO, most=LONG, also=also)


def height(name: str, says: str) -> Column:
    """A length of nothing or more."""
    return Column(name, "length", says, least=ZERO, most=LONG)


def place(name: str, says: str, field: str | None = None) -> Column:
    """A coordinate."""
    return Column(name, "length", says, field, least=-FAR, most=FAR)


def days(name: str, says: str, *, needed: bool = False, least: Fraction = ZERO) -> Column:
    """A number of working days."""
    return Column(
        name, "number", says, needed=needed, least=least, most=MANY_DAYS, halves=True
    )  # fmt: skip


def weeks(name: str, says: str) -> Column:
    """A number of weeks."""
    return Column(name, "number", says, least=ZERO, most=Fraction(300))


def day(name: str, says: str) -> Column:
    """A date."""
    return Column(name, "date", says)


def qty(says: str) -> Column:
    """How many."""
    return Column("qty", "count", says, needed=True, least=ZERO, most=Fraction(100_000))


def ends(what: str) -> tuple[Column, ...]:
    """The coordinates of two ends."""
    which = {"a": "first", "b": "second"}
    return tuple(
        place(n, f"{n[1]} of the {which[n[0]]} end of {what}", "") for n in ("ax", "ay", "bx", "by")
    )
