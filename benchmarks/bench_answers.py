"""Every query behind the pages of Tern Hollow, from cold facts and after one moved piece."""

from __future__ import annotations

import subprocess
import sys
from datetime import date
from fractions import Fraction
from pathlib import Path

from roomwright.answers import (
    Answers,
    check,
    counts,
    dates,
    orders,
    plans,
    rooms,
    sheets,
    today,
    what_fits,
)
from roomwright.exchange.folder import read_folder
from roomwright.job.entities import Piece, Room
from roomwright.job.facts import Change

ROOT = Path(__file__).resolve().parents[1]
FACTS = read_folder(ROOT / "examples" / "tern-hollow").facts
DAY = date(2027, 3, 29)
ROOMS = FACTS.ids(Room)
LEVELS = tuple(dict.fromkeys(r.level for r in FACTS.all(Room)))


def ask_all(answers: Answers) -> None:
    """Ask what the House, room, Today, Orders, Counts and Sheets pages ask."""
    for level in LEVELS:
        answers.ask(plans.storey, level)
    for room in ROOMS:
        answers.ask(rooms.room_fit, room)
        answers.ask(plans.plan, room)
    for query in (dates.dates, orders.orders, today.today, counts.counts, check.check):
        answers.ask(query)
    answers.ask(sheets.sheets)


def cold() -> None:
    ask_all(Answers(FACTS, as_of=DAY))


KEPT = Answers(FACTS, as_of=DAY)
ask_all(KEPT)
TABLE = FACTS.get(Piece, "T1")
SHIFT = [0]


def moved() -> None:
    """Move the table by another inch than last time, and ask everything again."""
    SHIFT[0] = SHIFT[0] % 9 + 1
    after = TABLE.model_copy(update={"x": TABLE.x - Fraction(SHIFT[0])})
    ask_all(KEPT.supposing([Change("piece", "T1", TABLE, after)]))


def moved_room() -> None:
    """The same, but only what the room's page shows while the table is dragged."""
    SHIFT[0] = SHIFT[0] % 9 + 1
    after = TABLE.model_copy(update={"x": TABLE.x - Fraction(SHIFT[0])})
    KEPT.supposing([Change("piece", "T1", TABLE, after)]).ask(rooms.room_fit, "101")


def table_for_dining() -> None:
    Answers(FACTS, as_of=DAY).ask(what_fits.what_fits, "101", what_fits.TABLE)


def folder() -> None:
    read_folder(ROOT / "examples" / "tern-hollow")


def help_page() -> None:
    subprocess.run(
        [sys.executable, "-m", "roomwright.cli", "--help"], capture_output=True, check=True
    )


def python_alone() -> None:
    subprocess.run([sys.executable, "-c", "pass"], capture_output=True, check=True)


CASES = [
    ("every query behind the pages", "Tern Hollow, cold facts", 300.0, cold,
     "reading the folder", folder),
    ("every query behind the pages", "one moved piece", 50.0, moved, "all from cold facts", cold),
    ("fit of a room while dragging", "room 101, moved table", 25.0, moved_room,
     "all from cold facts", cold),
    ("what fits", "room 101 of Tern Hollow", None, table_for_dining, "", None),
    ("roomwright --help", "a new process", 200.0, help_page, "python doing nothing", python_alone),
]  # fmt: skip
