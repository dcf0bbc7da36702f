"""One finding of the check, as every group of checks gives it."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any, Literal

Weight = Literal["wrong", "look", "note"]
"""*wrong*: it cannot be right; *look*: somebody should decide; *note*: harmless, worth knowing."""

WEIGHTS: tuple[Weight, ...] = ("wrong", "look", "note")


@dataclass(frozen=True, slots=True)
class Finding:
    """One thing that a check found: which check, how grave, where, what is so, what to do.

    `ids` are the facts it is about, of the kind `about`.
    """

    check: str
    weight: Weight
    text: str
    do: str
    room: str = ""
    about: str = ""
    ids: tuple[str, ...] = ()

    def as_json(self) -> dict[str, Any]:
        """Return the documented fields."""
        return {
            "check": self.check,
            "weight": self.weight,
            "room": self.room,
            "about": self.about,
            "ids": list(self.ids),
            "text": self.text,
            "do": self.do,
        }
