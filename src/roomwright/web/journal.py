"""What was done to a house: the journal, newest first, and undo."""

from __future__ import annotations

from typing import Annotated

from fastapi import APIRouter, Form, Request
from starlette.responses import Response

from roomwright import commands
from roomwright.commands.load import Load
from roomwright.job.journal import Entry
from roomwright.job.undo import standing
from roomwright.web.desk import WHO, AtDesk, AtHouse, Desk, form_id
from roomwright.web.doing import answered, own_page
from roomwright.web.house_page import house_page
from roomwright.web.trouble import RefusedError

router = APIRouter()

ON_A_PAGE = 50
MOST_PAGES = 400
FIRST = 1
"""The entry that began a house: taking it back would leave nothing of the house."""


def last_done(desk: Desk, house: str) -> Entry | None:
    """Return what the Undo of a page takes back; None if that is all that was ever loaded."""
    entry = next(standing(desk.store.last(house, ON_A_PAGE)), None)
    whole = entry is None or entry.sequence == FIRST or entry.command == Load.command_name
    return None if whole else entry


@router.get("/h/{house}/journal")
def page_of_journal(request: Request, at: AtHouse, desk: AtDesk, older: int = 0) -> Response:
    """Show what was done, who did it and when, each with its undo."""
    skipped = max(0, min(older, ON_A_PAGE * MOST_PAGES))
    found = desk.store.last(at.id, skipped + ON_A_PAGE + 1)[skipped:]
    undone = {e.record["undid"] for e in found if e.command == "undo" and "undid" in e.record}
    return house_page(
        request, desk, at, "journal.html", entries=found[:ON_A_PAGE], undone=undone,
        older=skipped + ON_A_PAGE if len(found) > ON_A_PAGE else 0,
    )  # fmt: skip


@router.post("/h/{house}/undo")
def undo(
    request: Request,
    house: str,
    desk: AtDesk,
    sequence: Annotated[int | None, Form()] = None,
    once: Annotated[str, Form(alias="_nonce")] = "",
    back: Annotated[str, Form(alias="_back")] = "",
) -> Response:
    """Take one entry back, or the last that still stands; never the one that began the house.

    Raises
    ------
    RefusedError
        if nothing of the house would be left.
    """
    if sequence is None:
        entry = next(standing(desk.store.last(house, ON_A_PAGE)), None)
        sequence = entry.sequence if entry else None
    if sequence == FIRST:
        raise RefusedError("This is how the house began: without it nothing would be left of it.")
    written = desk.store.undo(house, sequence, who=WHO, command_id=form_id(once, "undo", sequence))
    done = commands.Done(written.sequence, written.changes, written.sentence, written.repeated)
    return answered(request, done, own_page(back, f"/h/{house}/journal"))
