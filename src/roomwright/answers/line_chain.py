"""One line's way as a person follows it: each step with what happened to it or when it is due."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from typing import Any

from roomwright import schedule
from roomwright.answers import dates
from roomwright.answers.dates import plain
from roomwright.answers.engine import Ask, query
from roomwright.answers.happened import Story, story
from roomwright.answers.lead_chains import Measured, measured
from roomwright.answers.whole_network import whole

_SAYS = {
    "decide": "decide", "measure": "measure", "order": "order", "submit": "drawings in",
    "approve": "approve", "make": "make", "ship": "ship", "arrive": "on site",
    "receive": "receive and inspect", "hold": "hold",
}  # fmt: skip


@dataclass(frozen=True, slots=True)
class ChainStep:
    """A step of a line's way.

    `first` and `last` are the days on which it was done or is due; `last_safe` is the last day on
    which it may begin and `spare` the days until then, None once it is done.
    """

    id: str
    step: str
    name: str
    state: str
    days: float
    first: date
    last: date
    last_safe: date | None
    spare: float | None

    def as_json(self) -> dict[str, Any]:
        """Return the documented fields."""
        return {
            "id": self.id,
            "step": self.step,
            "name": self.name,
            "state": self.state,
            "days": plain(self.days),
            "first_day": self.first.isoformat(),
            "last_day": self.last.isoformat(),
            "last_safe_day": None if self.last_safe is None else self.last_safe.isoformat(),
            "spare": None if self.spare is None else plain(self.spare),
        }


@dataclass(frozen=True, slots=True)
class LineWay:
    """A line's steps, what happened, and its field measure; no steps where nothing waits for it."""

    line: str
    steps: tuple[ChainStep, ...]
    story: Story
    measured: Measured | None

    def as_json(self) -> dict[str, Any]:
        """Return the documented fields."""
        told = self.measured
        return {
            "chain": [s.as_json() for s in self.steps],
            "happened": [h.as_json() for h in self.story.happened],
            "notes": list(self.story.notes),
            "measure": None if told is None else {
                "after": list(told.condition.after),
                "expires_by": list(told.condition.spoiled_by),
                "words": told.condition.words,
                "taken": None if told.taken is None else told.taken.isoformat(),
                "by": told.by,
                "state": told.standing.stand,
                "text": told.standing.text,
            },
        }  # fmt: skip


_THEIRS = frozenset({"submit", "approve", "make", "ship", "receive"})
"""Steps that a promise takes the place of: they have no days then, and are not shown."""


@query("dates of the whole network")
def whole_passes(ask: Ask) -> schedule.Schedule:
    """Return both passes over site work and lead chains together.

    What is late is late against the end of the site work as it is planned.
    """
    found, site = ask(whole), ask(dates.passes)
    return schedule.passes(
        found.network, ask(dates.calendar), ask.as_of, found.progress,
        not_before=found.not_before, promises=found.promised,
        promised=site.finish if site.working_days > 0 else None,
    )  # fmt: skip


@query("way of a line")
def line_way(ask: Ask, line: str) -> LineWay:
    """Return a line's steps with their dates, what happened to it, and its measure."""
    found = ask(whole)
    way = found.ways.get(line)
    steps: tuple[ChainStep, ...] = ()
    if way is not None:
        run = ask(whole_passes)
        steps = tuple(
            step
            for i in way.steps
            if i in run.dates and (step := _step(run, found.network[i])) and not _gone(step)
        )
    return LineWay(line, steps, ask(story, line), ask(measured, line))


def _gone(step: ChainStep) -> bool:
    return step.step in _THEIRS and not step.days and step.state != "done"


def _step(run: schedule.Schedule, one: schedule.Activity) -> ChainStep:
    id, told = one.id, run[one.id]
    done = told.state == "done"
    step = id.rpartition(":")[2]
    word = step.partition(" ")[0]
    said = one.name.rpartition(": ")[2] if ": " in one.name else step
    name = _SAYS.get(word, word) if said in (step, word) else said
    last_safe = None if done else run.last_safe_start(id)
    return ChainStep(
        id, word, name, told.state, float(one.days), run.start_date(id), run.last_day(id),
        last_safe, None if done else told.total_float,
    )  # fmt: skip
