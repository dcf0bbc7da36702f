"""What rooms are used for and between which uses people walk most, read from `habits.toml`."""

from __future__ import annotations

import re
import tomllib
from collections.abc import Iterable
from dataclasses import dataclass
from functools import lru_cache
from importlib import resources
from typing import Literal

from roomwright.fit.given import Room

Standing = Literal["main", "other"]

OUTSIDE = "outside"
"""The use of all that lies behind an outside door."""


@dataclass(frozen=True, slots=True)
class Habit:
    """From each room of one use people walk to the nearest of another."""

    from_use: str
    to_use: str
    standing: Standing = "main"
    why: str = ""
    said: bool = False
    """Whether the builder said so, rather than the table of common practice."""

    @property
    def pair(self) -> frozenset[str]:
        """The two uses, whichever way one walks."""
        return frozenset((self.from_use, self.to_use))


@dataclass(frozen=True, slots=True)
class _Use:
    name: str
    words: re.Pattern[str]
    enters: bool
    private: bool


@lru_cache(maxsize=1)
def _table() -> tuple[tuple[_Use, ...], tuple[Habit, ...]]:
    text = resources.files("roomwright.fit").joinpath("habits.toml").read_text("utf-8")
    data = tomllib.loads(text)
    uses = tuple(
        _Use(
            row["name"],
            re.compile(rf"\b({'|'.join(map(re.escape, row['words']))})s?\b"),
            row.get("enters", False),
            row.get("private", False),
        )
        for row in data["use"]
    )
    walks = tuple(
        Habit(row["from"], row["to"], row.get("standing", "main"), row.get("why", ""))
        for row in data["walk"]
    )
    return uses, walks


def uses() -> tuple[str, ...]:
    """Every use that the program knows, and the outside."""
    return (*(use.name for use in _table()[0]), OUTSIDE)


@lru_cache(maxsize=4096)
def use_in(words: str) -> str:
    """The use that some words say, or "".

    >>> use_in("Primary walk-in closet"), use_in("Hall bath"), use_in("Garden"), use_in("Bedroom 2")
    ('closet', 'bath', '', 'bedroom')
    """
    plain = " ".join(words.lower().split())
    if plain == OUTSIDE:
        return OUTSIDE
    return next((use.name for use in _table()[0] if use.words.search(plain)), "")


def enters(use: str) -> bool:
    """Whether walks from rooms of a use begin at their outside door."""
    return any(each.enters for each in _table()[0] if each.name == use)


def private(use: str) -> bool:
    """Whether nobody walks through rooms of a use to get from one other room to another."""
    return any(each.private for each in _table()[0] if each.name == use)


def use_of(room: Room) -> str:
    """What people do in a room: as its `use` says, else as its name does; "" if neither."""
    return use_in(room.use) or room.use.strip().lower() or use_in(room.name)


def habits(said: Iterable[Habit] = ()) -> tuple[Habit, ...]:
    """The habits of common practice with what the builder said of a pair in their place.

    >>> ours = habits([Habit("study", "kitchen"), Habit("bath", "bedroom", "other")])
    >>> [(h.from_use, h.to_use, h.standing) for h in ours if h.said]
    [('study', 'kitchen', 'main'), ('bath', 'bedroom', 'other')]
    >>> len(ours) - len(habits())
    1
    """
    own = {}
    for each in said:
        first, second = (use_in(u) or u.strip().lower() for u in (each.from_use, each.to_use))
        habit = Habit(first, second, each.standing, each.why, said=True)
        own[habit.pair] = habit
    kept = [habit for habit in _table()[1] if habit.pair not in own]
    return (*kept, *own.values())
