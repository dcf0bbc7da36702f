"""Change orders: all of them, one with what it does, and its paper with lines to sign on."""

from __future__ import annotations

from fastapi import APIRouter, Request
from starlette.responses import Response

from roomwright.answers.change_orders import ChangeOrderAnswer, change_order, change_orders
from roomwright.days import show_date
from roomwright.job.entities import Activity, ChangeOrder
from roomwright.job.facts import MissingFactError
from roomwright.sheets import change_order as paper
from roomwright.web.desk import AtDesk, AtHouse, HouseAt
from roomwright.web.house_page import house_page
from roomwright.web.paper import pdf_named
from roomwright.web.trouble import NotHereError

router = APIRouter()


@router.get("/h/{house}/change-orders")
def page_of_change_orders(request: Request, at: AtHouse, desk: AtDesk) -> Response:
    """Show the change orders: those that are not signed first."""
    return house_page(
        request, desk, at, "change_orders.html", here="", shown=change_orders(at.answers),
        work=at.answers.facts.all(Activity), one=None, fact=None,
    )  # fmt: skip


@router.get("/h/{house}/change-orders/{id}.pdf")
def sheet_of_change_order(at: AtHouse, id: str) -> Response:
    """Return a change order on letter paper."""
    found, day = found_at(at, id), at.as_of
    made = paper.pdf(found, house=at.name, printed=f"{show_date(day)}, {day.year}")
    return pdf_named(made, f"{at.id}-{id}")


@router.get("/h/{house}/change-orders/{id}")
def page_of_change_order(request: Request, at: AtHouse, desk: AtDesk, id: str) -> Response:
    """Show one change order: price, days, what it does to move-in, what it touches."""
    return house_page(
        request, desk, at, "change_order.html", here="", one=found_at(at, id),
        fact=at.answers.facts.get(ChangeOrder, id), work=at.answers.facts.all(Activity),
    )  # fmt: skip


def found_at(at: HouseAt, id: str) -> ChangeOrderAnswer:
    """Return a change order of the house, or say that it is not here."""
    try:
        return change_order(at.answers, id)
    except MissingFactError:
        every = [("All change orders", f"{at.at}/change-orders")]
        raise NotHereError(f"There is no change order {id} in this house.", every) from None
