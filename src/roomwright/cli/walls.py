"""The command `walls`: each wall from inside with its heights, in words, as JSON or as a PDF."""

from __future__ import annotations

import json
import sys
from datetime import UTC, date, datetime
from pathlib import Path

from rich.table import Table

from roomwright.answers import wire
from roomwright.answers.elevations import RoomWalls, room_walls
from roomwright.answers.elevations_json import as_json
from roomwright.answers.elevations_words import against, cautions, heading, parts
from roomwright.cli.source import find
from roomwright.days import show_date
from roomwright.fit.model import Word
from roomwright.job.entities import Room
from roomwright.job.facts import MissingFactError
from roomwright.lengths import tape


def show(house: str, room: str, pdf: Path | None, as_of: date | None, as_json_: bool,
         strict: bool, store_url: str | None) -> int:  # fmt: skip
    """Print the walls of a room and write their sheet; return the exit status."""
    answers = find(house, store_url).answers(as_of, datetime.now(UTC).astimezone().date())
    try:
        found = answers.ask(room_walls, room)
    except MissingFactError as error:
        rooms = ", ".join(answers.facts.ids(Room))
        print(f"{error}. Its rooms: {rooms}.", file=sys.stderr)
        return 2
    if pdf is not None:
        from roomwright.sheets import walls as paper

        day = f"{show_date(answers.as_of)}, {answers.as_of.year}"
        pdf.write_bytes(paper.pdf(found, printed=day))
        print(f"Written: {pdf}", file=sys.stderr)
    if as_json_:
        print(json.dumps(wire.envelope("walls", answers, as_json(found)), indent=1))
    else:
        _text(found)
    return 1 if strict and wrong(found) else 0


def wrong(found: RoomWalls) -> bool:
    """Whether a window for escape is known to fall short, or is kept shut."""
    return any(f.severity in (Word.SHORT, Word.BLOCKED) for f in found.cautions)


def _text(found: RoomWalls) -> None:
    from roomwright.cli.subjects import OUT  # the table of subjects holds what it prints with

    OUT.print(f"{found.title}, walls and heights", style="bold")
    for view in found.walls:
        OUT.print()
        OUT.print(heading(view), style="bold")
        for seen in view.things:
            high = "height: measure" if seen.high is None else f"top {tape(seen.high)}"
            low = f"bottom {tape(seen.low)}, " if seen.low else ""
            usual = ", usual" if seen.usual else ""
            off = f", {tape(seen.off)} off the wall" if seen.off >= 1 else ""
            place = f"{tape(seen.left)} to {tape(seen.right)} from the left"
            OUT.print(f"- {seen.name} {seen.id}: {place}; {low}{high}{usual}{off}")
    if found.heights:
        OUT.print()
        table = Table(box=None, pad_edge=False, header_style="bold", show_edge=False)
        datum = "" if found.datum is None else f"datum {tape(found.datum)}"
        for column in ("what", "walls", "from", "to", datum):
            table.add_column(column, overflow="fold")
        for each in found.heights:
            high = "measure" if each.high is None else tape(each.high)
            low = tape(each.low) if each.low else "floor"
            table.add_row(f"{each.name} {each.id}", each.walls, low, high, against(found, each))
        OUT.print(table)
    for head, lines in parts(found):
        OUT.print()
        OUT.print(head, style="bold")
        for line in lines:
            OUT.print(f"- {line}")
    OUT.print()
    for caution in cautions(found):
        OUT.print(f"CAUTION  {caution}")
    OUT.print(found.ending)
    for line in found.rests_on:
        OUT.print(line)
