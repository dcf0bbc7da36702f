"""The subjects of the reading commands: what is asked, how it prints, what counts as a finding."""

from __future__ import annotations

import sys
from datetime import date
from typing import Any

from rich.console import Console
from rich.table import Table

from roomwright import lengths
from roomwright.answers import (
    Answers,
    check,
    counts,
    dates,
    orders,
    room_json,
    rooms,
    today,
    what_fits,
    what_fits_json,
)
from roomwright.cli import chances, history, order_line, paths, survey, who
from roomwright.cli import schedule_check as checking
from roomwright.cli import what_fits as finding
from roomwright.cli.subject import Subject
from roomwright.counts import Counts
from roomwright.days import show_date, show_days
from roomwright.fit.evaluate import label
from roomwright.fit.model import RoomFit, Verdict, Word
from roomwright.fit.search_wanted import parse
from roomwright.fit.verdicts import length, until
from roomwright.job.entities import Room
from roomwright.supply.today import days_in_words


class _Out(Console):
    """Prints text and tables; a reader who has enough ends it as any other command ends."""

    def on_broken_pipe(self) -> None:
        """Leave it to `cli.trouble`."""
        raise BrokenPipeError


OUT = _Out(highlight=False, emoji=False, markup=False, width=None if sys.stdout.isatty() else 120)
WRONG = (Word.SHORT, Word.BLOCKED)


def _table(*columns: str) -> Table:
    table = Table(box=None, pad_edge=False, header_style="bold", show_edge=False)
    for column in columns:
        table.add_column(column, overflow="fold")
    return table


def _head(text: str) -> None:
    OUT.print(text, style="bold")


def _verdict(verdict: Verdict | None, ends_at: str = "") -> str:
    """Return a verdict and, unless it is short and says so itself, what would turn it."""
    if verdict is None:
        return ""
    turn = "" if verdict.word is Word.SHORT else until(verdict, ends_at)
    return f"{verdict.text}; {turn}" if turn else verdict.text


# --- fit -------------------------------------------------------------------------------------


def _fit_text(answers: Answers, fit: RoomFit) -> None:
    fact = answers.facts.get(Room, fit.room)
    _head(f"{fact.name or 'Room'} {fit.room}")
    OUT.print(f"{lengths.area(fit.area)}, {lengths.tape(fit.perimeter)} around")
    for piece in fit.pieces:
        seats = f", seats {piece.seats}" if piece.seats else ""
        OUT.print()
        _head(f"{piece.piece.id} {piece.piece.name}{seats}: {piece.verdict.text}")
        table = _table("side", "clear", "needs", "margin", "use", "ends at", "verdict")
        for side in piece.sides:
            table.add_row(
                label(piece.piece, side),
                *("" if v is None else lengths.tape(v) for v in (side.clear, side.needs)),
                "" if side.margin is None else length(side.margin),
                side.use,
                side.binding,
                _verdict(side.verdict, side.binding),
            )
        if piece.sides:
            OUT.print(table)
        if piece.cure is not None:
            OUT.print(
                f"  {lengths.tape(piece.cure.by)} {piece.cure.toward} clears it: "
                "every side then passes."
            )
    if fit.ways:
        OUT.print()
        _head("Walk paths")
        table = _table("from", "to", "tightest", "needs", "between", "verdict")
        for way in fit.ways:
            table.add_row(
                way.from_,
                way.to,
                lengths.tape(way.tightest),
                "" if way.needs is None else lengths.tape(way.needs),
                " and ".join(b for b in way.between if b),
                _verdict(way.verdict),
            )
        OUT.print(table)
    if fit.chains:
        OUT.print()
        _head("Centering")
        table = _table("what", "on", "verdict")
        for link in dict.fromkeys(link for chain in fit.chains for link in chain.links):
            table.add_row(link.name, link.on_name, link.verdict.text)
        OUT.print(table)
    if fit.findings:
        OUT.print()
        _head("Findings")
        for finding in fit.findings:
            OUT.print(f"- {finding.text}")


def _fit_json(answers: Answers, fit: RoomFit) -> dict[str, Any]:
    return room_json.as_json(fit, answers.ask(rooms.needs, fit.room).source)


def _fit_wrong(fit: RoomFit) -> bool:
    verdicts = [p.verdict.word for p in fit.pieces] + [w.verdict.word for w in fit.ways]
    return any(w in WRONG for w in [*verdicts, *(f.severity for f in fit.findings)])


# --- dates, orders, today --------------------------------------------------------------------


def _whole_date(day: date) -> str:
    return f"{show_date(day)}, {day.year}"


