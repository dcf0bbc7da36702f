"""Facts and their values in a builder's words."""

from __future__ import annotations

from datetime import date
from fractions import Fraction
from functools import cache
from typing import Any, get_args

from pydantic import PlainSerializer

from roomwright import lengths
from roomwright.job.entities import Fact, Piece

NOUNS = {
    "floor": "floor finish",
    "fixed": "fixed thing",
    "slope": "sloped ceiling",
    "walk": "habit of walking",
    "kind": "kind of piece",
    "class": "class",
    "companion": "companion part",
    "part": "line",
    "reading": "tape reading",
    "progress": "progress of",
    "order": "order line",
    "posting": "wall sheet",
    "contact": "phone number",
    "step": "lead step",
    "measure": "measure of",
    "keeping": "cost of keeping",
    "change_order": "change order",
}
"""What a kind of fact is called where its own name isn't a builder's word."""


def named(fact: Fact | None, kind: str, id: str) -> str:
    """Return how a fact is called in a sentence.

    >>> named(None, "part", "L001"), named(None, "house", "house")
    ('line L001', 'the house')
    >>> named(Piece(id="T1", room="101", kind="dining table"), "piece", "T1")
    'dining table T1'
    """
    if isinstance(fact, Piece) and fact.kind:
        return f"{fact.kind} {id}"
    if kind == "house":
        return "the house"
    return f"{NOUNS.get(kind, kind)} {id}"


def day(when: date) -> str:
    """Return a date as it is read on site.

    >>> day(date(2027, 3, 9))
    'Mar 9, 2027'
    """
    return f"{when:%b} {when.day}, {when.year}"


def number(value: Fraction) -> str:
    """Return a plain number; halves as 2 1/2.

    >>> number(Fraction(5, 2)), number(Fraction(270)), number(Fraction(-1, 2))
    ('2 1/2', '270', '-1/2')
    """
    if value.denominator == 1:
        return str(value.numerator)
    whole, rest = divmod(abs(value), 1)
    sign = "-" if value < 0 else ""
    return f"{sign}{whole} {rest}" if whole else f"{sign}{rest}"


def value(model: type[Fact], field: str, held: Any) -> str:
    """Return a field's value as it is read on site; ``nothing`` where it is empty."""
    if held is None or held == "" or held == () or held == {}:
        return "nothing"
    return _value(held, is_length(model, field))


def _value(held: Any, length: bool) -> str:
    if isinstance(held, Fraction):
        return lengths.tape(held) if length else number(held)
    if isinstance(held, date):
        return day(held)
    if isinstance(held, tuple):
        if length and len(held) == 2 and all(isinstance(x, Fraction) for x in held):
            return " ".join(lengths.tape(x) for x in held)  # a point
        return ", ".join(_value(x, length) for x in held)
    if isinstance(held, dict):
        return ", ".join(f"{k} {v}" for k, v in held.items())
    return str(held)


@cache
def is_length(model: type[Fact], field: str) -> bool:
    """Return whether a field of a fact holds lengths."""
    info = model.model_fields[field]
    return _marked(info.metadata) or _has_length(info.annotation)


def _marked(metadata: Any) -> bool:
    return any(isinstance(m, PlainSerializer) and m.func is lengths.exact for m in metadata)


def _has_length(annotation: Any) -> bool:
    return _marked(getattr(annotation, "__metadata__", ())) or any(
        _has_length(a) for a in get_args(annotation)
    )
