"""The strip of weeks on the Orders page: arrival windows against the days of need."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date

from roomwright.answers.orders import OrderRow


def strip(rows: Sequence[OrderRow], as_of: date) -> str:
    """Return the strip of weeks for some lines, dearest first; empty if none has a window."""
    return ""
