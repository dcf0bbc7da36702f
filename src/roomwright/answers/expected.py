"""What the tasks of today save on average over the futures of the house."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace
from typing import Final

import numpy as np

from roomwright import schedule
from roomwright.answers import dates, lead_history, lead_spreads
from roomwright.answers.engine import Ask
from roomwright.answers.futures import SAMPLES, SEED, Samples, futures, run, site_of
from roomwright.answers.orders import orders
from roomwright.answers.whole_network import whole
from roomwright.chances import ChancesError, Factor, Spread, Uncertain, simulate
from roomwright.days import HorizonError
from roomwright.supply.today import Task
from roomwright.supply.today import ranked as by_days

AGAIN: Final = frozenset({"check"})
"""Tasks whose part is here and would have to be ordered again."""


PLAIN: Final = (
    "Days are those at the long end of each lead, not an average: the house can't be simulated."
)


def ranked(
    ask: Ask, tasks: tuple[Task, ...], samples: int = SAMPLES
) -> tuple[tuple[Task, ...], str]:
    """Return tasks with the days that they save on average, those first that save most, and a note.

    What a task saves is the average of its dearest line in each future, that line alone. A part
    that came wrong is taken to be ordered again today. Where the house can't be simulated, say for
    a date years away, the plain days stand, and the note says so.
    """
    if not tasks:
        return (), ""
    try:
        found = _expected(ask, tasks, samples)
    except (ChancesError, HorizonError) as why:
        reason = str(why).splitlines()[0].rstrip(".")
        return by_days(tasks), f"{PLAIN} {reason[:1].upper()}{reason[1:]}."
    return by_days(replace(t, expected=e) for t, e in zip(tasks, found, strict=True)), ""


def _expected(ask: Ask, tasks: tuple[Task, ...], samples: int) -> list[float | None]:
    ahead = ask(futures, samples)
    wrong = {line for t in tasks if t.kind in AGAIN and t.days > 0 for line in t.lines}
    again = _again(ask, wrong, samples)
    found: list[float | None] = []
    for task in tasks:
        if task.activity:
            found.append(ahead.critical.get(task.activity, 0.0))
            continue
        days: list[Samples] = [ahead.days(i) for i in task.lines if i in ahead.lands]
        if task.kind in AGAIN:
            days = [again[i] for i in task.lines if i in again]
        found.append(float(np.maximum.reduce(days).mean()) if days else 0.0)
    return found


def _again(ask: Ask, lines: Iterable[str], samples: int) -> dict[str, Samples]:
    """Return the days that lines cost which are ordered again today."""
    rows = {r.line: r for r in ask(orders).lines}
    calendar, guess = ask(dates.calendar), ask(lead_spreads.promises).guess
    past = ask(lead_history.leads)
    leads: dict[str, Spread] = {}
    for line in sorted(lines):
        row, need = rows[line], rows[line].need
        maker = row.makers[0] if row.makers else ""
        lead = lead_spreads.of_lead(row.lead, calendar, guess, past, row.part_class, maker)
        if need is not None and need.state != "done" and lead is not None and lead.spread:
            leads[line] = lead.spread
    if not leads:
        return {}
    needs = {line: rows[line].need.activity for line in leads}  # type: ignore[union-attr]
    found = ask(whole)
    work = run(
        ask, found, site_of(found), samples=samples, watch=(), late=needs.values(), causes={}
    )
    nobody: tuple[Factor, ...] = ()
    lands = simulate(
        schedule.Network(schedule.Activity(f"{line} again", 1, off_site=True) for line in leads),
        [Uncertain(f"{line} again", spread) for line, spread in leads.items()],
        nobody,
        calendar=calendar, as_of=ask.as_of, samples=samples, seed=SEED, causes={},
        compiled=False,
    )  # fmt: skip
    return {
        line: np.maximum(
            0.0, lands.of.samples(f"{line} again")[1] - work.late.samples(needs[line])[0]
        )
        for line in leads
    }
