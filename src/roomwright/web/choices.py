"""What must be chosen: the owner's page, its paper, and the forms to ask and to decide."""

from __future__ import annotations

from typing import Annotated

from fastapi import APIRouter, Query, Request
from starlette.responses import Response

from roomwright.answers.choices_words import deciders, owners_page
from roomwright.answers.plans import plan
from roomwright.days import show_date
from roomwright.drawing.options import PlanOptions
from roomwright.drawing.plan import room_plan
from roomwright.job.entities import Activity, Choice, PartClass
from roomwright.sheets import choices as paper
from roomwright.web.desk import AtDesk, AtHouse, HouseAt
from roomwright.web.house_page import house_page
from roomwright.web.paper import pdf_named

router = APIRouter()

WIDE = 330.0
"""A room's plan beside its choice is at most so wide and high: it fits a phone too [px]."""

Who = Annotated[str, Query(max_length=60, description="who decides; empty for everybody")]


@router.get("/h/{house}/choices")
def page_of_choices(request: Request, at: AtHouse, desk: AtDesk, who: Who = "owner") -> Response:
    """Show what is to be decided, by when, why then, and what a late answer costs."""
    facts = at.answers.facts
    shown = owners_page(at.answers, who)
    return house_page(
        request, desk, at, "choices.html", here="", shown=shown, who=who,
        deciders=deciders(facts), plans=plans(at, {i.room for i in shown.open if i.room}),
        choices={c.id: c for c in facts.all(Choice)}, classes=facts.all(PartClass),
        work=facts.all(Activity),
    )  # fmt: skip


def plans(at: HouseAt, rooms: set[str]) -> dict[str, str]:
    """Return the plan of each room, small."""
    found = {}
    for n, room in enumerate(sorted(rooms)):
        options = PlanOptions(
            width=WIDE, height=WIDE, text=15.0, bar=False, ways=False, dims=frozenset(),
            base=f"room{n}",
        )  # fmt: skip
        found[room] = room_plan(at.answers.ask(plan, room), options).svg
    return found


@router.get("/h/{house}/choices.pdf")
def sheet_of_choices(at: AtHouse, who: Who = "owner") -> Response:
    """Return the same page on letter paper."""
    day = at.as_of
    shown = owners_page(at.answers, who)
    made = paper.pdf(at.answers, shown, printed=f"{show_date(day)}, {day.year}")
    return pdf_named(made, f"{at.id}-choices")
