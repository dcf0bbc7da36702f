"""Work out of a spreadsheet: the file is looked at, its columns are named, all is taken or none.

Nothing is kept between the steps: the page itself carries the sheet's cells as text and sends them
back. What is stored is one command, once all is right.
"""

from __future__ import annotations

import json
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Annotated, Any

from fastapi import APIRouter, Request
from pydantic import BaseModel, Field
from starlette.concurrency import run_in_threadpool
from starlette.datastructures import FormData, UploadFile
from starlette.responses import Response

from roomwright import commands
from roomwright.answers.dates import dates
from roomwright.exchange.grids import Grid, Note, SheetError, bounded, read_sheets
from roomwright.exchange.work_sheet import (
    ACTIVITY_FIELDS,
    LINK_FIELDS,
    Found,
    Mapped,
    guess,
    read_work,
)
from roomwright.job.entities import Activity, Room
from roomwright.job.errors import RuleError
from roomwright.web.desk import AtDesk, AtHouse, Desk, HouseAt, form_id
from roomwright.web.doing import answered, perform
from roomwright.web.house_page import house_page
from roomwright.web.trouble import RefusedError

router = APIRouter()

Place = Annotated[int, Field(ge=0, lt=100_000)]
"""A row or column, counted from 0."""

CARRIED = 2_000_000
"""So much of cells a page carries along [bytes]."""
SHOWN_ROWS = 8
SHOWN_ERRORS = 100


@dataclass(frozen=True, slots=True)
class Looked:
    """What a look at the sheets found: what would be taken, what is wrong, what it would do."""

    found: Found
    errors: tuple[Note, ...]
    sentence: str = ""
    finish: str = ""
    added: int = 0


def carried(file: str, grids: Sequence[Grid]) -> str:
    """Return the sheets as the text that a page carries.

    Raises
    ------
    SheetError
        if there is too much of it.
    """
    text = json.dumps({
        "file": file[:80],
        "sheets": [
            {"name": g.name, "rows": g.rows, "notes": [[n.cell, n.wrong, n.do] for n in g.notes],
             "bad": [[r, c, n.cell, n.wrong, n.do] for (r, c), n in g.bad.items()]}
            for g in grids
        ],
    }, ensure_ascii=False, separators=(",", ":"))  # fmt: skip
    if len(text.encode()) > CARRIED:
        raise SheetError("This sheet is too long for one page: take a part of its rows at a time.")
    return text


class CarriedSheet(BaseModel):
    """A sheet as a page carries it."""

    name: str = Field(max_length=31)
    rows: tuple[tuple[str, ...], ...]
    notes: tuple[tuple[str, str, str], ...]
    bad: tuple[tuple[Place, Place, str, str, str], ...]

    def grid(self) -> Grid:
        """Return it as it was read.

        Raises
        ------
        SheetError
            if it grew on its way.
        """
        bad = {(r, c): Note(*rest) for r, c, *rest in self.bad}
        return bounded(self.name, self.rows, [Note(*n) for n in self.notes], bad)


class Carried(BaseModel):
    """The file and the sheets that a page carries."""

    file: str = Field(max_length=80)
    sheets: tuple[CarriedSheet, ...] = Field(max_length=20)


def brought(text: str) -> tuple[str, list[Grid]]:
    """Return the sheets that a page carried back; it may have been bent on its way."""
    try:
        held = Carried.model_validate_json(text, strict=True)
    except ValueError:
        raise RefusedError("The page is broken: choose the file again.", "file") from None
    return held.file, [sheet.grid() for sheet in held.sheets]


def mapped(form: Mapping[str, str], grids: Sequence[Grid]) -> list[Mapped]:
    """Return how the person says that each sheet is read."""
    said = []
    for i, grid in enumerate(grids):
        use = form.get(f"use.{i}", "")
        fields = LINK_FIELDS if use == "links" else ACTIVITY_FIELDS
        head = form.get(f"head.{i}", "1")
        columns: dict[int, str] = {}
        for column in range(min(grid.width, 60)):
            name = form.get(f"col.{i}.{column}", "")
            if name in fields and name not in columns.values():
                columns[column] = name
        row = int(head) - 1 if head.isdecimal() and len(head) < 6 else 0
        kind = use if use in ("activities", "links") else ""
        if kind and not columns and (anew := guess(grid)).use == kind:
            said.append(anew)
            continue
        said.append(Mapped(kind, max(0, row), columns))  # type: ignore[arg-type]
    return said


