"""Walls and heights of a room: each wall from inside, what eyes see, escape, glass; its sheet."""

from __future__ import annotations

from fastapi import APIRouter, Request
from starlette.responses import Response

from roomwright.answers.elevations import RoomWalls, room_walls
from roomwright.answers.elevations_words import against, cautions, heading, parts
from roomwright.days import show_date
from roomwright.drawing.elevation import elevation
from roomwright.drawing.options import PlanOptions
from roomwright.sheets import walls as paper
from roomwright.web.desk import AtDesk, AtHouse
from roomwright.web.house_page import house_page
from roomwright.web.paper import pdf_named
from roomwright.web.room import NARROW, WIDE, room_of

router = APIRouter()

SMALL_TEXT = 15.0
"""Size of the lettering on a phone's drawing [px]: walls are long."""


@router.get("/h/{house}/room/{room}/walls")
def page_of_walls(request: Request, at: AtHouse, desk: AtDesk, room: str) -> Response:
    """Show every wall of a room from inside, and what its heights decide."""
    fact = room_of(at, room)
    found = at.answers.ask(room_walls, room)
    return house_page(
        request, desk, at, "walls.html", here="House", room=fact, found=found,
        walls=[(heading(view), drawn(found, n)) for n, view in enumerate(found.walls)],
        heights=[(each, against(found, each)) for each in found.heights],
        told=parts(found), cautions=cautions(found),
    )  # fmt: skip


def drawn(found: RoomWalls, number: int) -> tuple[tuple[str, str], tuple[str, str]]:
    """Return a wall's drawing for a large screen and for a phone."""
    view = found.walls[number]
    wide = PlanOptions(width=WIDE, height=620.0, base="wall")
    narrow = PlanOptions(width=NARROW, height=520.0, text=SMALL_TEXT, base="small-wall")
    small = elevation(found, view, narrow).svg
    return ("wide", elevation(found, view, wide).svg), ("narrow", small)


@router.get("/h/{house}/room/{room}/walls.pdf")
def sheet_of_walls(at: AtHouse, room: str) -> Response:
    """Return the walls of a room as a sheet, ready to print."""
    room_of(at, room)
    day = at.answers.as_of
    made = paper.pdf(at.answers.ask(room_walls, room), printed=f"{show_date(day)}, {day.year}")
    return pdf_named(made, f"{at.id}-{room}-walls")
