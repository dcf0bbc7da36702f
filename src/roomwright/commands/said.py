"""Lengths as they are said of a room: 8 6 is 8 ft 6 in., and a side of 12 is asked about.

A cell of a table may hold two lengths, so `roomwright.lengths` refuses ``8 6``; a field of a form
holds one. A side or the ceiling of a room given as a small number can be inches or feet: nobody
should guess between a niche of 12 in. and a room of 12 ft.
"""

from __future__ import annotations

import re
from fractions import Fraction
from typing import Annotated, Any

from pydantic import BeforeValidator, PlainSerializer

from roomwright import lengths

SMALL = 36
"""A side of fewer inches, given without a mark, is asked about: no room is that small."""


def said(value: Any) -> Fraction:
    """Return a length; two whole numbers are feet and inches.

    >>> said("8 6"), said("102")
    (Fraction(102, 1), Fraction(102, 1))
    """
    if isinstance(value, str):
        found = re.fullmatch(r"([0-9]{1,2})\s+([0-9]{1,2})", value.strip())
        if found and int(found[2]) < 12:
            return Fraction(int(found[1]) * 12 + int(found[2]))
    return value if isinstance(value, Fraction) else lengths.parse(value)


def side(value: Any) -> Fraction:
    """Return the side of a room, or ask what a small bare number means.

    >>> side("12'"), side('12"'), side("144")
    (Fraction(144, 1), Fraction(12, 1), Fraction(144, 1))
    >>> side("12")
    Traceback (most recent call last):
    ValueError: 12 what? Type 12" for 12 in., or 12' for 12 ft.
    """
    if isinstance(value, str):
        found = re.fullmatch(r"[0-9]{1,2}(?:\.[0-9]{0,3})?", value.strip())
        if found and 0 < Fraction(found[0]) < SMALL:
            bare = found[0]
            raise ValueError(
                f"""{bare} what? Type {bare}" for {bare} in., or {bare}' for {bare} ft."""
            )
    return said(value)


_TEXT = PlainSerializer(lengths.exact, return_type=str)

Said = Annotated[Fraction, BeforeValidator(said), _TEXT]
"""A length [in] in any notation of the tape; ``8 6`` is 8 ft 6 in."""

Side = Annotated[Fraction, BeforeValidator(side), _TEXT]
"""A side of a room or its ceiling [in]; a bare number under 3 ft is asked about."""
