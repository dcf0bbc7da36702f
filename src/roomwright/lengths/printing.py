"""Lengths and areas as a builder reads them, and the exact form that is stored."""

from __future__ import annotations

import math
import numbers
from fractions import Fraction

from .errors import MAX_TEXT, LengthError

LARGEST_FLOAT = 1e12  # [in] sixteen million miles: beyond it a number is a slip, not a length


def rational(x: object) -> Fraction:
    """Any real number as an exact fraction; a float as the decimal it prints as."""
    if isinstance(x, Fraction):
        return x
    if isinstance(x, bool) or not isinstance(x, numbers.Real):
        raise LengthError(f"{x!r} is not a length: give a number of inches or text.")
    if isinstance(x, numbers.Rational):
        return Fraction(int(x.numerator), int(x.denominator))
    value = float(x)
    if not math.isfinite(value) or abs(value) > LARGEST_FLOAT:
        raise LengthError(f"{value} is not a length: give a number of inches.")
    return Fraction(repr(value))


def _steps(x: Fraction | float, per_inch: int) -> tuple[str, int]:
    """Sign and the count of 1/per_inch, rounded half away from zero."""
    if per_inch < 1:
        raise LengthError(f"per_inch is {per_inch}: a tape has 1 or more marks an inch.")
    value = rational(x)
    count = (2 * abs(value.numerator) * per_inch + value.denominator) // (2 * value.denominator)
    return ("-" if value < 0 and count else ""), count


def _mixed(count: int, per_inch: int) -> str:
    whole, rest = divmod(count, per_inch)
    if not rest:
        return f"{whole}"
    part = Fraction(rest, per_inch)
    text = f"{part.numerator}/{part.denominator}"
    return f"{whole} {text}" if whole else text


def tape(x: Fraction | float, per_inch: int = 16) -> str:
    r"""Print a length [in] as a tape reads, to the nearest 1/per_inch, halves away from zero.

    >>> tape(Fraction(367, 2)), tape(39), tape(1.5), tape(-5), tape(0)
    ('15\'-3 1/2"', '3\'-3"', '1 1/2"', '-5"', '0"')
    """
    sign, count = _steps(x, per_inch)
    feet, rest = divmod(count, 12 * per_inch)
    if not feet:
        return f'{sign}{_mixed(rest, per_inch)}"'
    inch, part = divmod(rest, per_inch)
    tail = _mixed(rest, per_inch) if inch or not part else f"0 {_mixed(part, per_inch)}"
    return f"{sign}{feet}'-{tail}\""


def inches(x: Fraction | float, per_inch: int = 16) -> str:
    """Print a length [in] in inches alone, to the nearest 1/per_inch, halves away from zero.

    >>> inches(39), inches(183.5)
    ('39"', '183 1/2"')
    """
    sign, count = _steps(x, per_inch)
    return f'{sign}{_mixed(count, per_inch)}"'


def words(x: Fraction | float, per_inch: int = 16) -> str:
    """Print a length [in] as it is said aloud, for a screen reader.

    >>> words(183.5), words(12), words(0.25)
    ('15 feet 3 1/2 inches', '1 foot', '1/4 inch')
    """
    sign, count = _steps(x, per_inch)
    feet, rest = divmod(count, 12 * per_inch)
    said = [f"{feet} foot" if feet == 1 else f"{feet} feet"] if feet else []
    if rest or not feet:
        said.append(f"{_mixed(rest, per_inch)} {'inch' if 0 < rest <= per_inch else 'inches'}")
    return ("minus " if sign else "") + " ".join(said)


def exact(x: Fraction | float) -> str:
    """Print a length [in] with nothing lost: `parse(exact(x)) == x`. The form that is stored.

    >>> from roomwright.lengths import parse
    >>> exact(Fraction(367, 2)), exact(parse("4.66 m")), exact(-3)
    ('183 1/2', '23300/127', '-3')
    """
    value = rational(x)
    under = value.denominator
    if under & (under - 1):  # not a fraction of a tape: keep it in one piece
        text = f"{value.numerator}/{under}"
    else:
        text = ("-" if value < 0 else "") + _mixed(abs(value.numerator), under)
    if len(text) > MAX_TEXT:
        raise LengthError("This length has too many digits to be written down: round it first.")
    return text


def area(sq_in: Fraction | float) -> str:
    """Print an area [sq in] in square feet, to a tenth, halves away from zero.

    >>> area(162 * 150)
    '168.8 sq ft'
    """
    sign, tenths = _steps(rational(sq_in) / 144, 10)
    return f"{sign}{tenths // 10}.{tenths % 10} sq ft"
