"""Drawing a level: its plan to scale, and the forms that add and change what stands on it."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Annotated, Any
from urllib.parse import quote, urlencode

from fastapi import APIRouter, Query, Request
from starlette.concurrency import run_in_threadpool
from starlette.responses import JSONResponse, RedirectResponse, Response

from roomwright import commands
from roomwright.answers.plans import level_name
from roomwright.answers.sketch import Chain
from roomwright.answers.sketch_level import drawn_level, drawn_levels
from roomwright.commands.sketch import laid_out
from roomwright.drawing.draft import draft
from roomwright.job.entities import Backdrop, Room, Sketch
from roomwright.job.errors import StoreError
from roomwright.job.journal import Entry
from roomwright.lengths import exact
from roomwright.shape import Outline
from roomwright.web.desk import WHO, AtDesk, AtHouse, Desk, HouseAt, form_id
from roomwright.web.doing import answered, own_page, perform, with_done, words_of
from roomwright.web.draw_forms import picked
from roomwright.web.house_page import house_page, just_done
from roomwright.web.journal import last_done
from roomwright.web.room import OPENINGS
from roomwright.web.trouble import RefusedError, told, wants_json

router = APIRouter()

WIDE, NARROW = 860.0, 358.0
"""Widths of the drawing on a large screen and on a phone [px]."""

ADDED = {"room", "opening", "window", "fixed", "piece", "light", "sketch"}


@router.get("/h/{house}/draw")
def first_level(at: AtHouse) -> Response:
    """Straight to the first level."""
    level = at.answers.ask(drawn_levels)[-1]
    return RedirectResponse(f"{at.at}/draw/{quote(level)}", status_code=307)


@router.get("/h/{house}/draw/{level}")
def page_of_level(
    request: Request,
    at: AtHouse,
    desk: AtDesk,
    level: str,
    pick: Annotated[str, Query(max_length=200)] = "",
    start: Annotated[str, Query(max_length=400)] = "",
    walls: Annotated[str, Query(max_length=2000)] = "",
) -> Response:
    """The level, what is chosen on it, and the ways to add to it; `walls` are tried, not kept."""
    return level_page(request, at, desk, level, pick=pick, start=start, walls=walls)


def level_page(
    request: Request,
    at: HouseAt,
    desk: Desk,
    level: str,
    *,
    pick: str = "",
    start: str = "",
    walls: str = "",
    wrong: Mapping[str, str] | None = None,
) -> Response:
    """Return the page of a level; `wrong` is the field of a sent plan that was refused, and why."""
    check_level(level)
    facts = at.answers.facts
    done = just_done(request, desk, at.id)
    kind, _, id = (pick or just_added(done)).partition(":")
    there = at.answers.ask(drawn_level, level)
    if (kind, id) not in {(t.kind, t.id) for t in there.things}:
        kind = id = ""
    tried = tried_walls(at, start, walls)
    here = f"{at.at}/draw/{quote(level)}"
    picture = f"{here}/picture/{there.under.sha}" if there.under else ""
    chain = tried.get("points", ())
    drawings = {
        name: draft(
            there, width, link=lambda k, i: f"{here}?{urlencode({'pick': f'{k}:{i}'})}",
            picture=picture, chosen=(kind, id), tried=chain, base=base,
        )
        for name, width, base in (("wide", WIDE, "draft"), ("narrow", NARROW, "small"))
    }  # fmt: skip
    entry = desk.store.last(at.id, 1)
    return house_page(
        request, desk, at, "draw.html", here="House", level=level, level_title=level_name(level),
        levels=[(one, level_name(one)) for one in at.answers.ask(drawn_levels)],
        drawings=drawings, page=here, pick=(kind, id), tried=tried, start=start, walls=walls,
        rooms=facts.where(Room, "level", level), every_room=facts.all(Room),
        sketches=facts.where(Sketch, "level", level), backdrop=facts.find(Backdrop, level),
        wrong=wrong or {}, status=422 if wrong else 200,
        next_room=next_room(at, level), openings=OPENINGS, things=there.things,
        last=last_done(desk, at.id),
        again=entry[0] if entry and entry[0].command == "undo" else None,
        back=f"{here}?{urlencode({'pick': f'{kind}:{id}'})}" if kind else here,
        **picked(at, kind, id),
    )  # fmt: skip


@router.get("/h/{house}/draw/{level}/try")
def try_walls(
    at: AtHouse,
    level: str,
    start: Annotated[str, Query(max_length=400)] = "",
    walls: Annotated[str, Query(max_length=2000)] = "",
) -> Response:
    """How walls in words lie and close; nothing is written."""
    check_level(level)
    return JSONResponse(tried_walls(at, start, walls))


@router.post("/h/{house}/draw/{level}/sketch")
async def save(request: Request, house: str, level: str, desk: AtDesk) -> Response:
    """Save the walls of the form as a sketch; what else stands in it is for a room."""
    check_level(level)
    async with request.form(max_files=0, max_fields=40) as sent:
        said = words_of(sent)
    values: dict[str, Any] = {k: said[k] for k in ("walls", "start", "name", "sketch") if k in said}
    done = await run_in_threadpool(
        perform, desk, house, "save sketch", {"level": level, **values},
        command_id=form_id(said.get("_nonce", ""), "sketch", level, sorted(values.items())),
    )  # fmt: skip
    return answered(request, done, f"/h/{quote(house)}/draw/{quote(level)}")


@router.post("/begin")
async def begin(request: Request, desk: AtDesk) -> Response:
    """Begin a house with nothing in it, and draw it."""
    async with request.form(max_files=0, max_fields=10) as sent:
        said = words_of(sent)
    once = said.get("_nonce", "")
    name = said.get("name", "")
    if not name or len(name) > 80:
        raise RefusedError("Say what the house is called, in 80 characters at most.", "name")
    house, done = await run_in_threadpool(_begin, desk, name, once)
    goto = with_done(f"/h/{house}/draw/1", done.sequence)
    if wants_json(request):
        return JSONResponse({"sentence": done.sentence, "goto": goto})
    return RedirectResponse(goto, status_code=303)


def _begin(desk: Desk, name: str, once: str) -> tuple[str, commands.Done]:
    command = commands.BeginHouse(name=name, on=desk.today())
    return commands.begin(
        desk.store, name, command, who=WHO, command_id=form_id(once, "begin", name)
    )


@router.post("/h/{house}/draw/{level}/go")
async def go(request: Request, house: str, level: str) -> Response:
    """Open another level, which may have nothing on it yet."""
    async with request.form(max_files=0, max_fields=5) as sent:
        said = words_of(sent)
    wanted = said.get("level", level)
    check_level(wanted)
    default = f"/h/{quote(house)}/draw/{quote(wanted)}"
    return RedirectResponse(own_page(default, "/"), status_code=303)


def check_level(level: str) -> None:
    """Refuse what can't be the name of a level."""
    if not level.strip() or len(level) > 40 or not level.isprintable() or "/" in level:
        raise RefusedError("A level is called by 1 to 40 characters, like 1 or Attic.", "level")


