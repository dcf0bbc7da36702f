"""What every fact is: a frozen model, and the exact values it is made of.

Each fact is a frozen model with an ``id`` that is unique among its kind. Lengths are exact
fractions of an inch, written as the tape reads them; dates are calendar days. Plan axes: x east,
y north, inches, between finished wall faces. Nothing that can be computed is a fact.
"""

from __future__ import annotations

import re
import unicodedata
from fractions import Fraction
from typing import Annotated, Any, ClassVar

from pydantic import BaseModel, BeforeValidator, ConfigDict, Field, PlainSerializer

from roomwright import lengths

_NUMBER = re.compile(
    r"([+-]?)(?:(?:([0-9]{1,9})\s+)?([0-9]{1,9})/([1-9][0-9]{0,8})|([0-9]{1,12}(?:\.[0-9]{0,12})?|\.[0-9]{1,12}))"
)


def _length(value: Any) -> Fraction:
    return value if isinstance(value, Fraction) else lengths.parse(value)


def as_number(value: Any) -> Fraction:
    """Return an exact number of days or pieces: 2.5, "5/2" and "2 1/2" are the same."""
    if isinstance(value, Fraction):
        return value
    said = unicodedata.normalize("NFKD", str(value).strip()).replace("\u2044", "/")
    found = _NUMBER.fullmatch(said)
    if found is None:
        raise ValueError(f"“{str(value)[:40]}” is not a number: type it like 5, 2.5 or 2 1/2")
    sign, whole, top, under, plain = found.groups()
    amount = Fraction(plain) if plain else Fraction(int(top), int(under)) + int(whole or 0)
    return -amount if sign == "-" else amount


def _plain(value: Fraction) -> str:
    return str(value)


Length = Annotated[
    Fraction, BeforeValidator(_length), PlainSerializer(lengths.exact, return_type=str)
]
"""A length in inches, exact; accepts any notation of the tape, stored as ``183 1/2``."""

Number = Annotated[Fraction, BeforeValidator(as_number), PlainSerializer(_plain, return_type=str)]
"""An exact plain number (days, counts that may be halves), stored as ``5/2``."""

Point = tuple[Length, Length]
Outline = tuple[Point, ...]
Id = Annotated[str, Field(min_length=1, max_length=80)]
Text = Annotated[str, Field(max_length=2000)]


class Fact(BaseModel):
    """What every fact has: an id, a version of its shape, and columns we do not know but keep."""

    model_config = ConfigDict(frozen=True, extra="forbid", populate_by_name=True)

    kind_name: ClassVar[str]
    shape: ClassVar[int] = 1
    references: ClassVar[dict[str, str]] = {}
    """Field name -> kind of the fact it points to; empty ones and `open_ends` may dangle."""
    open_ends: ClassVar[frozenset[str]] = frozenset()
    """Values of a reference that are no id: ``out`` of an opening, ``all`` of an activity."""

    id: Id
    extra: dict[str, str] = Field(default_factory=dict)
