"""Counts that must agree: plan lines and their kits, what was ordered, what came, what is drawn.

Pure: plain frozen values in, frozen results out. Every disagreement is one line with its room, its
part, by how many, and what to do. docs/counts.md says what each kind means.
"""

from .hands import Hand, hand_of, hand_said
from .kits import expand, questions
from .model import (
    KINDS,
    Came,
    Counts,
    Disagreement,
    Door,
    Drawn,
    Kind,
    KitLine,
    KitPart,
    Line,
    Measure,
    Ordered,
    Plan,
    Question,
    Row,
    Totals,
    Work,
)
from .reconcile import reconcile

__all__ = [
    "KINDS",
    "Came",
    "Counts",
    "Disagreement",
    "Door",
    "Drawn",
    "Hand",
    "Kind",
    "KitLine",
    "KitPart",
    "Line",
    "Measure",
    "Ordered",
    "Plan",
    "Question",
    "Row",
    "Totals",
    "Work",
    "expand",
    "hand_of",
    "hand_said",
    "questions",
    "reconcile",
]
