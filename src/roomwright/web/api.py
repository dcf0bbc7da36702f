"""The same answers for programs: JSON under ``/api/v1``, described by its OpenAPI document.

Every answer begins with what it is (``schema``, ``version``, ``house``, ``as_of``); docs/json.md
describes the fields. Lengths in answers are inches, lengths in requests any notation of the tape.
Errors are ``{"message": ..., "field": ..., "problems": [...]}``.
"""

from __future__ import annotations

from dataclasses import asdict
from datetime import date
from typing import Annotated, Any

from fastapi import APIRouter, Depends, Path, Query, Request
from pydantic import BaseModel, ConfigDict, Field

from roomwright import commands
from roomwright.answers import (
    Answers,
    check,
    counts,
    elevations_json,
    room_json,
    sheets,
    walk_paths_json,
    what_fits_json,
    wire,
)
from roomwright.answers.dates import dates
from roomwright.answers.elevations import room_walls
from roomwright.answers.orders import orders
from roomwright.answers.rooms import needs, room_fit
from roomwright.answers.schedule_check import schedule_check
from roomwright.answers.survey_json import survey_json
from roomwright.answers.today import today
from roomwright.answers.walk_paths import walk_paths
from roomwright.answers.who import who
from roomwright.fit.search_wanted import WantedError
from roomwright.fit.search_wanted import parse as parse_wish
from roomwright.job.entities import Room
from roomwright.web.desk import WHO, AtDesk, HouseAt, house_at
from roomwright.web.doing import perform
from roomwright.web.trouble import RefusedError
from roomwright.web.what_fits import searches
from roomwright.web.who import near

router = APIRouter()


class Problem(BaseModel):
    """One thing wrong."""

    model_config = ConfigDict(extra="allow")

    message: str = Field(description="what is wrong and what to do")
    field: str = Field(default="", description="the field to mend, if it is one")


class Error(Problem):
    """What went wrong, in words."""

    problems: list[Problem] = Field(default=[], description="each by itself, where there are more")


WRONG: dict[int | str, dict[str, Any]] = {
    404: {"model": Error, "description": "no such house, room or fact"},
    422: {"model": Error, "description": "refused, in words; nothing was written"},
}
WROTE_WRONG: dict[int | str, dict[str, Any]] = {
    **WRONG,
    409: {"model": Error, "description": "it has changed since; both values are shown"},
}

Words = Annotated[str, Field(max_length=200)]
Wish = Annotated[
    str,
    Query(max_length=600, description="what is looked for, such as: bed; place: against B"),
]
Whole = Annotated[int, Field(ge=0, le=2**31 - 1)]


class Supposed(BaseModel):
    """Where a piece would stand; what is left out stays as it is."""

    model_config = ConfigDict(extra="forbid")

    piece: Words = Field(description="the piece's id", examples=["T1"])
    x: Words | None = Field(default=None, description="its center, east of the plan's 0")
    y: Words | None = Field(default=None, description="its center, north of the plan's 0")
    width: Words | None = Field(default=None, examples=["7'"])
    depth: Words | None = Field(default=None, examples=["42"])
    turn: Words | None = Field(default=None, description="degrees counterclockwise")


class Seen(BaseModel):
    """The version of a fact that the writer saw; 0 where there was none."""

    model_config = ConfigDict(extra="forbid")

    kind: Words
    id: Words
    version: Whole


class Asked(BaseModel):
    """A command by its name and values. The same `command_id` sent again does nothing more."""

    model_config = ConfigDict(extra="forbid")

    command: Words = Field(examples=["move"], description="docs/commands.md describes all")
    values: dict[str, Any] = Field(examples=[{"piece": "T1", "dx": "-5"}])
    command_id: str = Field(min_length=1, max_length=80, examples=["7d0e..."])
    expect: list[Seen] = Field(default=[], max_length=100)


class Undo(BaseModel):
    """Which entry to take back."""

    model_config = ConfigDict(extra="forbid")

    command_id: str = Field(min_length=1, max_length=80)
    sequence: Annotated[int, Field(ge=1, le=2**31 - 1)] | None = None