def look(
    at: HouseAt, file: str, grids: Sequence[Grid], how: Sequence[Mapped], clash: str
) -> Looked:
    """Read the sheets and try them on the house; nothing is written."""
    known = {a.id: a.name for a in at.answers.facts.all(Activity)}
    found = read_work(grids, how, known, at.answers.facts.ids(Room))
    if found.errors:
        return Looked(found, tuple(found.errors))
    values = asked(file, found, clash)
    try:
        command = commands.parse("import work", values)
        work = command.work(at.answers.facts, lambda _: [])
    except commands.BadCommandError as error:
        return Looked(found, tuple(by_cell(found, error.problems)))
    then = at.answers.supposing(work.changes)
    try:
        finish = then.ask(dates).finish
    except ValueError as no:
        return Looked(found, (Note("the work", str(no), "shorten it"),))
    was = at.done
    said = "" if finish is None else f"{finish.isoformat()}"
    same = finish == was
    return Looked(found, (), work.sentence, "" if same else said,
                  sum(c.before is None for c in work.changes))  # fmt: skip


def by_cell(found: Found, problems: Sequence[tuple[str, str]]) -> list[Note]:
    """Return what a command refused, by the cells it came from."""
    return [
        Note(found.cells.get(field, field.replace("_", " ") or "the sheet"), what.rstrip("."),
             "mend it in the sheet, or choose another column")
        for field, what in problems
    ]  # fmt: skip


def asked(file: str, found: Found, clash: str) -> dict[str, Any]:
    """Return the fields of the command."""
    return {"activities": found.activities, "links": found.links, "source": file,
            "clash": "change" if clash == "change" else "refuse"}  # fmt: skip


@router.get("/h/{house}/import-work")
def choose_sheet(request: Request, at: AtHouse, desk: AtDesk) -> Response:
    """Choose a spreadsheet."""
    return house_page(request, desk, at, "import_work.html", grids=[], trouble="", **_fixed())


@router.post("/h/{house}/import-work")
async def take_sheet(request: Request, at: AtHouse, desk: AtDesk) -> Response:
    """Look at a spreadsheet, or take what was looked at."""
    most = CARRIED + 1024  # a sheet that was shown can be taken
    async with request.form(max_files=1, max_fields=2_000, max_part_size=most) as form:
        file, body = await _sent(form)
        said = {k: v.strip() for k, v in form.multi_items() if isinstance(v, str)}
    return await run_in_threadpool(_taken, request, at, desk, file, body, said)


async def _sent(form: FormData) -> tuple[str, bytes | None]:
    sent = form.get("file")
    if not isinstance(sent, UploadFile) or not sent.filename:
        return "", None
    return sent.filename.replace("\\", "/").rpartition("/")[2][:80], await sent.read()


def _taken(
    request: Request, at: HouseAt, desk: Desk, file: str, body: bytes | None, said: dict[str, str]
) -> Response:
    """Do the step that was asked for; every page shows all that was chosen before."""
    clash = said.get("clash", "refuse")
    try:
        if body is not None:
            grids = read_sheets(file, body)
            how = [guess(grid) for grid in grids]
            text = carried(file, grids)
        elif said.get("cells"):
            text = said["cells"]
            file, grids = brought(text)
            how = mapped(said, grids)
        else:
            raise SheetError("Choose a file: .xlsx or CSV.")
    except SheetError as no:
        return house_page(request, desk, at, "import_work.html", grids=[], trouble=str(no),
                          **_fixed())  # fmt: skip
    looked = look(at, file, grids, how, clash)
    if said.get("do") == "take" and not looked.errors:
        values = asked(file, looked.found, clash)
        try:
            once = form_id(said.get("_nonce", ""), "import work", text, clash)
            done = perform(desk, at.id, "import work", values, command_id=once)
        except RuleError as error:
            looked = Looked(looked.found, tuple(
                Note("the sheet", p.message, "mend it in the sheet") for p in error.problems
            ))  # fmt: skip
        else:
            return answered(request, done, f"{at.at}/network")
    return house_page(
        request, desk, at, "import_work.html", grids=list(zip(grids, how, strict=True)), trouble="",
        cells=text, file=file, looked=looked, clash=clash, errors=looked.errors[:SHOWN_ERRORS],
        more=max(0, len(looked.errors) - SHOWN_ERRORS), **_fixed(),
    )  # fmt: skip


def _fixed() -> dict[str, Any]:
    return {"activity_fields": ACTIVITY_FIELDS, "link_fields": LINK_FIELDS, "rows": SHOWN_ROWS}
