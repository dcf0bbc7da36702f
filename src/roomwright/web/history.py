"""History: what makers and crews did so far, and how past 80 % days came true."""

from __future__ import annotations

from fastapi import APIRouter, Request
from starlette.responses import Response

from roomwright.answers.history_page import history_page
from roomwright.web.desk import AtDesk, AtHouse
from roomwright.web.house_page import house_page

router = APIRouter()

MARKS = {"too few yet": "measure", "too hopeful": "short", "too cautious": "tight",
         "as sure as it said": "fits"}  # fmt: skip


@router.get("/h/{house}/history")
def page_of_history(request: Request, at: AtHouse, desk: AtDesk) -> Response:
    """Show makers, trades, and each order with what was said of it then."""
    found = at.answers.ask(history_page)
    return house_page(request, desk, at, "history.html", here="Orders", found=found, marks=MARKS)
