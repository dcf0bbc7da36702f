"""Tape: a room's readings typed or said, what they make of it, and taking its outline from them."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from fastapi import APIRouter, Request
from pydantic import BaseModel, ConfigDict, Field
from starlette.concurrency import run_in_threadpool
from starlette.responses import JSONResponse, Response

from roomwright import commands, shape
from roomwright.answers import Answers
from roomwright.answers.layers import layers_of
from roomwright.answers.survey import Read, RoomSurvey, survey_of
from roomwright.answers.survey_upright import edges, upright
from roomwright.answers.survey_words import (
    fate,
    heights_said,
    next_said,
    noticed,
    opening_said,
    plan_said,
    square_said,
    told_of,
)
from roomwright.answers.what_changes import Changed, what_changes
from roomwright.commands.outline import code_of
from roomwright.commands.survey import echo_of, understood
from roomwright.days import show_date
from roomwright.drawing.survey_plan import survey_plan
from roomwright.job.entities import Opening, Room, Window
from roomwright.job.errors import StoreError
from roomwright.lengths import exact, tape
from roomwright.shape import Segment
from roomwright.survey.spoken import SpokenError
from roomwright.web.desk import WHO, AtDesk, AtHouse, Desk, HouseAt, form_id, house_at
from roomwright.web.doing import answered, perform, words_of
from roomwright.web.house_page import house_page
from roomwright.web.room import NARROW, WIDE, room_of
from roomwright.web.trouble import told as trouble_of
from roomwright.web.trouble import wants_json

router = APIRouter()

FACES = (("board", "the board"), ("stud", "the studs"), ("finished", "the finished face"))
MOST_CHANGES = 40


@dataclass(frozen=True, slots=True)
class Row:
    """One reading as the page lists it."""

    id: str
    line: str
    length: str
    off: str
    noticed: str
    fate: str
    word: str
    how: str
    note: str
    aside: bool


@dataclass(frozen=True, slots=True)
class Offer:
    """What accepting the outline would do: its sentence, the code that says which, the changes."""

    sentence: str
    code: str
    changes: tuple[Changed, ...]
    more: int


@dataclass(frozen=True, slots=True)
class WallRow:
    """A wall's layers as the form shows them."""

    letter: str
    board: str
    finish: str


def row_of(this: RoomSurvey, each: Read) -> Row:
    """Return a reading as the page lists it."""
    fact, taken = each.fact, each.taken
    told = [f"{fact.face} face" if fact.face else "no face said"]
    told.append(show_date(fact.on) if fact.on else "no date")
    told.append(fact.by or "nobody named")
    off = ""
    if each.suspect:
        off = "By how much stands above, under What they tell"
    elif taken is not None and abs(taken.residual) >= 1 / 64:
        how = "longer" if taken.residual < 0 else "shorter"
        off = f"{tape(abs(taken.residual), 64)} {how} than the room as adjusted"
    elif taken is not None:
        off = "agrees with the others"
    word = "short" if each.suspect else ""
    return Row(
        fact.id, each.line, tape(fact.length, 64), off, noticed(each), fate(each), word,
        ", ".join(told), fact.note, bool(fact.aside),
    )  # fmt: skip


def offer_of(answers: Answers, this: RoomSurvey) -> Offer | str:
    """Return what accepting would do and change, or why it can't be accepted."""
    if this.found is None:
        return ""
    try:
        command = commands.parse("accept outline", {"room": this.room})
        work = command.work(answers.facts, lambda _: [])
    except StoreError as no:
        return str(no)
    changed = what_changes(answers, answers.supposing(work.changes))
    return Offer(
        work.sentence, code_of(this), changed[:MOST_CHANGES], max(len(changed) - MOST_CHANGES, 0)
    )


def in_walls(answers: Answers, room: str) -> list[tuple[str, Segment]]:
    """Return the openings and windows of a room by their two ends."""
    facts = answers.facts
    found: dict[str, Opening | Window] = {
        each.id: each
        for field in ("from_room", "to_room")
        for each in facts.where(Opening, field, room)
    }
    found |= {each.id: each for each in facts.where(Window, "room", room)}
    return [
        (id_, ((float(w.a[0]), float(w.a[1])), (float(w.b[0]), float(w.b[1]))))
        for id_, w in found.items()
    ]


def wall_rows(answers: Answers, room: Room) -> list[WallRow]:
    """Return each wall with its layers, empty where they are not known."""
    known = answers.ask(layers_of, room.id)
    rows = []
    for k in range(len(room.outline)):
        name = shape.letter(k), shape.letter((k + 1) % len(room.outline))
        board, finish = known.get(name, (None, None))
        texts = ["" if v is None else exact(v) for v in (board, finish)]
        rows.append(WallRow(name[0], *texts))
    return rows


