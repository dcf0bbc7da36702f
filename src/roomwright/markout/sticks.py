"""Sticks to cut: one for each clearance, so that a person alone can lay a room out and feel it."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Wanted:
    """A clearance that something asks for: `length` [in], its figure and source, and for what.

    `at_once` is False where one stick is carried from place to place, as along a walk path.
    """

    length: float
    figure: str
    source: str
    what: str
    at_once: bool = True


@dataclass(frozen=True, slots=True)
class Stick:
    """A stick: cut `count` of `length` [in]; `uses` says where each is laid."""

    length: float
    count: int
    figure: str
    source: str
    uses: tuple[str, ...]


def sticks(wanted: Iterable[Wanted]) -> tuple[Stick, ...]:
    """The sticks that serve some clearances, shortest first: one for each place it lies at once.

    >>> [(s.length, s.count) for s in sticks([Wanted(36, "walkway.main", "", "the path"),
    ...     Wanted(32, "dining.rise", "", "west end"), Wanted(32, "dining.rise", "", "east end")])]
    [(32, 2), (36, 1)]
    """
    found: dict[tuple[float, str], list[Wanted]] = {}
    for each in wanted:
        found.setdefault((each.length, each.figure), []).append(each)
    made = []
    for (length, figure), those in sorted(found.items()):
        uses = tuple(dict.fromkeys(w.what for w in those))
        lying = len({w.what for w in those if w.at_once})
        made.append(Stick(length, max(1, lying), figure, those[0].source, uses))
    return tuple(made)
