"""From one face of a wall to another: stud, board, finished.

A reading between corners of one face becomes one between corners of another by moving both corners
with their two walls. Thicknesses are [in], measured into the room.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from typing import Literal

from roomwright.lengths import inches
from roomwright.shape import Outline, Point, crossing, signed_area, walls

from .model import SurveyError

Face = Literal["stud", "board", "finished"]
FACES: tuple[Face, ...] = ("stud", "board", "finished")
STRAIGHT = math.sin(math.radians(1.0))  # walls that follow each other closer than this are in line

Layers = Mapping[tuple[str, str], tuple[float, float]]


def depth(layers: tuple[float, float], face: Face) -> float:
    """How far a face stands before the studs [in], of layers (board, finish).

    >>> depth((0.625, 0.375), "board"), depth((0.625, 0.375), "finished")
    (0.625, 1.0)
    """
    board, finish = layers
    if not all(math.isfinite(v) and v >= 0 for v in layers):
        raise SurveyError("A layer of a wall is 0 or more inches thick.")
    return {"stud": 0.0, "board": board, "finished": board + finish}[face]


def to_face(
    length: float,
    from_: str,
    to: str,
    corners: Mapping[str, Point],
    layers: Layers,
    measured: Face,
    wanted: Face,
) -> float:
    """A reading between two corners of one face, as it would be on another [in].

    Parameters
    ----------
    length : float
        As read on the face `measured`.
    corners : Mapping[str, Point]
        All corners in order round the room, at about where they are [in].
    layers : Mapping[tuple[str, str], tuple[float, float]]
        Thickness of board and of finish by wall (its two corners, either way round); a wall that
        is left out has none.

    Examples
    --------
    >>> corners = {"A": (0, 0), "B": (162, 0), "C": (162, 150), "D": (0, 150)}
    >>> layers = {("B", "C"): (0.625, 0.375), ("D", "A"): (0.625, 0.0)}
    >>> to_face(162.0, "A", "B", corners, layers, "stud", "finished")
    160.375
    """
    for face in (measured, wanted):
        if face not in FACES:
            raise SurveyError(f"“{face}” is no face of a wall: stud, board or finished.")
    names = list(corners)
    for name in (from_, to):
        if name not in corners:
            raise SurveyError(f"There is no corner {name}: {', '.join(names)}.")
    ring = list(corners.values())
    into = 1.0 if signed_area(ring) > 0 else -1.0
    moved = []
    for name in (from_, to):
        k = names.index(name)
        move = [
            depth(_of(layers, names, j), wanted) - depth(_of(layers, names, j), measured)
            for j in (k - 1, k)
        ]
        moved.append(_corner(ring, k, move[0] * into, move[1] * into))
    return length + math.dist(*moved) - math.dist(corners[from_], corners[to])


def _of(layers: Layers, names: Sequence[str], wall: int) -> tuple[float, float]:
    a, b = names[wall], names[(wall + 1) % len(names)]
    return layers.get((a, b), layers.get((b, a), (0.0, 0.0)))


def _direction(a: Point, b: Point) -> Point:
    length = math.dist(a, b)
    if length == 0:
        raise SurveyError("Two corners that follow each other are in one place.")
    return (b[0] - a[0]) / length, (b[1] - a[1]) / length


def _corner(ring: Sequence[Point], k: int, before: float, after: float) -> Point:
    """Corner `k` once its two walls have moved to their left; in line, the further one counts."""
    at = ring[k]
    ux, uy = _direction(ring[k - 1], at)
    vx, vy = _direction(at, ring[(k + 1) % len(ring)])
    cross = ux * vy - uy * vx
    if abs(cross) < STRAIGHT:
        move = before if abs(before) > abs(after) else after
        return at[0] - vy * move, at[1] + vx * move
    along = (after - before * (ux * vx + uy * vy)) / cross
    return at[0] - uy * before - ux * along, at[1] + ux * before - uy * along


def offset_outline(outline: Outline, thickness: Sequence[float]) -> Outline:
    """An outline with each wall moved into the room by its thickness [in].

    Corners are where the moved walls meet. Two walls in line with different thickness get a
    small step between them (one more corner).

    Raises
    ------
    SurveyError
        Where a wall would vanish or the outline turn inside out.

    Examples
    --------
    >>> offset_outline(((0, 0), (162, 0), (162, 150), (0, 150)), (0, 1, 0, 0.5))
    ((0.5, 0.0), (161.0, 0.0), (161.0, 150.0), (0.5, 150.0))
    """
    count = len(outline)
    if len(thickness) != count:
        raise SurveyError(f"{len(thickness)} thicknesses for {count} walls: give one for each.")
    if not all(math.isfinite(t) for t in thickness):
        raise SurveyError("A wall's thickness is a number of inches.")
    into = 1.0 if signed_area(outline) > 0 else -1.0
    move = [t * into for t in thickness]
    made: list[list[Point]] = []
    for k in range(count):
        before, after = move[k - 1], move[k]
        ux, uy = _direction(outline[k - 1], outline[k])
        vx, vy = _direction(outline[k], outline[(k + 1) % count])
        in_line = abs(ux * vy - uy * vx) < STRAIGHT and ux * vx + uy * vy > 0
        if in_line and before != after:
            x, y = outline[k]
            made.append([(x - uy * before, y + ux * before), (x - vy * after, y + vx * after)])
        else:
            made.append([_corner(outline, k, before, after)])
    for k, (a, b) in enumerate(walls(outline)):
        start, end = made[k][-1], made[(k + 1) % count][0]
        along = (end[0] - start[0]) * (b[0] - a[0]) + (end[1] - start[1]) * (b[1] - a[1])
        if along <= 0:
            raise SurveyError(
                f"A wall {inches(math.dist(a, b))} long would vanish behind "
                "the layers of its neighbors: check the thicknesses."
            )
    ring = tuple(p for corner in made for p in corner)
    if crossing(ring) is not None or signed_area(ring) * into <= 0:
        raise SurveyError("The layers would turn the room inside out: check the thicknesses.")
    return ring
