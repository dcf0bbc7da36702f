"""What is taped beside the corners: heights to the ceiling, and offsets of openings and windows."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from typing import Literal, cast

from roomwright import shape
from roomwright.answers import layers
from roomwright.answers.engine import Ask, query
from roomwright.answers.layers import Ceiling
from roomwright.answers.survey import OFFSET, Read, RoomSurvey, survey_of, tape_of
from roomwright.job.entities import Floor, Opening, Room, Window
from roomwright.shape import Point, Segment
from roomwright.survey import SurveyError
from roomwright.survey.compare import Offset, Placed, openings
from roomwright.survey.heights import MIDDLE, Height, Heights, heights


@dataclass(frozen=True, slots=True)
class Upright:
    """Heights of a room over its finished floor, and the ceiling they make.

    `trouble` says what is wrong with a height; `ceiling` is what the room goes by now, and
    `lowest` what accepting the readings would make it; `words` says from which floor.
    """

    found: Heights | None
    ceiling: Ceiling
    lowest: Fraction | None = None
    words: str = ""
    trouble: str = ""


@dataclass(frozen=True, slots=True)
class Edge:
    """An opening or window whose place along its wall was taped.

    `placed` is where the tape puts it; `planned` where it is drawn, from the wall's first corner;
    `trouble` says why it could not be placed.
    """

    thing: str
    wall: str
    planned: tuple[float, float] | None
    placed: Placed | None
    trouble: str = ""


@query("survey heights")
def upright(ask: Ask, room: str) -> Upright:
    """A room's heights, brought to the finished floor."""
    fact = ask.fact(Room, room)
    found = ask(survey_of, room)
    ceiling = ask(layers.ceiling, room)
    taken = [each for each in found.of("height") if not each.fact.aside]
    if not taken:
        return Upright(None, ceiling)
    floor = ask.find(Floor, fact.floor)
    under = floor.build_up if floor is not None else Fraction(0)
    seen = [
        Height(_where(each), float(layers.over_finish(each.fact, under)), each.fact.id)
        for each in taken
    ]
    ring = found.found.outline if found.found is not None else found.drawn
    corners = dict(zip(found.corners, ring, strict=False))
    lowest = min(layers.over_finish(each.fact, under) for each in taken)
    words = _floor_words(taken, floor)
    try:
        return Upright(heights(seen, corners), ceiling, lowest, words)
    except SurveyError as error:
        return Upright(None, ceiling, None, words, str(error))


def _where(each: Read) -> str:
    name = each.fact.from_corner.strip()
    return MIDDLE if name.lower() == MIDDLE else name.upper()


def _floor_words(taken: Sequence[Read], floor: Floor | None) -> str:
    rough = [each for each in taken if each.fact.face in layers.ROUGH]
    if not rough:
        return "taped from the finished floor"
    if floor is None:
        return "taped from the subfloor; the room has no floor finish yet, so nothing is taken off"
    all_ = "taped" if len(rough) == len(taken) else f"{len(rough)} of {len(taken)} taped"
    return f"{all_} from the subfloor, less the build-up of {floor.id}"


@query("survey openings")
def edges(ask: Ask, room: str) -> tuple[Edge, ...]:
    """Openings and windows of a room whose offsets were taped, where the tape puts them."""
    found = ask(survey_of, room)
    groups: dict[str, list[Read]] = {}
    for each in found.of("offset"):
        told = OFFSET.fullmatch(each.fact.to_corner.strip())
        if told is not None and not each.fact.aside:
            groups.setdefault(told["thing"].strip().upper(), []).append(each)
    return tuple(_edge(ask, found, thing, reads) for thing, reads in sorted(groups.items()))


def _edge(ask: Ask, found: RoomSurvey, thing: str, reads: Sequence[Read]) -> Edge:
    ends = _ends(ask, thing)
    if ends is None:
        return Edge(thing, "", None, None, f"{thing} is no opening or window of this house.")
    shown = shape.through_wall(ends, found.drawn)
    if shown is None:
        return Edge(thing, "", None, None, f"{thing} lies in no wall of this room.")
    wall = shape.letter(shown[0])
    a = found.drawn[shown[0]]
    planned = sorted(math.dist(a, end) for end in shown[1])
    drawn = planned[0], planned[1]
    if found.found is None:
        return Edge(thing, wall, drawn, None, "Tape the walls first; then it has its place.")
    seen = [_offset(each, thing, wall) for each in reads]
    try:
        return Edge(
            thing, wall, drawn, openings(found.found, seen, tape=tape_of(ask, found.room))[0]
        )
    except SurveyError as error:
        return Edge(thing, wall, drawn, None, str(error))


def _offset(each: Read, thing: str, wall: str) -> Offset:
    told = OFFSET.fullmatch(each.fact.to_corner.strip())
    edge = told["end"].lower() if told is not None else "near"
    return Offset(
        each.fact.from_corner.strip().upper(), thing, cast(Literal["near", "far"], edge),
        each.used, wall, each.fact.id,
    )  # fmt: skip


def _ends(ask: Ask, thing: str) -> Segment | None:
    found: dict[str, Opening | Window] = {each.id.upper(): each for each in ask.all(Window)}
    found |= {each.id.upper(): each for each in ask.all(Opening)}
    each = found.get(thing)
    return None if each is None else (_point(each.a), _point(each.b))


def _point(p: tuple[Fraction, Fraction]) -> Point:
    return float(p[0]), float(p[1])
