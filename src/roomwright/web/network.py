"""The network of work: drawn and listed, with the forms that change it."""

from __future__ import annotations

from typing import Annotated, Any

from fastapi import APIRouter, Query, Request
from starlette.responses import Response

from roomwright.answers.dates import dates
from roomwright.commands.network_links import HOW, in_words
from roomwright.job.entities import Activity, Link, PartClass, Room
from roomwright.job.facts import natural
from roomwright.web.desk import AtDesk, AtHouse, HouseAt
from roomwright.web.house_page import house_page
from roomwright.web.network_picture import (
    LANES,
    SHOWS,
    Asked,
    groups,
    picture,
    shown,
    summary,
    weight,
    work_page,
)

router = APIRouter()

Word = Annotated[str, Query(max_length=80)]
MANY = 40
"""So many activities stand in the form that changes many at once."""


@router.get("/h/{house}/network")
def page_of_network(
    request: Request, at: AtHouse, desk: AtDesk, room: Word = "", trade: Word = "",
    show: Word = "all", lanes: Word = "trade", links: Word = "driving", pick: Word = "",
    many: int = -1,
) -> Response:  # fmt: skip
    """Show the network: the drawing, the list, the picked activity, and its forms."""
    asked = Asked(
        room, trade, show if show in SHOWS else "all", lanes if lanes in LANES else "trade",
        "all" if links == "all" else "driving", pick,
    )  # fmt: skip
    facts = at.answers.facts
    every = at.answers.ask(dates).activities
    rows = shown(every, asked)
    names = {r.id: r.name or r.id for r in facts.all(Room)}
    return house_page(
        request, desk, at, "network.html", asked=asked, svg=picture(at, rows, asked),
        groups=groups(rows, asked, names), summary=summary(rows), names=names, shows=SHOWS,
        every=sorted(every, key=lambda r: natural(r.id)), weight=weight, how=HOW,
        trades=sorted({r.trade for r in every if r.trade}), back=asked.at(at.at),
        many=[facts.get(Activity, r.id) for r in rows[many : many + MANY]] if many >= 0 else [],
        first=many, more=max(0, len(rows) - many - MANY) if many >= 0 else 0, count=len(rows),
        work=lambda id: work_page(at, id), **picked(at, pick),
    )  # fmt: skip


def picked(at: HouseAt, id: str) -> dict[str, Any]:
    """Return what the forms of one activity show; nothing of it where it is not there."""
    facts = at.answers.facts
    activity = facts.find(Activity, id)
    if activity is None:
        return {"one": None}
    return {
        "one": activity,
        "row": next(r for r in at.answers.ask(dates).activities if r.id == id),
        "before": [(k, in_words(facts, k)) for k in facts.where(Link, "after", id)],
        "after": [(k, in_words(facts, k)) for k in facts.where(Link, "before", id)],
        "needed": [
            c.name or c.id
            for field in ("needed_by", "order_after")
            for c in facts.where(PartClass, field, id)
        ],
        "version": facts.version("activity", id),
    }
