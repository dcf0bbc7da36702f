"""What fits here, for any kind of piece: the best, others that differ, size against room."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Annotated, Any
from urllib.parse import quote, urlencode

from fastapi import APIRouter, Query, Request
from starlette.responses import JSONResponse, RedirectResponse, Response

from roomwright.answers import Answers
from roomwright.answers import what_fits_words as words
from roomwright.answers.plans import plan
from roomwright.answers.rooms import joined, needs, space_of
from roomwright.answers.what_fits import StoppedError
from roomwright.answers.what_fits_owner import told
from roomwright.answers.what_fits_taken import as_fraction, taken
from roomwright.days import show_date
from roomwright.drawing.options import PlanOptions
from roomwright.drawing.plan import room_plan
from roomwright.fit.given import Piece as FitPiece
from roomwright.fit.search_found import Found, Option
from roomwright.fit.search_usual import of_kind
from roomwright.fit.search_wanted import Wanted, WantedError
from roomwright.job.entities import Piece
from roomwright.lengths import exact
from roomwright.sheets import owner
from roomwright.web import seats_picture
from roomwright.web.desk import AtDesk, AtHouse, Desk, HouseAt
from roomwright.web.house_page import house_page
from roomwright.web.paper import pdf_named
from roomwright.web.room import NARROW, WIDE, drawn, room_of
from roomwright.web.searches import Search, Searches
from roomwright.web.trouble import NotHereError, RefusedError
from roomwright.web.what_fits_form import FIELDS, choices, wanted_of

router = APIRouter()

SMALL = 330.0
"""Width of the plan of an option beside the best [px]."""

MOST_FIELDS = 200


@dataclass(frozen=True, slots=True)
class Shown:
    """An option as the page shows it: in words, and the form that puts it there."""

    name: str
    option: Option
    title: str
    word: str
    spare: str
    held: str
    cost: str
    slid: str
    values: tuple[tuple[str, str], ...]
    here: bool


def number(value: float | None) -> str:
    """Return a length or an angle of the engine as a form carries it."""
    return exact(as_fraction(value))


def values(
    answers: Answers, room: str, found: Found, option: Option
) -> tuple[tuple[str, str], ...]:
    """Return the fields of the command that takes an option."""
    top = option.piece
    there = {p.id: p for p in answers.ask(space_of, answers.ask(joined, room)).pieces}
    fields = [
        ("room", room), ("kind", top.kind), ("x", number(top.x)), ("y", number(top.y)),
        ("width", number(top.width)), ("depth", number(top.depth)), ("turn", number(top.turn)),
    ]  # fmt: skip
    if top.height is not None:
        fields.append(("height", number(top.height)))
    if top.features:
        fields.append(("features", top.features))
    if top.id in there:
        fields.append(("piece", top.id))
    away = [each for each in found.gone if each != top.id]
    fields += [(f"away.{n}", each) for n, each in enumerate(away)]
    for n, slid in enumerate(option.slid):
        piece = there[slid.piece]
        fields += [
            (f"slid.{n}.piece", slid.piece),
            (f"slid.{n}.x", number((piece.x or 0) + slid.dx)),
            (f"slid.{n}.y", number((piece.y or 0) + slid.dy)),
        ]
    return tuple(fields)


def shown(answers: Answers, room: str, found: Found, option: Option, name: str) -> Shown:
    """Return an option in words."""
    spare = answers.ask(needs, room).spare
    fields = values(answers, room, found, option)
    fact = answers.facts.find(Piece, option.piece.id)
    return Shown(
        name, option, words.title(option), words.word(option, spare), words.spare(option),
        words.held(option), words.cost(option), words.slid(option), fields,
        fact is not None and _stands(fact, dict(fields)),
    )  # fmt: skip


def _stands(fact: Piece, fields: dict[str, str]) -> bool:
    names = ("x", "y", "width", "depth", "turn")
    return all(
        (value := getattr(fact, name)) is not None and exact(value) == fields[name]
        for name in names
    )


def every(answers: Answers, room: str, found: Found) -> list[Shown]:
    """Return the best, the others and the front, each once, under names for the address."""
    named = [("best", found.best)]
    named += [(f"other-{n}", option) for n, option in enumerate(found.others)]
    named += [(f"front-{n}", option) for n, option in enumerate(found.front)]
    seen: list[tuple[Any, ...]] = []
    kept = []
    for name, option in named:
        if option is None:
            continue
        mine = (option.size, option.piece.x, option.piece.y, option.piece.turn)
        if mine not in seen:
            seen.append(mine)
            kept.append(shown(answers, room, found, option, name))
    return kept


def searches(request: Request) -> Searches:
    """Return the server's searches."""
    state = request.app.state
    if not hasattr(state, "searches"):
        state.searches = Searches()
    return state.searches  # type: ignore[no-any-return]


