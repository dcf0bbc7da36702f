"""A change order on letter paper, with a line for each signature."""

from __future__ import annotations

from roomwright.answers.change_orders import ChangeOrderAnswer
from roomwright.days import show_date, show_days
from roomwright.sheets.typeset import pdf_of


def pdf(change: ChangeOrderAnswer, *, house: str, printed: str) -> bytes:
    """The change order as a PDF; `printed` is the day in words."""
    asked = change.asked_by
    if change.asked_on:
        asked = f"{asked}, {show_date(change.asked_on)}".strip(", ")
    signed = ""
    if change.agreed_on:
        signed = f"Signed by {change.agreed_by} on {show_date(change.agreed_on)}, \
{change.agreed_on.year}."
    rows = [("Why", change.reason), ("Asked for by", asked), ("Note", change.note)]
    content = {
        "id": change.id,
        "title": change.title,
        "house": house,
        "printed": printed,
        "what": change.what,
        "rows": [row for row in rows if row[1]],
        "price": change.price_words,
        "days": change.days_words,
        "moves": change.moves_words,
        "work": [
            [w.name, w.trade, f"{show_date(w.first_day)} to {show_date(w.last_day)}",
             "done" if w.state == "done" else show_days(w.spare) + " to spare"]
            for w in change.work
        ],
        "lines": [
            [f"{r.qty} {r.name}" if r.qty != 1 else r.name, r.room, r.state, r.anew]
            for r in change.lines
        ],
        "cautions": list(change.cautions),
        "ending": change.ending,
        "signed": signed,
        "as_planned": f"Days are those of the plan as it stood on {printed}.",
    }  # fmt: skip
    return pdf_of("change-order.typ", content)
