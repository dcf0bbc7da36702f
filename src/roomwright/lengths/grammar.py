"""From tokens to one exact length; what can be read two ways is refused."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from functools import lru_cache
from typing import NoReturn

from .characters import END, Token, tokens
from .errors import EXAMPLE, MAX_TEXT, LengthError, ambiguous
from .printing import inches, rational, tape

MAX_TERMS = 32  # in one sum
UNMARKED_FEET = 100  # a number without a mark is read as feet only below this


@dataclass(frozen=True, slots=True)
class _Quantity:
    value: Fraction
    next: int  # index of the token after it
    whole: bool  # one whole number and nothing else
    mixed: bool  # a whole number and a fraction


class _Reader:
    """One pass over the tokens of one text."""

    def __init__(self, text: str) -> None:
        self.text = text.strip()
        self.tokens = tokens(text)
        self.unmarked = False  # a number without a unit was read
        self.metric_seen = False

    def peek(self, i: int) -> Token:
        return self.tokens[i] if i < len(self.tokens) else END

    def sum(self) -> Fraction:
        total = Fraction(0)
        i = terms = 0
        sign = 1
        while True:
            if self.peek(i).kind == "op":
                sign = -1 if self.peek(i).text == "-" else 1
                i += 1
            value, i = self.term(i, first=terms == 0)
            total += sign * value
            terms += 1
            if terms > MAX_TERMS:
                raise LengthError(f"A sum may have {MAX_TERMS} lengths at most: add up in steps.")
            if i >= len(self.tokens):
                if self.unmarked and self.metric_seen:
                    raise LengthError(
                        f"“{self.text}”: write the unit on each length, 12 cm + 3 cm."
                    )
                return total
            if self.peek(i).kind != "op":
                self.two_lengths()

    def two_lengths(self) -> NoReturn:
        raise LengthError(
            f"“{self.text}” looks like more than one length: give one here, like {EXAMPLE}."
        )

    def instead(self, i: int, j: int, ways: tuple[str, ...]) -> tuple[str, ...]:
        """The whole text with tokens i to j - 1 typed each of these ways."""
        before = "".join(" " * t.gap + t.text for t in self.tokens[:i]) + " " * self.peek(i).gap
        after = "".join(" " * t.gap + t.text for t in self.tokens[j:])
        return tuple(f"{before}{way}{after}".strip() for way in ways)

    def past_inches(self, i: int) -> int:
        """The index after an inch mark that may stand at `i`."""
        return i + 1 if self.peek(i).kind == "in" else i

    def quantity(self, i: int) -> _Quantity:
        """A whole number, a decimal, a fraction, or a whole number with a fraction."""
        t, after = self.peek(i), self.peek(i + 1)
        if t.kind == "frac":
            return _Quantity(t.value, i + 1, False, False)
        if t.kind == "op" and i:
            raise LengthError(f"“{self.text}” has two signs in a row: keep one.")
        if t.kind != "num":
            raise LengthError(f"“{self.text}” lacks a number: type a length like {EXAMPLE}.")
        whole = t.text.isdigit()
        j = i + 1
        if after.kind == "op" and after.text == "-" and self.peek(j + 1).kind == "frac":
            j += 1
            spaced = after.gap and self.peek(j).gap
            if not whole or spaced or self.peek(j).value >= 1:
                return _Quantity(t.value, i + 1, whole, False)  # a subtraction
            if after.gap or self.peek(j).gap:
                ways = tuple(f"{t.text}{by}{self.peek(j).text}" for by in (" ", " - "))
                ambiguous(self.text, self.instead(i, j + 1, ways), " or ".join(ways))
        part = self.peek(j)
        if part.kind != "frac":
            return _Quantity(t.value, i + 1, whole, False)
        if not whole:
            raise LengthError(f"“{self.text}” mixes a decimal and a fraction: use one of them.")
        if part.value >= 1:
            raise LengthError(
                f"“{part.text}” in “{self.text}” is one inch or more: a fraction after a whole "
                "number is less than 1, like 15 1/2."
            )
        return _Quantity(t.value + part.value, j + 1, False, True)

    def term(self, i: int, *, first: bool) -> tuple[Fraction, int]:
        """One length: feet and inches, inches alone, or metric."""
        q = self.quantity(i)
        unit = self.peek(q.next)
        if unit.kind == "metric":
            return self.metric(q)
        if unit.kind == "ft":
            return self.feet(q, i)
        if unit.kind == "in":
            return self.inch_mark(q.value, q.next, q.whole)
        return self.bare(q, i, first=first)

    def metric(self, q: _Quantity) -> tuple[Fraction, int]:
        unit = self.peek(q.next)
        self.metric_seen = True
        total, j = q.value * unit.value, q.next + 1
        while self.peek(j).kind in ("num", "frac"):
            more = self.quantity(j)
            smaller = self.peek(more.next)
            if smaller.kind != "metric" or smaller.value >= unit.value:
                raise LengthError(f"“{self.text}”: give one metric number with its unit, 4.66 m.")
            total, j, unit = total + more.value * smaller.value, more.next + 1, smaller
        return total, j

    def feet(self, q: _Quantity, i: int) -> tuple[Fraction, int]:
        feet, j = q.value * 12, q.next + 1
        t = self.peek(j)
        dash = t.kind == "op" and t.text == "-"
        if dash:
            j += 1
        if self.peek(j).kind not in ("num", "frac"):
            return feet, q.next + 1
        r = self.quantity(j)
        unit = self.peek(r.next)
        if dash and (unit.kind in ("ft", "metric") or not q.whole):
            return feet, q.next + 1  # a subtraction
        if dash:
            tight = not t.gap and not self.peek(j).gap
            if r.value >= 12 and not tight:
                return feet, q.next + 1
            if r.value >= 12 or not tight:
                joined, less = tape(feet + r.value, 64), tape(feet - r.value, 64)
                shown = f"{joined}, or {tape(feet)} less {inches(r.value, 64)} which is {less}"
                ambiguous(
                    self.text, self.instead(i, self.past_inches(r.next), (joined, less)), shown
                )
        if unit.kind in ("ft", "metric"):
            self.two_lengths()
        if not q.whole:
            raise LengthError(
                f"“{self.text}”: feet with a fraction or a decimal stand alone (15.25'); "
                "with inches, the feet are whole (15'-3\")."
            )
        if unit.kind != "in":
            return feet + r.value, r.next
        value, j = self.inch_mark(r.value, r.next, r.whole)
        return feet + value, j

    def inch_mark(self, value: Fraction, i: int, whole: bool) -> tuple[Fraction, int]:
        """After the inch mark at `i`: a fraction may still follow, as in 15' 3" 1/2."""
        t, j = self.peek(i + 1), i + 1
        dash = t.kind == "op" and t.text == "-"
        part = self.peek(j + 1) if dash else t
        if not whole or part.kind != "frac" or part.value >= 1:
            return value, j
        if dash:
            if t.gap and part.gap:
                return value, j
            more, less = inches(value + part.value, 64), inches(value - part.value, 64)
            end = self.past_inches(j + 2)
            ways = self.instead(i - 1, end, (more, less))
            ambiguous(self.text, ways, " or ".join(ways))
        return value + part.value, self.past_inches(j + 1)

    def bare(self, q: _Quantity, i: int, *, first: bool) -> tuple[Fraction, int]:
        """A number without a mark is inches, unless inches and a fraction follow it."""
        t, j = self.peek(q.next), q.next
        if t.kind in ("num", "frac"):
            if not q.whole:
                self.two_lengths()
            r = self.quantity(j)
            unit = self.peek(r.next)
            as_feet = q.value < UNMARKED_FEET and r.value < 12 and unit.kind in ("in", "op", "end")
            if as_feet and r.mixed:
                return q.value * 12 + r.value, self.past_inches(r.next)
            if unit.kind == "metric":
                raise LengthError(f"“{self.text}”: write a metric number in one piece, 1200 mm.")
            if unit.kind == "ft" or r.value >= 12:
                self.two_lengths()
            joined, one, two = tape(q.value * 12 + r.value, 64), inches(q.value), inches(r.value)
            ways = self.instead(i, self.past_inches(r.next), (joined,))
            ambiguous(self.text, ways, f"{joined}, or two lengths, {one} and {two}")
        self.unmarked = True
        if t.kind != "op" or t.text != "-" or not q.whole:
            return q.value, j
        after = self.peek(j + 1)
        spaced = t.gap and after.gap
        if after.kind == "num" and not (spaced and not first):
            r = self.quantity(j + 1)
            unit = self.peek(r.next)
            if unit.kind in ("in", "op", "end") and q.value < UNMARKED_FEET and r.value < 12:
                joined, less = tape(q.value * 12 + r.value, 64), inches(q.value - r.value, 64)
                minus = f"{inches(q.value)} - {inches(r.value, 64)}"
                ways = self.instead(i, self.past_inches(r.next), (joined, minus))
                ambiguous(self.text, ways, f"{joined}, or {minus} which is {less}")
        return q.value, j


