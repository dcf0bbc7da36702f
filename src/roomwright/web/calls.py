"""Calls: whom to call about which visit, what to say, and the form that records it."""

from __future__ import annotations

from fastapi import APIRouter, Request
from starlette.responses import Response

from roomwright.answers.call_lists import call_list, to_say
from roomwright.days import show_date
from roomwright.sheets import calls as paper
from roomwright.web.desk import AtDesk, AtHouse
from roomwright.web.house_page import house_page
from roomwright.web.paper import pdf_named

router = APIRouter()


@router.get("/h/{house}/calls")
def page_of_calls(request: Request, at: AtHouse, desk: AtDesk) -> Response:
    """Show the calls by day, those overdue first."""
    found = at.answers.ask(call_list)
    return house_page(
        request, desk, at, "calls.html", here="", found=found,
        says={c.activity + c.trade: to_say(c, at.as_of) for c in found.calls},
    )  # fmt: skip


@router.get("/h/{house}/calls.pdf")
def sheet_of_calls(at: AtHouse) -> Response:
    """Return the list on letter paper."""
    day = at.as_of
    found = at.answers.ask(call_list)
    made = paper.pdf(found, house=at.name, printed=f"{show_date(day)}, {day.year}")
    return pdf_named(made, f"{at.id}-calls")
