"""Today: what to do now, most days of move-in saved first, and the cautions that are due."""

from __future__ import annotations

from dataclasses import dataclass

from fastapi import APIRouter, Request
from starlette.responses import Response

from roomwright.answers.call_lists import call_list
from roomwright.answers.choices import choices
from roomwright.answers.today import today
from roomwright.job.entities import Room
from roomwright.supply.today import Task, days_in_words
from roomwright.web.chances import end_of
from roomwright.web.desk import AtDesk, AtHouse, HouseAt
from roomwright.web.house_page import house_page
from roomwright.web.pages import counted

router = APIRouter()


@dataclass(frozen=True, slots=True)
class ShownTask:
    """A task as the page shows it: its days in words, where it is done, and its rooms by name."""

    task: Task
    saves: str
    at: str
    rooms: tuple[tuple[str, str], ...]


def shown_tasks(at: HouseAt) -> list[ShownTask]:
    """Return the tasks of today in the order in which they save days."""
    found = at.answers.ask(today)
    rooms = {r.id: r.name or r.id for r in at.answers.facts.all(Room)}
    return [
        ShownTask(
            task=task,
            saves=days_in_words(task, at.as_of),
            at=_where(at, task),
            rooms=tuple((r, rooms.get(r, r)) for r in task.rooms if r in rooms),
        )
        for task in found.tasks
    ]


def _where(at: HouseAt, task: Task) -> str:
    """Return the place on the pages where a task is done."""
    if task.activity:
        return f"{at.at}/work#{task.activity}"
    if len(task.lines) == 1:
        return f"{at.at}/orders/{task.lines[0]}"
    return f"{at.at}/orders?lines={','.join(task.lines)}"


def due_of_people(at: HouseAt) -> list[tuple[str, str]]:
    """Return what people must be asked for today, in words, and where it is done."""
    calls = [c for c in at.answers.ask(call_list).calls if c.due <= at.as_of]
    late = [c for c in at.answers.ask(choices) if c.state == "overdue"]
    found = []
    if calls:
        gone = sum(c.overdue for c in calls)
        over = f", {gone} of them overdue" if gone else ""
        found.append((f"{counted(len(calls), 'call')} to make{over}", f"{at.at}/calls"))
    if late:
        what = "; ".join(c.what for c in late[:3]) + (" ..." if len(late) > 3 else "")
        said = f"Not decided by the last safe day: {what}"
        found.append((said, f"{at.at}/choices?who="))
    return found


@router.get("/h/{house}/today")
def page_of_today(request: Request, at: AtHouse, desk: AtDesk) -> Response:
    """What to do today."""
    return house_page(
        request, desk, at, "today.html", here="Today",
        people=due_of_people(at), tasks=shown_tasks(at), end=end_of(request, at),
        cautions=at.answers.ask(today).cautions, note=at.answers.ask(today).note,
    )  # fmt: skip
