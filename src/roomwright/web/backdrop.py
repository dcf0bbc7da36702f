"""The scanned plan under a level: taken from a file, redrawn, kept by its hash, and shown."""

from __future__ import annotations

import re
from urllib.parse import quote

from fastapi import APIRouter, Request
from starlette.concurrency import run_in_threadpool
from starlette.datastructures import UploadFile
from starlette.responses import JSONResponse, RedirectResponse, Response

from roomwright import commands
from roomwright.job.blobs import LARGEST
from roomwright.sheets.picture import LARGEST as LARGEST_FILE
from roomwright.sheets.picture import LONG_SIDE, Picture, PictureError, taken
from roomwright.web.desk import WHO, AtDesk, AtHouse, Desk, HouseAt, form_id
from roomwright.web.doing import with_done
from roomwright.web.draw import check_level, level_page
from roomwright.web.trouble import NotHereError, RefusedError, wants_json

router = APIRouter()

SMALLER = LONG_SIDE // 2
"""A picture that comes out too large to keep is taken again with this longer side [px]."""


@router.post("/h/{house}/draw/{level}/backdrop")
async def lay(request: Request, level: str, at: AtHouse, desk: AtDesk) -> Response:
    """Take a page or a picture and lay it under the level; refused, it is said on the drawing."""
    check_level(level)
    typed = {"page": "1"}
    try:
        return await _taken(request, at, level, desk, typed)
    except RefusedError as no:
        if wants_json(request):
            raise
        wrong = {"field": no.field, "message": no.message, "page_typed": typed["page"]}
        return await run_in_threadpool(level_page, request, at, desk, level, wrong=wrong)


@router.get("/h/{house}/draw/{level}/backdrop")
def back_to_level(house: str, level: str) -> Response:
    """A page that told why a plan was refused is loaded again: the drawing."""
    check_level(level)
    return RedirectResponse(f"/h/{quote(house)}/draw/{quote(level)}", status_code=307)


async def _taken(
    request: Request, at: HouseAt, level: str, desk: Desk, typed: dict[str, str]
) -> Response:
    house = at.id
    async with request.form(max_files=1, max_fields=6) as form:
        sent = form.get("plan")
        typed["page"] = page = str(form.get("page") or "1").strip()[:10]
        once = str(form.get("_nonce") or "")
        if not isinstance(sent, UploadFile) or not sent.filename:
            raise RefusedError("Choose a PDF, a PNG or a JPEG.", "plan")
        name = re.sub(r"[^\w .()-]", "", sent.filename.replace("\\", "/").rpartition("/")[2])[:80]
        body = await sent.read(LARGEST_FILE + 1)
    if not page.isdecimal() or len(page) > 5:
        raise RefusedError("Type the number of the page.", "page")
    done = await run_in_threadpool(_lay, desk, house, level, body, int(page), name, once)
    goto = with_done(f"/h/{quote(house)}/draw/{quote(level)}", done.sequence)
    if wants_json(request):
        return JSONResponse({"sentence": done.sentence, "goto": goto})
    return RedirectResponse(goto, status_code=303)


@router.get("/h/{house}/draw/{level}/picture/{sha}")
def picture(house: str, level: str, sha: str, desk: AtDesk) -> Response:
    """The picture under a level: always a PNG of our own making, whatever was sent."""
    blob = desk.store.blob(house, sha) if re.fullmatch("[0-9a-f]{64}", sha) else None
    if blob is None:
        raise NotHereError("There is no such picture here.", [])
    headers = {
        "Cache-Control": "private, max-age=31536000, immutable",
        "Content-Security-Policy": "default-src 'none'; sandbox",
        "Content-Disposition": "inline; filename=plan.png",
    }
    return Response(blob.body, media_type=blob.type, headers=headers)


def _lay(
    desk: Desk, house: str, level: str, body: bytes, page: int, name: str, once: str
) -> commands.Done:
    desk.store.number(house)  # no house, no work
    try:
        made = _fitting(body, page)
    except PictureError as no:
        raise RefusedError(str(no), "plan") from no
    sha = desk.store.put_blob(house, made.png, "image/png")
    command = commands.LayBackdrop(
        level=level, picture=sha, wide=made.wide, high=made.high, file=name, page=page
    )
    command_id = form_id(once, "lay", level, sha, page)
    return commands.run(desk.store, house, command, who=WHO, command_id=command_id)


def _fitting(body: bytes, page: int) -> Picture:
    made = taken(body, page)
    return made if len(made.png) <= LARGEST else taken(body, page, long_side=SMALLER)
