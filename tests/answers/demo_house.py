"""The demo house from its folder, read once, and answers over it as of the day it was written."""

from __future__ import annotations

from datetime import date
from functools import cache
from pathlib import Path

from roomwright.answers import Answers
from roomwright.exchange.folder import read_folder
from roomwright.job.facts import Change, Facts

FOLDER = Path(__file__).resolve().parents[2] / "examples" / "tern-hollow"
WRITTEN = date(2027, 3, 29)


@cache
def facts() -> Facts:
    return read_folder(FOLDER).facts


def answers(*after: object, as_of: date = WRITTEN) -> Answers:
    """Answers over the demo with some facts put in or put in the place of others."""
    state = facts()
    changes = [
        Change(f.kind_name, f.id, state.find(type(f), f.id), f)  # type: ignore[attr-defined]
        for f in after
    ]
    return Answers(state.changed(changes), as_of=as_of)
