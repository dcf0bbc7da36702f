"""One broken rule, and the words that rules share."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from roomwright.exchange.problems import Severity
from roomwright.job.entities import Outline, Point

Lacks = Callable[[str, str], bool]
"""(kind, id) -> whether there is surely no such fact."""


@dataclass(frozen=True, slots=True)
class Broken:
    """What is wrong with one field of one fact, and what to do."""

    kind: str
    id: str
    field: str
    severity: Severity
    wrong: str
    do: str


def plain(point: Point) -> tuple[float, float]:
    """Return a point as floats, for geometry."""
    return float(point[0]), float(point[1])


def ring(outline: Outline) -> tuple[tuple[float, float], ...]:
    """Return an outline as floats, for geometry."""
    return tuple(plain(p) for p in outline)
