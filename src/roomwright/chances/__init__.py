"""Chances of dates: the network simulated with its calendars, links and shared luck."""

from roomwright.chances.graph import Prepared
from roomwright.chances.quick import QuickDates, quick_pass
from roomwright.chances.result import Chances, Quantiles, Watched, When
from roomwright.chances.simulation import Stopped, simulate, without
from roomwright.chances.spreads import ChancesError, Factor, Spread, Uncertain
from roomwright.chances.warming import warm

__all__ = [
    "Chances",
    "ChancesError",
    "Factor",
    "Prepared",
    "Quantiles",
    "QuickDates",
    "Spread",
    "Stopped",
    "Uncertain",
    "Watched",
    "When",
    "quick_pass",
    "simulate",
    "warm",
    "without",
]
