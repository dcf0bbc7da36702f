"""Rooms judged: a room, a house, one table moved, one side; against clipping polygons in a loop."""

from __future__ import annotations

import math
from datetime import date
from fractions import Fraction
from pathlib import Path

import shapely

from roomwright.answers import Answers
from roomwright.answers.rooms import needs, room_fit, space_of
from roomwright.exchange.folder import read_folder
from roomwright.fit import evaluate
from roomwright.fit.ground import Ground
from roomwright.fit.model import Piece as Placed
from roomwright.fit.walks import trails, walks
from roomwright.job.entities import Piece, Room
from roomwright.job.facts import Change
from roomwright.shape import Segment, walls

FACTS = read_folder(Path(__file__).resolve().parents[1] / "examples" / "tern-hollow").facts
AS_OF = date(2027, 3, 29)
KEPT = Answers(FACTS, as_of=AS_OF)
NEEDS = KEPT.ask(needs, "")
DINING = KEPT.ask(space_of, ("101",))
GROUND = Ground(DINING)
TABLE = next(piece for piece in DINING.pieces if piece.id == "T1")
SIDES = walls(TABLE.box)
for _room in FACTS.all(Room):
    KEPT.ask(room_fit, _room.id)


def _room_cold() -> object:
    return evaluate.room_fit(DINING, NEEDS, "101")


def _house_cold() -> None:
    answers = Answers(FACTS, as_of=AS_OF)
    for room in FACTS.all(Room):
        answers.ask(room_fit, room.id)


def _moved() -> None:
    before = FACTS.get(Piece, "T1")
    after = before.model_copy(update={"x": Fraction(76)})
    answers = KEPT.supposing([Change("piece", "T1", before, after)])
    for room in FACTS.all(Room):
        answers.ask(room_fit, room.id)


def _candidate() -> object:
    moved = Placed("T1", TABLE.kind, TABLE.name, 84, 42, 30, 76.0, 84.0, room="101")
    ground = GROUND.with_piece(moved)
    ways, _ = walks(ground, NEEDS)
    return evaluate.piece_fit(ground, moved, NEEDS, trails(ways))


def _sides() -> None:
    own = GROUND.owners(ids=("T1",))
    for side in SIDES:
        GROUND.ahead(side, own)


def _clipped(side: Segment) -> float:
    """The clear distance by clipping the strip before a side, as one would write it first."""
    (ax, ay), (bx, by) = side
    width = math.dist(*side)
    ox, oy = (by - ay) / width * 1000, (ax - bx) / width * 1000
    strip = shapely.Polygon([(ax, ay), (bx, by), (bx + ox, by + oy), (ax + ox, ay + oy)])
    things = [shape for b, shape in zip(GROUND.bodies, GROUND.shapes, strict=True) if b.id != "T1"]
    solid = shapely.union_all([*things, shapely.difference(strip, GROUND.floor)])
    return float(shapely.distance(shapely.LineString(side), shapely.intersection(strip, solid)))


def _sides_clipped() -> None:
    for side in SIDES:
        _clipped(side)


CASES = (
    ("Room 101 judged", "table, sideboard, 2 openings, 1 light, with its cure", 6, _room_cold,
     "", None),
    ("All rooms judged from cold facts", "Tern Hollow, 21 rooms", 150, _house_cold, "", None),
    ("All rooms after one moved piece", "Tern Hollow, table T1", 50, _moved,
     "full recompute", _house_cold),
    ("A table tried in another place", "room 101, walk paths and sides", 3, _candidate, "", None),
    ("Clear distance of four sides", "room 101", None, _sides,
     "clipped polygons, shapely", _sides_clipped),
)  # fmt: skip
