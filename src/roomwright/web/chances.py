"""Chances: how sure the end is, and which orders and works cost the most days."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from typing import Annotated, Final

from fastapi import APIRouter, Query, Request
from starlette.responses import JSONResponse, RedirectResponse, Response

from roomwright.answers.chances import other_strengths
from roomwright.answers.chances_model import ChancesAnswer, LineChance, Sure, WorkChance
from roomwright.answers.dates import dates
from roomwright.answers.futures import SAMPLES
from roomwright.answers.order_by import CONFIDENCE
from roomwright.chances.result import quantile
from roomwright.drawing.sureness import DOTS, dots_of_an_end
from roomwright.web.desk import AtDesk, AtHouse, HouseAt
from roomwright.web.house_page import house_page
from roomwright.web.simulations import quick, simulations

router = APIRouter()

FIRST: Final = 15
"""So many lines and works are listed; the rest costs next to nothing."""
PAGE, WIDE, ASIDE, NARROW = 1180.0, 720.0, 376.0, 330.0
"""Widths of the picture: across a page, in a column of one, beside a plan, on a phone."""
PATIENT: Final = 0.25
"""Who asks how far a simulation is waits so long for its end [s]."""

Confidence = Annotated[int, Query(ge=1, le=99, description="how sure, in per cent")]


@dataclass(frozen=True, slots=True)
class Shown:
    """What the page shows of the chances at a confidence."""

    found: ChancesAnswer
    sure: int
    promise: date | None
    strips: dict[str, str]
    lines: tuple[LineChance, ...]
    work: tuple[WorkChance, ...]


def end_strips(found: ChancesAnswer, sure: int, wide: float = WIDE) -> dict[str, str]:
    """Return the picture of the end, for a large screen and for a phone; empty without an end."""
    promise = found.sure_by(sure / 100)
    if found.plan is None or promise is None:
        return {}
    ends = [
        found.calendar.last_worked(quantile(found.finishes, (n + 0.5) / DOTS)[0])
        for n in range(DOTS)
    ]
    return {
        name: dots_of_an_end(
            ends, found.plan, promise, sure, found.as_of, width=width, base=f"{name}-end"
        ).svg
        for name, width in (("wide", wide), ("narrow", NARROW))
    }


@dataclass(frozen=True, slots=True)
class EndShown:
    """The end of the house for the top of a page: how sure by when, and its picture."""

    end: Sure | None
    strips: dict[str, str]
    waiting: bool


def end_of(request: Request, at: HouseAt, wide: float = WIDE) -> EndShown | None:
    """Return how sure the end is, if it is known or quickly found; None without an end.

    It never makes a page wait: where the simulation takes longer it is begun, and the page says
    so.
    """
    if at.answers.ask(dates).finish is None:
        return None
    held = simulations(request).of(at)
    if held.wrong or held.stop:
        return None
    if held.found is None:
        return EndShown(None, {}, waiting=True)
    return EndShown(held.found.end, end_strips(held.found, CONFIDENCE, wide), waiting=False)


@router.get("/h/{house}/chances")
def page_of_chances(
    request: Request, at: AtHouse, desk: AtDesk, sure: Confidence = CONFIDENCE,
    again: bool = False,
) -> Response:  # fmt: skip
    """How sure the end is, and what costs the most days of it."""
    held = simulations(request).of(at, again=again)
    if held.found is None:
        return house_page(
            request, desk, at, "chances.html", here="Today", shown=None, held=held, others=(),
            sure=sure, samples=SAMPLES,
        )  # fmt: skip
    others = at.answers.ask(other_strengths, SAMPLES) if quick(at.answers.facts) else ()
    return house_page(
        request, desk, at, "chances.html", here="Today", shown=_shown(held.found, sure),
        held=held, others=others, sure=sure,
    )  # fmt: skip


@router.get("/h/{house}/chances/progress")
def progress(request: Request, at: AtHouse) -> Response:
    """Tell how far the simulation of a house is; the page that waits asks, by script."""
    held = simulations(request).of(at)
    held.done.wait(PATIENT)
    return JSONResponse({"share": round(held.share, 3), "done": held.done.is_set()})


@router.post("/h/{house}/chances/stop")
def stop(request: Request, at: AtHouse) -> Response:
    """Stop the simulation of a house."""
    simulations(request).stop(at)
    return RedirectResponse(f"{at.at}/chances", status_code=303)


def _shown(found: ChancesAnswer, sure: int) -> Shown:
    promise = found.sure_by(sure / 100)
    return Shown(
        found=found,
        sure=sure,
        promise=promise,
        strips=end_strips(found, sure, PAGE),
        lines=found.trucks[:FIRST],
        work=tuple(w for w in found.work if w.caused and w.caused.days >= 0.05)[:FIRST],
    )
