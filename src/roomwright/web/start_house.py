"""Start a house: ten plain questions make its rooms, parts and work to begin with."""

from __future__ import annotations

from fastapi import APIRouter, Request
from starlette.concurrency import run_in_threadpool
from starlette.responses import JSONResponse, RedirectResponse, Response

from roomwright import commands, starter
from roomwright.web.desk import WHO, AtDesk, Desk, form_id, nonce
from roomwright.web.doing import with_done, words_of
from roomwright.web.pages import page
from roomwright.web.trouble import RefusedError, wants_json

router = APIRouter()


@router.get("/start")
def form(request: Request) -> Response:
    """The ten questions on one page."""
    return page(
        request, "start.html", questions=starter.QUESTIONS, nonce=nonce(), said={}, problems={}
    )


@router.post("/start")
async def start(request: Request, desk: AtDesk) -> Response:
    """Make the house."""
    async with request.form(max_files=0, max_fields=40) as sent:
        said = words_of(sent)
    once = said.pop("_nonce", "")
    said = {k: v for k, v in said.items() if not k.startswith("_")}
    try:
        starter.settle(said, desk.today())
    except starter.StarterError as error:
        if wants_json(request):
            field, words = next(iter(error.problems.items()))
            raise RefusedError(words, field) from None
        return page(
            request, "start.html", status=422, questions=starter.QUESTIONS, nonce=nonce(),
            said=said, problems=error.problems,
        )  # fmt: skip
    house, done = await run_in_threadpool(_make, desk, said, once)
    goto = with_done(f"/h/{house}", done.sequence)
    if wants_json(request):
        return JSONResponse({"sentence": done.sentence, "goto": goto})
    return RedirectResponse(goto, status_code=303)


def _make(desk: Desk, said: dict[str, str], once: str) -> tuple[str, commands.Done]:
    command = commands.StartHouse(answers=said, today=desk.today())
    name = said.get("name", "Our house")
    command_id = form_id(once, sorted(said.items()))
    return commands.begin(desk.store, name, command, who=WHO, command_id=command_id)
