"""The calendar feed of a house: its secret address, and the page to copy or renew it."""

from __future__ import annotations

from typing import Annotated

from fastapi import APIRouter, Path, Request
from starlette.responses import RedirectResponse, Response

from roomwright.feed import calendar, events
from roomwright.job.feeds import feed_of, given_out, house_of, renew
from roomwright.web.desk import AtDesk, AtHouse
from roomwright.web.house_page import house_page
from roomwright.web.trouble import NotHereError

router = APIRouter()

Token = Annotated[str, Path(max_length=100, description="the secret part of the address")]


@router.get("/h/{house}/feed")
def page_of_feed(request: Request, at: AtHouse, desk: AtDesk) -> Response:
    """Show the address of the feed, what stands in it, and the button that renews it."""
    info = feed_of(desk.store, at.id)
    found = events(at.answers)
    kinds = [(kind, sum(e.kind == kind for e in found))
             for kind in ("order by", "landing", "inspection", "visit")]  # fmt: skip
    return house_page(
        request, desk, at, "feed.html", here="",
        address=f"{str(request.base_url).rstrip('/')}/feed/{info.token}.ics",
        coming=[e for e in found if e.last >= at.as_of][:12], kinds=kinds,
    )  # fmt: skip


@router.post("/h/{house}/feed/renew")
def renew_feed(at: AtHouse, desk: AtDesk) -> Response:
    """Give the feed another address; the old one leads nowhere from now on."""
    renew(desk.store, at.id)
    return RedirectResponse(f"{at.at}/feed", status_code=303)


@router.get("/feed/{token}.ics")
def feed(desk: AtDesk, token: Token) -> Response:
    """Return the days of the house that has this address, as iCalendar."""
    info = house_of(desk.store, token)
    if info is None:
        raise NotHereError("No calendar has this address. It may have been renewed: copy it again.")
    found = events(desk.live.answers(info.house))
    numbers, stamp = given_out(desk.store, info.house, {e.key: (e.first, e.last) for e in found})
    made = calendar(found, name=info.name, numbers=numbers, stamp=stamp)
    return Response(
        made, media_type="text/calendar; charset=utf-8",
        headers={"Content-Disposition": 'inline; filename="house-dates.ics"',
                 "X-Robots-Tag": "noindex"},
    )  # fmt: skip
