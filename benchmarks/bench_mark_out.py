"""Mark-out of Tern Hollow's rooms: choice of fixed points, whole answer, sheet and story pole."""

from __future__ import annotations

import math
import random
from datetime import date
from itertools import combinations
from pathlib import Path

import shapely

from roomwright.answers import Answers
from roomwright.answers.mark_out import mark_out
from roomwright.answers.mark_out_model import Asked
from roomwright.exchange.folder import read_folder
from roomwright.job.entities import Room
from roomwright.markout.error import ellipse, of_ties
from roomwright.markout.model import USUAL, Floor, Hook, MarkoutError, Obstacle, Tape, Target
from roomwright.markout.reach import Reach
from roomwright.markout.ties import weigh
from roomwright.shape import rectangle
from roomwright.sheets.mark_out import pdf, pole_pdf

ROOT = Path(__file__).resolve().parents[1]
DAY = date(2027, 3, 29)
ANSWERS = Answers(read_folder(ROOT / "examples" / "tern-hollow").facts, as_of=DAY)
ROOMS = ANSWERS.facts.ids(Room)
EVERYTHING = Asked(extras=("chairs", "clearances", "lights"))
TAPE = Tape()


def _dense(seed: int = 1) -> tuple[Floor, list[Target]]:
    """A hall of 30 by 20 ft with 12 boxes, 40 fixed points, and 24 points to mark."""
    rng = random.Random(seed)
    outline = ((0.0, 0.0), (360.0, 0.0), (360.0, 240.0), (0.0, 240.0))
    boxes = tuple(
        Obstacle(f"B{i}", "box", rectangle(rng.uniform(30, 330), rng.uniform(30, 210), 16, 16, 30))
        for i in range(12)
    )
    hooks = [Hook(f"H{i}", f"jamb {i}", (9.0 * i, 0.0 if i % 2 else 240.0)) for i in range(40)]
    spots = [Target(str(i), "point", (rng.uniform(5, 355), rng.uniform(5, 235))) for i in range(24)]
    return Floor(outline, hooks=tuple(hooks), obstacles=boxes), spots


DENSE, SPOTS = _dense()
REACH = Reach(DENSE)


def _weighed() -> None:
    weigh(SPOTS, REACH, TAPE)


def _one_by_one() -> None:
    """The same choice as one would write it first: every pair by itself."""
    free = shapely.difference(
        shapely.Polygon(DENSE.outline),
        shapely.union_all([shapely.Polygon(o.outline) for o in DENSE.obstacles]),
    )
    for spot in SPOTS:
        seen = []
        for hook in DENSE.hooks:
            line = shapely.LineString([hook.at, spot.at])
            if USUAL.tie_least <= line.length <= TAPE.longest and shapely.covers(free, line):
                seen.append(hook)
        best = math.inf
        for a, b in combinations(seen, 2):
            try:
                best = min(best, ellipse(of_ties(spot.at, a.at, b.at, TAPE)).major)
            except MarkoutError:
                continue


def _answer(room: str, asked: Asked) -> None:
    """Only the mark-out anew: what fits in the room is kept."""
    mark_out.function(_KEPT, room, asked)  # type: ignore[arg-type]


class _Kept:
    """Stands for the `Ask` of a query whose readings are all kept."""

    find, fact, where = ANSWERS.facts.find, ANSWERS.facts.get, ANSWERS.facts.where
    as_of = DAY

    def __call__(self, query, *key):
        return ANSWERS.ask(query, *key)


_KEPT = _Kept()
FOUND = ANSWERS.ask(mark_out, "101", Asked())


def _dining() -> None:
    _answer("101", Asked())


def _dining_all() -> None:
    _answer("101", EVERYTHING)


def _every_room() -> None:
    for room in ROOMS:
        _answer(room, EVERYTHING)


def _sheet() -> None:
    pdf(FOUND, printed="Mon Mar 29, 2027")


def _pole() -> None:
    pole_pdf(FOUND, FOUND.poles[0])


CASES = (
    ("Fixed points weighed", "24 points, 40 fixed points, 12 obstacles, seed 1", None, _weighed,
     "pair by pair, shapely", _one_by_one),
    ("Mark-out of room 101", "4 points by ties", None, _dining, "", None),
    ("Mark-out of room 101 with chairs, clearances, light", "21 points", None, _dining_all,
     "", None),
    ("Mark-out of all rooms, everything", "Tern Hollow, 21 rooms", None, _every_room, "", None),
    ("Mark-out sheet", "room 101, PDF", None, _sheet, "", None),
    ("Story pole", "10 ft 4 in., 5 pages, PDF", None, _pole, "", None),
)  # fmt: skip
