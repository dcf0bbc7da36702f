"""The application: the pages of a house, the files they need, and the JSON beside them.

>>> import tempfile
>>> from fastapi.testclient import TestClient
>>> with tempfile.TemporaryDirectory() as folder:
...     app = create_app(folder + "/houses.db")
...     TestClient(app, base_url="http://localhost").get("/houses").status_code
200
"""

from __future__ import annotations

from collections.abc import AsyncIterator, Callable, Iterable
from contextlib import asynccontextmanager
from datetime import UTC, date, datetime

from fastapi import FastAPI
from starlette.staticfiles import StaticFiles

from roomwright import __version__
from roomwright.answers.live import Live
from roomwright.job.store import Store
from roomwright.web import (
    activity,
    api,
    api_chances,
    api_people,
    backdrop,
    calls,
    chances,
    change_orders,
    choices,
    counts,
    crews,
    doing,
    draw,
    feed,
    history,
    house,
    houses,
    import_work,
    journal,
    mark_out,
    network,
    orders,
    room,
    sheets,
    start_house,
    starter_work,
    survey,
    terms,
    trouble,
    try_room,
    walk_paths,
    walls,
    what_fits,
    who,
    work,
)
from roomwright.web import today as today_page
from roomwright.web.desk import Desk
from roomwright.web.guard import Guard
from roomwright.web.pages import STATIC


def local_today() -> date:
    """Return today by this machine's own calendar."""
    return datetime.now(UTC).astimezone().date()


def create_app(
    store_url: str | None = None,
    today: Callable[[], date] = local_today,
    *,
    hosts: Iterable[str] = (),
) -> FastAPI:
    """Return the application over one store.

    Parameters
    ----------
    store_url : str, optional
        Where the houses are kept; the default store if not given.
    today : callable
        Says what day it is.
    hosts : iterable of str
        Names beside localhost under which requests may come.
    """
    store = Store(store_url)

    @asynccontextmanager
    async def life(_: FastAPI) -> AsyncIterator[None]:
        yield
        store.close()

    app = FastAPI(
        title="Roomwright",
        version=__version__,
        summary="What fits, what to order by when, what is still missing, what hangs on each wall.",
        docs_url=None,  # its page would load scripts from another host
        redoc_url=None,
        openapi_url="/api/v1/openapi.json",
        lifespan=life,
    )
    app.state.desk = Desk(store, Live(store, today=today), today)
    app.add_middleware(Guard, hosts=tuple(hosts))
    app.mount("/static", StaticFiles(directory=STATIC), name="static")
    trouble.install(app)
    app.include_router(api.router, prefix="/api/v1")
    app.include_router(api_people.router, prefix="/api/v1")
    app.include_router(api_chances.router, prefix="/api/v1")
    for subject in (
        houses, house, walk_paths, doing, room, survey, what_fits, mark_out, walls, today_page,
        work, orders, history, counts, sheets, journal, try_room, start_house, draw, backdrop,
        choices, change_orders, calls, feed, chances,
        network, activity, who, import_work, starter_work, crews, terms,
    ):  # fmt: skip
        app.include_router(subject.router, include_in_schema=False)
    return app
