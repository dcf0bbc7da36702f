"""Counts: where plan, orders, receipts and the drawing disagree, and what is still unanswered."""

from __future__ import annotations

from fastapi import APIRouter, Request
from starlette.responses import Response

from roomwright.answers.check import check
from roomwright.answers.counts import counts
from roomwright.job.entities import Room
from roomwright.web.desk import AtDesk, AtHouse
from roomwright.web.house_page import house_page
from roomwright.web.room import room_of

router = APIRouter()


@router.get("/h/{house}/counts")
def page_of_counts(request: Request, at: AtHouse, desk: AtDesk, room: str = "") -> Response:
    """Every disagreement; with a room its lines and their kits."""
    found = at.answers.ask(counts)
    rooms = at.answers.facts.all(Room)
    in_room = room_of(at, room) if room else None
    return house_page(
        request, desk, at, "counts.html", here="Counts", found=found, in_room=in_room,
        rows=[r for r in found.rows if r.room == room] if room else [],
        disagreements=[d for d in found.disagreements if not room or d.room == room],
        names={r.id: r.name or r.id for r in rooms}, rooms=rooms,
        lines_of={r.id: sum(x.room == r.id for x in found.rows) for r in rooms},
    )  # fmt: skip


@router.get("/h/{house}/check")
def page_of_check(request: Request, at: AtHouse, desk: AtDesk) -> Response:
    """What is doubtful in the facts themselves."""
    names = {r.id: r.name or r.id for r in at.answers.facts.all(Room)}
    return house_page(request, desk, at, "check.html", findings=at.answers.ask(check), names=names)