class Written(BaseModel):
    """What was done."""

    sequence: int = Field(description="the house's last journal entry")
    sentence: str = Field(description="what was done, in words")
    repeated: bool = Field(description="whether this command id had been run before")


HouseId = Annotated[
    str, Path(description="the house's id", max_length=80, examples=["tern-hollow"])
]
RoomId = Annotated[str, Path(description="the room's id", max_length=80, examples=["101"])]
At = Annotated[HouseAt, Depends(house_at)]
Answer = dict[str, Any]


class HouseInfo(BaseModel):
    """A house that is kept."""

    id: str
    name: str
    sequence: int = Field(description="how many entries its journal has")


class RoomInfo(BaseModel):
    """A room of a house."""

    id: str
    name: str
    level: str


@router.get("/houses", tags=["houses"])
def houses(desk: AtDesk) -> list[HouseInfo]:
    """Return the houses that are kept, the last changed first."""
    return [HouseInfo(id=j.id, name=j.name, sequence=j.sequence) for j in desk.store.jobs()]


@router.get("/houses/{house}/rooms", tags=["fit"], responses=WRONG)
def rooms(house: HouseId, at: At) -> list[RoomInfo]:
    """Return the rooms of a house."""
    return [RoomInfo(id=r.id, name=r.name, level=r.level) for r in at.answers.facts.all(Room)]


def fit_of(answers: Answers, room: str) -> Answer:
    """Return a room's fit as JSON."""
    found = room_json.as_json(answers.ask(room_fit, room), answers.ask(needs, room).source)
    return wire.envelope("fit", answers, found)


@router.get("/houses/{house}/rooms/{room}/fit", tags=["fit"], responses=WRONG)
def fit(house: HouseId, room: RoomId, at: At) -> Answer:
    """Return what fits in a room: each side of each piece, walk paths, findings."""
    return fit_of(at.answers, room)


@router.post("/houses/{house}/rooms/{room}/suppose", tags=["fit"], responses=WRONG)
def suppose(house: HouseId, room: RoomId, at: At, asked: Supposed) -> Answer:
    """Return what would fit if a piece stood elsewhere. Nothing is written."""
    facts = at.answers.facts
    facts.get(Room, room)
    command = commands.parse("arrange", asked.model_dump(exclude_none=True))
    return fit_of(at.answers.supposing(command.changes(facts)), room)


@router.get("/houses/{house}/rooms/{room}/walls", tags=["fit"], responses=WRONG)
def walls_of_room(house: HouseId, room: RoomId, at: At) -> Answer:
    """Return each wall of a room from inside, and what its heights decide."""
    found = elevations_json.as_json(at.answers.ask(room_walls, room))
    return wire.envelope("walls", at.answers, found)


@router.get("/houses/{house}/walk-paths", tags=["fit"], responses=WRONG)
def all_walk_paths(house: HouseId, at: At) -> Answer:
    """Return the walk paths through the house, each with its tightest place, the worst first."""
    found = walk_paths_json.as_json(at.answers.ask(walk_paths), at.answers.ask(needs, "").source)
    return wire.envelope("paths", at.answers, found)


@router.get("/houses/{house}/dates", tags=["dates"], responses=WRONG)
def all_dates(house: HouseId, at: At) -> Answer:
    """Return early and late dates, days to spare, the critical path, the last day worked."""
    return wire.envelope("dates", at.answers, at.answers.ask(dates).as_json())


@router.get("/houses/{house}/schedule-check", tags=["dates"], responses=WRONG)
def checked_schedule(house: HouseId, at: At) -> Answer:
    """Return what is missing, doubtful or out of order in the network, and its critical paths."""
    answer = at.answers.ask(schedule_check).as_json()
    return wire.envelope("schedule-check", at.answers, answer)


