"""Dated news for a wall sheet: what comes and who works here. True on the day of printing only."""

from __future__ import annotations

from collections.abc import Collection, Sequence
from datetime import date, timedelta

from roomwright.answers import dates, orders
from roomwright.answers.engine import Ask
from roomwright.answers.orders import OrderRow
from roomwright.answers.sheet_model import News
from roomwright.days import show_date

AHEAD = timedelta(weeks=6)
"""Arrivals and work up to this far ahead are told."""

MOST = 5
"""Lines of each kind."""


def news(ask: Ask, room: str, lines: Collection[str]) -> tuple[News, ...]:
    """Work in a room and arrivals of its lines by date, then what is not ordered or void."""
    mine = [r for r in ask(orders.orders).lines if r.line in lines and r.state.state != "on hand"]
    comes, more = _arrivals(mine, ask.as_of)
    dated = sorted([*_work(ask, room), *comes], key=lambda each: each[0])
    return (*(told for _, told in dated), *more, *_missing(mine))


def _work(ask: Ask, room: str) -> list[tuple[date, News]]:
    """Work in this room that has begun or begins soon; work all over the house only if begun."""
    today = ask.as_of
    told: list[tuple[date, News]] = []
    for each in ask(dates.dates).activities:
        here = room in each.rooms
        begun = each.dates.state == "started"
        if each.dates.state == "done" or not (here or begun) or each.days == 0:
            continue
        if not here and "all" not in each.rooms:
            continue
        if each.first_day <= today + AHEAD:
            who = f" ({each.trade})" if each.trade else ""
            when = _span(each.first_day, each.last_day, today)
            told.append((each.first_day, News(when, f"{each.name}{who}")))
    return told[:MOST]


def _span(first: date, last: date, today: date) -> str:
    if first == last:
        return show_date(first, today)
    return f"{show_date(first, today)} – {show_date(last, today)}"


def _arrivals(rows: Sequence[OrderRow], today: date) -> tuple[list[tuple[date, News]], list[News]]:
    """What is promised within the next weeks, and how much more there is."""
    told: list[tuple[date, News]] = []
    for row in rows:
        arrives = row.state.arrives
        if not row.orders or arrives is None or row.state.guess or arrives > today + AHEAD:
            continue
        text = f"{row.qty} {row.name} {_need(row, today)}"
        told.append((arrives, News(show_date(arrives, today), text)))
    told.sort(key=lambda each: each[0])
    more = len(told) - MOST
    rest = [News("", f"and {more} more to come within six weeks")] if more > 0 else []
    return told[:MOST], rest


def _missing(rows: Sequence[OrderRow]) -> list[News]:
    told = []
    missing = [r for r in rows if r.state.to_order > 0 and r.state.state != "void"]
    if missing:
        names = ", ".join(dict.fromkeys(r.name for r in missing[:MOST]))
        rest = f" and {len(missing) - MOST} more" if len(missing) > MOST else ""
        told.append(News("not ordered", f"{names}{rest}"))
    void = [r.name for r in rows if r.state.state == "void"]
    if void:
        told.append(News("void", f"{', '.join(void)}: ordered before its measure"))
    return told


def _need(row: OrderRow, today: date) -> str:
    if row.need is None:
        return "comes"
    late = f", late by {row.state.late_days} working days" if row.state.late_days > 0 else ""
    return f"comes; needed {show_date(row.need.on, today)}{late}"
