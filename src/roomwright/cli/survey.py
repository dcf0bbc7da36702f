"""The command `survey`: a room's readings adjusted, in words and as JSON; recording readings."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from typing import Any

from rich.table import Table

from roomwright.answers import Answers
from roomwright.answers.survey import Read, RoomSurvey, survey_of
from roomwright.answers.survey_json import survey_json
from roomwright.answers.survey_upright import edges, upright
from roomwright.answers.survey_words import (
    fate,
    next_said,
    noticed,
    opening_said,
    plan_said,
    told_of,
)
from roomwright.cli.source import BadInputError, open_store
from roomwright.cli.subject import Subject
from roomwright.cli.write import WHO
from roomwright.lengths import tape


@dataclass(frozen=True, slots=True)
class Taken:
    """How readings were taken: when, by whom, to which face."""

    on: date
    by: str
    face: str


def record(house: str, room: str, readings: list[str], how: Taken, store_url: str | None) -> None:
    """Record readings in a stored house, all or none, and say what was understood.

    Raises
    ------
    BadInputError, StoreError
        The house is a folder, or a reading is not understood; nothing is recorded.
    """
    from pathlib import Path

    from roomwright import commands

    if Path(house).is_dir():
        raise BadInputError(
            f"{house} is a folder: add the readings to its readings.csv, or load it first "
            "(roomwright load) and name the stored house."
        )
    store = open_store(store_url)
    try:
        command = commands.parse(
            "record readings",
            {"room": room, "text": "\n".join(readings), "on": how.on, "by": how.by,
             "face": how.face},
        )  # fmt: skip
        print(commands.run(store, house, command, who=how.by or WHO).sentence)
    finally:
        store.close()


def _table(*columns: str) -> Table:
    table = Table(box=None, pad_edge=False, header_style="bold", show_edge=False)
    for column in columns:
        table.add_column(column, overflow="fold")
    return table


def _text(answers: Answers, this: RoomSurvey) -> None:
    from roomwright.cli.subjects import OUT  # the table of subjects holds this one

    OUT.print(f"{this.name} {this.room}, {this.face} face", style="bold")
    if this.trouble:
        OUT.print(this.trouble)
    if not this.reads:
        OUT.print("Nothing has been taped here: begin with A to B, and so on round the room.")
        return
    table = _table("reading", "tape", "off", "an error noticed from", "taken", "")
    for each in this.reads:
        table.add_row(*_row(each))
    OUT.print(table)
    for note in told_of(this):
        OUT.print(f"- {note}")
    if following := next_said(this):
        OUT.print(f"- {following}")
    for wall in this.walls:
        OUT.print(f"- {plan_said(wall)}")
    high = answers.ask(upright, this.room)
    if high.found is not None:
        OUT.print(f"- Ceiling {tape(high.found.low)} at its lowest ({high.found.low_at}), "
                  f"{tape(high.found.spread)} from low to high, {high.words}.")  # fmt: skip
    for text in (high.trouble, *map(opening_said, answers.ask(edges, this.room))):
        if text:
            OUT.print(f"- {text}")


def _row(each: Read) -> tuple[str, ...]:
    fact = each.fact
    how = ", ".join(
        part for part in (fact.face, fact.on.isoformat() if fact.on else "", fact.by) if part
    )
    residual = f"{tape(-each.taken.residual, 64)}" if each.taken and not each.suspect else ""
    return each.line, tape(fact.length, 64), residual, noticed(each), how, fate(each)


def _json(answers: Answers, this: RoomSurvey) -> dict[str, Any]:
    return answers.ask(survey_json, this.room)


SUBJECT = Subject(
    lambda answers, room: answers.ask(survey_of, room),
    _json,
    _text,
    lambda this: bool(this.suspects or this.trouble),
)
