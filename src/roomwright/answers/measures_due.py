"""Field measures that can be taken today: all that they wait for is done, and none holds."""

from __future__ import annotations

from roomwright import supply
from roomwright.answers import dates, lead_chains, orders
from roomwright.answers.engine import Ask, query

OURS = (supply.BUILDER, "owner")
"""Whose lines stand in Today."""


@query("measures to take")
def measures_due(ask: Ask) -> tuple[supply.Task, ...]:
    """Return a task for each class of parts that can be measured for and still is to come.

    One that later work spoiled can be taken again when that work is done.
    """
    lines = ask(lead_chains.chained)
    if not lines:
        return ()
    progress = ask(dates.progress)
    groups: dict[tuple[str, str], list[orders.OrderRow]] = {}
    for row in ask(orders.orders).lines:
        if row.line not in lines or row.need is None or row.need.state == "done":
            continue
        if (row.bought_by or supply.BUILDER) not in OURS:
            continue
        told = ask(lead_chains.measured, row.line)
        if told is None or told.standing.holds or row.state.state == "on hand":
            continue
        waits = [i for i in told.standing.activities if i not in progress
                 or progress[i].finished is None]  # fmt: skip
        if not waits:
            groups.setdefault((row.part_class, told.condition.words), []).append(row)
    return tuple(_task(ask, words, rows) for (_, words), rows in groups.items())


def _task(ask: Ask, words: str, rows: list[orders.OrderRow]) -> supply.Task:
    need = [r.need for r in rows if r.need is not None]
    why = []
    for row in rows:
        told = ask(lead_chains.measured, row.line)
        text = told.standing.text if told else ""
        condition = f" with {words}" if words else ""
        why.append(f"{row.name}, room {row.room}, is made to a measure{condition}: {text}.")
    many = f" ({len(rows)} places)" if len(rows) > 1 else ""
    return supply.Task(
        kind="measure",
        title=f"Measure: {rows[0].name}{many}",
        days=max(r.state.move_in_days for r in rows),
        why=tuple(dict.fromkeys(why)),
        lines=tuple(r.line for r in rows),
        rooms=tuple(dict.fromkeys(r.room for r in rows)),
        needed=min(n.on for n in need),
        by=ask.as_of,
        guess=True,
    )
