"""The front page of a house: its storeys, each room a way in, and Today beside them."""

from __future__ import annotations

from dataclasses import dataclass
from urllib.parse import quote

from fastapi import APIRouter, Request
from starlette.responses import Response

from roomwright.answers.plans import level_name, levels, storey
from roomwright.drawing.options import PlanOptions
from roomwright.drawing.storey import house_plan
from roomwright.exchange import pictures
from roomwright.exchange.zipped import zipped
from roomwright.job.entities import Activity, Room
from roomwright.web.chances import ASIDE, end_of
from roomwright.web.desk import AtDesk, AtHouse, HouseAt
from roomwright.web.house_page import house_page
from roomwright.web.paper import plain
from roomwright.web.room import NARROW, WIDE
from roomwright.web.today import shown_tasks

router = APIRouter()

FIRST = 4
"""So many lines of Today stand on the front page."""


@dataclass(frozen=True, slots=True)
class DrawnStorey:
    """A storey with its drawings, for a large screen and for a phone."""

    name: str
    wide: str
    narrow: str


def drawn_storey(at: HouseAt, level: str, number: int) -> DrawnStorey:
    """Return a storey as drawings whose rooms are links."""
    found = at.answers.ask(storey, level)

    def draw(width: float, base: str) -> str:
        options = PlanOptions(width=width, height=2.0 * width, base=f"{base}{number}")
        return house_plan(found, options, link=lambda room: f"{at.at}/room/{quote(room)}").svg

    return DrawnStorey(level_name(level), draw(WIDE, "storey"), draw(NARROW, "small"))


@router.get("/h/{house}/folder.zip")
def folder(at: AtHouse, desk: AtDesk) -> Response:
    """Return the house as a house folder in one ZIP: plain files that load again as it is now."""
    facts = desk.store.facts(at.id)
    made = zipped(facts, plain(at.id), pictures.kept(desk.store, at.id, facts))
    head = {"Content-Disposition": f'attachment; filename="{plain(at.id)}.zip"'}
    return Response(made, media_type="application/zip", headers=head)


@router.get("/h/{house}")
def front(request: Request, at: AtHouse, desk: AtDesk) -> Response:
    """The house: tap a room."""
    tasks = shown_tasks(at)
    drawn = [drawn_storey(at, level, n) for n, level in enumerate(at.answers.ask(levels))]
    return house_page(
        request, desk, at, "house.html", here="House", storeys=drawn,
        end=end_of(request, at, ASIDE), tasks=tasks[:FIRST], more=len(tasks),
        rooms=at.answers.facts.all(Room),
        worked=bool(at.answers.facts.ids(Activity)),
    )  # fmt: skip
