"""The command `sheets`: a PDF for each room, or the list of sheets."""

from __future__ import annotations

import json
import sys
from datetime import UTC, date, datetime
from pathlib import Path
from typing import Any

from roomwright.answers import Answers, sheets, wire
from roomwright.answers.sheet_model import SheetRow
from roomwright.cli.source import find
from roomwright.job.facts import MissingFactError


def write(house: str, room: str | None, out: Path, as_of: date | None, as_json: bool,
          store_url: str | None, url: str) -> int:  # fmt: skip
    """Write the sheets, or list them; return the exit status."""
    try:
        source = find(house, store_url)
        answers = source.answers(as_of, datetime.now(UTC).astimezone().date())
        if as_json:
            rows = [r for r in answers.ask(sheets.sheets) if room in (None, r.room)]
            body = {"sheets": [_row(r) for r in rows]}
            print(json.dumps(wire.envelope("sheets", answers, body), indent=1))
            return 0
        rooms = [room] if room else list(answers.ask(sheets.walking_order))
        return _papers(answers, rooms, out, url, source.name)
    except MissingFactError as error:
        print(f"{error}. `roomwright sheets {house} --json` lists its rooms.", file=sys.stderr)
    return 2


def _papers(answers: Answers, rooms: list[str], out: Path, url: str, house: str) -> int:
    from roomwright.sheets import paper

    out.mkdir(parents=True, exist_ok=True)
    for number, room in enumerate(rooms, 1):
        sheet = answers.ask(sheets.sheet, room, "")
        content = paper.pdf(sheet, page_url=f"{url}/h/{house}/room/{room}")
        target = out / f"{_file_name(room)}-{sheet.revision}-{sheet.code}.pdf"
        target.write_bytes(content)
        print(f"{number} of {len(rooms)}: {target}  {sheet.title}")
    return 0


def _file_name(room: str) -> str:
    """Return a room's id as part of a file name: ids come from files and may hold anything.

    >>> _file_name("206b"), _file_name("../x y")
    ('206b', '---x-y')
    """
    return "".join(c if c.isalnum() and c.isascii() else "-" for c in room)


def _row(row: SheetRow) -> dict[str, Any]:
    return {
        "room": row.room,
        "name": row.name,
        "level": row.level,
        "trade": row.trade,
        "state": row.state,
        "text": row.text,
        "revision": row.revision,
        "code": row.code,
        "posted": None if row.posted is None else row.posted.isoformat(),
        "changed": list(row.changed),
    }