def _dates_text(answers: Answers, answer: dates.DatesAnswer) -> None:
    if answer.finish is None:
        OUT.print("No activities yet.")
        return
    OUT.print(
        f"{show_days(answer.working_days)} of work; last day worked "
        f"{_whole_date(answer.finish)}, as of {_whole_date(answer.as_of)}."
    )
    for row in answer.activities:
        if row.promised_by is not None and row.last_day > row.promised_by:
            promised = show_date(row.promised_by, answer.as_of)
            OUT.print(f"{row.id} {row.name} was promised by {promised}: it is not kept.")
    for one in answer.out_of_sequence:
        OUT.print(f"Out of sequence: {one.text}")
    table = _table("activity", "name", "first day", "last day", "days to spare", "state")
    for row in answer.activities:
        spare = "critical" if row.dates.critical else show_days(row.dates.total_float)
        table.add_row(
            row.id, row.name, *(show_date(d, answer.as_of) for d in (row.first_day, row.last_day)),
            spare, row.dates.state,
        )  # fmt: skip
    OUT.print(table)


def _orders_text(answers: Answers, answer: orders.OrdersAnswer) -> None:
    OUT.print("Lead times are guesses, not history; a promise is taken as it stands.")
    table = _table("line", "room", "what", "needed", "last safe", "order by", "now")
    for row in answer.lines:
        if row.state.state == "on hand":
            continue
        need = (None, None) if row.need is None else (row.need.on, row.need.last_safe)
        days = (
            "" if d is None else show_date(d, answer.as_of) for d in (*need, row.state.order_by)
        )
        table.add_row(row.line, row.room, row.name, *days, row.state.text)
    OUT.print(table)
    here = sum(r.state.state == "on hand" for r in answer.lines)
    OUT.print(f"{here} of {len(answer.lines)} lines are on hand and not listed.")


def _orders_wrong(answer: orders.OrdersAnswer) -> bool:
    fine = {"on hand", "in time", "due", "can't be ordered yet"}
    return any(row.state.state not in fine for row in answer.lines)


def _today_text(answers: Answers, answer: today.TodayAnswer) -> None:
    _head(f"Today, {_whole_date(answer.as_of)}: most days of move-in saved first")
    if answer.note:
        OUT.print(answer.note)
    for number, task in enumerate(answer.tasks, 1):
        days = days_in_words(task, answer.as_of)
        OUT.print(f"{number}. {task.title}" + (f"  [{days}]" if days else ""))
        for why in task.why:
            OUT.print(f"   {why}")
    if not answer.tasks:
        OUT.print("Nothing is due.")
    for caution in answer.cautions:
        OUT.print()
        OUT.print(f"CAUTION  {caution.text}")


# --- counts, check ---------------------------------------------------------------------------


def _counts_text(answers: Answers, found: Counts) -> None:
    total = found.totals
    OUT.print(
        f"{total.lines} lines, {total.pieces} pieces; {total.ordered_lines} lines ordered, "
        f"{total.received_lines} received; {total.companion_parts} companion parts."
    )
    _head(f"{len(found.disagreements)} disagreements")
    for one in found.disagreements:
        days = f"  [{show_days(one.move_in_days)} of move-in, a guess]" if one.move_in_days else ""
        OUT.print(f"- {one.kind}, room {one.room}, {one.part}: {one.text}{days}")
        OUT.print(f"  {one.do}")
    if found.questions:
        _head(f"{len(found.questions)} questions to answer before these parts count")
        for question in found.questions:
            OUT.print(f"- {question.name}, {question.part}: {question.when}? {question.hint}")


def _check_text(answers: Answers, found: tuple[check.Finding, ...]) -> None:
    for one in found:
        OUT.print(f"- {one.weight}: {one.text} {one.do}")
    if not found:
        OUT.print("Nothing doubtful was found.")


# --- the table -------------------------------------------------------------------------------

SUBJECTS: dict[str, Subject] = {
    "fit": Subject(lambda a, room: a.ask(rooms.room_fit, room), _fit_json, _fit_text, _fit_wrong),
    "paths": paths.SUBJECT,
    "what-fits": Subject(
        lambda a, room, wanted="dining table": a.ask(what_fits.what_fits, room, parse(wanted)),
        lambda _, w: what_fits_json.as_json(w),
        lambda _, w: finding.text(w),
        lambda w: w.best is None,
    ),
    "survey": survey.SUBJECT,
    "dates": Subject(
        lambda a: a.ask(dates.dates),
        lambda _, d: d.as_json(),
        _dates_text,
        lambda d: (d.promise_float or 0) < 0,
    ),
    "who": who.SUBJECT,
    "orders": Subject(
        lambda a: a.ask(orders.orders), lambda _, o: o.as_json(), _orders_text, _orders_wrong
    ),
    "chances": chances.CHANCES,
    "order-plan": chances.PLAN,
    "decision": order_line.SUBJECT,
    "history": history.SUBJECT,
    "counts": Subject(
        lambda a: a.ask(counts.counts),
        lambda _, c: counts.as_json(c),
        _counts_text,
        lambda c: bool(c.disagreements),
    ),
    "check": Subject(
        lambda a: a.ask(check.check),
        lambda _, c: check.as_json(c),
        _check_text,
        lambda c: not check.passes(c),
    ),
    "schedule-check": checking.SUBJECT,
    "today": Subject(
        lambda a: a.ask(today.today),
        lambda _, t: t.as_json(),
        _today_text,
        lambda t: any(task.days > 0 for task in t.tasks) or bool(t.cautions),
    ),
}
