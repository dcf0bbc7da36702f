"""What is centered on what, and what is cheaper to move, read from `centring.toml`."""

from __future__ import annotations

import tomllib
from dataclasses import dataclass
from functools import lru_cache
from importlib import resources
from typing import Any


@dataclass(frozen=True, slots=True)
class Belongs:
    """What some kinds are taken to be centered on; `near` is in inches in plan."""

    kinds: tuple[str, ...]
    on: tuple[str, ...]
    near: float
    along: bool = False
    set: bool = False


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
            bool(row.get("along", False)),
            bool(row.get("set", False)),
        )
        for row in data["pair"]
    )
    moves = tuple(
        _Move(row["what"], tuple(row.get("kinds", ())), row["open"], row["closed"], row["how"])
        for row in data["move"]
    )
    return pairs, moves


def begins(name: str, words: tuple[str, ...]) -> bool:
    """Whether a name begins with one of some words, whole words only.

    >>> begins("Sconce box", ("sconce",)), begins("sinkhole", ("sink",))
    (True, False)
    """
    plain = " ".join(name.split(",")[0].lower().split())
    return any(plain == word or plain.startswith(word + " ") for word in words)


@lru_cache(maxsize=1024)
def belongs(name: str) -> tuple[Belongs, ...]:
    """What a thing of this name is taken to be centered on, the first first.

    >>> [rule.on[0] for rule in belongs("range hood")], belongs("sofa")
    (['range'], ())
    """
    return tuple(rule for rule in _table()[0] if begins(name, rule.kinds))


@lru_cache(maxsize=1024)
def cost(what: str, name: str, closed: bool) -> Cost:
    """What it takes to move a thing now.

    >>> cost("light", "chandelier box", False).rank < cost("light", "chandelier box", True).rank
    True
    >>> cost("piece", "dining table", True).how
    'by hand'
    """
    for row in _table()[1]:
        if row.what in ("", what) and (not row.kinds or begins(name, row.kinds)):
            return Cost(row.closed if closed else row.open, row.how)
    return Cost(7, "as built in")
