"""Crews: the levelled plan, who clashes, whom to call; the weeks ahead as a grid and a sheet."""

from __future__ import annotations

from datetime import date, timedelta
from typing import Annotated, Any
from urllib.parse import quote

from fastapi import APIRouter, Form, Query, Request
from starlette.responses import JSONResponse, RedirectResponse, Response

from roomwright.answers.crews import CrewsAnswer, choice_text
from roomwright.answers.look_ahead import WEEKS, LookAhead, around, built
from roomwright.days import show_date
from roomwright.drawing.look_ahead import look_ahead_grid
from roomwright.job.entities import Booking, Crew, Drying
from roomwright.sheets import look_ahead as paper
from roomwright.trades import key_of
from roomwright.web.crew_searches import CrewSearches, Later, Search
from roomwright.web.desk import AtDesk, AtHouse, HouseAt, house_at
from roomwright.web.house_page import house_page
from roomwright.web.network_picture import work_page
from roomwright.web.paper import pdf_named
from roomwright.web.trouble import NotHereError, RefusedError

router = APIRouter()

WIDE, NARROW = 1180.0, 358.0
SMALL_TEXT = 15.0
MOST_LATER = 60
YEARS = 10

LaterText = Annotated[str, Query(max_length=4, description="working days, or any")]
Weeks = Annotated[int, Query(ge=1, le=6)]
From = Annotated[date | None, Query(alias="from")]


def searches(request: Request) -> CrewSearches:
    """Return the server's searches for plans."""
    state = request.app.state
    if not hasattr(state, "crew_searches"):
        state.crew_searches = CrewSearches()
    return state.crew_searches  # type: ignore[no-any-return]


def later_of(text: str) -> Later:
    """Return how much later all may be done, as asked in an address.

    >>> later_of(""), later_of("3"), later_of("any")
    (0, 3, None)
    """
    if text == "any":
        return None
    if not text:
        return 0
    if not text.isdecimal() or int(text) > MOST_LATER:
        raise RefusedError(
            f"“{text}” days later: type 0 to {MOST_LATER} working days, or any.", "later"
        )
    return int(text)


@router.get("/h/{house}/crews")
def page_of_crews(
    request: Request, at: AtHouse, desk: AtDesk, later: LaterText = "", long: str = ""
) -> Response:
    """Show the levelled plan: what it costs, whom to call, who clashes, and the limits."""
    found = searches(request).at_once(at.answers, later_of(later), long=bool(long))
    facts = at.answers.facts
    return house_page(
        request, desk, at, "crews.html", found=found, later=later,
        crews={key_of(c.id): c for c in facts.all(Crew)}, key_of=key_of, drying=facts.all(Drying),
        bookings={b.id: b for b in facts.all(Booking)},
        coming=[w for w in found.work if w.days and w.place.state == "to do"],
        trades=sorted({t for w in found.work for t in w.trades}, key=str.lower),
        work=lambda id: work_page(at, id), choice_text=choice_text,
    )  # fmt: skip


def _ahead(request: Request, at: HouseAt, first: date | None, weeks: int, later: str) -> LookAhead:
    day = first or at.as_of
    if abs(day.year - at.as_of.year) > YEARS:
        raise RefusedError(f"{day.isoformat()} is years away: check the year.", "from")
    found: CrewsAnswer = searches(request).at_once(at.answers, later_of(later))
    return built(at.answers.ask(around), found, day, weeks)


@router.get("/h/{house}/look-ahead")
def page_of_weeks_ahead(
    request: Request, at: AtHouse, desk: AtDesk, first: From = None, weeks: Weeks = WEEKS,
    later: LaterText = "",
) -> Response:  # fmt: skip
    """Show the weeks ahead by crew and by room."""
    found = _ahead(request, at, first, weeks, later)
    step = timedelta(days=7 * weeks)
    return house_page(
        request, desk, at, "look_ahead.html", found=found, weeks=weeks, later=later,
        grids=grids(at, found), before=found.first - step, after=found.first + step,
        room_of={r.key: r for r in found.rooms}, work=lambda id: work_page(at, id),
    )  # fmt: skip


def grids(at: HouseAt, found: LookAhead) -> list[tuple[str, list[tuple[str, str]]]]:
    """Return the grids by crew and by room, each for a large screen and for a phone."""
    made = []
    for by, rows in (("crew", found.crews), ("room", found.rooms)):
        if rows and found.days:
            drawn = [
                (
                    name,
                    look_ahead_grid(
                        rows, found.days, found.as_of, by=by, width=width, text=text,
                        base=f"{name}-{by}", link=lambda id: work_page(at, id),
                    ).svg,
                )
                for name, width, text in (("wide", WIDE, 17.0), ("narrow", NARROW, SMALL_TEXT))
            ]  # fmt: skip
            made.append((by, drawn))
    return made


@router.get("/h/{house}/look-ahead.pdf")
def sheet_of_weeks_ahead(
    request: Request, at: AtHouse, first: From = None, weeks: Weeks = WEEKS, later: LaterText = ""
) -> Response:
    """Return the weeks ahead as a sheet for the wall, ready to print."""
    found = _ahead(request, at, first, weeks, later)
    made = paper.pdf(found, printed=f"{show_date(at.as_of)}, {at.as_of.year}")
    return pdf_named(made, f"{at.id}-weeks-ahead")


# --- searches that the page waits for -------------------------------------------------------------


@router.post("/h/{house}/crews/searches")
def begin_search(
    request: Request, desk: AtDesk, house: str, later: Annotated[str, Form(max_length=4)] = ""
) -> Response:
    """Begin a long search; with script the page follows it."""
    at = house_at(desk, house)
    return JSONResponse(_told(searches(request).start(at.answers, at.id, later_of(later))),
                        status_code=201)  # fmt: skip


def _told(search: Search) -> dict[str, Any]:
    at = f"/h/{quote(search.house)}/crews"
    later = "any" if search.later is None else str(search.later)
    return {
        "id": search.id,
        "share": round(search.share, 3),
        "at": search.at,
        "done": search.done.is_set(),
        "wrong": search.wrong,
        "goto": f"{at}?later={later}",
        "follow": f"{at}/searches/{search.id}",
    }


def _known(request: Request, house: str, id: str) -> Search:
    search = searches(request).find(id, house)
    if search is None:
        raise NotHereError("That search is no longer kept: ask again.")
    return search


@router.get("/h/{house}/crews/searches/{id}")
def follow_search(request: Request, house: str, id: str) -> Response:
    """Tell how far a search is."""
    search = _known(request, house, id)
    search.done.wait(0.25)
    return JSONResponse(_told(search))


@router.post("/h/{house}/crews/searches/{id}/stop")
def stop_search(request: Request, house: str, id: str) -> Response:
    """Stop a search; the best so far is its answer."""
    search = _known(request, house, id)
    search.stop = True
    search.done.wait(3.0)
    if "application/json" in request.headers.get("accept", ""):
        return JSONResponse(_told(search))
    return RedirectResponse(_told(search)["goto"], status_code=303)
