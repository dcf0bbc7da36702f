"""Lines of the plan as rows of the strip of weeks."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from datetime import date

from roomwright.answers.arrival_windows import Arrival
from roomwright.answers.orders import OrderRow
from roomwright.answers.plan_model import Word
from roomwright.days import Calendar, HorizonError, show_date
from roomwright.drawing.lanes import Row
from roomwright.supply.policy import arrives

_WORDS: dict[str, Word] = {
    "on hand": "fits",
    "in time": "fits",
    "due": "",
    "can't be ordered yet": "measure",
    "left out": "short",
    "promise passed": "short",
    "late": "short",
    "order now": "short",
    "void": "blocked",
}


def rows_of(
    lines: Iterable[OrderRow],
    calendar: Calendar,
    as_of: date,
    came: Mapping[str, date] | None = None,
    windows: Mapping[str, Arrival] | None = None,
) -> list[Row]:
    """Rows for lines that have something to show, in the order given.

    A line that is not ordered would come between its low and its high lead from `as_of`, or from
    the day its measure is done. `came` gives the day on which the last of a line came, `windows`
    the arrival windows of the chances, which then stand in the place of those from the leads.
    """
    arrived, likely = came or {}, windows or {}
    rows = (
        _row(line, calendar, as_of, arrived.get(line.line), likely.get(line.line)) for line in lines
    )
    return [row for row in rows if row is not None]


def _row(
    line: OrderRow, calendar: Calendar, as_of: date, came: date | None, window: Arrival | None
) -> Row | None:
    state, need = line.state, line.need
    ordered = state.on_order > 0 and state.arrives is not None and not state.guess
    earliest, latest = (None, None) if ordered else _window(line, calendar, as_of)
    if window is not None and state.state != "on hand":
        earliest, latest = window.first, window.last
    row = Row(
        id=line.line,
        name=f"{line.qty} {line.name}" if line.qty != 1 else line.name,
        said=_said(line, as_of, ordered),
        state=_state(line),
        word=_WORDS.get(state.state, ""),
        cost=_cost(line),
        earliest=earliest,
        latest=latest,
        promised=state.arrives if ordered else None,
        received=came if state.state == "on hand" else None,
        not_before=need.on if need else None,
        last_safe=need.last_safe if need else None,
        likely=window is not None and state.state != "on hand",
    )
    return row if row.days else None


def _window(line: OrderRow, calendar: Calendar, as_of: date) -> tuple[date | None, date | None]:
    low, high = line.lead.low_weeks, line.lead.high_weeks
    if high is None or (line.state.to_order == 0 and line.state.state != "void"):
        return None, None
    start = as_of
    if line.measure is not None and line.measure.done_on is None:
        start = max(as_of, line.measure.expected)
    try:
        return arrives(start, low if low is not None else high, calendar), arrives(
            start, high, calendar
        )
    except HorizonError:
        return None, None


def _said(line: OrderRow, as_of: date, ordered: bool) -> str:
    if ordered and line.state.arrives:
        orders = ", ".join(line.orders)
        if line.state.state == "promise passed":
            return f"{orders}, not here"
        return f"promised {show_date(line.state.arrives, as_of)}, {orders}"
    if line.measure is not None and line.measure.done_on is None:
        return f"after {line.measure.name}, {show_date(line.measure.expected, as_of)}"
    if line.state.state == "on hand":
        return "here"
    return "not ordered"


def _state(line: OrderRow) -> str:
    late = line.state.late_days
    if line.state.state == "late":
        return f"late {late} {'day' if late == 1 else 'days'}"
    return line.state.state


def _cost(line: OrderRow) -> str:
    days = line.state.move_in_days
    if days <= 0:
        return ""
    guess = " (a guess)" if line.state.guess else ""
    return f"{days:g} {'day' if days == 1 else 'days'} of move-in{guess}"
