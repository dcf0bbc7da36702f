"""A network to begin with for a kitchen, a bath or the whole house: looked at, then added."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from typing import Annotated, Any

from fastapi import APIRouter, Query, Request
from starlette.responses import Response

from roomwright import commands
from roomwright.answers.dates import dates
from roomwright.commands.starter_work import kind_of
from roomwright.job.entities import Activity, Link, Part, Room
from roomwright.job.facts import Change
from roomwright.starter.networks import WHATS, says
from roomwright.web.desk import AtDesk, AtHouse, HouseAt
from roomwright.web.house_page import house_page

router = APIRouter()

Word = Annotated[str, Query(max_length=80)]
BATHS = ("bath", "primary-bath", "powder")


@dataclass(frozen=True, slots=True)
class Preview:
    """What a network to begin with would add, and where the last day of work would then fall."""

    sentence: str
    works: tuple[tuple[Activity, date, date], ...]
    lines: int
    links: int
    finish: date | None
    problems: tuple[tuple[str, str], ...] = ()


def previewed(at: HouseAt, values: dict[str, Any]) -> Preview:
    """Return what the command would do, without doing it."""
    try:
        work = commands.parse("add starter work", values).work(at.answers.facts, lambda _: [])
    except commands.BadCommandError as no:
        return Preview("", (), 0, 0, None, no.problems)
    changes: tuple[Change, ...] = tuple(work.changes)
    then = at.answers.supposing(changes).ask(dates)
    rows = {r.id: r for r in then.activities}
    works = [
        (c.after, rows[c.id].first_day, rows[c.id].last_day)
        for c in changes if isinstance(c.after, Activity)
    ]  # fmt: skip
    works.sort(key=lambda w: w[1])
    return Preview(
        work.sentence, tuple(works), sum(isinstance(c.after, Part) for c in changes),
        sum(isinstance(c.after, Link) for c in changes), then.finish,
    )  # fmt: skip


@router.get("/h/{house}/starter-work")
def choose_starter(
    request: Request, at: AtHouse, desk: AtDesk, what: Word = "",
    rooms: Annotated[list[str] | None, Query()] = None, fuel: Word = "electric",
    shower: Word = "", after: Word = "", before: Word = "", parts: Word = "yes",
) -> Response:  # fmt: skip
    """Choose what to begin with, and see what it would add."""
    values = {"what": what, "rooms": " ".join((rooms or [])[:60]), "fuel": fuel, "shower": shower,
              "after": after, "before": before, "parts": parts}  # fmt: skip
    said = {k: v for k, v in values.items() if v}
    facts = at.answers.facts
    seen = previewed(at, said) if what else None
    every = at.answers.ask(dates).activities
    return house_page(
        request, desk, at, "starter_work.html", said=said, seen=seen, whats=WHATS, says=says,
        chosen=set(rooms or ()), every=every,
        rooms=[(r, kind_of(r)) for r in facts.all(Room)], baths=BATHS,
    )  # fmt: skip
