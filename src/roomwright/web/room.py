"""A room: its plan, the verdict of each side, the cure, and the piece that is moved on it."""

from __future__ import annotations

from fractions import Fraction
from typing import Annotated, Any, Literal

from fastapi import APIRouter, Query, Request
from pydantic import BaseModel, ConfigDict, Field, ValidationError
from starlette.concurrency import run_in_threadpool
from starlette.responses import JSONResponse, Response

from roomwright import commands, shape
from roomwright.answers import Answers, layers
from roomwright.answers.in_hand import in_hand
from roomwright.answers.plans import plan
from roomwright.answers.rooms import room_fit
from roomwright.answers.sheets import changes
from roomwright.answers.sheets import sheet as wall_sheet
from roomwright.commands.base import in_words
from roomwright.drawing.options import PlanOptions
from roomwright.drawing.plan import room_plan
from roomwright.fit.kinds import table
from roomwright.fit.model import PieceFit, RoomFit
from roomwright.job.entities import Length, Number, Piece, Posting, Room
from roomwright.job.facts import Facts
from roomwright.job.journal import Entry
from roomwright.web import moving, room_words
from roomwright.web.desk import WHO, AtDesk, AtHouse, Desk, HouseAt, form_id, house_at
from roomwright.web.doing import answered, own_page, words_of
from roomwright.web.house_page import house_page, just_done
from roomwright.web.journal import last_done
from roomwright.web.pages import part
from roomwright.web.trouble import NotHereError

router = APIRouter()

OPENINGS = (
    ("swing", "door that swings"),
    ("cased", "cased opening, no door"),
    ("pocket", "pocket door"),
    ("slide", "sliding door"),
    ("bifold", "bifold"),
    ("swing pair", "pair of doors"),
)
"""What a room may be opened with, as its forms say it."""

WIDE = 720.0
"""Width of the plan on a large screen, if the page does not say [px]."""
NARROW = 358.0
"""Width of the plan on a phone, if the page does not say [px]."""


def room_of(at: HouseAt, id: str) -> Room:
    """Return a room of the house, or say which there are."""
    found = at.answers.facts.find(Room, id)
    if found is None:
        rooms = at.answers.facts.all(Room)
        near = [(r.name or r.id, f"{at.at}/room/{r.id}") for r in rooms[:8]]
        raise NotHereError(f"There is no room {id} in {at.name}.", near)
    return found


def finished_room(at: HouseAt, id: str) -> Room:
    """Return a room with its outline between finished faces: what its page measures from."""
    fact = room_of(at, id)
    ring = at.answers.ask(layers.finished, id)
    if ring == tuple((float(x), float(y)) for x, y in fact.outline):
        return fact
    outline = tuple((Fraction(x), Fraction(y)) for x, y in ring)
    return fact.model_copy(update={"outline": outline})


def drawn(answers: Answers, room: str, width: float, base: str = "plan") -> str:
    """Return the drawing of a room as an SVG, pieces that can be taken hold of."""
    options = PlanOptions(width=width, height=1.25 * width, interactive=True, base=base)
    return room_plan(answers.ask(plan, room), options).svg


def chosen_piece(fit: RoomFit, wanted: str) -> PieceFit | None:
    """Return the piece asked for, else the one that is worst off, tables before others."""
    for each in fit.pieces:
        if each.piece.id == wanted:
            return each
    return max(
        fit.pieces,
        key=lambda p: (p.verdict.word.rank, bool(p.seats), len(p.sides)),
        default=None,
    )


def just_added(entry: Entry | None) -> str:
    """Return the piece that a form has just put into the room, so that it can be moved next."""
    added = entry is not None and entry.command == commands.AddPiece.command_name
    return entry.changes[0].id if entry is not None and added and entry.changes else ""


@router.get("/h/{house}/room/{room}")
def page_of_room(
    request: Request,
    at: AtHouse,
    desk: AtDesk,
    room: str,
    piece: Annotated[str, Query(max_length=80)] = "",
    sheet: Annotated[str, Query(max_length=80)] = "",
    drawing: Literal["both", "wide", "narrow"] = "both",
) -> Response:
    """Show the room's plan and what holds in it.

    `sheet` is the code on a paper that hangs there; `drawing` says which one a page takes anew.
    """
    fact = finished_room(at, room)
    fit = at.answers.ask(room_fit, room)
    chosen = chosen_piece(fit, piece or just_added(just_done(request, desk, at.id)))
    moved = at.answers.facts.find(Piece, chosen.piece.id) if chosen else None
    drawings = {
        name: drawn(at.answers, room, width, base)
        for name, width, base in (("wide", WIDE, "plan"), ("narrow", NARROW, "small"))
        if drawing in ("both", name)
    }
    return house_page(
        request, desk, at, "room.html", here="House", room=fact, fit=fit, chosen=chosen,
        drawings=drawings, subtitle=room_words.subtitle(at.answers, fact, fit),
        fields=room_words.fields(fact, moved) if moved else {}, moved=moved,
        **room_words.verdicts(at.answers, fact, fit, chosen), kinds=sorted(table()),
        walls=[shape.letter(n) for n in range(len(fact.outline))], openings=OPENINGS,
        last=last_done(desk, at.id),
        paper=paper_says(at, room, sheet) if sheet else None,
    )  # fmt: skip


