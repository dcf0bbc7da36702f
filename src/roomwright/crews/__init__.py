"""Crews: a plan that keeps what crews, rooms and inspectors allow, with its proof or its gap."""

from roomwright.crews.check import Clash, Fault, clashes, faults
from roomwright.crews.choices import Choice, choices
from roomwright.crews.level import level
from roomwright.crews.model import (
    Effort,
    Held,
    LevelError,
    Levelled,
    Limit,
    Moved,
    Placed,
    Step,
    Use,
)

__all__ = [
    "Choice",
    "Clash",
    "Effort",
    "Fault",
    "Held",
    "LevelError",
    "Levelled",
    "Limit",
    "Moved",
    "Placed",
    "Step",
    "Use",
    "choices",
    "clashes",
    "faults",
    "level",
]
