"""What a request works with: the store, the answers over it, and the house it is about."""

from __future__ import annotations

import uuid
from collections.abc import Callable
from dataclasses import dataclass
from datetime import date
from typing import Annotated

from fastapi import Depends, Query, Request

from roomwright.answers import Answers
from roomwright.answers.choices import undecided
from roomwright.answers.dates import dates
from roomwright.answers.live import Live
from roomwright.job.entities import Choice, House, Part
from roomwright.job.store import Store
from roomwright.web.trouble import NotHereError, RefusedError

WHO = "builder"
"""Who writes from the pages; names for people come with signing in."""

YEARS = 10
"""A day farther than this from the start of the site is a slip of the hand [years]."""

_FORMS = uuid.UUID("5f0f3f2c-2f64-5c0e-9c25-6f1f6c2f2f10")


@dataclass(frozen=True, slots=True)
class Desk:
    """The store and the answers over it, shared by all requests."""

    store: Store
    live: Live
    today: Callable[[], date]


@dataclass(frozen=True, slots=True)
class HouseAt:
    """A house on a day: its id, its name, and its answers."""

    id: str
    name: str
    answers: Answers

    @property
    def at(self) -> str:
        """The address of its front page."""
        return f"/h/{self.id}"

    @property
    def as_of(self) -> date:
        """The day for which the answers hold."""
        return self.answers.as_of

    def version(self, kind: str, id: str) -> int:
        """Return the version of a fact that a page shows; 0 where there is none."""
        return self.answers.facts.version(kind, id)

    def undecided(self, line: str) -> list[Choice]:
        """Return the choices that hold a line of the plan: nobody has decided them."""
        part = self.answers.facts.find(Part, line)
        return [] if part is None else undecided(self.answers.facts, part)

    @property
    def done(self) -> date | None:
        """The last day worked by the plan; None for a house without activities."""
        return self.answers.ask(dates).finish


async def desk_of(request: Request) -> Desk:  # nothing in it waits: no thread for it
    """Return what this server works with."""
    return request.app.state.desk  # type: ignore[no-any-return]


AtDesk = Annotated[Desk, Depends(desk_of)]


def house_at(
    desk: AtDesk,
    house: str,
    as_of: Annotated[date | None, Query(description="the day for which the answer holds")] = None,
) -> HouseAt:
    """Return the house of an address, on the day asked for."""
    if as_of is not None:
        _near(desk.store.facts(house).find(House, "house"), as_of)
    answers = desk.live.answers(house, as_of)
    found = answers.facts.find(House, "house")
    if found is None:
        raise NotHereError(
            f"“{house}” is kept here but empty: nothing was ever loaded into it.",
            [("Load a folder into it", f"/load?house={house}")],
        )
    return HouseAt(house, found.name, answers)


def _near(house: House | None, as_of: date) -> None:
    if house is not None and abs(as_of.year - house.site_start.year) > YEARS:
        raise RefusedError(
            f"{as_of.isoformat()} is years away from this house, which starts "
            f"{house.site_start.isoformat()}: check the year.",
            "as_of",
        )


AtHouse = Annotated[HouseAt, Depends(house_at)]


def form_id(nonce: str, *content: object) -> str:
    """Return the command id of a form: the same for the same content sent twice.

    The nonce is drawn when the form is shown, so a second press of the button does no harm, and
    a form that was gone back to and changed is a new command.

    >>> form_id("a", "x") == form_id("a", "x"), form_id("a", "x") == form_id("a", "y")
    (True, False)
    """
    return str(uuid.uuid5(_FORMS, repr((nonce, content))))


def nonce() -> str:
    """Return a new nonce for a form."""
    return uuid.uuid4().hex
