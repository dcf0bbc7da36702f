"""Drawings and wall sheets of Tern Hollow, warm: from an answer to an SVG or a PDF."""

from __future__ import annotations

from datetime import date
from itertools import count
from pathlib import Path

from roomwright.answers import Answers, orders, plans, sheets
from roomwright.answers.dates import calendar
from roomwright.drawing import PlanOptions, house_plan, room_plan, rows_of, strip_of_weeks
from roomwright.exchange.folder import read_folder
from roomwright.job.entities import Room
from roomwright.sheets import paper

ROOT = Path(__file__).resolve().parents[1]
DAY = date(2027, 3, 29)
ANSWERS = Answers(read_folder(ROOT / "examples" / "tern-hollow").facts, as_of=DAY)
ROOMS = ANSWERS.facts.ids(Room)
SHEETS = {room: ANSWERS.ask(sheets.sheet, room, "") for room in ROOMS}
PLANS = {room: ANSWERS.ask(plans.plan, room) for room in ROOMS}
STOREY = ANSWERS.ask(plans.storey, "2")
LINES = ANSWERS.ask(orders.orders).lines
DAYS = ANSWERS.ask(calendar)
TURN = count()
PAGE = PlanOptions(interactive=True)


def one_sheet(room: str) -> None:
    """A PDF from the sheet's answer; another address each time, so that nothing is kept."""
    paper.pdf(SHEETS[room], page_url=f"http://host/{next(TURN)}/room/{room}")


def dining() -> None:
    one_sheet("101")


def kitchen() -> None:
    one_sheet("102")


def all_sheets() -> None:
    for room in ROOMS:
        one_sheet(room)


def typesetting_alone() -> None:
    """The same page with a plan of the room's bare walls: what the typesetter itself takes."""
    paper.pdf(BARE, page_url=f"http://host/{next(TURN)}")


def _bare():
    from dataclasses import replace

    whole = SHEETS["101"]
    walls = replace(whole.plan, pieces=(), dims=(), ways=(), boxes=(), zones=(), letters=())
    return replace(whole, plan=walls, dims=())


BARE = _bare()


def drawing() -> None:
    room_plan(PLANS["101"], PAGE)


def drawing_kitchen() -> None:
    room_plan(PLANS["102"], PAGE)


def storey() -> None:
    house_plan(STOREY, PlanOptions(), link=str)


def strip() -> None:
    strip_of_weeks(rows_of(LINES, DAYS, DAY), DAY)


CASES = [
    ("sheet, dining room", "8 dimensions, 11 lines", 50, dining, "typesetting alone",
     typesetting_alone),
    ("sheet, kitchen", "11 dimensions, 26 lines", 50, kitchen, "typesetting alone",
     typesetting_alone),
    ("sheets, whole house", f"{len(ROOMS)} rooms", 50 * len(ROOMS), all_sheets, None, None),
    ("plan, dining room", "for a page", None, drawing, None, None),
    ("plan, kitchen", "for a page", None, drawing_kitchen, None, None),
    ("storey", "upstairs, 12 rooms", None, storey, None, None),
    ("strip of weeks", f"{len(LINES)} lines", None, strip, None, None),
]  # fmt: skip
