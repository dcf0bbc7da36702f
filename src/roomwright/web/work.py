"""Work: what is under way, what can begin, what is done; recording start, finish and days left."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from fastapi import APIRouter, Request
from starlette.responses import Response

from roomwright.answers.dates import ActivityDates, dates
from roomwright.job.entities import Link, Progress
from roomwright.web.desk import AtDesk, AtHouse, HouseAt
from roomwright.web.house_page import house_page

router = APIRouter()

SOON = 14
"""Days ahead that stand in the list without asking."""


@dataclass(frozen=True, slots=True)
class Job:
    """An activity with what was recorded of it and what it waits for."""

    row: ActivityDates
    told: Progress | None
    waits: tuple[tuple[str, str, str], ...]

    @property
    def ready(self) -> bool:
        """Whether everything before it is done."""
        return not self.waits


def jobs(at: HouseAt) -> list[Job]:
    """Return the activities in the order of their first day."""
    facts = at.answers.facts
    rows = {r.id: r for r in at.answers.ask(dates).activities}
    found = [
        Job(
            row,
            facts.find(Progress, row.id),
            tuple(
                (k.before, rows[k.before].name, k.kind)
                for k in facts.where(Link, "after", row.id)
                if rows[k.before].dates.state != "done"
            ),
        )
        for row in rows.values()
    ]
    return sorted(found, key=lambda j: (j.row.first_day, j.row.dates.early_start))


def chain(every: list[Job], most: int = 6) -> str:
    """Return the critical work that is not done, as words."""
    names = [j.row.name or j.row.id for j in every if j.row.dates.critical
             and j.row.dates.state != "done"]  # fmt: skip
    more = f"; and {len(names) - most} more" if len(names) > most else ""
    return "; ".join(names[:most]) + more


@router.get("/h/{house}/work")
def page_of_work(request: Request, at: AtHouse, desk: AtDesk, show: str = "") -> Response:
    """Show the work by its state."""
    every = jobs(at)
    soon = date.fromordinal(at.as_of.toordinal() + SOON)
    to_do = [j for j in every if j.row.dates.state == "to do"]
    return house_page(
        request, desk, at, "work.html",
        started=[j for j in every if j.row.dates.state == "started"],
        coming=[j for j in to_do if show == "all" or j.row.first_day <= soon],
        later=sum(j.row.first_day > soon for j in to_do), show=show,
        finished=[j for j in reversed(every) if j.row.dates.state == "done"],
        working_days=at.answers.ask(dates).working_days, chain=chain(every),
    )  # fmt: skip
