"""What every JSON answer begins with: which answer in which version, of which house and day.

A field that is added leaves the version; one that changes its meaning or goes raises it.
`docs/json.md` describes every field.
"""

from __future__ import annotations

from typing import Any

from roomwright.answers.engine import Answers
from roomwright.fit.verdicts import EVEN
from roomwright.job.entities import House

VERSIONS = {
    "fit": 1,
    "paths": 1,
    "what-fits": 1,
    "survey": 1,
    "mark-out": 1,
    "walls": 1,
    "dates": 1,
    "crews": 1,
    "who": 1,
    "schedule-check": 1,
    "orders": 1,
    "chances": 1,
    "order-plan": 1,
    "decision": 1,
    "counts": 1,
    "history": 1,
    "today": 1,
    "check": 1,
    "sheets": 1,
    "choices": 1,
    "calls": 1,
    "change-orders": 1,
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


def inches(value: float | None) -> float | None:
    """Return inches without float dust, to 1/1000; a whole number stays one.

    >>> inches(44.99999999), inches(None)
    (45.0, None)
    """
    return None if value is None else round(value, 3) + 0.0


def margin(value: float | None) -> float | None:
    """Return a margin as `inches`, but what is short by a hair stays short.

    >>> margin(-0.0002), margin(0.0002), margin(-1e-9)
    (-0.001, 0.0, 0.0)
    """
    rounded = inches(value)
    return -0.001 if value is not None and rounded == 0 and value < -EVEN else rounded
