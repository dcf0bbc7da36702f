"""What a health check found: which activities, what is the matter, what to do."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final, Literal

Weight = Literal["wrong", "look", "note"]
WEIGHTS: Final[tuple[Weight, ...]] = ("wrong", "look", "note")


@dataclass(frozen=True, slots=True)
class Finding:
    """One thing that a check found.

    `weight` is ``wrong`` (the dates cannot be right), ``look`` (somebody should decide) or
    ``note`` (harmless, but worth knowing).
    """

    check: str
    weight: Weight
    activities: tuple[str, ...]
    text: str
    do: str