@lru_cache(maxsize=4096)
def _parse_text(text: str) -> Fraction:
    if not text.strip():
        raise LengthError(f"No length was typed: type it like {EXAMPLE}.")
    try:
        return _Reader(text).sum()
    except LengthError as error:
        raise LengthError(str(error), tuple(filter(_reads, error.readings))) from None


def _reads(text: str) -> bool:
    """Whether a way to type what was meant can be read in its turn: `0 0"0` has none."""
    try:
        parse(text)
    except LengthError:
        return False
    return True


def parse(text: str | int | float | Fraction) -> Fraction:
    r"""Read one length, exactly.

    Parameters
    ----------
    text : str or number
        A length as people write it (docs/lengths.md); a number without a unit is inches. A float
        is taken as the decimal it prints as.

    Returns
    -------
    Fraction
        Inches.

    Raises
    ------
    LengthError
        What cannot be read, or can be read two ways; the message says what to type.

    Examples
    --------
    >>> parse('15\'-3 1/2"')
    Fraction(367, 2)
    >>> parse("12' 4 + 2' 11 1/2") == parse("15 3 1/2")
    True
    >>> parse("4.66 m")
    Fraction(23300, 127)
    >>> parse("15 3")
    Traceback (most recent call last):
        ...
    roomwright.lengths.errors.LengthError: “15 3” can be read two ways: ...
    """
    if isinstance(text, str):
        if len(text) > MAX_TEXT:
            raise LengthError(
                f"A length of {len(text)} characters is too long to be one (the limit is "
                f"{MAX_TEXT}): type it like {EXAMPLE}."
            )
        return _parse_text(text)
    return rational(text)


def pair(text: str) -> tuple[Fraction, Fraction]:
    """Read two lengths with a space between them (a corner, "x y"), each in any notation [in].

    Raises LengthError unless the text splits into two lengths in exactly one way.

    >>> pair("162 1/8 150")
    (Fraction(1297, 8), Fraction(150, 1))
    """
    if len(text) > MAX_TEXT:
        raise LengthError(f"A corner is two lengths, x and y; this has {len(text)} characters.")
    parts = text.split()
    found: list[tuple[Fraction, Fraction]] = []
    seen: list[str] = []
    for cut in range(1, min(len(parts), MAX_TERMS)):
        left, right = " ".join(parts[:cut]), " ".join(parts[cut:])
        try:
            found.append((parse(left), parse(right)))
        except LengthError:
            continue
        seen.append(f"{left} and {right}")
    if not found:
        raise LengthError(
            f"“{text.strip()}” is not a pair of lengths: type x, a space, y: 162 150."
        )
    if len(set(found)) > 1:
        ambiguous(text, tuple(seen), " or ".join(seen[:2]))
    return found[0]