@router.get("/houses/{house}/who", tags=["dates"], responses=WRONG)
def who_is_where(
    house: HouseId,
    at: At,
    on: Annotated[date | None, Query(description="the first day; else the as-of day")] = None,
    days: Annotated[int, Query(ge=1, le=28, description="how many days")] = 1,
    room: Annotated[str, Query(max_length=80, description="only this room")] = "",
) -> Answer:
    """Return who is where, day by day: the work, its trade, rooms, people and phone numbers."""
    if room:
        at.answers.facts.get(Room, room)
    found = at.answers.ask(who, near(at, on or at.as_of), days)
    return wire.envelope("who", at.answers, found.as_json(room))


@router.get("/houses/{house}/orders", tags=["dates"], responses=WRONG)
def all_orders(house: HouseId, at: At) -> Answer:
    """Return each plan line: when it is needed, when to order, its true state, what it costs."""
    return wire.envelope("orders", at.answers, at.answers.ask(orders).as_json())


@router.get("/houses/{house}/today", tags=["dates"], responses=WRONG)
def of_today(house: HouseId, at: At) -> Answer:
    """Return what to do now, most days of move-in saved first, and the cautions that are due."""
    return wire.envelope("today", at.answers, at.answers.ask(today).as_json())


@router.get("/houses/{house}/rooms/{room}/what-fits", tags=["fit"], responses=WRONG)
def what_fits_in(
    house: HouseId, room: RoomId, at: At, request: Request, wanted: Wish = "dining table"
) -> Answer:
    """Return the best size and place for a piece of any kind, what stops it, size against room."""
    try:
        found = searches(request).at_once(at.answers, room, parse_wish(wanted))
    except WantedError as error:
        raise RefusedError(f"{error}.", "wanted") from error
    return wire.envelope("what-fits", at.answers, what_fits_json.as_json(found))


@router.get("/houses/{house}/rooms/{room}/survey", tags=["fit"], responses=WRONG)
def taped(house: HouseId, room: RoomId, at: At) -> Answer:
    """Return a room from its tape readings: corners, residuals, suspects, what to tape next."""
    return wire.envelope("survey", at.answers, at.answers.ask(survey_json, room))


@router.get("/houses/{house}/counts", tags=["counts"], responses=WRONG)
def all_counts(house: HouseId, at: At) -> Answer:
    """Return where plan, orders, receipts and the drawing disagree; kits expanded."""
    return wire.envelope("counts", at.answers, counts.as_json(at.answers.ask(counts.counts)))


@router.get("/houses/{house}/sheets", tags=["sheets"], responses=WRONG)
def all_sheets(house: HouseId, at: At) -> Answer:
    """Return every wall sheet in walking order, and whether what hangs still holds."""
    rows = [asdict(row) for row in at.answers.ask(sheets.sheets)]
    for row in rows:
        row["posted"] = row["posted"] and row["posted"].isoformat()
    return wire.envelope("sheets", at.answers, {"sheets": rows})


@router.get("/houses/{house}/check", tags=["counts"], responses=WRONG)
def checked(house: HouseId, at: At) -> Answer:
    """Return what is wrong or doubtful in the facts of a house."""
    return wire.envelope("check", at.answers, check.as_json(at.answers.ask(check.check)))


@router.post("/houses/{house}/commands", tags=["commands"], responses=WROTE_WRONG)
def command(house: HouseId, desk: AtDesk, asked: Asked) -> Written:
    """Run one command: it checks, then writes one journal entry, or writes nothing."""
    done = perform(
        desk, house, asked.command, asked.values, command_id=asked.command_id,
        expect={(e.kind, e.id): e.version for e in asked.expect},
    )  # fmt: skip
    return Written(sequence=done.sequence, sentence=done.sentence, repeated=done.repeated)


@router.post("/houses/{house}/undo", tags=["commands"], responses=WROTE_WRONG)
def undo(house: HouseId, desk: AtDesk, asked: Undo) -> Written:
    """Take one entry of the journal back by a new one; without a number the last that stands."""
    done = desk.store.undo(house, asked.sequence, who=WHO, command_id=asked.command_id)
    return Written(sequence=done.sequence, sentence=done.sentence, repeated=done.repeated)
