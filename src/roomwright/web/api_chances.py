"""Chances and the decision of one order line for programs, as on the command line."""

from __future__ import annotations

from typing import Annotated

from fastapi import APIRouter, Path, Query

from roomwright.answers import wire
from roomwright.answers.chances import chances
from roomwright.answers.futures import SAMPLES
from roomwright.answers.order_by import CONFIDENCE, decision
from roomwright.web.api import WRONG, Answer, At, HouseId
from roomwright.web.trouble import NotHereError

router = APIRouter()

Sure = Annotated[int, Query(ge=1, le=99, description="how sure, in per cent")]
Futures = Annotated[int, Query(ge=100, le=20_000, description="how many futures")]
Line = Annotated[str, Query(max_length=80, description="only this line of the plan")]
OneLine = Annotated[str, Path(max_length=80, description="a line of the plan, such as L019")]


@router.get("/houses/{house}/chances", tags=["dates"], responses=WRONG)
def of_the_end(
    house: HouseId, at: At, sure: Sure = CONFIDENCE, line: Line = "", samples: Futures = SAMPLES
) -> Answer:
    """Return how sure the end and each milestone are, and what costs the most days."""
    found = at.answers.ask(chances, samples)
    return wire.envelope("chances", at.answers, found.at(sure, line))


@router.get("/houses/{house}/orders/{line}", tags=["dates"], responses=WRONG)
def of_one_line(
    house: HouseId, at: At, line: OneLine, sure: Sure = CONFIDENCE, samples: Futures = SAMPLES
) -> Answer:
    """Return what is to be decided about a line that is not here."""
    found = at.answers.ask(decision, line, sure, samples)
    if found is None:
        raise NotHereError(f"Line {line} is on hand, or nothing waits for it, or it is no line.")
    return wire.envelope("decision", at.answers, found.as_json())
