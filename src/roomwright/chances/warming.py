"""Compiling ahead of the first question, in a thread of its own."""

from __future__ import annotations

import importlib
from collections.abc import Callable
from datetime import date
from typing import Final

from roomwright.chances.engine import engine
from roomwright.chances.simulation import simulate
from roomwright.chances.spreads import Spread, Uncertain
from roomwright.days import Calendar
from roomwright.schedule.network import Activity, Network

STAGES: Final = ("compiling", "rows", "kernel", "drawing", "sweep")


def warm(stop: Callable[[], bool] | None = None) -> bool:
    """Make the first simulation as fast as the next ones; return whether it got to its end.

    Compiles what was not compiled before on this machine, else loads it; meant for a thread at
    the start of a server. Between stages, of a few seconds at most, it asks whether to `stop`.
    Without numba there is nothing to do.

    Examples
    --------
    >>> warm(stop=lambda: True)
    False
    """
    for stage in STAGES:
        if stop is not None and stop():
            return False
        try:
            importlib.import_module(f"roomwright.chances.{stage}")
        except ImportError:
            break
    if stop is not None and stop():
        return False
    engine()
    days = Spread("pert", 1, 2, 4)
    simulate(
        Network([Activity("warm", 2)]),
        [Uncertain("warm", days)],
        calendar=Calendar(date(2027, 3, 1)),
        samples=1,
    )
    return True
