"""The strip of weeks on the Orders page: arrival windows against the days of need.

Without a grouping the lines that ask for something, dearest first. By room or by visit every line
that is not here, so that one sees what a room, or a trade on the day it comes, still waits for.
"""

from __future__ import annotations

from collections.abc import Iterable
from urllib.parse import quote

from roomwright.answers.arrival_windows import arrival_windows
from roomwright.answers.dates import calendar
from roomwright.answers.orders import OrderRow
from roomwright.answers.visits import visits
from roomwright.days import show_date
from roomwright.drawing.arrivals import rows_of
from roomwright.drawing.lanes import Heading, Row
from roomwright.drawing.weeks import strip_of_weeks
from roomwright.job.entities import Receipt, Room
from roomwright.supply.model import short
from roomwright.web.desk import HouseAt

MOST = 14
"""So many lanes stand on one strip; the list below has every line."""

MOST_GROUPED = 70
"""So many lanes stand on one strip that is grouped."""

WIDE = 1180.0
NARROW = 358.0

LATER = frozenset({"due", "on hand", "in time"})
"""States that need no lane of their own unless a line is looked at by itself, or grouped."""

GROUPINGS = ("room", "visit")

Group = tuple[Heading | None, list[OrderRow]]


def strips(
    at: HouseAt,
    rows: Iterable[OrderRow],
    *,
    each: bool = False,
    by: str = "",
    width: float = WIDE,
) -> dict[str, str]:
    """Return the strip for some lines, for a large screen and for a phone; empty without lanes.

    Lines of one class and one state stand for the dearest of them, unless `each` is wanted. `by`
    groups them by room or by visit.
    """
    wanted = list(rows)
    groups: list[Group]
    if by in GROUPINGS:
        here = [row for row in wanted if row.state.state != "on hand" and row.qty]
        groups = by_room(at, here) if by == "room" else by_visit(at, here)
        groups = [(head, _dearest(lines)) for head, lines in groups]
        most = MOST_GROUPED
    else:
        if not each:
            wanted = _dearest(row for row in wanted if row.state.state not in LATER)
        groups, most = [(None, wanted)], MOST
    lanes = _lanes(at, groups, most)
    if not any(isinstance(one, Row) for one in lanes):
        return {}
    return {
        name: strip_of_weeks(
            lanes, at.as_of, width=wide, base=base,
            link=lambda line: f"{at.at}/orders/{quote(line)}",
        ).svg
        for name, wide, base in (("wide", width, "weeks"), ("narrow", NARROW, "small-weeks"))
    }  # fmt: skip


def _lanes(at: HouseAt, groups: list[Group], most: int) -> list[Row | Heading]:
    """Return the lanes under their headings; a group without any has no heading."""
    came = {r.line: r.on for r in at.answers.facts.all(Receipt) if r.on is not None}
    windows, days = at.answers.ask(arrival_windows), at.answers.ask(calendar)
    lanes: list[Row | Heading] = []
    left = most
    for head, lines in groups:
        made = rows_of(lines[:left], days, at.as_of, came, windows)
        if made and head is not None:
            lanes.append(head)
        lanes += made
        left -= len(made)
    return lanes


def by_room(at: HouseAt, rows: list[OrderRow]) -> list[Group]:
    """Return the lines room by room, the room that costs most first."""
    names = {r.id: r.name or r.id for r in at.answers.facts.all(Room)}
    held: dict[str, list[OrderRow]] = {}
    for row in rows:
        held.setdefault(row.room, []).append(row)
    found = [(Heading(room, names.get(room, room), room), lines) for room, lines in held.items()]
    return sorted(found, key=lambda g: min(map(_order, g[1])))


def by_visit(at: HouseAt, rows: list[OrderRow]) -> list[Group]:
    """Return the lines by the visit whose work needs them, the first visit first."""
    heads: dict[str, tuple[object, Heading]] = {}
    for visit in at.answers.ask(visits):
        last = f" to {show_date(visit.last_day)}" if visit.last_day != visit.first_day else ""
        name = visit.trade[:1].upper() + visit.trade[1:]
        head = Heading(visit.first_work, name, f"{show_date(visit.first_day, at.as_of)}{last}")
        for work in visit.work:
            heads.setdefault(work.id, (visit.first_day, head))
    held: dict[Heading, tuple[object, list[OrderRow]]] = {}
    for row in rows:
        if row.need is None:
            continue
        own = Heading(row.need.activity, short(row.need.name), show_date(row.need.on, at.as_of))
        on, head = heads.get(row.need.activity, (row.need.on, own))
        held.setdefault(head, (on, []))[1].append(row)
    order = sorted(held.items(), key=lambda item: str(item[1][0]))
    return [(head, lines) for head, (_, lines) in order]


def _order(row: OrderRow) -> tuple[float, float]:
    return -row.state.move_in_days, -row.state.late_days


def _dearest(rows: Iterable[OrderRow]) -> list[OrderRow]:
    found: dict[tuple[str, str], OrderRow] = {}
    for row in rows:
        key = row.part_class, row.state.state
        if key not in found or row.state.move_in_days > found[key].state.move_in_days:
            found[key] = row
    return sorted(found.values(), key=_order)