def just_added(entry: Entry | None) -> str:
    """Return what a form has just drawn, so that it can be changed next."""
    if entry is None or entry.command == "undo":
        return ""
    found = [c for c in entry.changes if c.after is not None and c.kind in ADDED]
    new = [c for c in found if c.before is None]
    return f"{(new or found)[0].kind}:{(new or found)[0].id}" if found else ""


def next_room(at: HouseAt, level: str) -> str:
    """Return a free number for a room of a level: 101, 102, ... downstairs.

    A level that is not a number has its letter before it.
    """
    taken = set(at.answers.facts.ids(Room))
    stem = level if level.isdecimal() and len(level) == 1 else level[:1].upper()
    return next(id for n in range(1, len(taken) + 2) if (id := f"{stem}{n:02d}") not in taken)


def tried_walls(at: HouseAt, start: str, walls: str) -> dict[str, Any]:
    """Return how walls in words lie: read back, their corners, how they close; or what is wrong."""
    if not walls.strip() and not start.strip():
        return {}
    try:
        _, this = laid_out(at.answers.facts, start, walls)
    except StoreError as no:
        _, _, said = told(no)
        problems = said.get("problems", [said])
        return {"trouble": problems[0]["message"], "field": problems[0]["field"]}
    return shown(this)


def shown(this: Chain) -> dict[str, Any]:
    """Return a chain for the page."""
    points: Outline = tuple((float(x), float(y)) for x, y in this.corners)
    return {
        "read": this.run.said,
        "said": this.said if this.run.steps else "",
        "closing": this.closing,
        "points": points,
        "at": [exact(v) for v in this.corners[-1]],
    }
