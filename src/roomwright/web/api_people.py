"""What people must decide, agree to and be called about, as JSON for programs."""

from __future__ import annotations

from typing import Annotated

from fastapi import APIRouter, Path

from roomwright.answers import wire
from roomwright.answers.call_lists import call_list
from roomwright.answers.change_orders import change_order, change_orders
from roomwright.answers.choices import choices
from roomwright.web.api import WRONG, Answer, At, HouseId

router = APIRouter(tags=["people"], responses=WRONG)

ChangeId = Annotated[str, Path(description="the change order's id", max_length=80)]


@router.get("/houses/{house}/choices")
def all_choices(house: HouseId, at: At) -> Answer:
    """Return what must be chosen, by when and why then, and what a late answer costs."""
    rows = at.answers.ask(choices)
    return wire.envelope("choices", at.answers, {"choices": [c.as_json() for c in rows]})


@router.get("/houses/{house}/calls")
def all_calls(house: HouseId, at: At) -> Answer:
    """Return whom to call about which visit, by day, those overdue first."""
    return wire.envelope("calls", at.answers, at.answers.ask(call_list).as_json())


@router.get("/houses/{house}/change-orders")
def all_change_orders(house: HouseId, at: At) -> Answer:
    """Return the change orders with what each does to move-in."""
    rows = [c.as_json() for c in change_orders(at.answers)]
    return wire.envelope("change-orders", at.answers, {"change_orders": rows})


@router.get("/houses/{house}/change-orders/{id}")
def one_change_order(house: HouseId, id: ChangeId, at: At) -> Answer:
    """Return one change order with what it does to move-in."""
    found = [change_order(at.answers, id).as_json()]
    return wire.envelope("change-orders", at.answers, {"change_orders": found})
