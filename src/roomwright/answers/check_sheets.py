"""Checks of the sheets on the walls: notes on them, sheets side by side, rooms measured since."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator

from roomwright.answers.check_finding import Finding
from roomwright.answers.engine import Ask
from roomwright.days import show_date
from roomwright.job.entities import Posting, Reading


def findings(ask: Ask) -> Iterator[Finding]:
    """Yield what is doubtful about the sheets that hang now."""
    hung = [p for p in ask.all(Posting) if p.taken_down is None]
    together: dict[tuple[str, str], list[Posting]] = defaultdict(list)
    measured: dict[str, list[Reading]] = defaultdict(list)
    for reading in ask.all(Reading):
        if reading.on is not None:
            measured[reading.room].append(reading)
    for sheet in hung:
        together[sheet.room, sheet.trade.lower()].append(sheet)
        if sheet.note:
            yield Finding("sheet noted as changed", "wrong", f"{_sheet(ask, sheet)} is noted: "
                          f"“{sheet.note}”. People build what hangs there.",
                          "Take it down, hang a new one, and look at what was built from it.",
                          sheet.room, "posting", (sheet.id,))  # fmt: skip
        last = max((r.on for r in measured[sheet.room] if r.on is not None), default=None)
        if last and sheet.posted and last > sheet.posted and not sheet.content:
            yield Finding("measured since", "look", f"{_sheet(ask, sheet)} is older than the tape: "
                          f"the room was measured on {show_date(last, ask.as_of)}.",
                          "Hold its dimensions against the readings, or hang a new one.",
                          sheet.room, "posting", (sheet.id,))  # fmt: skip
    for (room, trade), sheets in together.items():
        if len(sheets) > 1:
            names = " and ".join(s.revision or "no revision" for s in sheets)
            yield Finding("two sheets at once", "wrong", f"{len(sheets)} sheets for the {trade} "
                          f"hang in {room} at once: {names}.",
                          "Take the older ones down: people follow the first they see.",
                          room, "posting", tuple(s.id for s in sheets))  # fmt: skip


def _sheet(ask: Ask, sheet: Posting) -> str:
    when = f", hung {show_date(sheet.posted, ask.as_of)}" if sheet.posted else ""
    revision = f" (revision {sheet.revision}{when})" if sheet.revision else when
    return f"The {sheet.trade or 'room'}'s sheet in {sheet.room}{revision}"
