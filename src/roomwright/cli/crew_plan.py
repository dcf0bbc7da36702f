"""The command `crews`: the levelled plan and the weeks ahead, in words, as JSON or as a sheet."""

from __future__ import annotations

import json
import sys
from dataclasses import dataclass
from datetime import UTC, date, datetime
from pathlib import Path
from typing import Any

from rich.console import Console
from rich.table import Table

from roomwright.answers import Answers, wire
from roomwright.answers.crews import LONG, QUICK, CrewsAnswer, choice_text, crews
from roomwright.answers.crews_json import as_json
from roomwright.answers.look_ahead import LookAhead, look_ahead
from roomwright.cli.source import find
from roomwright.days import show_date, show_days


@dataclass(frozen=True, slots=True)
class Asked:
    """What was asked: the first day and number of weeks, days later, a long search, a sheet."""

    first: date | None
    weeks: int
    later: str
    long: bool
    pdf: Path | None

    @property
    def days_later(self) -> int | None:
        """Return how much later all may be done.

        Raises
        ------
        ValueError
            in words, for what is neither a number of days nor any.
        """
        if self.later == "any":
            return None
        if not self.later.isdecimal() or int(self.later) > 1000:
            raise ValueError(f"--later {self.later}: type working days, such as 3, or any")
        return int(self.later)


def show(house: str, asked: Asked, as_of: date | None, as_json: bool, strict: bool,
         store_url: str | None) -> int:  # fmt: skip
    """Print the plan and write its sheet; return the exit status."""
    answers = find(house, store_url).answers(as_of, datetime.now(UTC).astimezone().date())
    work = LONG if asked.long else QUICK
    try:
        later = asked.days_later
        first = asked.first or answers.as_of
        plan = answers.ask(crews, later, work)
        ahead = answers.ask(look_ahead, first, asked.weeks, later, work)
    except ValueError as error:
        print(error, file=sys.stderr)
        return 2
    if asked.pdf is not None:
        from roomwright.sheets import look_ahead as paper

        day = f"{show_date(answers.as_of)}, {answers.as_of.year}"
        asked.pdf.write_bytes(paper.pdf(ahead, printed=day))
        print(f"Written: {asked.pdf}", file=sys.stderr)
    if as_json:
        print(json.dumps(wire.envelope("crews", answers, body(plan, ahead)), indent=1))
    else:
        _text(answers, plan, ahead)
    return 1 if strict and (plan.calls or plan.plan.over or not plan.plan.proved) else 0


def body(plan: CrewsAnswer, ahead: LookAhead) -> dict[str, Any]:
    """Return the documented fields."""
    return {**as_json(plan), "look_ahead": ahead.as_json()}


def _text(answers: Answers, plan: CrewsAnswer, ahead: LookAhead) -> None:
    from roomwright.cli.subjects import OUT  # the table of subjects holds what it prints with

    OUT.print(plan.text, style="bold")
    for note in (
        *plan.notes,
        *(f"{name}: more has begun than there is." for name in plan.plan.over),
    ):
        OUT.print(note)
    if plan.clashes:
        OUT.print()
        OUT.print("Where the plain dates want more than there is", style="bold")
        for clash in plan.clashes:
            OUT.print(f"- {plan.clash_text(clash)}")
    held = [w for w in plan.work if w.place.held]
    if held:
        OUT.print()
        OUT.print("What starts later for it", style="bold")
        for work in held:
            why = "; ".join(
                f"{h.limit}: {' and '.join(plan.names.get(b, b) for b in h.by) or 'closed'}"
                for h in work.place.held
            )
            OUT.print(f"- {work.id} {work.name}: {show_date(work.place.first_day, plan.as_of)}, "
                      f"{show_days(work.place.waits)} later ({why})")  # fmt: skip
    if plan.calls:
        OUT.print()
        OUT.print("Whom to call", style="bold")
        for call in plan.calls:
            who = " ".join(filter(None, (call.who or call.trade, call.phone)))
            days = (show_date(d, plan.as_of) for d in (call.booked, call.now))
            OUT.print(f"- {who}: {call.activity} {call.name}, from {' to '.join(days)}")
    if len(plan.choices) > 1:
        OUT.print()
        OUT.print("Or fewer calls", style="bold")
        for choice in plan.choices[1:]:
            OUT.print(f"- {choice_text(plan, choice)}")
    _weeks(OUT, plan, ahead)


def _weeks(out: Console, plan: CrewsAnswer, ahead: LookAhead) -> None:
    out.print()
    out.print(f"Weeks ahead, {ahead.span}", style="bold")
    table = Table(box=None, pad_edge=False, header_style="bold", show_edge=False)
    for column in ("crew", "work", "where", "from", "to", ""):
        table.add_column(column, overflow="fold")
    for row in ahead.crews:
        for n, bar in enumerate(row.bars):
            days = (show_date(d, plan.as_of) for d in (bar.first_day, bar.last_day))
            state = "begun" if bar.state == "started" else "booked" if bar.booked else ""
            crew = row.title if n == 0 else ""
            table.add_row(crew, f"{bar.activity} {bar.name}", bar.where, *days, state)
    out.print(table)
    for words in ahead.closed:
        out.print(words)
    if ahead.lacking:
        out.print()
        out.print("Needed on site, and not here", style="bold")
        for one in ahead.lacking:
            needed = show_date(one.needed, plan.as_of)
            out.print(f"- {needed}: {one.line} {one.name}, room {one.room}: {one.says}")
    out.print()
    for words in ahead.cautions:
        out.print(f"CAUTION  {words}")
    out.print(ahead.ending)
