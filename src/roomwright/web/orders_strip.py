"""The strip of weeks on the Orders page: arrival windows against the days of need."""

from __future__ import annotations

from collections.abc import Iterable
from urllib.parse import quote

from roomwright.answers.dates import calendar
from roomwright.answers.orders import OrderRow
from roomwright.drawing.arrivals import rows_of
from roomwright.drawing.weeks import strip_of_weeks
from roomwright.job.entities import Receipt
from roomwright.web.desk import HouseAt

MOST = 14
"""So many lanes stand on one strip; the list below has every line."""

WIDE = 1180.0
NARROW = 358.0

LATER = frozenset({"due", "on hand", "in time"})
"""States that need no lane of their own unless a line is looked at by itself."""


def strips(
    at: HouseAt, rows: Iterable[OrderRow], *, each: bool = False, width: float = WIDE
) -> dict[str, str]:
    """Return the strip for some lines, for a large screen and for a phone; empty without lanes.

    Lines of one class and one state stand for the dearest of them, unless `each` is wanted.
    """
    wanted = list(rows)
    if not each:
        wanted = _dearest(row for row in wanted if row.state.state not in LATER)
    came = {r.line: r.on for r in at.answers.facts.all(Receipt) if r.on is not None}
    lanes = rows_of(wanted[:MOST], at.answers.ask(calendar), at.as_of, came)
    if not lanes:
        return {}
    return {
        name: strip_of_weeks(
            lanes, at.as_of, width=wide, base=base,
            link=lambda line: f"{at.at}/orders/{quote(line)}",
        ).svg
        for name, wide, base in (("wide", width, "weeks"), ("narrow", NARROW, "small-weeks"))
    }  # fmt: skip


def _dearest(rows: Iterable[OrderRow]) -> list[OrderRow]:
    found: dict[tuple[str, str], OrderRow] = {}
    for row in rows:
        key = row.part_class, row.state.state
        if key not in found or row.state.move_in_days > found[key].state.move_in_days:
            found[key] = row
    return sorted(found.values(), key=lambda r: (-r.state.move_in_days, -r.state.late_days))
