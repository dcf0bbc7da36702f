"""Named rules for how many a table seats. They disagree, so an answer names the one it used."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

from roomwright.lengths import parse

from .figure import FiguresError


@dataclass(frozen=True, slots=True)
class SeatRow:
    """So many people at a table of this length [in], one person at each end."""

    seats: int
    least: Fraction
    recommended: Fraction


@dataclass(frozen=True, slots=True)
class SeatTable:
    """A named seat rule; `rows` is empty for the 24 in. rule, which is computed from figures."""

    name: str
    title: str
    source: str
    section: str
    edition: str
    standing: str
    note: str
    rows: tuple[SeatRow, ...]

    def seats(self, length: Fraction | float | str, *, recommended: bool = False) -> int:
        """The most people at a rectangular table of this length, ends seated; 0 below the table.

        >>> from roomwright.figures import load
        >>> load().seat_table("handbook").seats(84)
        6
        """
        if not self.rows:
            raise FiguresError(f"The {self.name} is computed from seat.width and seat.corner.")
        have = parse(length)
        fit = [r.seats for r in self.rows if (r.recommended if recommended else r.least) <= have]
        return max(fit, default=0)

    def cite(self) -> str:
        """One line: the rule and where it comes from."""
        where = self.source
        if self.standing != "common practice":
            where = f"{self.source}, {self.section}, {self.edition}"
        return f"{self.title}: {where} ({self.standing})"
