"""Arrival windows: the band of days in which eight of ten futures have a line land."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date

import numpy as np

from roomwright.answers.dates import calendar
from roomwright.answers.engine import Ask, query
from roomwright.answers.futures import futures
from roomwright.answers.orders import orders
from roomwright.chances.result import quantile
from roomwright.days import HorizonError

LOW, HIGH = 0.10, 0.90
"""A window leaves out one future of ten at each end."""


@dataclass(frozen=True, slots=True)
class Arrival:
    """First and last day of a line's arrival window."""

    first: date
    last: date


@query("arrival windows")
def arrival_windows(ask: Ask) -> Mapping[str, Arrival]:
    """Return by line of the plan when it lands, P10 to P90; only lines that are not here."""
    waiting = [r for r in ask(orders).lines if r.state.state != "on hand" and r.need is not None]
    if not waiting:
        return {}
    days, ahead = ask(calendar), ask(futures)
    found: dict[str, Arrival] = {}
    kept: dict[int, Arrival] = {}
    for row in waiting:
        lands = ahead.lands.get(row.line)
        if lands is None:
            continue
        if id(lands) not in kept:  # what comes on one truck is counted once
            rising = np.sort(lands)
            try:
                kept[id(lands)] = Arrival(
                    days.date(quantile(rising, LOW)[0]), days.date(quantile(rising, HIGH)[0])
                )
            except HorizonError:
                continue
        found[row.line] = kept[id(lands)]
    return found
