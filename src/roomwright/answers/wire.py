"""What every JSON answer begins with: which answer in which version, of which house and day.

A field that is added leaves the version; one that changes its meaning or goes raises it.
`docs/json.md` describes every field.
"""

from __future__ import annotations

from typing import Any

from roomwright.answers.engine import Answers
from roomwright.job.entities import House

VERSIONS = {
    "fit": 1,
    "what-fits": 1,
    "dates": 1,
    "orders": 1,
    "counts": 1,
    "today": 1,
    "check": 1,
    "sheets": 1,
}


def envelope(subject: str, answers: Answers, body: dict[str, Any]) -> dict[str, Any]:
    """Return an answer as JSON: its own fields behind what it is, of which house and day."""
    house = answers.facts.find(House, "house")
    return {
        "schema": f"roomwright/{subject}",
        "version": VERSIONS[subject],
        "house": house.name if house else "",
        "as_of": answers.as_of.isoformat(),
        **{k: v for k, v in body.items() if k not in ("as_of", "version")},
    }
