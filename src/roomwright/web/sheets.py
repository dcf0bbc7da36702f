"""Wall sheets: which hang and still hold, which to replace in walking order; hang, take down."""

from __future__ import annotations

from datetime import date
from typing import Annotated
from urllib.parse import quote

from fastapi import APIRouter, Form, Query, Request
from starlette.responses import Response

from roomwright import commands
from roomwright.answers.sheet_model import SheetRow
from roomwright.answers.sheets import sheet, sheets
from roomwright.job.entities import Contact, Posting
from roomwright.job.facts import Facts
from roomwright.sheets.paper import pdf
from roomwright.web.desk import WHO, AtDesk, AtHouse, form_id, house_at
from roomwright.web.doing import answered, own_page
from roomwright.web.house_page import house_page
from roomwright.web.paper import pdf_named
from roomwright.web.room import room_of
from roomwright.web.trouble import RefusedError

router = APIRouter()

MARKS = {"current": "fits", "changed": "short", "by eye": "measure", "not hung": "measure"}
"""The mark that goes with each state of a sheet."""

TO_REPLACE = ("changed", "by eye")

Trade = Annotated[str, Query(max_length=40)]


@router.get("/h/{house}/sheets")
def page_of_sheets(request: Request, at: AtHouse, desk: AtDesk) -> Response:
    """Show the sheets to replace, then all of them, in walking order."""
    rows = at.answers.ask(sheets)
    return house_page(
        request, desk, at, "sheets.html", here="Sheets", rows=rows, marks=MARKS,
        replace=[r for r in rows if r.state in TO_REPLACE], trades=trades(at.answers.facts),
        paper=paper_of,
    )  # fmt: skip


def trades(facts: Facts) -> list[str]:
    """Return the trades that a sheet may be for."""
    known = {c.id for c in facts.all(Contact)} | {p.trade for p in facts.all(Posting)}
    return sorted(known - {"", "builder"})


def paper_of(row: SheetRow) -> str:
    """Return the address of a sheet's paper under its house."""
    tail = f"?trade={quote(row.trade)}" if row.trade else ""
    return f"/room/{quote(row.room)}/sheet.pdf{tail}"


@router.get("/h/{house}/room/{room}/sheet.pdf")
def paper(request: Request, at: AtHouse, room: str, trade: Trade = "") -> Response:
    """Return one sheet, ready to print."""
    room_of(at, room)
    this = at.answers.ask(sheet, room, trade)
    own = str(request.base_url).rstrip("/")
    made = pdf(this, page_url=f"{own}{at.at}/room/{quote(room)}?sheet={quote(this.code)}")
    return pdf_named(made, f"{at.id}-{room}-{trade or 'all'}-{this.revision}")


@router.post("/h/{house}/sheets/hang")
def hang(
    request: Request,
    desk: AtDesk,
    house: str,
    room: Annotated[str, Form(max_length=80)],
    posted: Annotated[date, Form()],
    code: Annotated[str, Form(max_length=80)] = "",
    trade: Annotated[str, Form(max_length=40)] = "",
    once: Annotated[str, Form(alias="_nonce")] = "",
    back: Annotated[str, Form(alias="_back")] = "",
) -> Response:
    """Record that the sheet as it stands now hangs in its room; it is kept as printed."""
    at = house_at(desk, house)
    room_of(at, room)
    this = at.answers.ask(sheet, room, trade)
    if code and code.strip().lower() != this.code:
        raise RefusedError(
            f"The paper says {code}, but this sheet is now {this.code}: print it again, then "
            "hang that.", "code",
        )  # fmt: skip
    command = commands.HangSheet(
        room=room, trade=trade, posted=posted, revision=this.revision, code=this.code,
        content=this.content,
    )  # fmt: skip
    done = commands.run(
        desk.store, house, command, who=WHO,
        command_id=form_id(once, "hang", room, trade, posted, this.code),
    )  # fmt: skip
    return answered(request, done, own_page(back, f"/h/{house}/sheets"))
