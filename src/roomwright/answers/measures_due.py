"""Field measures that can be taken today: all that they wait for is done, and none holds."""

from __future__ import annotations

from roomwright import supply
from roomwright.answers import dates, lead_chains, orders
from roomwright.answers.engine import Ask, query
from roomwright.supply.today import is_ours, told, whose


@query("measures to take")
def measures_due(ask: Ask) -> tuple[supply.Task, ...]:
    """Return a task for each class of parts that can be measured for and still is to come.

    Lines that another trade buys are left out; the owner's are the owner's to measure. One that
    later work spoiled can be taken again when that work is done.
    """
    lines = ask(lead_chains.chained)
    if not lines:
        return ()
    progress = ask(dates.progress)
    groups: dict[tuple[str, str, str], list[orders.OrderRow]] = {}
    for row in ask(orders.orders).lines:
        if row.line not in lines or row.need is None or row.need.state == "done":
            continue
        if not is_ours(row.bought_by or supply.BUILDER):
            continue
        said = ask(lead_chains.measured, row.line)
        if said is None or said.standing.holds or row.state.state == "on hand":
            continue
        waits = [i for i in said.standing.activities if i not in progress
                 or progress[i].finished is None]  # fmt: skip
        if not waits:
            key = row.part_class, said.condition.words, whose(row.bought_by)
            groups.setdefault(key, []).append(row)
    return tuple(_task(ask, words, who, rows) for (_, words, who), rows in groups.items())


def _task(ask: Ask, words: str, who: str, rows: list[orders.OrderRow]) -> supply.Task:
    need = [r.need for r in rows if r.need is not None]
    why = []
    for row in rows:
        said = ask(lead_chains.measured, row.line)
        text = said.standing.text if said else ""
        condition = f" with {words}" if words else ""
        why.append(f"{row.name}, room {row.room}, is made to a measure{condition}: {text}.")
    many = f" ({len(rows)} places)" if len(rows) > 1 else ""
    return supply.Task(
        kind="measure",
        title=f"{told(who, 'Measure')}: {rows[0].name}{many}",
        days=max(r.state.move_in_days for r in rows),
        why=tuple(dict.fromkeys(why)),
        lines=tuple(r.line for r in rows),
        rooms=tuple(dict.fromkeys(r.room for r in rows)),
        needed=min(n.on for n in need),
        by=ask.as_of,
        guess=True,
        who=who,
    )
