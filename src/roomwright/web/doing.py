"""Running commands for a person: from a form, from the page's outbox, or from the API.

A form posts to ``/h/HOUSE/do/COMMAND`` with the command's fields; fields that begin with an
underscore are ours:

* ``_nonce``: drawn when the form was shown
* ``_back``: where to go then
* ``_expect``: the version of the fact that the person saw, as ``piece T1 3``. A form that shows
  what is and takes it anew carries it, so that nobody wipes out what another wrote meanwhile.
* ``_empty``, ``_none``: names of fields which are emptied where they are left empty: text, and what
  is not text

With script the same form goes through the outbox and is answered in JSON.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any
from urllib.parse import urlencode, urlsplit

from fastapi import APIRouter, Request
from starlette.datastructures import FormData, UploadFile
from starlette.responses import JSONResponse, RedirectResponse, Response

from roomwright import commands
from roomwright.job.entities import KINDS, House
from roomwright.web.desk import WHO, AtDesk, Desk, form_id
from roomwright.web.formed import nested
from roomwright.web.trouble import RefusedError, wants_json

router = APIRouter()

MOST_FIELDS = 400


def words_of(form: FormData) -> dict[str, str]:
    """Return the text fields of a form; what is empty was not said.

    Raises
    ------
    RefusedError
        if there are too many fields, or a file where text belongs.
    """
    if len(form) > MOST_FIELDS:
        raise RefusedError(f"Too many fields: {MOST_FIELDS} at most.")
    said: dict[str, str] = {}
    for name, value in form.multi_items():
        if isinstance(value, UploadFile):
            raise RefusedError(f"{name}: type it, don't attach a file.", name)
        if value.strip():
            said[name] = value.strip()
    return said


def expected(text: str) -> dict[tuple[str, str], int]:
    """Return the versions a person saw, from lines of "kind id version".

    >>> expected("piece T1 3")
    {('piece', 'T1'): 3}
    """
    seen: dict[tuple[str, str], int] = {}
    for line in text.split("\n"):
        kind, _, rest = line.strip().partition(" ")
        id, _, version = rest.rpartition(" ")
        known = kind in KINDS and version.isdecimal() and len(version) <= 12
        if not id or not known:
            raise RefusedError("The form is broken: open the page again and repeat it.")
        seen[kind, id] = int(version)
    return seen


def emptied(ours: Mapping[str, str], said: Mapping[str, str]) -> dict[str, str | None]:
    """Return the fields that the form showed and the person left empty or emptied.

    >>> emptied({"_empty": "days note", "_none": "crews"}, {"days": "tue"})
    {'note': '', 'crews': None}
    """
    names = {**dict.fromkeys(ours.get("_empty", "").split(), ""),
             **dict.fromkeys(ours.get("_none", "").split())}  # fmt: skip
    return {name: value for name, value in names.items() if name not in said}


def own_page(back: str, default: str) -> str:
    """Return where to go after a form: a page of ours, never another site.

    >>> own_page("/h/a/orders", "/"), own_page("//evil.test", "/"), own_page("http://x", "/")
    ('/h/a/orders', '/', '/')
    """
    parts = urlsplit(back)
    plain = not parts.scheme and not parts.netloc and "\\" not in back and back.isprintable()
    return back if plain and back.startswith("/") and not back.startswith("//") else default


def with_done(back: str, sequence: int) -> str:
    """Return an address that says, once opened, what was done.

    >>> with_done("/h/a/orders?show=late#L1", 7)
    '/h/a/orders?show=late&done=7#L1'
    """
    parts = urlsplit(back)
    query = "&".join(q for q in parts.query.split("&") if q and not q.startswith("done="))
    return parts._replace(
        query="&".join(filter(None, [query, urlencode({"done": sequence})]))
    ).geturl()


def perform(
    desk: Desk,
    house: str,
    name: str,
    values: Mapping[str, Any],
    *,
    command_id: str,
    expect: Mapping[tuple[str, str], int] | None = None,
) -> commands.Done:
    """Run one command by its name.

    Raises
    ------
    StoreError
        in words, with nothing written.
    """
    command = commands.parse(name, values)
    if isinstance(command, commands.Load):
        raise RefusedError("A folder is loaded at /load.", "command")
    written = desk.store.facts(house).find(House, "house")
    days = [desk.today(), None if written is None else written.written_as_of]
    commands.not_ahead(command, max(day for day in days if day is not None))
    return commands.run(desk.store, house, command, who=WHO, command_id=command_id, expect=expect)


def answered(request: Request, done: commands.Done, back: str) -> Response:
    """Answer a form that was taken: go back to its page, or say so to the outbox."""
    goto = with_done(back, done.sequence) if done.changes else back
    if wants_json(request):
        said = {"sequence": done.sequence, "sentence": done.sentence,
                "repeated": done.repeated, "goto": goto}  # fmt: skip
        return JSONResponse(said)
    return RedirectResponse(goto, status_code=303)


@router.post("/h/{house}/do/{command}")
async def do(request: Request, house: str, command: str, desk: AtDesk) -> Response:
    """Run a command from a form."""
    from starlette.concurrency import run_in_threadpool

    async with request.form(max_files=0, max_fields=MOST_FIELDS) as form:
        said = words_of(form)
    ours = {k: said.pop(k) for k in list(said) if k.startswith("_")}
    name = command.replace("-", " ")
    done = await run_in_threadpool(
        perform, desk, house, name, {**nested(said), **emptied(ours, said)},
        command_id=form_id(ours.get("_nonce", ""), name, sorted(said.items())),
        expect=expected(ours["_expect"]) if "_expect" in ours else None,
    )  # fmt: skip
    return answered(request, done, own_page(ours.get("_back", ""), f"/h/{house}"))
