"""What is doubtful in the facts themselves, though nothing in them is refused."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from typing import Any

from roomwright.answers import check_buying, check_rooms, check_sheets, dates
from roomwright.answers.check_finding import WEIGHTS, Finding, Weight
from roomwright.answers.engine import Ask, query
from roomwright.job.entities import Activity

__all__ = ["WEIGHTS", "Finding", "Weight", "as_json", "check", "passes"]


@query("check")
def check(ask: Ask) -> tuple[Finding, ...]:
    """Return all findings about the facts of the house, the gravest first."""
    found = [
        *_schedule(ask),
        *check_rooms.findings(ask),
        *check_buying.findings(ask),
        *check_sheets.findings(ask),
    ]
    return tuple(sorted(found, key=lambda f: WEIGHTS.index(f.weight)))


def passes(findings: Iterable[Finding]) -> bool:
    """Return whether nothing needs a decision: notes alone pass."""
    return all(f.weight == "note" for f in findings)


def as_json(findings: Iterable[Finding]) -> dict[str, Any]:
    """Return the documented fields of `check`."""
    return {"findings": [f.as_json() for f in findings]}


def _schedule(ask: Ask) -> Iterator[Finding]:
    """The health of the network, as the schedule engine sees it."""
    if not ask.all(Activity):
        do = "Add activities.csv and links.csv, or start from the typical network."
        yield Finding("schedule", "note", "There are no activities, so nothing has a date.", do)
        return
    for one in ask(dates.health):
        yield Finding(one.check, one.weight, one.text, one.do, "", "activity", one.activities)
