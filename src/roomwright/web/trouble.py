"""What goes wrong, said in plain words: as a page for a reader, as JSON for a program.

JSON errors have ``message``, and where they know it ``field`` (the one to mend) and ``problems``
(each by itself).
"""

from __future__ import annotations

import difflib
import logging
from collections.abc import Sequence
from typing import Any

from fastapi import FastAPI, Request
from fastapi.exceptions import RequestValidationError
from starlette.exceptions import HTTPException
from starlette.responses import JSONResponse, Response

from roomwright.commands import BadCommandError
from roomwright.days import HorizonError
from roomwright.job.errors import (
    BusyStoreError,
    ConflictError,
    RuleError,
    StoreError,
    UnknownHouseError,
)
from roomwright.job.facts import MissingFactError
from roomwright.lengths import LengthError
from roomwright.web.pages import page

log = logging.getLogger(__name__)

Link = tuple[str, str]


class RefusedError(Exception):
    """What a page refuses: words, and the form's field they are about."""

    def __init__(self, message: str, field: str = "", status: int = 422) -> None:
        self.message, self.field, self.status = message, field, status
        super().__init__(message)


class NotHereError(Exception):
    """There is nothing at an address; `near` are links to what may have been meant."""

    def __init__(self, message: str, near: Sequence[Link] = ()) -> None:
        self.message, self.near = message, tuple(near)
        super().__init__(message)


def wants_json(request: Request) -> bool:
    """Tell whether a program asks, not a reader."""
    return request.url.path.startswith("/api/") or "json" in request.headers.get("accept", "")


def install(app: FastAPI) -> None:
    """Let the application answer every error in words."""
    for kind in (
        RefusedError, NotHereError, StoreError, MissingFactError, LengthError, HorizonError,
        RequestValidationError, HTTPException,
    ):  # fmt: skip
        app.add_exception_handler(kind, answer)
    app.add_exception_handler(Exception, unforeseen)


def answer(request: Request, error: Exception) -> Response:
    """Answer a foreseen error."""
    status, title, said = told(error)
    if wants_json(request):
        return JSONResponse(said, status_code=status)
    near = [] if not isinstance(error, NotHereError) else list(error.near)
    if isinstance(error, UnknownHouseError):
        near = [(name, f"/h/{name}") for name in error.near]
    if status == 404 and not near and (guess := nearest_page(request.url.path)):
        near = [guess]
    return page(
        request, "trouble.html", status=status, title=title, near=near,
        words=said["message"], problems=said.get("problems", []),
    )  # fmt: skip


def told(error: Exception) -> tuple[int, str, dict[str, Any]]:
    """Return the status, the heading and the JSON of an error."""
    match error:
        case RefusedError():
            return error.status, "Not taken", {"message": error.message, "field": error.field}
        case NotHereError():
            return 404, "Nothing here", {"message": error.message}
        case UnknownHouseError():
            return 404, "No such house", {"message": str(error)}
        case MissingFactError():
            return 404, "Nothing here", {"message": f"There is {error}."}
        case ConflictError():
            clashes = [{"message": c.message, "fields": c.fields} for c in error.clashes]
            return 409, "It has changed since", {"message": str(error), "problems": clashes}
        case RuleError():
            return 422, "Not taken: nothing was written", {
                "message": str(error),
                "field": error.problems[0].field if error.problems else "",
                "problems": [{"message": p.message, "field": p.field} for p in error.problems],
            }  # fmt: skip
        case BadCommandError():
            problems = [{"message": what, "field": name} for name, what in error.problems]
            return 422, "Not taken: nothing was written", {
                "message": str(error), "field": problems[0]["field"] if problems else "",
                "problems": problems,
            }  # fmt: skip
        case BusyStoreError():
            return 503, "The store is busy", {"message": str(error)}
        case StoreError() | LengthError() | HorizonError():
            return 422, "Not taken: nothing was written", {"message": str(error)}
        case RequestValidationError():
            problems = [
                {"message": _in_words(e), "field": str(e["loc"][-1]) if e["loc"] else ""}
                for e in error.errors()
            ]
            words = "; ".join(p["message"] for p in problems)
            return 422, "Not taken", {
                "message": words, "field": problems[0]["field"], "problems": problems,
            }  # fmt: skip
        case HTTPException() if error.status_code == 404:
            return 404, "Nothing here", {"message": "There is no page at this address."}
        case HTTPException() if error.status_code == 405:
            return 405, "Not that way", {"message": "This address does not take that method."}
        case HTTPException():
            return error.status_code, "Not taken", {"message": str(error.detail)}
    raise TypeError(f"no words for {type(error).__name__}")


def _in_words(error: Any) -> str:
    named = [each for each in error["loc"] if isinstance(each, str)]  # past places in a list
    where = named[-1] if named else "the request"
    if error["type"] == "missing":
        return f"{where} is missing"
    inner = error.get("ctx", {}).get("error")
    return f"{where}: {inner or error['msg']}"


def nearest_page(path: str) -> Link | None:
    """Return the page whose name is most like a mistyped address.

    >>> nearest_page("/h/tern-hollow/odrers")
    ('Orders', '/h/tern-hollow/orders')
    """
    head, _, tail = path.rstrip("/").rpartition("/")
    names = (
        ["today", "orders", "counts", "sheets", "work", "journal", "check"]
        if head.startswith("/h/")
        else ["try", "start", "houses", "load"]
    )
    found = difflib.get_close_matches(tail.lower(), names, n=1, cutoff=0.5)
    return (found[0].capitalize(), f"{head}/{found[0]}") if found else None


def unforeseen(request: Request, error: Exception) -> Response:
    """Answer an error that nobody foresaw; what was typed stays in the sender's outbox."""
    log.error("unforeseen at %s", request.url.path, exc_info=error)
    words = (
        "The program failed here. Nothing was written; what you typed is still on your device and "
        "can be sent again."
    )
    if wants_json(request):
        return JSONResponse({"message": words}, status_code=500)
    return page(
        request, "trouble.html", status=500, title="Our fault", words=words, near=[], problems=[]
    )
