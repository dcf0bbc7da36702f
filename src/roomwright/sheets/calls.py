"""The calls to make, on letter paper: by day, with a box to tick and a line for the answer."""

from __future__ import annotations

from roomwright.answers.call_lists import CallList, to_say
from roomwright.days import show_date
from roomwright.sheets.typeset import pdf_of


def pdf(found: CallList, *, house: str, printed: str) -> bytes:
    """The list as a PDF; `printed` is the day in words."""
    content = {
        "house": house,
        "printed": printed,
        "rule": f"{found.early} days before a visit, and again {found.late} working days before: "
        "common practice.",
        "days": [
            {
                "on": "Should have been called" if day.on is None else
                f"{day.on:%a} {show_date(day.on, found.as_of)}",
                "calls": [
                    {"trade": c.trade, "name": c.name, "phone": c.phone or "no number kept",
                     "which": c.which, "why": c.why, "says": to_say(c, found.as_of)}
                    for c in day.calls
                ],
            }
            for day in found.days
        ],
    }  # fmt: skip
    return pdf_of("calls.typ", content)
