"""The strip of weeks on the Orders page: arrival windows against the days of need.

Without a grouping the lines that ask for something, dearest first. By room or by visit every line
that is not here, so that one sees what a room, or a trade on the day it comes, still waits for: a
lane each, on as many pages as it takes. What a strip does not show, it says.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import date
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
"""So many lanes stand on one page of a strip that is grouped."""

WIDE = 1180.0
NARROW = 358.0

LATER = frozenset({"due", "on hand", "in time"})
"""States that need no lane of their own unless a line is looked at by itself, or grouped."""

GROUPINGS = ("room", "visit")

Group = tuple[Heading | None, list[OrderRow]]


@dataclass(frozen=True, slots=True)
class Strips:
    """The strip for a large screen and for a phone, by name; `says` what is and is not on it.

    `page` of `pages`, from 1. Without a lane there is no picture.
    """

    pictures: Mapping[str, str]
    says: str = ""
    page: int = 1
    pages: int = 1


def strips(
    at: HouseAt,
    rows: Iterable[OrderRow],
    *,
    each: bool = False,
    by: str = "",
    page: int = 1,
    width: float = WIDE,
) -> Strips:
    """Return the strip for some lines.

    The dearest of a class and a state stands for the others, unless `each` is wanted. `by` groups
    them by room or by visit, and then each has a lane, `page` by page.
    """
    wanted = list(rows)
    if by in GROUPINGS:
        here = [row for row in wanted if row.state.state != "on hand" and row.qty]
        groups = by_room(at, here) if by == "room" else by_visit(at, here)
        pages = _paged(_lanes(at, groups), MOST_GROUPED)
        page = min(max(page, 1), len(pages))
        lanes = pages[page - 1]
        says = _grouped(pages, page, len(here), by)
    else:
        if not each:
            here = [row for row in wanted if row.state.state not in LATER]
            wanted = _dearest(here)
        lanes = [lane for lane, _ in _lanes(at, [(None, wanted)])[:MOST] if lane is not None]
        says = "" if each else _ungrouped(len(lanes), len(here))
        pages, page = [lanes], 1
    if not any(isinstance(one, Row) for one in lanes):
        return Strips({}, says)
    drawn = {
        name: strip_of_weeks(
            lanes, at.as_of, width=wide, base=base,
            link=lambda line: f"{at.at}/orders/{quote(line)}",
        ).svg
        for name, wide, base in (("wide", width, "weeks"), ("narrow", NARROW, "small-weeks"))
    }  # fmt: skip
    return Strips(drawn, says, page, len(pages))


def last_came(receipts: Iterable[Receipt]) -> dict[str, date]:
    """Return the latest day on which something of each line came."""
    came: dict[str, date] = {}
    for one in receipts:
        if one.on is not None:
            came[one.line] = max(one.on, came.get(one.line, one.on))
    return came


def _lanes(at: HouseAt, groups: list[Group]) -> list[tuple[Row, Heading | None]]:
    """Return a lane for each line that marks a day, with the heading that it stands under."""
    came = last_came(at.answers.facts.all(Receipt))
    windows, days = at.answers.ask(arrival_windows), at.answers.ask(calendar)
    return [
        (row, head)
        for head, lines in groups
        for row in rows_of(lines, days, at.as_of, came, windows)
    ]


def _paged(lanes: list[tuple[Row, Heading | None]], most: int) -> list[list[Row | Heading]]:
    """Return the lanes on pages of no more than `most`; a heading is repeated on a new page."""
    pages: list[list[Row | Heading]] = []
    for n, (row, head) in enumerate(lanes):
        fresh = n % most == 0
        if fresh:
            pages.append([])
        if head is not None and (fresh or head != lanes[n - 1][1]):
            pages[-1].append(head)
        pages[-1].append(row)
    return pages or [[]]


def _grouped(pages: list[list[Row | Heading]], page: int, here: int, by: str) -> str:
    """Say which of the lines that are not here a page shows."""
    each = [sum(isinstance(one, Row) for one in lanes) for lanes in pages]
    drawn, before = sum(each), sum(each[: page - 1])
    said = [] if len(pages) == 1 else [
        f"Lines {before + 1} to {before + each[page - 1]} of {drawn} that are not here, by {by}."
    ]  # fmt: skip
    if here > drawn:
        said.append(f"{here - drawn} more have no day to be drawn at: nobody said what needs them.")
    return " ".join(said)


def _ungrouped(drawn: int, here: int) -> str:
    """Say how many lines ask for something and are not drawn by themselves."""
    if here <= drawn:
        return ""
    return (
        f"{drawn} of {here} lines that ask for something: the dearest of each kind and state. "
        "All stand in the list; by room or by visit each has a lane."
    )


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
