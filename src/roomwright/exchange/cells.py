"""One cell of a table: text in, value out, or what is wrong with it and what to do."""

from __future__ import annotations

import difflib
import re
from collections.abc import Iterable
from datetime import date
from fractions import Fraction
from typing import Any, Literal

from roomwright import lengths
from roomwright.exchange.columns import SIDES, USES, Column
from roomwright.exchange.source import clip

Order = Literal["month first", "day first", ""]

MOST_CORNERS = 200
MOST_NAMES = 2_000
"""Among more names than this no near one is looked for: it would take too long."""
_MONTHS = ("jan", "feb", "mar", "apr", "may", "jun", "jul", "aug", "sep", "oct", "nov", "dec")
_NUMBER = re.compile(r"[+-]?([0-9]{1,12}([.,][0-9]{0,9})?|[.,][0-9]{1,9})")
_MIXED = re.compile(r"([+-]?)(?:([0-9]{1,9})\s+)?([0-9]{1,6})\s*/\s*([0-9]{1,6})")
_SLASHED = re.compile(r"([0-9]{1,2})([/.])([0-9]{1,2})\2([0-9]{4})")
_ISO = re.compile(r"([0-9]{4})[-/.]([0-9]{1,2})[-/.]([0-9]{1,2})|([0-9]{4})([0-9]{2})([0-9]{2})")
_WORDED = re.compile(r"(?:([0-9]{1,2})[ -])?([A-Za-z]{3,9})\.?(?: ([0-9]{1,2}),?)?[ -]([0-9]{4})")
_AS_FRACTION = re.compile(r"(?i)([0-9]{1,2})-([a-z]{3})|([a-z]{3})-([0-9]{1,2})")


class CellError(ValueError):
    """What is wrong with a cell (the message), and what to `do`."""

    def __init__(self, wrong: str, do: str) -> None:
        super().__init__(wrong)
        self.do = do


def said(text: str) -> str:
    """Return a cell's text in quotes, short enough for a message."""
    return f"“{clip(text, 40)}”"


def near(text: str, words: Iterable[str], fallback: str) -> str:
    """Return advice that names the nearest of the words there are.

    >>> near("swng", ["swing", "pocket"], "use another word")
    'did you mean swing?'
    """
    words = list(words)
    if len(words) > MOST_NAMES or len(text) > 80:
        return fallback
    found = difflib.get_close_matches(text.lower(), [w.lower() for w in words], n=2, cutoff=0.6)
    names = [w for w in words if w.lower() in found]
    return f"did you mean {' or '.join(names[:2])}?" if names else fallback


def unquote(text: str) -> str:
    """Return a cell without the apostrophe that marks it as plain text.

    >>> unquote("'=sum"), unquote("'tis")
    ('=sum', "'tis")
    """
    return text[1:] if len(text) > 1 and text[0] == "'" and text[1] in "=+-@#'" else text


def read(column: Column, text: str, order: Order = "") -> Any:
    """Return the value of a cell that is not empty.

    Raises
    ------
    CellError
        what is wrong with it and what to do
    """
    if text.startswith("="):
        raise CellError(f"{said(text)} is a formula", "put the value there, not the formula")
    text = unquote(text)
    if len(text) > column.longest:
        raise CellError(f"has {len(text)} characters", f"keep it under {column.longest}")
    if column.kind != "text" and not text.isprintable():
        raise CellError(f"{said(text)} holds a line break or control character", "type it again")
    if any(c < " " and c not in "\n\t" for c in text):
        raise CellError(f"{said(text)} holds a control character", "type it again")
    match column.kind:
        case "length":
            return bounded(column, length(text), text)
        case "number" | "count":
            return bounded(column, number(text), text)
        case "date":
            return day(text, order)
        case "choice":
            return choice(column, text)
        case "outline":
            return outline(text)
        case "point":
            return corner(text)
        case "ids":
            return ids(text)
        case "uses":
            return uses(text)
        case "words":
            return words(text)
        case _:
            return text


