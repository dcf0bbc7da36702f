"""How far the house is, as far as it decides what is cheap to change: whether the board is up."""

from __future__ import annotations

import re

from roomwright.answers.engine import Ask, query
from roomwright.job.entities import Activity, Progress

BOARD = re.compile(r"\b(drywall|board|gypsum|plasterboard)\b", re.IGNORECASE)
HANG = re.compile(r"\bhang", re.IGNORECASE)
"""Words of the activities that close the walls: "Hang drywall", "Board hanging"."""


@query("walls closed")
def walls_closed(ask: Ask) -> bool:
    """Whether the board is up: once its hanging has started, or where no schedule names it."""
    hanging = [e for e in ask.all(Activity) if BOARD.search(e.name) and HANG.search(e.name)]
    if not hanging:
        return True
    found = (ask.find(Progress, each.id) for each in hanging)
    return any(each is not None and each.started is not None for each in found)
