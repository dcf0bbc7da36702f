"""Every query behind the pages of Tern Hollow, from cold facts and after one moved piece."""

from __future__ import annotations

import subprocess
import sys
from collections.abc import Callable
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
from roomwright.answers.in_hand import in_hand
from roomwright.commands import Move
from roomwright.exchange.folder import read_folder
from roomwright.job.entities import Room

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
SHIFT = [0]


def shifted() -> Answers:
    """The answers with the table an inch farther than last time."""
    SHIFT[0] = SHIFT[0] % 9 + 1
    return KEPT.supposing(Move(piece="T1", dx=Fraction(-SHIFT[0])).changes(FACTS))


def moved() -> None:
    """Move the table, and ask everything again."""
    ask_all(shifted())


def moved_room() -> None:
    """The same, but only what the room's page shows while the table is dragged."""
    shifted().ask(rooms.room_fit, "101")


STEP = [0]


def carried(way: tuple[int, int]) -> Callable[[], object]:
    """Carry the island of the densest room along, each call one quarter inch farther."""

    def step() -> None:
        STEP[0] = STEP[0] % 40 + 1
        dx, dy = (k * Fraction(STEP[0], 4) for k in way)
        there = KEPT.supposing(Move(piece="K1", dx=dx, dy=dy).changes(FACTS))
        there.ask(in_hand, "102", "K1")

    return step


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
    ("a drag step in the engine", "room 102, island K1 near its place", 10.0, carried((1, 0)),
     "", None),
    ("a drag step in the engine", "room 102, island K1 out into the room", 10.0, carried((0, -3)),
     "", None),
    ("what fits", "room 101 of Tern Hollow", None, table_for_dining, "", None),
    ("roomwright --help", "a new process", 200.0, help_page, "python doing nothing", python_alone),
]  # fmt: skip
