"""Mark-out: the page, the sheet and the story poles of a room's layout on its floor."""

from __future__ import annotations

from typing import Annotated, Literal
from urllib.parse import urlencode

from fastapi import APIRouter, Query, Request
from starlette.responses import Response

from roomwright.answers.mark_out import mark_out
from roomwright.answers.mark_out_model import Asked, Extra, MarkOut, Method
from roomwright.answers.mark_out_words import lead, up
from roomwright.answers.sheet_cautions import ENDING
from roomwright.days import show_date
from roomwright.drawing.mark_plan import mark_plan
from roomwright.drawing.options import PlanOptions
from roomwright.markout.model import MarkoutError
from roomwright.sheets import mark_out as paper
from roomwright.web.desk import AtDesk, AtHouse, HouseAt
from roomwright.web.house_page import house_page
from roomwright.web.paper import pdf_named
from roomwright.web.room import NARROW, WIDE, room_of
from roomwright.web.trouble import NotHereError, RefusedError

router = APIRouter()

Ids = Annotated[list[Annotated[str, Query(max_length=80)]], Query(max_length=60)]
MethodAsked = Annotated[Method, Query()]
ExtrasAsked = Annotated[list[Extra], Query(alias="with", max_length=9)]

EXTRA_WORDS: dict[Extra, str] = {
    "chairs": "where the chair backs are",
    "clearances": "the clearance of each side",
    "lights": "the points under the lights",
}


def wanted(piece: list[str], method: Method, extra: list[Extra], standing: list[str]) -> Asked:
    """Return what a page's address asks for."""
    each = (tuple(dict.fromkeys(v)) for v in (piece, standing))
    pieces, there = each
    return Asked(pieces, method, tuple(dict.fromkeys(extra)), there)


def tail(asked: Asked, **more: str) -> str:
    """Return the query of an address that asks the same."""
    values = [("piece", p) for p in asked.pieces] + [("method", asked.method)]
    values += [("with", e) for e in asked.extras] + [("standing", s) for s in asked.standing]
    return "?" + urlencode([*values, *more.items()])


def answered(at: HouseAt, room: str, asked: Asked) -> MarkOut:
    """Return the mark-out, or refuse in words."""
    room_of(at, room)
    try:
        return at.answers.ask(mark_out, room, asked)
    except MarkoutError as error:
        raise RefusedError(str(error)) from error


def drawn(found: MarkOut, width: float, base: str) -> tuple[str, int]:
    """Return the drawing as an SVG, and how many times its ellipses are exaggerated."""
    made = mark_plan(found, PlanOptions(width=width, height=1.15 * width, base=base))
    return made.drawing.svg, made.times


@router.get("/h/{house}/room/{room}/mark-out")
def page_of_mark_out(
    request: Request, at: AtHouse, desk: AtDesk, room: str,
    piece: Ids = [], method: MethodAsked = "ties", extra: ExtrasAsked = [],  # noqa: B006
    standing: Ids = [], words: Literal["tape", "aloud"] = "tape",  # noqa: B006
) -> Response:  # fmt: skip
    """Show how to put pieces on the floor full size: drawing, steps, checks, sticks, papers."""
    asked = wanted(piece, method, extra, standing)
    found = answered(at, room, asked)
    wide, times = drawn(found, WIDE, "mark-wide")
    narrow, small_times = drawn(found, NARROW, "mark-narrow")
    return house_page(
        request, desk, at, "mark_out.html", here="House", room=room_of(at, room), found=found,
        lead=lead(found), drawings=(("wide", wide, paper.ellipses(times)),
                                    ("narrow", narrow, paper.ellipses(small_times))),
        tail=tail(asked), other=tail(asked, words="tape" if words == "aloud" else "aloud"),
        pole_tails=[(p, tail(asked, which=p.id)) for p in found.poles],
        aloud=words == "aloud", extra_words=EXTRA_WORDS, up=up, ending=ENDING,
    )  # fmt: skip


@router.get("/h/{house}/room/{room}/mark-out.pdf")
def sheet_of_mark_out(
    at: AtHouse, room: str, piece: Ids = [], method: MethodAsked = "ties",  # noqa: B006
    extra: ExtrasAsked = [], standing: Ids = [],  # noqa: B006
) -> Response:  # fmt: skip
    """Return the mark-out as a sheet, ready to print."""
    found = answered(at, room, wanted(piece, method, extra, standing))
    day = at.answers.as_of
    made = paper.pdf(found, printed=f"{show_date(day)}, {day.year}")
    return pdf_named(made, f"{at.id}-{room}-mark-out")


@router.get("/h/{house}/room/{room}/pole.pdf")
def pole_of_mark_out(
    at: AtHouse, room: str, piece: Ids = [], method: MethodAsked = "ties",  # noqa: B006
    extra: ExtrasAsked = [], standing: Ids = [],  # noqa: B006
    which: Annotated[str, Query(max_length=20)] = "along",
) -> Response:  # fmt: skip
    """Return a story pole at true size."""
    found = answered(at, room, wanted(piece, method, extra, standing))
    pole = next((p for p in found.poles if p.id == which), None)
    if pole is None:
        near = [(p.name, f"{at.at}/room/{room}/pole.pdf?which={p.id}") for p in found.poles]
        raise NotHereError(f"There is no story pole {which} of {found.title}.", near)
    return pdf_named(paper.pole_pdf(found, pole), f"{at.id}-{room}-pole-{which}")
