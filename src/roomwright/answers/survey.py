"""The room from the tape: its readings adjusted, the doubtful ones named, held against the plan.

The engine (`roomwright.survey`) takes distances between corners at one face of the walls. Here the
recorded readings become that: each is brought to the face that most of them were taken to by what
is recorded of the wall layers, heights and offsets are told apart, and what the builder has set
aside stays out.
"""

from __future__ import annotations

import math
import re
from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, fields, replace
from datetime import date
from fractions import Fraction
from itertools import combinations
from typing import cast

from roomwright import shape
from roomwright.answers import layers
from roomwright.answers.engine import Ask, query
from roomwright.answers.rooms import figures_in_force
from roomwright.job import entities
from roomwright.job.entities import Face, House, Opening, Reading, Room, Window
from roomwright.shape import Outline
from roomwright.survey import Observation, Survey, SurveyError, Taken, Tape, survey
from roomwright.survey.compare import WallDifference, against_plan
from roomwright.survey.faces import to_face

GRID = 16
"""An accepted outline is kept to this part of an inch, the tape's own marks."""

OFFSET = re.compile(r"(?P<thing>.+?)\s+(?P<end>near|far)", re.IGNORECASE)


@dataclass(frozen=True, slots=True)
class Read:
    """One recorded reading and what the adjustment says of it.

    `used` is the length at the survey's face [in], `taken` None for heights, offsets, and where
    the readings make no room yet.
    """

    fact: Reading
    kind: str
    used: float
    taken: Taken | None = None

    @property
    def line(self) -> str:
        """From where to where: ``A to B``."""
        return f"{self.fact.from_corner} to {self.fact.to_corner}"

    @property
    def suspect(self) -> bool:
        """Whether the other readings contradict it."""
        return self.taken is not None and self.taken.suspect


@dataclass(frozen=True, slots=True)
class RoomSurvey:
    """A room's readings and all that follows from them.

    Attributes
    ----------
    face
        The face to which `outline` lies, that of most readings.
    found
        The adjusted room; None where `trouble` says what is missing, or nothing was taped.
    drawn, planned
        The outline recorded now and the one that was drawn before any tape, at that face [in].
    outline
        The adjusted outline on the tape's marks: what accepting it would write.
    rounding
        How far those marks are from the adjusted corners at most [in].
    walls
        Each wall, planned against measured.
    """

    room: str
    name: str
    corners: tuple[str, ...]
    face: Face
    reads: tuple[Read, ...]
    found: Survey | None = None
    trouble: str = ""
    notes: tuple[str, ...] = ()
    drawn: Outline = ()
    planned: Outline = ()
    outline: entities.Outline = ()
    rounding: float = 0.0
    walls: tuple[WallDifference, ...] = ()
    on: date | None = None
    by: str = ""
    accepted: bool = False

    @property
    def suspects(self) -> tuple[Read, ...]:
        """Readings that the others contradict."""
        return tuple(each for each in self.reads if each.suspect)

    def of(self, *kinds: str) -> tuple[Read, ...]:
        """The readings of some kinds: wall, diagonal, height, offset."""
        return tuple(each for each in self.reads if each.kind in kinds)


def corners_of(room: Room) -> tuple[str, ...]:
    """Letters of a room's corners in the order in which its outline is recorded.

    >>> corners_of(Room(id="1", level="1", outline=((0, 0), (9, 0), (9, 9), (0, 9))))
    ('A', 'B', 'C', 'D')
    """
    return tuple(shape.letter(i) for i in range(len(room.outline)))


def things_of(openings: Sequence[Opening], windows: Sequence[Window]) -> tuple[str, ...]:
    """Ids of what an offset may run to."""
    return tuple(sorted({each.id for each in (*openings, *windows)}))


def kind_of(fact: Reading, corners: Sequence[str]) -> str:
    """What a reading is: wall, diagonal, height or offset; "" where its ends are neither.

    >>> row = {"id": "r", "room": "1", "length": 90}
    >>> [kind_of(Reading(from_corner=a, to_corner=b, **row), "ABCD")
    ...  for a, b in (("A", "B"), ("d", "a"), ("A", "C"), ("A", "ceiling"), ("A", "D4 near"))]
    ['wall', 'wall', 'diagonal', 'height', 'offset']
    """
    a, b = fact.from_corner.strip().upper(), fact.to_corner.strip().upper()
    if b == layers.CEILING.upper():
        return "height"
    if OFFSET.fullmatch(fact.to_corner.strip()):
        return "offset"
    if a not in corners or b not in corners or a == b:
        return ""
    apart = abs(list(corners).index(a) - list(corners).index(b))
    return "wall" if apart in (1, len(corners) - 1) else "diagonal"


@query("survey")
def survey_of(ask: Ask, room: str) -> RoomSurvey:
    """A room's tape readings adjusted, and held against what was drawn.

    Raises
    ------
    MissingFactError
        If there is no such room.
    """
    fact = ask.fact(Room, room)
    corners = corners_of(fact)
    readings = ask.where(Reading, "room", room)
    face = _face(fact, readings, corners)
    drawn = _same_corners(ask, fact, face)
    known = ask(layers.layers_of, room)
    reads = tuple(_read(each, corners, drawn, known, face) for each in readings)
    last = [each.on for each in readings if each.on is not None]
    names = dict.fromkeys(each.by.strip() for each in readings if each.by.strip())
    made = RoomSurvey(
        room, fact.name or room, corners, face, reads,
        notes=tuple(_notes(readings, reads, face, known)),
        drawn=drawn, planned=_planned(fact, drawn, known, face),
        on=max(last, default=None), by=", ".join(names), accepted=fact.measured_on is not None,
    )  # fmt: skip
    across = made.of("wall", "diagonal")
    if not across:
        return made
    seen = [_observation(each) for each in across]
    try:
        found = survey(corners, seen, plan=drawn, tape=tape_of(ask, room))
    except SurveyError as error:
        return replace(made, trouble=str(error))
    taken = {each.observation.id: each for each in found.readings}
    outline = rounded(found.outline)
    alike = len(made.planned) == len(found.corners)
    return replace(
        made,
        reads=tuple(replace(each, taken=taken.get(each.fact.id)) for each in reads),
        found=found,
        outline=outline,
        rounding=cost_of_rounding(found.outline, outline),
        walls=against_plan(made.planned, found) if alike else (),
    )


