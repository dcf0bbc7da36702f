"""The command `mark-out`: the list to read aloud, JSON, the sheet and the story pole."""

from __future__ import annotations

import json
import sys
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import UTC, date, datetime
from pathlib import Path
from typing import cast

from roomwright.answers import Answers, wire
from roomwright.answers.mark_out import mark_out
from roomwright.answers.mark_out_json import as_json
from roomwright.answers.mark_out_model import EXTRAS, METHODS, Asked, Extra, MarkOut, Method
from roomwright.answers.mark_out_words import lead
from roomwright.answers.sheet_cautions import ENDING
from roomwright.cli.source import BadInputError, find
from roomwright.days import show_date
from roomwright.job.entities import Room
from roomwright.job.facts import MissingFactError
from roomwright.lengths import tape
from roomwright.markout.model import MarkoutError


@dataclass(frozen=True, slots=True)
class Papers:
    """Which papers are written where; `which` is the id of the pole."""

    pdf: Path | None = None
    pole: Path | None = None
    which: str = "along"


def asked(
    pieces: Sequence[str], method: str, extras: Sequence[str], standing: Sequence[str]
) -> Asked:
    """Return what is asked for.

    Raises
    ------
    BadInputError
        For a method or an addition that is not known.
    """
    for value, known, what in (
        (method, METHODS, "--method"),
        *((e, EXTRAS, "--with") for e in extras),
    ):
        if value not in known:
            raise BadInputError(f"{what} is one of {', '.join(known)}, not {value!r}.")
    return Asked(
        tuple(dict.fromkeys(pieces)),
        cast(Method, method),
        cast("tuple[Extra, ...]", tuple(dict.fromkeys(extras))),
        tuple(dict.fromkeys(standing)),
    )


def show(house: str, room: str, wanted: Asked, papers: Papers, as_of: date | None, as_json_: bool,
         strict: bool, aloud: bool, store_url: str | None) -> int:  # fmt: skip
    """Print a mark-out and write its papers; return the exit status."""
    answers = find(house, store_url).answers(as_of, datetime.now(UTC).astimezone().date())
    try:
        found = answers.ask(mark_out, room, wanted)
    except MissingFactError as error:
        rooms = ", ".join(answers.facts.ids(Room))
        print(f"{error}. Its rooms: {rooms}.", file=sys.stderr)
        return 2
    except MarkoutError as error:
        print(error, file=sys.stderr)
        return 2
    _write(found, answers, papers)
    if as_json_:
        print(json.dumps(wire.envelope("mark-out", answers, as_json(found)), indent=1))
    else:
        _text(found, aloud)
    return 1 if strict and found.troubles else 0


def _write(found: MarkOut, answers: Answers, papers: Papers) -> None:
    if papers.pdf is None and papers.pole is None:
        return
    from roomwright.sheets import mark_out as paper

    if papers.pdf is not None:
        day = f"{show_date(answers.as_of)}, {answers.as_of.year}"
        papers.pdf.write_bytes(paper.pdf(found, printed=day))
        print(f"Written: {papers.pdf}", file=sys.stderr)
    if papers.pole is not None:
        pole = next((p for p in found.poles if p.id == papers.which), None)
        if pole is None:
            known = ", ".join(p.id for p in found.poles) or "none"
            raise BadInputError(
                f"There is no story pole {papers.which!r} here; there are: {known}."
            )
        papers.pole.write_bytes(paper.pole_pdf(found, pole))
        print(f"Written: {papers.pole}", file=sys.stderr)


def _text(found: MarkOut, aloud: bool) -> None:
    from roomwright.cli.subjects import OUT

    OUT.print(f"{found.title}, mark-out", style="bold")
    OUT.print(lead(found))
    for trouble in found.troubles:
        OUT.print(f"- {trouble}")
    number = 0
    for head, steps in found.steps:
        OUT.print()
        OUT.print(head, style="bold")
        for step in steps:
            number += 1
            OUT.print(f"{number}. {step.who}: {step.aloud if aloud else step.text}")
    if found.sticks:
        OUT.print()
        OUT.print("Sticks to cut", style="bold")
        for stick in found.sticks:
            OUT.print(f"- {stick.count} of {tape(stick.length)}: {'; '.join(stick.uses)}")
            OUT.print(f"  {stick.source}")
    if found.poles:
        OUT.print()
        OUT.print(f"Story poles: {', '.join(f'{p.id} ({p.name})' for p in found.poles)}")
    OUT.print()
    for caution in found.cautions:
        OUT.print(f"CAUTION  {caution.text}")
    OUT.print(ENDING)
    for line in found.rests_on:
        OUT.print(line)