def length(text: str) -> Fraction:
    """Return a length [in] in any notation of the tape."""
    lost = _AS_FRACTION.fullmatch(text)
    month = (lost[2] or lost[3]).lower() if lost else ""
    if lost and month in _MONTHS:
        other, numeral = int(lost[1] or lost[4]), _MONTHS.index(month) + 1
        low, high = sorted((other, numeral))
        raise CellError(f"{said(text)} is {low}/{high} that a spreadsheet took for a date",
                        f'type {low}/{high}" with its inch mark')  # fmt: skip
    try:
        return lengths.parse(text)
    except lengths.LengthError as no:
        wrong, _, do = str(no).rstrip(".").partition(": type ")
        if do:
            raise CellError(wrong, f"type {do}") from None
        raise CellError(wrong, "type it as the tape reads, like 15'-3 1/2\"") from None


def number(text: str) -> Fraction:
    """Return a plain number, exactly: 7.5, 7 1/2, 15/2 or 7½.

    >>> number("7 1/2"), number("-0.5"), number("5.0")
    (Fraction(15, 2), Fraction(-1, 2), Fraction(5, 1))
    """
    plain = text.replace("½", " 1/2").replace("¼", " 1/4").replace("¾", " 3/4").strip()
    plain = plain.replace("−", "-").removesuffix("°").strip()
    if re.fullmatch(r"[+-]?[0-9]{1,3},[0-9]{3}", plain):
        one, other = plain.replace(",", ""), plain.replace(",", ".")
        raise CellError(f"{said(text)} can be read two ways", f"type {one} or {other}")
    if _NUMBER.fullmatch(plain):
        return Fraction(plain.replace(",", "."))
    if (mixed := _MIXED.fullmatch(plain)) and int(mixed[4]):
        value = int(mixed[2] or 0) + Fraction(int(mixed[3]), int(mixed[4]))
        return -value if mixed[1] == "-" else value
    raise CellError(f"{said(text)} is not a number", "type a plain number, like 2 or 7.5")


def bounded(column: Column, value: Fraction, text: str) -> Fraction | int:
    """Return the value if it lies where the column's values lie."""
    is_length = column.kind == "length"
    if column.over is not None and value <= column.over:
        what = "is nothing" if value == 0 else "is negative"
        raise CellError(f"{said(text)} {what}", "type a size over 0")
    if column.least is not None and value < column.least:
        least = lengths.inches(column.least) if is_length else str(column.least)
        wrong = (
            f"{said(text)} is negative" if column.least == 0 else f"{said(text)} is under {least}"
        )
        raise CellError(wrong, f"type {least} or more")
    if column.most is not None and value > column.most:
        most = lengths.tape(column.most) if is_length else f"{int(column.most):,}"
        raise CellError(f"{said(text)} is over {most}", "check its units and digits")
    if column.halves and (2 * value).denominator != 1:
        raise CellError(f"{said(text)} is finer than half a day", "use whole or half days")
    if column.kind == "count":
        if value.denominator != 1:
            raise CellError(f"{said(text)} is not a whole number", "type a whole number")
        return int(value)
    return value


def day(text: str, order: Order = "") -> date:
    """Return a calendar day; `order` says how 3/4/2027 is meant where a file makes that plain."""
    plain = re.sub(r"[T ]00:00(:00(\.0+)?)?$", "", text)
    if found := _ISO.fullmatch(plain):
        year, month, of_month = (int(g) for g in found.groups() if g)
        return _day(year, month, of_month, text)
    if found := _WORDED.fullmatch(plain):
        month_word, of = found[2].lower(), found[1] or found[3]
        if month_word[:3] in _MONTHS and of and not (found[1] and found[3]):
            return _day(int(found[4]), _MONTHS.index(month_word[:3]) + 1, int(of), text)
    if found := _SLASHED.fullmatch(plain):
        first, second, year = int(found[1]), int(found[3]), int(found[4])
        if order == "month first" or second > 12:
            return _day(year, first, second, text)
        if order == "day first" or first > 12:
            return _day(year, second, first, text)
        one, other = _day(year, first, second, text), _day(year, second, first, text)
        if one == other:
            return one
        raise CellError(f"{said(text)} can be read two ways", f"type {one} or {other}")
    raise CellError(f"{said(text)} is not a date", "type year-month-day, like 2027-03-29")


