"""Visits: the runs of work for which one trade comes to the house."""

from __future__ import annotations

import re
from collections.abc import Container
from dataclasses import dataclass
from datetime import date

from roomwright.answers.calendars import known
from roomwright.answers.dates import ActivityDates, calendar, dates
from roomwright.answers.engine import Ask, query
from roomwright.answers.rooms import figures_in_force
from roomwright.trades import named

OURS = frozenset({"builder", "owner", "all"})
"""Trades that nobody has to call."""

INSPECTOR = re.compile(r"\binspect", re.IGNORECASE)
"""What the trade, or the name of work without one, says where an inspector comes."""


@dataclass(frozen=True, slots=True)
class Visit:
    """Work of one trade that follows on, with no more than a few days between.

    `first_day` is that of its first work that has not begun and `first_work` that work's id, by
    which the visit is known; `here` tells whether some of it has begun.
    """

    trade: str
    first_work: str
    first_day: date
    last_day: date
    work: tuple[ActivityDates, ...]
    here: bool

    @property
    def rooms(self) -> tuple[str, ...]:
        """The rooms it is in, each once; ``all`` where it names the whole house."""
        return tuple(dict.fromkeys(r for a in self.work for r in a.rooms))

    @property
    def inspection(self) -> bool:
        """Whether an inspector comes."""
        return bool(INSPECTOR.search(self.trade))


def called(trade: str, known: Container[str] = ()) -> dict[str, str]:
    """Return the trades of a piece of work that somebody has to call, as `named`.

    >>> called("tile/inspector"), called("Owner/builder"), called("HVAC")
    ({'tile': 'tile', 'inspector': 'inspector'}, {}, {'hvac': 'HVAC'})
    """
    return {key: name for key, name in named(trade, known).items() if key not in OURS}


@query("visits")
def visits(ask: Ask) -> tuple[Visit, ...]:
    """Return the visits that are not over, the earliest first."""
    days, gap = ask(calendar), ask(figures_in_force, "").get("visit.gap").value
    by_trade: dict[str, list[ActivityDates]] = {}
    written: dict[str, str] = {}
    for row in ask(dates).activities:
        if row.dates.state == "done" or (row.days == 0 and not INSPECTOR.search(row.trade)):
            continue
        for key, name in called(row.trade, ask(known)).items():
            by_trade.setdefault(key, []).append(row)
            written.setdefault(key, name)
    found = []
    for key, rows in by_trade.items():
        trade = written[key]
        rows.sort(key=lambda r: (r.first_day, r.dates.early_start, r.last_day))
        run: list[ActivityDates] = []
        last = date.min
        for row in rows:
            if run and days.between(last, row.first_day) > gap + 1:
                found.append(_visit(trade, run))
                run = []
            last = row.last_day if not run else max(last, row.last_day)
            run.append(row)
        found.append(_visit(trade, run))
    return tuple(sorted(found, key=lambda v: (v.first_day, v.trade)))


def _visit(trade: str, run: list[ActivityDates]) -> Visit:
    to_come = [r for r in run if r.dates.state == "to do"]
    first = to_come[0] if to_come else run[0]
    return Visit(
        trade, first.id, first.first_day, max(r.last_day for r in run), tuple(run),
        any(r.dates.state == "started" for r in run),
    )  # fmt: skip
