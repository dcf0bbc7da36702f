"""The houses that are kept: the list, loading a folder, and the screen's theme."""

from __future__ import annotations

import itertools
from typing import Annotated
from urllib.parse import quote

from fastapi import APIRouter, Form, Request
from starlette.concurrency import run_in_threadpool
from starlette.datastructures import UploadFile
from starlette.responses import JSONResponse, RedirectResponse, Response

from roomwright import commands
from roomwright.exchange.folder import FolderError, Loaded, read_files
from roomwright.exchange.forms import FORMS
from roomwright.exchange.pictures import NAME as PICTURE
from roomwright.exchange.zipped import unzipped
from roomwright.job.entities import House
from roomwright.web.desk import WHO, AtDesk, Desk, form_id, nonce
from roomwright.web.doing import own_page, with_done
from roomwright.web.guard import FOLDER_BYTES
from roomwright.web.pages import THEMES, page
from roomwright.web.trouble import RefusedError, wants_json

router = APIRouter()

MOST_FILES = 60
FILE_NAMES = frozenset(form.file for form in FORMS)


@router.get("/")
def front(request: Request, desk: AtDesk) -> Response:
    """Straight to the only house, else the list."""
    jobs = desk.store.jobs()
    if len(jobs) == 1:
        return RedirectResponse(f"/h/{jobs[0].id}", status_code=307)
    return houses(request, desk)


@router.get("/houses")
def houses(request: Request, desk: AtDesk) -> Response:
    """Every house that is kept, and the ways to begin one."""
    return page(request, "houses.html", jobs=desk.store.jobs(), removed=desk.store.removed(),
                nonce=nonce())  # fmt: skip


@router.post("/h/{house}/put-aside")
def put_aside(house: str, desk: AtDesk) -> Response:
    """Take a house off the list; its journal stays, and `/houses` offers to bring it back."""
    desk.store.remove(house)
    return RedirectResponse("/houses", status_code=303)


@router.post("/houses/bring-back")
def bring_back(desk: AtDesk, number: Annotated[int, Form()]) -> Response:
    """Bring a house back that was put aside, under its old address or the next free one.

    Raises
    ------
    RefusedError
        if no house of that number was put aside.
    """
    was = dict(desk.store.removed()).get(number)
    if was is None:
        raise RefusedError("That house was brought back already, or never put aside.")
    taken = {job.id for job in desk.store.jobs()}
    names = (was.id if n == 1 else f"{was.id}-{n}" for n in itertools.count(1))
    house = next(name for name in names if name not in taken)
    desk.store.restore(number, house)
    return RedirectResponse(f"/h/{house}", status_code=303)


@router.post("/theme")
def theme(theme: Annotated[str, Form()], back: Annotated[str, Form()] = "/") -> Response:
    """Choose the screen: as the device says, light, dark, or bright for the sun."""
    answer = RedirectResponse(own_page(back, "/"), status_code=303)
    if theme in THEMES:
        answer.set_cookie("theme", theme, max_age=31_536_000, samesite="lax", httponly=True)
    return answer


@router.get("/load")
def choose_folder(request: Request, desk: AtDesk, house: str = "") -> Response:
    """Choose the files of a house folder."""
    return page(
        request, "load.html", jobs=desk.store.jobs(), chosen=house, nonce=nonce(),
        names=sorted(FILE_NAMES), problems=[], most_mb=FOLDER_BYTES // 1024 // 1024,
    )  # fmt: skip


@router.post("/load")
async def load(request: Request, desk: AtDesk) -> Response:
    """Read the files of a house folder: all of them, or nothing and every error at once."""
    async with request.form(max_files=MOST_FILES, max_fields=20) as form:
        files: dict[str, bytes] = {}
        packed: list[bytes] = []
        for sent in form.getlist("files"):
            if not isinstance(sent, UploadFile):
                continue
            name = plain_name(sent.filename or "")
            if name.endswith(".zip"):
                packed.append(await sent.read())
            elif name in FILE_NAMES or PICTURE.fullmatch(name):
                if name in files:
                    raise RefusedError(f"{name} was chosen twice: choose one folder.", "files")
                files[name] = await sent.read()
        into, once = str(form.get("into") or ""), str(form.get("_nonce") or "")
    if packed and (files or len(packed) > 1):
        raise RefusedError("Choose the files of one house folder, or one ZIP of it.", "files")
    if not files and not packed:
        raise RefusedError(
            "No file of a house folder was chosen: take house.toml, rooms.csv and the others "
            "together, or the folder as a ZIP.", "files",
        )  # fmt: skip
    try:
        if packed:
            files = await run_in_threadpool(unzipped, packed[0])
        loaded = await run_in_threadpool(read_files, files)
    except FolderError as error:
        return _problems(request, desk, into, error)
    done, house = await run_in_threadpool(_keep, desk, loaded, into, once)
    goto = with_done(f"/h/{quote(house)}", done.sequence)
    if wants_json(request):
        return JSONResponse({"sentence": done.sentence, "kept": done.kept, "goto": goto})
    return RedirectResponse(goto, status_code=303)


def plain_name(sent: str) -> str:
    r"""Return the last part of a sent file's name, small letters; no path is ever opened from it.

    >>> plain_name("Tern Hollow/House.TOML"), plain_name("..\\..\\rooms.csv")
    ('house.toml', 'rooms.csv')
    """
    return sent.replace("\\", "/").rpartition("/")[2].lower()


def _keep(desk: Desk, loaded: Loaded, into: str, once: str) -> tuple[commands.Done, str]:
    command = commands.Load(facts=tuple(loaded.facts), folder="the files", kinds=loaded.kinds)
    content = sorted((f.kind_name, f.id, f.model_dump_json()) for f in loaded.facts)
    command_id = form_id(once, "load", into, content)
    if not into:
        name = loaded.facts.get(House, "house").name
        into, done = commands.begin(desk.store, name, command, who=WHO, command_id=command_id)
    else:
        done = commands.run(desk.store, into, command, who=WHO, command_id=command_id)
    for body in loaded.pictures.values():
        desk.store.put_blob(into, body, "image/png")
    return done, into


def _problems(request: Request, desk: Desk, into: str, error: FolderError) -> Response:
    if wants_json(request):
        said = {"message": "Nothing was loaded.", "problems": [p.as_json() for p in error.problems]}
        return JSONResponse(said, status_code=422)
    return page(
        request, "load.html", status=422, jobs=desk.store.jobs(), chosen=into, nonce=nonce(),
        names=sorted(FILE_NAMES), problems=error.problems, most_mb=FOLDER_BYTES // 1024 // 1024,
    )  # fmt: skip
