"""What to do today, and the cautions that are due."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from typing import Any

from roomwright import supply
from roomwright.answers import counts, dates, expected, orders
from roomwright.answers.engine import Ask, query
from roomwright.answers.measures_due import measures_due
from roomwright.job.entities import PartClass, Progress, Stair
from roomwright.job.facts import Facts
from roomwright.supply.today import days_in_words


@dataclass(frozen=True, slots=True)
class TodayAnswer:
    """The tasks, most days of move-in saved first, and the cautions that are due.

    `note` says where the days are no average over the futures; empty where they are.
    """

    as_of: date
    tasks: tuple[supply.Task, ...]
    cautions: tuple[supply.Caution, ...]
    note: str = ""

    def as_json(self) -> dict[str, Any]:
        """Return the documented fields."""
        return {
            "as_of": self.as_of.isoformat(),
            "note": self.note,
            "lines": [
                {
                    "kind": t.kind,
                    "what": t.title,
                    "who": t.who,
                    "move_in_days": dates.plain(t.days),
                    "expected_days": None if t.expected is None else round(t.expected, 2),
                    "days_in_words": days_in_words(t, self.as_of),
                    "guess": t.guess,
                    "why": list(t.why),
                    "lines": list(t.lines),
                    "rooms": list(t.rooms),
                    "orders": list(t.orders),
                    "maker": t.maker,
                    "activity": t.activity or None,
                    "by": t.by.isoformat() if t.by else None,
                    "needed": t.needed.isoformat() if t.needed else None,
                }
                for t in self.tasks
            ],
            "cautions": [
                {
                    "caution": c.key,
                    "text": c.text,
                    "activities": list(c.activities),
                    "source": c.source,
                }
                for c in self.cautions
            ],
        }


@query("site work")
def site_work(ask: Ask) -> tuple[supply.Work, ...]:
    """Return the activities as Today and the cautions see them."""
    left = {p.id: p.days_left for p in ask.all(Progress)}
    return tuple(
        supply.Work(
            activity=a.id,
            name=a.name,
            trade=a.trade,
            state=a.dates.state,
            start=a.first_day,
            last_day=a.last_day,
            spare=a.dates.total_float,
            left=_left(a, left.get(a.id)),
        )
        for a in ask(dates.dates).activities
    )


def _left(activity: dates.ActivityDates, told: Any) -> Any:
    if activity.dates.state == "done":
        return 0
    return told if activity.dates.state == "started" and told is not None else activity.days


def _wrong(ask: Ask) -> dict[str, list[supply.Wrong]]:
    """Return by line what came, or is coming, damaged or for the wrong hand."""
    found: dict[str, list[supply.Wrong]] = {}
    for d in ask(counts.counts).disagreements:
        if d.kind in ("wrong hand", "damaged"):
            said = supply.Wrong(d.kind, d.text, d.do, d.move_in_days or 0)
            found.setdefault(d.line, []).append(said)
    return found


def built_in(ask: Ask | Facts) -> list[str]:
    """Return names of what is built in, by which cautions tell gas and stairs."""
    return [c.name for c in ask.all(PartClass)] + ["stair" for _ in ask.all(Stair)]


@query("today")
def today(ask: Ask) -> TodayAnswer:
    """Return what to do today and the cautions that are due."""
    site = ask(site_work)
    wrong = _wrong(ask)
    wanted = [
        supply.Wanted(
            line=r.line,
            room=r.room,
            name=r.name,
            state=r.state,
            need=r.need,
            lead=r.lead,
            maker=r.makers[0] if r.makers else "",
            bought_by=r.bought_by,
            wrong=tuple(wrong.get(r.line, ())),
        )
        for r in ask(orders.orders).lines
        if r.need is not None
    ]
    days = ask(dates.calendar)
    tasks = supply.today(wanted, site, days, ask.as_of) + ask(measures_due)
    found, note = expected.ranked(ask, tasks)
    return TodayAnswer(
        as_of=ask.as_of,
        tasks=found,
        note=note,
        cautions=supply.cautions(site, built_in(ask), days, ask.as_of),
    )