def fields_of(request: Request) -> dict[str, str]:
    """Return the form's fields from an address."""
    said = list(request.query_params.multi_items())[:MOST_FIELDS]
    return {n: v[:600] for n, v in said if n in FIELDS or n.startswith(("piece.", "reach."))}


def wish(at: HouseAt, room: str, fields: dict[str, str], piece: str = "") -> Wanted:
    """Return what a page's address asks for, or refuse in words."""
    fact = at.answers.facts.find(Piece, piece) if piece else None
    if fact is not None and not fields:
        one = next(
            (p for p in at.answers.ask(space_of, at.answers.ask(joined, room)).pieces
             if p.id == piece), None,
        )  # fmt: skip
        return Wanted(_kind_like(one) if one is not None else fact.kind)
    try:
        return wanted_of(at.answers, room, fields)
    except WantedError as error:
        raise RefusedError(f"{error}.") from error


def _kind_like(piece: FitPiece) -> str:
    known = of_kind(piece.kind, piece.sort.name)
    return piece.kind if known is None or piece.own is not None else known.name


def answered(request: Request, at: HouseAt, room: str, wanted: Wanted, search: str) -> Found:
    """Return the answer: of a search that the page waited for, or computed now."""
    waited = searches(request).found(search, at.id, room, at.answers, wanted) if search else None
    if waited is not None:
        return waited
    try:
        return searches(request).at_once(at.answers, room, wanted)
    except StoppedError as stopped:
        return stopped.found
    except ValueError as error:
        raise RefusedError(f"{str(error).rstrip('.')}.") from error


@router.get("/h/{house}/room/{room}/what-fits")
def page_of_what_fits(
    request: Request, at: AtHouse, desk: AtDesk, room: str,
    piece: Annotated[str, Query(max_length=80)] = "",
    seats: Annotated[int, Query(ge=0, le=99)] = 0,
    show: Annotated[str, Query(max_length=20)] = "",
    search: Annotated[str, Query(max_length=40)] = "",
) -> Response:  # fmt: skip
    """Show the best size and place for a kind of piece, what stops it, and what else could be."""
    fact = room_of(at, room)
    fields = fields_of(request)
    problem = ""
    found: Found | None = None
    wanted = Wanted("piece")
    try:
        wanted = wish(at, room, fields, piece)
        found = answered(request, at, room, wanted, search)
    except RefusedError as refused:
        problem = refused.message
    context = _context(at, room, found, seats, show) if found is not None else {}
    filled, gone = (wanted, ()) if found is None else (found.wanted, found.gone)
    chosen = choices(at.answers, room, filled, gone)
    return house_page(
        request, desk, at, "what_fits.html", here="House", room=fact, found=found,
        problem=problem, form=chosen, typed=fields, words=words, wanted=wanted.text,
        tail="?" + urlencode({"wanted": wanted.text}), quote=quote, **context,
    )  # fmt: skip


def _context(at: HouseAt, room: str, found: Found, seats: int, show: str) -> dict[str, Any]:
    """Return what the page shows of an answer."""
    known = at.answers.ask(needs, room)
    space = at.answers.ask(space_of, at.answers.ask(joined, room))
    options = every(at.answers, room, found)
    picked = next((o for o in options if o.name == show), None)
    picked = picked or next((o for o in options if seats and o.option.seats == seats), None)
    picked = picked or (options[0] if options else None)
    plans: dict[str, str] = {}
    if picked is not None:
        there = taken(at.answers, room, found, picked.option)
        plans = {"wide": drawn(there, room, WIDE), "narrow": drawn(there, room, NARROW, "small")}
    others = [o for o in options if o is not picked and not o.name.startswith("front")]
    small = [
        (o, _small(taken(at.answers, room, found, o.option), room, f"other{n}"))
        for n, o in enumerate(others)
    ]
    by_option = {id(o.option): o for o in options}
    front = [
        by_option.get(id(o)) or next(s for s in options if s.option.size == o.size)
        for o in found.front
    ]
    stops = None if found.stops is None else shown(at.answers, room, found, found.stops, "stops")
    half = found.if_short()
    return {
        "picked": picked, "others": small, "front": front, "known": known, "stops": stops,
        "half": None if half is None else shown(at.answers, room, found, half, "half"),
        "picture": seats_picture.draw(
            found.front, picked.option if picked else None, known.spare
        ),
        "what": "Seats vs. room" if found.seats_rule else "Size vs. room",
        "gone": [
            *(p for p in space.pieces if p.id in found.gone),
            *(b for b in space.fixed if b.id in found.gone),
        ],
        **plans,
    }  # fmt: skip


