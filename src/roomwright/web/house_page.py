"""A page of one house: its header, and what has just been done with its undo."""

from __future__ import annotations

from typing import Any

from fastapi import Request
from starlette.responses import HTMLResponse

from roomwright.job.journal import Entry
from roomwright.web.desk import Desk, HouseAt, nonce
from roomwright.web.pages import page


def just_done(request: Request, desk: Desk, house: str) -> Entry | None:
    """Return the journal's entry that a form has just written, from ``?done=``."""
    said = request.query_params.get("done", "")
    if not said.isdecimal() or len(said) > 9:
        return None
    found = desk.store.journal(house, since=int(said) - 1, limit=1)
    return found[0] if found and found[0].sequence == int(said) else None


def house_page(
    request: Request, desk: Desk, at: HouseAt, name: str, *, here: str = "", **context: Any
) -> HTMLResponse:
    """Render a page of a house."""
    return page(
        request, name, house=at, here=here, nonce=nonce(),
        done=just_done(request, desk, at.id), **context,
    )  # fmt: skip
