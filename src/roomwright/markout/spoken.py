"""A length as one person calls it to another across a room: feet, inches, the fraction in words.

What the ear mixes up is kept apart: feet are always said, also when there are none; a fraction is
words, never "and a"; and thirteen to nineteen, so easily heard as thirty to ninety, are said again
digit by digit.
"""

from __future__ import annotations

from fractions import Fraction

ONES = [
    "zero", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten",
    "eleven", "twelve", "thirteen", "fourteen", "fifteen", "sixteen", "seventeen", "eighteen",
    "nineteen",
]  # fmt: skip
TENS = [
    "zero", "ten", "twenty", "thirty", "forty", "fifty", "sixty", "seventy", "eighty", "ninety",
]  # fmt: skip
PARTS = {2: "half", 4: "quarter", 8: "eighth", 16: "sixteenth", 32: "thirty-second",
         64: "sixty-fourth"}  # fmt: skip


def spoken(length: float, per_inch: int = 16) -> str:
    """A length [in] in words, to the nearest 1/per_inch, halves up.

    >>> spoken(39), spoken(4.375), spoken(160.5), spoken(84), spoken(0.0625)
    ('3 feet, 3 inches', 'no feet, 4 inches and three eighths', '13 (one, three) feet, 4 inches and
    one half', '7 feet even', 'no feet, no inches and one sixteenth')
    """
    marks = int(Fraction(length) * per_inch + Fraction(1, 2))
    inches, rest = divmod(marks, per_inch)
    feet, inch = divmod(inches, 12)
    if feet and not inch and not rest:
        return f"{_count(feet, 'foot', 'feet')} even"
    said = f"{_count(feet, 'foot', 'feet')}, {_count(inch, 'inch', 'inches')}"
    return f"{said} and {part(Fraction(rest, per_inch))}" if rest else said


def gap(length: float, per_inch: int = 16) -> str:
    """A small difference [in] in words: no feet are said where there are none.

    >>> gap(0.4375), gap(1.25), gap(2)
    ('seven sixteenths', '1 inch and one quarter', '2 inches')
    """
    marks = int(Fraction(length) * per_inch + Fraction(1, 2))
    if 0 < marks < per_inch:
        return part(Fraction(marks, per_inch))
    return spoken(length, per_inch).removeprefix("no feet, ")


def part(fraction: Fraction) -> str:
    """A part of an inch in words.

    >>> part(Fraction(1, 2)), part(Fraction(3, 4)), part(Fraction(11, 16))
    ('one half', 'three quarters', 'eleven sixteenths')
    """
    name = PARTS.get(fraction.denominator, f"over {fraction.denominator}")
    plural = "s" if fraction.numerator > 1 else ""
    return f"{number(fraction.numerator)} {name}{plural}"


def number(value: int) -> str:
    """A number below a hundred in words; larger ones in digits.

    >>> number(7), number(21), number(60)
    ('seven', 'twenty-one', 'sixty')
    """
    if not 0 <= value < 100:
        return str(value)
    if value < 20:
        return ONES[value]
    tens, ones = divmod(value, 10)
    return TENS[tens] + (f"-{ONES[ones]}" if ones else "")


def _count(value: int, one: str, many: str) -> str:
    if value == 0:
        return f"no {many}"
    clear = f"{value} (one, {ONES[value - 10]})" if 13 <= value <= 19 else f"{value}"
    return f"{clear} {one if value == 1 else many}"
