"""The reading commands: one table from subject to answer, JSON and text."""

from __future__ import annotations

import json
import sys
from datetime import UTC, date, datetime

from roomwright.answers import Answers, wire
from roomwright.cli.source import find
from roomwright.job.entities import Room
from roomwright.job.facts import MissingFactError


def show(subject: str, house: str, key: tuple[str | int, ...], as_of: date | None,
         as_json: bool, strict: bool, store_url: str | None) -> int:  # fmt: skip
    """Print an answer; return the exit status."""
    from roomwright.cli.subjects import SUBJECTS

    today = datetime.now(UTC).astimezone().date()
    try:
        answers = find(house, store_url).answers(as_of, today)
        how = SUBJECTS[subject]
        answer = how.ask(answers, *key)
    except MissingFactError as error:
        print(f"{error}.{_rooms(answers, key)}", file=sys.stderr)
        return 2
    except ValueError as error:
        print(error, file=sys.stderr)
        return 2
    if as_json:
        print(json.dumps(wire.envelope(subject, answers, how.as_json(answers, answer)), indent=1))
    else:
        how.as_text(answers, answer)
    return 1 if strict and how.wrong(answer) else 0


def _rooms(answers: Answers, key: tuple[str | int, ...]) -> str:
    if not key:
        return ""
    return f" Its rooms: {', '.join(answers.facts.ids(Room))}."
