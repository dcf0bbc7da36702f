"""Try a room: a width, a depth, doors and one table; the first verdict without any house.

The room lives in the address, so it can be gone back to and passed on; nothing is written until
it is kept.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any
from urllib.parse import urlencode

from fastapi import APIRouter, Request
from starlette.concurrency import run_in_threadpool
from starlette.responses import JSONResponse, RedirectResponse, Response

from roomwright import commands
from roomwright.answers import Answers
from roomwright.answers.rooms import room_fit
from roomwright.job.entities import Room
from roomwright.job.errors import StoreError
from roomwright.job.facts import Facts
from roomwright.lengths import exact
from roomwright.web import room_words
from roomwright.web.desk import WHO, AtDesk, Desk, form_id, nonce
from roomwright.web.doing import with_done, words_of
from roomwright.web.formed import nested
from roomwright.web.pages import page
from roomwright.web.room import NARROW, OPENINGS, WIDE, chosen_piece, drawn
from roomwright.web.trouble import RefusedError, told, wants_json

router = APIRouter()

ROWS = 6
"""Openings that the form has rows for."""

START = {
    "width": "13' 6", "depth": "12' 6", "table.width": "84", "table.depth": "42",
    "openings.0.kind": "cased", "openings.0.wall": "B", "openings.0.from_corner": "20",
    "openings.0.width": "5'",
}  # fmt: skip
"""What the form shows first: a room that has something to say."""


@dataclass(frozen=True, slots=True)
class Tried:
    """A tried room: its answers, or what is wrong by field."""

    answers: Answers | None
    problems: dict[str, str]


def asked(fields: dict[str, str], desk: Desk) -> commands.TryRoom:
    """Return the command that the form stands for.

    Raises
    ------
    StoreError
        naming each field that can't be so.
    """
    values = nested({k: v for k, v in fields.items() if k in NAMES})
    rows = [r for r in values.get("openings", []) if r.get("width") or r.get("from_corner")]
    values["openings"] = [
        {k: v for k, v in row.items() if k != "hand" or row.get("kind") == "swing"} for row in rows
    ]
    table = values.get("table", {})
    if not (table.get("width") or table.get("depth")):
        values.pop("table", None)
    elif table.get("kind", "").startswith("round"):
        table["depth"] = table.get("width", table.get("depth"))
    command = commands.parse("try a room", {**values, "on": desk.today().isoformat()})
    assert isinstance(command, commands.TryRoom)  # noqa: S101 - for the type checker
    return command


def tried(fields: dict[str, str], desk: Desk) -> Tried:
    """Return the answers over a room that exists nowhere but in the form."""
    try:
        changes = asked(fields, desk).changes(Facts())
    except StoreError as error:
        _, _, said = told(error)
        problems = {p["field"]: p["message"] for p in said.get("problems", [said])}
        return Tried(None, {row_of(f, fields): words for f, words in problems.items()})
    facts = Facts().changed(changes)
    answers = Answers(facts, as_of=desk.today())
    return Tried(answers, {})


def row_of(field: str, fields: dict[str, str]) -> str:
    """Return a problem's field as the form names it: empty rows of openings were left out.

    >>> row_of("openings.0.width", {"openings.2.width": "30"})
    'openings.2.width'
    """
    parts = field.split(".")
    if len(parts) != 3 or parts[0] != "openings" or not parts[1].isdecimal():
        return field
    used = [
        n
        for n in range(ROWS)
        if fields.get(f"openings.{n}.width") or fields.get(f"openings.{n}.from_corner")
    ]
    number = int(parts[1])
    return f"openings.{used[number]}.{parts[2]}" if number < len(used) else field


NAMES = frozenset(
    [
        "name", "width", "depth", "ceiling", "table.kind", "table.width", "table.depth",
        "table.x", "table.y", "table.turn",
        *(f"openings.{n}.{f}" for n in range(ROWS)
          for f in ("wall", "from_corner", "width", "kind", "hand", "swings")),
    ]
)  # fmt: skip


def shown(tried: Tried, fields: dict[str, str]) -> dict[str, Any]:
    """Return what the answer's part of the page shows."""
    if tried.answers is None:
        return {"room": None, "problems": tried.problems}
    answers = tried.answers
    room = answers.facts.get(Room, "1")
    try:
        fit = answers.ask(room_fit, "1")
    except ValueError as error:
        return {"room": None, "problems": {"width": str(error)}}
    chosen = chosen_piece(fit, "T1")
    words = room_words.verdicts(answers, room, fit, chosen)
    if cure := words["cure"]:
        there = {**fields, "table.x": exact(cure.x), "table.y": exact(cure.y)}
        words["cure_at"] = f"/try?{urlencode(there)}"
    return {
        "room": room, "problems": {}, "fit": fit, "chosen": chosen,
        "subtitle": room_words.subtitle(answers, room, fit),
        "wide": drawn(answers, "1", WIDE), "narrow": drawn(answers, "1", NARROW, "small"),
        **words,
    }  # fmt: skip


@router.get("/try")
def form(request: Request, desk: AtDesk) -> Response:
    """The form and, beside it, what follows from it."""
    said = {k: v for k, v in request.query_params.items() if k in NAMES and v.strip()}
    fields = said or dict(START)
    return page(
        request, "try.html", fields=fields, kinds=OPENINGS, rows=ROWS, nonce=nonce(),
        began=not said, **shown(tried(fields, desk), fields),
    )  # fmt: skip


@router.post("/try")
async def keep(request: Request, desk: AtDesk) -> Response:
    """Keep a tried room as a house of one room."""
    async with request.form(max_files=0, max_fields=120) as sent:
        fields = words_of(sent)
    once = fields.pop("_nonce", "")
    house, done = await run_in_threadpool(_keep, desk, fields, once)
    goto = with_done(f"/h/{house}/room/1", done.sequence)
    if wants_json(request):
        return JSONResponse({"sentence": done.sentence, "goto": goto})
    return RedirectResponse(goto, status_code=303)


def _keep(desk: Desk, fields: dict[str, str], once: str) -> tuple[str, commands.Done]:
    if not once:
        raise RefusedError("The form is broken: open the page again and repeat it.")
    command = asked(fields, desk)
    command_id = form_id(once, sorted(fields.items()))
    return commands.begin(desk.store, command.name, command, who=WHO, command_id=command_id)