def _small(answers: Answers, room: str, base: str) -> str:
    """Return the plan of an option beside the best: no lengths, they stand under it in words."""
    options = PlanOptions(
        width=SMALL, height=1.1 * SMALL, text=15.0, dims=frozenset(), letters=False, bar=False,
        base=base,
    )  # fmt: skip
    return room_plan(answers.ask(plan, room), options).svg


@router.get("/h/{house}/room/{room}/what-fits.pdf")
def page_for_the_owner(
    request: Request, at: AtHouse, room: str,
    search: Annotated[str, Query(max_length=40)] = "",
) -> Response:  # fmt: skip
    """Return one page for the owner, ready to print."""
    room_of(at, room)
    found = answered(request, at, room, wish(at, room, fields_of(request)), search)
    day = at.answers.as_of
    made = owner.pdf(at.answers, room, found, printed=f"{show_date(day)}, {day.year}")
    return pdf_named(made, f"{at.id}-{room}-what-fits")


@router.get("/h/{house}/room/{room}/what-fits/owner")
def owners_page(
    request: Request, at: AtHouse, desk: AtDesk, room: str,
    search: Annotated[str, Query(max_length=40)] = "",
) -> Response:  # fmt: skip
    """Show the owner's page: the picture, what was tried, why this one."""
    fact = room_of(at, room)
    wanted = wish(at, room, fields_of(request))
    found = answered(request, at, room, wanted, search)
    story = told(at.answers, room, found)
    plans = {"wide": "", "narrow": ""}
    if found.best is not None:
        there = taken(at.answers, room, found, found.best)
        plans = {
            "wide": drawn(there, room, WIDE), "narrow": drawn(there, room, NARROW, "small"),
        }  # fmt: skip
    return house_page(
        request, desk, at, "owner.html", here="House", room=fact, told=story, found=found,
        tail="?" + urlencode({"wanted": wanted.text}), **plans,
    )  # fmt: skip


# --- searches that the page waits for -------------------------------------------------------------


@router.post("/h/{house}/room/{room}/what-fits/searches")
async def begin_search(request: Request, desk: AtDesk, house: str, room: str) -> Response:
    """Begin a search; with script the page follows it, without it waits for the answer."""
    async with request.form(max_files=0, max_fields=MOST_FIELDS) as sent:
        fields = {n: str(v)[:600] for n, v in sent.multi_items()}
    from starlette.concurrency import run_in_threadpool

    search = await run_in_threadpool(_begin, request, desk, house, room, fields)
    return JSONResponse(_told(search, house, room), status_code=201)


def _begin(request: Request, desk: Desk, house: str, room: str, fields: dict[str, str]) -> Search:
    from roomwright.web.desk import house_at

    at = house_at(desk, house)
    room_of(at, room)
    wanted = wish(at, room, fields)
    return searches(request).start(at.answers, at.id, room, wanted)


def _told(search: Search, house: str, room: str) -> dict[str, Any]:
    query = urlencode({"wanted": search.wanted.text, "search": search.id})
    at = f"/h/{quote(house)}/room/{quote(room)}/what-fits"
    return {
        "id": search.id,
        "share": round(search.share, 3),
        "at": search.at,
        "done": search.done.is_set(),
        "wrong": search.wrong,
        "goto": f"{at}?{query}",
        "follow": f"{at}/searches/{search.id}",
    }


def _known(request: Request, house: str, id: str) -> Search:
    search = searches(request).find(id, house)
    if search is None:
        raise NotHereError("That search is no longer kept: ask again.")
    return search


@router.get("/h/{house}/room/{room}/what-fits/searches/{id}")
def follow_search(request: Request, house: str, room: str, id: str) -> Response:
    """Tell how far a search is."""
    search = _known(request, house, id)
    search.done.wait(0.25)
    return JSONResponse(_told(search, house, room))


@router.post("/h/{house}/room/{room}/what-fits/searches/{id}/stop")
def stop_search(request: Request, house: str, room: str, id: str) -> Response:
    """Stop a search; the best so far is its answer."""
    search = _known(request, house, id)
    search.stop = True
    search.done.wait(3.0)
    if "application/json" in request.headers.get("accept", ""):
        return JSONResponse(_told(search, house, room))
    return RedirectResponse(_told(search, house, room)["goto"], status_code=303)
