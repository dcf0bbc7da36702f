"""Finished faces: the outline of a room moved in by what will stand on the face it was taken to.

A room's outline is taken to one face of its walls (`Room.face`): the studs, the board or the
finished face. What stands between that face and the finished one is recorded wall by wall (board
and finish). The floors that people walk on reach from finished face to finished face, so a tile
that is thicker makes a room narrower. What is not recorded counts as nothing.

Heights are the same upright: one taped before the floor was laid (to studs or board) is from the
subfloor, and the finished floor takes its build-up off it.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction

from roomwright import shape
from roomwright.answers.engine import Ask, query
from roomwright.job.entities import Floor, Reading, Room, Wall
from roomwright.shape import Outline, Segment
from roomwright.survey.faces import offset_outline

LAYERS = ("board", "finish")
"""What stands on the studs, in that order."""

ROUGH = ("stud", "board")
"""Faces that a tape meets before the floors are down."""

CEILING = "ceiling"
"""What a height runs to."""


@dataclass(frozen=True, slots=True)
class Ceiling:
    """A room's ceiling over its finished floor [in] and what it rests on, in words.

    `taped` is None where no accepted height says so; `build_up` what the floor took off it.
    """

    height: Fraction | None
    words: str
    taped: Fraction | None = None
    build_up: Fraction = Fraction(0)


@query("wall layers")
def layers_of(ask: Ask, room: str) -> Mapping[tuple[str, str], tuple[Fraction, Fraction]]:
    """Thickness of board and of finish by wall, a corner and the next, as far as recorded [in]."""
    corners = len(ask.fact(Room, room).outline)
    names = [shape.letter(i) for i in range(corners)]
    ring = dict(zip(names, [*names[1:], names[0]], strict=True))
    found: dict[tuple[str, str], tuple[Fraction, Fraction]] = {}
    for wall in ask.where(Wall, "room", room):
        a, b = wall.from_corner.strip().upper(), wall.to_corner.strip().upper()
        ends = (a, b) if ring.get(a) == b else (b, a)
        if ring.get(ends[0]) == ends[1]:
            found[ends] = (wall.board or Fraction(0), wall.finish or Fraction(0))
    return found


def thickness(layers: tuple[Fraction, Fraction], face: str) -> Fraction:
    """What stands on a face of a wall up to the finished face [in].

    >>> both = (Fraction(1, 2), Fraction(3, 8))
    >>> [str(thickness(both, face)) for face in ("stud", "board", "finished")]
    ['7/8', '3/8', '0']
    """
    board, finish = layers
    return {"stud": board + finish, "board": finish}.get(face, Fraction(0))


def between(layers: tuple[Fraction, Fraction], face: str, wanted: str) -> Fraction:
    """How far one face of a wall stands before another; negative where it is behind it [in].

    >>> str(between((Fraction(1, 2), Fraction(3, 8)), "finished", "board"))
    '-3/8'
    """
    return thickness(layers, face) - thickness(layers, wanted)


@query("outline at a face")
def at_face(ask: Ask, room: str, face: str) -> Outline:
    """A room's outline at a face of its walls, corners in the order in which they are recorded.

    Raises
    ------
    ValueError
        If the layers leave nothing of the room.
    """
    fact = ask.fact(Room, room)
    ring: Outline = tuple((float(x), float(y)) for x, y in fact.outline)
    return moved(ring, ask(layers_of, room), fact.face, face)


@query("finished outline")
def finished(ask: Ask, room: str) -> Outline:
    """A room's outline between finished faces; as recorded where no layers lie on its face."""
    return ask(at_face, room, "finished")


def moved(
    ring: Outline,
    layers: Mapping[tuple[str, str], tuple[Fraction, Fraction]],
    face: str,
    wanted: str,
) -> Outline:
    """An outline taken to one face of its walls, at another face of them."""
    count = len(ring)
    names = [(shape.letter(i), shape.letter((i + 1) % count)) for i in range(count)]
    nothing = (Fraction(0), Fraction(0))
    thick = [float(between(layers.get(name, nothing), face, wanted)) for name in names]
    return offset_outline(ring, thick) if any(thick) else ring


def seen(ask: Ask, room: str, segment: Segment) -> Segment:
    """A window's ends on the finished face of its wall; as recorded where no layers lie on it."""
    if not ask(layers_of, room) or ask.fact(Room, room).face == "finished":
        return segment
    shown = shape.through_wall(segment, ask(finished, room))
    return segment if shown is None else shown[1]


@query("ceiling over the finished floor")
def ceiling(ask: Ask, room: str) -> Ceiling:
    """A room's ceiling over its finished floor.

    Once the room's outline was accepted from the tape, the lowest height taped in it, less the
    floor's build-up where it was taped from the subfloor; before that, what is recorded.
    """
    fact = ask.fact(Room, room)
    found = heights_of(ask.where(Reading, "room", room)) if fact.measured_on else []
    if not found:
        words = "not known" if fact.ceiling is None else "as recorded"
        return Ceiling(fact.ceiling, words)
    floor = ask.find(Floor, fact.floor)
    under = floor.build_up if floor is not None else Fraction(0)
    lowest = min(found, key=lambda each: over_finish(each, under))
    return Ceiling(over_finish(lowest, under), _words(lowest, floor), lowest.length,
                   under if lowest.face in ROUGH else Fraction(0))  # fmt: skip


def heights_of(readings: Sequence[Reading]) -> list[Reading]:
    """The readings up to the ceiling that are in use."""
    return [
        each for each in readings if each.to_corner.strip().lower() == CEILING and not each.aside
    ]


def over_finish(height: Reading, build_up: Fraction) -> Fraction:
    """A height over the finished floor [in]."""
    return height.length - (build_up if height.face in ROUGH else 0)


def _words(height: Reading, floor: Floor | None) -> str:
    if height.face not in ROUGH:
        return "taped from the finished floor" if height.face else "taped, from which floor unsaid"
    if floor is None:
        return "taped from the subfloor; the floor's build-up is not known"
    return f"taped from the subfloor, less the build-up of {floor.id}"
