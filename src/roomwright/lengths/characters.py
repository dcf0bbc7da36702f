"""From what people type to tokens: odd characters made plain, numbers read, units known."""

from __future__ import annotations

import re
import unicodedata
from dataclasses import dataclass
from fractions import Fraction
from typing import Literal

from .errors import LengthError, ambiguous, unreadable

_SAME_AS = {
    "'": "\u2018\u2019\u201b\u2032\u02b9\u02bc\u00b4\u0060\uff07\u2035",
    '"': "\u201c\u201d\u201e\u201f\u2033\u02ba\u3003\uff02\u2036",
    "-": "\u2010\u2011\u2012\u2013\u2014\u2015\u2212\ufe58\ufe63\uff0d",
    "/": "\u2044\u2215\uff0f",
    "": "\u200b\u200c\u200d\u200e\u200f\u2060\ufeff\u00ad",  # marks that cannot be seen
}
_FLAT: dict[int, str] = {ord(c): plain for plain, odd in _SAME_AS.items() for c in odd}
for _code in range(0xFF01, 0xFF5F):  # full-width ASCII, where not mapped above
    _FLAT.setdefault(_code, chr(_code - 0xFEE0))
_VULGAR = {
    chr(code): unicodedata.normalize("NFKC", chr(code)).replace("\u2044", "/")
    for code in (*range(0xBC, 0xBF), *range(0x2150, 0x2160), 0x2189)
}
_VULGAR_SIGN = re.compile(f"(?P<digit>[0-9])?(?P<sign>[{''.join(_VULGAR)}])(?P<close>(?=[0-9/]))?")

_UNIT = {
    "'": Fraction(12), "ft": Fraction(12), "foot": Fraction(12), "feet": Fraction(12),
    '"': Fraction(1), "in": Fraction(1), "inch": Fraction(1), "inches": Fraction(1),
    "mm": Fraction(5, 127), "cm": Fraction(50, 127), "m": Fraction(5000, 127),
    "millimeter": Fraction(5, 127), "millimetre": Fraction(5, 127),
    "centimeter": Fraction(50, 127), "centimetre": Fraction(50, 127),
    "meter": Fraction(5000, 127), "metre": Fraction(5000, 127),
}  # fmt: skip
_UNIT |= {f"{name}s": _UNIT[name] for name in _UNIT if name.endswith(("meter", "metre"))}
_TOKEN = re.compile(
    r"(?P<gap>\s*)(?:"
    r"(?P<frac>(?P<top>[0-9]+)\s*/\s*(?P<under>[0-9]+))"
    r"|(?P<num>(?:[0-9][0-9.,]*|[.,][0-9]+))"
    r"|(?P<quote>''|\"|')"
    r"|(?P<word>[a-z]+)\.?"
    r"|(?P<op>[+-])"
    r")"
)
Kind = Literal["num", "frac", "ft", "in", "metric", "op", "end"]


@dataclass(frozen=True, slots=True)
class Token:
    """A number, a fraction, a unit (value in inches) or a sign."""

    kind: Kind
    text: str
    value: Fraction
    gap: bool  # white space stands before it


END = Token("end", "", Fraction(0), True)


def _flatten(text: str) -> str:
    """The same length in plain characters: 3½″ becomes 3 1/2"."""

    def plain(m: re.Match[str]) -> str:
        numerator_one = m["sign"] == "\u215f"  # its denominator follows it
        before = f"{m['digit']} " if m["digit"] else ""
        after = " " if m["close"] is not None and not numerator_one else ""
        return before + _VULGAR[m["sign"]] + after

    flat = _VULGAR_SIGN.sub(plain, text.translate(_FLAT)).lower()
    return re.sub(r"\band\b", " ", flat, flags=re.ASCII).strip()


def _number(text: str, said: str) -> Fraction:
    """Read digits with a decimal point or comma; a comma that could be either is refused."""
    bare = text.rstrip(",")
    if re.fullmatch(r"[0-9]*\.?[0-9]+|[0-9]+\.", bare):
        return Fraction(bare + "0" if bare.endswith(".") else bare)
    if re.fullmatch(r"[1-9][0-9]{0,2}(,[0-9]{3})+\.[0-9]+|[1-9][0-9]{0,2}(,[0-9]{3}){2,}", bare):
        return Fraction(bare.replace(",", ""))
    if re.fullmatch(r"[1-9][0-9]{0,2}(\.[0-9]{3})+,[0-9]+", bare):
        return Fraction(bare.replace(".", "").replace(",", "."))
    if re.fullmatch(r"[1-9][0-9]{0,2},[0-9]{3}", bare):
        readings = tuple(said.replace(bare, bare.replace(",", by)) for by in ("", "."))
        ambiguous(said, readings, " or ".join(readings))
    if re.fullmatch(r"[0-9]*,[0-9]+", bare):
        return Fraction(bare.replace(",", "."))
    raise LengthError(f"“{text}” is not a number: type it with digits and one point, like 183.5.")


def _fraction(top: str, under: str, said: str) -> Fraction:
    if int(under) == 0:
        raise LengthError(f"“{top}/{under}” divides by zero: type a fraction like 1/2 or 3/16.")
    value = Fraction(int(top), int(under))
    if value >= 1 and int(under) in (2, 4, 8, 16, 32, 64):
        # "31/2" is how "3 1/2" looks once a spreadsheet or a phone has lost its space
        for cut in range(1, len(top)):
            tail = Fraction(int(top[cut:]), int(under))
            if top[cut] != "0" and tail < 1:
                whole, rest = divmod(value, 1)
                ways = (
                    f"{top[:cut]} {top[cut:]}/{under}",
                    f"{whole} {rest}" if rest else f"{whole}",
                )
                readings = tuple(
                    re.sub(rf"(?<![0-9]){top}\s*/\s*{under}", way, said) for way in ways
                )
                ambiguous(said, readings, " or ".join(readings))
    return value


def tokens(text: str) -> list[Token]:
    """Cut a text into tokens; LengthError for anything that is not part of a length."""
    flat = _flatten(text)
    found: list[Token] = []
    at = 0
    while at < len(flat):
        m = _TOKEN.match(flat, at)
        if m is None:
            unreadable(text, flat[at:].strip()[:1])
        kind: Kind
        value = Fraction(0)
        gap = bool(m["gap"]) and at > 0
        token = m[0].strip()
        if m["frac"]:
            kind, value = "frac", _fraction(m["top"], m["under"], flat)
        elif m["num"]:
            kind, value = "num", _number(m["num"], flat)
            if m["num"].endswith(","):  # a comma after a number, then a space: a list
                raise LengthError(f"“{text.strip()}” looks like a list: give one length here.")
        elif m["op"]:
            kind = "op"
        else:
            name = '"' if m["quote"] == "''" else (m["quote"] or m["word"])
            unit = _UNIT.get(name)
            if unit is None:
                unreadable(text, name)
            kind, value = "ft" if unit == 12 else "in" if unit == 1 else "metric", unit
        found.append(Token(kind, token, value, gap))
        at = m.end()
        if kind in ("ft", "in", "metric") and flat[at : at + 1] == ",":
            at += 1  # "15 feet, 3 inches"
    return found