def _same_corners(ask: Ask, room: Room, face: Face) -> Outline:
    """The outline at a face; as recorded where layers make a step between walls in line."""
    ring = ask(layers.at_face, room.id, face)
    if len(ring) == len(room.outline):
        return ring
    return tuple((float(x), float(y)) for x, y in room.outline)


def tape_of(ask: Ask, room: str) -> Tape:
    """How well the house's tape is trusted in a room."""
    house = ask.find(House, "house")
    figures = ask(figures_in_force, room)
    named = {f.name: float(figures.get(f"tape.{f.name}").value) for f in fields(Tape)}
    own = {} if house is None else {"sigma": float(house.tape_sigma)}
    return Tape(**{**named, **own})


def _face(room: Room, readings: Sequence[Reading], corners: Sequence[str]) -> Face:
    """The face of most readings; of as many, the later; the outline's where none says."""
    told: Counter[str] = Counter()
    for each in sorted(readings, key=lambda each: (each.on or date.min, each.id), reverse=True):
        if each.face and not each.aside and kind_of(each, corners) in ("wall", "diagonal"):
            told[each.face] += 1
    return cast(Face, told.most_common(1)[0][0]) if told else room.face


def _read(
    fact: Reading,
    corners: Sequence[str],
    drawn: Outline,
    known: Mapping[tuple[str, str], tuple[Fraction, Fraction]],
    face: Face,
) -> Read:
    kind = kind_of(fact, corners)
    used = float(fact.length)
    if kind in ("wall", "diagonal") and fact.face and fact.face != face and known:
        thick = {wall: (float(b), float(f)) for wall, (b, f) in known.items()}
        ring = dict(zip(corners, drawn, strict=True))
        ends = fact.from_corner.strip().upper(), fact.to_corner.strip().upper()
        used = to_face(used, *ends, ring, thick, cast(Face, fact.face), face)
    return Read(fact, kind, used)


def _observation(each: Read) -> Observation:
    fact = each.fact
    return Observation(
        fact.id, fact.from_corner.strip().upper(), fact.to_corner.strip().upper(), each.used,
        face=fact.face, on=fact.on, by=fact.by, set_aside=bool(fact.aside),
    )  # fmt: skip


def _planned(
    room: Room,
    drawn: Outline,
    known: Mapping[tuple[str, str], tuple[Fraction, Fraction]],
    face: Face,
) -> Outline:
    """What was drawn before the tape, at the survey's face; plans are kept finished to finished."""
    if not room.planned:
        return drawn
    kept: Outline = tuple((float(x), float(y)) for x, y in room.planned)
    return layers.moved(kept, known, "finished", face) if len(kept) == len(drawn) else kept


def _notes(
    readings: Sequence[Reading],
    reads: Sequence[Read],
    face: Face,
    known: Mapping[tuple[str, str], tuple[Fraction, Fraction]],
) -> list[str]:
    """What the builder should know of how the readings were taken."""
    said = []
    across = [each for each in reads if each.kind in ("wall", "diagonal")]
    faceless = [each.line for each in across if not each.fact.face]
    if faceless:
        said.append(f"No face is said for {_and(faceless)}: taken as {face}.")
    others = [each for each in across if each.fact.face not in ("", face)]
    if others and known:
        said.append(
            f"{_and([each.line for each in others])}: taken to another face, brought to the {face} "
            "by the wall layers."
        )
    elif others:
        said.append(
            f"{_and([each.line for each in others])}: taken to another face than the others "
            f"({face}), and no wall layers are recorded: counted as they are."
        )
    unsigned = [each for each in readings if not (each.on and each.by.strip() and each.face)]
    if unsigned:
        said.append(
            f"{len(unsigned)} of {len(readings)} readings lack a date, a person or a face: on "
            "paper they count as not taken, and the sheet says measure."
        )
    return said


def _and(lines: Sequence[str]) -> str:
    lines = list(dict.fromkeys(lines))
    return lines[0] if len(lines) == 1 else f"{', '.join(lines[:-1])} and {lines[-1]}"


def rounded(outline: Outline) -> entities.Outline:
    """An outline on the tape's marks.

    >>> rounded(((0.03, 0.0), (161.98, 0.1), (80.0, 99.97)))[0]
    (Fraction(0, 1), Fraction(0, 1))
    """
    return tuple((Fraction(round(x * GRID), GRID), Fraction(round(y * GRID), GRID))
                 for x, y in outline)  # fmt: skip


def cost_of_rounding(exact: Outline, marks: entities.Outline) -> float:
    """The most by which rounding changes the distance between any two corners [in].

    >>> cost_of_rounding(((0, 0), (10.03125, 0), (0, 8)), ((0, 0), (10, 0), (0, 8)))
    0.03125
    """
    plain = [(float(x), float(y)) for x, y in marks]
    return max(
        abs(math.dist(exact[i], exact[j]) - math.dist(plain[i], plain[j]))
        for i, j in combinations(range(len(exact)), 2)
    )