def shown(at: HouseAt, room: Room) -> dict[str, Any]:
    """Return what the page shows of a room's survey."""
    answers = at.answers
    this = answers.ask(survey_of, room.id)
    high = answers.ask(upright, room.id)
    openings = in_walls(answers, room.id)
    drawings = {
        name: survey_plan(this, openings, width=width, base=base)
        for name, width, base in (("wide", WIDE, "tape"), ("narrow", NARROW, "small"))
    }
    across = [row_of(this, each) for each in this.of("wall", "diagonal")]
    along = [row_of(this, each) for each in this.of("height", "offset", "")]
    last = max(
        this.reads, key=lambda r: (r.fact.on is not None, r.fact.on, r.fact.id), default=None
    )
    return {
        "this": this, "drawings": drawings, "across": across, "along": along,
        "notes": told_of(this), "following": next_said(this),
        "walls": [plan_said(w) for w in this.walls],
        "corners_out": [text for w in this.walls if (text := square_said(w))],
        "heights": heights_said(high), "ceiling": high.ceiling,
        "placed": [text for e in answers.ask(edges, room.id) if (text := opening_said(e))],
        "offer": offer_of(answers, this), "wall_rows": wall_rows(answers, room),
        "faces": FACES, "face": last.fact.face if last and last.fact.face else "board",
        "by": last.fact.by if last else "",
        "rests": rests_on(room),
    }  # fmt: skip


def rests_on(room: Room) -> str:
    """Return what the outline that the house goes by rests on: face, person, day, or nothing."""
    if room.measured_on is None:
        return f"drawn to the {room.face} faces, not taped yet"
    who = f" by {room.measured_by}" if room.measured_by else ""
    return f"taped to the {room.face} face{who}, {show_date(room.measured_on)}"


@router.get("/h/{house}/room/{room}/survey")
def page_of_survey(request: Request, at: AtHouse, desk: AtDesk, room: str) -> Response:
    """Show a room's readings, the room they make, and what taking it would change."""
    fact = room_of(at, room)
    return house_page(
        request, desk, at, "survey.html", here="House", room=fact, who=WHO, typed="", on="",
        wrong="", **shown(at, fact),
    )  # fmt: skip


@router.post("/h/{house}/room/{room}/survey")
async def add_readings(request: Request, house: str, room: str, desk: AtDesk) -> Response:
    """Record readings; what is not understood comes back as it was typed, with what is wrong."""
    async with request.form(max_files=0, max_fields=20) as form:
        said = words_of(form)
    return await run_in_threadpool(_add, request, desk, house, room, said)


def _add(request: Request, desk: Desk, house: str, room: str, said: dict[str, str]) -> Response:
    asked = {k: v for k, v in said.items() if not k.startswith("_")}
    name = commands.RecordReadings.command_name
    once = form_id(said.get("_nonce", ""), name, sorted(asked.items()))
    try:
        done = perform(desk, house, name, {**asked, "room": room}, command_id=once)
    except StoreError as no:
        if wants_json(request):
            raise
        at = house_at(desk, house)
        fact = room_of(at, room)
        status, _, told = trouble_of(no)
        context = {**shown(at, fact), **{k: v for k, v in asked.items() if k in ("by", "face")}}
        return house_page(
            request, desk, at, "survey.html", here="House", room=fact, who=WHO, status=status,
            typed=asked.get("text", ""), on=asked.get("on", ""), wrong=told["message"], **context,
        )  # fmt: skip
    return answered(request, done, f"/h/{house}/room/{room}/survey")


class Said(BaseModel):
    """Readings as typed or said, to be read back; nothing is written."""

    model_config = ConfigDict(extra="forbid")

    text: str = Field(max_length=50_000)


@router.post("/h/{house}/room/{room}/survey/echo")
def echo(desk: AtDesk, house: str, room: str, said: Said) -> Response:
    """Answer what was understood, reading by reading, or which one was not and why."""
    at = house_at(desk, house)
    return JSONResponse(read_back(at, room_of(at, room), said.text))


def read_back(at: HouseAt, room: Room, text: str) -> Mapping[str, Any]:
    """Return what was understood of a text, or what is wrong with it."""
    if not text.strip():
        return {"understood": [], "wrong": ""}
    try:
        told = understood(at.answers.facts, room, text)
    except SpokenError as no:
        return {"understood": [], "wrong": str(no)}
    return {"understood": [echo_of(each) for each in told], "wrong": ""}
