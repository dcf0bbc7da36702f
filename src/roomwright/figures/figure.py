"""One figure: a number that a verdict leans on, with where it comes from."""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import dataclass
from difflib import get_close_matches
from fractions import Fraction

from roomwright.lengths import LengthError, exact, inches, parse

STANDINGS = ("law as adopted", "guideline", "handbook", "common practice", "memory")
CHOSEN = "chosen by the builder"
UNITS = ("in", "sq ft", "per in", "deg", "times", "deliveries", "days")
_PLAIN = re.compile(r"[0-9]{0,12}\.?[0-9]{0,12}|[0-9]{1,6}/[0-9]{1,6}")


class FiguresError(ValueError):
    """A set, a figure or a value that is not known; the message names the near ones."""


@dataclass(frozen=True, slots=True)
class Figure:
    """A figure and its source.

    Attributes
    ----------
    key : str
        What it answers, for example ``dining.walk_past``.
    value : Fraction
        In the unit named: inches ("in"), square feet ("sq ft"), degrees ("deg"), a
        plain share ("per in"), so many times ("times"), a count ("deliveries") or "days".
    standing : str
        One of `STANDINGS`, or "chosen by the builder".
    set : str
        The named set it really came from, which may be a later one of the chain.
    replaces : Figure or None
        What an override stands in for.
    """

    key: str
    value: Fraction
    unit: str
    title: str
    source: str
    section: str
    edition: str
    standing: str
    set: str
    note: str = ""
    overridden: bool = False
    replaces: Figure | None = None

    def shown(self) -> str:
        """The value as a builder reads it: 44", 5.7 sq ft, 0.0005 per in."""
        if self.unit == "in":
            return inches(self.value, 64)
        return f"{float(self.value):g} {self.unit}"

    def cite(self) -> str:
        """One line: the value, what it is for, and where it comes from.

        >>> from roomwright.figures import load
        >>> print(load().choose("HUD 1973").get("dining.rise").cite())
        32" behind a chair where nobody passes, table edge to obstruction: Manual of Acceptable
        Practices, Volume 4, US Department of Housing and Urban Development, 1973, dining areas
        (handbook)
        """
        if self.overridden and self.replaces:
            return (
                f"{self.shown()} {self.title}: {CHOSEN} for {self.section}, "
                f"in place of {self.replaces.shown()} ({self.replaces.where()})"
            )
        return f"{self.shown()} {self.title}: {self.where()} ({self.standing})"

    def where(self) -> str:
        """Source, edition and section in one phrase."""
        if self.overridden:
            return f"{CHOSEN} for {self.section}"
        if self.standing == "common practice":
            return self.source
        return f"{self.source}, {self.edition}, {self.section}"


def value_of(key: str, unit: str, given: object) -> Fraction:
    """The value of a figure from text or a number, in its own unit; FiguresError if it is none."""
    try:
        if not isinstance(given, str | int | float | Fraction):
            raise LengthError(f"{given!r} is not a number: give a length such as 3'-8\".")
        if unit != "in" and isinstance(given, str) and not _PLAIN.fullmatch(given.strip()):
            raise LengthError(f"“{given[:40]}” is not a plain number: give it in {unit}, like 5.7.")
        value = parse(given)
    except LengthError as error:
        raise FiguresError(f"{key}: {error}") from None
    if value < 0:
        raise FiguresError(f"{key} is {exact(value)}: a clearance can't be less than 0.")
    return value


def near(word: str, known: Iterable[str]) -> str:
    """The known names that look like a mistyped one, as the end of a message."""
    names = sorted(known)
    found = get_close_matches(str(word), names, n=3, cutoff=0.5)
    if not found and "." in str(word):
        found = [n for n in names if n.startswith(str(word).split(".")[0] + ".")][:6]
    if found:
        return f"did you mean {' or '.join(f'“{n}”' for n in found)}?"
    shown = ", ".join(f"“{n}”" for n in names[:8])
    return f"known: {shown}{' and others (docs/figures.md)' if len(names) > 8 else ''}."
