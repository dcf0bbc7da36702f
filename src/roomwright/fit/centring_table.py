"""What is centered on what, and what is cheaper to move, read from `centring.toml`."""

from __future__ import annotations

import tomllib
from dataclasses import dataclass
from functools import lru_cache
from importlib import resources
from typing import Any, Literal

from roomwright.fit.kinds import SHAPES

Along = Literal["", "wall", "always"]
"""When only the way along counts: never, where it stands at a wall, always."""


@dataclass(frozen=True, slots=True)
class Belongs:
    """What some kinds are taken to be centered on; `near` is in inches in plan.

    Several of them on one thing are one `set`; with `sides` they hang one on each side of it.
    """

    kinds: tuple[str, ...]
    on: tuple[str, ...]
    near: float
    along: Along = ""
    set: bool = False
    sides: bool = False


@dataclass(frozen=True, slots=True)
class Cost:
    """What it takes to move a thing: a rank (the lower is cheaper) and how, in words."""

    rank: int
    how: str


@dataclass(frozen=True, slots=True)
class _Move:
    what: str
    kinds: tuple[str, ...]
    open: int
    closed: int
    how: str


@lru_cache(maxsize=1)
def _table() -> tuple[tuple[Belongs, ...], tuple[_Move, ...]]:
    text = resources.files("roomwright.fit").joinpath("centring.toml").read_text("utf-8")
    data: dict[str, Any] = tomllib.loads(text)
    pairs = tuple(
        Belongs(
            tuple(row["kinds"]),
            tuple(row["on"]),
            float(row["near"]),
            row.get("along", ""),
            bool(row.get("set", False)),
            bool(row.get("sides", False)),
        )
        for row in data["pair"]
    )
    moves = tuple(
        _Move(row["what"], tuple(row.get("kinds", ())), row["open"], row["closed"], row["how"])
        for row in data["move"]
    )
    return pairs, moves


def _plain(name: str) -> str:
    """A name in small letters, without a remark after a comma and without its shape."""
    words = name.split(",")[0].lower().split()
    return " ".join(words[1:] if words[:1] and words[0] in SHAPES else words)


def _longest(name: str, words: frozenset[str]) -> str:
    """The longest of some words that a name begins with; whole words only."""
    plain = _plain(name).split(" ")
    for count in range(len(plain), 0, -1):
        word = " ".join(plain[:count])
        if word in words:
            return word
    return ""


@lru_cache(maxsize=1)
def _words() -> frozenset[str]:
    return frozenset(word for rule in _table()[0] for word in (*rule.kinds, *rule.on))


@lru_cache(maxsize=4096)
def word_of(name: str) -> str:
    """The word of the table that a name begins with, the longest; empty if none.

    >>> word_of("Range hood, 36 wide"), word_of("range"), word_of("Oval dining table")
    ('range hood', 'range', 'dining table')
    >>> word_of("sinkhole")
    ''
    """
    return _longest(name, _words())


@lru_cache(maxsize=256)
def belongs(word: str) -> tuple[Belongs, ...]:
    """What a thing of this word is taken to be centered on, the first first.

    >>> [rule.on[0] for rule in belongs("range hood")], belongs("sofa")
    (['range'], ())
    """
    return tuple(rule for rule in _table()[0] if word in rule.kinds)


@lru_cache(maxsize=4096)
def cost(what: str, name: str, closed: bool) -> Cost:
    """What it takes to move a thing now.

    >>> cost("light", "chandelier box", False).rank < cost("light", "chandelier box", True).rank
    True
    >>> cost("piece", "dining table", True).how
    'by hand'
    """
    word = _longest(name, _words() | {word for row in _table()[1] for word in row.kinds})
    for row in _table()[1]:
        if row.what in ("", what) and (not row.kinds or word in row.kinds):
            return Cost(row.closed if closed else row.open, row.how)
    return Cost(7, "as built in")