def paper_says(at: HouseAt, room: str, code: str) -> tuple[str, str, tuple[str, ...]]:
    """Return whether a paper with this code still holds: its mark, in words, what has changed."""
    hanging = {p.trade for p in at.answers.facts.where(Posting, "room", room)}
    for trade in sorted(hanging | {""}):
        this = at.answers.ask(wall_sheet, room, trade)
        if this.code == code:
            return "fits", f"The paper {code} still holds.", ()
    for posting in at.answers.facts.where(Posting, "room", room):
        if posting.code == code:
            this = at.answers.ask(wall_sheet, room, posting.trade)
            words = changes(posting.content, this.content)
            return "short", f"The paper {code} no longer holds: print {this.code}.", words
    return "short", f"The paper {code} is not of this room as it stands: print it again.", ()


class Frame(BaseModel):
    """The drawing that the page shows."""

    model_config = ConfigDict(extra="forbid")

    scale: float = Field(gt=0.01, lt=100)
    left: float
    top: float
    base: str = Field(pattern="^[a-z0-9-]{1,20}$")


class Preview(BaseModel):
    """Where a piece would stand, in plan or from the room's walls; what is left out stays."""

    model_config = ConfigDict(extra="forbid", str_strip_whitespace=True)

    piece: str
    x: Length | None = None
    y: Length | None = None
    west: Length | None = None
    south: Length | None = None
    width: Length | None = None
    depth: Length | None = None
    turn: Number | None = None
    drawn: float = WIDE
    """Width of the drawing wanted [px]."""
    over: Frame | None = None
    """The drawing that is shown: then only the parts to lay over it are wanted."""


def supposed(facts: Facts, room: Room, asked: Preview) -> commands.Arrange:
    """Return the command that a preview stands for."""
    west, south = room_words.corner(room)
    x = asked.x if asked.west is None else west + asked.west
    y = asked.y if asked.south is None else south + asked.south
    given = {"x": x, "y": y, "width": asked.width, "depth": asked.depth, "turn": asked.turn}
    return commands.Arrange.model_validate(
        {"piece": asked.piece, **{k: v for k, v in given.items() if v is not None}}
    )


@router.post("/h/{house}/room/{room}/preview")
def preview(desk: AtDesk, house: str, room: str, asked: Preview) -> Response:
    """Answer how a room would be with a piece elsewhere; nothing is written."""
    at = house_at(desk, house)
    fact = finished_room(at, room)
    facts = at.answers.facts
    there = at.answers.supposing(supposed(facts, fact, asked).changes(facts))
    piece = there.facts.get(Piece, asked.piece)
    said: dict[str, Any] = {
        "x": None if piece.x is None else float(piece.x),
        "y": None if piece.y is None else float(piece.y),
        "fields": room_words.fields(fact, piece),
    }
    if asked.over is not None and piece.room == room:
        held = there.ask(in_hand, room, asked.piece)
        fit = held.fit
        said["parts"] = moving.parts(held, moving.Shown(**asked.over.model_dump()))
    else:
        fit = there.ask(room_fit, room)
        said["plan"] = drawn(there, room, min(max(asked.drawn, 300.0), 1200.0), "live")
    chosen = chosen_piece(fit, asked.piece)
    words = room_words.verdicts(there, fact, fit, chosen, cures=asked.over is None)
    said["said"] = chosen.verdict.text if chosen else ""
    said["verdicts"] = part("verdicts.html", house=at, room=fact, fit=fit, chosen=chosen, **words)
    return JSONResponse(said)


@router.post("/h/{house}/room/{room}/place")
async def place(request: Request, house: str, room: str, desk: AtDesk) -> Response:
    """Put a piece where the form says, measured from the room's own walls."""
    async with request.form(max_files=0, max_fields=20) as form:
        said = words_of(form)
    ours = {k: said.pop(k) for k in list(said) if k.startswith("_")}
    try:
        asked = Preview.model_validate(said)
    except ValidationError as error:
        raise in_words(error) from error
    done = await run_in_threadpool(_place, desk, house, room, asked, ours.get("_nonce", ""))
    return answered(request, done, own_page(ours.get("_back", ""), f"/h/{house}/room/{room}"))


def _place(desk: Desk, house: str, room: str, asked: Preview, once: str) -> commands.Done:
    at = house_at(desk, house)
    command = supposed(at.answers.facts, finished_room(at, room), asked)
    return commands.run(
        desk.store, house, command, who=WHO, command_id=form_id(once, command.payload())
    )
