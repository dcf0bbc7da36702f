"""Who is where: the work of a day or a week, room by room, with phone numbers."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, timedelta
from typing import Annotated

from fastapi import APIRouter, Query, Request
from starlette.responses import Response

from roomwright.answers.who import DayHere, Here, who
from roomwright.job.entities import House, Room
from roomwright.web.desk import AtDesk, AtHouse, HouseAt
from roomwright.web.house_page import house_page
from roomwright.web.network_picture import NOWHERE, WHOLE_HOUSE, work_page
from roomwright.web.trouble import NotHereError, RefusedError

router = APIRouter()

YEARS = 10
WEEK = 7


@dataclass(frozen=True, slots=True)
class Place:
    """A room on a day, with the work in it."""

    id: str
    name: str
    here: tuple[Here, ...]


def places(day: DayHere, names: dict[str, str], room: str) -> list[Place]:
    """Return the rooms in which somebody works; of one room all that goes on in it."""
    if room:
        return [Place(room, names[room], day.within(room))]
    found = [
        Place(id, name, here)
        for id, name in names.items()
        if (here := tuple(one for one in day.here if id in one.rooms))
    ]
    if day.everywhere:
        found.insert(0, Place("", WHOLE_HOUSE, day.everywhere))
    if day.nowhere:
        found.append(Place("", NOWHERE, day.nowhere))
    return found


@router.get("/h/{house}/who")
def page_of_who(
    request: Request, at: AtHouse, desk: AtDesk, on: date | None = None,
    room: Annotated[str, Query(max_length=80)] = "", days: int = 1,
) -> Response:  # fmt: skip
    """Show who is where on a day; `days` more than one shows them in a row."""
    names = {r.id: r.name or r.id for r in at.answers.facts.all(Room)}
    if room and room not in names:
        raise NotHereError(
            f"There is no room {room} in this house.", [("Every room", f"{at.at}/who")]
        )
    first = near(at, on or at.as_of)
    count = WEEK if days > 1 else 1
    answer = at.answers.ask(who, first, count)
    return house_page(
        request, desk, at, "who.html", answer=answer, room=room, names=names, first=first,
        count=count, shown=[(d, places(d, names, room)) for d in answer.days],
        before=first - timedelta(days=count), after=first + timedelta(days=count),
        work=lambda id: work_page(at, id),
    )  # fmt: skip


def near(at: HouseAt, on: date) -> date:
    """Refuse a day that is years away from the house."""
    start = at.answers.facts.get(House, "house").site_start
    if abs(on.year - start.year) > YEARS:
        raise RefusedError(
            f"{on.isoformat()} is years away from this house, which starts {start.isoformat()}: "
            "check the year.", "on",
        )  # fmt: skip
    return on
