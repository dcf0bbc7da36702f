"""What the owner must decide, on letter paper."""

from __future__ import annotations

from dataclasses import asdict

from roomwright.answers import Answers
from roomwright.answers.choices_words import OwnersPage
from roomwright.answers.plans import plan
from roomwright.drawing.options import PlanOptions
from roomwright.drawing.plan import room_plan
from roomwright.sheets.typeset import pdf_of

WIDE, HIGH = 190.0, 190.0
"""The most that a room's plan takes beside its choice [pt]."""


def pdf(answers: Answers, page: OwnersPage, *, printed: str) -> bytes:
    """The page as a PDF; `printed` is the day in words."""
    pictures: dict[str, str] = {}
    widths: dict[str, tuple[str, float]] = {}
    for room in dict.fromkeys(i.room for i in page.open if i.room):
        options = PlanOptions(
            width=WIDE, height=HIGH, paper=True, text=7.5, bar=False, ways=False,
            dims=frozenset(), base=f"r{len(pictures)}",
        )  # fmt: skip
        drawing = room_plan(answers.ask(plan, room), options)
        name = f"plan{len(pictures)}"
        pictures[name], widths[room] = drawing.svg, (name, drawing.width)
    content = asdict(page) | {
        "printed": printed,
        "plans": {room: {"name": n, "width": w} for room, (n, w) in widths.items()},
    }
    return pdf_of("choices.typ", content, pictures)
