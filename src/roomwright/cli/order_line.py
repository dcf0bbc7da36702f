"""``orders --line``: one line's way, what happened to it, and what is to be decided."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from rich.table import Table

from roomwright.answers import Answers
from roomwright.answers.line_chain import LineWay, line_way
from roomwright.answers.order_by_model import Decision, DecisionError
from roomwright.cli.chances import DECISION
from roomwright.cli.subject import Subject
from roomwright.days import show_date, show_days
from roomwright.job.entities import Part
from roomwright.job.facts import MissingFactError


@dataclass(frozen=True, slots=True)
class OfLine:
    """A line's way; its decision, or why there is none to make."""

    way: LineWay
    decision: Decision | None
    why_none: str = ""


def asked(answers: Answers, line: str, confidence: str = "", samples: str = "") -> OfLine:
    """Return a line's way with its decision.

    Raises
    ------
    DecisionError
        where there is no such line
    """
    if answers.facts.find(Part, line) is None:
        raise DecisionError(f"there is no line {line} in this house")
    way = answers.ask(line_way, line)
    try:
        return OfLine(way, DECISION.ask(answers, line, confidence, samples))
    except (DecisionError, MissingFactError) as none:
        if way.steps:
            raise
        return OfLine(way, None, str(none).removesuffix(", or there is no such line"))


def as_json(answers: Answers, found: OfLine) -> dict[str, Any]:
    """Return the documented fields."""
    decision = {} if found.decision is None else DECISION.as_json(answers, found.decision)
    return {"line": found.way.line, **decision, **found.way.as_json()}


def text(answers: Answers, found: OfLine) -> None:
    """Print the decision, the chain as a line of dates, and what happened."""
    from roomwright.cli.subjects import OUT

    if found.decision is not None:
        DECISION.as_text(answers, found.decision)
    else:
        OUT.print(f"Nothing to decide: {found.why_none}.")
    if found.way.steps:
        OUT.print()
        OUT.print(_steps(answers, found.way))
    told = found.way.measured
    if told is not None:
        words = f" ({told.condition.words})" if told.condition.words else ""
        OUT.print(f"Field measure{words}: {told.standing.stand}; {told.standing.text}.")
    for note in found.way.story.notes:
        OUT.print(note)
    for one in found.way.story.happened:
        on = "no day" if one.on is None else show_date(one.on, answers.as_of)
        OUT.print(f"- {on}: {one.text}" + (f" ({one.order})" if one.order else ""))


def _steps(answers: Answers, way: LineWay) -> Table:
    table = Table(box=None, pad_edge=False, header_style="bold", show_edge=False)
    for column in ("step", "from", "to", "last safe", "to spare"):
        table.add_column(column, overflow="fold")
    for step in way.steps:
        first, last = (show_date(d, answers.as_of) for d in (step.first, step.last))
        if step.last_safe is None or step.spare is None:
            table.add_row(step.name, first, last, "done", "")
        else:
            spare = show_days(step.spare) if step.spare >= 0 else f"{show_days(-step.spare)} late"
            table.add_row(step.name, first, last, show_date(step.last_safe, answers.as_of), spare)
    return table


SUBJECT = Subject(
    asked, as_json, text, lambda f: f.decision is not None and DECISION.wrong(f.decision)
)