def _day(year: int, month: int, of_month: int, text: str) -> date:
    try:
        return date(year, month, of_month)
    except ValueError:
        raise CellError(f"there is no day {said(text)}", "check the month and the day") from None


def order_of(texts: Iterable[str]) -> Order:
    """Return how the dates of one file that are written with slashes are meant, if they tell.

    >>> order_of(["3/4/2027", "3/29/2027"])
    'month first'
    """
    found = [m for t in texts if (m := _SLASHED.fullmatch(re.sub(r"[ T]00:00.*$", "", t)))]
    month_first = any(int(m[3]) > 12 for m in found)
    day_first = any(int(m[1]) > 12 for m in found)
    if month_first == day_first:
        return ""
    return "month first" if month_first else "day first"


def choice(column: Column, text: str) -> str:
    """Return one of the column's words, however it is spaced and cased."""
    plain = re.sub(r"[\s_\-]+", " ", text).lower()
    if plain in column.choices:
        return plain
    others = f"use one of: {', '.join(column.choices)}"
    raise CellError(f"{said(text)} is not a known {column.name}",
                    near(plain, column.choices, others))  # fmt: skip


def ids(text: str) -> tuple[str, ...]:
    """Return ids with blanks between them, or commas where an id holds a blank."""
    parts = re.split(r"[,;]", text) if re.search(r"[,;]", text) else text.split()
    return tuple(dict.fromkeys(p.strip() for p in parts if p.strip()))


def words(text: str) -> tuple[str, ...]:
    """Return words with semicolons or commas between.

    >>> words("usual six; eves")
    ('usual six', 'eves')
    """
    return tuple(dict.fromkeys(p.strip() for p in re.split(r"[,;]", text) if p.strip()))


def corner(text: str) -> tuple[Fraction, Fraction]:
    """Return a point given as x, a blank, y."""
    try:
        x, y = lengths.pair(text)
    except lengths.LengthError as no:
        raise CellError(str(no).rstrip("."), "type x, a blank, y, like 162 150") from None
    if max(abs(x), abs(y)) > 24_000:
        raise CellError(f"{said(text)} is over 2,000'-0\" away", "check its units and digits")
    return x, y


def outline(text: str) -> tuple[tuple[Fraction, Fraction], ...]:
    """Return corners from "x y, x y, ..."; the first need not be repeated at the end."""
    parts = [p for p in re.split(r";|\n" if ";" in text else r",|\n", text) if p.strip()]
    if len(parts) > MOST_CORNERS:
        raise CellError(f"has {len(parts)} corners", f"keep it under {MOST_CORNERS}")
    corners: list[tuple[Fraction, Fraction]] = []
    for number_, part in enumerate(parts, 1):
        try:
            corners.append(corner(part.strip()))
        except CellError as no:
            raise CellError(f"corner {number_}: {no}", no.do) from None
    if len(corners) > 1 and corners[0] == corners[-1]:
        corners.pop()
    if len(corners) < 3:
        raise CellError(f"has {len(corners)} corners", "give three or more, as x y, x y, x y")
    return tuple(corners)


def uses(text: str) -> dict[str, str]:
    """Return side -> use from "north walk past, east rise"."""
    found: dict[str, str] = {}
    for part in re.split(r"[,;]", text):
        words = part.lower().replace(":", " ").split()
        if not words:
            continue
        side, use = words[0], " ".join(words[1:])
        if side not in (*SIDES, "around"):
            raise CellError(f"{said(side)} is no side", near(side, SIDES, "use north, east, south"))
        if use not in USES:
            raise CellError(f"{said(use)} is no use", f"use one of: {', '.join(USES)}")
        if side in found:
            raise CellError(f"{side} is there twice", "keep one of them")
        found[side] = use
    return found
